"""Where the profile shift would balance both gears of a mesh: equal sliding, equal strength of the roots."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from gearcheck.basics.digits import MINUS
from gearcheck.basics.numbers import Array, array
from gearcheck.review.chain import calculate
from gearcheck.review.changes import CHANGES, changed
from gearcheck.review.inputs import Record
from gearcheck.review.results import MeshChain

KEY = "profile_shift"
_SCAN = 81
_ROUNDS = 6
_CUTS = 9


class Goal(StrEnum):
    """What is balanced between the gear and its mate."""

    SLIDING = "equal specific sliding at both ends of contact"
    ROOTS = "equal root safety of both gears"


@dataclass(frozen=True, kw_only=True)
class ShiftAdvice:
    """The profile shift that balances one mesh, the sum of shifts held.

    Parameters
    ----------
    mesh : str
        Name of the mate.
    goal : Goal
        What is balanced.
    now : float
        Profile shift of the gear in the record.
    gear, mate : float or None
        Both shifts at the balance; None where there is none.
    gear_value, mate_value : float or None
        What is balanced, at the shift of the record.
    balanced_value : float or None
        What both have at the balance.
    reason : str
        Why there is none.
    """

    mesh: str
    goal: Goal
    now: float
    gear: float | None = None
    mate: float | None = None
    gear_value: float | None = None
    mate_value: float | None = None
    balanced_value: float | None = None
    reason: str = ""


def shift_advice(record: Record) -> tuple[ShiftAdvice, ...]:
    """Find for each mesh the profile shifts that balance sliding and root strength.

    Parameters
    ----------
    record : Record
        Without arrays. The what-if of the profile shift is used: the mates give back what the gear takes.

    Returns
    -------
    tuple of ShiftAdvice
        Two for each mesh.
    """
    change = next(item for item in CHANGES if item.key == KEY)
    if change.read(record) is None:
        return ()
    low, high = change.bounds(record)
    return tuple(
        _advice(record, place, goal, low, high) for place in range(len(record.meshes)) for goal in Goal
    )


def _sides(record: Record, place: int, goal: Goal) -> Callable[[Array], tuple[Array, Array]]:
    def sides(shift: Array) -> tuple[Array, Array]:
        mesh = calculate(changed(record, {KEY: shift})).meshes[place]
        gear, mate = _values(mesh, goal)
        return (np.broadcast_to(gear, shift.shape), np.broadcast_to(mate, shift.shape))

    return sides


def _values(mesh: MeshChain, goal: Goal) -> tuple[Array, Array]:
    if goal is Goal.SLIDING:
        # the larger of both ends: below the pitch circle the specific sliding is negative
        return (
            np.abs(array(mesh.gear.geometry.start_sliding)),
            np.abs(array(mesh.mate.geometry.start_sliding)),
        )
    safeties = (member.root_safety and member.root_safety.safety for member in (mesh.gear, mesh.mate))
    gear, mate = (array(value) for value in safeties)
    return gear, mate


def _advice(record: Record, place: int, goal: Goal, low: float, high: float) -> ShiftAdvice:
    now, name = float(record.gear.tooth.profile_shift), record.meshes[place].name
    sides = _sides(record, place, goal)
    here = tuple(_plain(value) for value in sides(np.array([now])))
    found = _balance(sides, low, high)
    if found is None:
        why = _why_none(record, place, goal, here)
        reason = why or f"no balance between x = {low:.2f} and {high:.2f}".replace(" -", f" {MINUS}")
        return ShiftAdvice(
            mesh=name, goal=goal, now=now, gear_value=here[0], mate_value=here[1], reason=reason
        )
    given_back = float(record.meshes[place].mate.tooth.profile_shift) - (found - now)
    value = _plain(sides(np.array([found]))[0])
    return ShiftAdvice(
        mesh=name,
        goal=goal,
        now=now,
        gear=found,
        mate=given_back,
        gear_value=here[0],
        mate_value=here[1],
        balanced_value=value,
    )


def _plain(value: Array) -> float | None:
    return None if np.isnan(value[0]) else float(value[0])


def _why_none(record: Record, place: int, goal: Goal, here: tuple[float | None, ...]) -> str:
    if goal is Goal.ROOTS and None in here:
        mesh = calculate(record).meshes[place]
        return mesh.missing or mesh.gear.missing_root or mesh.mate.missing_root or "no root safety"
    return ""


def _balance(sides: Callable[[Array], tuple[Array, Array]], low: float, high: float) -> float | None:
    """Scan, then narrow the step in which the difference changes its sign."""
    grid = np.linspace(low, high, _SCAN)
    for _ in range(_ROUNDS):
        gear, mate = sides(grid)
        sign = np.sign(gear - mate)
        turns = np.flatnonzero(sign[1:] * sign[:-1] <= 0)  # NaN compares to nothing
        if not turns.size:
            return None
        grid = np.linspace(grid[turns[0]], grid[turns[0] + 1], _CUTS)
    return float(grid[_CUTS // 2])
