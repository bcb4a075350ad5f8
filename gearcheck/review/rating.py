"""The rating of one mesh: load factors, stresses, limits, and the safety of both gears."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from gearcheck.accuracy.inputs import Group
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.duty.cycles import LoadCycles, load_cycles
from gearcheck.duty.equivalent import REFERENCE, reliability_factor
from gearcheck.hardening.figures import CaseDepthFigures, case_depth_figures
from gearcheck.materials.strength import StrengthLimits
from gearcheck.review.inputs import GearData, Mesh, Record, Required
from gearcheck.review.results import MemberChain, MeshChain
from gearcheck.stress.factors import LoadFactors, load_factors
from gearcheck.stress.flank import FlankStress, flank_stress
from gearcheck.stress.flank_limit import FlankSafety, flank_safety
from gearcheck.stress.inputs import Bending, Finish, Load, Member
from gearcheck.stress.planets import planet_load_factor
from gearcheck.stress.root import RootStress, root_stress
from gearcheck.stress.root_limit import RootSafety, root_safety


@dataclass(frozen=True, kw_only=True)
class At:
    """A load of one mesh: torque of the gear under review on all its mates there, its speed, and K_A."""

    torque_Nm: Number
    speed_rpm: Number
    application_factor: Number


def nominal(mesh: Mesh) -> At:
    """The nominal load of a mesh with its application factor."""
    return At(torque_Nm=mesh.torque_Nm, speed_rpm=mesh.speed_rpm, application_factor=mesh.application_factor)


def missing(record: Record, mesh: Mesh) -> str:
    """Name what load factors and contact stress of a mesh want and the record lacks."""
    return lacking(
        {
            "[methods]": record.methods,
            "[gear.accuracy]": record.gear.accuracy,
            "[gear.finish]": record.gear.finish,
            "[gear.steel]": record.gear.steel,
            "[mesh.mate.accuracy]": mesh.mate.accuracy,
            "[mesh.mate.finish]": mesh.mate.finish,
            "[mesh.mate.steel]": mesh.mate.steel,
        }
    )


def lacking(wanted: Mapping[str, object]) -> str:
    """Name what is None; empty where nothing is."""
    names = [name for name, section in wanted.items() if section is None]
    if not names:
        return ""
    *others, last = names
    return f"{', '.join(others)} and {last} missing" if others else f"{last} missing"


def loaded(record: Record, mesh: Mesh, bare: MeshChain) -> MeshChain:
    """Return a mesh with its rating at the nominal load.

    Parameters
    ----------
    record : Record
        The inputs.
    mesh : Mesh
        One of its meshes.
    bare : MeshChain
        The geometry and strength of its two gears; nothing is missing.

    Returns
    -------
    MeshChain
        With load factors, contact stress, and both gears rated.
    """
    factors = factors_at(record, mesh, bare, nominal(mesh))
    flank = contact_at(record, bare, factors)
    gear = _rated(record, mesh, bare, bare.gear, factors, flank)
    mate = _rated(record, mesh, bare, bare.mate, factors, flank)
    figures = depth_figures(record, bare, flank.stress_MPa(bare.gear.member))
    sharing = planet_load_factor(planets=mesh.mates) if mesh.mesh_load_factor is None else None
    return replace(bare, sharing=sharing, factors=factors, flank=flank, gear=gear, mate=mate, figures=figures)


def depth_figures(record: Record, bare: MeshChain, stress: Number) -> CaseDepthFigures:
    """Return the figures of the standards for the case depth of the gear at one contact stress."""
    assert record.gear.steel is not None
    return case_depth_figures(
        pair=bare.pair,
        gear=bare.gear.geometry,
        flank_stress_MPa=stress,
        quality=record.gear.steel.quality,
    )


def of_member(bare: MeshChain, member: Member) -> MemberChain:
    """The gear under review or its mate, whichever is pinion or wheel."""
    return bare.gear if bare.gear.member is member else bare.mate


def _strength(bare: MeshChain, member: Member) -> StrengthLimits:
    limits = of_member(bare, member).limits
    assert limits is not None
    return limits


def factors_at(record: Record, mesh: Mesh, bare: MeshChain, at: At) -> LoadFactors:
    """Return the load factors of a mesh at one load."""
    assert record.methods is not None
    drawn = [member.tolerances for member in (bare.gear, bare.mate) if member.tolerances is not None]
    pitch, form, helix = (
        np.maximum(*(array(getattr(item, name)) for item in drawn))
        for name in ("single_pitch_exact_um", "profile_form_exact_um", "helix_slope_exact_um")
    )
    ratio = array(mesh.mate.tooth.teeth) / record.gear.tooth.teeth
    to_pinion = 1.0 if bare.gear.member is Member.PINION else ratio
    factors = load_factors(
        pair=bare.pair,
        load=Load(
            torque_Nm=array(at.torque_Nm) * to_pinion / mesh.mates,
            speed_rpm=array(at.speed_rpm) / to_pinion,
            application_factor=at.application_factor,
            mesh_load_factor=mesh_load_factor(mesh),
            face_load_factor=mesh.face_load_factor,
        ),
        pinion_limits=_strength(bare, Member.PINION),
        wheel_limits=_strength(bare, Member.WHEEL),
        base_pitch_deviation_um=pitch * np.cos(np.radians(array(bare.pair.transverse_pressure_angle_deg))),
        profile_form_deviation_um=form,
        tip_relief_um=np.minimum(array(record.gear.tip_relief_um), array(mesh.mate.tip_relief_um)),
        tolerance_class=_coarser(record.gear, mesh.mate),
        readings=record.methods.readings,
        shaft=mesh.shaft,
        helix_slope_um=helix,
        helix_slope_5_um=np.maximum(*(_at_class_5(member) for member in (bare.gear, bare.mate))),
        pinion_blank=of_member(bare, Member.PINION).data.blank,
        wheel_blank=of_member(bare, Member.WHEEL).data.blank,
    )
    return replace(factors, notices=(*factors.notices, *_several_meshes(record, mesh, bare)))


def _several_meshes(record: Record, mesh: Mesh, bare: MeshChain) -> tuple[Notice, ...]:
    """The shaft is that of a pinion with one mesh: each further one twists, and may bend, it more."""
    if mesh.face_load_factor is not None or mesh.shaft is None:
        return ()
    by_gear, by_mate = sum(each.mates for each in record.meshes), mesh.mate_contacts + mesh.mate_idler
    number = by_gear if bare.gear.member is Member.PINION else by_mate
    if number < 2:
        return ()
    text = (
        f"K_Hβ follows from the shaft of a pinion with one mesh; this one has {number}: how the others twist "
        "and bend it is not counted, and K_Hβ can be too small. Give a face_load_factor that counts them all."
    )
    return (Notice(Level.CAUTION, "iso6336_1.face_load.several_meshes", text),)


def mesh_load_factor(mesh: Mesh) -> Number:
    """K_γ as given, or by the number of mates that share the torque."""
    if mesh.mesh_load_factor is not None:
        return mesh.mesh_load_factor
    return planet_load_factor(planets=mesh.mates).mesh_load_factor


def _at_class_5(member: MemberChain) -> Array:
    """The tolerance of the helix slope of class 5, which the favourable contact pattern counts."""
    assert member.tolerances is not None
    assert member.data.accuracy is not None
    finer = array(member.data.accuracy.class_of(Group.HELIX)) - 5
    return array(array(member.tolerances.helix_slope_exact_um) / np.sqrt(2.0) ** finer)


def _coarser(gear: GearData, mate: GearData) -> Number:
    """The class of pitch: the relief in K_V and the accuracy number of AGMA go by the single pitch."""
    assert gear.accuracy is not None
    assert mate.accuracy is not None
    return np.maximum(*(array(item.class_of(Group.PITCH)) for item in (gear.accuracy, mate.accuracy)))


def contact_at(record: Record, bare: MeshChain, factors: LoadFactors) -> FlankStress:
    """Return the contact stress of both gears of a mesh."""
    assert record.methods is not None
    return flank_stress(
        pair=bare.pair,
        factors=factors,
        pinion_limits=_strength(bare, Member.PINION),
        wheel_limits=_strength(bare, Member.WHEEL),
        readings=record.methods.readings,
        edition=record.methods.stress,
    )


def _rated(
    record: Record, mesh: Mesh, bare: MeshChain, member: MemberChain, factors: LoadFactors, flank: FlankStress
) -> MemberChain:
    beyond = too_reliable(record.required)
    rated = replace(
        member,
        limits=_as_reliable(record.required, member.limits),
        cycles=cycles_at(record, mesh, nominal(mesh), of_gear=member is bare.gear),
        bending=bending_of(record, mesh, of_gear=member is bare.gear),
        missing_flank=lacking({"[required]": record.required, "[lubricant]": record.lubricant}) or beyond,
        missing_root=lacking({"[required]": record.required}) or beyond,
    )
    if rated.cycles is not None and not rated.missing_flank:
        stress, counts = flank.stress_MPa(rated.member), rated.cycles.load_cycles
        safety = pitting_at(record, bare, rated, stress, counts, factors.pitch_line_velocity_m_s)
        rated = replace(rated, flank=safety)
    if rated.cycles is not None and not rated.missing_root:
        root = bent_at(record, bare, rated, factors)
        breaking = breakage_at(record, bare, rated, root, rated.cycles.load_cycles)
        rated = replace(rated, root=root, root_safety=breaking)
    return rated


def too_reliable(required: Required | None) -> str:
    """Say why strength limits of 99 % do not stand for the reliability required; empty where they do."""
    if required is None or required.reliability <= REFERENCE:
        return ""
    names = ("flank_strength_variation", "root_strength_variation")
    if all(getattr(required, name) is not None for name in names):
        return ""
    return (
        f"the strength limits stand for a reliability of {REFERENCE:g}; "
        f"{required.reliability:g} is required and no distribution is given"
    )


def _as_reliable(required: Required | None, limits: StrengthLimits | None) -> StrengthLimits | None:
    """Lower the limits for a reliability above that which they stand for, and say by which distribution."""
    if required is None or limits is None or required.reliability <= REFERENCE or too_reliable(required):
        return limits
    flank, root = (
        float(reliability_factor(reliability=required.reliability, strength_variation=variation))
        for variation in (required.flank_strength_variation, required.root_strength_variation)
    )
    text = (
        f"For a reliability of {required.reliability:g} σ_Hlim counts {flank:.3f} times and σ_Flim {root:.3f}"
        f" times: lognormal strength with the variations {required.flank_strength_variation:g} and "
        f"{required.root_strength_variation:g} agreed; the tail of a distribution is a model."
    )
    return replace(
        limits,
        flank_limit_MPa=array(limits.flank_limit_MPa) * flank,
        root_limit_MPa=array(limits.root_limit_MPa) * root,
        unnotched_limit_MPa=array(limits.unnotched_limit_MPa) * root,
        notices=(*limits.notices, Notice(Level.NOTE, "rating.reliability", text)),
    )


def bending_of(record: Record, mesh: Mesh, *, of_gear: bool) -> Bending:
    """Say how the root of the gear, or of a mate, is bent over its life."""
    both_flanks = len({other.loaded_flank for other in record.meshes}) > 1
    if (of_gear and both_flanks) or (not of_gear and mesh.mate_idler):
        return Bending.IDLER
    reversing = record.duty is not None and len({item.reverse for item in record.duty.bins}) > 1
    return Bending.REVERSING if reversing else Bending.ONE_WAY


def cycles_at(record: Record, mesh: Mesh, at: At, *, of_gear: bool, share: Number = 1.0) -> LoadCycles | None:
    """Return how often a flank is loaded in a share of the life required; None where no life is."""
    if record.required is None:
        return None
    if of_gear:
        speed, contacts = array(at.speed_rpm), contacts_of(record, mesh)
    else:
        speed = array(at.speed_rpm) * (record.gear.tooth.teeth / array(mesh.mate.tooth.teeth))
        contacts = mesh.mate_contacts
    life = record.required.life_h * array(share)
    return load_cycles(speed_rpm=speed, life_h=life, contacts_per_revolution=contacts)


def contacts_of(record: Record, mesh: Mesh) -> int:
    """How often a turn of the gear loads the flank that a mesh loads: by all meshes of that flank."""
    return sum(other.mates for other in record.meshes if other.loaded_flank is mesh.loaded_flank)


def pitting_at(
    record: Record, bare: MeshChain, rated: MemberChain, stress: Number, cycles: Number, velocity: Number
) -> FlankSafety:
    """Return the pitting limit of one gear and its safety."""
    assert record.required is not None
    assert record.methods is not None
    assert record.lubricant is not None
    assert rated.limits is not None
    return flank_safety(
        pair=bare.pair,
        stress_MPa=stress,
        limits=rated.limits,
        load_cycles=cycles,
        viscosity_40C_mm2_s=record.lubricant.viscosity_40C_mm2_s,
        pitch_line_velocity_m_s=velocity,
        pinion_roughness_um=_finish(bare, Member.PINION).flank_roughness_um,
        wheel_roughness_um=_finish(bare, Member.WHEEL).flank_roughness_um,
        required_safety=record.required.flank_safety,
        readings=record.methods.readings,
        edition=record.methods.stress,
        mate_limits=_strength(bare, other_member(rated.member)),
        member=rated.member,
    )


def other_member(member: Member) -> Member:
    """The other gear of a pair."""
    return Member.WHEEL if member is Member.PINION else Member.PINION


def bent_at(record: Record, bare: MeshChain, rated: MemberChain, factors: LoadFactors) -> RootStress:
    """Return the root stress of one gear."""
    assert record.methods is not None
    return root_stress(
        pair=bare.pair,
        member=rated.member,
        factors=factors,
        readings=record.methods.readings,
        edition=record.methods.stress,
        blank=rated.data.blank,
        notch=rated.data.notch,
    )


def breakage_at(
    record: Record, bare: MeshChain, rated: MemberChain, root: RootStress, cycles: Number
) -> RootSafety:
    """Return the bending limit of the root of one gear and its safety."""
    assert record.required is not None
    assert record.methods is not None
    assert rated.limits is not None
    return root_safety(
        root=root,
        limits=rated.limits,
        load_cycles=cycles,
        roughness_um=_finish(bare, rated.member).root_roughness_um,
        required_safety=record.required.root_safety,
        readings=record.methods.readings,
        edition=record.methods.stress,
        bending=rated.bending,
    )


def _finish(bare: MeshChain, member: Member) -> Finish:
    finish = of_member(bare, member).data.finish
    assert finish is not None
    return finish
