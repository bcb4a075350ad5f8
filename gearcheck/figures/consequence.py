"""What a class comes to: load factors, and torque reserves, from the finest class to the coarsest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, broken, frame, joined, layout, own_tone, rows, words
from gearcheck.figures.failure import short_names, tone_of
from gearcheck.figures.labels import spread_within
from gearcheck.review.consequence import Consequences, MarginOverClass

MOST = 8
"""So many reserves are drawn: those with the least at the class drawn."""
_HEIGHT_PX, _LINE_PX = 320, 20
_FACTOR_ROOM, _RESERVE_ROOM = 0.34, 0.62  # right of the lines for the names, in shares of their width
_LOWEST, _HIGHEST = 0.3, 5.0
_CLOSE = 4.0  # classes between two names that fit beside one another
_FACTORS = {"K_V": tones.DEMAND, "K_Hα": tones.LIMIT, "K_Hβ": tones.CAPACITY}


@dataclass(frozen=True, kw_only=True)
class _Series:
    """One line over the classes."""

    name: str
    key: str
    tone: str
    role: str
    values: Array


def factor_drawing(found: Consequences, mesh: int = 0, ghost: float | None = None) -> Drawing | None:
    """Draw the load factors of one mesh over the classes.

    Parameters
    ----------
    found : Consequences
        Of a record.
    mesh : int
        The place of the mesh.
    ghost : float, optional
        The class of the record, where a draft has another.

    Returns
    -------
    Drawing or None
        As wide as its column; None where the mesh is not rated.
    """
    lines = [
        _Series(
            name=f"{factor.symbol}{'' if factor.moves else ', no class moves it'}",
            key=factor.symbol,
            tone=_FACTORS[factor.symbol],
            role="gear",
            values=factor.values,
        )
        for factor in found.meshes[mesh].factors
        if factor.symbol in _FACTORS and not np.isnan(factor.values).all()
    ]
    if not lines:
        return None
    known = np.concatenate([line.values[~np.isnan(line.values)] for line in lines])
    ends = (0.98, max(1.1, 1.03 * float(known.max())))
    name = found.meshes[mesh].name
    said = "; ".join(_series_words(found, line) for line in lines)
    drawing = _drawing(
        found, lines, ends, _factor_layout(_ticks(found)), _FACTOR_ROOM, f"With {name}: {said}"
    )
    return _with_ghost(drawing, found, ghost)


def reserve_drawing(found: Consequences, ghost: float | None = None) -> Drawing | None:
    """Draw the torque reserves that a class moves, those with the least first.

    Parameters
    ----------
    found : Consequences
        Of a record.
    ghost : float, optional
        The class of the record, where a draft has another.

    Returns
    -------
    Drawing or None
        As wide as its column; None where no reserve moves with the class.
    """
    shown = drawn_margins(found)
    if not shown:
        return None
    named = short_names({one.key: one.title for one in shown})
    lines = [
        _Series(
            name=named[one.key],
            key=one.key,
            tone=tone_of(one.key),
            role="mate" if one.key.endswith(".mate") else "gear",
            values=one.turns.factor,
        )
        for one in shown
    ]
    known = np.concatenate([line.values[~np.isnan(line.values)] for line in lines])
    low = min(0.9, max(_LOWEST, 0.92 * float(known.min())))
    high = min(_HIGHEST, max(1.15, 1.05 * float(known.max())))
    said = "; ".join(_series_words(found, line) for line in lines)
    made = _reserve_layout(_ticks(found), max(_HEIGHT_PX, _LINE_PX * (len(lines) + 2)))
    drawing = _drawing(found, lines, (low, high), made, _RESERVE_ROOM, f"Torque reserve: {said}")
    return _with_ghost(drawing, found, ghost)


def drawn_margins(found: Consequences) -> tuple[MarginOverClass, ...]:
    """Return the margins that `reserve_drawing` draws: what moves and has a reserve, the least first.

    Parameters
    ----------
    found : Consequences
        Of a record.

    Returns
    -------
    tuple of MarginOverClass
        At most `MOST`.
    """
    moving = [one for one in found.margins if one.moves and not np.isnan(one.turns.factor).all()]
    here = [float(np.nan_to_num(one.turns.factor[found.place], nan=np.inf)) for one in moving]
    order = np.argsort(here, kind="stable")[:MOST]
    return tuple(moving[place] for place in order)


def _series_words(found: Consequences, line: _Series) -> str:
    place = found.place
    value, last = line.values[place], line.values[-1]
    said = "none" if np.isnan(value) else f"{value:.2f}"
    worst = "none" if np.isnan(last) else f"{last:.2f}"
    return f"{line.name} {said} at class {found.drawn:g}, {worst} at class {found.classes[-1]:g}"


def _ticks(found: Consequences) -> tuple[float, ...]:
    return tuple(float(one) for one in found.classes)


def _drawing(
    found: Consequences,
    lines: Sequence[_Series],
    ends: tuple[float, float],
    made: dict[str, Any],
    room: float,
    said: str,
) -> Drawing:
    low, high = ends
    first, last = float(found.classes[0]), float(found.classes[-1])
    right = last + room * (last - first)
    return Drawing(
        layout=made,
        rows={
            "frame": frame({"at": [first, right], "value": [low, high]}),
            "lines": _points(found, lines, low, high),
            "names": _names(lines, last, ends),
            "rules": _rules(found),
            "head": frame({"at": [last], "label": [f"at class {last:g}"]}),
            "one": frame({"at": [first], "end": [last], "value": [1.0]}),
        },
        words=said,
    )


def _points(found: Consequences, lines: Sequence[_Series], low: float, high: float) -> pd.DataFrame:
    parts = [
        frame(
            {
                "at": found.classes,
                "value": np.where(line.values <= high, np.maximum(line.values, low), np.nan),
                "line": line.key,
                "role": line.role,
                "tone": line.tone,
            }
        ).dropna()
        for line in lines
    ]
    return joined(parts, ("at", "value", "line", "role", "tone"))


def _names(lines: Sequence[_Series], last: float, ends: tuple[float, float]) -> pd.DataFrame:
    """A name and the value at the coarsest class right of each line, moved apart where lines run close."""
    low, high = ends
    values = [float(line.values[~np.isnan(line.values)][-1]) for line in lines]
    height = max(_HEIGHT_PX, _LINE_PX * (len(lines) + 2))
    gap = np.log(high / low) * _LINE_PX / height
    apart = spread_within(
        list(np.log(np.clip(values, low, high))), gap, np.log(low) + gap / 3, np.log(high) - gap / 3
    )
    told = [
        f"under {low:.2f}" if value < low else f"over {high:.1f}" if value > high else f"{value:.2f}"
        for value in values
    ]
    return frame(
        {
            "at": last,
            "value": np.exp(apart),
            "label": [f"{line.name} {value}" for line, value in zip(lines, told, strict=True)],
            "tone": [line.tone for line in lines],
        }
    )


def _rules(found: Consequences) -> pd.DataFrame:
    """The class drawn and the class agreed as upright lines, one where they are the same."""
    marks = [(found.drawn, "drawn")]
    if found.agreed == found.drawn:
        marks = [(found.drawn, "drawn and agreed")]
    elif found.agreed is not None:
        marks.append((found.agreed, "agreed"))
    # names of two classes that lie close would run into one another
    close = len(marks) == 2 and abs(marks[0][0] - marks[1][0]) < _CLOSE
    return frame(
        {
            "at": [at for at, _ in marks],
            "label": [f"{word} {at:g}" for at, word in marks],
            "tone": [tones.INK if word.startswith("drawn") else tones.LIMIT for _, word in marks],
            "row": [-_LINE_PX * number if close else 0 for number in range(len(marks))],
        }
    )


def _with_ghost(drawing: Drawing, found: Consequences, ghost: float | None) -> Drawing:
    known = [] if ghost is None or ghost == found.drawn else [ghost]
    return replace(drawing, rows={**drawing.rows, "ghost": frame({"at": known})})


def _axes(values: tuple[float, ...], title: str, scale: alt.Scale, ticks: alt.Axis) -> tuple[alt.X, alt.Y]:
    across = alt.Axis(values=list(values), tickCount=len(values), format="d", grid=False, labelOverlap=False)
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("at:Q", title="class, the finest at the left", scale=exact, axis=across)
    return x, alt.Y("value:Q", title=title, scale=scale, axis=ticks)


def _layers(x: alt.X, y: alt.Y, height: int) -> dict[str, Any]:
    rule = rows("rules").mark_rule(strokeWidth=1.8, strokeDash=[7, 3]).encode(x=x, color=own_tone())
    line = rows("lines").mark_line(strokeWidth=2.5)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("one").mark_rule(color=tones.INK).encode(x=x, x2="end:Q", y=y),
        rule,
        rows("ghost").mark_rule(strokeWidth=2, color=tones.GHOST, strokeDash=[2, 3]).encode(x=x),
        rows("rules")
        .mark_text(baseline="bottom", dy=-3)
        .encode(x=x, y=alt.Y("row:Q", scale=None, axis=None), text="label:N", color=own_tone()),
        rows("head")
        .mark_text(align="left", baseline="bottom", dx=9, dy=-3, color=tones.QUIET)
        .encode(x=x, y=alt.value(0), text="label:N"),
        line.encode(x=x, y=y, detail="line:N", color=own_tone(), strokeDash=broken("role", "gear", "mate")),
        rows("lines").mark_point(size=30, filled=True, opacity=1).encode(x=x, y=y, color=own_tone()),
        words("names", x, y, dx=9),
        height=height,
    )


@cache
def _factor_layout(values: tuple[float, ...]) -> dict[str, Any]:
    scale = alt.Scale(type="log", nice=False)
    ticks = [1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.75, 2.0, 2.5, 3.0]
    axis = alt.Axis(values=ticks, tickCount=len(ticks), format="~g", grid=False)
    return _layers(*_axes(values, "load factor", scale, axis), _HEIGHT_PX)


@cache
def _reserve_layout(values: tuple[float, ...], height: int) -> dict[str, Any]:
    ticks = [0.3, 0.5, 0.8, 1.0, 1.25, 1.5, 2.0, 3.0, 4.0]
    axis = alt.Axis(values=ticks, tickCount=len(ticks), format="~g", grid=False)
    return _layers(*_axes(values, "torque reserve", alt.Scale(type="log", nice=False), axis), height)
