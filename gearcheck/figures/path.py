"""Along the path of contact: sliding of both gears, contact pressure below it, and the points A to E."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, broken, frame, joined, layout, rows, words
from gearcheck.gear.path import contact_path
from gearcheck.review.pressure import pressure_along
from gearcheck.review.results import MeshChain, stop_words

_AXIS_PX = 64
_CLOSE = 0.03  # of the path: letters closer than this are written as one


@dataclass(frozen=True, kw_only=True)
class AlongPath:
    """What both charts are drawn from; the pressure has places of its own, none where there is no load."""

    marks_mm: Mapping[str, float]
    position_mm: Array
    pinion_sliding: Array
    wheel_sliding: Array
    pressed_mm: Array
    pressure_MPa: Array


def along_path(mesh: MeshChain) -> AlongPath | None:
    """Return sliding and pressure along the path of one mesh; None where the pair has none."""
    path = contact_path(pair=mesh.pair, points=41)
    marks = {letter: getattr(path, f"mark_{letter}_mm") for letter in "ABCDE"}
    if any(value is None for value in marks.values()):
        return None
    stopped = mesh.factors is None or stop_words(mesh.factors, mesh.duty_factors)
    pressed = None if stopped else pressure_along(mesh)
    nothing = np.array([])
    return AlongPath(
        marks_mm=marks,
        position_mm=array(path.position_mm),
        pinion_sliding=array(path.pinion_sliding),
        wheel_sliding=array(path.wheel_sliding),
        pressed_mm=nothing if pressed is None else array(pressed.position_mm),
        pressure_MPa=nothing if pressed is None else array(pressed.pressure_MPa),
    )


def sliding_drawing(now: AlongPath, record: AlongPath | None = None) -> Drawing:
    """Draw the specific sliding of both gears.

    Parameters
    ----------
    now : AlongPath
        As drafted.
    record : AlongPath, optional
        Of the record, where a draft is under way.

    Returns
    -------
    Drawing
        As wide as its column; its axis runs like that of the pressure.
    """
    worst = min(now.pinion_sliding.min(), now.wheel_sliding.min())
    return Drawing(
        layout=_sliding_layout(),
        rows={
            "lines": _sliding(now),
            "record": _sliding(record),
            "pinion": frame(
                {
                    "at": [now.position_mm[-1]],
                    "value": [now.pinion_sliding[-1]],
                    "label": ["pinion"],
                    "tone": [tones.INK],
                }
            ),
            "wheel": frame(
                {
                    "at": [now.position_mm[0]],
                    "value": [now.wheel_sliding[0]],
                    "label": ["wheel"],
                    "tone": [tones.INK],
                }
            ),
            "marks": _marks(now),
        },
        words=f"Specific sliding of both gears along the path of contact; the most negative is {worst:.2f}",
    )


def pressure_drawing(now: AlongPath, record: AlongPath | None = None) -> Drawing:
    """Draw the contact pressure along the path; the parameters are those of `sliding_drawing`."""
    pressed = _pressed(now)
    peak = pressed.nlargest(1, "value")
    said = [f"largest {value:.0f} MPa" for value in peak["value"]]
    return Drawing(
        layout=_pressure_layout(),
        rows={
            "lines": pressed,
            "record": _pressed(record),
            "peak": peak.assign(label=said, tone=tones.INK),
            "marks": _marks(now),
            "frame": frame({"at": peak["at"], "value": 1.2 * peak["value"]}),
        },
        words=f"Hertz pressure along the path of contact, {said[0] if said else 'not known'}",
    )


def _x(title: str | None) -> alt.X:
    axis = alt.Axis(grid=False) if title else alt.Axis(grid=False, labels=False, ticks=False)
    return alt.X("at:Q", title=title, scale=alt.Scale(nice=False, zero=False), axis=axis)


def _y(title: str, digits: str) -> alt.Y:
    axis = alt.Axis(minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=4, format=digits)
    return alt.Y("value:Q", title=title, axis=axis)


def _letters(x: alt.X, *, seen: bool) -> alt.Chart:
    """The names of the marks; unseen they keep the room that they need, so that both axes stay aligned."""
    style = rows("marks").mark_text(baseline="bottom", dy=-3, opacity=1 if seen else 0)
    chart: alt.Chart = style.encode(x=x, y=alt.value(0), text="label:N")
    return chart


@cache
def _sliding_layout() -> dict[str, Any]:
    x, y = _x(None), _y("specific sliding ζ", ".1f")
    gear = broken("gear", "pinion", "wheel")
    return layout(
        rows("record").mark_line(strokeDash=[2, 3], color=tones.GHOST).encode(x=x, y=y, detail="gear:N"),
        rows("lines")
        .mark_line(strokeWidth=2.5, color=tones.DEMAND)
        .encode(x=x, y=y, detail="gear:N", strokeDash=gear),
        words("pinion", x, y, align="right", dx=-8, dy=16),
        words("wheel", x, y, dx=8, dy=18),
        rows("marks").mark_rule(color=tones.GHOST).encode(x=x),
        _letters(x, seen=True),
        height=180,
    )


@cache
def _pressure_layout() -> dict[str, Any]:
    x, y = _x("along the path of contact from A, mm"), _y("Hertz pressure p₀, MPa", "d")
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("record").mark_line(strokeDash=[2, 3], color=tones.GHOST).encode(x=x, y=y),
        rows("lines").mark_line(strokeWidth=2.5, color=tones.DEMAND).encode(x=x, y=y),
        rows("peak").mark_point(size=80, color=tones.DEMAND, opacity=1).encode(x=x, y=y),
        words("peak", x, y, dx=9, dy=-11),
        rows("marks").mark_rule(color=tones.GHOST).encode(x=x),
        _letters(x, seen=False),
        height=200,
    )


def _sliding(path: AlongPath | None) -> pd.DataFrame:
    if path is None:
        return joined([], ("at", "value", "gear"))
    sides = (("pinion", path.pinion_sliding), ("wheel", path.wheel_sliding))
    parts = [frame({"at": path.position_mm, "value": value, "gear": gear}) for gear, value in sides]
    return joined(parts, ("at", "value", "gear"))


def _pressed(path: AlongPath | None) -> pd.DataFrame:
    if path is None:
        return joined([], ("at", "value"))
    return frame({"at": path.pressed_mm, "value": path.pressure_MPa})


def _marks(now: AlongPath) -> pd.DataFrame:
    return mark_rows(now.marks_mm)


def mark_rows(marks_mm: Mapping[str, float]) -> pd.DataFrame:
    """Return the points A to E; those that lie together share a place and are written side by side."""
    close = _CLOSE * (marks_mm["E"] - marks_mm["A"])
    found: list[tuple[float, str]] = []
    for letter, place in sorted(marks_mm.items(), key=lambda mark: mark[1]):
        if found and place - found[-1][0] < close:
            found[-1] = (found[-1][0], f"{found[-1][1]} {letter}")
        else:
            found.append((place, letter))
    return frame({"at": [place for place, _ in found], "label": [letters for _, letters in found]})
