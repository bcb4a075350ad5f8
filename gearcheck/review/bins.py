"""The damage of each step of a duty, in the order of the duty, with words for each step."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.digits import NO_BREAK, number_text
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.duty.damage import DamageSum
from gearcheck.duty.equivalent import equivalent_torque
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.review.inputs import Record
from gearcheck.review.results import MemberChain, MeshChain
from gearcheck.stress.life import Damage


@dataclass(frozen=True, kw_only=True)
class DamageByBin:
    """What the steps of a duty do to one kind of strength of both gears of a mesh.

    Parameters
    ----------
    damage : Damage
        Flank or root.
    steps : tuple of str
        Each step that carries load, in words.
    gear, mate : ndarray or None
        Damage of each step; None where a gear is not rated.
    """

    damage: Damage
    steps: tuple[str, ...]
    gear: Array | None
    mate: Array | None


def sums_of(member: MemberChain, damage: Damage) -> tuple[DamageSum, ...]:
    """The damage sums of one gear, one for each loaded direction."""
    return member.flank_damage if damage is Damage.FLANK else member.root_damage


def damage_by_bin(record: Record, mesh: MeshChain, damage: Damage) -> DamageByBin | None:
    """Return what each step of the duty does.

    Parameters
    ----------
    record : Record
        Without arrays.
    mesh : MeshChain
        One of its meshes.
    damage : Damage
        Flank or root.

    Returns
    -------
    DamageByBin or None
        None where there is no duty, or neither gear is rated.
    """
    gear, mate = (_bins(sums_of(member, damage)) for member in (mesh.gear, mesh.mate))
    if record.duty is None or (gear is None and mate is None):
        return None
    return DamageByBin(damage=damage, steps=_steps(record), gear=gear, mate=mate)


def _bins(sums: tuple[DamageSum, ...]) -> Array | None:
    if not sums or any(item.bin_damage is None for item in sums):
        return None
    return np.concatenate([np.ravel(array(item.bin_damage)) for item in sums])


def _steps(record: Record) -> tuple[str, ...]:
    """The steps that carry load, forward first, as they are summed."""
    duty = record.duty
    assert duty is not None
    loaded = [(place, item) for place, item in enumerate(duty.bins, start=1) if item in duty.loaded]
    total = sum(float(item.hours) for item in duty.bins)
    ahead = [_step(duty, place, item, total) for place, item in loaded if not item.reverse]
    back = [_step(duty, place, item, total) for place, item in loaded if item.reverse]
    if duty.times_highest:
        # they go forward where any step does
        often = f"{duty.starts} starts" if duty.starts else "highest torque, once"
        (ahead or back).append(f"{often}: {_torque(duty, duty.highest_torque_Nm)}")
    return (*ahead, *back)


def _step(duty: Duty, place: int, item: Bin, total: float) -> str:
    share = number_text(100 * float(item.hours) / total, 2)
    back = ", back" if item.reverse else ""
    return f"{place}: {_torque(duty, item.torque_Nm)}, {_speed(duty, item)}, {share}{NO_BREAK}%{back}"


def _torque(duty: Duty, torque_Nm: Number) -> str:
    return f"{number_text(float(array(torque_Nm) * array(duty.torque_factor)), 3)}{NO_BREAK}N·m"


def _speed(duty: Duty, item: Bin) -> str:
    return f"{number_text(float(array(item.speed_rpm) * array(duty.speed_factor)), 3)}{NO_BREAK}rpm"


def step_words(record: Record, step: NDArray[np.intp] | None) -> str:
    """Say which step of the duty a result is worked out at.

    Parameters
    ----------
    record : Record
        Without arrays.
    step : ndarray of int or None
        Its place among the steps that carry load, the highest torque last.

    Returns
    -------
    str
        With its place in the duty, torque and speed; empty without a duty.
    """
    duty = record.duty
    if step is None or duty is None:
        return ""
    place = int(step)
    if place >= len(duty.loaded):
        what = "starts" if duty.starts else "highest torque"
        speed = number_text(float(array(record.meshes[0].speed_rpm)), 3)
        return f"the {what} of the duty, {_torque(duty, duty.highest_torque_Nm)}, {speed}{NO_BREAK}rpm"
    item = duty.loaded[place]
    number = duty.bins.index(item) + 1
    return f"step {number} of the duty, {_torque(duty, item.torque_Nm)}, {_speed(duty, item)}"


def step_note(record: Record, what: str, step: NDArray[np.intp] | None) -> tuple[Notice, ...]:
    """The note that goes with a result that is worked out at one step of the duty; none for samples."""
    if step is None or step.ndim:
        return ()
    return (Notice(Level.NOTE, "duty.step", f"{what}: worked out at {step_words(record, step)}."),)


def worse(sums: tuple[DamageSum, ...]) -> DamageSum | None:
    """The direction with the larger damage; None where there is none, or no value."""
    if not sums or any(one.damage is None for one in sums):
        return None
    return max(sums, key=lambda one: float(array(one.damage)))


def life_under_duty(record: Record, sums: tuple[DamageSum, ...]) -> float | None:
    """Return the life after which the damage sum agreed is spent, at the reliability required.

    Parameters
    ----------
    record : Record
        Without arrays.
    sums : tuple of DamageSum
        Of one gear, by direction.

    Returns
    -------
    float or None
        In h: the life required times the sum agreed over that of the worse direction; infinite where nothing
        is spent, None where no sum is agreed or known.
    """
    agreed, found = record.required, worse(sums)
    if agreed is None or agreed.damage_sum is None or found is None:
        return None
    spent = float(array(found.damage))
    return float("inf") if spent == 0 else float(agreed.life_h) * agreed.damage_sum / spent


def torque_that_stands_for_it(record: Record, damage: Damage, sums: tuple[DamageSum, ...]) -> float | None:
    """Return the constant torque that does the damage of the worse direction in as many load cycles.

    Parameters
    ----------
    record : Record
        Without arrays.
    damage : Damage
        Flank or root: contact stress goes with the root of the torque.
    sums : tuple of DamageSum
        Of one gear, by direction.

    Returns
    -------
    float or None
        In N·m, of the gear under review in the first mesh, on the line of limited life with the same load
        factors throughout; None where there is no value.
    """
    duty, found = record.duty, worse(sums)
    if duty is None or found is None:
        return None
    ahead, back = (
        [float(item.torque_Nm) for item in duty.loaded if item.reverse is way] for way in (False, True)
    )
    if duty.times_highest:
        (ahead or back).append(float(duty.highest_torque_Nm))
    ways = [way for way in (ahead, back) if way]
    # the flanks of an idler carry both directions
    torque = [*ahead, *back] if len(sums) == 1 else ways[[one is found for one in sums].index(True)]
    slope = float(np.ravel(array(found.slope))[0]) / (2 if damage is Damage.FLANK else 1)
    cycles = np.ravel(array(found.cycles))
    equal = equivalent_torque(torque_Nm=torque, cycles=cycles, exponent=slope)
    return float(equal * array(duty.torque_factor))
