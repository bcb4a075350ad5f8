"""Stress against its limit over load cycles: the limit falls, and each gear stands at one point below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np
import pandas as pd

from gearcheck.basics.numbers import Array, array
from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, broken, frame, joined, layout, own_tone, rows, words
from gearcheck.review.results import MemberChain, MeshChain
from gearcheck.stress.inputs import Readings
from gearcheck.stress.life import Damage, limit_after_cycles

_CYCLES = np.geomspace(1e4, 1e11, 57)
_POWER = "'10' + ['⁴','⁵','⁶','⁷','⁸','⁹','¹⁰','¹¹'][round(log(datum.value)/LN10)-4]"
_LINE = 0.085  # of the height: one line of text
_MIDDLE = 7.5  # log10 of the cycles: from here on the labels run to the left

TITLES = {Damage.FLANK: "contact stress, MPa", Damage.ROOT: "root stress, MPa"}


@dataclass(frozen=True, kw_only=True)
class LifeLine:
    """One gear: what its material allows over load cycles, and where it stands.

    Parameters
    ----------
    name : str
        Which gear.
    load_cycles, permissible_MPa : ndarray
        The limit over the safety agreed.
    cycles, stress_MPa, allowed_MPa : float
        Where it stands, and what is allowed there.
    ghost_MPa : float or None
        Its stress in the record, where a draft moved it.
    """

    name: str
    load_cycles: Array
    permissible_MPa: Array
    cycles: float
    stress_MPa: float
    allowed_MPa: float
    ghost_MPa: float | None = None

    @property
    def words(self) -> str:
        """The point in words."""
        over = ", fails" if self.stress_MPa > self.allowed_MPa else ""
        return f"{self.name} {self.stress_MPa:.0f} of {self.allowed_MPa:.0f} MPa{over}"


def life_lines(
    mesh: MeshChain, damage: Damage, readings: Readings, record: MeshChain | None = None
) -> tuple[LifeLine, ...]:
    """Return what both gears of a mesh show; a gear that is not rated is left out.

    Parameters
    ----------
    mesh : MeshChain
        As drafted.
    damage : Damage
        Flank or root.
    readings : Readings
        Those of the record.
    record : MeshChain, optional
        The same mesh as it stands in the record.

    Returns
    -------
    tuple of LifeLine
        The gear under review first.
    """
    record = mesh if record is None else record
    members = (("gear", mesh.gear, record.gear), (mesh.name, mesh.mate, record.mate))
    found = (_life_line(name, member, before, damage, readings) for name, member, before in members)
    return tuple(line for line in found if line is not None)


def _rated(member: MemberChain, damage: Damage) -> Any:
    return member.flank if damage is Damage.FLANK else member.root_safety


def _life_line(
    name: str, member: MemberChain, before: MemberChain, damage: Damage, readings: Readings
) -> LifeLine | None:
    result = _rated(member, damage)
    if result is None or result.permissible_stress_MPa is None or result.stress_MPa is None:
        return None
    record = _rated(before, damage)
    was = None if record is None else record.stress_MPa
    limit = limit_after_cycles(
        load_cycles=_CYCLES,
        damage=damage,
        static_limit_MPa=result.static_limit_MPa,
        reference_limit_MPa=result.reference_limit_MPa,
        life_at_1e10=readings.life_at_1e10,
        limited_life=readings.limited_life,
        treatment=result.treatment,
    )
    return LifeLine(
        name=name,
        load_cycles=_CYCLES,
        permissible_MPa=limit / array(result.required_safety),
        cycles=result.load_cycles,
        stress_MPa=result.stress_MPa,
        allowed_MPa=result.permissible_stress_MPa,
        ghost_MPa=was if was is not None and abs(was - result.stress_MPa) > 0.5 else None,
    )


def life_drawing(lines: Sequence[LifeLine], damage: Damage) -> Drawing:
    """Draw limits and stresses of one kind of damage.

    Parameters
    ----------
    lines : sequence of LifeLine
        One for each gear, at least one.
    damage : Damage
        Flank or root.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    top = 1.22 * max(float(line.permissible_MPa.max()) for line in lines)
    ghosts = [line for line in lines if line.ghost_MPa is not None]
    to_left = float(np.mean([np.log10(line.cycles) for line in lines])) > _MIDDLE
    points = _points(lines)
    labels = _labels(points, to_left=to_left)
    return Drawing(
        layout=_layout(TITLES[damage]),
        rows={
            "frame": frame({"cycles": [1e4], "stress": [top]}),
            "limits": _limits(lines),
            "names": _names(lines, top),
            "points": points,
            "labels": labels,
            "to_left": labels if to_left else labels.iloc[:0],
            "to_right": labels.iloc[:0] if to_left else labels,
            "record": frame(
                {"cycles": [line.cycles for line in ghosts], "stress": [line.ghost_MPa for line in ghosts]}
            ),
        },
        words=f"{TITLES[damage]}, over load cycles: {'; '.join(line.words for line in lines)}",
    )


