"""What the duty and the highest torque do to both gears of a mesh: damage sums and static strength."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result
from gearcheck.duty.damage import DamageSum, damage_sum
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.review.bins import step_note
from gearcheck.review.inputs import Mesh, Record
from gearcheck.review.pressure import load_of
from gearcheck.review.rating import (
    At,
    bent_at,
    breakage_at,
    contact_at,
    cycles_at,
    depth_figures,
    factors_at,
    nominal,
    of_member,
    other_member,
    pitting_at,
)
from gearcheck.review.results import MemberChain, MeshChain
from gearcheck.stress.factors import LoadFactors
from gearcheck.stress.flank import FlankStress
from gearcheck.stress.flank_limit import FlankSafety
from gearcheck.stress.flank_static import flank_static_safety
from gearcheck.stress.inputs import Bending
from gearcheck.stress.life import Damage
from gearcheck.stress.life_curve import life_curve
from gearcheck.stress.root_limit import RootSafety
from gearcheck.stress.root_static import root_static_safety

NO_LOAD = "no step of the duty carries a load"
OF_THE_OIL = (
    "viscosity_40C_mm2_s",
    "viscosity_100C_mm2_s",
    "density_15C_kg_m3",
    "oil_temperature_C",
    "fzg_stage",
)
"""What of the lubricant may be an array of samples."""


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
        With `duty_factors`: those of the bins, on the first axis; the case depth by the standards is that of
        the step that presses the flanks hardest.
    """
    if record.duty is None or rated.missing:
        return _static(record, mesh, rated)
    bins = _with_starts(record.duty)
    if bins:
        # both directions in one pass: the flanks have the same stress, but each its own damage
        at, share = _loads(record, record.duty, mesh, rated, bins)
        factors = factors_at(record, mesh, rated, at)
        flank = contact_at(record, rated, factors)
        loads = _Loads(at=at, share=share, factors=factors, flank=flank, bins=bins)
        gear, mate = (_damaged(record, mesh, rated, member, loads) for member in (rated.gear, rated.mate))
        rated = replace(rated, gear=gear, mate=mate, duty_factors=factors)
        heaviest = np.asarray(load_of(factors).force_N.argmax(axis=0))
        stress = array(flank.stress_MPa(rated.gear.member)).max(axis=0)
        figures = depth_figures(record, rated, stress)
        figures = replace(
            figures,
            notices=(
                *figures.notices,
                *step_note(record, f"Case depth by the standards, {rated.name}", heaviest),
            ),
        )
        rated = replace(rated, heaviest_step=heaviest, figures=figures)
    return _static(record, mesh, rated)


def not_loaded(record: Record) -> str:
    """Say that a duty loads nothing, so that the nominal load does not stand for it; empty where it does."""
    return "" if record.duty is None or record.duty.loaded else NO_LOAD


def _with_starts(duty: Duty) -> list[Bin]:
    """The steps that carry load, and last the highest torque at the nominal speed, as often as it comes."""
    bins = list(duty.loaded)
    if duty.times_highest and bins:
        # its time counts nothing: its load cycles are put in where they are counted, its speed with the loads
        start = Bin(
            torque_Nm=duty.highest_torque_Nm,
            speed_rpm=1.0,
            hours=1.0,
            reverse=all(item.reverse for item in bins),
        )
        bins.append(start)
    return bins


@dataclass(frozen=True, kw_only=True)
class _Loads:
    """The bins of a duty with their factors and contact stress, bins first."""

    at: At
    share: Array
    factors: LoadFactors
    flank: FlankStress
    bins: list[Bin]


def _loads(record: Record, duty: Duty, mesh: Mesh, rated: MeshChain, bins: list[Bin]) -> tuple[At, Array]:
    """The loads, bins first, and their share of the life; what has no load does no damage."""
    total = sum(float(item.hours) for item in duty.bins)
    torque, speed, hours = (
        _first(np.array([getattr(item, name) for item in bins]), _rank(record, rated, duty))
        for name in ("torque_Nm", "speed_rpm", "hours")
    )
    first = record.meshes[0]
    turns = speed * array(duty.speed_factor) * (array(mesh.speed_rpm) / array(first.speed_rpm))
    if duty.times_highest:
        turns = np.concatenate([turns[:-1], np.broadcast_to(array(mesh.speed_rpm), turns[-1:].shape)])
    at = At(
        torque_Nm=torque * array(duty.torque_factor) * (array(mesh.torque_Nm) / array(first.torque_Nm)),
        speed_rpm=turns,
        application_factor=1.0,
    )
    return at, hours / total


def _rank(record: Record, rated: MeshChain, duty: Duty) -> int:
    """How many axes of samples the results have."""
    sides = [rated.flank and rated.flank.pinion_stress_MPa, *(_strengths(rated))]
    sides += [duty.torque_factor, duty.speed_factor]
    # the rating does not feel them, but film and temperature of each step do
    sides += [getattr(record.lubricant, name, None) for name in OF_THE_OIL]
    sides += [
        member.data.finish and member.data.finish.flank_roughness_um for member in (rated.gear, rated.mate)
    ]
    return max(array(value).ndim for value in sides)


def _strengths(rated: MeshChain) -> list[Number]:
    found: list[Number] = []
    for member in (rated.gear, rated.mate):
        found += [member.flank and member.flank.limit_MPa, member.root_safety and member.root_safety.safety]
    return found


def _first(column: Array, rank: int) -> Array:
    return column.reshape((-1, *(1,) * rank))


