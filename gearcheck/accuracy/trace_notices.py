"""What has to be said of measured traces: what is missing, what was left out, what stands out."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.accuracy.filter import SmoothedTrace
from gearcheck.accuracy.inputs import TraceKind
from gearcheck.accuracy.trace_ends import ALONG, Mask, lost_ends
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array
from gearcheck.basics.tables import table

KEY = "iso1328_1.traces"


def trace_notices(
    kind: TraceKind,
    place: Array,
    known: Mask,
    inside: Mask,
    start: Array,
    end: Array,
    smoothing: SmoothedTrace | None,
) -> tuple[Mask, tuple[Notice, ...]]:
    """Return which traces stop, and what has to be said of all of them.

    Parameters
    ----------
    kind : TraceKind
        Of all traces.
    place : ndarray
        In mm, shape (..., points).
    known, inside : ndarray of bool
        Which points have a value that counts, and which lie in the range, shape (..., points).
    start, end : ndarray
        The range in mm, shape (...).
    smoothing : SmoothedTrace or None
        The filter.

    Returns
    -------
    stop : ndarray of bool
        Shape (...).
    notices : tuple of Notice
        One for each kind of trouble, with the worst trace in it.
    """
    first, last = np.nanmin(place, axis=-1), np.nanmax(place, axis=-1)
    step = _usual_step(place)
    short = np.maximum(first - start, end - last) - step
    is_short = ~(short <= 0)
    lost, at_ends = lost_ends(kind, KEY, place, known, inside & ~is_short[..., None], start, end, step)
    share, gap = _missing(place, known & inside, inside, start, end, step)
    rule = table("trace_rules").value
    is_thin = ~is_short & ~lost & (share > rule("largest share missing"))
    has_gap = ~is_short & ~lost & ~is_thin & (gap > rule("largest gap") * (end - start))
    said = [
        *_short(kind, is_short, first, last, start, end),
        *at_ends,
        *_thin(kind, is_thin, share),
        *_gap(kind, has_gap, gap),
        *_few(kind, smoothing, end - start, step),
    ]
    return np.asarray(is_short | lost | is_thin | has_gap), tuple(said)


def _usual_step(place: Array) -> Array:
    """The usual distance of two points, mm, shape (...)."""
    return array(np.nanmedian(np.diff(place, axis=-1), axis=-1))


def _missing(
    place: Array, known: Mask, inside: Mask, start: Array, end: Array, step: Array
) -> tuple[Array, Array]:
    """The share of the points in the range that are missing, and the widest stretch without one, mm."""
    there = inside.sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = 1 - known.sum(axis=-1) / there
    share = np.where(there > 0, share, 1.0)
    # the places that count, those that do not put back on the last one before them
    at = np.maximum.accumulate(np.where(known, place, start[..., None]), axis=-1)
    at = np.concatenate([start[..., None], at, end[..., None]], axis=-1)
    return array(share), array(np.diff(at, axis=-1).max(axis=-1) - step)


def _short(
    kind: TraceKind, wrong: Mask, first: Array, last: Array, start: Array, end: Array
) -> Iterator[Notice]:
    if wrong.any():
        at = tuple(np.argwhere(wrong)[0])
        text = (
            f"A {kind} trace reaches from {first[at]:.3f} to {last[at]:.3f} mm of {ALONG[kind]}, its "
            f"evaluation range from {start[at]:.3f} to {end[at]:.3f} mm: measure the whole range, "
            "or say another one."
        )
        yield Notice(Level.STOP, f"{KEY}.short", text)


def _thin(kind: TraceKind, wrong: Mask, share: Array) -> Iterator[Notice]:
    if wrong.any():
        most = table("trace_rules").value("largest share missing")
        text = (
            f"Of the points of a {kind} trace in its evaluation range {share[wrong].max():.0%} are missing "
            f"or excluded: at most {most:.0%} may be."
        )
        yield Notice(Level.STOP, f"{KEY}.missing", text)


def _gap(kind: TraceKind, wrong: Mask, gap: Array) -> Iterator[Notice]:
    if wrong.any():
        most = table("trace_rules").value("largest gap")
        text = (
            f"A {kind} trace has no point that counts on {gap[wrong].max():.3f} mm of its evaluation range: "
            f"at most {most:.0%} of the range may be without one."
        )
        yield Notice(Level.STOP, f"{KEY}.gap", text)


def _few(kind: TraceKind, smoothing: SmoothedTrace | None, length: Array, step: Array) -> Iterator[Notice]:
    """Waves that stand between the points are not seen, with a filter or without one."""
    rule = table("trace_rules").value
    least = rule("fewest points per cut-off")
    if smoothing is None:
        stretch, name = length / rule("cut-offs in a range, 2013"), "a thirtieth of the range"
    else:
        stretch, name = array(smoothing.cut_off_mm), "a cut-off of the filter"
    points = np.fmin.reduce(np.ravel(stretch / step), initial=np.inf)
    if points < least * (1 - 1e-9):
        text = (
            f"The points of a {kind} trace stand {points:.1f} to {name}, at least {least:g} "
            "are asked: a shorter wave may hide between them."
        )
        yield Notice(Level.CAUTION, f"{KEY}.few_points", text)


def left_out(kind: TraceKind, deviation: Array, use: Mask, inside: Mask, spike: Mask) -> tuple[Notice, ...]:
    """Say what is missing, what was excluded and what stands out in the ranges of traces.

    Parameters
    ----------
    kind : TraceKind
        Of all traces.
    deviation : ndarray
        In µm, shape (..., points).
    use, inside, spike : ndarray of bool
        Which points count, lie in the range, and stand out.

    Returns
    -------
    tuple of Notice
        With the number of points.
    """
    missing = int((np.isnan(deviation) & inside).sum())
    excluded = int((~use & np.isfinite(deviation) & inside).sum())
    standing = int((spike & use & inside).sum())
    found = []
    if missing:
        text = f"{_points(missing)} missing in the evaluation ranges of the {kind} traces."
        found.append(Notice(Level.NOTE, f"{KEY}.missing_points", text))
    if excluded:
        text = f"{_points(excluded)} excluded from the evaluation ranges of the {kind} traces."
        found.append(Notice(Level.NOTE, f"{KEY}.excluded_points", text))
    if standing:
        text = (
            f"{_points(standing)} standing out as a spike in the evaluation ranges of the {kind} traces, and "
            "kept: exclude what is no flank, with its reason."
        )
        found.append(Notice(Level.CAUTION, f"{KEY}.spikes", text))
    return tuple(found)


def _points(count: int) -> str:
    return f"{count} point{'s are' if count != 1 else ' is'}"
