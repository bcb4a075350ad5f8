"""Cycles of a load that goes up and down, counted by rainflow."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

RAINFLOW = Method(
    key="astm_e1049.rainflow",
    title="Rainflow count",
    source="ASTM E1049",
    edition="1985",
    clause="rainflow counting",
    status=Status.FROM_MEMORY,
    implements=("three points at a time; closed loops count as one cycle",),
    leaves_out=("classes of ranges; a history that repeats, of which all loops close",),
    departures=("What is left when the history ends, and what holds its beginning, counts as half a cycle.",),
)


@dataclass(frozen=True, kw_only=True)
class RainflowCount(Result):
    """One entry a cycle or half cycle, in the order in which they close."""

    method: ClassVar[Method] = RAINFLOW
    low: Number = term("Lower turning point", "S_u")
    high: Number = term("Upper turning point", "S_o")
    cycles: Number = term("Cycles", "n", words="1 of a closed loop, 1/2 of a range of the residue")
    load_range: Number = term("Range", "ΔS", "", "S_o - S_u")
    mean: Number = term("Mean", "S_m", "", "(S_o + S_u)/2")


def rainflow_count(*, load: Number) -> RainflowCount:
    """Return the cycles of a load history.

    A range that the next one reaches closes: one cycle, half a one where it holds the beginning

    Parameters
    ----------
    load : array
        Stress or torque in the order of time, in any unit; what lies between turning points is passed over.

    Returns
    -------
    RainflowCount
        Ranges, means and counts; a note where the load never turns nor changes.

    Raises
    ------
    InputError
        No load, or one that is no number.

    Notes
    -----
    Source: ASTM E1049-85, from memory.
    Valid for: damage that does not depend on the order of the cycles.
    Departures: the residue counts as half cycles, as in the standard; other counts close it.
    Checked: RF-01, RF-WAVES, RF-FLAT.

    Examples
    --------
    >>> found = rainflow_count(load=[-2, 1, -3, 5, -1, 3, -4, 4, -2])
    >>> for each in zip(found.load_range, found.cycles):
    ...     print(*each)
    3.0 0.5
    4.0 0.5
    4.0 1.0
    8.0 0.5
    9.0 0.5
    8.0 0.5
    6.0 0.5
    """
    series = array(load)
    faults = Faults()
    faults.need(series.ndim == 1 and series.size > 0, "load", load, "one load or more, one after another")
    faults.need(bool(np.isfinite(series).all()), "load", load, "numbers throughout")
    faults.check()
    found = np.array(_counted(_turning_points(series))).reshape(-1, 3)
    low, high = found[:, :2].min(axis=1), found[:, :2].max(axis=1)
    return RainflowCount(
        low=low,
        high=high,
        cycles=found[:, 2],
        load_range=high - low,
        mean=(low + high) / 2,
        notices=() if low.size else (Notice(Level.NOTE, f"{RAINFLOW.key}.flat", "The load never changes."),),
    )


def _turning_points(series: Array) -> Array:
    """The first, every one at which the load turns, and the last."""
    moved = np.concatenate([[True], np.diff(series) != 0])
    points = series[moved]
    turns = np.diff(np.sign(np.diff(points))) != 0
    return array(points[np.concatenate([[True], turns, [True]])] if points.size > 1 else points)


def _counted(points: Array) -> list[tuple[float, float, float]]:
    """Both ends and count of each; what closes depends on what closed before: it goes point by point."""
    found: list[tuple[float, float, float]] = []
    open_: list[float] = []
    for point in points.tolist():
        open_.append(point)
        while len(open_) > 2 and abs(open_[-1] - open_[-2]) >= abs(open_[-2] - open_[-3]):
            first, second = open_[-3], open_[-2]
            if len(open_) == 3:
                found.append((first, second, 0.5))
                del open_[0]
            else:
                found.append((first, second, 1.0))
                del open_[-3:-1]
    return found + [(first, second, 0.5) for first, second in pairwise(open_)]
