"""One tooth in the transverse section, with the circles that bound its flank."""

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
from gearcheck.figures.drawing import Drawing, frame, joined, layout, own_tone, rows, words
from gearcheck.figures.labels import spread
from gearcheck.gear.outline import tooth_outline
from gearcheck.gear.pair import PairGeometry
from gearcheck.review.results import MemberChain

_SIZE_PX = 340
_LINE_PX = 19


@dataclass(frozen=True, kw_only=True)
class Circle:
    """A circle about the axis of the gear: its name with symbol, its diameter, its tone."""

    name: str
    diameter_mm: float
    tone: str


@dataclass(frozen=True, kw_only=True)
class Tooth:
    """One tooth: its outline in mm, the centre of the gear at the origin, and its circles."""

    x_mm: Array
    y_mm: Array
    circles: tuple[Circle, ...]


def tooth_of(member: MemberChain, pair: PairGeometry) -> Tooth | None:
    """Return the tooth of one gear; None where it has no outline."""
    gear, clearance = member.geometry, member.clearance
    outline = tooth_outline(gear=gear, pair=pair, points=160)
    x, y = array(outline.x_mm), array(outline.y_mm)
    named = (
        ("tip", gear.tip_diameter_mm, tones.INK),
        ("active from", clearance.start_of_active_profile_mm, tones.CAPACITY),
        ("involute from", clearance.form_diameter_mm, tones.LIMIT),
        ("root", gear.root_diameter_mm, tones.INK),
    )
    if np.isnan(x).any() or any(value is None for _, value, _ in named):
        return None
    circles = tuple(Circle(name=name, diameter_mm=value, tone=tone) for name, value, tone in named)
    return Tooth(x_mm=x, y_mm=y, circles=circles)


def tooth_drawing(tooth: Tooth, ghost: Tooth | None, name: str) -> Drawing:
    """Draw a tooth at equal scales.

    Parameters
    ----------
    tooth : Tooth
        As drafted.
    ghost : Tooth or None
        Of the record, where a draft moved it.
    name : str
        Which gear, for those who cannot see it.

    Returns
    -------
    Drawing
        Of fixed size, so that its scales stay equal.
    """
    low, high = float(tooth.y_mm.min()), float(tooth.y_mm.max())
    height = 1.16 * (high - low)
    half, middle = height / 2, (high + low) / 2
    was = (np.array([]), np.array([])) if ghost is None else (ghost.x_mm, ghost.y_mm)
    arcs, leaders, names = _circles(tooth.circles, half)
    said = "; ".join(f"{circle.name} {circle.diameter_mm:.2f} mm" for circle in tooth.circles)
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"x": [-half, half], "y": [middle - half, middle + half]}),
            "arcs": arcs,
            "leaders": leaders,
            "names": names,
            "record": frame({"x": was[0], "y": was[1], "place": np.arange(was[0].size)}),
            "tooth": frame({"x": tooth.x_mm, "y": tooth.y_mm, "place": np.arange(tooth.x_mm.size)}),
        },
        words=f"One tooth of {name} in the transverse section, diameters: {said}",
    )


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(zero=False, nice=False)
    axis = alt.Axis(grid=False, tickCount=5)
    x = alt.X("x:Q", title="across the tooth x, mm", scale=exact, axis=axis)
    y = alt.Y("y:Q", title="from the axis of the gear y, mm", scale=exact, axis=axis)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("arcs")
        .mark_line(strokeWidth=1.4, clip=True)
        .encode(x=x, y=y, detail="name:N", order="place:Q", color=own_tone()),
        rows("leaders")
        .mark_line(strokeWidth=1.2)
        .encode(x=alt.X("px:Q", scale=None), y=y, detail="name:N", order="place:Q", color=own_tone())
        .transform_calculate(px=f"{_SIZE_PX} + datum.place * 18"),
        words("names", alt.value(_SIZE_PX + 18), y),
        rows("record").mark_line(strokeDash=[5, 4], color=tones.GHOST).encode(x=x, y=y, order="place:Q"),
        rows("tooth").mark_line(strokeWidth=2.5, color=tones.INK).encode(x=x, y=y, order="place:Q"),
        height=_SIZE_PX,
        width=_SIZE_PX,
    )


def _circles(circles: Sequence[Circle], half: float) -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """Each circle as an arc, a leader from its right end, and its label beside the drawing."""
    x = np.linspace(-half, half, 25)
    arcs = [
        frame(
            {
                "x": x,
                "y": np.sqrt((circle.diameter_mm / 2) ** 2 - x**2),
                "name": circle.name,
                "tone": circle.tone,
                "place": np.arange(x.size),
            }
        )
        for circle in circles
    ]
    ends = [float(arc["y"].iloc[-1]) for arc in arcs]
    apart = spread(ends, 2 * half * _LINE_PX / _SIZE_PX)
    leaders = [
        frame({"y": [end, moved], "name": circle.name, "tone": circle.tone, "place": [0, 1]})
        for circle, end, moved in zip(circles, ends, apart, strict=True)
    ]
    labels = [f"{circle.name} {circle.diameter_mm:.2f} mm" for circle in circles]
    names = frame({"y": apart, "label": labels, "tone": tones.INK})
    return (
        joined(arcs, ("x", "y", "name", "tone", "place")),
        joined(leaders, ("y", "name", "tone", "place")),
        names,
    )
