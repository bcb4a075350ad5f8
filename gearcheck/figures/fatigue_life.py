"""The life of gears under their duty: what share is lost by when or at what load, and its scatter."""

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
from gearcheck.figures.drawing import Drawing, backed, broken, frame, joined, layout, own_tone, rows
from gearcheck.figures.labels import spread_within
from gearcheck.figures.placing import Line, placed

_HEIGHT_PX, _AXIS_PX, _LINE_PX = 300, 64, 20
FURTHEST = 1e4
"""Times the life wanted: what lies beyond is told, not drawn."""
_LEAST_LOST = 1e-9  # what is less is not drawn, nor what is more
_MOST_LOST = 0.97
_LEAST_SEEN = 0.005
_MOST_MARKS = 2
_BAR_PX, _SHARES_PX = 30, 92
_LETTER_PX, _NARROW_PX = 7.6, 600
_RAISED = "['⁰','¹','²','³','⁴','⁵','⁶','⁷','⁸','⁹']"
_LOG = "round(log(datum.value)/LN10)"
_POWER = f"'10' + ({_LOG} < 0 ? '⁻' : '') + (abs({_LOG}) > 9 ? '¹' : '') + {_RAISED}[abs({_LOG}) % 10]"


@dataclass(frozen=True, kw_only=True)
class LostLine:
    """The share of sets, or of gears, that is lost at each place of the axis; rising."""

    label: str
    place: Array
    lost: Array
    tone: str
    dashed: bool = False


Place = tuple[float, str, str]
"""A place of the axis, its name and its tone."""


def lost_by_life(
    lines: Sequence[LostLine], *, wanted_h: float, agreed_lost: float, run_out_h: float
) -> Drawing | None:
    """Draw which share is lost by when.

    Parameters
    ----------
    lines : sequence of LostLine
        Over the life in h.
    wanted_h : float
        The life wanted.
    agreed_lost : float
        The share that may be lost by then.
    run_out_h : float
        When a tooth has seen as many cycles as the specimens were tested to: beyond it a rule speaks.

    Returns
    -------
    Drawing or None
        As wide as its column; None where nothing is lost within ten thousand times the life wanted.
    """
    seen = [_seen(line, FURTHEST * wanted_h) for line in lines]
    seen = [line for line in seen if line.place.size > 1]
    if not seen:
        return None
    marks = [
        (wanted_h, f"life wanted {wanted_h:.0f} h", tones.INK),
        (
            run_out_h,
            f"as many cycles as were tested, {run_out_h:.3g} h: beyond it a rule speaks",
            tones.QUIET,
        ),
    ]
    said = "Share that is lost over the life"
    return _drawn(seen, marks, agreed_lost, _lost_layout("life under the duty, h", powers=True), said)


