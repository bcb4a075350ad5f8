"""Traces of some teeth, brought to the same places for all shapes of teeth that a gear has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from gearcheck.accuracy.inputs import ToothTraces
from gearcheck.basics.numbers import Array, Number, array


@dataclass(frozen=True)
class Clean:
    """Deviations without gaps.

    Parameters
    ----------
    values : ndarray
        As given, the gaps bridged.
    any_missing : bool
        Whether a point was missing between others.
    """

    values: Array
    any_missing: bool


def clean(deviation: Number, place: Number = None) -> Clean:
    """Bridge missing points by a straight line between their neighbours; the ends keep the nearest value.

    Parameters
    ----------
    deviation : array
        Shape (..., points), NaN where missing.
    place : array, optional
        Of the same or a broadcasting shape; without it the points stand evenly.

    Returns
    -------
    Clean
        A trace without any value stays NaN.

    Examples
    --------
    >>> clean([np.nan, 1.0, np.nan, 3.0]).values
    array([1., 1., 2., 3.])
    """
    values = array(deviation)
    known = ~np.isnan(values)
    points = np.arange(values.shape[-1])
    where = points.astype(float) if place is None else rising(place)
    where = np.broadcast_to(where, values.shape)
    before = np.maximum.accumulate(np.where(known, points, -1), axis=-1)
    after = np.minimum.accumulate(np.where(known, points, points.size)[..., ::-1], axis=-1)[..., ::-1]
    inside = (before >= 0) & (after < points.size)
    low = np.where(before >= 0, before, np.minimum(after, points.size - 1))
    high = np.where(after < points.size, after, np.maximum(before, 0))
    (at_low, at_high), (low_value, high_value) = (
        tuple(np.take_along_axis(item, place, axis=-1) for place in (low, high)) for item in (where, values)
    )
    gap = np.where(at_high > at_low, at_high - at_low, 1.0)
    share = np.where(at_high > at_low, (where - at_low) / gap, 0.0)
    return Clean(
        values=low_value + share * (high_value - low_value), any_missing=bool((inside & ~known).any())
    )


def rising(place: Number) -> Array:
    """Return places whose missing ends, which fill up a shorter trace, stay at the last place.

    Parameters
    ----------
    place : array
        Rising, shape (..., points); NaN where a trace is shorter.

    Returns
    -------
    ndarray
        Without NaN.

    Examples
    --------
    >>> rising([1.0, 2.0, np.nan]).tolist()
    [1.0, 2.0, 2.0]
    """
    given = array(place)
    found: Array = np.maximum.accumulate(np.where(np.isnan(given), -np.inf, given), axis=-1)
    return found


def resampled(traces: ToothTraces | None, shapes: Array, at: Array, zero: Array) -> Array:
    """Return the deviations of each shape of tooth at the same places, 0 at a place that is given.

    Parameters
    ----------
    traces : ToothTraces or None
        None for a true flank.
    shapes : array
        Tooth numbers, 0 first: the mean of all teeth that were measured, which stands for those that
        were not.
    at : array
        Places in mm, shape (..., places).
    zero : array
        Where each trace counts 0, mm, shape (..., 1).

    Returns
    -------
    ndarray
        Shape (..., shapes, places), µm.
    """
    if traces is None:
        return np.zeros((1, 1))
    teeth = np.atleast_1d(array(traces.tooth))
    place = rising(traces.place_mm)
    values = clean(traces.deviation_um, place).values
    found = between(values, place, at[..., None, :]) - between(values, place, zero[..., None, :])
    own = (shapes[:, None] == teeth).astype(float)
    # a tooth that was measured twice counts once in the mean
    own[~own.any(axis=1)] = 1.0 / (teeth[:, None] == teeth).sum(axis=1)
    return np.asarray(own / own.sum(axis=1, keepdims=True) @ found)


def between(values: Array, place: Array, at: Array) -> Array:
    """Return straight lines between the points of each trace; beyond its ends the nearest value.

    Parameters
    ----------
    values : array
        Shape (..., traces, points), without gaps.
    place : array
        Growing, of the same or a broadcasting shape.
    at : array
        Shape (..., traces or 1, places).

    Returns
    -------
    ndarray
        Shape (..., traces, places).

    Examples
    --------
    >>> between(np.array([[0.0, 4.0]]), np.array([[0.0, 2.0]]), np.array([[0.5, 3.0]])).tolist()
    [[1.0, 4.0]]
    """
    place = np.broadcast_to(place, values.shape)
    after = np.clip((place[..., None] <= at[..., None, :]).sum(axis=-2), 1, place.shape[-1] - 1)
    shape = np.broadcast_shapes(after.shape[:-1], values.shape[:-1])
    after = np.broadcast_to(after, (*shape, after.shape[-1]))
    place, values = (np.broadcast_to(item, (*shape, item.shape[-1])) for item in (place, values))
    low, high = (np.take_along_axis(place, number, axis=-1) for number in (after - 1, after))
    share = np.clip((at - low) / np.where(high > low, high - low, 1.0), 0.0, 1.0)
    first, last = (np.take_along_axis(values, number, axis=-1) for number in (after - 1, after))
    return np.asarray(first + share * (last - first))


def at_even(values: Array, share: Array) -> Array:
    """Look up between values that stand evenly.

    Parameters
    ----------
    values : array
        Shape (..., places), from the first to the last.
    share : array
        Where, 0 at the first and 1 at the last; shape (..., rows, columns).

    Returns
    -------
    ndarray
        Shape (..., rows, columns); beyond the ends the value there.

    Examples
    --------
    >>> at_even(np.array([0.0, 10.0, 30.0]), np.array([[0.25, 0.75]])).tolist()
    [[5.0, 20.0]]
    """
    last = values.shape[-1] - 1
    if last < 1:
        return values[..., None]
    place = np.clip(share, 0.0, 1.0) * last
    low = np.minimum(place.astype(int), last - 1)
    shape = np.broadcast_shapes(values.shape[:-1], share.shape[:-2])
    flat = np.broadcast_to(low, (*shape, *low.shape[-2:])).reshape((*shape, -1))
    known = np.broadcast_to(values, (*shape, last + 1))
    first, second = (
        np.take_along_axis(known, number, axis=-1).reshape((*shape, *low.shape[-2:]))
        for number in (flat, flat + 1)
    )
    found: Any = first + (place - low) * (second - first)
    return np.asarray(found)
