"""A drawing: a layout that stays and the rows that move, so that a slider exchanges rows and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

import altair as alt
import pandas as pd

from gearcheck.figures.theme import theme
from gearcheck.figures.tones import PAPER


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """One chart, ready to be drawn on the page or in a report.

    Parameters
    ----------
    layout : dict
        Vega-Lite without data; made once for each kind of chart.
    rows : mapping of str to DataFrame
        By the name under which a layer asks for them.
    words : str
        What it shows, in a sentence, for those who cannot see it.
    """

    layout: Mapping[str, Any]
    rows: Mapping[str, pd.DataFrame]
    words: str

    def to_dict(self) -> dict[str, Any]:
        """The whole chart as Vega-Lite."""
        spec: dict[str, Any] = deepcopy(dict(self.layout))
        spec["datasets"] = {name: frame.to_dict("records") for name, frame in self.rows.items()}
        return spec


def rows(name: str) -> alt.Chart:
    """Begin a layer that draws the rows of that name."""
    return alt.Chart(alt.NamedData(name=name))


def layout(*layers: alt.Chart, height: int, width: int | str = "container") -> dict[str, Any]:
    """Lay layers on one another in the project's theme.

    Parameters
    ----------
    *layers : alt.Chart
        Each begun by `rows`.
    height : int
        In px.
    width : int or str
        In px, or ``container`` to follow the column.

    Returns
    -------
    dict
        Vega-Lite without data.
    """
    spec: dict[str, Any] = alt.layer(*layers).properties(width=width, height=height).to_dict()
    spec["config"] = theme()["config"]
    return spec


def own_tone() -> alt.Color:
    """The tone that each row carries; no legend, since the label says what it is."""
    return alt.Color("tone:N", scale=None)


def words(name: str, x: Any, y: alt.Y, **mark: Any) -> alt.Chart:
    """Write the column ``label`` of each row of that name in its own tone."""
    style = {"align": "left", "baseline": "middle", "dx": 5, **mark}
    chart: alt.Chart = rows(name).mark_text(**style).encode(x=x, y=y, text="label:N", color=own_tone())
    return chart


def backed(name: str, x: Any, y: alt.Y, **mark: Any) -> tuple[alt.Chart, alt.Chart]:
    """The same on a ground of paper, so that a line that must pass there passes behind."""
    ground = {"stroke": PAPER, "strokeWidth": 4, "strokeJoin": "round"}
    return words(name, x, y, **mark, **ground), words(name, x, y, **mark)


def broken(column: str, first: str | int, second: str | int) -> alt.StrokeDash:
    """A full line for the first and a broken one for the second value of a column."""
    scale = alt.Scale(domain=[first, second], range=[[1, 0], [7, 4]])
    return alt.StrokeDash(f"{column}:N", scale=scale, legend=None)


def frame(columns: Mapping[str, Any]) -> pd.DataFrame:
    """Return rows from columns of equal length."""
    return pd.DataFrame(dict(columns))


def joined(parts: list[pd.DataFrame], columns: tuple[str, ...]) -> pd.DataFrame:
    """Return parts under one another; the columns alone where there are none."""
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame({name: [] for name in columns})