def lost_by_stress(lines: Sequence[LostLine], *, duty_MPa: float, agreed_lost: float) -> Drawing:
    """Draw which share is lost within the life wanted, were the load higher.

    Parameters
    ----------
    lines : sequence of LostLine
        Over the largest stress of the duty in MPa.
    duty_MPa : float
        That of the duty.
    agreed_lost : float
        The share that may be lost.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    marks = [(duty_MPa, f"the duty, {duty_MPa:.0f} MPa", tones.INK)]
    title = "largest stress of the duty σ, MPa, all others in proportion"
    seen = [_seen(line, np.inf) for line in lines]
    return _drawn(
        seen, marks, agreed_lost, _lost_layout(title, powers=False), "Share that is lost over the load"
    )


def _drawn(
    seen: Sequence[LostLine], marks: list[Place], agreed_lost: float, of: dict[str, Any], said: str
) -> Drawing:
    ends = [float(line.place[place]) for line in seen if line.place.size for place in (0, -1)]
    ends += [at for at, *_ in marks]
    room = (max(ends) / min(ends)) ** 0.1
    left, right = min(ends) / room, max(ends) * room
    lost = [float(line.lost[0]) for line in seen if line.place.size]
    low = min([agreed_lost / 3, *lost])
    known = [line for line in seen if line.place.size > 1]
    return Drawing(
        layout=of,
        rows={
            "frame": frame({"at": [left, right], "lost": [low, 1.0]}),
            "lines": joined([_rows(line) for line in seen], ("at", "lost", "label", "tone", "dashed")),
            **_names(known, marks, (left, right), low),
            "marks": frame({"at": [at for at, *_ in marks], "lost": 1.0, "foot": low}),
            **_mark_names(marks, left, right),
            "agreed": frame(
                {
                    "at": [right],
                    "lost": [agreed_lost],
                    "label": [f"may be lost: {100 * agreed_lost:.4g} %"],
                    "tone": [tones.LIMIT],
                }
            ),
        },
        words=f"{said}: {'; '.join(line.label for line in seen)}; "
        f"{'; '.join(label for _, label, _ in marks)}; {100 * agreed_lost:.4g} % may be lost",
    )


def _seen(line: LostLine, most: float) -> LostLine:
    inside = (
        np.isfinite(line.place) & (line.place <= most) & (line.lost > _LEAST_LOST) & (line.lost < _MOST_LOST)
    )
    return replace(line, place=line.place[inside], lost=line.lost[inside])


def _rows(line: LostLine) -> pd.DataFrame:
    columns = {"at": line.place, "lost": line.lost}
    return frame({**columns, "label": line.label, "tone": line.tone, "dashed": line.dashed})


def _names(
    lines: Sequence[LostLine], marks: Sequence[Place], ends: tuple[float, float], low: float
) -> dict[str, pd.DataFrame]:
    """The names of rising lines, which end above them or begin below: as of falling ones, turned."""
    left, right = ends
    turned = [
        Line(
            label=line.label,
            across=1.0 - np.log(line.place[::-1] / left) / np.log(right / left),
            level_px=_HEIGHT_PX * np.log(line.lost[::-1]) / np.log(low),
        )
        for line in lines
    ]
    rules = [1.0 - float(np.log(at / left) / np.log(right / left)) for at, *_ in marks]
    found: dict[bool, list[pd.DataFrame]] = {False: [], True: []}
    for line, one, place in zip(lines, turned, placed(turned, rules), strict=True):
        where = float(np.clip(place.at, one.across[0], one.across[-1]))
        level = float(np.interp(where, one.across, one.level_px))
        row = {"at": [left * (right / left) ** (1.0 - where)], "lost": [low ** (level / _HEIGHT_PX)]}
        begins = place.below and where == place.at  # one that was moved to its line ends there
        found[begins].append(frame({**row, "label": [line.label], "tone": [line.tone]}))
    columns = ("at", "lost", "label", "tone")
    return {"above": joined(found[False], columns), "below": joined(found[True], columns)}


def _mark_names(marks: Sequence[Place], left: float, right: float) -> dict[str, pd.DataFrame]:
    """Names at the top, each in a line of its own, on the side where there is room."""
    table = frame(
        {
            "at": [at for at, *_ in marks],
            "lost": [1.0 for _ in marks],
            "label": [label for _, label, _ in marks],
            "tone": [tone for *_, tone in marks],
            "across": [np.log(at / left) / np.log(right / left) for at, *_ in marks],
        }
    )
    sides = {"after": table[table["across"] <= 0.5], "before": table[table["across"] > 0.5]}
    return {
        f"{side} {number}": of[of.index == number]
        for side, of in sides.items()
        for number in range(_MOST_MARKS)
    }


@cache
def _lost_layout(title: str, *, powers: bool) -> dict[str, Any]:
    log = alt.Scale(type="log", nice=False)
    places = [10.0**power for power in range(-9, 16)]
    if powers:
        ticks = alt.Axis(values=places, labelExpr=_POWER, grid=False, labelOverlap=True)
    else:
        ticks = alt.Axis(grid=False, format="d", tickCount=8)
    x = alt.X("at:Q", title=title, scale=log, axis=ticks)
    shares = alt.Axis(
        values=places,
        labelExpr=_POWER,
        grid=False,
        labelOverlap=True,
        minExtent=_AXIS_PX,
        maxExtent=_AXIS_PX,
    )
    y = alt.Y("lost:Q", title="share that is lost", scale=log, axis=shares)
    rule = rows("marks").mark_rule(color=tones.INK, strokeWidth=1.2, strokeDash=[5, 4])
    line = rows("lines").mark_line(strokeWidth=2.4, interpolate="monotone")
    names = [
        layer
        for number in range(_MOST_MARKS)
        for layer in (
            *backed(f"after {number}", x, y, dx=6, dy=9 + number * _LINE_PX),
            *backed(f"before {number}", x, y, align="right", dx=-6, dy=9 + number * _LINE_PX),
        )
    ]
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rule.encode(x=x, y=y, y2="foot:Q"),
        rows("agreed").mark_rule(color=tones.LIMIT, strokeWidth=1.5, strokeDash=[7, 3]).encode(y=y),
        line.encode(x=x, y=y, detail="label:N", color=own_tone(), strokeDash=broken("dashed", False, True)),
        *names,
        *backed("agreed", x, y, align="right", dx=-4, dy=-10),
        *backed("above", x, y, align="right", dx=-4, dy=-11),
        *backed("below", x, y, dx=4, dy=13),
        height=_HEIGHT_PX,
    )


def shares_drawing(shares: Sequence[tuple[str, float]], title: str) -> Drawing:
    """Draw parts of a whole as one bar, each named below it with its share.

    Parameters
    ----------
    shares : sequence of tuple of str and float
        Name and share of each part; they add to 1.
    title : str
        Of the whole.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    seen = [(name, share) for name, share in shares if share >= _LEAST_SEEN]
    total = sum(share for _, share in seen)
    ends = np.cumsum([share / total for _, share in seen])
    starts = np.concatenate([[0.0], ends[:-1]])
    labels = [f"{name} {100 * share:.0f} %" for name, share in seen]
    middle = (starts + ends) / 2
    half = max(len(label) for label in labels) * _LETTER_PX / _NARROW_PX / 2
    lines = [place % 2 for place in range(len(labels))]
    apart = spread_within(list(middle), half, half, 1.0 - half)
    parts = [tones.SERIES[place % len(tones.SERIES)] for place in range(len(seen))]
    return Drawing(
        layout=_shares_layout(title),
        rows={
            "bars": frame({"start": starts, "end": ends, "tone": parts}),
            **{
                f"line {line}": frame(
                    {
                        "at": [place for place, own in zip(apart, lines, strict=True) if own == line],
                        "label": [label for label, own in zip(labels, lines, strict=True) if own == line],
                        "tone": tones.INK,
                    }
                )
                for line in (0, 1)
            },
        },
        words=f"{title}: {', '.join(labels)}",
    )


@cache
def _shares_layout(title: str) -> dict[str, Any]:
    scale = alt.Scale(domain=[0, 1], nice=False)
    x = alt.X("start:Q", title=title, scale=scale, axis=alt.Axis(grid=False, format="%", tickCount=5))
    at = alt.X("at:Q", scale=scale)
    bar = rows("bars").mark_rect(stroke=tones.PAPER, strokeWidth=2, fillOpacity=0.75)
    return layout(
        bar.encode(x=x, x2="end:Q", y=alt.value(0), y2=alt.value(_BAR_PX), color=own_tone()),
        *(
            rows(f"line {line}")
            .mark_text(align="center", baseline="top")
            .encode(x=at, y=alt.value(_BAR_PX + 8 + line * _LINE_PX), text="label:N")
            for line in (0, 1)
        ),
        height=_SHARES_PX,
    )
