"""What the scatter of manufacture does: how often each peak to peak and each pressure comes out."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, layout, own_tone, rows

_BARS, _HEIGHT_PX, _LINE = 30, 240, 0.085  # height of a line of words, of the axis
_ROOM = 0.03  # beside the outermost, of all that is seen
MOST = 95.0
"""The share of the gears in % below which a line is drawn."""


def made_drawing(
    values: Array, *, title: str, unit: str, digits: int, drawn: float, agreed: float | None = None
) -> Drawing:
    """Draw how many gears come out at each value.

    Parameters
    ----------
    values : ndarray
        One for each gear; at least one.
    title, unit : str
        Of the axis.
    digits : int
        Decimals of the numbers.
    drawn : float
        Of the gear as drawn, without any scatter.
    agreed : float, optional
        What may not be exceeded.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    known = values[np.isfinite(values)]
    most = float(np.percentile(known, MOST))
    marks = [
        (drawn, f"as drawn {drawn:.{digits}f}", tones.INK),
        (most, f"19 of 20 below {most:.{digits}f}", tones.DEMAND),
    ]
    if agreed is not None:
        marks.append((agreed, f"agreed {agreed:.{digits}f}", tones.LIMIT))
    reach = [float(known.min()), float(known.max()), *(at for at, *_ in marks)]
    room = _ROOM * (max(reach) - min(reach) or abs(drawn) or 1.0)
    low, high = min(reach) - room, max(reach) + room
    count, edges = np.histogram(known, bins=_BARS, range=(low, high))
    top = float(count.max()) / (1.0 - _LINE * (len(marks) + 1))
    lines = _names(marks, top, (low + high) / 2)
    return Drawing(
        layout=_layout(f"{title}, {unit}", digits == 0),
        rows={
            "frame": frame({"at": [low, high], "gears": [0.0, top]}),
            "bars": frame({"at": edges[:-1], "end": edges[1:], "gears": count}).query("gears > 0"),
            "marks": lines,
            "after": lines.query("not left"),
            "before": lines.query("left"),
        },
        words=f"{title} of {known.size} gears: {known.min():.{digits}f} to {known.max():.{digits}f} {unit}, "
        f"19 of 20 below {most:.{digits}f} {unit}, as drawn {drawn:.{digits}f} {unit}",
    )


def _names(marks: list[tuple[float, str, str]], top: float, middle: float) -> pd.DataFrame:
    """Each mark with its name in a line of its own; the nearer to the side, the higher, so that few cross."""
    after = sorted((mark for mark in marks if mark[0] <= middle), key=lambda mark: mark[0])
    before = sorted((mark for mark in marks if mark[0] > middle), key=lambda mark: -mark[0])
    ordered = [*after, *before]
    return frame(
        {
            "at": [at for at, *_ in ordered],
            "gears": [top * (1.0 - _LINE * (line + 0.5)) for line in range(len(ordered))],
            "label": [label for _, label, _ in ordered],
            "tone": [tone for *_, tone in ordered],
            "left": [at > middle for at, *_ in ordered],
        }
    )


@cache
def _layout(title: str, whole: bool) -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    ticks = alt.Axis(grid=False, format="d" if whole else ".4~g")
    x = alt.X("at:Q", title=title, scale=exact, axis=ticks)
    side = alt.Axis(grid=False, tickCount=4, tickMinStep=1, format="d")
    y = alt.Y("gears:Q", title="gears", scale=exact, axis=side)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("bars")
        .mark_rect(color=tones.DEMAND, fillOpacity=0.45, stroke=tones.PAPER)
        .encode(x=x, x2="end:Q", y=y, y2=alt.Y2(datum=0)),
        rows("marks").mark_rule(strokeWidth=2).encode(x=x, y=y, y2=alt.Y2(datum=0), color=own_tone()),
        *backed("after", x, y, dx=5),
        *backed("before", x, y, align="right", dx=-5),
        height=_HEIGHT_PX,
    )
