"""Every case depth of a mesh on one scale: needed, drawn, predicted, measured, as finished and as treated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, TypeAlias

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import array
from gearcheck.figures import tones
from gearcheck.figures.depths import needed_here, solved_depth
from gearcheck.figures.drawing import Drawing, backed, frame, layout, own_tone, rows
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.inputs import CaseDepthRule, CaseSpecification
from gearcheck.inspection.decide import Limit
from gearcheck.review.findings import End
from gearcheck.review.inputs import State, TraversePlace
from gearcheck.review.limits import limits_of
from gearcheck.review.results import Review
from gearcheck.review.traverses import ReadTraverse, read_traverse

Reads: TypeAlias = Sequence[ReadTraverse]

_ROW_PX, _FOOT_ROWS, _TEXT_PX = 50, 0.25, 16
_NARROW_PX, _LETTER_PX, _MARK_PX = 520, 8.6, 6  # the narrowest column, a letter of a value in it, half a mark
_NAME, _MARK = 0.30, 0.70
"""Where in its row a name and a mark stand."""


@dataclass(frozen=True, kw_only=True)
class CaseDepth:
    """One depth at 550 HV, or its range; `unsure_mm` either way where measured, `wrong` says what it misses.

    `finished` is whether it is a depth of the finished flank, which alone is held against what is needed.
    """

    label: str
    low_mm: float
    high_mm: float
    tone: str
    finished: bool = False
    wrong: str = ""
    unsure_mm: float = 0.0

    @property
    def value(self) -> str:
        """The depth in words, with what is wrong with it."""
        one = f"{self.low_mm:.2f} mm"
        both = one if self.low_mm == self.high_mm else f"{self.low_mm:.2f} to {self.high_mm:.2f} mm"
        return f"{both}, {self.wrong}" if self.wrong else both


def case_scale(shown: Review, place: int = 0) -> tuple[CaseDepth, ...]:
    """Return every depth at 550 HV of one mesh that is needed, drawn, predicted or measured.

    Parameters
    ----------
    shown : Review
        Of a record without arrays.
    place : int
        Which mesh.

    Returns
    -------
    tuple of CaseDepth
        In reading order, those of the finished flank first; empty where no case is drawn.
    """
    case = shown.record.gear.case
    if case is None:
        return ()
    reads = tuple(read_traverse(item) for item in shown.record.traverse)
    found = (
        *_asked(shown, place),
        *_finished(shown, case, place, reads),
        *_treated(shown, case, reads),
        *_ends(shown, reads),
    )
    return tuple(one for one in found if np.isfinite(one.low_mm) and np.isfinite(one.high_mm))


def _asked(shown: Review, place: int) -> Iterator[CaseDepth]:
    needed, solved = needed_here(shown, place), solved_depth(shown, place)
    if needed is not None and shown.record.methods is not None:
        rule = shown.record.methods.case_depth
        scale = ", read at 50 HRC" if rule is CaseDepthRule.AGMA_2101_SHEAR else ""
        yield CaseDepth(
            label=f"needed, {rule}{scale}", low_mm=needed, high_mm=needed, tone=tones.DEMAND, finished=True
        )
    if solved is not None:
        yield CaseDepth(
            label="solved against yielding",
            low_mm=solved,
            high_mm=solved,
            tone=tones.ACCENT,
            finished=True,
        )


def _finished(shown: Review, case: CaseSpecification, place: int, reads: Reads) -> Iterator[CaseDepth]:
    least, most = float(case.finished_min_mm), float(case.finished_max_mm)
    needed = needed_here(shown, place)
    short = "too shallow" if needed is not None and least < needed else ""
    yield CaseDepth(
        label="drawn, finished", low_mm=least, high_mm=most, tone=tones.INK, finished=True, wrong=short
    )
    for low, high in _predicted(shown):
        left, right = max(low - float(case.largest_stock_mm), 0.0), high - float(case.least_stock_mm)
        yield CaseDepth(
            label="predicted, finished",
            low_mm=left,
            high_mm=right,
            tone=tones.QUIET,
            finished=True,
            wrong="partly short" if left < least else "",
        )
    for flank, left, unsure in _measured_finished(shown, reads):
        wrong = "too shallow" if left < least else "too deep" if left > most else ""
        yield CaseDepth(
            label=f"measured, finished, {flank} flank",
            low_mm=left,
            high_mm=left,
            tone=tones.MEASURED,
            finished=True,
            wrong=wrong,
            unsure_mm=unsure,
        )


def _measured_finished(shown: Review, reads: Reads) -> Iterator[tuple[str, float, float]]:
    """The case left on a flank, as read on it or as treated less what was ground off."""
    for item in shown.record.case_depth:
        left = item.as_treated_mm - item.stock_removed_mm
        yield str(item.flank), left, item.head.uncertainty or 0.0
    for read in reads:
        traverse = read.item
        off = 0.0 if traverse.state is State.FINISHED else traverse.stock_removed_mm
        on_flank = traverse.place is TraversePlace.PITCH_LINE
        if on_flank and off is not None and read.end is End.CROSSES:
            yield f"{traverse.flank}", read.depth_mm - off, read.uncertainty_mm or 0.0


def _treated(shown: Review, case: CaseSpecification, reads: Reads) -> Iterator[CaseDepth]:
    least, most = float(case.as_treated_min_mm), float(case.as_treated_max_mm)

    def wrong(low: float, high: float) -> str:
        return "too shallow" if low < least else "too deep" if high > most else ""

    yield CaseDepth(label="drawn, as treated", low_mm=least, high_mm=most, tone=tones.INK)
    for low, high in _predicted(shown):
        out = "partly outside" if wrong(low, high) else ""
        yield CaseDepth(label="predicted, as treated", low_mm=low, high_mm=high, tone=tones.QUIET, wrong=out)
    measured = [
        (f"{item.flank} flank", item.as_treated_mm, item.head.uncertainty) for item in shown.record.case_depth
    ]
    measured += [
        (f"{one.item.flank} flank, traverse", one.depth_mm, one.uncertainty_mm)
        for one in reads
        if one.item.place is TraversePlace.PITCH_LINE
        and one.item.state is State.AS_TREATED
        and one.end is End.CROSSES
    ]
    for name, depth, unsure in measured:
        yield CaseDepth(
            label=f"measured, as treated, {name}",
            low_mm=depth,
            high_mm=depth,
            tone=tones.MEASURED,
            wrong=wrong(depth, depth),
            unsure_mm=unsure or 0.0,
        )


def _ends(shown: Review, reads: Reads) -> Iterator[CaseDepth]:
    """What is predicted and was measured at tip and root, with what is asked there in the label."""
    places = () if shown.predicted is None else shown.predicted.places
    if not places and not reads:
        return
    limits = limits_of(shown.record, shown.chain)
    for end in (TraversePlace.TIP, TraversePlace.ROOT):
        limit = limits.get(f"case.{end}")
        if limit is None:
            continue
        for one in (one for one in places if one.name == end):
            low, high = one.treated.case_depths_mm.tolist()
            yield _end(f"predicted at the {end}", State.AS_TREATED, limit, low, high, tones.QUIET)
        for read in (read for read in reads if read.item.place is end and read.end is End.CROSSES):
            told = f"measured at the {end}"
            one_depth = read.depth_mm
            found = _end(told, read.item.state, limit, one_depth, one_depth, tones.MEASURED)
            yield replace(found, unsure_mm=read.uncertainty_mm or 0.0)


def _end(told: str, state: State, limit: Limit, low: float, high: float, tone: str) -> CaseDepth:
    """One depth or range at tip or root against its one-sided limit."""
    if limit.least is not None:
        asked, misses = f"at least {limit.least:.2f}", (low < limit.least, high < limit.least)
    else:
        most = np.inf if limit.most is None else limit.most
        asked, misses = f"at most {most:.2f}", (low > most, high > most)
    wrong = "not as asked" if all(misses) else "partly not as asked" if any(misses) else ""
    return CaseDepth(
        label=f"{told}, {state}; {asked} mm asked", low_mm=low, high_mm=high, tone=tone, wrong=wrong
    )


def _predicted(shown: Review) -> Iterator[tuple[float, float]]:
    treated = None if shown.predicted is None else shown.predicted.treated
    if treated is not None and not np.isnan(treated.case_depths_mm).any():
        low, high = treated.case_depths_mm.tolist()
        yield low, high


def case_scale_drawing(depths: Sequence[CaseDepth]) -> Drawing:
    """Draw depths one below the other on one scale, with what is needed as a line through the finished ones.

    Parameters
    ----------
    depths : sequence of CaseDepth
        At least one.

    Returns
    -------
    Drawing
        As wide as its column, a row a depth: its name above its mark, its value beside it.
    """
    count = len(depths)
    right = max((one.high_mm + one.unsure_mm) / _share(one.value) for one in depths)
    held = max((place for place, one in enumerate(depths) if one.finished), default=-1) + 1.0
    needed = [one.low_mm for one in depths if one.label.startswith("needed")]
    marks = _marks(depths)
    ranged = marks["low"] != marks["high"]
    unsure = np.array([one.unsure_mm for one in depths])
    wide = marks.assign(low=marks["low"] - unsure, high=marks["high"] + unsure)
    values = wide.assign(
        low=wide["high"],
        label=[one.value for one in depths],
        tone=[tones.WORDS["fails"] if one.wrong else tones.INK for one in depths],
    )
    before = np.array([_before(one, needed, right) for one in depths])
    return Drawing(
        layout=_layout(count),
        rows={
            "frame": frame({"low": [0.0, right], "row": [0.0, float(count)]}),
            "between": frame({"low": [0.0], "high": [right], "row": [held], "tone": [tones.RULE]}),
            "bars": marks[ranged],
            "points": marks[~ranged],
            "unsure": wide[unsure > 0],
            "needed": frame(
                {"low": needed, "row": [_MARK for _ in needed], "foot": held, "tone": tones.DEMAND}
            ),
            "names": marks.assign(
                low=0.0, row=marks["row"] - _MARK + _NAME, label=[one.label for one in depths], tone=tones.INK
            ),
            "values": values[~before],
            "before": values.assign(low=wide["low"])[before],
        },
        words="Case depths at 550 HV: " + "; ".join(f"{one.label} {one.value}" for one in depths),
    )


def _marks(depths: Sequence[CaseDepth]) -> pd.DataFrame:
    """A row a depth: from where to where its mark goes, and how far down it stands."""
    return frame(
        {
            "low": [one.low_mm for one in depths],
            "high": [one.high_mm for one in depths],
            "row": [place + _MARK for place in range(len(depths))],
            "tone": [one.tone for one in depths],
        }
    )


def _share(value: str) -> float:
    """The share of the narrowest column that is left where a value is written behind its mark."""
    return max(1 - (16 + _LETTER_PX * len(value)) / _NARROW_PX, 0.3)


def _before(one: CaseDepth, needed: Sequence[float], right: float) -> bool:
    """Whether a value stands before its mark, so that the line of what is needed does not run through it."""
    wide, mark = right * (1 - _share(one.value)), right * _MARK_PX / _NARROW_PX
    low, high = one.low_mm - one.unsure_mm, one.high_mm + one.unsure_mm
    return one.finished and low > wide and any(high + mark < line < high + wide for line in needed)


@cache
def _layout(count: int) -> dict[str, Any]:
    exact = alt.Scale(zero=True, nice=False)
    title = "depth at 550 HV below its own surface, mm"
    x = alt.X("low:Q", title=title, scale=exact, axis=alt.Axis(grid=True))
    down = alt.Scale(domain=[0, count + _FOOT_ROWS], reverse=True, nice=False)
    y = alt.Y("row:Q", title=None, scale=down, axis=None)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("between").mark_rule(strokeWidth=1.5).encode(x=x, x2="high:Q", y=y, color=own_tone()),
        rows("needed")
        .mark_rule(strokeWidth=2, strokeDash=[6, 4])
        .encode(x=x, y=y, y2="foot:Q", color=own_tone()),
        rows("unsure").mark_rule(strokeWidth=2.5).encode(x=x, x2="high:Q", y=y, color=own_tone()),
        rows("bars").mark_rule(strokeWidth=11).encode(x=x, x2="high:Q", y=y, color=own_tone()),
        rows("points")
        .mark_point(size=190, filled=True, opacity=1, shape="diamond")
        .encode(x=x, y=y, color=own_tone()),
        *backed("names", x, y, dx=0, fontSize=_TEXT_PX),
        *backed("values", x, y, dx=12, fontSize=_TEXT_PX, fontWeight="bold"),
        *backed("before", x, y, dx=-12, align="right", fontSize=_TEXT_PX, fontWeight="bold"),
        height=round(_ROW_PX * (count + _FOOT_ROWS)),
    )


def deepest_mesh(shown: Review) -> int:
    """Return the place of the mesh that asks for the deepest case by the governing rule."""
    asked = [needed_here(shown, place) or 0.0 for place in range(len(shown.chain.meshes))]
    return int(np.argmax(asked))


def _yielding(shown: Review, place: int, drawn_mm: float) -> Iterator[str]:
    """What yielding asks for beyond the case drawn, though another figure governs."""
    solved, methods = shown.settled[place].required if shown.settled else None, shown.record.methods
    if solved is None or (methods is not None and methods.case_depth is Criterion.YIELDING):
        return
    if solved.depth_mm is None:
        yield "no depth suffices against yielding"
    elif float(array(solved.depth_mm)) > drawn_mm:
        yield f"{float(array(solved.depth_mm)):.2f} mm would be needed against yielding"


def case_answer(shown: Review, place: int = 0) -> str:
    """Say in one sentence whether the case is enough, as far as it is drawn, predicted and measured."""
    depths = case_scale(shown, place)
    needed = next((one for one in depths if one.label.startswith("needed")), None)
    drawn = next((one for one in depths if one.label == "drawn, finished"), None)
    if needed is None or drawn is None:
        return ""
    spare = drawn.low_mm - needed.low_mm
    said = (
        f"{'Enough' if spare >= 0 else 'Not enough'} as drawn by {needed.label.removeprefix('needed, ')}: "
        f"{drawn.low_mm:.2f} mm at least where {needed.low_mm:.2f} mm is needed"
    )
    others = [one for one in depths if one.finished and one.tone in (tones.QUIET, tones.MEASURED)]
    told = [f"{one.label} {one.value}" for one in others if one.wrong or one.low_mm < needed.low_mm]
    told = [*_yielding(shown, place, drawn.low_mm), *told]
    if told:
        return f"{said}. But: {'; '.join(told)}."
    kinds = {one.label.partition(",")[0] for one in others}
    keeps = f"; what is {' and '.join(sorted(kinds))} keeps it" if kinds else ""
    return f"{said}{keeps}."
