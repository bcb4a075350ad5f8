"""The teeth that were measured, under load: the error over one revolution, and what orders it is made of."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, layout, rows
from gearcheck.figures.transmission import kept_places, part_once_a_turn
from gearcheck.meshing.revolution import LoadedRevolution

_AXIS_PX, _HEIGHT_PX = 64, 260
_MESH_ORDERS = 3  # so many are drawn, with what stands beside them
_SEEN = 0.03  # of the largest: a sideband smaller than this has no name
_BESIDE = 2  # sidebands so many revolutions away may be named

Name = tuple[int, float, str, str]  # order, amplitude, how it is called, on which side


@dataclass(frozen=True, kw_only=True)
class Turn:
    """One revolution of the gear that deviates.

    `error_um` of shape (places,), without its mean; `amplitude_um` of the orders 1, 2, 3 ... of a revolution.
    """

    teeth: int
    error_um: Array
    amplitude_um: Array


def turn_of(found: LoadedRevolution, *, gear_is_pinion: bool) -> Turn:
    """Return the revolution of one gear.

    Parameters
    ----------
    found : LoadedRevolution
        One sample, over one revolution of that gear.
    gear_is_pinion : bool
        Which gear it is.
    """
    error = array(found.error_um).ravel()
    teeth = found.pinion_teeth if gear_is_pinion else found.wheel_teeth
    return Turn(teeth=int(array(teeth)), error_um=error - error.mean(), amplitude_um=array(found.spectrum_um))


def turn_drawing(turn: Turn) -> Drawing:
    """Draw the loaded error tooth by tooth, and its part that comes once a turn as a broken line.

    Parameters
    ----------
    turn : Turn
        Of the measured gear.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    curve = turn.error_um
    once = part_once_a_turn(curve)
    places = kept_places(curve)
    tooth = 1.0 + places / curve.size * turn.teeth
    room = 0.22 * max(float(np.ptp(curve)), 0.1)
    low = float(curve.min()) - room
    peak, slow = float(np.ptp(curve)), float(np.ptp(once))
    low_at = 1.0 + int(once.argmin()) / curve.size * turn.teeth
    return Drawing(
        layout=_turn_layout(),
        rows={
            "frame": frame({"tooth": [1.0, turn.teeth + 1.0], "error": [low, curve.max() + room]}),
            "ends": frame({"error": [curve.min(), curve.max()]}),
            "curve": frame({"tooth": tooth.round(4), "error": curve[places]}),
            "once": frame({"tooth": tooth.round(4), "error": once[places]}),
            "named": _named(1.0, curve.max(), f"{peak:.2f} µm from peak to peak", tones.MEASURED),
            "once_named": _named(low_at, low, f"once a turn {slow:.2f} µm", tones.QUIET),
        },
        words=f"Transmission error under load over a revolution of {turn.teeth} teeth: {peak:.2f} µm from "
        f"peak to peak, {slow:.2f} µm of it once a turn",
    )


def _named(tooth: float, error: float, label: str, tone: str) -> pd.DataFrame:
    return frame({"tooth": [tooth], "error": [error], "label": [label], "tone": [tone]})


@cache
def _turn_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    ticks = alt.Axis(grid=False, tickMinStep=1, format="d")
    x = alt.X("tooth:Q", title="teeth, in the order in which they come into mesh", scale=exact, axis=ticks)
    side = alt.Axis(grid=False, tickCount=5, minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("error:Q", title="TE less its mean, µm", scale=exact, axis=side)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("ends").mark_rule(color=tones.RULE, strokeWidth=1.5).encode(y=y),
        rows("once").mark_line(strokeWidth=2, strokeDash=[7, 4], color=tones.QUIET).encode(x=x, y=y),
        rows("curve").mark_line(strokeWidth=2, color=tones.MEASURED, strokeJoin="round").encode(x=x, y=y),
        *backed("named", x, y, dx=4, dy=-12),
        *backed("once_named", x, y, align="center", dx=0, dy=-10),
        height=_HEIGHT_PX,
    )


def spectrum_drawing(turn: Turn) -> Drawing:
    """Draw the amplitudes of all orders of a revolution; mesh orders and what stands beside them are named.

    Parameters
    ----------
    turn : Turn
        Of the measured gear.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    last = min(turn.amplitude_um.size, int((_MESH_ORDERS + 0.5) * turn.teeth))
    order, amplitude = np.arange(1, last + 1), turn.amplitude_um[:last]
    of_mesh = order % turn.teeth == 0
    names = _order_names(turn.teeth, amplitude)
    told = ", ".join(f"{name} {um:.2f} µm" for _, um, name, _ in names)
    sides = (("named", "mesh"), ("before", "left"), ("after", "right"))
    return Drawing(
        layout=_spectrum_layout(),
        rows={
            "frame": frame({"order": [0, last], "um": [0.0, 1.25 * max(float(amplitude.max()), 1e-3)]}),
            "orders": frame({"order": order[~of_mesh], "um": amplitude[~of_mesh].round(4)}),
            "mesh": frame({"order": order[of_mesh], "um": amplitude[of_mesh].round(4)}),
            **{key: _of_side([one for one in names if one[3] == side], side) for key, side in sides},
        },
        words=f"Orders of the transmission error per revolution: {told}",
    )


def _of_side(names: list[Name], side: str) -> pd.DataFrame:
    is_mesh = side == "mesh"
    return frame(
        {
            "order": [at for at, *_ in names],
            "um": [um for _, um, *_ in names],
            "label": [f"{name} {um:.2f}" if is_mesh else name for _, um, name, _ in names],
            "tone": tones.DEMAND if is_mesh else tones.MEASURED,
        }
    )


def _order_names(teeth: int, amplitude: Array) -> list[Name]:
    """Order, amplitude, name and side of what is named: once a turn, the mesh orders, their sidebands."""
    least = _SEEN * float(amplitude.max())
    found: list[Name] = [(1, float(amplitude[0]), "once a turn", "right")]
    for time in range(1, _MESH_ORDERS + 1):
        at = time * teeth
        if at > amplitude.size:
            break
        name = "z" if time == 1 else f"{time}z"
        if time == 1 or amplitude[at - 1] > least:
            found.append((at, float(amplitude[at - 1]), name, "mesh"))
        for way, side, sign in ((-1, "left", "−"), (1, "right", "+")):
            beside = [
                at + way * step for step in range(1, _BESIDE + 1) if 1 < at + way * step <= amplitude.size
            ]
            if not beside:
                continue
            most = max(beside, key=lambda one: amplitude[one - 1])
            if amplitude[most - 1] > least:
                label = f"{name} {sign} {abs(most - at)}"
                found.append((most, float(amplitude[most - 1]), label, side))
    return found


@cache
def _spectrum_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    ticks = alt.Axis(grid=False, tickMinStep=1, format="d")
    x = alt.X("order:Q", title="order per revolution of the gear", scale=exact, axis=ticks)
    side = alt.Axis(grid=False, tickCount=5, minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("um:Q", title="amplitude, µm", scale=exact, axis=side)
    foot = alt.Y2(datum=0)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("orders").mark_rule(strokeWidth=1.8, color=tones.MEASURED).encode(x=x, y=y, y2=foot),
        rows("mesh").mark_rule(strokeWidth=4, color=tones.DEMAND).encode(x=x, y=y, y2=foot),
        *backed("named", x, y, align="center", baseline="bottom", dx=0, dy=-6),
        *backed("before", x, y, align="right", dx=-5, dy=-4),
        *backed("after", x, y, dx=5, dy=-4),
        height=_HEIGHT_PX,
    )