def _damaged(record: Record, mesh: Mesh, rated: MeshChain, member: MemberChain, loads: _Loads) -> MemberChain:
    counts = _counts(record, mesh, loads.at, loads.share, of_gear=member is rated.gear)
    if counts is None:
        return member
    if not member.missing_flank:
        stress = array(loads.flank.stress_MPa(member.member))
        velocity = loads.factors.pitch_line_velocity_m_s
        pitting = pitting_at(record, rated, member, stress, counts, velocity)
        member = replace(member, flank_damage=_sums(record, Damage.FLANK, pitting, counts, loads, member))
    if not member.missing_root:
        breaking = breakage_at(record, rated, member, bent_at(record, rated, member, loads.factors), counts)
        member = replace(member, root_damage=_sums(record, Damage.ROOT, breaking, counts, loads, member))
    return member


def _counts(record: Record, mesh: Mesh, at: At, share: Array, *, of_gear: bool) -> Array | None:
    """How often each step loads a flank in the life required."""
    cycles = cycles_at(record, mesh, at, of_gear=of_gear, share=share)
    if cycles is None:
        return None
    counts = array(cycles.load_cycles)
    if record.duty is not None and record.duty.times_highest:
        counts = np.concatenate([counts[:-1], np.full_like(counts[-1:], record.duty.times_highest)])
    return counts


def loads_in_life(record: Record, mesh: Mesh, rated: MeshChain) -> Iterator[tuple[At, Array]]:
    """Yield what loads each flank of the gear in the life required: steps of the duty, or the nominal load.

    Parameters
    ----------
    record : Record
        Without samples; a life is required.
    mesh : Mesh
        One of its meshes.
    rated : MeshChain
        Rated at the nominal load.

    Yields
    ------
    at, cycles : tuple of At and ndarray
        Loads and load cycles of the steps, of shape (steps,), direction by direction; nothing where no step
        carries a load.
    """
    duty = record.duty
    if duty is None:
        one = nominal(mesh)
        at = replace(one, torque_Nm=array(one.torque_Nm).reshape(1))
        counts = _counts(record, mesh, at, np.ones(1), of_gear=True)
        if counts is not None:
            yield at, np.broadcast_to(counts, (1,))
        return
    bins = _with_starts(duty)
    if not bins:
        return
    at, share = _loads(record, duty, mesh, rated, bins)
    counts = _counts(record, mesh, at, share, of_gear=True)
    if counts is None:
        return
    speed = np.broadcast_to(array(at.speed_rpm), counts.shape)
    for way in _ways(bins, rated.gear):
        yield replace(at, torque_Nm=array(at.torque_Nm)[way], speed_rpm=speed[way]), counts[way]


def _ways(bins: list[Bin], member: MemberChain) -> list[NDArray[np.intp]]:
    """The steps that load one flank: of an idler, each mesh in one of the two directions."""
    ways = [np.flatnonzero([item.reverse is way for item in bins]) for way in (False, True)]
    ways = [way for way in ways if way.size]
    return [np.concatenate(ways)] if member.bending is Bending.IDLER else ways


def _sums(
    record: Record,
    damage: Damage,
    limit: FlankSafety | RootSafety,
    counts: Array,
    loads: _Loads,
    member: MemberChain,
) -> tuple[DamageSum, ...]:
    assert record.duty is not None
    assert record.methods is not None
    assert record.required is not None
    agreed = record.required
    safety = agreed.flank_safety if damage is Damage.FLANK else agreed.root_safety
    curve = life_curve(
        damage=damage,
        static_limit_MPa=limit.static_limit_MPa,
        reference_limit_MPa=limit.reference_limit_MPa,
        readings=record.methods.readings,
        treatment=limit.treatment,
    )
    stress = array(limit.stress_MPa) * safety
    whole = np.broadcast_shapes(stress.shape, counts.shape)

    def of(way: NDArray[np.intp]) -> dict[str, Array]:
        """What has the bins on its first axis, for one direction."""
        given = {"stress_MPa": stress, "cycles": counts, **curve._asdict()}
        return {
            name: array(value)[way]
            if array(value).ndim == len(whole) and len(array(value)) > 1
            else array(value)
            for name, value in given.items()
        }

    found = (damage_sum(**of(way), below_knee=record.duty.below_knee) for way in _ways(loads.bins, member))
    outside = beyond(loads.factors, loads.flank, limit)
    return tuple(replace(one, notices=(*one.notices, *outside)) for one in found)


def beyond(*steps: Result) -> tuple[Notice, ...]:
    """Return what the steps of a duty find outside the ranges of a method; no mere notes."""
    said = chain.from_iterable(step.notices for step in steps)
    return tuple(dict.fromkeys(notice for notice in said if notice.level is not Level.NOTE))


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
    torque = (
        array(duty.highest_torque_Nm)
        * array(duty.torque_factor)
        * (array(mesh.torque_Nm) / array(first.torque_Nm))
    )
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
            edition=record.methods.stress,
            mate_limits=of_member(rated, other_member(member.member)).limits,
            member=member.member,
        )
        member = replace(member, flank_static=pressed)
    if agreed.static_root_safety is not None:
        assert member.limits is not None
        root = bent_at(record, rated, member, factors)
        bent = root_static_safety(
            root=root,
            limits=member.limits,
            required_safety=agreed.static_root_safety,
            edition=record.methods.stress,
            bending=member.bending,
        )
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
