"""Where the load sits: pressure over the flank, and the outline of the contact pattern at several torques."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, joined, layout, rows, words
from gearcheck.meshing.loaded import LoadedContact

_AXIS_PX, _HEIGHT_PX, _SMALL_PX = 64, 320, 130
_GAP = 0.18  # between two small maps, in shares of one
_ROOM = 0.1  # of the path, above and below all that presses, for the names of its ends
_LAP = 1.12  # of a cell: each laps over its neighbours, or the paper would shine through between them
_LEAST_SHARE = 1e-3  # of the load: less of it on a corner is not flagged


@dataclass(frozen=True, kw_only=True)
class FlankPressure:
    """Pressure over one flank, shapes (cells,); a cell is `step_mm` along the path, `slice_mm` over the face.

    `place_mm` is counted along the path of contact from its start A, `face_mm` from the reference face;
    `pattern_mm` is from where to where on the face flanks press, between slices.
    """

    place_mm: Array
    face_mm: Array
    pressure_MPa: Array
    at_corner: NDArray[np.bool_]
    step_mm: float
    slice_mm: Array
    path_mm: float
    width_mm: float
    corner_share: float
    pattern_mm: tuple[float, float]


def flank_pressure(found: LoadedContact, sample: int = 0) -> FlankPressure:
    """Return the cells of the flank that press at one sample.

    Parameters
    ----------
    found : LoadedContact
        With any leading axes; they are counted through.
    sample : int
        Which of them.
    """
    bed = found.field.bed
    pressure = found.field.pressure_MPa.reshape(-1, *bed.place_mm.shape)[sample]
    presses = bed.bed.usable & (pressure > 0.0)
    return FlankPressure(
        place_mm=bed.place_mm[presses],
        face_mm=bed.face_of[presses],
        pressure_MPa=pressure[presses],
        at_corner=bed.at_corner[presses],
        step_mm=float(found.base_pitch_mm) / bed.position_mm.size,
        slice_mm=bed.slice_mm[bed.face_slice[presses]],
        path_mm=float(bed.pair.path_length_mm),
        width_mm=bed.width_mm,
        corner_share=float(array(found.corner_share).ravel()[sample]),
        pattern_mm=(
            float(array(found.pattern_from_mm).ravel()[sample]),
            float(array(found.pattern_to_mm).ravel()[sample]),
        ),
    )


def top_of(*found: FlankPressure) -> float:
    """Return the round pressure at which the tones of the map end, MPa."""
    most = max(float(one.pressure_MPa.max(initial=1.0)) for one in found)
    step = 10.0 ** np.floor(np.log10(most)) / 5.0
    return float(step * np.ceil(most / step))


def pressure_map_drawing(now: FlankPressure, record: FlankPressure | None = None) -> Drawing:
    """Draw the largest pressure that each place of the flank sees in a mesh cycle.

    Parameters
    ----------
    now : FlankPressure
        As drafted, with at least one cell.
    record : FlankPressure, optional
        Of the record, where a draft is under way: its pattern stays as a dotted outline.

    Returns
    -------
    Drawing
        Face to the right, path of contact from the root of the pinion upwards.
    """
    peak = int(now.pressure_MPa.argmax())
    most = float(now.pressure_MPa[peak])
    face, place = float(now.face_mm[peak]), float(now.place_mm[peak])
    low, high = _reach(now, record)
    label = f"largest {most:.0f} MPa"
    names = (label, "") if face < 0.6 * now.width_mm else ("", label)
    return Drawing(
        layout=_map_layout(top_of(*(one for one in (now, record) if one is not None))),
        rows={
            "frame": frame({"x": [0.0, now.width_mm], "y": [low, high]}),
            "cells": _cells(now),
            "record": _outline(record),
            "corners": _corners(now),
            "ends": frame({"x": [0.0, 0.0], "to": [now.width_mm] * 2, "y": [0.0, now.path_mm]}),
            "face_ends": _face_end(now),
            "start_name": _end_name(now, low, late=False),
            "end_name": _end_name(now, high, late=True),
            "peak": frame({"x": [face], "y": [place]}),
            "peak_left": _peak_name(face, place, names[0]),
            "peak_right": _peak_name(face, place, names[1]),
        },
        words=_said(now, f"{label} at {face:.1f} mm of the face", place),
    )


def _said(now: FlankPressure, largest: str, place: float) -> str:
    first, last = now.pattern_mm
    where = f"{abs(place):.1f} mm {'before' if place < 0 else 'from'} the start of the path of contact"
    return (
        f"Contact pressure over the flank: {largest}, {where}; "
        f"load from {first:.1f} to {last:.1f} mm of {now.width_mm:.1f} mm"
    )


def _reach(*found: FlankPressure | None) -> tuple[float, float]:
    """From below to above the path, with what presses beyond it."""
    seen = [one for one in found if one is not None]
    low = min(float(one.place_mm.min(initial=0.0)) - one.step_mm for one in seen)
    high = max(float(one.place_mm.max(initial=one.path_mm)) + one.step_mm for one in seen)
    room = _ROOM * seen[0].path_mm
    return low - room, high + room


def _cells(found: FlankPressure) -> pd.DataFrame:
    half, step = _LAP * found.slice_mm / 2, _LAP * found.step_mm / 2
    return frame(
        {
            "x": (found.face_mm - half).round(4),
            "x2": (found.face_mm + half).round(4),
            "y": (found.place_mm - step).round(4),
            "y2": (found.place_mm + step).round(4),
            "MPa": found.pressure_MPa.round(1),
        }
    )


def _outline(found: FlankPressure | None) -> pd.DataFrame:
    """From where to where along the path each slice of the face presses."""
    if found is None or not found.face_mm.size:
        return joined([], ("x", "y", "y2"))
    step = found.step_mm / 2
    face, slices = np.unique(found.face_mm, return_inverse=True)
    low, high = np.full(face.size, np.inf), np.full(face.size, -np.inf)
    np.minimum.at(low, slices, found.place_mm - step)
    np.maximum.at(high, slices, found.place_mm + step)
    # it ends where the flanks part, which may be inside a slice or beyond its middle
    first, last = found.pattern_mm
    x = np.clip(face, first, last)
    return frame(
        {
            "x": np.concatenate([[first], x, [last]]).round(4),
            "y": np.concatenate([low[:1], low, low[-1:]]).round(4),
            "y2": np.concatenate([high[:1], high, high[-1:]]).round(4),
        }
    )


def _corners(found: FlankPressure) -> pd.DataFrame:
    """The end of the path where a corner presses beyond it, slice by slice, as a heavy line."""
    late = found.place_mm > found.path_mm
    on = found.at_corner & (late | (found.place_mm < 0.0))
    half, face, end = found.slice_mm[on] / 2, found.face_mm[on], np.where(late[on], found.path_mm, 0.0)
    return frame({"x": face - half, "x2": face + half, "y": end}).drop_duplicates()


def _end_name(found: FlankPressure, level: float, *, late: bool) -> pd.DataFrame:
    """What bounds the path, and whether something presses beyond it."""
    beyond = found.place_mm > found.path_mm if late else found.place_mm < 0.0
    presses = found.corner_share > _LEAST_SHARE and bool((found.at_corner & beyond).any())
    name = "E: tip of the pinion" if late else "A: tip of the wheel"
    return frame(
        {
            "x": [0.0],
            "y": [level],
            "label": [f"{name}{'; ▲ its corner presses beyond the path' if presses else ''}"],
            "tone": [tones.WORDS["fails"] if presses else tones.INK],
        }
    )


def _face_end(found: FlankPressure) -> pd.DataFrame:
    """The end of the face that the pattern reaches, as a heavy line; both where it reaches both."""
    first, last = found.pattern_mm
    near = 1e-6 * found.width_mm
    ends = [end for end, reached in ((0.0, first), (found.width_mm, last)) if abs(end - reached) <= near]
    return frame({"x": ends, "y": [0.0] * len(ends), "to": [found.path_mm] * len(ends)})


def _peak_name(face: float, place: float, label: str) -> pd.DataFrame:
    return frame({"x": [face], "y": [place], "label": [label], "tone": [tones.INK]})


@cache
def _map_layout(top: float) -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("x:Q", title="face b, mm from the reference face", scale=exact, axis=alt.Axis(grid=False))
    side = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=6)
    y = alt.Y("y:Q", title="path of contact from A, mm", scale=exact, axis=side)
    shade = alt.Color(
        "MPa:Q",
        title="p₀, MPa",
        scale=alt.Scale(domain=[0.0, top], range=list(tones.PRESSURE), interpolate="lab"),
        legend=alt.Legend(orient="right", direction="vertical", gradientLength=220, tickCount=5, format="d"),
    )
    cells: dict[str, Any] = {"x": x, "x2": "x2:Q", "y": y, "y2": "y2:Q"}
    ghost: dict[str, Any] = {
        "fillOpacity": 0.0,
        "stroke": tones.INK,
        "strokeDash": [2, 3],
        "strokeWidth": 1.4,
    }
    ring: dict[str, Any] = {"filled": False, "opacity": 1}
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("cells").mark_rect(stroke=None).encode(**cells, color=shade),
        rows("record").mark_area(**ghost).encode(x=x, y=y, y2="y2:Q"),
        rows("ends").mark_rule(strokeWidth=1.4).encode(x=x, x2="to:Q", y=y),
        rows("corners").mark_rule(strokeWidth=4, color=tones.LIMIT).encode(x=x, x2="x2:Q", y=y),
        rows("face_ends").mark_rule(strokeWidth=4, color=tones.LIMIT).encode(x=x, y=y, y2="to:Q"),
        *backed("start_name", x, y, baseline="bottom", dx=3, dy=-3),
        *backed("end_name", x, y, baseline="top", dx=3, dy=3),
        rows("peak").mark_point(size=130, strokeWidth=2.4, color=tones.PAPER, **ring).encode(x=x, y=y),
        rows("peak").mark_point(size=190, strokeWidth=1.6, color=tones.INK, **ring).encode(x=x, y=y),
        *backed("peak_left", x, y, dx=12, dy=-13),
        *backed("peak_right", x, y, align="right", dx=-12, dy=-13),
        height=_HEIGHT_PX,
    )


def patterns_drawing(found: Sequence[FlankPressure], shares: Sequence[float]) -> Drawing:
    """Draw the contact pattern at several torques side by side, each as an outline of its own.

    Parameters
    ----------
    found : sequence of FlankPressure
        One for each torque, in rising order.
    shares : sequence of float
        Each torque over the nominal one.

    Returns
    -------
    Drawing
        Each map as high and as wide as the flank; above it the torque, below it how much of the face carries.
    """
    low = min(_reach(one)[0] / one.path_mm for one in found) + _ROOM
    high = max(_reach(one)[1] / one.path_mm for one in found) - _ROOM
    at = [place * (1.0 + _GAP) for place in range(len(found))]
    carried = [100.0 * (one.pattern_mm[1] - one.pattern_mm[0]) / one.width_mm for one in found]
    above = [f"{100 * share:.0f} %" for share in shares]
    below = [f"{share:.0f} % of b" for share in carried]
    tone = [tones.INK if abs(share - 1.0) < 1e-9 else tones.QUIET for share in shares]
    flank = {"x": at, "x2": [start + 1.0 for start in at], "y": [0.0] * len(at), "y2": [1.0] * len(at)}
    parts = [
        _outline_in_shares(one, start).assign(torque=torque)
        for one, start, torque in zip(found, at, above, strict=True)
    ]
    each = ", ".join(f"{torque}: {share:.0f} %" for torque, share in zip(above, carried, strict=True))

    def names(level: float, labels: list[str]) -> pd.DataFrame:
        middle = [start + 0.5 for start in at]
        return frame({"x": middle, "y": [level] * len(at), "label": labels, "tone": tone})

    return Drawing(
        layout=_patterns_layout(),
        rows={
            "frame": frame({"x": [0.0, at[-1] + 1.0], "y": [low - 0.25, high + 0.25]}),
            "flank": frame(flank),
            "patterns": joined(parts, ("x", "y", "y2", "torque")),
            "torque": names(high, above),
            "carried": names(low, below),
        },
        words=f"Contact pattern at shares of the torque, and how much of the face carries: {each}",
    )


def _outline_in_shares(found: FlankPressure, start: float) -> pd.DataFrame:
    """The outline in shares of face and path."""
    outline = _outline(found)
    return frame(
        {
            "x": start + outline["x"] / found.width_mm,
            "y": outline["y"] / found.path_mm,
            "y2": outline["y2"] / found.path_mm,
        }
    )


@cache
def _patterns_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("x:Q", title=None, scale=exact, axis=None)
    y = alt.Y("y:Q", title=None, scale=exact, axis=None)
    pattern: dict[str, Any] = {
        "fill": tones.DEMAND,
        "fillOpacity": 0.3,
        "stroke": tones.DEMAND,
        "strokeWidth": 1.6,
    }
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("patterns").mark_area(**pattern).encode(x=x, y=y, y2="y2:Q", detail="torque:N"),
        rows("flank")
        .mark_rect(fillOpacity=0, stroke=tones.INK, strokeWidth=1)
        .encode(x=x, x2="x2:Q", y=y, y2="y2:Q"),
        words("torque", x, y, align="center", baseline="bottom", dx=0, dy=-3),
        words("carried", x, y, align="center", baseline="top", dx=0, dy=4),
        height=_SMALL_PX,
    )
