"""How far each criterion is used up below the finished flank, over depth."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, broken, frame, joined, layout, own_tone, rows
from gearcheck.figures.placing import Line, placed, written
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_exposure import CriteriaExposure

_HEIGHT_PX = 340
_LIMIT_NAME = "1: the strength is used up"
_Curve = tuple[Array, Array]
_STYLES = {
    Criterion.YIELDING: (tones.DEMAND, False),
    Criterion.SHEAR_AMPLITUDE: (tones.INK, False),
    Criterion.INCLUSIONS: (tones.INK, True),
    Criterion.DANG_VAN: (tones.QUIET, False),
}
"""Tone of each criterion, and whether its line is broken."""
_COLUMNS = ("depth", "exposure", "label", "tone")


def short_name(criterion: Criterion) -> str:
    """The name of a criterion where room is small."""
    return {
        Criterion.SHEAR_AMPLITUDE: "shear amplitude",
        Criterion.INCLUSIONS: "with inclusions",
    }.get(criterion, str(criterion))


def exposures_drawing(found: CriteriaExposure, to_mm: float) -> Drawing:
    """Draw the exposure by every criterion over depth, with the line at which the strength is used up.

    Parameters
    ----------
    found : CriteriaExposure
        Of one hardness profile, without arrays of samples.
    to_mm : float
        How deep.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    depth = array(found.depth_mm)
    seen = depth <= to_mm
    depth, right = depth[seen], float(depth[seen][-1])
    curves = {one: _known(depth, found.of(one)[seen]) for one in _STYLES}
    top = 1.12 * max(1.0, *(float(values.max()) for _, values in curves.values()))
    above, below = _names(curves, right, top)
    limit = {"depth": [0.0, right], "exposure": [1.0, 1.0], "label": ["", _LIMIT_NAME], "tone": tones.LIMIT}
    lines = [
        frame({"depth": z, "exposure": values, "label": short_name(one)}).assign(
            tone=_STYLES[one][0], dashed=_STYLES[one][1]
        )
        for one, (z, values) in curves.items()
    ]
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"depth": [0.0, right], "exposure": [0.0, top]}),
            "lines": joined(lines, (*_COLUMNS, "dashed")),
            "limit": frame(limit),
            "above": above,
            "below": below,
        },
        words="Exposure below the finished flank: " + "; ".join(_said(found, one) for one in curves),
    )


def _known(depth: Array, exposure: Array) -> _Curve:
    """A line as far as it has a value: a residual stress is measured to some depth alone."""
    known = ~np.isnan(exposure)
    return depth[known], np.maximum(exposure[known], 0.0)


def _names(curves: Mapping[Criterion, _Curve], right: float, top: float) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The names that begin above their line, and those that end below it."""
    limit_px = _HEIGHT_PX * (1 - 1 / top)
    lines = [
        Line(label=short_name(one), across=z / right, level_px=_HEIGHT_PX * (1 - values / top))
        for one, (z, values) in curves.items()
    ]
    lines.append(Line(label="", across=np.array([0.0, 1.0]), level_px=np.full(2, limit_px)))
    taken = [written(_LIMIT_NAME, 1.0, limit_px - 11, ends=True)]
    named: dict[bool, list[pd.DataFrame]] = {False: [], True: []}
    for one, place in zip(curves, placed(lines, [], taken)[:-1], strict=True):
        z, values = curves[one]
        at = min(place.at * right, float(z[-1]))
        row = {"depth": [at], "exposure": [float(np.interp(at, z, values))]}
        named[place.below].append(frame({**row, "label": [short_name(one)], "tone": [_STYLES[one][0]]}))
    return joined(named[False], _COLUMNS), joined(named[True], _COLUMNS)


def _said(found: CriteriaExposure, one: Criterion) -> str:
    value, depth = found.largest(one)
    return f"{one} at most {float(value):.2f} at {float(depth):.2f} mm"


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(zero=True, nice=False)
    x = alt.X("depth:Q", title="depth below the finished flank z, mm", scale=exact, axis=alt.Axis(grid=False))
    y = alt.Y("exposure:Q", title="exposure A", scale=exact, axis=alt.Axis(grid=False, tickCount=6))
    limit = rows("limit").mark_line(strokeWidth=1.2, strokeDash=[5, 4])
    curve = rows("lines").mark_line(strokeWidth=2.5, clip=True)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        limit.encode(x=x, y=y, color=own_tone()),
        curve.encode(x=x, y=y, detail="label:N", color=own_tone(), strokeDash=broken("dashed", False, True)),
        *backed("above", x, y, dx=4, dy=-11),
        *backed("below", x, y, align="right", dx=-4, dy=13),
        *backed("limit", x, y, align="right", dx=0, dy=-11),
        height=_HEIGHT_PX,
    )
