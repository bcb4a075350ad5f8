"""Which mode of failure comes first: the torque reserve of each against speed, and against life."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.requirements.compare import reaches
from gearcheck.review.chain import calculate
from gearcheck.review.inputs import Record
from gearcheck.review.moves import write_speed
from gearcheck.review.reserves import HIGHEST, LOWEST, Turns, on_torque_scale, reserve_turns
from gearcheck.review.results import Line
from gearcheck.review.settled import settled
from gearcheck.review.stations import calculated

POINTS = 9


class Against(StrEnum):
    """What the reserves are drawn over."""

    SPEED = "speed"
    LIFE = "life"


@dataclass(frozen=True, kw_only=True)
class Mode:
    """One mode of failure of one gear: its torque reserve at each value, shape (values,).

    0.05 and 20 stand for what lies beyond; NaN where there is no value.
    """

    key: str
    title: str
    reserve: Array


@dataclass(frozen=True, kw_only=True)
class FailureMap:
    """The modes of one record over speed or life, and which of them comes first at each value."""

    against: Against
    unit: str
    values: Array
    modes: tuple[Mode, ...]

    @property
    def first(self) -> tuple[str, ...]:
        """The title of the mode with the least reserve at each value; empty where none has a value."""
        if not self.modes:
            return tuple("" for _ in self.values)
        reserves = np.stack([mode.reserve for mode in self.modes])
        titles = [mode.title for mode in self.modes]
        filled = np.where(np.isnan(reserves), np.inf, reserves)
        return tuple(
            titles[place] if np.isfinite(filled[place, column]) else ""
            for column, place in enumerate(filled.argmin(axis=0))
        )


def failure_map(record: Record, against: Against, *, with_solved: bool = True) -> FailureMap:
    """Find the torque reserve of every mode of failure over a range of speeds or lives.

    Parameters
    ----------
    record : Record
        Without arrays.
    against : Against
        Speed from a quarter to twice that of the record, or life from a hundredth to ten times.
    with_solved : bool
        Whether the case depth solved against yielding is a mode too; it takes about a second.

    Returns
    -------
    FailureMap
        The modes in the order of the stations.
    """
    now, factors, unit = _axis(record, against)
    values = now * factors
    moved = _moved(record, against, values[:, None])
    chain = calculate(moved)
    lines = [line for line in calculated(moved, chain) if on_torque_scale(line)]
    found = reserve_turns(moved, tuple(lines), chain)
    modes = [
        Mode(key=line.key, title=line.title, reserve=_filled(line, found[line.key], values.size))
        for line in lines
    ]
    if with_solved:
        modes += _solved(record, against, values)
    return FailureMap(against=against, unit=unit, values=values, modes=tuple(modes))


def _axis(record: Record, against: Against) -> tuple[float, Array, str]:
    if against is Against.SPEED:
        return float(record.meshes[0].speed_rpm), np.geomspace(0.25, 2.0, POINTS), "rpm"
    life = record.required.life_h if record.required is not None else 1.0
    return float(life), np.geomspace(0.01, 10.0, POINTS), "h"


def _moved(record: Record, against: Against, values: Array) -> Record:
    if against is Against.SPEED:
        return write_speed(record, values)
    if record.required is None:
        return record
    return replace(record, required=replace(record.required, life_h=values))


def _filled(line: Line, turns: Turns, size: int) -> Array:
    """Put the ends of the scale where a mode does not turn within it; nothing where its values end."""
    factor = np.ravel(turns.factor)
    met = np.ravel(reaches(line.capacity, line.demand))
    known = np.ravel(~np.isnan(array(line.capacity) - array(line.demand))) & np.ravel(np.isnan(turns.ends))
    ends = np.where(met, HIGHEST, LOWEST)
    filled: Array = np.where(np.isnan(factor), np.where(known, ends, np.nan), factor)
    return np.broadcast_to(filled, size).copy()


def _solved(record: Record, against: Against, values: Array) -> list[Mode]:
    """The depth solved against yielding does not know the life: over it, it stays."""
    speeds = values if against is Against.SPEED else values[:1]
    columns = []
    for value in speeds:
        moved = write_speed(record, value) if against is Against.SPEED else record
        columns.append([_of(item.reserve) for item in settled(moved, calculate(moved))])
    rows = np.array(columns, dtype=float).T
    return [
        Mode(
            key=f"case.solved.{mesh.name}",
            title=f"Yielding below the surface, against {mesh.name}",
            reserve=np.broadcast_to(row, values.size).copy(),
        )
        for mesh, row in zip(record.meshes, rows, strict=True)
        if not np.all(np.isnan(row))
    ]


def _of(reserve: object) -> float:
    factor = getattr(reserve, "factor", None)
    if factor is not None:
        return float(factor)
    words = getattr(reserve, "words", "")
    return {"over 20": HIGHEST, "no torque fixes it": LOWEST}.get(words, np.nan)
