"""The stock on both flanks of every tooth in one set-up, against what the drawing allows."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, broken, frame, layout, rows, words
from gearcheck.hardening.inputs import CaseSpecification
from gearcheck.hardening.stock import ToothStock

_AXIS_PX = 76
_HEIGHT_PX, _LINE_PX = 240, 21
_FLANKS = ("left", "right")


def stock_drawing(found: ToothStock, case: CaseSpecification) -> Drawing:
    """Draw the stock over the teeth, left and right flank, with the ends of the drawing as lines.

    Parameters
    ----------
    found : ToothStock
        Of one set-up, without arrays of samples.
    case : CaseSpecification
        The drawing.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    both = {name: array(getattr(found, f"{name}_mm")).ravel() for name in _FLANKS}
    count = both["left"].size
    limits = list(_limits(case))
    seen = [*both["left"], *both["right"], *(value for _, value in limits)]
    margin = 0.12 * max(max(seen) - min(seen), 1e-3)
    low, high = min(0.0, min(seen)) if min(seen) < 0 else min(seen) - margin, max(seen) + margin
    first, last = _names(both, count, (high - low) / _HEIGHT_PX)
    return Drawing(
        layout=_layout(),
        rows={
            "frame": frame({"tooth": [0.5, count + 0.5], "stock": [low, high]}),
            "lines": pd.concat([_line(name, stock) for name, stock in both.items()], ignore_index=True),
            "limits": frame({"stock": [value for _, value in limits]}),
            "named": frame(
                {
                    "tooth": [0.5 for _ in limits],
                    "stock": [value for _, value in limits],
                    "label": [f"{name} {value:.3f} mm" for name, value in limits],
                    "tone": [tones.LIMIT for _ in limits],
                }
            ),
            "over": first,
            "under": last,
        },
        words=f"Stock on each of {count} teeth: {_range(both['left'])} on the left flanks, "
        f"{_range(both['right'])} on the right ones; "
        f"{', '.join(f'{name} {value:.3f} mm' for name, value in limits)}",
    )


def _range(stock: Array) -> str:
    return f"{stock.min():.3f} to {stock.max():.3f} mm"


def _limits(case: CaseSpecification) -> Iterator[tuple[str, float]]:
    """The ends of the drawing, once where both flanks share them."""
    for end, word in enumerate(("least drawn", "largest drawn")):
        left, right = (float(case.stock_mm(flank)[end]) for flank in _FLANKS)
        if left == right:
            yield word, left
        else:
            yield f"{word}, left", left
            yield f"{word}, right", right


def _line(name: str, stock: Array) -> pd.DataFrame:
    return frame({"tooth": np.arange(stock.size) + 1, "stock": stock, "flank": name})


def _names(both: dict[str, Array], count: int, mm_per_px: float) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Each name stands where the lines are farthest apart: between them where there is room, else outside."""
    gap = both["left"] - both["right"]
    inner = slice(count // 10, count - count // 8)  # a name at the edge would be cut off
    at = int(np.abs(gap[inner]).argmax()) + (inner.start or 0)
    upper, lower = _FLANKS if gap[at] >= 0 else _FLANKS[::-1]
    inwards = -1.0 if abs(gap[at]) > 3 * _LINE_PX * mm_per_px else 1.0

    def named(name: str, side: float) -> pd.DataFrame:
        level = float(both[name][at]) + side * _LINE_PX * mm_per_px
        return frame({"tooth": [at + 1], "stock": [level], "label": [f"{name} flanks"], "tone": [tones.INK]})

    return named(upper, inwards), named(lower, -inwards)


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    title = "tooth, the first where the eccentricity points"
    x = alt.X("tooth:Q", title=title, scale=exact, axis=alt.Axis(grid=False, tickMinStep=1))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=5)
    y = alt.Y("stock:Q", title="stock on the flank, mm", scale=exact, axis=axis)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("limits").mark_rule(color=tones.LIMIT, strokeWidth=1.8, strokeDash=[7, 3]).encode(y=y),
        rows("lines")
        .mark_line(strokeWidth=2, color=tones.INK)
        .encode(x=x, y=y, strokeDash=broken("flank", "left", "right")),
        rows("lines").mark_point(size=26, opacity=1, filled=True, color=tones.INK).encode(x=x, y=y),
        words("named", x, y, baseline="bottom", dx=4, dy=-3),
        *backed("over", x, y, align="center", dx=0),
        *backed("under", x, y, align="center", dx=0),
        height=_HEIGHT_PX,
    )
