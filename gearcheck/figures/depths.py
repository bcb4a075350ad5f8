"""The depths of one mesh that a review speaks of: needed, solved, drawn, left after grinding, measured."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from gearcheck.basics.numbers import plain
from gearcheck.figures import tones
from gearcheck.figures.depth import DepthLine
from gearcheck.review.criterion import needed_depth
from gearcheck.review.results import Review

Read = Callable[[Review, int], float | None]


def drawn_depth(whole: Review, _: int = 0) -> float | None:
    """Return the least finished case depth of the drawing."""
    case = whole.record.gear.case
    return None if case is None else float(case.finished_min_mm)


def needed_here(whole: Review, place: int) -> float | None:
    """Return the depth that the governing rule asks for in one mesh."""
    depth: float | None = plain(needed_depth(whole.record, whole.chain.meshes[place]))
    return depth


def solved_depth(whole: Review, place: int) -> float | None:
    """Return the depth that is solved against yielding in one mesh."""
    required = whole.settled[place].required if whole.settled else None
    depth: float | None = None if required is None else required.depth_mm
    return depth


def _left(flank: str) -> Read:
    def read(whole: Review, _: int) -> float | None:
        result = getattr(whole.chain, flank)
        depth: float | None = None if result is None else result.least_mm
        return depth

    return read


_READ: tuple[tuple[str, str, Read], ...] = (
    ("needed", tones.DEMAND, needed_here),
    ("solved against yielding", tones.ACCENT, solved_depth),
    ("drawn, finished, least", tones.INK, drawn_depth),
    ("left at least, left flank", tones.CAPACITY, _left("left")),
    ("left at least, right flank", tones.CAPACITY, _left("right")),
)


def depth_lines(shown: Review, record: Review, place: int = 0) -> tuple[DepthLine, ...]:
    """Return the depths of one mesh; what has no value is left out, and flanks that agree share one line.

    Parameters
    ----------
    shown, record : Review
        As drafted, and as it stands.
    place : int
        Which mesh.

    Returns
    -------
    tuple of DepthLine
        In reading order.
    """
    kept: list[DepthLine] = []
    for line in (*_by_calculation(shown, record, place), *_measured(shown)):
        name = line.label.partition(",")[0]
        twin = next((one for one in kept if _agree(one, line, name)), None)
        if twin is None:
            kept.append(line)
        else:
            kept[kept.index(twin)] = replace(twin, label=f"{name}, both flanks")
    return tuple(kept)


def _agree(one: DepthLine, other: DepthLine, name: str) -> bool:
    return one.label.startswith(f"{name},") and abs(one.depth_mm - other.depth_mm) < 0.005


def _by_calculation(shown: Review, record: Review, place: int) -> Iterator[DepthLine]:
    for label, tone, read in _READ:
        now, was = read(shown, place), read(record, place)
        if now is not None:
            moved = was is not None and abs(was - now) > 0.004
            yield DepthLine(label=label, depth_mm=now, tone=tone, ghost_mm=was if moved else None)


def _measured(shown: Review) -> Iterator[DepthLine]:
    for item in shown.record.case_depth:
        left = item.as_treated_mm - item.stock_removed_mm
        yield DepthLine(label=f"measured, {item.flank} flank", depth_mm=left, tone=tones.MEASURED)
