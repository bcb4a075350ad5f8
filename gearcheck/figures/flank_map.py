"""One flank as a map: several profiles across the face, the deviation from the design as tone and number."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, layout, rows

_CELLS = 40  # along the roll
_AXIS_PX, _HEIGHT_PX = 60, 320
_ROUNDEST = 1e-9


@dataclass(frozen=True, kw_only=True)
class FlankMap:
    """Profiles of one flank across the face: shapes (profiles,), (profiles, points), and the same again.

    `deviation_um` is without the design trace, NaN where there is nothing.
    """

    name: str
    across_mm: Array
    place_mm: Array
    deviation_um: Array


def map_drawing(found: FlankMap) -> Drawing:
    """Draw the map of one flank.

    Parameters
    ----------
    found : FlankMap
        At least two profiles.

    Returns
    -------
    Drawing
        Face position to the right, roll length upwards; the highest and the lowest cell carry their number.
    """
    cells = _cells(found)
    largest = float(np.abs(cells["um"]).max()) or _ROUNDEST
    cells["share"] = cells["um"] / largest
    high, low = (cells.iloc[int(find(cells["um"]))] for find in (np.argmax, np.argmin))
    bottom, top = cells["y"].min(), cells["y2"].max()
    room = 0.04 * (top - bottom)
    named = frame(
        {
            "x": [(one["x"] + one["x2"]) / 2 for one in (high, low)],
            # a number at the very edge would be cut off
            "y": np.clip([(one["y"] + one["y2"]) / 2 for one in (high, low)], bottom + room, top - room),
            "label": [f"{one['um']:+.1f} µm".replace("-", "−") for one in (high, low)],
            "tone": tones.INK,
        }
    )
    return Drawing(
        layout=_layout(),
        rows={"cells": cells, "named": named},
        words=f"Deviation from the design over {found.name}: from {named['label'][1]} to {named['label'][0]}",
    )


def _cells(found: FlankMap) -> pd.DataFrame:
    """The mean of the points in each cell; a cell without a point is left out."""
    order = np.argsort(found.across_mm)
    across = found.across_mm[order]
    edges = np.concatenate(
        [
            [1.5 * across[0] - 0.5 * across[1]],
            (across[1:] + across[:-1]) / 2,
            [1.5 * across[-1] - 0.5 * across[-2]],
        ]
    )
    low, high = float(np.nanmin(found.place_mm)), float(np.nanmax(found.place_mm))
    steps = np.linspace(low, high, _CELLS + 1)
    parts = []
    for column, trace in enumerate(order):
        known = np.isfinite(found.deviation_um[trace])
        at = np.clip(np.digitize(found.place_mm[trace][known], steps) - 1, 0, _CELLS - 1)
        count = np.bincount(at, minlength=_CELLS)
        total = np.bincount(at, weights=found.deviation_um[trace][known], minlength=_CELLS)
        there = count > 0
        parts.append(
            frame(
                {
                    "x": edges[column],
                    "x2": edges[column + 1],
                    "y": steps[:-1][there],
                    "y2": steps[1:][there],
                    "um": total[there] / count[there],
                }
            )
        )
    return pd.concat(parts, ignore_index=True)


@cache
def _layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("x:Q", title="face position, mm", scale=exact, axis=alt.Axis(grid=False))
    side = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX)
    y = alt.Y("y:Q", title="roll length, mm", scale=exact, axis=side)
    scale = alt.Scale(domain=[-1, 0, 1], range=[tones.DEMAND, tones.PAPER, tones.LIMIT], interpolate="rgb")
    return layout(
        rows("cells")
        .mark_rect(stroke=None)
        .encode(x=x, x2="x2:Q", y=y, y2="y2:Q", color=alt.Color("share:Q", scale=scale, legend=None)),
        *backed("named", x, y, align="center", dx=0),
        height=_HEIGHT_PX,
    )
