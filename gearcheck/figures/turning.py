"""How unevenly a mesh turns under load: its error over one mesh cycle, and what it becomes with torque."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, broken, frame, joined, layout, rows, words
from gearcheck.figures.labels import spread_within
from gearcheck.meshing.loaded import LoadedContact

_AXIS_PX, _CYCLE_PX, _TORQUE_PX, _LINE_PX = 64, 240, 260, 20
_LEAST_UM = 0.1  # an error smaller than this is drawn as nearly nothing, not blown up
_NUMBER = 0.15  # of the largest bar: what a number above one takes
_ALL, _FIRST = "peak to peak", "mesh order 1"


@dataclass(frozen=True, kw_only=True)
class OverTorque:
    """Peak to peak and the first mesh order at several torques of the pinion, all of shape (torques,)."""

    torque_Nm: Array
    peak_to_peak_um: Array
    first_order_um: Array
    nominal_Nm: float

    @property
    def least(self) -> int:
        """The place of the torque at which the mesh turns most evenly."""
        return int(np.nanargmin(self.peak_to_peak_um))


def over_torque(found: LoadedContact, nominal_Nm: float) -> OverTorque:
    """Return what is drawn over torque.

    Parameters
    ----------
    found : LoadedContact
        Its first axis the torques, in rising order.
    nominal_Nm : float
        That of the record.
    """
    return OverTorque(
        torque_Nm=array(found.torque_Nm),
        peak_to_peak_um=array(found.peak_to_peak_um),
        first_order_um=array(found.orders_um)[:, 0],
        nominal_Nm=nominal_Nm,
    )


def cycle_drawing(now: LoadedContact, record: LoadedContact | None = None, sample: int = 0) -> Drawing:
    """Draw the transmission error over one mesh cycle, its mean taken off.

    Parameters
    ----------
    now : LoadedContact
        As drafted.
    record : LoadedContact, optional
        Of the record, where a draft is under way.
    sample : int
        Which of their samples.

    Returns
    -------
    Drawing
        As wide as its column; two lines bound the peak to peak.
    """
    drawn, ghost = _cycle(now, sample), _cycle(record, sample)
    peak = float(array(now.peak_to_peak_um).ravel()[sample])
    both = pd.concat([drawn, ghost], ignore_index=True)["error"]
    room = 0.25 * max(float(both.max() - both.min()), _LEAST_UM)
    high, low = float(drawn["error"].max()), float(drawn["error"].min())
    was = ""
    if record is not None:
        was = f"record {float(array(record.peak_to_peak_um).ravel()[sample]):.2f} µm"
    pitch = float(array(now.base_pitch_mm))
    return Drawing(
        layout=_cycle_layout(),
        rows={
            "frame": frame({"at": [0.0, pitch], "error": [both.min() - room, both.max() + room]}),
            "ends": frame({"error": [low, high]}),
            "record": ghost,
            "curve": drawn,
            "named": frame(
                {
                    "at": [0.0],
                    "error": [high],
                    "label": [f"{peak:.2f} µm from peak to peak"],
                    "tone": [tones.DEMAND],
                }
            ),
            "was": frame(
                {"at": [pitch], "error": [both.max() + room / 2], "label": [was], "tone": [tones.QUIET]}
            ),
        },
        words=f"Transmission error on the line of action over one mesh cycle: {peak:.2f} µm peak to peak",
    )


def _cycle(found: LoadedContact | None, sample: int) -> pd.DataFrame:
    """One cycle without its mean, closed by its first point."""
    if found is None:
        return joined([], ("at", "error"))
    error = array(found.error_um).reshape(-1, array(found.position_mm).size)[sample]
    at = np.append(array(found.position_mm), float(array(found.base_pitch_mm)))
    return frame({"at": at.round(4), "error": np.append(error, error[0]) - error.mean()})


@cache
def _cycle_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    title = "rolled along the line of action, mm"
    x = alt.X("at:Q", title=title, scale=exact, axis=alt.Axis(grid=False))
    side = alt.Axis(grid=False, tickCount=5, minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("error:Q", title="TE less its mean, µm", scale=exact, axis=side)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("ends").mark_rule(color=tones.RULE, strokeWidth=1.5).encode(y=y),
        rows("record").mark_line(strokeDash=[2, 3], color=tones.GHOST).encode(x=x, y=y),
        rows("curve").mark_line(strokeWidth=2.5, color=tones.DEMAND).encode(x=x, y=y),
        *backed("named", x, y, dx=4, dy=-12),
        *backed("was", x, y, align="right", dx=-4),
        height=_CYCLE_PX,
    )


def orders_drawing(now: LoadedContact, record: LoadedContact | None = None, sample: int = 0) -> Drawing:
    """Draw the amplitudes of the mesh orders as bars with their numbers; parameters as of `cycle_drawing`.

    Returns
    -------
    Drawing
        As wide as its column, the record as a line across each bar.
    """
    amplitudes, was = _orders(now, sample), _orders(record, sample)
    most = max(float(pd.concat([amplitudes, was])["um"].max()), _LEAST_UM)
    named = amplitudes.assign(label=[f"{one:.2f}" for one in amplitudes["um"]], tone=tones.INK)
    if len(was) == len(named):  # no line of the record through a number
        over = was["um"] - named["um"]
        named["um"] = np.where((over > 0) & (over < _NUMBER * most), was["um"], named["um"])
    each = ", ".join(named["label"])
    return Drawing(
        layout=_orders_layout(),
        rows={
            "frame": frame({"order": [1], "um": [1.2 * most]}),
            "bars": amplitudes,
            "record": was,
            "named": named,
        },
        words=f"Amplitudes of mesh orders 1 to {len(amplitudes)}: {each} µm",
    )


def _orders(found: LoadedContact | None, sample: int) -> pd.DataFrame:
    if found is None:
        return joined([], ("order", "um"))
    amplitudes = array(found.orders_um)
    amplitudes = amplitudes.reshape(-1, amplitudes.shape[-1])[sample]
    return frame({"order": np.arange(1, amplitudes.size + 1), "um": amplitudes})


@cache
def _orders_layout() -> dict[str, Any]:
    x = alt.X("order:O", title="mesh order", axis=alt.Axis(labelAngle=0, ticks=False))
    side = alt.Axis(grid=False, tickCount=5, minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("um:Q", title="amplitude, µm", axis=side, scale=alt.Scale(nice=False))
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("bars").mark_bar(color=tones.DEMAND, size=26).encode(x=x, y=y),
        rows("record").mark_tick(color=tones.INK, thickness=2, size=40).encode(x=x, y=y),
        words("named", x, y, align="center", baseline="bottom", dx=0, dy=-5),
        height=_CYCLE_PX,
    )


def torque_drawing(now: OverTorque, record: OverTorque | None = None) -> Drawing:
    """Draw peak to peak and the first mesh order over torque, and where the mesh turns most evenly.

    Parameters
    ----------
    now, record : OverTorque
        As drafted, and of the record where a draft is under way.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    lines, ghost = _over(now), _over(record)
    top = 1.25 * max(float(pd.concat([lines, ghost])["um"].max()), _LEAST_UM)
    least, torque = now.least, float(now.torque_Nm[now.least])
    is_between = 0 < least < now.torque_Nm.size - 1
    end = [float(now.peak_to_peak_um[-1]), float(now.first_order_um[-1])]
    gap = top * _LINE_PX / _TORQUE_PX
    room = 0.2 * float(now.torque_Nm[-1])
    return Drawing(
        layout=_torque_layout(),
        rows={
            "frame": frame({"at": [0.0, float(now.torque_Nm[-1]) + room], "um": [0.0, top]}),
            "record": ghost,
            "lines": lines,
            "nominal": frame(
                {"at": [now.nominal_Nm], "um": [top], "label": ["nominal"], "tone": [tones.QUIET]}
            ),
            "names": frame(
                {
                    "at": [float(now.torque_Nm[-1])] * 2,
                    "um": spread_within(end, gap, gap / 2, top),
                    "label": [_ALL, _FIRST],
                    "tone": [tones.DEMAND] * 2,
                }
            ),
            "least": frame(
                {
                    "at": [torque],
                    "um": [float(now.peak_to_peak_um[least])],
                    "label": [f"least at {torque:.0f} N·m"],
                    "tone": [tones.INK],
                }
            ).iloc[: int(is_between)],
        },
        words=f"Transmission error over torque: least from peak to peak at {torque:.0f} N·m of the pinion, "
        f"{float(now.peak_to_peak_um[least]):.2f} µm",
    )


