"""Stress over cycles: every specimen, the curves that are argued over, and where the duty lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from typing import Any, cast

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, joined, layout, rows
from gearcheck.figures.labels import free_within, spread_within
from gearcheck.figures.placing import Line, placed, written

_HEIGHT_PX, _AXIS_PX, _LINE_PX = 500, 64, 19
_ROOM, _HEAD = 0.04, 0.1  # below and above what is drawn, of the logarithm of stress
_LEFT, _RIGHT = 0.35, 1.0  # decades beside the shortest and the longest that is drawn
_FLAT = 0.06  # the axis spans at least so much of ln S
_ARROW = "M1.1,0L3,0M2.3,-0.5L3,0L2.3,0.5"
_CROSS = "M-0.8,-0.8L0.8,0.8M-0.8,0.8L0.8,-0.8"
_AT_AXIS = "M0,0L1.4,-0.8L1.4,0.8Z"
_NAMED_FROM = 0.75  # of the width: so far to the left the names at the right ends reach
_BEYOND = 0.45  # how strong a curve is where nothing was tested
_MARK_PX = 8.0
_DIAMOND = "M0,-1L1,0L0,1L-1,0Z"
_RAISED = "['⁰','¹','²','³','⁴','⁵','⁶','⁷','⁸','⁹']"
_POWER = f"'10' + (log(datum.value)/LN10 > 9.5 ? '¹' : '') + {_RAISED}[round(log(datum.value)/LN10) % 10]"


class Mark(StrEnum):
    """What became of a specimen."""

    FAILED = "failed"
    RAN_OUT = "ran out"
    LEFT_OUT = "left out"
    AGAIN = "tested again"


class Weight(StrEnum):
    """How much a line counts in the argument."""

    QUIET = "quiet"
    GHOST = "ghost"
    SPECIMENS = "specimens"
    BOUND = "bound"
    GEAR = "gear"


@dataclass(frozen=True, kw_only=True)
class SpecimenMarks:
    """The tests as they are drawn, one entry each; `names` are written beside those that do not count."""

    stress_MPa: Array
    cycles: Array
    marks: tuple[Mark, ...]
    names: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class CurveLine:
    """One curve: the stress at each life, falling; without a label it only stands."""

    label: str
    cycles: Array
    stress_MPa: Array
    weight: Weight


@dataclass(frozen=True, kw_only=True)
class DutyMark:
    """A stress of the gear's own duty, as the specimens were stressed."""

    stress_MPa: float
    label: str


_STYLES = {
    Weight.QUIET: (tones.GHOST, 1.1, [1, 0]),
    Weight.GHOST: (tones.GHOST, 2.0, [3, 3]),
    Weight.SPECIMENS: (tones.DEMAND, 2.2, [1, 0]),
    Weight.BOUND: (tones.DEMAND, 2.0, [7, 4]),
    Weight.GEAR: (tones.CAPACITY, 3.2, [1, 0]),
}


