"""Hardness over depth: needed, drawn, and measured, on one chart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.depth import DepthLine
from gearcheck.figures.drawing import Drawing, backed, broken, frame, joined, layout, own_tone, rows, words
from gearcheck.figures.placing import Line, placed, written
from gearcheck.hardening.needed import needed_hardness_HV
from gearcheck.hardening.profile import CRITERION_HV, hardness_profile
from gearcheck.review.inputs import TraverseEvidence
from gearcheck.review.results import Review
from gearcheck.review.traverses import stock_off

_HEIGHT_PX, _LINE_PX = 440, 21
_LIMIT_NAME = "550 HV: the case ends"
_POINTS = 121
_ENDS = 0.5  # of the width: the name of points that go further ends at their last
_DEEPER = 1.8  # times the deepest case: there the core is reached


@dataclass(frozen=True, kw_only=True)
class HardnessCurve:
    """One hardness over the depth below the finished flank; `points` for what was measured.

    Its name is written where the lines lie apart.
    """

    label: str
    depth_mm: Array
    hardness_HV: Array
    tone: str
    dashed: bool = False
    points: bool = False


def hardness_curves(shown: Review, place: int = 0, *, to_mm: float = 0.0) -> tuple[HardnessCurve, ...]:
    """Return the hardness needed against yielding, that of the case as drawn, and what was measured.

    Parameters
    ----------
    shown : Review
        Of a record without arrays.
    place : int
        Which mesh.
    to_mm : float
        At least so deep.

    Returns
    -------
    tuple of HardnessCurve
        Empty where neither a case nor a hardness is drawn.
    """
    case, steel = shown.record.gear.case, shown.record.gear.steel
    if case is None or steel is None:
        return ()
    right = max(_DEEPER * float(case.finished_max_mm), to_mm)
    depth = np.linspace(0, right, _POINTS)
    found = [*_needed(shown, place, depth)]
    for end, label, dashed in (
        (case.finished_min_mm, "drawn, shallowest", False),
        (case.finished_max_mm, "drawn, deepest", True),
    ):
        profile = hardness_profile(
            depth_mm=depth,
            surface_hardness_HV=steel.surface_hardness_HV,
            core_hardness_HV=steel.core_hardness_HV,
            case_depth_mm=end,
        )
        found.append(
            HardnessCurve(
                label=label,
                depth_mm=depth,
                hardness_HV=array(profile.hardness_HV),
                tone=tones.CAPACITY,
                dashed=dashed,
            )
        )
    found += _predicted(shown, depth)
    found += [curve for item in shown.record.traverse for curve in _measured(shown, item, right)]
    return tuple(curve for curve in found if np.isfinite(curve.hardness_HV).any())


def _needed(shown: Review, place: int, depth: Array) -> list[HardnessCurve]:
    solved = shown.settled[place].required if shown.settled else None
    if solved is None or solved.half_width_mm is None:
        return []
    needed = needed_hardness_HV(
        depth_mm=depth,
        half_width_mm=solved.half_width_mm,
        pressure_MPa=solved.pressure_MPa,
        safety=solved.safety,
    )
    label = "needed against yielding, safety included"
    return [HardnessCurve(label=label, depth_mm=depth, hardness_HV=needed, tone=tones.DEMAND)]


def _predicted(shown: Review, depth: Array) -> list[HardnessCurve]:
    """The prediction below the finished flank: the softest case under the largest stock, and its opposite."""
    treated = None if shown.predicted is None else shown.predicted.treated
    case = shown.record.gear.case
    if treated is None or case is None:
        return []
    most, least = float(case.largest_stock_mm), float(case.least_stock_mm)
    return [
        HardnessCurve(
            label=f"predicted, {name}",
            depth_mm=depth,
            hardness_HV=np.interp(depth + stock, treated.depth_mm, hardness, right=np.nan),
            tone=tones.QUIET,
            dashed=dashed,
        )
        for name, hardness, stock, dashed in (
            ("softest", treated.softest_HV, most, False),
            ("hardest", treated.hardest_HV, least, True),
        )
    ]


def _measured(shown: Review, item: TraverseEvidence, right: float) -> list[HardnessCurve]:
    """A traverse at the pitch line, below the finished flank: less what came off, or the largest stock."""
    known = stock_off(shown.record, item)
    if known is None:
        return []
    depth = array(item.depth_mm) - known[0]
    seen = (depth >= 0) & (depth <= right)
    side = f", {item.flank} flank" + (", largest stock off" if "largest" in known[1] else "")
    return [
        HardnessCurve(
            label=f"measured{side}",
            depth_mm=depth[seen],
            hardness_HV=array(item.hardness_HV)[seen],
            tone=tones.MEASURED,
            points=True,
        )
    ]


def hardness_drawing(curves: Sequence[HardnessCurve], lines: Sequence[DepthLine]) -> Drawing:
    """Draw hardness over depth, with a labelled line at each depth that is spoken of.

    Parameters
    ----------
    curves : sequence of HardnessCurve
        At least one.
    lines : sequence of DepthLine
        Depths at 550 HV.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    right = max(float(curve.depth_mm.max()) for curve in curves)
    peak = max(float(np.nanmax(curve.hardness_HV)) for curve in curves)
    order = sorted((line for line in lines if line.depth_mm <= right), key=lambda line: line.depth_mm)
    top = max(peak, CRITERION_HV) / (1 - _LINE_PX * (len(order) + 1.5) / _HEIGHT_PX)
    step = top * _LINE_PX / _HEIGHT_PX
    rules = frame(
        {
            "depth": [line.depth_mm for line in order],
            "hardness": [top - step * (number + 0.5) for number in range(len(order))],
            "foot": 0.0,
            "label": [f"{line.label} {line.depth_mm:.2f} mm" for line in order],
            "tone": [line.tone for line in order],
        }
    )
    said = [curve.label for curve in curves]
    above, below = _names(curves, [line.depth_mm for line in order], right, top)
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"depth": [0.0, right], "hardness": [0.0, top]}),
            "lines": _rows([curve for curve in curves if not curve.points]),
            "points": _rows([curve for curve in curves if curve.points]),
            "above": above,
            "below": below,
            "limit": frame(
                {
                    "depth": [0.0, right],
                    "hardness": [CRITERION_HV, CRITERION_HV],
                    "label": ["", _LIMIT_NAME],
                    "tone": tones.LIMIT,
                }
            ),
            "record": _ghosts(order),
            "rules": rules,
            "labels": rules.assign(tone=tones.INK),
        },
        words=f"Hardness below the finished flank: {'; '.join(said)}; with the depths: "
        f"{'; '.join(rules['label'])}",
    )


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(zero=True, nice=False)
    x = alt.X("depth:Q", title="depth below the finished flank z, mm", scale=exact, axis=alt.Axis(grid=False))
    ticks = alt.Axis(grid=False, values=list(range(0, 801, 100)))  # above them the depths are named
    y = alt.Y("hardness:Q", title="hardness, HV", scale=exact, axis=ticks)
    limit = rows("limit").mark_line(strokeWidth=1.2, strokeDash=[5, 4])
    ghost = rows("record").mark_rule(strokeWidth=2, strokeDash=[3, 3], color=tones.GHOST)
    curve = rows("lines").mark_line(strokeWidth=2.5, clip=True)
    measured = rows("points").mark_point(size=70, filled=True, opacity=1, shape="diamond")
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        limit.encode(x=x, y=y, color=own_tone()),
        curve.encode(x=x, y=y, detail="label:N", color=own_tone(), strokeDash=broken("dashed", False, True)),
        measured.encode(x=x, y=y, color=own_tone()),
        *backed("above", x, y, dx=4, dy=-11),
        *backed("below", x, y, align="right", dx=-4, dy=13),
        *backed("limit", x, y, align="right", dx=0, dy=-11),
        ghost.encode(x=x, y=y, y2="foot:Q"),
        rows("rules").mark_rule(strokeWidth=1.8).encode(x=x, y=y, y2="foot:Q", color=own_tone()),
        words("labels", x, y),
        height=_HEIGHT_PX,
    )


