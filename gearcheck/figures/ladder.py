"""The ladder of torque reserves: a rung a requirement, worst first, bars from 1.0 outwards on one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import altair as alt
import numpy as np

from gearcheck.figures import tones
from gearcheck.figures.drawing import Drawing, frame, layout, own_tone, rows
from gearcheck.requirements.types import Calculation, Evidence, Requirement, Scale

TIGHTEST = 10
_STEP_PX = 34
_LOWEST, _HIGHEST = (0.8, 0.5, 0.2, 0.05), 2.0
_TICKS = (0.05, 0.1, 0.2, 0.5, 0.8, 1.0, 1.25, 1.5, 2.0)


@dataclass(frozen=True, kw_only=True)
class Rung:
    """One requirement on the torque scale, and its reserve in the record where a draft moved it."""

    item: Requirement
    ghost: float | None

    @property
    def value(self) -> str:
        """The reserve as it is written."""
        reserve = self.item.reserve
        if reserve is None:
            return ""
        return reserve.words if reserve.factor is None else f"{reserve.factor:.2f}"

    @property
    def factor(self) -> float:
        """Where its bar ends; infinite both ways where no factor is known."""
        reserve = self.item.reserve
        if reserve is None:
            return 1.0
        if reserve.factor is not None:
            return reserve.factor
        if reserve.ends_at is not None:
            return reserve.ends_at
        return np.inf if self.item.by_calculation is Calculation.MEETS else 0.0


@dataclass(frozen=True, kw_only=True)
class Ladder:
    """What shows and what is folded.

    Parameters
    ----------
    rungs : tuple of Rung
        On the torque scale, worst first.
    others : tuple of Requirement
        In trouble, but not on that scale.
    folded : tuple of Requirement
        The rest.
    """

    rungs: tuple[Rung, ...]
    others: tuple[Requirement, ...]
    folded: tuple[Requirement, ...]


def wants_a_look(item: Requirement) -> bool:
    """Whether a requirement shows however much reserve it has: it is in trouble, or its evidence is open."""
    return item.troubled or item.by_evidence is Evidence.OPEN


def ladder(shown: Sequence[Requirement], record: Sequence[Requirement]) -> Ladder:
    """Sort requirements: all that fails or is open and the ten tightest show, the rest is folded.

    Parameters
    ----------
    shown, record : sequence of Requirement
        As drafted, and as they stand in the record.

    Returns
    -------
    Ladder
        Each requirement in one of its parts.
    """
    before = {item.key: item for item in record}
    on_scale = [
        Rung(item=item, ghost=_ghost(item, before[item.key]))
        for item in shown
        if item.scale is Scale.TORQUE and item.reserve is not None
    ]
    on_scale.sort(key=lambda rung: rung.factor)
    kept = [rung for place, rung in enumerate(on_scale) if place < TIGHTEST or wants_a_look(rung.item)]
    keys = {rung.item.key for rung in kept}
    others = [item for item in shown if item.key not in keys and wants_a_look(item)]
    gone = keys | {item.key for item in others}
    return Ladder(
        rungs=tuple(kept),
        others=tuple(others),
        folded=tuple(item for item in shown if item.key not in gone),
    )


def _ghost(item: Requirement, before: Requirement) -> float | None:
    now = None if item.reserve is None else item.reserve.factor
    was = None if before.reserve is None else before.reserve.factor
    if was is None or (now is not None and abs(now - was) < 0.005):
        return None
    return was


@dataclass(frozen=True, kw_only=True)
class TorqueScale:
    """A logarithmic scale of torque factors that holds the worst reserve and ends at 2."""

    low: float
    high: float = _HIGHEST

    def share(self, factor: float) -> float:
        """Where a factor lies, as a share of the width; beyond the ends at the ends."""
        inside = min(max(factor, self.low), self.high)
        return float(np.log(inside / self.low) / np.log(self.high / self.low))

    @property
    def ticks(self) -> tuple[float, ...]:
        """The factors that are written on it."""
        return tuple(tick for tick in _TICKS if tick >= self.low)


def torque_scale(rungs: Sequence[Rung]) -> TorqueScale:
    """Return the narrowest scale that holds the worst known reserve, here and in the record."""
    known = [rung.factor for rung in rungs if rung.factor > 0]
    known += [rung.ghost for rung in rungs if rung.ghost is not None]
    worst = min(known, default=1.0)
    return TorqueScale(low=next((low for low in _LOWEST if low < worst), _LOWEST[-1]))


def ladder_drawing(rungs: Sequence[Rung]) -> Drawing:
    """Draw the ladder for a report.

    Parameters
    ----------
    rungs : sequence of Rung
        At least one, worst first.

    Returns
    -------
    Drawing
        As wide as its column.
    """
    scale = torque_scale(rungs)
    ends = [min(max(rung.factor, scale.low), scale.high) for rung in rungs]
    names = [rung.item.title for rung in rungs]
    fails = [rung.item.by_calculation is Calculation.FAILS for rung in rungs]
    return Drawing(
        layout=_layout(len(rungs), scale.low),
        rows={
            "bars": frame(
                {
                    "name": names,
                    "place": range(len(rungs)),
                    "one": 1.0,
                    "end": ends,
                    "beside": [max(end, 1.0) for end in ends],
                    "tone": [tones.LIMIT if bad else tones.CAPACITY for bad in fails],
                    "label": [_label(rung, scale) for rung in rungs],
                    "ink": [tones.WORDS["fails" if bad else "meets"] for bad in fails],
                }
            ),
            "record": frame(
                {
                    "name": [rung.item.title for rung in rungs if rung.ghost is not None],
                    "end": [rung.ghost for rung in rungs if rung.ghost is not None],
                }
            ),
        },
        words="Torque reserves, worst first: "
        + "; ".join(f"{rung.item.title} {rung.value}, {rung.item.by_calculation}" for rung in rungs),
    )


def _label(rung: Rung, scale: TorqueScale) -> str:
    """The value and its word; an arrow where the bar would go on beyond the scale."""
    beyond = "▸ " if rung.factor > scale.high else ""
    return f"{beyond}{rung.value} {rung.item.by_calculation}"


@cache
def _layout(count: int, low: float) -> dict[str, Any]:
    domain = alt.Scale(type="log", domain=[low, _HIGHEST], nice=False)
    ticks = list(TorqueScale(low=low).ticks)
    axis = alt.Axis(values=ticks, format="~g", grid=False, orient="top")
    x = alt.X("end:Q", title="torque reserve", scale=domain, axis=axis)
    plain = alt.Axis(domain=False, ticks=False, labelPadding=8, labelLimit=340)
    y = alt.Y("name:N", title=None, sort=alt.EncodingSortField("place"), axis=plain)
    beside = alt.Text("label:N")
    return layout(
        rows("bars").mark_bar(height=14).encode(x=x, x2="one:Q", y=y, color=own_tone()),
        rows("bars")
        .mark_text(align="left", dx=7)
        .encode(
            x=alt.X("beside:Q", scale=domain, axis=axis),
            y=y,
            text=beside,
            color=alt.Color("ink:N", scale=None),
        ),
        rows("record").mark_tick(thickness=4, size=26, color=tones.GHOST).encode(x=x, y=y),
        rows("bars")
        .mark_rule(strokeWidth=1.5, color=tones.INK)
        .encode(x=alt.X("one:Q", scale=domain, axis=axis)),
        height=_STEP_PX * count,
    )
