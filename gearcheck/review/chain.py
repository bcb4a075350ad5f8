"""The chain of closed forms: geometry, loads, stress, case depth and tolerances of one record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from gearcheck.accuracy.tolerances import Tolerances, tolerances
from gearcheck.basics.numbers import Number, array
from gearcheck.duty.cycles import LoadCycles, load_cycles
from gearcheck.gear.form import root_form_clearance
from gearcheck.gear.pair import PairGeometry, pair_geometry
from gearcheck.hardening.figures import CaseDepthLimits, case_depth_figures, case_depth_limits
from gearcheck.hardening.finished import FinishedCase, finished_case
from gearcheck.materials.strength import StrengthLimits, strength_limits
from gearcheck.review.inputs import GearData, Mesh, Record, Required
from gearcheck.review.results import Chain, MemberChain, MeshChain
from gearcheck.stress.factors import LoadFactors, load_factors
from gearcheck.stress.flank import FlankStress, flank_stress
from gearcheck.stress.flank_limit import flank_safety
from gearcheck.stress.inputs import Finish, Load, Member
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_limit import root_safety

RELIABILITY_OF_LIMITS = 0.99


def calculate(record: Record) -> Chain:
    """Work out all closed forms of one record; every number of the record may be an array of samples.

    Parameters
    ----------
    record : Record
        The inputs; arrays broadcast against one another.

    Returns
    -------
    Chain
        With None where a section of the record is missing.

    Raises
    ------
    InputError
        An argument that no formula can use.
    """
    gear = record.gear
    meshes = tuple(_mesh_chain(record, mesh) for mesh in record.meshes)
    return Chain(
        meshes=meshes,
        limits=None if gear.steel is None else strength_limits(steel=gear.steel),
        case_limits=_case_limits(record, meshes[0]),
        left=_finished(gear, "left"),
        right=_finished(gear, "right"),
        drawn=_tolerances(record, gear),
        agreed=_agreed(record),
    )


def _case_limits(record: Record, mesh: MeshChain) -> CaseDepthLimits:
    """Of the tooth alone, so that each mesh gives the same."""
    return case_depth_limits(
        normal_module_mm=record.normal_module_mm, tip_thickness_mm=mesh.gear.geometry.tip_thickness_mm
    )


def _finished(gear: GearData, flank: str) -> FinishedCase | None:
    case = gear.case
    if case is None:
        return None
    return finished_case(
        as_treated_min_mm=case.as_treated_min_mm,
        as_treated_max_mm=case.as_treated_max_mm,
        stock_min_mm=getattr(case, f"{flank}_stock_min_mm"),
        stock_max_mm=getattr(case, f"{flank}_stock_max_mm"),
    )


def toothing(record: Record, gear: GearData) -> dict[str, Number]:
    """What the tolerances of one gear depend on, by the names of their arguments."""
    tooth = gear.tooth
    helix = np.radians(array(record.helix_angle_deg))
    return {
        "reference_diameter_mm": array(tooth.teeth) * array(record.normal_module_mm) / np.cos(helix),
        "normal_module_mm": record.normal_module_mm,
        "face_width_mm": tooth.face_width_mm,
        "teeth": tooth.teeth,
        "helix_angle_deg": record.helix_angle_deg,
    }


def _tolerances(record: Record, gear: GearData) -> Tolerances | None:
    if gear.accuracy is None:
        return None
    return tolerances(
        **toothing(record, gear),
        tolerance_class=gear.accuracy.tolerance_class,
        edition=gear.accuracy.edition,
    )


def _agreed(record: Record) -> Tolerances | None:
    gear, required = record.gear, record.required
    if gear.accuracy is None or required is None:
        return None
    agreed = replace(gear.accuracy, tolerance_class=required.accuracy_class)
    return _tolerances(record, replace(gear, accuracy=agreed))


def _mesh_chain(record: Record, mesh: Mesh) -> MeshChain:
    gear_is_pinion = record.gear.tooth.teeth <= mesh.mate.tooth.teeth
    pinion, wheel = (record.gear, mesh.mate) if gear_is_pinion else (mesh.mate, record.gear)
    pair = pair_geometry(
        normal_module_mm=record.normal_module_mm,
        pressure_angle_deg=record.pressure_angle_deg,
        helix_angle_deg=record.helix_angle_deg,
        centre_distance_mm=mesh.centre_distance_mm,
        pinion=pinion.tooth,
        wheel=wheel.tooth,
    )
    roles = (Member.PINION, Member.WHEEL) if gear_is_pinion else (Member.WHEEL, Member.PINION)
    gear = _bare_member(record, record.gear, roles[0], pair)
    mate = _bare_member(record, mesh.mate, roles[1], pair)
    bare = MeshChain(name=mesh.name, pair=pair, gear=gear, mate=mate, missing=_missing(record, mesh))
    return bare if bare.missing else _loaded(record, mesh, bare)


def _bare_member(record: Record, data: GearData, member: Member, pair: PairGeometry) -> MemberChain:
    geometry = pair.pinion if member is Member.PINION else pair.wheel
    return MemberChain(
        data=data,
        member=member,
        geometry=geometry,
        clearance=root_form_clearance(gear=geometry, pair=pair),
        tolerances=_tolerances(record, data),
        limits=None if data.steel is None else strength_limits(steel=data.steel),
    )


def _missing(record: Record, mesh: Mesh) -> str:
    """Name what load factors and contact stress of a mesh want and the record lacks."""
    return _lacking(
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


def _lacking(wanted: Mapping[str, object]) -> str:
    lacking = [name for name, section in wanted.items() if section is None]
    return f"{' and '.join(lacking)} missing" if lacking else ""


def _too_reliable(required: Required | None) -> str:
    if required is None or required.reliability <= RELIABILITY_OF_LIMITS:
        return ""
    return (
        f"the strength limits stand for a reliability of {RELIABILITY_OF_LIMITS:g}; "
        f"{required.reliability:g} is required and no distribution is given"
    )


def _loaded(record: Record, mesh: Mesh, bare: MeshChain) -> MeshChain:
    pinion, wheel = _limits(bare, Member.PINION), _limits(bare, Member.WHEEL)
    factors = _factors(record, mesh, bare)
    assert record.methods is not None
    flank = flank_stress(
        pair=bare.pair,
        factors=factors,
        pinion_limits=pinion,
        wheel_limits=wheel,
        readings=record.methods.readings,
    )
    gear = _rated(record, mesh, bare, bare.gear, factors, flank)
    mate = _rated(record, mesh, bare, bare.mate, factors, flank)
    assert record.gear.steel is not None
    figures = case_depth_figures(
        pair=bare.pair,
        gear=bare.gear.geometry,
        flank_stress_MPa=_of(flank, bare.gear.member),
        quality=record.gear.steel.quality,
    )
    return replace(bare, factors=factors, flank=flank, gear=gear, mate=mate, figures=figures)


def _of(flank: FlankStress, member: Member) -> Number:
    return flank.pinion_stress_MPa if member is Member.PINION else flank.wheel_stress_MPa


def _member(bare: MeshChain, member: Member) -> MemberChain:
    return bare.gear if bare.gear.member is member else bare.mate


def _limits(bare: MeshChain, member: Member) -> StrengthLimits:
    limits = _member(bare, member).limits
    assert limits is not None
    return limits


def _factors(record: Record, mesh: Mesh, bare: MeshChain) -> LoadFactors:
    assert record.methods is not None
    drawn = [member.tolerances for member in (bare.gear, bare.mate) if member.tolerances is not None]
    pitch = np.maximum(*(array(item.single_pitch_exact_um) for item in drawn))
    form = np.maximum(*(array(item.profile_form_exact_um) for item in drawn))
    ratio = array(mesh.mate.tooth.teeth) / record.gear.tooth.teeth
    to_pinion = 1.0 if bare.gear.member is Member.PINION else ratio
    return load_factors(
        pair=bare.pair,
        load=Load(
            torque_Nm=array(mesh.torque_Nm) * to_pinion,
            speed_rpm=array(mesh.speed_rpm) / to_pinion,
            application_factor=mesh.application_factor,
            mesh_load_factor=mesh.mesh_load_factor,
            face_load_factor=mesh.face_load_factor,
        ),
        pinion_limits=_limits(bare, Member.PINION),
        wheel_limits=_limits(bare, Member.WHEEL),
        base_pitch_deviation_um=pitch * np.cos(np.radians(array(bare.pair.transverse_pressure_angle_deg))),
        profile_form_deviation_um=form,
        tip_relief_um=np.minimum(array(record.gear.tip_relief_um), array(mesh.mate.tip_relief_um)),
        tolerance_class=_coarser(record.gear, mesh.mate),
        readings=record.methods.readings,
    )


def _coarser(gear: GearData, mate: GearData) -> Number:
    assert gear.accuracy is not None
    assert mate.accuracy is not None
    return np.maximum(array(gear.accuracy.tolerance_class), array(mate.accuracy.tolerance_class))


def _rated(
    record: Record, mesh: Mesh, bare: MeshChain, member: MemberChain, factors: LoadFactors, flank: FlankStress
) -> MemberChain:
    same_flank = sum(other.loaded_flank is mesh.loaded_flank for other in record.meshes)
    of_gear = member is bare.gear
    both = "both flanks are loaded: reversed bending (Y_M) is not built"
    beyond = _too_reliable(record.required)
    rated = replace(
        member,
        cycles=_cycles(record, mesh, same_flank) if of_gear else _mate_cycles(record, mesh),
        missing_flank=_lacking({"[required]": record.required, "[lubricant]": record.lubricant}) or beyond,
        missing_root=_lacking({"[required]": record.required})
        or beyond
        or (both if of_gear and same_flank != len(record.meshes) else ""),
    )
    if not rated.missing_flank:
        rated = _with_flank(record, bare, rated, factors, flank)
    return rated if rated.missing_root else _with_root(record, bare, rated, factors)


def _cycles(record: Record, mesh: Mesh, contacts: int) -> LoadCycles | None:
    if record.required is None:
        return None
    life = record.required.life_h
    return load_cycles(speed_rpm=mesh.speed_rpm, life_h=life, contacts_per_revolution=contacts)


def _mate_cycles(record: Record, mesh: Mesh) -> LoadCycles | None:
    ratio = record.gear.tooth.teeth / array(mesh.mate.tooth.teeth)
    return _cycles(record, replace(mesh, speed_rpm=array(mesh.speed_rpm) * ratio), 1)


def _with_flank(
    record: Record, bare: MeshChain, rated: MemberChain, factors: LoadFactors, flank: FlankStress
) -> MemberChain:
    assert record.required is not None
    assert record.methods is not None
    assert record.lubricant is not None
    assert rated.cycles is not None
    assert rated.limits is not None
    safety = flank_safety(
        pair=bare.pair,
        stress_MPa=_of(flank, rated.member),
        limits=rated.limits,
        load_cycles=rated.cycles.load_cycles,
        viscosity_40C_mm2_s=record.lubricant.viscosity_40C_mm2_s,
        pitch_line_velocity_m_s=factors.pitch_line_velocity_m_s,
        pinion_roughness_um=_finish(bare, Member.PINION).flank_roughness_um,
        wheel_roughness_um=_finish(bare, Member.WHEEL).flank_roughness_um,
        required_safety=record.required.flank_safety,
        readings=record.methods.readings,
    )
    return replace(rated, flank=safety)


def _with_root(record: Record, bare: MeshChain, rated: MemberChain, factors: LoadFactors) -> MemberChain:
    assert record.required is not None
    assert record.methods is not None
    assert rated.cycles is not None
    assert rated.limits is not None
    readings = record.methods.readings
    root = root_stress(pair=bare.pair, member=rated.member, factors=factors, readings=readings)
    safety = root_safety(
        root=root,
        limits=rated.limits,
        load_cycles=rated.cycles.load_cycles,
        roughness_um=_finish(bare, rated.member).root_roughness_um,
        required_safety=record.required.root_safety,
        readings=readings,
    )
    return replace(rated, root=root, root_safety=safety)


def _finish(bare: MeshChain, member: Member) -> Finish:
    finish = _member(bare, member).data.finish
    assert finish is not None
    return finish