def _rows(curves: Sequence[HardnessCurve]) -> pd.DataFrame:
    parts = [
        frame(
            {
                "depth": curve.depth_mm,
                "hardness": curve.hardness_HV,
                "label": curve.label,
                "tone": curve.tone,
                "dashed": curve.dashed,
            }
        )
        for curve in curves
    ]
    return joined(parts, ("depth", "hardness", "label", "tone", "dashed"))


def _names(
    curves: Sequence[HardnessCurve], rules: Sequence[float], right: float, top: float
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The names that begin above their line, and those that end below it; points are named at their last."""

    def level_px(hardness: Any) -> Array:
        return array(_HEIGHT_PX * (1 - array(hardness) / top))

    limit = np.full(2, CRITERION_HV)
    lines = [
        Line(label=curve.label, across=curve.depth_mm / right, level_px=level_px(curve.hardness_HV))
        for curve in curves
    ]
    lines.append(Line(label="", across=np.array([0.0, 1.0]), level_px=level_px(limit)))
    taken = [written(_LIMIT_NAME, 1.0, float(level_px(CRITERION_HV)) - 11, ends=True)]
    above: list[pd.DataFrame] = []
    below: list[pd.DataFrame] = []
    for curve, place in zip(curves, placed(lines, [rule / right for rule in rules], taken)[:-1], strict=True):
        at = float(curve.depth_mm[-1]) if curve.points else place.at * right
        row = {"depth": at, "hardness": float(np.interp(at, curve.depth_mm, curve.hardness_HV))}
        named = {**row, "label": curve.label, "tone": curve.tone}
        ends = at > _ENDS * right if curve.points else place.below
        (below if ends else above).append(pd.DataFrame([named]))
    columns = ("depth", "hardness", "label", "tone")
    return joined(above, columns), joined(below, columns)


def _ghosts(order: Sequence[DepthLine]) -> pd.DataFrame:
    known = [line.ghost_mm for line in order if line.ghost_mm is not None]
    return frame({"depth": known, "hardness": [CRITERION_HV for _ in known], "foot": [0.0 for _ in known]})
