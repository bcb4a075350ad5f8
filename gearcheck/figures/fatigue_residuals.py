"""How specimens lie about their curve: residuals over stress, and their probability plot."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.fatigue.families import quantile
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Distribution
from gearcheck.fatigue.residuals import FitResiduals
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, layout, rows

_HEIGHT_PX, _AXIS_PX = 280, 64
_UP = "M0,-1.1L0,-3M-0.5,-2.3L0,-3L0.5,-2.3"
_SHARES = (0.001, 0.01, 0.05, 0.1, 0.2, 0.5, 0.8, 0.9, 0.95, 0.99, 0.999)
_WIDE = 2.0  # the axis of residuals reaches at least so far to either side
_ROOM = 0.06
_TITLE = "residual r, in scales of the fit"


def residuals_drawing(fit: FatigueFit, found: FitResiduals) -> Drawing:
    """Draw the residual of each specimen over its stress; a run-out lies there or higher.

    Parameters
    ----------
    fit : FatigueFit
        The curve.
    found : FitResiduals
        Of its specimens.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    data, residual = fit.data, array(found.residual)
    low, high = _ends(residual)
    stress = data.stress_MPa
    room = _ROOM * max(float(np.ptp(stress)), 0.05 * float(stress.max()))
    table = frame({"stress": stress, "residual": residual})
    outside = int(np.sum(np.abs(residual[data.failed]) > _WIDE))
    return Drawing(
        layout=_residual_layout(),
        rows={
            "frame": frame({"stress": [stress.min() - room, stress.max() + room], "residual": [low, high]}),
            "levels": frame({"residual": [-_WIDE, 0.0, _WIDE]}),
            "failed": table[data.failed],
            "ran_out": table[~data.failed],
        },
        words=f"Residuals of {data.count} specimens about the {fit.curve}, {fit.distribution}, over stress: "
        f"{outside} of {int(data.failed.sum())} failures lie more than {_WIDE:.0f} scales away",
    )


def _ends(values: Array) -> tuple[float, float]:
    low, high = min(float(values.min()), -_WIDE), max(float(values.max()), _WIDE)
    room = _ROOM * (high - low)
    return low - room, high + 2 * room


@cache
def _residual_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("stress:Q", title="stress σ, MPa", scale=exact, axis=alt.Axis(grid=False, format="d"))
    side = alt.Axis(grid=False, tickMinStep=1, format="d", minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("residual:Q", title=_TITLE, scale=exact, axis=side)
    failed = rows("failed").mark_point(filled=True, color=tones.MEASURED, size=65, opacity=1)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("levels").mark_rule(color=tones.RULE, strokeWidth=1.2).encode(y=y),
        failed.encode(x=x, y=y),
        *(_open(shape).encode(x=x, y=y) for shape in ("circle", _UP)),
        height=_HEIGHT_PX,
    )


def _open(shape: str) -> alt.Chart:
    mark: alt.Chart = rows("ran_out").mark_point(
        filled=False, strokeWidth=1.8, shape=shape, color=tones.MEASURED, size=65, opacity=1
    )
    return mark


def probability_drawing(fit: FatigueFit, found: FitResiduals) -> Drawing:
    """Draw the residuals on the paper of their distribution: about the line, where the distribution holds.

    Parameters
    ----------
    fit : FatigueFit
        The curve.
    found : FitResiduals
        Of its specimens; failures lie at their plotting positions, run-outs count in them.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    failed = fit.data.failed
    residual, place = array(found.residual)[failed], array(found.place)[failed]
    position = array(found.position)
    low, high = _ends(np.concatenate([residual, place]))
    return Drawing(
        layout=_probability_layout(fit.distribution),
        rows={
            "frame": frame({"residual": [low, high], "place": [low, high]}),
            "line": frame({"residual": [low, high], "place": [low, high]}),
            "named": frame(
                {
                    "residual": [low + 0.5 * (high - low)],
                    "place": [low + 0.5 * (high - low)],
                    "label": [f"{fit.distribution}, as fitted"],
                    "tone": [tones.DEMAND],
                }
            ),
            "failed": frame({"residual": residual, "place": place}),
        },
        words=f"Probability plot of {residual.size} failures on the paper of the {fit.distribution} "
        f"distribution, from {_percent(np.nanmin(position))} to {_percent(np.nanmax(position))} failed; the "
        "line is the fit",
    )


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


@cache
def _probability_layout(distribution: Distribution) -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    whole = alt.Axis(grid=False, tickMinStep=1, format="d")
    x = alt.X("residual:Q", title=_TITLE, scale=exact, axis=whole)
    places = [float(place) for place in quantile(np.array(_SHARES), distribution)]
    side = alt.Axis(
        grid=False,
        values=places,
        tickCount=len(places),
        labelOverlap=True,
        labelExpr=_shares(places),
        minExtent=_AXIS_PX,
        maxExtent=_AXIS_PX,
    )
    y = alt.Y("place:Q", title="share that has failed", scale=exact, axis=side)
    mark = rows("failed").mark_point(filled=True, color=tones.MEASURED, size=65, opacity=1)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("line").mark_line(color=tones.DEMAND, strokeWidth=2, clip=True).encode(x=x, y=y),
        mark.encode(x=x, y=y),
        *backed("named", x, y, dx=8, dy=13),
        height=_HEIGHT_PX,
    )


def _shares(places: list[float]) -> str:
    """The shares at their places: a tick knows its place alone."""
    said = [
        f"abs(datum.value - ({place!r})) < 1e-6 ? '{100 * share:g} %'"
        for place, share in zip(places, _SHARES, strict=True)
    ]
    return " : ".join([*said, "''"])
