"""The furnace: temperature and carbon over time, carbon over depth, and the hardness that follows."""

from __future__ import annotations

from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, broken, frame, layout, own_tone, rows, words
from gearcheck.hardening.inputs import CaseSpecification, Furnace, FurnaceStep
from gearcheck.hardening.profile import CRITERION_HV
from gearcheck.review.treated import Ground, Treated

_AXIS_PX = 76


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
    return Drawing(
        layout=_course_layout(),
        rows={
            "frame": frame({"at": [0.0, end], "carbon": [0.0, top]}),
            "gas": frame({name: [one[place] for one in gas] for place, name in enumerate(columns)}),
            "surface": frame({"at": times, "carbon": surface}),
            "steps": frame(
                {
                    "at": times[:-1],
                    "carbon": top,
                    "label": [_temperature(step) for step in furnace.steps],
                    "tone": tones.QUIET,
                }
            ),
            "names": _label(end, float(surface[-1]), f"surface {last}", tones.CAPACITY),
            "above": _gases([one for one in told if one[2] >= np.interp(one[0], times, surface)]),
            "below": _gases([one for one in told if one[2] < np.interp(one[0], times, surface)]),
        },
        words=f"Surface carbon over {end:.1f} h in the furnace, {last} at the end",
    )


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
        .mark_line(strokeWidth=2.5, color=tones.CAPACITY, point={"color": tones.CAPACITY, "size": 50})
        .encode(x=x, y=y),
        words("steps", x, y, baseline="top", dx=5),
        words("above", x, y, dx=5, dy=-11),
        words("below", x, y, dx=5, dy=13),
        words("names", x, y, align="right", dx=-4, dy=17),
        height=230,
    )


def carbon_drawing(found: Treated) -> Drawing:
    """Draw the carbon over depth, with the content that defines the case depth by carbon."""
    depth, carbon = array(found.carbon.depth_mm), array(found.carbon.carbon_wt)
    level, case = float(array(found.carbon.criterion_carbon_wt)), found.carbon.case_depth_mm
    end = float(depth[-1])
    said = "not reached" if case is None else f"{float(array(case)):.2f} mm"
    return Drawing(
        layout=_carbon_layout(),
        rows={
            "frame": frame({"depth": [0.0, end], "carbon": [0.0, 1.15 * float(np.nanmax(carbon))]}),
            "line": frame({"depth": depth, "carbon": carbon}),
            "limit": frame({"depth": [0.0, end], "carbon": [level, level]}),
            "name": frame(
                {
                    "depth": [end],
                    "carbon": [level],
                    "label": [f"{level:.2f} %: case depth by carbon {said}"],
                    "tone": [tones.LIMIT],
                }
            ),
        },
        words=f"Carbon below the surface as treated; it falls to {level:.2f} % at {said}",
    )


@cache
def _carbon_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False)
    x = alt.X("depth:Q", title="depth as treated, mm", scale=exact, axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=5)
    y = alt.Y("carbon:Q", title="carbon, %", scale=alt.Scale(zero=True, nice=False), axis=axis)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("limit").mark_line(strokeDash=[5, 4], color=tones.LIMIT).encode(x=x, y=y),
        rows("line").mark_line(strokeWidth=2.5, color=tones.CAPACITY).encode(x=x, y=y),
        words("name", x, y, align="right", dx=-2, dy=-11),
        height=230,
    )


def predicted_drawing(found: Treated, case: CaseSpecification | None) -> Drawing | None:
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


@cache
def _predicted_layout() -> dict[str, Any]:
    exact = alt.Scale(nice=False)
    x = alt.X("depth:Q", title="depth as treated, mm", scale=exact, axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, values=list(range(0, 1001, 100)))
    y = alt.Y("hardness:Q", title="hardness, HV", scale=alt.Scale(zero=True, nice=False), axis=axis)
    ends = broken("end", "hardest", "softest")
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("band").mark_area(opacity=0.18, color=tones.CAPACITY).encode(x=x, y=y, y2="to:Q"),
        rows("lines")
        .mark_line(strokeWidth=2, color=tones.CAPACITY)
        .encode(x=x, y=y, detail="end:N", strokeDash=ends),
        rows("limit").mark_line(strokeDash=[5, 4], color=tones.LIMIT).encode(x=x, y=y),
        words("limit", x, y, align="right", dx=0, dy=-11),
        rows("window").mark_rule(strokeWidth=1.8).encode(x=x, y=y, y2="foot:Q", color=own_tone()),
        words("window", x, y, baseline="top"),
        height=300,
    )


def ground_drawing(found: Ground) -> Drawing | None:
    """Draw the hardness before and after the pass over the first tenths; None without a softest case."""
    soft = found.softening
    if soft is None or np.isnan(array(soft.hardness_HV)).all():
        return None
    depth = array(soft.depth_mm)
    shown = depth <= max(0.4, 1.5 * float(array(soft.softened_depth_mm)))
    before, after = array(soft.before_HV)[shown], array(soft.hardness_HV)[shown]
    heat = array(soft.temperature_C)[shown]
    fresh = float(array(soft.rehardened_depth_mm)) > 0
    told = "rehardened" if fresh else f"at {float(after[0]):.0f} HV"
    return Drawing(
        layout=_ground_layout(),
        rows={
            "before": frame({"depth": depth[shown], "hardness": before}),
            "after": frame({"depth": depth[shown], "hardness": after}),
            "names": frame(
                {
                    "depth": [float(depth[shown][-1])],
                    "hardness": [float(before[-1])],
                    "label": ["softest case before the pass"],
                    "tone": [tones.QUIET],
                }
            ),
            "surface": frame(
                {
                    "depth": [0.0],
                    "hardness": [float(after[0])],
                    "label": [f"after it {told.removeprefix('at ')}, {float(heat[0]):.0f} °C reached"],
                    "tone": [tones.LIMIT],
                }
            ),
            "frame": frame({"depth": [0.0], "hardness": [0.8 * float(np.nanmin(after))]}),
        },
        words=f"Hardness below the ground flank; the surface is {told} after the pass",
    )


@cache
def _ground_layout() -> dict[str, Any]:
    x = alt.X("depth:Q", title="depth below the ground flank, mm", axis=alt.Axis(grid=False))
    axis = alt.Axis(grid=False, minExtent=_AXIS_PX, maxExtent=_AXIS_PX, tickCount=5)
    y = alt.Y("hardness:Q", title="hardness, HV", scale=alt.Scale(zero=False), axis=axis)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        rows("before").mark_line(strokeWidth=2, strokeDash=[2, 3], color=tones.QUIET).encode(x=x, y=y),
        rows("after").mark_line(strokeWidth=2.5, color=tones.LIMIT).encode(x=x, y=y),
        words("names", x, y, align="right", dx=0, dy=14),
        words("surface", x, y, dx=8, dy=18),
        height=200,
    )