def _over(found: OverTorque | None) -> pd.DataFrame:
    if found is None:
        return joined([], ("at", "um", "what"))
    parts = [
        frame({"at": found.torque_Nm, "um": values, "what": what})
        for what, values in ((_ALL, found.peak_to_peak_um), (_FIRST, found.first_order_um))
    ]
    return joined(parts, ("at", "um", "what"))


@cache
def _torque_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("at:Q", title="torque of the pinion, N·m", scale=exact, axis=alt.Axis(grid=False, format="d"))
    side = alt.Axis(grid=False, tickCount=5, minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("um:Q", title="TE, µm", scale=exact, axis=side)
    dash = broken("what", _ALL, _FIRST)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("nominal").mark_rule(color=tones.RULE, strokeWidth=1.5).encode(x=x),
        rows("record").mark_line(strokeDash=[2, 3], color=tones.GHOST).encode(x=x, y=y, detail="what:N"),
        rows("lines").mark_line(strokeWidth=2.5, color=tones.DEMAND).encode(x=x, y=y, strokeDash=dash),
        rows("lines").mark_point(size=34, color=tones.DEMAND, opacity=1).encode(x=x, y=y),
        rows("least")
        .mark_point(size=190, filled=False, strokeWidth=1.6, color=tones.INK, opacity=1)
        .encode(x=x, y=y),
        *backed("least", x, y, align="center", baseline="bottom", dx=0, dy=-11),
        *backed("nominal", x, y, align="left", baseline="top", dx=5, dy=2),
        *backed("names", x, y, dx=8),
        height=_TORQUE_PX,
    )