@cache
def _layout(title: str) -> dict[str, Any]:
    axis = alt.Axis(
        labelExpr=_POWER,
        values=[10.0**power for power in (4, 6, 8, 10)],
        tickCount=4,  # else a narrow drawing keeps the ends alone
        grid=False,
        labelOverlap=False,
    )
    scale = alt.Scale(type="log", domain=[1e4, 1e11], nice=False)
    x = alt.X("cycles:Q", title="load cycles", scale=scale, axis=axis)
    y = alt.Y("stress:Q", title=title, scale=alt.Scale(zero=True, nice=False), axis=alt.Axis(format="d"))
    limit = rows("limits").mark_line(strokeWidth=2.5, color=tones.CAPACITY)
    return layout(
        rows("frame").mark_point(opacity=0).encode(x=x, y=y),
        limit.encode(x=x, y=y, detail="name:N", strokeDash=broken("place", 0, 1)),
        words("names", x, y, align="right", dx=0),
        rows("points").mark_rule(color=tones.INK).encode(x=x, y=y, y2="allowed:Q"),
        rows("labels").mark_rule(color=tones.GHOST).encode(x=x, y=y, y2="point:Q"),
        rows("record")
        .mark_point(size=120, filled=False, strokeWidth=2, color=tones.GHOST, opacity=1)
        .encode(x=x, y=y),
        rows("points").mark_point(size=130, shape="diamond", opacity=1).encode(x=x, y=y, color=own_tone()),
        words("to_left", x, y, align="right", dx=-6),
        words("to_right", x, y, dx=6),
        height=280,
    )


def _limits(lines: Sequence[LifeLine]) -> pd.DataFrame:
    parts = [
        frame({"cycles": line.load_cycles, "stress": line.permissible_MPa, "name": line.name, "place": place})
        for place, line in enumerate(lines)
    ]
    return joined(parts, ("cycles", "stress", "name", "place"))


def _names(lines: Sequence[LifeLine], top: float) -> pd.DataFrame:
    """The limits are named at the top right, where they never run."""
    curves = [line.permissible_MPa for line in lines]
    alike = len(curves) > 1 and np.allclose(curves[0], curves[1], rtol=0.01)
    said = ["permissible, both gears"]
    if not alike:
        kinds = ("full line", "broken line")
        said = [f"{kind}: permissible, {line.name}" for kind, line in zip(kinds, lines, strict=False)]
    heights = [top * (0.97 - _LINE * number) for number in range(len(said))]
    return frame({"cycles": 1e11, "stress": heights, "label": said, "tone": tones.INK})


def _points(lines: Sequence[LifeLine]) -> pd.DataFrame:
    return frame(
        {
            "cycles": [line.cycles for line in lines],
            "stress": [line.stress_MPa for line in lines],
            "allowed": [line.allowed_MPa for line in lines],
            "label": [line.words for line in lines],
            "tone": [
                tones.WORDS["fails"] if line.stress_MPa > line.allowed_MPa else tones.ACCENT for line in lines
            ],
        }
    )


def _labels(points: pd.DataFrame, *, to_left: bool) -> pd.DataFrame:
    """Below the points, where nothing else is; no line runs through the label of the other."""
    order = points.sort_values("cycles", ascending=not to_left)
    lowest = float(points["stress"].min())
    levels = [lowest * share for share in np.linspace(0.3, 0.62, len(order))]
    return order.assign(point=order["stress"], stress=levels)
