"""What the drawings of measured traces show: one flank of one set, and a tooth with several profiles."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.numbers import array
from gearcheck.figures.flank_map import FlankMap
from gearcheck.figures.traces import FlankTraces, TraceLine
from gearcheck.review.traced import PARAMETERS, ReadTraces

_ALONG = {TraceKind.PROFILE: "roll length, mm", TraceKind.HELIX: "face position, mm"}
_FEWEST = 3  # profiles that make a map


def flank_traces(
    read: ReadTraces, flank: Flank, drawn: Tolerances | None, drawn_class: str
) -> FlankTraces | None:
    """Return what is drawn of the traces of one flank.

    Parameters
    ----------
    read : ReadTraces
        The set.
    flank : Flank
        Which flank.
    drawn : Tolerances or None
        Of the class drawn, without arrays.
    drawn_class : str
        How that class is called: ``class 5``.

    Returns
    -------
    FlankTraces or None
        None where the flank was not measured, or nothing of it could be evaluated.
    """
    kind, found = read.item.kind, read.evaluation
    total = array(found.total_um)
    places = [int(trace) for trace in read.on(flank) if np.isfinite(total[trace])]
    if not places:
        return None
    limit = None if drawn is None else getattr(drawn, f"{kind}_total_um")
    worst, words, share = _worst(read, places, drawn)
    return FlankTraces(
        kind=str(kind),
        flank=str(flank),
        over=_ALONG[kind],
        lines=tuple(_line(read, trace) for trace in places),
        worst=worst,
        worst_words=words,
        is_over=share > 1.0,
        start_mm=float(array(found.start_mm)[places[0]]),
        end_mm=float(array(found.end_mm)[places[0]]),
        limit_um=None if limit is None else float(limit),
        limit_words=drawn_class,
    )


def _worst(read: ReadTraces, places: list[int], drawn: Tolerances | None) -> tuple[int, str, float]:
    """The trace that uses the largest share of a tolerance, what it is of it, and that share."""
    found: list[tuple[float, int, str]] = []
    for name, field in PARAMETERS.items():
        limit = None if drawn is None else getattr(drawn, f"{read.item.kind}_{field}")
        if limit is None and name != "total":
            continue
        values = array(getattr(read.evaluation, field))[places]
        at = int(np.argmax(np.abs(values)))
        share = 0.0 if limit is None else abs(float(values[at])) / float(limit)
        over = ", over" if share > 1.0 else ""
        said = f"{trace_words(read, places[at])}: {name} {values[at]:.1f} µm{over}".replace("-", "−")
        found.append((share, at, said))
    share, at, said = max(found)
    return at, said, share


def _line(read: ReadTraces, trace: int) -> TraceLine:
    """What was left out is drawn as it was measured, the rest behind the filter."""
    found = read.evaluation
    design = np.broadcast_to(array(read.design.design_um), array(found.deviation_um).shape)[trace]
    raw, used = array(found.deviation_um)[trace] - design, found.used[trace]
    return TraceLine(
        name=trace_words(read, trace),
        place_mm=array(found.place_mm)[trace],
        deviation_um=np.where(used, array(found.without_design_um)[trace], raw),
        mean_line_um=array(found.mean_line_um)[trace],
        left_out=~used & np.isfinite(raw),
    )


def trace_words(read: ReadTraces, trace: int) -> str:
    """Name a trace: its tooth, and where it lies the other way where its tooth has several."""
    item = read.item
    tooth = int(item.tooth[trace])
    same = (item.tooth == tooth) & np.array([one is item.flank[trace] for one in item.flank])
    if item.across_mm is None or same.sum() < 2:
        return f"tooth {tooth}"
    return f"tooth {tooth} at {item.across_mm[trace]:.1f}"


def flank_maps(read: ReadTraces) -> Iterator[FlankMap]:
    """Yield a map of each flank of a tooth that has at least three profiles across the face."""
    item, found = read.item, read.evaluation
    if item.kind is not TraceKind.PROFILE or item.across_mm is None:
        return
    for flank in read.flanks:
        for tooth in dict.fromkeys(item.tooth[read.on(flank)].tolist()):
            traces = [trace for trace in read.on(flank) if item.tooth[trace] == tooth]
            if len(traces) >= _FEWEST:
                yield FlankMap(
                    name=f"tooth {tooth}, {flank} flank",
                    across_mm=item.across_mm[traces],
                    place_mm=array(found.place_mm)[traces],
                    deviation_um=array(found.without_design_um)[traces],
                )
