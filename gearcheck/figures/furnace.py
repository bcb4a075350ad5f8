"""The furnace: temperature and carbon over time, carbon over depth, and the hardness that follows."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, backed, broken, frame, layout, own_tone, rows, words
from gearcheck.hardening.inputs import CaseSpecification, Furnace, FurnaceStep
from gearcheck.hardening.profile import CRITERION_HV
from gearcheck.review.treated import Ground, ToothPlace, Treated

_AXIS_PX = 76
_COURSE_PX = 230
_LATE = 0.72  # of the width: what begins later is named towards the left


def course_drawing(furnace: Furnace, found: Treated) -> Drawing:
    """Draw the carbon potential of each step over time, and the surface carbon that follows it."""
    times = np.concatenate([[0.0], np.cumsum([float(step.hours) for step in furnace.steps])])
    after = np.ravel(array(found.carbon.surface_after_wt))
    surface = np.concatenate([[float(furnace.core_carbon_wt)], after])
    gas = [
        (float(begin), float(end), float(step.carbon_potential_wt))
        for begin, end, step in zip(times[:-1], times[1:], furnace.steps, strict=True)
        if step.carbon_potential_wt is not None
    ]
    # a step at the potential of the one before needs no second name
    told = [one for place, one in enumerate(gas) if place == 0 or one[2] != gas[place - 1][2]]
    top = 1.25 * max([*(one[2] for one in gas), float(surface.max())])
    end, last = float(times[-1]), f"{float(surface[-1]):.2f} %"
    columns = ("at", "end", "carbon")
    name = _label(end, float(surface[-1]), f"surface {last}", tones.CAPACITY)
    # a line of the gas close above the last point would run through a name above it
    gap = _COURSE_PX * (gas[-1][2] - float(surface[-1])) / top if gas and gas[-1][1] == end else 0.0
    steps = _steps(furnace, times, top)
    return Drawing(
        layout=_course_layout(),
        rows={
            "frame": frame({"at": [0.0, end], "carbon": [0.0, top]}),
            "gas": frame({name: [one[place] for one in gas] for place, name in enumerate(columns)}),
            "surface": frame({"at": times, "carbon": surface}),
            "steps": steps,
            "early": steps[steps["at"] <= _LATE * end],
            "late": steps[steps["at"] > _LATE * end].assign(at=end).tail(1),
            "over": name.head(0) if 6 < gap < 24 else name,
            "under": name if 6 < gap < 24 else name.head(0),
            "above": _gases([one for one in told if one[2] >= np.interp(one[0], times, surface)]),
            "below": _gases([one for one in told if one[2] < np.interp(one[0], times, surface)]),
        },
        words=f"Surface carbon over {end:.1f} h in the furnace, {last} at the end",
    )


def _steps(furnace: Furnace, times: Any, top: float) -> pd.DataFrame:
    names = [_temperature(step) for step in furnace.steps]
    return frame({"at": times[:-1], "carbon": top, "label": names, "tone": tones.QUIET})


def _temperature(step: FurnaceStep) -> str:
    end = "" if step.end_temperature_C is None else f" to {float(step.end_temperature_C):.0f}"
    return f"{float(step.temperature_C):.0f}{end} °C"


def _label(at: float, carbon: float, label: str, tone: str) -> pd.DataFrame:
    return frame({"at": [at], "carbon": [carbon], "label": [label], "tone": [tone]})


def _gases(told: list[tuple[Any, Any, float]]) -> pd.DataFrame:
    return frame(
        {
            "at": [one[0] for one in told],
            "carbon": [one[2] for one in told],
            "label": [f"potential {one[2]:.2f} %" for one in told],
            "tone": [tones.DEMAND for _ in told],
        }
    )


@cache
def _course_layout() -> dict[str, Any]:
    x = alt.X("at:Q", title="time in the furnace, h", scale=alt.Scale(nice=False), axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=5)
    y = alt.Y("carbon:Q", title="carbon, %", scale=alt.Scale(zero=True, nice=False), axis=axis)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("steps").mark_rule(color=tones.RULE).encode(x=x),
        rows("gas").mark_rule(strokeWidth=2.5, color=tones.DEMAND).encode(x=x, x2="end:Q", y=y),
        rows("surface")
        .mark_line(
            strokeWidth=1.2,
            strokeDash=[1, 4],  # known at the points alone
            color=tones.CAPACITY,
            point={"color": tones.CAPACITY, "size": 70},
        )
        .encode(x=x, y=y),
        words("early", x, y, baseline="top", dx=5),
        words("late", x, y, baseline="top", align="right", dx=-2),
        words("above", x, y, dx=5, dy=-11),
        words("below", x, y, dx=5, dy=13),
        words("over", x, y, align="right", dx=-4, dy=-17),
        words("under", x, y, align="right", dx=-4, dy=17),
        height=_COURSE_PX,
    )


def carbon_drawing(
    found: Treated, record: Treated | None = None, curved: tuple[ToothPlace, ...] = ()
) -> Drawing:
    """Draw the carbon over depth, with the content that defines the case depth by carbon.

    Parameters
    ----------
    found : Treated
        Of the flank.
    record : Treated, optional
        Of the record that a draft moves.
    curved : tuple of ToothPlace
        Tip and root.

    Returns
    -------
    Drawing
        The flank in full, tip and root thin, each with its name.
    """
    depth, carbon = array(found.carbon.depth_mm), array(found.carbon.carbon_wt)
    level, case = float(array(found.carbon.criterion_carbon_wt)), found.carbon.case_depth_mm
    end = float(depth[-1])
    where = " on the flank" if curved else ""
    said = "not reached" if case is None else f"{float(array(case)):.2f} mm"
    return Drawing(
        layout=_carbon_layout(),
        rows={
            "frame": frame({"depth": [0.0, end], "carbon": [0.0, 1.15 * float(np.nanmax(carbon))]}),
            "line": frame({"depth": depth, "carbon": carbon}),
            "record": _ghost(record, end),
            "places": _places(curved, end),
            "deeper": _place_names(curved, level, deeper=True),
            "shallower": _place_names(curved, level, deeper=False),
            "limit": frame({"depth": [0.0, end], "carbon": [level, level]}),
            "name": frame(
                {
                    "depth": [end],
                    "carbon": [level],
                    "label": [f"{level:.2f} %: case depth by carbon {said}{where}"],
                    "tone": [tones.LIMIT],
                }
            ),
        },
        words=f"Carbon below the surface as treated; it falls to {level:.2f} % at {said}",
    )


def _places(curved: tuple[ToothPlace, ...], end: float) -> pd.DataFrame:
    parts = [frame({"depth": [], "carbon": [], "place": []})]
    for one in curved:
        seen = one.treated.depth_mm <= end
        depth, carbon = one.treated.depth_mm[seen], array(one.treated.carbon.carbon_wt)[seen]
        parts.append(frame({"depth": depth, "carbon": carbon, "place": one.name}))
    return pd.concat(parts[1:] or parts, ignore_index=True)


def _place_names(curved: tuple[ToothPlace, ...], level: float, *, deeper: bool) -> pd.DataFrame:
    """The name of a place beside its line, where the lines lie well apart."""
    told = [one for one in curved if (one.radius_mm > 0) == deeper]
    carbon = [array(one.treated.carbon.carbon_wt) for one in told]
    at = [(level + float(one[0])) / 2 for one in carbon]
    depth = [
        float(np.interp(-height, -line, one.treated.depth_mm))
        for height, line, one in zip(at, carbon, told, strict=True)
    ]
    names = [one.name for one in told]
    return frame({"depth": depth, "carbon": at, "label": names, "tone": [tones.QUIET for _ in names]})


def _ghost(record: Treated | None, end: float) -> pd.DataFrame:
    if record is None:
        return frame({"depth": [], "carbon": []})
    seen = record.depth_mm <= end
    return frame({"depth": record.depth_mm[seen], "carbon": array(record.carbon.carbon_wt)[seen]})


def _ghost_line() -> alt.Chart:
    line: alt.Chart = rows("record").mark_line(strokeWidth=2, strokeDash=[3, 3], color=tones.GHOST, clip=True)
    return line


@cache
def _carbon_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False)
    x = alt.X("depth:Q", title="depth as treated, mm", scale=exact, axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=5)
    y = alt.Y("carbon:Q", title="carbon, %", scale=alt.Scale(zero=True, nice=False), axis=axis)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("limit").mark_line(strokeDash=[5, 4], color=tones.LIMIT).encode(x=x, y=y),
        _ghost_line().encode(x=x, y=y),
        rows("places").mark_line(strokeWidth=1.2, color=tones.QUIET).encode(x=x, y=y, detail="place:N"),
        rows("line").mark_line(strokeWidth=2.5, color=tones.CAPACITY).encode(x=x, y=y),
        *backed("deeper", x, y, align="left", dx=6, dy=-4),
        *backed("shallower", x, y, align="right", dx=-6, dy=6),
        words("name", x, y, align="right", dx=-2, dy=-11),
        height=230,
    )


def predicted_drawing(
    found: Treated, case: CaseSpecification | None, record: Treated | None = None
) -> Drawing | None:
    """Draw the hardness predicted, from the softest to the hardest, against the window drawn as treated.

    None where no hardness follows.
    """
    if np.isnan(found.hardest_HV).all():
        return None
    depth = found.depth_mm
    end = float(depth[-1])
    low, high = found.softest_HV, found.hardest_HV
    top = 1.12 * float(np.nanmax(high))
    window = (
        []
        if case is None
        else [(float(case.as_treated_min_mm), "least drawn"), (float(case.as_treated_max_mm), "most drawn")]
    )
    return Drawing(
        layout=_predicted_layout(),
        rows={
            "frame": frame({"depth": [0.0, end], "hardness": [0.0, top]}),
            "band": frame({"depth": depth, "hardness": low, "to": high}),
            "lines": _both(depth, low, high),
            "record": _both_ghosts(record, end),
            "hardest": _end_name("hardest", end, float(high[-1])),
            "softest": _end_name("softest", end, float(low[-1])),
            "limit": frame(
                {
                    "depth": [0.0, end],
                    "hardness": [CRITERION_HV, CRITERION_HV],
                    "label": ["", "550 HV"],
                    "tone": tones.LIMIT,
                }
            ),
            "window": frame(
                {
                    "depth": [place for place, _ in window],
                    "hardness": [top * (1 - 0.07 * number) for number, _ in enumerate(window)],
                    "foot": [0.0 for _ in window],
                    "label": [f"{name} {place:.2f} mm" for place, name in window],
                    "tone": [tones.INK for _ in window],
                }
            ),
        },
        words="Hardness predicted below the surface as treated and tempered, from the softest to the hardest",
    )


def _both(depth: Any, low: Any, high: Any) -> pd.DataFrame:
    parts = [
        frame({"depth": depth, "hardness": values, "end": name})
        for name, values in (("softest", low), ("hardest", high))
    ]
    return pd.concat(parts, ignore_index=True)


def _both_ghosts(record: Treated | None, end: float) -> pd.DataFrame:
    if record is None:
        return frame({"depth": [], "hardness": [], "end": []})
    seen = record.depth_mm <= end
    return _both(record.depth_mm[seen], record.softest_HV[seen], record.hardest_HV[seen])


def _end_name(label: str, end: float, hardness: float) -> pd.DataFrame:
    return frame({"depth": [end], "hardness": [hardness], "label": [label], "tone": [tones.QUIET]})


@cache
def _predicted_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False)
    x = alt.X("depth:Q", title="depth as treated, mm", scale=exact, axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, values=list(range(0, 1001, 100)))
    y = alt.Y("hardness:Q", title="hardness, HV", scale=alt.Scale(zero=True, nice=False), axis=axis)
    ends = broken("end", "softest", "hardest")
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("band").mark_area(opacity=0.18, color=tones.QUIET).encode(x=x, y=y, y2="to:Q"),
        _ghost_line().encode(x=x, y=y, detail="end:N"),
        rows("lines")
        .mark_line(strokeWidth=2, color=tones.QUIET)
        .encode(x=x, y=y, detail="end:N", strokeDash=ends),
        *backed("hardest", x, y, align="right", dx=-4, dy=-11),
        *backed("softest", x, y, align="right", dx=-4, dy=13),
        rows("limit").mark_line(strokeDash=[5, 4], color=tones.LIMIT).encode(x=x, y=y),
        words("limit", x, y, align="right", dx=0, dy=-11),
        rows("window").mark_rule(strokeWidth=1.8).encode(x=x, y=y, y2="foot:Q", color=own_tone()),
        words("window", x, y, baseline="top"),
        height=300,
    )


def ground_drawing(found: Ground) -> Drawing | None:
    """Draw the hardness before and after the pass over the first tenths; None without a softest case.

    Where the skin rehardens nothing is drawn after the pass: no hardness is credited there.
    """
    soft = found.softening
    if soft is None or np.isnan(array(soft.hardness_HV)).all():
        return None
    depth = array(soft.depth_mm)
    shown = depth <= max(0.4, 1.5 * float(array(soft.softened_depth_mm)))
    depth, before, after = depth[shown], array(soft.before_HV)[shown], array(soft.hardness_HV)[shown]
    skin = float(array(soft.rehardened_depth_mm))
    after = np.where((skin > 0) & (depth <= skin), np.nan, after)
    if np.isnan(after).all():  # the skin has hardened anew as deep as this looks
        return None
    softened = bool(np.nanmax(before - after) > 0.5)
    end, lost = float(depth[-1]), float(np.nanmin(after))
    names = ("before the pass", "after it") if softened else ("", "before and after the pass")
    burnt = "the surface is rehardened after the pass, and below it the least is"
    left = f"{burnt} {lost:.0f} HV" if skin > 0 else f"{float(after[0]):.0f} HV at the surface"
    return Drawing(
        layout=_ground_layout(),
        rows={
            "before": frame({"depth": depth, "hardness": before}),
            "after": frame({"depth": depth, "hardness": after}),
            "above": _line_name(names[0], depth, before, tones.QUIET),
            "below": _line_name(names[1], depth, after, tones.LIMIT),
            "frame": frame({"depth": [0.0, end], "hardness": [0.8 * lost, 1.06 * float(np.nanmax(before))]}),
        },
        words=f"Hardness below the ground flank in its softest case, before and after the pass; {left}",
    )


def _line_name(label: str, depth: Any, hardness: Any, tone: str) -> pd.DataFrame:
    """A name at a place where both lines can be told apart; none for an empty one."""
    place = 0.3 * float(depth[-1])
    level = float(np.interp(place, depth, hardness))
    told = frame({"depth": [place], "hardness": [level], "label": [label], "tone": [tone]})
    return told if label else told.head(0)


@cache
def _ground_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False)
    x = alt.X("depth:Q", title="depth below the ground flank, mm", scale=exact, axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=5)
    y = alt.Y("hardness:Q", title="hardness, HV", scale=alt.Scale(zero=False, nice=False), axis=axis)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("before").mark_line(strokeWidth=2, strokeDash=[2, 3], color=tones.QUIET).encode(x=x, y=y),
        rows("after").mark_line(strokeWidth=2.5, color=tones.LIMIT).encode(x=x, y=y),
        words("above", x, y, dx=0, dy=-13),
        words("below", x, y, dx=0, dy=17),
        height=200,
    )
