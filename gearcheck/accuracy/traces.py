"""What measured traces of profile and helix hold: total, form, slope and crowning about a design trace."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.filter import SmoothedTrace, rising_places, smoothed_trace
from gearcheck.accuracy.inputs import AccuracyEdition, TraceKind
from gearcheck.accuracy.spikes import spikes
from gearcheck.accuracy.tolerances import tolerance_method
from gearcheck.accuracy.trace_notices import left_out, trace_notices
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

TRACE = Method(
    key="iso1328_1.traces",
    title="Deviations of profile and helix from traces",
    source="ISO 1328-1",
    edition="2013 and 1995",
    clause="definitions of profile and helix deviations",
    status=Status.FROM_MEMORY,
    implements=(
        "total, form and slope about the design trace, by a straight mean line of least squares",
        "2013: the slope between the ends of the whole trace, control and tip diameter or both faces, on the "
        "extrapolated mean line; Gaussian filter of 1/30 of the range, at least 0.025 mm",
        "1995: the slope over the range; no filter of its own",
        "crowning as the height of a parabola of least squares over the chord of its ends",
    ),
    leaves_out=(
        "material beyond the range, which the standard lets count at the tip",
        "segments of gears",
    ),
    departures=(
        "The design trace is taken off before the filter, so that the filter does not round its corners.",
        "A slope is positive where material grows with the place: towards the tip, and away from the face "
        "that places along the face are counted from.",
        "Every point of the range counts alike in the mean line, also where they stand unevenly.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class TraceEvaluation(Result):
    """Traces about their mean lines; points on the last axis of what has points, else one value a trace.

    Parameters
    ----------
    kind : TraceKind
        Profile or helix.
    place_mm, deviation_um : ndarray
        Places and deviations as measured, shape (..., points).
    smoothed_um : ndarray
        Behind the filter, with the design trace, shape (..., points); NaN where a point does not count.
    without_design_um : ndarray
        The same without the design trace, w.
    mean_line_um : ndarray
        The straight line of least squares through w, w_m; NaN outside the evaluation range.
    used : ndarray of bool
        The points that count, shape (..., points).
    spike : ndarray of bool
        The points that stand out from those around them, whether they count or not, shape (..., points).
    smoothing : SmoothedTrace or None
        The filter; None where there is none.
    """

    method: ClassVar[Method] = TRACE
    kind: TraceKind
    start_mm: Number = term("Start of the evaluation range", "x_1", "mm")
    end_mm: Number = term("End of the evaluation range", "x_2", "mm")
    slope_from_mm: Number = term("Start of the length of the slope", "x_s1", "mm")
    slope_to_mm: Number = term("End of the length of the slope", "x_s2", "mm")
    total_um: Number = term("Total deviation", "F", "µm", words="largest less smallest w in the range")
    form_um: Number = term("Form deviation", "f_f", "µm", words="largest less smallest w - w_m in the range")
    slope_um: Number = term("Slope deviation", "f_H", "µm", words="rise of w_m over the length of the slope")
    crowning_um: Number = term(
        "Crowning beyond that of the design", "C", "µm", words="height of the parabola of w over its chord"
    )
    place_mm: Array
    deviation_um: Array
    smoothed_um: Array
    without_design_um: Array
    mean_line_um: Array
    used: Any = None
    spike: Any = None
    smoothing: SmoothedTrace | None = None


def trace_evaluation(
    *,
    kind: TraceKind,
    edition: AccuracyEdition,
    place_mm: Number,
    deviation_um: Number,
    start_mm: Number,
    end_mm: Number,
    slope_from_mm: Number = None,
    slope_to_mm: Number = None,
    design_um: Number = None,
    kept: Any = None,
    smoothed: bool = True,
    cut_off_mm: Number = None,
) -> TraceEvaluation:
    """Return total, form, slope and crowning of measured traces.

    F = max w - min w, f_f = max(w - w_m) - min(w - w_m), f_H = a (x_s2 - x_s1) of w_m = a x + c, all over
    the points from x_1 to x_2

    Parameters
    ----------
    kind : TraceKind
        Profile, along the roll, or helix, along the face.
    edition : AccuracyEdition
        It says how long the slope is, and which filter there is.
    place_mm : array
        Roll length or face position x in mm, rising, shape (..., points).
    deviation_um : array
        Deviation y in µm, positive for material beyond the nominal flank, shape (..., points); NaN where a
        point is missing.
    start_mm, end_mm : float or array
        Evaluation range x_1, x_2 in mm, shape (...).
    slope_from_mm, slope_to_mm : float or array, optional
        By the edition of 2013 roll lengths of control and tip diameter, or both faces, mm; where they are not
        given, and by that of 1995, the evaluation range.
    design_um : array, optional
        Design trace at the places in µm, negative where material is taken off, shape (..., points).
    kept : array of bool, optional
        False where a point is excluded, shape (..., points).
    smoothed : bool
        Whether the filter of the edition is used.
    cut_off_mm : float or array, optional
        Another cut-off in mm, of a filter agreed.

    Returns
    -------
    TraceEvaluation
        In µm; no value, with a stop notice, for a trace that is shorter than its range, has no point that
        counts at an end of it, too many points missing in it or too wide a gap.

    Raises
    ------
    InputError
        Places that do not rise, a range that is none, shapes that do not fit, infinite deviations.

    Notes
    -----
    Source: ISO 1328-1:2013 and :1995, definitions, from memory; ISO 16610-21:2011 for the filter.
    Valid for: open traces; at least 5 points to a cut-off or 150 to the range, else a caution.
    Departures: the design is taken off before the filter; signs of the slopes; spikes, by a rule of our
    own, are told and not taken out.
    Checked: TRACE-HAND, TRACE-1995, TRACE-PARABOLA, TRACE-WAVES, TRACE-POLYFIT.

    Examples
    --------
    >>> place = np.linspace(0, 20, 201)
    >>> found = trace_evaluation(kind=TraceKind.HELIX, edition=AccuracyEdition.ISO_1328_1_2013,
    ...     place_mm=place, deviation_um=0.5 * place, start_mm=1, end_mm=19, slope_from_mm=0, slope_to_mm=20)
    >>> round(found.slope_um, 6), round(found.total_um, 6), round(found.form_um, 6)
    (10.0, 9.0, 0.0)
    """
    tolerance_method(edition)
    place, deviation, design, use = _as_given(place_mm, deviation_um, design_um, kept)
    start, end = (np.broadcast_to(array(one), place.shape[:-1]) for one in (start_mm, end_mm))
    ends = (array(start_mm), array(end_mm))
    if edition is AccuracyEdition.ISO_1328_1_2013:
        given = (slope_from_mm, slope_to_mm)
        ends = tuple(one if item is None else array(item) for one, item in zip(ends, given, strict=True))  # type: ignore[assignment]
    _check_range(start, end, *ends)
    bare = np.where(use, deviation - design, np.nan)
    smoothing = _smoothing(edition, place, bare, end - start, cut_off_mm) if smoothed else None
    without = bare if smoothing is None else array(smoothing.smoothed_um)
    inside = _inside(place, start, end)
    stop, notices = trace_notices(kind, place, np.isfinite(without), inside, start, end, smoothing)
    without_in = np.where(inside & ~stop[..., None], without, np.nan)
    found = _fitted(place, without_in, start, end, ends[1] - ends[0])
    spike = spikes(np.where(np.isnan(deviation), np.nan, deviation - design))
    return TraceEvaluation(
        kind=kind,
        place_mm=place,
        deviation_um=deviation,
        start_mm=start,
        end_mm=end,
        slope_from_mm=ends[0],
        slope_to_mm=ends[1],
        smoothed_um=without + design,
        without_design_um=without,
        **found,
        used=use,
        spike=spike,
        smoothing=smoothing,
        notices=(*notices, *left_out(kind, deviation, use, inside, spike)),
    )


def _as_given(
    place_mm: Number, deviation_um: Number, design_um: Number, kept: Any
) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
    place, deviation = array(place_mm), array(deviation_um)
    design = array(0.0 if design_um is None else design_um)
    use = np.asarray(True if kept is None else kept, dtype=np.bool_)
    rising_places(place)
    faults = Faults()
    faults.need(not np.isinf(deviation).any(), "deviation_um", "an infinite value", "finite deviations in µm")
    points = place.shape[-1]
    for name, part in (("deviation_um", deviation), ("design_um", design), ("kept", use)):
        fits = part.shape[-1] == points if part.ndim else name != "deviation_um"
        faults.need(fits, name, part.shape, f"{points} values a trace, one to a place")
    faults.check()
    place, deviation, design, use = np.broadcast_arrays(place, deviation, design, use)
    return place, deviation, design, np.asarray(use & np.isfinite(deviation) & np.isfinite(place))


def _check_range(start: Array, end: Array, slope_from: Array, slope_to: Array) -> None:
    faults = Faults()
    faults.need(not (end <= start).any(), "end_mm", end, "an end beyond the start of the evaluation range")
    needed = "an end beyond the start of the length of the slope"
    faults.need(not (slope_to <= slope_from).any(), "slope_to_mm", slope_to, needed)
    faults.check()


def _inside(place: Array, start: Array, end: Array) -> NDArray[np.bool_]:
    """The points of the range; one at its very end counts, whatever its last binary digit."""
    hair = 1e-9 * (end - start)
    return np.asarray((place >= (start - hair)[..., None]) & (place <= (end + hair)[..., None]))


def default_cut_off_mm(edition: AccuracyEdition, length_mm: Number) -> Array:
    """Return the cut-off of the filter that an edition asks for.

    Parameters
    ----------
    edition : AccuracyEdition
        That of 1995 states none.
    length_mm : float or array
        Of the evaluation range, mm.

    Returns
    -------
    ndarray of float
        In mm; NaN without a filter.
    """
    length = array(length_mm)
    if edition is not AccuracyEdition.ISO_1328_1_2013:
        return np.full_like(length, np.nan)
    rule = table("trace_rules").value
    return np.maximum(length / rule("cut-offs in a range, 2013"), rule("least cut-off, 2013"))


def _smoothing(
    edition: AccuracyEdition, place: Array, bare: Array, length: Array, cut_off_mm: Number
) -> SmoothedTrace | None:
    cut_off = default_cut_off_mm(edition, length) if cut_off_mm is None else array(cut_off_mm)
    if np.isnan(cut_off).all():
        return None
    return smoothed_trace(place_mm=place, deviation_um=bare, cut_off_mm=cut_off)


def _fitted(place: Array, w: Array, start: Array, end: Array, slope_length: Array) -> dict[str, Any]:
    """Line and parabola of least squares, in u = -1 to 1 over the range; NaN where a trace stopped."""
    known = np.isfinite(w)
    half = (end - start) / 2
    u = (place - ((start + end) / 2)[..., None]) / half[..., None]
    inside, y = np.where(known, u, 0.0), np.where(known, w, 0.0)
    count = known.sum(axis=-1)
    count = np.where(count >= 3, count, np.nan)

    def mean(values: Array) -> Array:
        return array((values * known).sum(axis=-1) / count)

    u_1, u_2, u_3 = (mean(inside**power) for power in (1, 2, 3))
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = (mean(inside * y) - u_1 * mean(y)) / (u_2 - u_1**2)
        # what a parabola adds to the line: the square of u less its own line
        bend = (u_3 - u_1 * u_2) / (u_2 - u_1**2)
        square = known * (inside**2 - u_2[..., None] - bend[..., None] * (inside - u_1[..., None]))
        curve = mean(square * y) / mean(square**2)
    line = np.where(known, mean(y)[..., None] + rise[..., None] * (u - u_1[..., None]), np.nan)
    return {
        "mean_line_um": line,
        "total_um": _spread(w),
        "form_um": _spread(w - line),
        "slope_um": rise / half * slope_length,
        "crowning_um": -curve,
    }


def _spread(values: Array) -> Array:
    """Largest less smallest of what is known; NaN where nothing is."""
    known = np.isfinite(values)
    high = np.where(known, values, -np.inf).max(axis=-1)
    low = np.where(known, values, np.inf).min(axis=-1)
    return array(np.where(known.any(axis=-1), high - low, np.nan))
