"""Measured pitch of one flank: each tooth as a bar between its tolerance lines, the running sum below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, frame, layout, own_tone, rows, words

_AXIS_PX = 60
_HALF_BAR = 0.38  # of the distance between two teeth


@dataclass(frozen=True, kw_only=True)
class FlankPitch:
    """The measured pitch of one flank in µm, with the tolerances that it is held against."""

    flank: str
    single_um: Array
    index_um: Array
    single_tolerance_um: float
    cumulative_tolerance_um: float


def flank_pitch(measured: PitchDeviations, drawn: Tolerances | None, flank: str) -> FlankPitch | None:
    """Return what one flank shows; None where a tooth was not measured or there is no tolerance."""
    single = array(getattr(measured, f"{flank}_deviations_um"))
    if drawn is None or drawn.single_pitch_um is None or np.isnan(single).any():
        return None
    return FlankPitch(
        flank=flank,
        single_um=single,
        index_um=array(getattr(measured, f"{flank}_index_um")),
        single_tolerance_um=float(drawn.single_pitch_um),
        cumulative_tolerance_um=float(drawn.cumulative_pitch_um),
    )


def reach_of(flanks: Sequence[FlankPitch]) -> tuple[float, float]:
    """Return how far the axes reach for all flanks, single and cumulative, so that they share one scale."""
    single = max(max(float(np.abs(one.single_um).max()), one.single_tolerance_um) for one in flanks)
    total = max(
        float(np.abs([*one.index_um, one.index_um.min() + one.cumulative_tolerance_um]).max())
        for one in flanks
    )
    return 1.6 * single, 1.3 * total


def single_drawing(flank: FlankPitch, reach: float) -> Drawing:
    """Draw the single pitch of each tooth between its tolerance lines.

    Parameters
    ----------
    flank : FlankPitch
        One flank.
    reach : float
        How far the axis goes both ways, µm.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    limit, tooth = flank.single_tolerance_um, np.arange(flank.single_um.size) + 1.0
    over = np.abs(flank.single_um) > limit
    bars = frame(
        {
            "tooth": tooth - _HALF_BAR,
            "end": tooth + _HALF_BAR,
            "um": flank.single_um,
            "zero": 0.0,
            "tone": np.where(over, tones.WORDS["fails"], tones.MEASURED),
        }
    )
    worst = int(np.abs(flank.single_um).argmax())
    value = flank.single_um[worst]
    label = f"tooth {worst + 1}: {value:+.1f} µm{', over' if over[worst] else ''}".replace("-", "−")
    # one line of text clear of its bar, two where the bar passes the line of a limit and its name
    clear = value + np.copysign(reach * (0.27 if over[worst] else 0.1), value)
    named = frame({"tooth": [tooth[worst]], "um": [clear], "label": [label], "tone": [tones.INK]})
    return Drawing(
        layout=_single_layout(flank.flank),
        rows={
            "frame": _frame(tooth.size, reach),
            "bars": bars,
            "limits": frame({"um": [limit, -limit]}),
            "upper": _name(tooth.size, limit, f"+{limit:.1f} allowed", worst),
            "lower": _name(tooth.size, -limit, f"−{limit:.1f} allowed", worst),
            "named": named,
        },
        words=f"Single pitch of each tooth, {flank.flank} flanks, largest at {label}; {limit:.1f} µm allowed",
    )


def cumulative_drawing(flank: FlankPitch, reach: float) -> Drawing:
    """Draw the running sum of the single pitches; the parameters are those of `single_drawing`."""
    lowest, allowed = float(flank.index_um.min()), flank.cumulative_tolerance_um
    tooth = np.arange(flank.index_um.size) + 1.0
    total = float(np.ptp(flank.index_um))
    said = f"{allowed:.1f} µm allowed above the lowest, {total:.1f} µm measured"
    upper, lower = f"lowest + {allowed:.1f} allowed", f"lowest; the highest {total:.1f} above"
    return Drawing(
        layout=_cumulative_layout(flank.flank),
        rows={
            "frame": _frame(tooth.size, reach),
            "line": frame({"tooth": tooth, "um": flank.index_um}),
            "limits": frame({"um": [lowest + allowed, lowest]}),
            "upper": _name(tooth.size, lowest + allowed, upper, tooth.size),
            "lower": _name(tooth.size, lowest, lower, tooth.size),
        },
        words=f"Cumulative pitch over the teeth, {flank.flank} flanks: {said}",
    )


def _frame(teeth: int, reach: float) -> pd.DataFrame:
    return frame({"tooth": [0.3, teeth + 0.7], "um": [-reach, reach]})


def _name(teeth: int, value: float, label: str, worst: int) -> pd.DataFrame:
    """A limit is named on the side that the worst tooth is not on."""
    at = 0.3 if worst > teeth / 3 else teeth * 0.55
    return frame({"tooth": [at], "um": [value], "label": [label], "tone": [tones.INK]})


def _axes(title: str, below: str | None) -> tuple[alt.X, alt.Y]:
    exact = alt.Scale(nice=False, zero=False)
    teeth = alt.Axis(grid=False, tickMinStep=1) if below else alt.Axis(grid=False, labels=False, ticks=False)
    side = alt.Axis(minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=5)
    return (
        alt.X("tooth:Q", title=below, scale=exact, axis=teeth),
        alt.Y("um:Q", title=title, scale=alt.Scale(nice=False), axis=side),
    )


def _limits(x: alt.X, y: alt.Y) -> list[alt.Chart]:
    return [
        rows("limits").mark_rule(color=tones.LIMIT, strokeWidth=1.8, strokeDash=[7, 3]).encode(y=y),
        words("upper", x, y, baseline="bottom", dy=-3),
        words("lower", x, y, baseline="top", dy=4),
    ]


@cache
def _single_layout(flank: str) -> dict[str, Any]:
    x, y = _axes(f"{flank}: single pitch fₚ, µm", None)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("bars").mark_rect().encode(x=x, x2="end:Q", y=y, y2="zero:Q", color=own_tone()),
        *_limits(x, y),
        words("named", x, y, align="center", dx=0),
        height=190,
    )


@cache
def _cumulative_layout(flank: str) -> dict[str, Any]:
    x, y = _axes(f"{flank}: cumulative Fₚ, µm", "tooth")
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("line").mark_line(color=tones.MEASURED).encode(x=x, y=y),
        rows("line").mark_point(color=tones.MEASURED, size=26, opacity=1).encode(x=x, y=y),
        *_limits(x, y),
        height=190,
    )
