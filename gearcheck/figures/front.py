"""What reliefs can be had: the error against the pressure, the front of what cannot be bettered in both."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, layout, rows

_AXIS_PX, _HEIGHT_PX = 64, 340
_FAR = 1.25  # reaches of the front: what lies further out is left out, or the front would shrink to a dot
_NARROW = 0.3  # of the axis: what a label needs
_CROSS = "M-0.5,-0.5L0.5,0.5M0.5,-0.5L-0.5,0.5"
PICKED = "pick"
"""The selection of a point."""


@dataclass(frozen=True, kw_only=True)
class Tried:
    """All that was tried, shapes (points,); `front`: places of what cannot be bettered, smoothest first.

    `drawn` is error and pressure of the flanks as drawn; `left_out` are points that do not count.
    """

    error_um: Array
    pressure_MPa: Array
    front: tuple[int, ...]
    drawn: tuple[float, float]
    left_out: NDArray[np.bool_]


def front_drawing(tried: Tried, chosen: int) -> Drawing:
    """Draw the front.

    Parameters
    ----------
    tried : Tried
        At least one point.
    chosen : int
        Which point of the front is looked at.

    Returns
    -------
    Drawing
        As wide as its column; a point that is clicked comes back as its place on the front.
    """
    front = list(tried.front)
    error, pressure = tried.error_um, tried.pressure_MPa
    behind = np.setdiff1d(np.arange(error.size), front)
    x_end = _reach(error, front, tried.drawn[0])
    y_end = _reach(pressure, front, tried.drawn[1])
    behind = behind[(error[behind] <= x_end) & (pressure[behind] <= y_end)]
    out, behind = behind[tried.left_out[behind]], behind[~tried.left_out[behind]]
    here = front[chosen]
    picked = f"{error[here]:.2f} µm, {pressure[here]:.0f} MPa"
    from_left = (error[here] - error[front].min()) / (x_end - error[front].min() or 1.0)
    label = (picked, "") if from_left > _NARROW else ("", picked)
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"um": [x_end], "MPa": [y_end]}),
            "behind": _points(tried, behind),
            "left_out": _points(tried, out),
            "front": frame(
                {"um": error[front].round(3), "MPa": pressure[front].round(1), "place": range(len(front))}
            ),
            "drawn": _named(*tried.drawn, "as drawn", tones.INK),
            "chosen": frame({"um": [error[here]], "MPa": [pressure[here]]}),
            # below the front nothing else stands, but at its left end there is no room
            "chosen_below": _named(float(error[here]), float(pressure[here]), label[0], tones.DEMAND),
            "chosen_beside": _named(float(error[here]), float(pressure[here]), label[1], tones.DEMAND),
        },
        words=f"{error.size} flanks tried, {int(tried.left_out.sum())} of them left out, {len(front)} cannot "
        "be bettered in both; as drawn "
        f"{tried.drawn[0]:.2f} µm and {tried.drawn[1]:.0f} MPa, the one looked at {picked}",
    )


def _points(tried: Tried, places: NDArray[np.intp]) -> pd.DataFrame:
    return frame({"um": tried.error_um[places].round(3), "MPa": tried.pressure_MPa[places].round(1)})


def _reach(values: Array, front: list[int], own: float) -> float:
    low, high = float(values[front].min()), float(values[front].max())
    return max(own, low + _FAR * (high - low), 1.02 * high)


def _named(um: float, pressure: float, label: str, tone: str) -> Any:
    return frame({"um": [um], "MPa": [pressure], "label": [label], "tone": [tone]})


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(zero=False, nice=False, padding=14)
    x = alt.X("um:Q", title="worst TE from peak to peak, µm", scale=exact, axis=alt.Axis(grid=False))
    side = alt.Axis(grid=False, tickCount=5, format="d", minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("MPa:Q", title="largest pressure p₀, MPa", scale=exact, axis=side)
    pick = alt.selection_point(name=PICKED, fields=["place"], on="click", nearest=False, toggle=False)
    ring: dict[str, Any] = {"filled": False, "opacity": 1}
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("behind").mark_point(size=26, color=tones.GHOST, opacity=0.55).encode(x=x, y=y),
        rows("left_out")
        .mark_point(size=40, shape=_CROSS, filled=False, strokeWidth=1, color=tones.GHOST, opacity=0.55)
        .encode(x=x, y=y),
        rows("front")
        .mark_line(color=tones.DEMAND, strokeWidth=1.5, interpolate="step-after")
        .encode(x=x, y=y, order="place:Q"),
        rows("front")
        .mark_point(size=110, color=tones.DEMAND, opacity=1, cursor="pointer")
        .encode(x=x, y=y)
        .add_params(pick),
        rows("drawn").mark_point(size=120, shape="diamond", color=tones.INK, opacity=1).encode(x=x, y=y),
        rows("chosen").mark_point(size=260, strokeWidth=2, color=tones.INK, **ring).encode(x=x, y=y),
        *backed("drawn", x, y, align="right", dx=-10, dy=0),
        *backed("chosen_below", x, y, align="right", dx=-10, dy=16),
        *backed("chosen_beside", x, y, dx=14, dy=-12),
        height=_HEIGHT_PX,
    )
