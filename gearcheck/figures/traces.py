"""Measured traces of one flank over one another: the worst tooth between its limits, the others behind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, frame, joined, layout, own_tone, rows, words
from gearcheck.figures.labels import spread_within

_HEIGHT_PX, _LINE_PX, _AXIS_PX = 300, 20, 60
_MOST_TICKS = 9
_STEPS = tuple(size * 10.0**power for power in range(-3, 5) for size in (1, 2, 5))
_POINTS = 240  # of one line: more than the page has to show


@dataclass(frozen=True, kw_only=True)
class TraceLine:
    """One trace without its design: where it was measured in mm, and in µm the deviation and its mean line.

    All have the shape (points,) and NaN where there is nothing. `name` says which tooth it is; `left_out` is
    where points were excluded.
    """

    name: str
    place_mm: Array
    deviation_um: Array
    mean_line_um: Array
    left_out: NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class FlankTraces:
    """The traces of one flank and what they are held against.

    `over` runs along the axis: roll length or face position. `limit_um` is the total allowed of class
    `limit_words`; `start_mm` and `end_mm` bound what is evaluated; `worst` is the place of the worst trace,
    `worst_words` says what of it is worst, and `is_over` whether that is over its limit.
    """

    kind: str
    flank: str
    over: str
    lines: tuple[TraceLine, ...]
    worst: int
    worst_words: str
    is_over: bool
    start_mm: float
    end_mm: float
    limit_um: float | None
    limit_words: str = ""


def traces_drawing(flank: FlankTraces, reach: tuple[float, float] | None = None) -> Drawing:
    """Draw the traces of one flank.

    Parameters
    ----------
    flank : FlankTraces
        At least one trace.
    reach : tuple of float, optional
        The ends of the axis in µm, so that two flanks share one scale; else those of `reach_of_traces`.

    Returns
    -------
    Drawing
        As wide as its column. Each trace is moved to a mean of 0 inside the evaluation range.
    """
    low, high = reach or reach_of_traces([flank])
    moved = [_centred(line, flank) for line in flank.lines]
    worst = moved[flank.worst]
    limits = _limits(worst, flank)
    ends = frame({"place": [flank.start_mm, flank.end_mm]})
    left, right = _sides(flank)
    return Drawing(
        layout=_layout(flank.over, flank.flank, _ticks(flank)),
        rows={
            "frame": frame({"place": [left, right], "um": [low, high]}),
            "range": ends,
            "others": joined(
                [_rows(one, "um", one.deviation_um) for one in moved if one is not worst],
                ("place", "um", "name"),
            ),
            "worst": _rows(worst, "um", worst.deviation_um),
            "left_out": _left_out(moved),
            "mean": joined(
                [_rows(one, "um", one.mean_line_um).assign(tone=_tone(one is worst)) for one in moved],
                ("place", "um", "name", "tone"),
            ),
            "limits": limits,
            "named": _names(moved, flank, (low, high)),
            "limit_name": _limit_name(limits, flank),
        },
        words=_words(flank),
    )


def reach_of_traces(flanks: Sequence[FlankTraces]) -> tuple[float, float]:
    """Return the ends in µm between which the traces of all these flanks and their limits lie."""
    seen: list[float] = []
    for flank in flanks:
        moved = [_centred(line, flank) for line in flank.lines]
        limits = _limits(moved[flank.worst], flank)
        for one in moved:
            seen += [float(np.nanmin(one.deviation_um)), float(np.nanmax(one.deviation_um))]
        seen += [float(value) for value in limits["um"] if np.isfinite(value)]
    margin = 0.1 * (max(seen) - min(seen) or 1.0)
    return min(seen) - margin, max(seen) + margin


def _centred(line: TraceLine, flank: FlankTraces) -> TraceLine:
    """Moved so that the mean line is 0 in the middle, and thinned to what the page shows."""
    inside = (line.place_mm >= flank.start_mm) & (line.place_mm <= flank.end_mm)
    zero = float(np.nanmean(np.where(inside, line.mean_line_um, np.nan)))
    step = max(line.place_mm.size // _POINTS, 1)
    return TraceLine(
        name=line.name,
        place_mm=line.place_mm[::step],
        deviation_um=(line.deviation_um - zero)[::step],
        mean_line_um=(line.mean_line_um - zero)[::step],
        left_out=line.left_out[::step],
    )


def _limits(worst: TraceLine, flank: FlankTraces) -> pd.DataFrame:
    """Two lines as far apart as the total allows, with the worst trace in their middle."""
    if flank.limit_um is None:
        return pd.DataFrame({"place": [], "end": [], "um": []})
    inside = (worst.place_mm >= flank.start_mm) & (worst.place_mm <= flank.end_mm) & ~worst.left_out
    seen = worst.deviation_um[inside]
    middle = (float(np.nanmin(seen)) + float(np.nanmax(seen))) / 2
    levels = [middle - flank.limit_um / 2, middle + flank.limit_um / 2]
    return frame({"place": flank.start_mm, "end": flank.end_mm, "um": levels})


def _ticks(flank: FlankTraces) -> tuple[float, ...]:
    """Round numbers where something was measured; the room of the names has none."""
    first, last = _ends(flank)
    step = next(size for size in _STEPS if (last - first) / size <= _MOST_TICKS)
    return tuple(float(step * k) for k in range(int(np.ceil(first / step)), int(last / step) + 1))


def _ends(flank: FlankTraces) -> tuple[float, float]:
    """From where to where the traces go."""
    places = [line.place_mm for line in flank.lines]
    return min(float(np.nanmin(one)) for one in places), max(float(np.nanmax(one)) for one in places)


def _rows(line: TraceLine, name: str, values: Array) -> pd.DataFrame:
    return frame({"place": line.place_mm, name: values, "name": line.name}).dropna()


def _left_out(lines: Sequence[TraceLine]) -> pd.DataFrame:
    parts = [
        frame({"place": one.place_mm[one.left_out], "um": one.deviation_um[one.left_out]}) for one in lines
    ]
    return joined([part.dropna() for part in parts], ("place", "um"))


def _tone(is_worst: bool) -> str:
    return tones.INK if is_worst else tones.GHOST


def _sides(flank: FlankTraces) -> tuple[float, float]:
    first, last = _ends(flank)
    return min(first, flank.start_mm), max(last, flank.end_mm) + 0.24 * (last - first)


def _names(lines: Sequence[TraceLine], flank: FlankTraces, reach: tuple[float, float]) -> pd.DataFrame:
    """The name of each trace behind its end, and that of the limit above its line."""
    ends = [float(one.deviation_um[np.isfinite(one.deviation_um)][-1]) for one in lines]
    gap = (reach[1] - reach[0]) * _LINE_PX / _HEIGHT_PX
    levels = spread_within(ends, gap, reach[0] + gap / 2, reach[1] - gap / 2)
    last = _ends(flank)[1]
    worst_tone = tones.WORDS["fails"] if flank.is_over else tones.INK
    return frame(
        {
            "place": [last for _ in lines],
            "um": levels,
            "label": [flank.worst_words if k == flank.worst else one.name for k, one in enumerate(lines)],
            "tone": [worst_tone if k == flank.worst else tones.QUIET for k in range(len(lines))],
        }
    )


def _limit_name(limits: pd.DataFrame, flank: FlankTraces) -> pd.DataFrame:
    """The limit is named above its upper line."""
    label = "" if flank.limit_um is None else f"{flank.limit_um:.1f} µm allowed, {flank.limit_words}"
    upper = limits.iloc[1:]
    return frame({"place": upper["place"], "um": upper["um"], "label": label, "tone": tones.LIMIT})


def _words(flank: FlankTraces) -> str:
    count = f"{len(flank.lines)} traces of the {flank.kind}, {flank.flank} flank"
    allowed = (
        "" if flank.limit_um is None else f"; {flank.limit_um:.1f} µm of total allowed, {flank.limit_words}"
    )
    return f"{count}; worst {flank.worst_words}{allowed}"


@cache
def _layout(over: str, flank: str, ticks: tuple[float, ...]) -> dict[str, Any]:
    exact = alt.Scale(nice=False, zero=False)
    x = alt.X("place:Q", title=over, scale=exact, axis=alt.Axis(grid=False, values=list(ticks)))
    side = alt.Axis(minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=6)
    y = alt.Y("um:Q", title=f"{flank} flanks: off the design, µm", scale=exact, axis=side)
    one = alt.Detail("name:N")
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("range").mark_rule(color=tones.RULE, strokeWidth=1.5).encode(x=x),
        rows("others")
        .mark_line(color=tones.MEASURED, strokeWidth=1.2, opacity=0.55)
        .encode(x=x, y=y, detail=one),
        rows("mean")
        .mark_line(strokeWidth=1.3, strokeDash=[5, 4])
        .encode(x=x, y=y, detail=one, color=own_tone()),
        rows("limits")
        .mark_rule(color=tones.LIMIT, strokeWidth=1.8, strokeDash=[7, 3])
        .encode(x=x, x2="end:Q", y=y),
        rows("worst").mark_line(color=tones.MEASURED, strokeWidth=2.6).encode(x=x, y=y, detail=one),
        rows("left_out")
        .mark_point(filled=False, size=60, opacity=1, color=tones.WORDS["fails"])
        .encode(x=x, y=y),
        *backed("limit_name", x, y, baseline="bottom", dx=2, dy=-4),
        words("named", x, y, dx=6),
        height=_HEIGHT_PX,
    )
