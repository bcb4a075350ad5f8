"""Whether a trace counts up to both ends of its evaluation range, where faults of root and tip lie."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.inputs import TraceKind
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array

Mask = NDArray[np.bool_]
ALONG = {TraceKind.PROFILE: "roll length", TraceKind.HELIX: "face position"}
_NEAR = 5


def lost_ends(
    kind: TraceKind, key: str, place: Array, known: Mask, inside: Mask, start: Array, end: Array, step: Array
) -> tuple[Mask, tuple[Notice, ...]]:
    """Return which traces have no point that counts at an end of their range, and say so.

    One step of the points is allowed, as for a trace that ends a little short of its range.

    Parameters
    ----------
    kind : TraceKind
        Of all traces.
    key : str
        Before that of the notice.
    place : ndarray
        In mm, shape (..., points).
    known, inside : ndarray of bool
        Which points have a value that counts, and which lie in the range, shape (..., points).
    start, end : ndarray
        The range in mm, shape (...).
    step : ndarray
        The usual distance of two points in mm, shape (...).

    Returns
    -------
    lost : ndarray of bool
        Shape (...); not where no point of the range counts at all.
    notices : tuple of Notice
        A stop for each end, with the first trace that lacks it.
    """
    counts = known & inside
    hair = 1e-9 * (end - start)
    first = _first_that_counts(place, counts, start)
    last = -_first_that_counts(-place[..., ::-1], counts[..., ::-1], -end)
    low = first - start - _allowed(place, inside, step) > hair
    high = end - last - _allowed(-place[..., ::-1], inside[..., ::-1], step) > hair
    said = [*_said(kind, key, "start", low, start, first), *_said(kind, key, "end", high, last, end)]
    return np.asarray(low | high), tuple(said)


def _first_that_counts(place: Array, counts: Mask, start: Array) -> Array:
    first = np.where(counts, place, np.inf).min(axis=-1)
    return array(np.where(np.isfinite(first), first, start))


def _allowed(place: Array, inside: Mask, step: Array) -> Array:
    """One step of the points about the start of a range: they may stand wider there than elsewhere."""
    steps = np.diff(place, axis=-1)
    steps = np.where(np.isnan(steps), step[..., None], steps)
    first = inside.argmax(axis=-1)[..., None]
    near = np.minimum(first + np.arange(_NEAR), steps.shape[-1] - 1)
    local = np.maximum(step, np.median(np.take_along_axis(steps, near, axis=-1), axis=-1))
    into = np.take_along_axis(steps, np.maximum(first - 1, 0), axis=-1)[..., 0]
    # a step into the range that is much wider than those behind it is itself a stretch that is missing
    return array(np.maximum(local, np.minimum(into, 2 * local)))


def _said(kind: TraceKind, key: str, word: str, wrong: Mask, low: Array, high: Array) -> Iterator[Notice]:
    if wrong.any():
        at = tuple(np.argwhere(wrong)[0])
        text = (
            f"The {word} of the evaluation range of a {kind} trace is missing or excluded, from "
            f"{low[at]:.3f} to {high[at]:.3f} mm of {ALONG[kind]}: the ends are where faults lie, so measure "
            "it whole, or say another range."
        )
        yield Notice(Level.STOP, f"{key}.end", text)
