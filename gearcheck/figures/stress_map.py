"""The shear stress below the contact as a map: along the flank, and into the tooth."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, frame, layout, rows, words
from gearcheck.hardening.fatigue_exposure import CriteriaExposure
from gearcheck.hardening.history import stress_map
from gearcheck.hardening.required import RequiredCaseDepth

_ALONG, _DEEP = 49, 31
_WIDE, _BELOW = 2.0, 2.6  # half-widths to either side, and down


def map_drawing(
    solved: RequiredCaseDepth, friction: float, residual: CriteriaExposure | None = None
) -> Drawing:
    """Draw the largest shear in the plane across the contact line, at the point of the path that governs.

    Parameters
    ----------
    solved : RequiredCaseDepth
        The solved depth of one mesh; where none suffices, the point of the largest pressure stands for it.
    friction : float
        μ of the flanks, the traction towards the right.
    residual : CriteriaExposure, optional
        That whose residual stress is added; without it there is none.

    Returns
    -------
    Drawing
        As wide as its column; without safety.
    """
    widths, pressures = array(solved.half_width_mm), array(solved.pressure_MPa)
    place = int(pressures.argmax()) if solved.point is None else int(solved.point)
    b, p_0 = float(widths[place]), float(pressures[place])
    x_edges = np.linspace(-_WIDE * b, _WIDE * b, _ALONG + 1)
    z_edges = np.linspace(0.0, _BELOW * b, _DEEP + 1)
    x, z = (x_edges[1:] + x_edges[:-1]) / 2, (z_edges[1:] + z_edges[:-1]) / 2
    found = stress_map(
        half_width_mm=b,
        pressure_MPa=p_0,
        friction=friction,
        position_mm=x,
        depth_mm=z,
        residual_stress_MPa=0.0 if residual is None else _residual(residual, z),
    )
    shear = array(found.shear_in_plane_MPa)
    deep, along = np.unravel_index(int(shear.argmax()), shear.shape)
    most = float(shear[deep, along])
    said = f"{most:.0f} MPa at {z[deep]:.2f} mm"
    return Drawing(
        layout=_layout(),
        rows={
            "cells": frame(
                {
                    "x": np.tile(x_edges[:-1], _DEEP),
                    "to": np.tile(x_edges[1:], _DEEP),
                    "z": np.repeat(z_edges[:-1], _ALONG),
                    "below": np.repeat(z_edges[1:], _ALONG),
                    "shear": shear.ravel().round(1),
                }
            ),
            "contact": frame({"x": [-b], "to": [b], "z": [0.0]}),
            "peak": frame({"x": [float(x[along])], "z": [float(z[deep])]}),
            "name": frame(
                {"x": x_edges[-1:], "z": z_edges[-1:], "label": f"largest {said}", "tone": tones.INK}
            ),
        },
        words=f"Shear stress below a contact of {2 * b:.2f} mm width; the most is {said}",
    )


def _residual(found: CriteriaExposure, z: Array) -> Array:
    depth = array(found.depth_mm)
    return array(np.interp(z, depth, np.broadcast_to(array(found.residual_stress_MPa), depth.shape)))


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False)
    x = alt.X("x:Q", title="along the flank, mm", scale=exact, axis=alt.Axis(grid=False))
    z = alt.Y(
        "z:Q",
        title="depth, mm",
        scale=alt.Scale(nice=False, reverse=True),
        axis=alt.Axis(grid=False, tickCount=5),
    )
    shade = alt.Color(
        "shear:Q",
        title="τ, MPa",
        scale=alt.Scale(range=[tones.PAPER, tones.DEMAND], interpolate="rgb"),
        legend=alt.Legend(orient="right", gradientLength=180),
    )
    return layout(
        rows("cells").mark_rect(stroke=None).encode(x=x, x2="to:Q", y=z, y2="below:Q", color=shade),
        rows("contact").mark_rule(strokeWidth=5, color=tones.LIMIT).encode(x=x, x2="to:Q", y=z),
        rows("peak").mark_point(size=90, color=tones.PAPER, filled=True, opacity=1).encode(x=x, y=z),
        words("name", x, z, align="right", dx=-8, dy=-14),
        height=260,
    )
