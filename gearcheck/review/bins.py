"""The damage of each step of a duty, in the order of the duty, with words for each step."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.digits import NO_BREAK, number_text
from gearcheck.basics.numbers import Array, array
from gearcheck.duty.damage import DamageSum
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
    said = [_step(duty, place, item, total) for place, item in loaded if not item.reverse]
    if duty.starts:
        torque = number_text(float(array(duty.highest_torque_Nm) * array(duty.torque_factor)), 3)
        said.append(f"{duty.starts} starts: {torque}{NO_BREAK}N·m")
    said += [_step(duty, place, item, total) for place, item in loaded if item.reverse]
    return tuple(said)


def _step(duty: Duty, place: int, item: Bin, total: float) -> str:
    torque = number_text(float(array(item.torque_Nm) * array(duty.torque_factor)), 3)
    speed = number_text(float(array(item.speed_rpm) * array(duty.speed_factor)), 3)
    share = number_text(100 * float(item.hours) / total, 2)
    back = ", back" if item.reverse else ""
    return f"{place}: {torque}{NO_BREAK}N·m, {speed}{NO_BREAK}rpm, {share}{NO_BREAK}%{back}"
