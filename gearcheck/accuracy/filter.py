"""The Gaussian filter that parts the form of a trace from its roughness."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

FILTER = Method(
    key="iso16610_21.gaussian",
    title="Gaussian filter of a trace",
    source="ISO 16610-21",
    edition="2011",
    clause="weighting function",
    status=Status.FROM_MEMORY,
    implements=(
        "weights exp(-π (x/(α λ_c))²) with α = √(ln 2/π): a wave of the cut-off keeps half its height",
    ),
    leaves_out=("closed profiles",),
    departures=(
        "Each point is the straight line of the weighted points around it, taken at the point: within an "
        "even grid that is the weighted mean of the standard; at the ends, beside gaps and on an uneven "
        "grid a slope goes through unchanged, where a mean would bend it.",
        "Each point counts with the stretch of the trace that it stands for, and the weights end at one "
        "cut-off either side, where they have fallen to a millionth.",
    ),
)
_ALPHA = np.sqrt(np.log(2.0) / np.pi)
_BLOCK = 500_000
"""Points of all windows that are worked on at once."""


@dataclass(frozen=True, kw_only=True)
class SmoothedTrace(Result):
    """A trace behind the filter.

    Parameters
    ----------
    smoothed_um : ndarray
        Points on the last axis.
    """

    method: ClassVar[Method] = FILTER
    cut_off_mm: Number = term("Cut-off", "λ_c", "mm")
    smoothed_um: Array


def smoothed_trace(
    *, place_mm: Number, deviation_um: Number, cut_off_mm: Number, kept: Any = None
) -> SmoothedTrace:
    """Return a trace behind the Gaussian filter.

    s(x) = exp(-π (x/(α λ_c))²), α = √(ln 2/π); at each point the weighted straight line of its neighbours

    Parameters
    ----------
    place_mm : array
        Places along the trace in mm, rising, shape (..., points).
    deviation_um : array
        Deviations in µm, shape (..., points); NaN where a point is missing.
    cut_off_mm : float or array
        λ_c in mm, shape (...); NaN for a trace that is left as it is.
    kept : array of bool, optional
        False where a point does not count, shape (..., points).

    Returns
    -------
    SmoothedTrace
        NaN where a point is missing or does not count; a lone point stays as it is.

    Raises
    ------
    InputError
        Places that do not rise, or a cut-off of 0 or less.

    Notes
    -----
    Source: ISO 16610-21:2011, from memory.
    Valid for: open traces, at any spacing.
    Departures: a weighted line instead of the weighted mean, which differs at ends, gaps and uneven spacing.
    Checked: FILTER-WAVES, FILTER-LINE, FILTER-SCIPY.

    Examples
    --------
    >>> place = np.arange(0, 20, 0.05)
    >>> wave = np.cos(2 * np.pi * place / 0.8)
    >>> found = smoothed_trace(place_mm=place, deviation_um=wave, cut_off_mm=0.8)
    >>> round(float(found.smoothed_um[160]), 3)
    0.5
    """
    place, deviation, cut_off = array(place_mm), array(deviation_um), array(cut_off_mm)
    rising_places(place)
    faults = Faults()
    faults.need(not (cut_off <= 0).any(), "cut_off_mm", cut_off, "a length above 0 mm, or none")
    faults.check()
    use = np.isfinite(place) & np.isfinite(deviation)
    use = use if kept is None else use & np.asarray(kept, dtype=np.bool_)
    points = np.broadcast_shapes(place.shape, deviation.shape, use.shape, (*cut_off.shape, 1))
    place, deviation = np.broadcast_to(place, points), np.broadcast_to(deviation, points)
    use, shape = np.broadcast_to(use, points), points[:-1]
    found = _lines(place, deviation, use, np.broadcast_to(cut_off, shape))
    return SmoothedTrace(cut_off_mm=cut_off, smoothed_um=np.where(use, found, np.nan))


def rising_places(place: Array) -> None:
    """Refuse places that do not rise along the last axis; NaN fills up behind the last one.

    Parameters
    ----------
    place : ndarray
        In mm, shape (..., points).

    Returns
    -------
    None
        Nothing.
    """
    faults = Faults()
    several = place.ndim > 0 and place.shape[-1] > 1
    faults.need(several, "place_mm", place.shape, "two points or more along a trace")
    if several:
        falls = np.diff(place, axis=-1) <= 0
        gap = np.isnan(place[..., :-1]) & ~np.isnan(place[..., 1:])
        wrong = bool(falls.any() or gap.any())
        faults.need(
            not wrong, "place_mm", "places that fall or repeat", "places that rise from point to point"
        )
    faults.check()


def _lines(place: Array, deviation: Array, use: NDArray[np.bool_], cut_off: Array) -> Array:
    """The weighted line of each window, at the middle of the window; a block of points at a time."""
    reach = cut_off * table("trace_rules").value("reach of the weights in cut-offs")
    side = _neighbours(place, reach)
    if side == 0:
        return deviation
    weight = np.where(use, _stretch(place, use), 0.0)
    filled = np.where(use, deviation, 0.0)
    middle = np.where(np.isnan(place), 0.0, place)
    x, w, y = (_windows(part, side) for part in (middle, weight, filled))
    # windows overlap: all of them at once would take memory with the square of the points
    at_once = max(1, _BLOCK // (max(1, cut_off.size) * (2 * side + 1)))
    found = np.empty(place.shape)
    for first in range(0, place.shape[-1], at_once):
        block = slice(first, first + at_once)
        found[..., block] = _line(
            x[..., block, :],
            w[..., block, :],
            y[..., block, :],
            middle[..., block],
            deviation[..., block],
            cut_off[..., None],
            reach[..., None],
        )
    return found


def _line(
    x: Array, w: Array, y: Array, middle: Array, deviation: Array, cut_off: Array, reach: Array
) -> Array:
    """The weighted line of windows x, w, y, on the last axis, at their middles."""
    x = (x - middle[..., None]) / cut_off[..., None]
    w = w * np.exp(-np.pi * (x / _ALPHA) ** 2) * (np.abs(x) * cut_off[..., None] <= reach[..., None])
    wx = w * x
    s_0, s_1, s_2 = w.sum(axis=-1), wx.sum(axis=-1), (wx * x).sum(axis=-1)
    t_0, t_1 = (w * y).sum(axis=-1), (wx * y).sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        line = (s_2 * t_0 - s_1 * t_1) / (s_2 * s_0 - s_1**2)
    sure = s_2 * s_0 - s_1**2 > 1e-12 * s_0**2
    return array(np.where(sure, line, deviation))


def _neighbours(place: Array, reach: Array) -> int:
    """How many points at most lie within reach on one side of any point."""

    def near(count: int) -> bool:
        apart = place[..., count:] - place[..., : place.shape[-1] - count]
        return bool((apart <= reach[..., None] * (1 + 1e-12)).any())

    # points so many places apart come no nearer with their number
    low, high = 0, place.shape[-1]
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if near(middle) else (low, middle)
    return low


def _stretch(place: Array, use: NDArray[np.bool_]) -> Array:
    """The stretch of the trace that each point stands for, to the middle of its neighbours, used or not."""
    step = np.nan_to_num(np.diff(place, axis=-1))
    ends = [(0, 0)] * (place.ndim - 1)
    before, after = np.pad(step, [*ends, (1, 0)]), np.pad(step, [*ends, (0, 1)])
    inner = (before > 0) & (after > 0)
    return array(np.where(inner, (before + after) / 2, np.maximum(before, after)))


def _windows(values: Array, side: int) -> Array:
    padded = np.pad(values, [(0, 0)] * (values.ndim - 1) + [(side, side)])
    return np.lib.stride_tricks.sliding_window_view(padded, 2 * side + 1, axis=-1)
