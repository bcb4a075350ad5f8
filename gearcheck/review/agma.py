"""The same mesh by ANSI/AGMA 2101, beside ISO 6336: it never decides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Number, array
from gearcheck.gear.inputs import Tooth
from gearcheck.materials.hardness import HRC_from_HV
from gearcheck.materials.inputs import Quality, Treatment
from gearcheck.review.inputs import Mesh, Record
from gearcheck.review.results import Chain, MemberChain, MeshChain, stop_words
from gearcheck.stress.agma_inputs import (
    AgmaGrade,
    AgmaHardening,
    AgmaMember,
    AgmaService,
    ReliabilityFit,
)
from gearcheck.stress.agma_rating import AgmaRating, agma_rating
from gearcheck.stress.inputs import Member

GRADES = {Quality.ML: AgmaGrade.GRADE_1, Quality.MQ: AgmaGrade.GRADE_2, Quality.ME: AgmaGrade.GRADE_3}
"""The grade that stands for a material quality: common practice, the requirements are not the same."""
LARGEST_HRC, LEAST_RELIABILITY, MOST_RELIABILITY = 68.0, 0.9, 0.9999


@dataclass(frozen=True, kw_only=True)
class Compared:
    """One quantity of one mesh by both standards; None where one of them has no value."""

    title: str
    symbols: tuple[str, str]
    iso: Number
    agma: Number
    unit: str = ""


@dataclass(frozen=True, kw_only=True)
class AgmaBeside:
    """One mesh by ANSI/AGMA 2101 beside ISO 6336.

    Parameters
    ----------
    mesh : str
        Name of the mate.
    result : AgmaRating or None
        None where it cannot be rated; `reason` says why.
    reason : str
        A section is missing, or a stop.
    rows : tuple of Compared
        Factors, stresses and safeties of both.
    """

    mesh: str
    result: AgmaRating | None
    reason: str = ""
    rows: tuple[Compared, ...] = ()


def agma_beside(record: Record, chain: Chain) -> tuple[AgmaBeside, ...]:
    """Rate each mesh by ANSI/AGMA 2101 with geometry factors worked out from its teeth.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Of it.

    Returns
    -------
    tuple of AgmaBeside
        By mesh, at the nominal load with its application factor, face load factor and load cycles of the
        rating by ISO. The tolerance class stands for A_v, the material quality for the grade.
    """
    pairs = zip(record.meshes, chain.meshes, strict=True)
    return tuple(_beside(record, mesh, rated) for mesh, rated in pairs)


def _beside(record: Record, mesh: Mesh, rated: MeshChain) -> AgmaBeside:
    reason = rated.missing or ("[required] missing" if record.required is None else "")
    reason = reason or stop_words(rated.pair, rated.factors) or _not_rated(rated)
    if not reason and record.required and record.required.reliability > MOST_RELIABILITY:
        reason = f"ANSI/AGMA 2101-D04 gives no Y_Z above a reliability of {MOST_RELIABILITY}"
    if reason:
        return AgmaBeside(mesh=mesh.name, result=None, reason=reason)
    assert record.required is not None
    assert record.methods is not None
    assert rated.factors is not None
    factors = rated.factors
    result = agma_rating(
        pair=rated.pair,
        torque_Nm=factors.torque_Nm,
        speed_rpm=factors.speed_rpm,
        overload_factor=array(factors.application_factor) * array(factors.mesh_load_factor),
        # grade 0 of the edition of 1995 counts as 1 here: the dynamic factor goes no lower than 5
        accuracy_number=np.maximum(factors.tolerance_class, 1.0),
        load_distribution_factor=factors.face_load_factor,
        pinion=_member(rated, Member.PINION),
        wheel=_member(rated, Member.WHEEL),
        reliability=max(record.required.reliability, LEAST_RELIABILITY),
        reliability_fit=ReliabilityFit.TABLE,
        service=AgmaService.GENERAL,
        readings=record.methods.readings,
    )
    stop = stop_words(result)
    if stop:
        return AgmaBeside(mesh=mesh.name, result=result, reason=stop)
    return AgmaBeside(mesh=mesh.name, result=result, rows=tuple(_rows(rated, result)))


def _of(rated: MeshChain, member: Member) -> MemberChain:
    return rated.gear if rated.gear.member is member else rated.mate


def _not_rated(rated: MeshChain) -> str:
    teeth: list[Tooth] = [rated.gear.data.tooth, rated.mate.data.tooth]
    if any(tooth.internal for tooth in teeth):
        return "internal gears are not built by ANSI/AGMA 2101"
    for member in (rated.gear, rated.mate):
        assert member.data.steel is not None
        if member.data.steel.treatment is not Treatment.CASE_CARBURISED:
            return f"{member.data.steel.treatment} gears are not rated by ANSI/AGMA 2101 here"
        if member.cycles is None:
            return "no load cycles"
    return ""


def _member(rated: MeshChain, member: Member) -> AgmaMember:
    gear = _of(rated, member)
    steel, finish = gear.data.steel, gear.data.finish
    assert steel is not None
    assert finish is not None
    assert gear.cycles is not None
    return AgmaMember(
        hardening=AgmaHardening.CARBURISED,
        grade=GRADES[steel.quality],
        load_cycles=gear.cycles.load_cycles,
        tooth_thinning=0.0,
        surface_hardness_HRC=np.minimum(
            array(HRC_from_HV(hardness_HV=steel.surface_hardness_HV).hardness_HRC), LARGEST_HRC
        ),
        rim_thickness_mm=None if gear.data.blank is None else gear.data.blank.rim_thickness_mm,
        bending=gear.bending,
    )


def _rows(rated: MeshChain, result: AgmaRating) -> list[Compared]:
    factors, flank = rated.factors, rated.flank
    assert factors is not None
    assert flank is not None
    rows = [
        Compared(
            title="Dynamic factor",
            symbols=("K_V", "K_v"),
            iso=factors.dynamic_factor,
            agma=result.dynamic_factor,
        )
    ]
    for subject, member in (("the gear", rated.gear), (rated.name, rated.mate)):
        one = result.pinion if member.member is Member.PINION else result.wheel
        flank_safety = member.flank and member.flank.safety
        root, root_safety = member.root and member.root.stress_MPa, member.root_safety
        sides: tuple[tuple[str, str, Number, Number, str], ...] = (
            ("Contact stress", "σ_H", flank.stress_MPa(member.member), one.contact_stress_MPa, "MPa"),
            ("Flank safety", "S_H", flank_safety, one.contact_safety, ""),
            ("Root stress", "σ_F", root, one.bending_stress_MPa, "MPa"),
            ("Root safety", "S_F", root_safety and root_safety.safety, one.bending_safety, ""),
        )
        rows += [
            Compared(title=f"{title}, {subject}", symbols=(symbol, symbol), iso=iso, agma=agma, unit=unit)
            for title, symbol, iso, agma, unit in sides
        ]
    return rows
