"""Charts one below the other along the path of contact: the same places stand below one another."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, frame, joined, layout, rows, words
from gearcheck.figures.path import mark_rows
from gearcheck.review.along import Course, Courses

_AXIS_PX = 76
_HEIGHT = 150
_HEIGHTS = (("true", -12), ("false", 13))
_ROOM = 1.28  # above the largest value, for its label


def course_drawing(now: Courses, key: str, record: Courses | None = None) -> Drawing | None:
    """Draw one quantity along the path.

    Parameters
    ----------
    now : Courses
        As drafted.
    key : str
        Of the quantity.
    record : Courses, optional
        Of the record, where a draft is under way.

    Returns
    -------
    Drawing or None
        As wide as its column, with the axis of all others; None where the quantity is not known.
    """
    place = next((place for place, one in enumerate(now.known) if one.key == key), None)
    if place is None:
        return None
    course = now.known[place]
    before = None if record is None else next((one for one in record.known if one.key == key), None)
    peak = course.at_worst
    at, worst = float(course.position_mm[peak]), float(course.value[peak])
    said = f"{course.worst} {worst:.{course.digits}f} {course.unit}".strip()
    end = now.marks_mm["E"]
    return Drawing(
        layout=_layout(
            _titled(course), first=place == 0, last=place == len(now.known) - 1, digits=course.digits
        ),
        rows={
            "lines": _line(course),
            "record": _line(before),
            "peak": _label(at, worst, said, end).assign(above=course.worst == "largest"),
            "limit": _limit(course, end),
            "marks": mark_rows(now.marks_mm),
            "frame": frame({"at": [0.0, end], "value": [0.0, _ROOM * _top(course, before)]}),
        },
        words=f"{_titled(course)} along the path of contact, {said}",
    )


def _titled(course: Course) -> str:
    title = course.title[:1].upper() + course.title[1:]
    named = f"{title}, {course.unit}" if course.unit else title
    return f"{named}, at {course.at_step}" if course.at_step else named


def _top(course: Course, before: Course | None) -> float:
    known = [float(np.nanmax(course.value))]
    if before is not None:
        known.append(float(np.nanmax(before.value)))
    if course.limit is not None:
        known.append(course.limit)
    return max(known)


def _line(course: Course | None) -> pd.DataFrame:
    if course is None:
        return joined([], ("at", "value"))
    return frame({"at": course.position_mm, "value": course.value})


def _label(at: float, value: float, said: str, end: float) -> pd.DataFrame:
    """The worst value and its words, on the side where there is room."""
    side = "left" if at < 0.6 * end else "right"
    return frame({"at": [at], "value": [value], "label": [said], "tone": [tones.INK], "side": [side]})


def _limit(course: Course, end: float) -> pd.DataFrame:
    if course.limit is None:
        return joined([], ("at", "value", "label", "tone"))
    label = f"{course.limit_words} {course.limit:.{course.digits}f} {course.unit}".strip()
    return frame({"at": [end], "value": [course.limit], "label": [label], "tone": [tones.LIMIT]})


@cache
def _layout(title: str, *, first: bool, last: bool, digits: int) -> dict[str, Any]:
    name = "from A along the path of contact, mm" if last else None
    below = alt.Axis(grid=False, labels=last, ticks=last)
    x = alt.X("at:Q", title=name, scale=alt.Scale(nice=False, zero=False), axis=below)
    axis = alt.Axis(minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=3, format=f".{digits}f", grid=True)
    y = alt.Y("value:Q", title=None, axis=axis, scale=alt.Scale(nice=False, zero=True))
    named = alt.Chart(alt.NamedData(name="frame")).mark_text(
        align="left", baseline="bottom", dy=-6 if not first else -24, fontSize=14
    )
    heading = named.transform_filter("datum.value == 0").encode(
        x=alt.value(0), y=alt.value(0), text=alt.value(title), color=alt.value(tones.INK)
    )
    parts = [
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("marks").mark_rule(color=tones.RULE).encode(x=x),
        rows("record").mark_line(strokeDash=[2, 3], color=tones.GHOST).encode(x=x, y=y),
        rows("limit").mark_rule(color=tones.LIMIT, strokeDash=[6, 3]).encode(y=y),
        words("limit", x, y, align="right", dx=-4, dy=-10),
        rows("lines").mark_line(strokeWidth=2.5, color=tones.DEMAND).encode(x=x, y=y),
        rows("peak").mark_point(size=80, color=tones.DEMAND, opacity=1).encode(x=x, y=y),
        *_sided(x, y),
        heading,
    ]
    if first:
        letters = rows("marks").mark_text(baseline="bottom", dy=-3)
        parts.append(letters.encode(x=x, y=alt.value(0), text="label:N"))
    return layout(*parts, height=_HEIGHT)


def _sided(x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """The label of the worst value: right or left of it, above a largest and below a smallest one."""
    places = [(side, dx, above, dy) for side, dx in (("left", 9), ("right", -9)) for above, dy in _HEIGHTS]
    return [
        words("peak", x, y, align=side, dx=dx, dy=dy).transform_filter(
            f"datum.side == '{side}' && datum.above == {above}"
        )
        for side, dx, above, dy in places
    ]
