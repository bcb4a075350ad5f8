"""What the duty and the highest torque do to both gears of a mesh: damage sums and static strength."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.duty.damage import DamageSum, damage_sum
from gearcheck.duty.inputs import Duty
from gearcheck.review.inputs import Mesh, Record
from gearcheck.review.rating import (
    At,
    bent_at,
    breakage_at,
    contact_at,
    cycles_at,
    factors_at,
    pitting_at,
)
from gearcheck.review.results import MemberChain, MeshChain
from gearcheck.stress.factors import LoadFactors
from gearcheck.stress.flank import FlankStress
from gearcheck.stress.flank_static import flank_static_safety
from gearcheck.stress.life import Damage
from gearcheck.stress.life_curve import life_curve
from gearcheck.stress.root_static import root_static_safety


def under_duty(record: Record, mesh: Mesh, rated: MeshChain) -> MeshChain:
    """Return a mesh with the damage of the duty in both gears, and their safety at the highest torque.

    Parameters
    ----------
    record : Record
        The inputs; without a duty and without static safeties agreed nothing is added.
    mesh : Mesh
        One of its meshes.
    rated : MeshChain
        Rated at the nominal load.

    Returns
    -------
    MeshChain
        With `duty_factors`: those of the bins of each direction, bins on the first axis.
    """
    if record.duty is None or rated.missing:
        return _static(record, mesh, rated)
    for reverse in (False, True):
        at, share = _bins(record, record.duty, mesh, rated, reverse=reverse)
        if not array(share).size:
            continue
        factors = factors_at(record, mesh, rated, at)
        flank = contact_at(record, rated, factors)
        gear, mate = (
            _damaged(record, mesh, rated, member, at, share, factors, flank)
            for member in (rated.gear, rated.mate)
        )
        rated = replace(rated, gear=gear, mate=mate, duty_factors=(*rated.duty_factors, factors))
    return _static(record, mesh, rated)


def _bins(record: Record, duty: Duty, mesh: Mesh, rated: MeshChain, *, reverse: bool) -> tuple[At, Array]:
    """The loads of one direction, bins first, and their share of the life; no load does no damage."""
    total = sum(float(item.hours) for item in duty.bins)
    bins = [item for item in duty.bins if item.reverse is reverse and item.hours > 0 and item.torque_Nm > 0]
    torque, speed, hours = (
        _first(np.array([getattr(item, name) for item in bins]), _rank(rated))
        for name in ("torque_Nm", "speed_rpm", "hours")
    )
    first = record.meshes[0]
    at = At(
        torque_Nm=torque * array(duty.torque_factor) * (array(mesh.torque_Nm) / array(first.torque_Nm)),
        speed_rpm=speed * array(duty.speed_factor) * (array(mesh.speed_rpm) / array(first.speed_rpm)),
        application_factor=1.0,
    )
    return at, hours / total


def _rank(rated: MeshChain) -> int:
    """How many axes of samples the results have."""
    sides = [rated.flank and rated.flank.pinion_stress_MPa, *(_strengths(rated))]
    return max(array(value).ndim for value in sides)


def _strengths(rated: MeshChain) -> list[Number]:
    found: list[Number] = []
    for member in (rated.gear, rated.mate):
        found += [member.flank and member.flank.limit_MPa, member.root_safety and member.root_safety.safety]
    return found


def _first(column: Array, rank: int) -> Array:
    return column.reshape((-1, *(1,) * rank))


def _damaged(
    record: Record,
    mesh: Mesh,
    rated: MeshChain,
    member: MemberChain,
    at: At,
    share: Array,
    factors: LoadFactors,
    flank: FlankStress,
) -> MemberChain:
    cycles = cycles_at(record, mesh, at, of_gear=member is rated.gear, share=share)
    if cycles is None:
        return member
    counts = array(cycles.load_cycles)
    if not member.missing_flank:
        pitting = _pitting(record, rated, member, factors, flank, counts)
        member = replace(member, flank_damage=(*member.flank_damage, pitting))
    if not member.missing_root:
        breaking = _breaking(record, rated, member, factors, counts)
        member = replace(member, root_damage=(*member.root_damage, breaking))
    return member


def _pitting(
    record: Record,
    rated: MeshChain,
    member: MemberChain,
    factors: LoadFactors,
    flank: FlankStress,
    counts: Array,
) -> DamageSum:
    assert record.duty is not None
    assert record.methods is not None
    assert record.required is not None
    assert member.limits is not None
    stress = array(flank.stress_MPa(member.member))
    limit = pitting_at(record, rated, member, stress, counts, factors.pitch_line_velocity_m_s)
    curve = life_curve(
        damage=Damage.FLANK,
        static_limit_MPa=limit.static_limit_MPa,
        reference_limit_MPa=limit.reference_limit_MPa,
        readings=record.methods.readings,
    )
    return damage_sum(
        stress_MPa=stress * record.required.flank_safety,
        cycles=counts,
        **curve._asdict(),
        below_knee=record.duty.below_knee,
    )


def _breaking(
    record: Record, rated: MeshChain, member: MemberChain, factors: LoadFactors, counts: Array
) -> DamageSum:
    assert record.duty is not None
    assert record.methods is not None
    assert record.required is not None
    assert member.limits is not None
    root = bent_at(record, rated, member, factors)
    limit = breakage_at(record, rated, member, root, counts)
    curve = life_curve(
        damage=Damage.ROOT,
        static_limit_MPa=limit.static_limit_MPa,
        reference_limit_MPa=limit.reference_limit_MPa,
        readings=record.methods.readings,
    )
    return damage_sum(
        stress_MPa=array(root.stress_MPa) * record.required.root_safety,
        cycles=counts,
        **curve._asdict(),
        below_knee=record.duty.below_knee,
    )


def _static(record: Record, mesh: Mesh, rated: MeshChain) -> MeshChain:
    agreed = record.required
    if rated.missing or agreed is None:
        return rated
    if agreed.static_flank_safety is None and agreed.static_root_safety is None:
        return rated
    factors = factors_at(record, mesh, rated, highest(record, mesh))
    flank = contact_at(record, rated, factors)
    gear, mate = (_at_highest(record, rated, member, factors, flank) for member in (rated.gear, rated.mate))
    return replace(rated, gear=gear, mate=mate)


def highest(record: Record, mesh: Mesh) -> At:
    """The highest torque of a mesh: that of the duty, or the nominal one times its application factor."""
    duty, first = record.duty, record.meshes[0]
    if duty is None:
        torque = array(mesh.torque_Nm) * array(mesh.application_factor)
        return At(torque_Nm=torque, speed_rpm=mesh.speed_rpm, application_factor=1.0)
    largest = max(item.torque_Nm for item in duty.bins)
    peak = largest if duty.peak_torque_Nm is None else max(largest, duty.peak_torque_Nm)
    torque = array(peak) * array(duty.torque_factor) * (array(mesh.torque_Nm) / array(first.torque_Nm))
    return At(torque_Nm=torque, speed_rpm=mesh.speed_rpm, application_factor=1.0)


def _at_highest(
    record: Record, rated: MeshChain, member: MemberChain, factors: LoadFactors, flank: FlankStress
) -> MemberChain:
    agreed = record.required
    assert agreed is not None
    assert record.methods is not None
    assert member.limits is not None
    if agreed.static_flank_safety is not None:
        pressed = flank_static_safety(
            limits=member.limits,
            stress_MPa=flank.stress_MPa(member.member),
            required_safety=agreed.static_flank_safety,
        )
        member = replace(member, flank_static=pressed)
    if agreed.static_root_safety is not None:
        assert member.limits is not None
        root = bent_at(record, rated, member, factors)
        bent = root_static_safety(root=root, limits=member.limits, required_safety=agreed.static_root_safety)
        member = replace(member, root_static=bent)
    return member


def governing(sums: tuple[DamageSum, ...]) -> Number:
    """Return the larger damage sum of both directions; None where there is none."""
    if not sums:
        return None
    worst = array(sums[0].damage)
    for item in sums[1:]:
        worst = np.maximum(worst, array(item.damage))
    return worst
