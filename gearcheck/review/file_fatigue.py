"""The sections of a gear file for fatigue tests: how was tested, what leads to the part, what is planned."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from gearcheck.basics.methods import Status
from gearcheck.fatigue.inputs import (
    Aspect,
    Curve,
    Difference,
    Distribution,
    Place,
    Transfer,
    TransferKind,
)
from gearcheck.review.fatigue_inputs import (
    ExcludedSpecimen,
    FatigueEvidence,
    FatigueTests,
    GivenFactors,
    PlannedTest,
    Rig,
    SpecimenGear,
    SpecimenTable,
)
from gearcheck.review.file_loads import Speed, Torque
from gearcheck.review.file_measured import Name, Sentence, Title
from gearcheck.review.file_section import Section
from gearcheck.review.file_teeth import (
    Diameter,
    HelixAngle,
    Module,
    PressureAngle,
    ToothSection,
    tooth_of,
)
from gearcheck.review.file_values import Plain, Size, Whole
from gearcheck.review.file_words import Choice, Day, Each, Words

KnownAs = Annotated[Status, BeforeValidator(Choice(Status))]
Covers = Annotated[tuple[str, ...], BeforeValidator(Each(Words(40), tuple(Aspect)))]
LoadFactor = Annotated[float, BeforeValidator(Plain(0.5, 10))]


class SpecimenMateSection(ToothSection):
    """[fatigue.tests.gear.mate]: the teeth of the mate of running specimen gears."""


class RigFactorsSection(Section):
    """[fatigue.tests.gear.factors]: load factors of running specimen gears on their rig."""

    application: LoadFactor
    dynamic: LoadFactor
    face: LoadFactor
    transverse: LoadFactor
    source: Title
    status: KnownAs


class SpecimenGearSection(ToothSection):
    """[fatigue.tests.gear]: the gear that was tested."""

    normal_module: Module
    pressure_angle: PressureAngle
    helix_angle: HelixAngle
    load_diameter: Diameter | None = None
    span_teeth: Annotated[int | None, BeforeValidator(Whole(2, 500))] = None
    mate: SpecimenMateSection | None = None
    centre_distance: Diameter | None = None
    tip_relief: Annotated[float, BeforeValidator(Size("µm", 0, 1000))] = 0.0
    factors: RigFactorsSection | None = None


class ExcludedSpecimenEntry(Section):
    """[[fatigue.tests.excluded]]: a specimen that does not count."""

    specimen: Name
    reason: Sentence


class TransferEntry(Section):
    """[[fatigue.tests.transfer]]: one step from the strength of the specimens to that of the part."""

    name: Name
    kind: Annotated[TransferKind, BeforeValidator(Choice(TransferKind))]
    factor: Annotated[float | None, BeforeValidator(Plain(0.1, 10))] = None
    variation: Annotated[float, BeforeValidator(Plain(0, 1))] = 0.0
    sensitivity: Annotated[float | None, BeforeValidator(Plain(0, 1))] = None
    source: Title
    status: KnownAs
    covers: Covers
    despite: Sentence | None = None


class DifferenceEntry(Section):
    """[[fatigue.tests.difference]]: one row of the pedigree."""

    what: Annotated[Aspect, BeforeValidator(Choice(Aspect))]
    specimen: Title
    part: Title
    reason: Sentence | None = None


class SpecimenTestsEntry(Section):
    """[[fatigue.tests]]."""

    place: Annotated[Place, BeforeValidator(Choice(Place))]
    file: Title
    rig: Annotated[Rig, BeforeValidator(Choice(Rig))]
    by: Title
    date: Annotated[str, BeforeValidator(Day())]
    run_out: Annotated[float, BeforeValidator(Plain(1e3, 1e12))]
    curve: Annotated[Curve, BeforeValidator(Choice(Curve))]
    distribution: Annotated[Distribution, BeforeValidator(Choice(Distribution))]
    because: Sentence
    confidence: Annotated[float, BeforeValidator(Plain(0.5, 1, inside=True))]
    within_gear_share: Annotated[float | None, BeforeValidator(Plain(0, 1))] = None
    teeth_loaded: Annotated[int, BeforeValidator(Whole(1, 500))] = 1
    mode: Name | None = None
    gear: SpecimenGearSection | None = None
    excluded: list[ExcludedSpecimenEntry] = Field(default=[], max_length=1000)
    transfer: list[TransferEntry] = Field(default=[], max_length=50)
    difference: list[DifferenceEntry] = Field(default=[], max_length=50)


class EnduranceSection(Section):
    """[fatigue.endurance]: the long test that is planned."""

    torque: Torque
    time: Annotated[float, BeforeValidator(Size("h", 0.01, 1e6))]
    gears: Annotated[int, BeforeValidator(Whole(1, 1000))]
    speed: Speed | None = None


class FatigueSection(Section):
    """[fatigue]."""

    tests: list[SpecimenTestsEntry] = Field(min_length=1, max_length=2)
    endurance: EnduranceSection | None = None
    gears_in_set: Annotated[int, BeforeValidator(Whole(1, 10_000))] = 1


def fatigue_of(section: FatigueSection, files: list[SpecimenTable]) -> FatigueEvidence:
    """Return what a record holds of fatigue tests.

    Parameters
    ----------
    section : FatigueSection
        [fatigue], checked.
    files : list of SpecimenTable
        The tests, one file for each entry.

    Returns
    -------
    FatigueEvidence
        In the units of the package.
    """
    planned = section.endurance
    return FatigueEvidence(
        tests=tuple(_tests(entry, table) for entry, table in zip(section.tests, files, strict=True)),
        endurance=None
        if planned is None
        else PlannedTest(
            torque_Nm=planned.torque, hours=planned.time, gears=planned.gears, speed_rpm=planned.speed
        ),
        gears_in_set=section.gears_in_set,
    )


def _tests(entry: SpecimenTestsEntry, table: SpecimenTable) -> FatigueTests:
    return FatigueTests(
        place=entry.place,
        rig=entry.rig,
        by=entry.by,
        date=entry.date,
        table=table,
        run_out_cycles=entry.run_out,
        curve=entry.curve,
        distribution=entry.distribution,
        because=entry.because,
        confidence=entry.confidence,
        within_gear_share=entry.within_gear_share,
        teeth_loaded=entry.teeth_loaded,
        mode=entry.mode or "",
        gear=_gear(entry.gear) if entry.gear else None,
        excluded=tuple(ExcludedSpecimen(**one.model_dump()) for one in entry.excluded),
        transfers=tuple(transfer_of(one) for one in entry.transfer),
        differences=tuple(
            Difference(what=one.what, specimen=one.specimen, part=one.part, reason=one.reason or "")
            for one in entry.difference
        ),
    )


def transfer_of(entry: TransferEntry) -> Transfer:
    """Return one transfer as a record holds it."""
    return Transfer(
        name=entry.name,
        kind=entry.kind,
        source=entry.source,
        status=entry.status,
        covers=tuple(Aspect(name) for name in entry.covers),
        factor=entry.factor,
        variation=entry.variation,
        sensitivity=entry.sensitivity,
        despite=entry.despite or "",
    )


def _gear(section: SpecimenGearSection) -> SpecimenGear:
    return SpecimenGear(
        normal_module_mm=section.normal_module,
        pressure_angle_deg=section.pressure_angle,
        helix_angle_deg=section.helix_angle,
        tooth=tooth_of(section),
        load_diameter_mm=section.load_diameter,
        span_teeth=section.span_teeth,
        mate=tooth_of(section.mate) if section.mate else None,
        centre_distance_mm=section.centre_distance,
        factors=GivenFactors(**section.factors.model_dump()) if section.factors else None,
        tip_relief_um=section.tip_relief,
    )
