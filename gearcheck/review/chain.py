"""The chain of closed forms: geometry, loads, stress, case depth and tolerances of one record."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearcheck.accuracy.inputs import AccuracySpecification
from gearcheck.accuracy.tolerances import Tolerances, tolerances
from gearcheck.basics.numbers import Number, array
from gearcheck.gear.form import root_form_clearance
from gearcheck.gear.pair import PairGeometry, pair_geometry
from gearcheck.hardening.figures import CaseDepthLimits, case_depth_limits
from gearcheck.hardening.finished import FinishedCase, finished_case
from gearcheck.materials.strength import strength_limits
from gearcheck.review.contact_table import pressed_by
from gearcheck.review.criterion import with_criterion
from gearcheck.review.inputs import GearData, Mesh, Record
from gearcheck.review.rating import loaded, missing
from gearcheck.review.results import Chain, MemberChain, MeshChain
from gearcheck.review.size import mesh_backlash, missing_for_backlash, tooth_size
from gearcheck.review.spectrum import under_duty
from gearcheck.review.surface import with_surface
from gearcheck.stress.inputs import Member


def calculate(record: Record, *, at_other_load: Chain | None = None) -> Chain:
    """Work out all closed forms of one record; every number of the record may be an array of samples.

    Parameters
    ----------
    record : Record
        The inputs; arrays broadcast against one another.
    at_other_load : Chain, optional
        That of the same record at another load: what no load moves is taken from it.

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
    if at_other_load is not None:
        same = zip(record.meshes, at_other_load.meshes, strict=True)
        return replace(
            at_other_load, meshes=tuple(_loaded(record, mesh, _bare(known)) for mesh, known in same)
        )
    meshes = tuple(_mesh_chain(record, mesh) for mesh in record.meshes)
    return Chain(
        meshes=meshes,
        limits=None if gear.steel is None else strength_limits(steel=gear.steel),
        case_limits=_case_limits(record, meshes[0]),
        left=_finished(gear, "left"),
        right=_finished(gear, "right"),
        drawn=drawn_tolerances(record, gear),
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
    least, most = case.stock_mm(flank)
    return finished_case(
        as_treated_min_mm=case.as_treated_min_mm,
        as_treated_max_mm=case.as_treated_max_mm,
        stock_min_mm=least,
        stock_max_mm=most,
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


def drawn_tolerances(record: Record, gear: GearData) -> Tolerances | None:
    """Return the tolerances of the class that is drawn for a gear; None where none is."""
    if gear.accuracy is None:
        return None
    return tolerances(
        **toothing(record, gear),
        tolerance_class=gear.accuracy.tolerance_class,
        edition=gear.accuracy.edition,
        **gear.accuracy.classes,
    )


def _agreed(record: Record) -> Tolerances | None:
    agreed = agreed_class(record)
    return None if agreed is None else drawn_tolerances(record, replace(record.gear, accuracy=agreed))


def agreed_class(record: Record) -> AccuracySpecification | None:
    """Return the class agreed, by the edition of the drawing; None where either is missing."""
    drawn, required = record.gear.accuracy, record.required
    if drawn is None or required is None:
        return None
    return AccuracySpecification(
        tolerance_class=required.accuracy_class, edition=drawn.edition, **required.classes
    )


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
    bare = MeshChain(
        name=mesh.name,
        pair=pair,
        gear=gear,
        mate=mate,
        missing=missing(record, mesh),
        backlash=mesh_backlash(record, mesh, pair, (gear.tolerances, mate.tolerances)),
        missing_backlash=missing_for_backlash(record, mesh),
        pressed=pressed_by(record, mesh),
    )
    return _loaded(record, mesh, bare)


def _bare(known: MeshChain) -> MeshChain:
    """A mesh without its rating: geometry, tolerances, limits of both steels, the field below the flank."""
    gear, mate = (
        MemberChain(
            data=member.data,
            member=member.member,
            geometry=member.geometry,
            clearance=member.clearance,
            tolerances=member.tolerances,
            size=member.size,
            # a rating lowers them for a higher reliability
            limits=None if member.data.steel is None else strength_limits(steel=member.data.steel),
        )
        for member in (known.gear, known.mate)
    )
    return MeshChain(
        name=known.name,
        pair=known.pair,
        gear=gear,
        mate=mate,
        missing=known.missing,
        exposed=known.exposed,
        pressed=known.pressed,
        backlash=known.backlash,
        missing_backlash=known.missing_backlash,
    )


def _loaded(record: Record, mesh: Mesh, bare: MeshChain) -> MeshChain:
    if bare.missing:
        return bare
    rated = with_surface(record, under_duty(record, mesh, loaded(record, mesh, bare)))
    return with_criterion(record, replace(rated, exposed=None), bare.exposed)


def _bare_member(record: Record, data: GearData, member: Member, pair: PairGeometry) -> MemberChain:
    geometry = pair.pinion if member is Member.PINION else pair.wheel
    clearance = root_form_clearance(gear=geometry, pair=pair, cutter=data.cutter)
    return MemberChain(
        data=data,
        member=member,
        geometry=geometry,
        clearance=clearance,
        tolerances=drawn_tolerances(record, data),
        size=tooth_size(record, data, geometry, clearance.form_diameter_mm),
        limits=None if data.steel is None else strength_limits(steel=data.steel),
    )
