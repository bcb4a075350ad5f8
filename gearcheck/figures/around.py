"""Index deviations around the gear: an eccentric mounting shows as a circle that lies to one side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, broken, frame, layout, own_tone, rows
from gearcheck.review.turned import TurnedPitch

_SIZE_PX = 450
_EDGE = 1.55  # half the height, in radii of the circle of no deviation
_WIDE = 1.35  # wider than high, so that there is room for the names
_ZERO = 1.0  # radius of the circle of no deviation
_OUTWARD = 0.45  # how far the largest deviation goes from it
_FLANKS = ("left", "right")
_NAME_AT = 1.5
_ROUND = np.linspace(0, 2 * np.pi, 181)


@dataclass(frozen=True, kw_only=True)
class Around:
    """Index deviations of one flank in µm, about their mean, with their once-per-turn part.

    `once_um` is its amplitude; `once_at_deg` where it is greatest, counted from tooth 1 on.
    """

    flank: str
    index_um: Array
    once_um: float
    once_at_deg: float


def around_of(measured: PitchDeviations, turned: TurnedPitch) -> tuple[Around, ...]:
    """Return what is drawn of measured pitch; nothing where a tooth or the pressure angle is missing."""
    waves = turned.harmonics
    if waves.eccentricity_um is None:
        return ()
    index = {flank: array(getattr(measured, f"{flank}_index_um")) for flank in _FLANKS}
    return tuple(
        Around(
            flank=flank,
            index_um=each - each.mean(),
            once_um=float(array(getattr(waves, f"{flank}_first_um"))),
            once_at_deg=float(array(getattr(waves, f"{flank}_first_deg"))),
        )
        for flank, each in index.items()
    )


def around_drawing(flanks: Sequence[Around]) -> Drawing:
    """Draw the index deviations of both flanks around the gear, and the once-per-turn part of each.

    Parameters
    ----------
    flanks : sequence of Around
        One or two flanks with the same number of teeth.

    Returns
    -------
    Drawing
        A square: tooth 1 at the top, counted clockwise.
    """
    largest = max(max(float(np.abs(one.index_um).max()), one.once_um) for one in flanks) or 1.0
    scale = _OUTWARD / largest
    teeth, names = flanks[0].index_um.size, _flank_names(flanks)
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"x": [-_WIDE * _EDGE, _WIDE * _EDGE], "y": [-_EDGE, _EDGE]}),
            "zero": _circle(0.0, 0.0, 1.0),
            "step": _circle(*_step(largest, scale)),
            "lines": pd.concat([_line(one, scale) for one in flanks], ignore_index=True),
            "once": pd.concat([_once(one, scale) for one in flanks], ignore_index=True),
            "teeth": _teeth(teeth),
            "named": _named(largest, scale),
            "to_right": names[names["x"] >= 0],
            "to_left": names[names["x"] < 0],
        },
        words=". ".join(_words(one) for one in flanks),
    )


def _polar(radius: Array, angle: Array) -> dict[str, Array]:
    """Clockwise from the top."""
    return {"x": radius * np.sin(angle), "y": radius * np.cos(angle)}


def _circle(x: float, y: float, radius: float) -> pd.DataFrame:
    found = _polar(np.full_like(_ROUND, radius), _ROUND)
    return frame({"x": found["x"] + x, "y": found["y"] + y, "turn": _ROUND})


def _step(largest: float, scale: float) -> tuple[float, float, float]:
    return 0.0, 0.0, _ZERO + scale * _round(largest)


def _round(largest: float) -> float:
    """A round number of µm at about the largest deviation."""
    power = 10.0 ** np.floor(np.log10(largest))
    return float(max(size * power for size in (0.5, 1, 2, 5) if size * power <= largest))


def _line(one: Around, scale: float) -> pd.DataFrame:
    angle = 2 * np.pi * np.arange(one.index_um.size + 1) / one.index_um.size
    closed = np.append(one.index_um, one.index_um[0])
    return frame({**_polar(_ZERO + scale * closed, angle), "turn": angle, "flank": one.flank})


def _once(one: Around, scale: float) -> pd.DataFrame:
    wave = one.once_um * np.cos(_ROUND - np.radians(one.once_at_deg))
    return frame({**_polar(_ZERO + scale * wave, _ROUND), "turn": _ROUND, "flank": one.flank})


def _teeth(teeth: int) -> pd.DataFrame:
    """About eight teeth are numbered, the first of them at the top."""
    shown = np.unique(np.round(np.arange(8) * teeth / 8).astype(int) % teeth)
    place = _polar(np.full(shown.size, 0.42), 2 * np.pi * shown / teeth)
    tone = [tones.INK if k == 0 else tones.QUIET for k in shown]
    label = ["tooth 1" if k == 0 else f"{k + 1}" for k in shown]
    return frame({**place, "label": label, "tone": tone})


def _named(largest: float, scale: float) -> pd.DataFrame:
    """How far out the broken circle lies, where it passes the lower right."""
    step = _round(largest)
    place = _polar(np.array([_ZERO + scale * step]), np.radians([135.0]))
    return frame({**place, "label": [f"+{step:g} µm"], "tone": [tones.QUIET]})


def _flank_names(flanks: Sequence[Around]) -> pd.DataFrame:
    """Each is named outside of where its once-per-turn part is greatest; two that meet there, opposite."""
    turns = [one.once_at_deg % 360 for one in flanks]
    if len(turns) == 2 and abs((turns[1] - turns[0] + 180) % 360 - 180) < 40:
        turns[1] = turns[0] + 180
    place = _polar(np.full(len(turns), _NAME_AT), np.radians(turns))
    labels = [f"{one.flank} flanks" for one in flanks]
    return frame({**place, "label": labels, "tone": tones.MEASURED})


def _words(one: Around) -> str:
    return (
        f"Index deviations around the gear, {one.flank} flanks, {float(np.ptp(one.index_um)):.1f} µm from "
        f"least to greatest; {one.once_um:.1f} µm of amplitude come once a turn"
    )


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("x:Q", axis=None, scale=exact)
    y = alt.Y("y:Q", axis=None, scale=exact)
    turn = alt.Order("turn:Q")
    flank = broken("flank", "left", "right")
    name = alt.Detail("flank:N")
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("zero").mark_line(color=tones.RULE, strokeWidth=1.6).encode(x=x, y=y, order=turn),
        rows("step")
        .mark_line(color=tones.RULE, strokeWidth=1, strokeDash=[3, 3])
        .encode(x=x, y=y, order=turn),
        rows("once")
        .mark_line(color=tones.DEMAND, strokeWidth=1.6)
        .encode(x=x, y=y, order=turn, strokeDash=flank, detail=name),
        rows("lines")
        .mark_line(color=tones.MEASURED, strokeWidth=2)
        .encode(x=x, y=y, order=turn, strokeDash=flank, detail=name),
        rows("teeth")
        .mark_text(align="center", baseline="middle")
        .encode(x=x, y=y, text="label:N", color=own_tone()),
        *backed("named", x, y, dx=4),
        *backed("to_right", x, y, align="left", dx=0),
        *backed("to_left", x, y, align="right", dx=0),
        height=_SIZE_PX,
        width=int(_WIDE * _SIZE_PX),
    )
