"""Case depth: shear stress asked for and allowed below the surface, and every depth that is spoken of."""

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
from gearcheck.figures.drawing import Drawing, broken, frame, joined, layout, own_tone, rows, words
from gearcheck.hardening.exposure import SubsurfaceExposure, subsurface_exposure
from gearcheck.hardening.required import RequiredCaseDepth

_HEIGHT_PX, _LINE_PX = 420, 21
_POINTS = 121
_ABOVE = 0.62  # of the width: a falling curve stays below a name that begins here


@dataclass(frozen=True, kw_only=True)
class DepthLine:
    """One depth that is spoken of: what it is called, where it lies, and where it lay in the record."""

    label: str
    depth_mm: float
    tone: str
    ghost_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class DepthCurve:
    """One shear stress over depth; `above` says on which side of it its name is written."""

    label: str
    depth_mm: Array
    stress_MPa: Array
    tone: str
    dashed: bool = False
    above: bool = False


def depth_curves(
    solved: RequiredCaseDepth | None, drawn_mm: float | None, *, to_mm: float | None = None
) -> tuple[DepthCurve, ...]:
    """Return the shear stress asked for along the depth, and what the drawn and the solved case allow.

    Parameters
    ----------
    solved : RequiredCaseDepth or None
        The solved depth of one mesh.
    drawn_mm : float or None
        The least finished case depth of the drawing.
    to_mm : float, optional
        How deep; without it as deep as the curves need.

    Returns
    -------
    tuple of DepthCurve
        Empty where neither a depth is solved nor one drawn. Where no depth suffices the case as drawn
        stands alone beside what is asked.
    """
    if solved is None or solved.half_width_mm is None:
        return ()
    known = [float(one) for one in (drawn_mm, solved.depth_mm) if one is not None]
    if not known:
        return ()
    width = float(array(solved.half_width_mm).max())
    depth = np.linspace(0, to_mm or max(*(2.2 * one for one in known), 3 * width), _POINTS)
    least = _exposure(solved, known[-1], depth)
    asked = array(least.safety) * array(least.shear_stress_MPa)
    curves = [
        DepthCurve(
            label="from the contact, safety included", depth_mm=depth, stress_MPa=asked, tone=tones.DEMAND
        )
    ]
    if drawn_mm is not None:
        curves.append(
            DepthCurve(
                label="allowed by the case as drawn",
                depth_mm=depth,
                stress_MPa=array(_exposure(solved, drawn_mm, depth).permissible_shear_MPa),
                tone=tones.CAPACITY,
                above=solved.depth_mm is None or drawn_mm >= solved.depth_mm,
            )
        )
    if solved.depth_mm is None:
        return tuple(curves)
    curves.append(
        DepthCurve(
            label="allowed by the case as solved",
            depth_mm=depth,
            stress_MPa=array(least.permissible_shear_MPa),
            tone=tones.CAPACITY,
            dashed=True,
            above=drawn_mm is None or drawn_mm < solved.depth_mm,
        )
    )
    return tuple(curves)


def _exposure(solved: RequiredCaseDepth, case_mm: float, depth: Array) -> SubsurfaceExposure:
    return subsurface_exposure(
        half_width_mm=solved.half_width_mm,
        pressure_MPa=solved.pressure_MPa,
        surface_hardness_HV=solved.surface_hardness_HV,
        core_hardness_HV=solved.core_hardness_HV,
        case_depth_mm=case_mm,
        safety=solved.safety,
        depth_mm=depth,
    )


def depth_drawing(lines: Sequence[DepthLine], curves: Sequence[DepthCurve]) -> Drawing:
    """Draw shear stress over depth with a labelled line at each depth that is spoken of.

    Parameters
    ----------
    lines : sequence of DepthLine
        At least one.
    curves : sequence of DepthCurve
        None where no depth is solved; then the lines stand alone.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    order = sorted(lines, key=lambda line: line.depth_mm)
    stress = max((float(np.nanmax(curve.stress_MPa)) for curve in curves), default=1.0)
    top = stress / (1 - _LINE_PX * (len(order) + 1) / _HEIGHT_PX)
    right = max([1.75 * order[-1].depth_mm, *(float(curve.depth_mm.max()) for curve in curves)])
    rules = _rules(order, top)
    said = "; ".join(rules["label"])
    return Drawing(
        layout=_layout(with_stress=bool(curves)),
        rows={
            "frame": frame({"depth": [0.0, right], "stress": [0.0, top]}),
            "curves": _curves(curves),
            "above": _names([curve for curve in curves if curve.above], _ABOVE * right),
            "below": _names([curve for curve in curves if not curve.above], right),
            "record": _ghosts(order, 0.55 * stress),
            "rules": rules,
            "labels": rules.assign(tone=tones.INK),
        },
        words=f"Shear stress below the flank, asked for and allowed, with the depths: {said}",
    )


@cache
def _layout(*, with_stress: bool) -> dict[str, Any]:
    exact = alt.Scale(zero=True, nice=False)
    x = alt.X("depth:Q", title="depth below the finished flank z, mm", scale=exact, axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False) if with_stress else None
    y = alt.Y("stress:Q", title="shear stress τ, MPa", scale=exact, axis=axis)
    curve = rows("curves").mark_line(strokeWidth=2.5, clip=True)
    ghost = rows("record").mark_rule(strokeWidth=2, strokeDash=[3, 3], color=tones.GHOST)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        curve.encode(x=x, y=y, detail="label:N", color=own_tone(), strokeDash=broken("dashed", False, True)),
        words("above", x, y, dx=0, dy=-13),
        words("below", x, y, align="right", dx=0, dy=13),
        ghost.encode(x=x, y=y, y2="foot:Q"),
        rows("rules").mark_rule(strokeWidth=1.8).encode(x=x, y=y, y2="foot:Q", color=own_tone()),
        words("labels", x, y),
        height=_HEIGHT_PX,
    )


def _curves(curves: Sequence[DepthCurve]) -> pd.DataFrame:
    parts = [
        frame(
            {
                "depth": curve.depth_mm,
                "stress": curve.stress_MPa,
                "label": curve.label,
                "tone": curve.tone,
                "dashed": curve.dashed,
            }
        )
        for curve in curves
    ]
    return joined(parts, ("depth", "stress", "label", "tone", "dashed"))


def _names(curves: Sequence[DepthCurve], at: float) -> pd.DataFrame:
    return frame(
        {
            "depth": [at for _ in curves],
            "stress": [float(np.interp(at, curve.depth_mm, curve.stress_MPa)) for curve in curves],
            "label": [curve.label for curve in curves],
            "tone": [tones.INK for _ in curves],
        }
    )


def _rules(order: Sequence[DepthLine], top: float) -> pd.DataFrame:
    """The shallowest line is the longest, so that no line runs through the label of another."""
    step = top * _LINE_PX / _HEIGHT_PX
    return frame(
        {
            "depth": [line.depth_mm for line in order],
            "stress": [top - step * (number + 0.5) for number in range(len(order))],
            "foot": 0.0,
            "label": [f"{line.label} {line.depth_mm:.2f} mm" for line in order],
            "tone": [line.tone for line in order],
        }
    )


def _ghosts(order: Sequence[DepthLine], height: float) -> pd.DataFrame:
    known = [line.ghost_mm for line in order if line.ghost_mm is not None]
    return frame({"depth": known, "stress": [height for _ in known], "foot": [0.0 for _ in known]})