def curve_drawing(
    tests: SpecimenMarks,
    lines: Sequence[CurveLine],
    *,
    run_out_cycles: float,
    duty: Sequence[DutyMark] = (),
    to_cycles: float | None = None,
) -> Drawing:
    """Draw the tests with the curves.

    Parameters
    ----------
    tests : SpecimenMarks
        At least one.
    lines : sequence of CurveLine
        What stands later lies on top.
    run_out_cycles : float
        Beyond it nothing was tested.
    duty : sequence of DutyMark
        Marked at the axis; of those that lie below the chart the largest is named.
    to_cycles : float, optional
        How far the chart reaches; without, a decade beyond the run-out life.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    left = 10.0 ** (np.log10(tests.cycles.min()) - _LEFT)
    right = max(to_cycles or 0.0, 10.0**_RIGHT * run_out_cycles)
    seen = [_within(line, left, right) for line in lines]
    low, high = _reach(tests, seen)
    axes = _Axes(left, right, low, high)
    seen = [_part(line, line.stress_MPa <= high) for line in seen]
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"cycles": [left, right], "stress": [low, high]}),
            **_curves(seen, run_out_cycles),
            **_names(seen, tests, axes, run_out_cycles),
            "run_out": frame(
                {
                    "cycles": [run_out_cycles],
                    "stress": [high],
                    "foot": [low],
                    "label": [_run_out(run_out_cycles)],
                }
            ),
            **_marks(tests),
            **_duty(duty, axes),
        },
        words=_words(tests, seen, run_out_cycles, _in_sight(duty, axes)),
    )


@dataclass(frozen=True)
class _Axes:
    """The ends of both axes, and how far along them something lies."""

    left: float
    right: float
    low: float
    high: float

    def across(self, cycles: Array) -> Array:
        """Share of the width."""
        return np.asarray(np.log(cycles / self.left) / np.log(self.right / self.left))

    def up(self, stress: Array) -> Array:
        """Share of the height."""
        return np.asarray(np.log(stress / self.low) / np.log(self.high / self.low))

    def level_px(self, stress: Array) -> Array:
        """Distance from the top."""
        return np.asarray(_HEIGHT_PX * (1 - self.up(stress)))


def _run_out(cycles: float) -> str:
    return f"run-out life {number_text(cycles, 2)}: nothing was tested beyond"


def _within(line: CurveLine, left: float, right: float) -> CurveLine:
    inside = (line.cycles >= left) & (line.cycles <= right) & np.isfinite(line.stress_MPa)
    return _part(line, inside)


def _part(line: CurveLine, inside: Any) -> CurveLine:
    return replace(line, cycles=line.cycles[inside], stress_MPa=line.stress_MPa[inside])


def _reach(tests: SpecimenMarks, lines: Sequence[CurveLine]) -> tuple[float, float]:
    """The ends of the axis of stress: all tests, and the curves where they leave them below."""
    lowest = [float(line.stress_MPa.min()) for line in lines if line.stress_MPa.size]
    low, high = np.log(min([float(tests.stress_MPa.min()), *lowest])), np.log(tests.stress_MPa.max())
    room = max(0.0, _FLAT - (high - low)) / 2
    return float(np.exp(low - room - _ROOM)), float(np.exp(high + room + _HEAD))


def _curves(lines: Sequence[CurveLine], run_out: float) -> dict[str, pd.DataFrame]:
    """Rows of each weight, and of what goes on beyond the run-out life."""
    found: dict[str, list[pd.DataFrame]] = {}
    for place, line in enumerate(lines):
        beyond = line.cycles >= run_out
        tested = line.cycles <= run_out
        for name, inside in ((f"{line.weight}", tested), (f"{line.weight} beyond", beyond)):
            columns = {"cycles": line.cycles[inside], "stress": line.stress_MPa[inside], "name": f"{place}"}
            found.setdefault(name, []).append(frame(columns))
    names = [f"{weight}{part}" for weight in Weight for part in ("", " beyond")]
    return {name: joined(found.get(name, []), ("cycles", "stress", "name")) for name in names}


def _names(
    lines: Sequence[CurveLine], tests: SpecimenMarks, axes: _Axes, run_out: float
) -> dict[str, pd.DataFrame]:
    """The names that begin above their line, those that end below it, and those at the ends of thin lines."""
    drawn = [line for line in lines if line.cycles.size]
    thin = [line for line in drawn if line.weight is Weight.QUIET and line.label]
    ends = _ends(thin, [line for line in drawn if line.weight is not Weight.QUIET], axes)
    placing = [
        Line(
            label="" if line.weight is Weight.QUIET else line.label,
            across=axes.across(line.cycles),
            level_px=axes.level_px(line.stress_MPa),
        )
        for line in drawn
    ]
    at_run_out = float(axes.across(np.array(run_out)))
    taken = [written(_run_out(run_out), at_run_out, 9.0, ends=True), *_taken(tests, axes)]
    taken += [
        written(label, 1.0, float(axes.level_px(np.array(stress))), ends=True)
        for label, stress in zip(ends["label"], ends["stress"], strict=True)
    ]
    found: dict[bool, list[pd.DataFrame]] = {False: [], True: []}
    for line, one, place in zip(drawn, placing, placed(placing, [at_run_out], taken), strict=True):
        if not one.label:
            continue
        where = float(np.clip(place.at, one.across[0], one.across[-1]))
        cycles = axes.left * (axes.right / axes.left) ** where
        stress = float(np.exp(np.interp(where, one.across, np.log(line.stress_MPa))))
        tone = _STYLES[line.weight][0]
        row = frame({"cycles": [cycles], "stress": [stress], "label": [line.label], "tone": [tone]})
        found[place.below].append(row)
    columns = ("cycles", "stress", "label", "tone")
    return {"above": joined(found[False], columns), "below": joined(found[True], columns), "ends": ends}


def _ends(lines: Sequence[CurveLine], heavy: Sequence[CurveLine], axes: _Axes) -> pd.DataFrame:
    """The names of thin lines at their right ends, kept apart and off the lines that are argued over."""
    levels = [float(axes.up(np.array(line.stress_MPa[-1]))) for line in lines]
    taken = [_reached_by(line, axes) for line in heavy if axes.across(line.cycles[-1:])[0] > _NAMED_FROM]
    apart = free_within(levels, _LINE_PX / _HEIGHT_PX, taken)
    return frame(
        {
            "cycles": [axes.right for _ in lines],
            "stress": [axes.low * (axes.high / axes.low) ** place for place in apart],
            "label": [line.label for line in lines],
            "tone": [tones.QUIET for _ in lines],
        }
    )


def _reached_by(line: CurveLine, axes: _Axes) -> tuple[float, float]:
    """Between which shares of the height a line runs where thin lines are named."""
    across = np.linspace(_NAMED_FROM, 1.0, 8)
    levels = np.interp(across, axes.across(line.cycles), axes.up(line.stress_MPa))
    return float(levels.min()), float(levels.max())


def _taken(tests: SpecimenMarks, axes: _Axes) -> list[Array]:
    """The boxes of the marks, and of what is written beside them."""
    found = []
    for cycles, stress, mark, name in zip(
        axes.across(tests.cycles), axes.level_px(tests.stress_MPa), tests.marks, tests.names, strict=True
    ):
        label = {Mark.FAILED: "", Mark.RAN_OUT: "→ ×9"}.get(mark, f"{name} {mark}")
        box = written(f"{label}ii", float(cycles), float(stress), ends=False)
        found.append(box - np.array([_MARK_PX, 0.0, _MARK_PX if label.endswith(f"{mark}") else 0.0, 0.0]))
    return found


def _marks(tests: SpecimenMarks) -> dict[str, pd.DataFrame]:
    """Rows of each mark; run-outs that fall on one another are counted beside their arrow."""
    table = pd.DataFrame(
        {
            "cycles": tests.cycles,
            "stress": tests.stress_MPa,
            "mark": [str(mark) for mark in tests.marks],
            "name": tests.names,
        }
    )
    kinds = {str(mark): table[table["mark"] == str(mark)] for mark in Mark}
    out = kinds[str(Mark.RAN_OUT)]
    many = out.groupby(["cycles", "stress"], as_index=False).size()
    counted = many[many["size"] > 1]
    aside = pd.concat([kinds[str(Mark.LEFT_OUT)], kinds[str(Mark.AGAIN)]], ignore_index=True)
    return {
        "failed": kinds[str(Mark.FAILED)][["cycles", "stress"]],
        "ran_out": many[["cycles", "stress"]],
        "counted": counted.assign(label=[f"×{size}" for size in counted["size"]], tone=tones.INK),
        "left_out": kinds[str(Mark.LEFT_OUT)][["cycles", "stress"]],
        "again": kinds[str(Mark.AGAIN)][["cycles", "stress"]],
        "aside": aside.assign(label=aside["name"].str.cat(aside["mark"], sep=" "), tone=tones.QUIET),
    }


def _duty(duty: Sequence[DutyMark], axes: _Axes) -> dict[str, pd.DataFrame]:
    """Each stress of the duty at the axis, its name beside it; of those that lie below, the largest."""
    marks = _in_sight(duty, axes)
    share = [float(axes.up(np.array(mark.stress_MPa))) for mark in marks]
    apart = spread_within(share, _LINE_PX / _HEIGHT_PX, 0.02, 0.98)
    at = [axes.left for _ in marks]
    return {
        "duty": frame({"cycles": at, "stress": [mark.stress_MPa for mark in marks]}),
        "duty_named": frame(
            {
                "cycles": at,
                "stress": [axes.low * (axes.high / axes.low) ** place for place in apart],
                "label": [mark.label for mark in marks],
                "tone": [tones.LIMIT for _ in marks],
            }
        ),
    }


def _in_sight(duty: Sequence[DutyMark], axes: _Axes) -> list[DutyMark]:
    inside = [mark for mark in duty if axes.low < mark.stress_MPa < axes.high]
    below = [mark for mark in duty if mark.stress_MPa <= axes.low]
    if not below:
        return inside
    most = max(below, key=lambda mark: mark.stress_MPa)
    said = "below the chart" if len(below) == 1 else f"the largest of {len(below)} below the chart"
    return [*inside, DutyMark(stress_MPa=axes.low, label=f"{most.label}: {said}")]


def _words(tests: SpecimenMarks, lines: Sequence[CurveLine], run_out: float, duty: Sequence[DutyMark]) -> str:
    count = {mark: tests.marks.count(mark) for mark in Mark}
    said = ", ".join(f"{number} {mark}" for mark, number in count.items() if number)
    curves = "; ".join(line.label for line in lines if line.label and line.cycles.size)
    stresses = "; ".join(mark.label for mark in duty)
    ends = f"; with the stresses of the duty: {stresses}" if stresses else ""
    return (
        f"Stress over cycles of {len(tests.marks)} tests, {said}, run-out life {number_text(run_out, 2)}; "
        f"with the curves: {curves}{ends}"
    )


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(type="log", nice=False)
    powers = alt.Axis(
        labelExpr=_POWER, values=[10.0**power for power in range(2, 13)], grid=False, labelOverlap=False
    )
    x = alt.X("cycles:Q", title="cycles N", scale=exact, axis=powers)
    side = alt.Axis(grid=False, format="d", tickCount=8, minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("stress:Q", title="stress σ, MPa", scale=exact, axis=side)
    run_out = rows("run_out").mark_rule(color=tones.INK, strokeWidth=1.2, strokeDash=[5, 4])
    named = rows("run_out").mark_text(align="right", dx=-6, dy=9, color=tones.INK)
    duty = rows("duty").mark_point(color=tones.LIMIT, filled=True, size=110, shape=_AT_AXIS, opacity=1)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        run_out.encode(x=x, y=y, y2="foot:Q"),
        duty.encode(x=x, y=y),
        *(_line(weight, part, x, y) for weight in Weight for part in ("", " beyond")),
        *_points(x, y),
        *backed("counted", x, y, dx=20),
        *backed("aside", x, y, dx=10, dy=-12),
        *backed("above", x, y, dx=4, dy=-11),
        *backed("below", x, y, align="right", dx=-4, dy=13),
        *backed("ends", x, y, align="right", dx=-2, dy=0),
        named.encode(x=x, y=y, text="label:N"),
        *backed("duty_named", x, y, dx=14),
        height=_HEIGHT_PX,
    )


def _points(x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """The marks of the specimens: filled, open with an arrow, a cross, a diamond."""
    failed = rows("failed").mark_point(color=tones.MEASURED, size=75, filled=True, opacity=0.85)
    shapes = (
        ("ran_out", "circle", tones.MEASURED),
        ("ran_out", _ARROW, tones.MEASURED),
        ("left_out", _CROSS, tones.QUIET),
        ("again", _DIAMOND, tones.QUIET),
    )
    found = [failed.encode(x=x, y=y)]
    for name, shape, tone in shapes:
        style = {"fill": tones.PAPER} if shape == "circle" else {"filled": False}
        mark = rows(name).mark_point(
            stroke=tone, size=75, shape=shape, strokeWidth=1.8, opacity=1, **cast(Any, style)
        )
        found.append(mark.encode(x=x, y=y))
    return found


def _line(weight: Weight, part: str, x: alt.X, y: alt.Y) -> alt.Chart:
    tone, width, dash = _STYLES[weight]
    mark = rows(f"{weight}{part}").mark_line(
        color=tone,
        strokeWidth=width,
        strokeDash=dash,
        interpolate="monotone",
        opacity=_BEYOND if part else 1.0,
    )
    line: alt.Chart = mark.encode(x=x, y=y, detail="name:N")
    return line
