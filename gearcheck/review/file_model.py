"""The sections of a gear file, format 1: every key with the kind of its value and its bounds.

The bounds keep out slips of the pen, such as a missing point or a wrong unit. What a method holds for is said
by the method.
"""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Annotated, Any, get_type_hints

from pydantic import BeforeValidator, Field, create_model

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.gear.inputs import Hand
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.inputs import CaseDepthRule, DepthRule
from gearcheck.inspection.acceptance import Acceptance
from gearcheck.inspection.decide import DecisionRule
from gearcheck.inspection.route import PROPERTIES, RouteName
from gearcheck.materials.inputs import Quality, Treatment
from gearcheck.requirements.types import Stage
from gearcheck.review.file_contact import AgreedContactSection, ContactSection
from gearcheck.review.file_fatigue import FatigueSection
from gearcheck.review.file_furnace import (
    FurnaceSection,
    GrindingSection,
    MaskSection,
    SubsurfaceSection,
)
from gearcheck.review.file_loads import (
    AgreedSection,
    BlankSection,
    CutterSection,
    DutySection,
    GroupClass,
    LubricantSection,
    NotchSection,
    ShaftSection,
)
from gearcheck.review.file_measured import AllEvidence, FlankName, Key, Measured, Name, Sentence, Title
from gearcheck.review.file_modification import ModificationSection
from gearcheck.review.file_section import Section
from gearcheck.review.file_size import AgreedBacklashSection, BacklashSection, SizeSection
from gearcheck.review.file_teeth import (
    Diameter,
    HelixAngle,
    Module,
    PressureAngle,
    StockSection,
    ToolSection,
    ToothSection,
)
from gearcheck.review.file_values import Hardness, Plain, Rockwell, Size, Span, Whole
from gearcheck.review.file_words import Choice, Each, Only, SteelName, Words, YesNo
from gearcheck.review.inputs import ContactPressure
from gearcheck.stress.inputs import Readings, ScuffingMethod, StressEdition

Roughness = Annotated[float, BeforeValidator(Size("µm", 0.1, 500))]
CaseWindow = Annotated[tuple[float, float], BeforeValidator(Span(Size("mm", 0.05, 20)))]
ToleranceClass = Annotated[int, BeforeValidator(Whole(0, 12))]
Edition = Annotated[AccuracyEdition, BeforeValidator(Choice(AccuracyEdition))]
Safety = Annotated[float, BeforeValidator(Plain(0.5, 10))]
Properties = Annotated[tuple[str, ...], BeforeValidator(Each(Words(20), PROPERTIES))]


class PartSection(Section):
    """[part]."""

    number: Name
    revision: Name
    title: Title
    stage: Annotated[Stage, BeforeValidator(Choice(Stage))]
    note: Annotated[str, BeforeValidator(Words(5000, several_lines=True))] = ""


class FinishSection(Section):
    """[gear.finish]."""

    flank_roughness: Roughness
    root_roughness: Roughness
    tip_relief: Annotated[float, BeforeValidator(Size("µm", 0, 1000))]


class SteelSection(Section):
    """[gear.steel]: the lowest hardness specified, and where known that at 12 mm from the quenched end."""

    grade: Annotated[str, BeforeValidator(SteelName())]
    quality: Annotated[Quality, BeforeValidator(Choice(Quality))]
    surface_hardness: Annotated[float, BeforeValidator(Hardness(300, 1000))]
    core_hardness: Annotated[float, BeforeValidator(Hardness(100, 700))]
    hardenability: Annotated[float | None, BeforeValidator(Rockwell(20, 60))] = None


class MateSteelSection(SteelSection):
    """[mesh.mate.steel]: a mate may be hardened otherwise than by carburising."""

    grade: Annotated[str, BeforeValidator(SteelName(carburising=False))]
    treatment: Annotated[Treatment, BeforeValidator(Choice(Treatment))] = Treatment.CASE_CARBURISED


class CaseSection(Section):
    """[gear.case]."""

    at: Annotated[str, BeforeValidator(Only("550 HV", "only the depth at 550 HV is read so far"))]
    place: Annotated[
        str, BeforeValidator(Only("pitch line", "only the depth at the pitch line is read so far"))
    ]
    as_treated: CaseWindow
    finished: CaseWindow


class AccuracySection(Section):
    """[gear.accuracy]; a group of parameters may have a class of its own."""

    tolerance_class: ToleranceClass = Field(alias="class")
    edition: Edition
    pitch_class: GroupClass = None
    profile_class: GroupClass = None
    helix_class: GroupClass = None
    runout_class: GroupClass = None


class BodySection(ToothSection):
    """What [gear] and [mesh.mate] share."""

    finish: FinishSection | None = None
    steel: SteelSection | None = None
    case: CaseSection | None = None
    accuracy: AccuracySection | None = None
    blank: BlankSection | None = None
    grinding_notch: NotchSection | None = None
    modification: ModificationSection | None = None
    size: SizeSection | None = None


class MateSection(BodySection):
    """[mesh.mate]."""

    internal: Annotated[bool, BeforeValidator(YesNo())] = False
    cutter: CutterSection | None = None
    steel: MateSteelSection | None = None
    contacts: Annotated[int, BeforeValidator(Whole(1, 20))] = 1
    idler: Annotated[bool, BeforeValidator(YesNo())] = False


class GearSection(BodySection):
    """[gear]; exactly one of module and diametral pitch."""

    normal_module: Module | None = None
    normal_diametral_pitch: Annotated[float | None, BeforeValidator(Size("1/in", 0.36, 51))] = None
    pressure_angle: PressureAngle
    helix_angle: HelixAngle
    tool: ToolSection
    stock: StockSection
    furnace: FurnaceSection | None = None
    grinding: GrindingSection | None = None
    subsurface: SubsurfaceSection | None = None
    mask: MaskSection | None = None
    hand: Annotated[Hand | None, BeforeValidator(Choice(Hand))] = None


class MeshSection(Section):
    """[[mesh]]; the load is that of the gear under review."""

    name: Annotated[
        str,
        BeforeValidator(Words(40, pattern=r"[\w-]+", pattern_words=": letters, digits, - and _")),
    ]
    centre_distance: Diameter
    torque: Annotated[float, BeforeValidator(Size("N·m", 1e-3, 1e8))]
    speed: Annotated[float, BeforeValidator(Size("1/min", 1e-3, 1e6))]
    application_factor: Annotated[float, BeforeValidator(Plain(0.5, 10))]
    mesh_load_factor: Annotated[float | None, BeforeValidator(Plain(1, 3))] = None
    face_load_factor: Annotated[float | None, BeforeValidator(Plain(1, 10))] = None
    shaft: ShaftSection | None = None
    mates: Annotated[int, BeforeValidator(Whole(1, 20))] = 1
    loaded_flank: FlankName
    mate: MateSection
    backlash: BacklashSection | None = None
    contact: ContactSection | None = None


class RequiredSection(AgreedSection, AgreedBacklashSection, AgreedContactSection):
    """[required]: what was agreed for this contract, and by whom."""

    set_by: Title
    flank_safety: Safety
    root_safety: Safety
    subsurface_safety: Safety
    life: Annotated[float, BeforeValidator(Size("h", 0.01, 1e7))]
    reliability: Annotated[float, BeforeValidator(Plain(0.5, 1, inside=True))]
    accuracy_class: ToleranceClass


def _readings_section() -> type[Section]:
    """Each field of the readings may be overridden; what is not, follows the base."""
    hints = get_type_hints(Readings)
    keys: dict[str, Any] = {
        item.name: (Annotated[hints[item.name] | None, BeforeValidator(Choice(hints[item.name]))], None)
        for item in fields(Readings)
    }
    keys["base"] = (
        Annotated[str, BeforeValidator(Only("primary", "the only base so far; single clauses may differ"))],
        ...,
    )
    section: type[Section] = create_model("ReadingsSection", __base__=Section, **keys)
    return section


if TYPE_CHECKING:
    ReadingsSection = Section
else:
    ReadingsSection = _readings_section()


class MethodsSection(Section):
    """[methods]."""

    stress: Annotated[StressEdition, BeforeValidator(Choice(StressEdition))]
    case_depth: Annotated[DepthRule, BeforeValidator(Choice(CaseDepthRule, Criterion))]
    accuracy: Edition
    scuffing: Annotated[ScuffingMethod | None, BeforeValidator(Choice(ScuffingMethod))] = None
    contact_pressure: Annotated[ContactPressure, BeforeValidator(Choice(ContactPressure))] = (
        ContactPressure.LOAD_SHARING
    )
    readings: ReadingsSection


class OperationEntry(Section):
    """[[inspection.operation]]: an operation that is new, differs from the route, or is left out."""

    key: Key
    reason: Sentence
    leave_out: Annotated[bool, BeforeValidator(YesNo())] = False
    number: Annotated[int | None, BeforeValidator(Whole(1, 9999))] = None
    title: Title | None = None
    changes: Properties | None = None
    spoils: Properties | None = None
    caution: Sentence | None = None
    document: Title | None = None
    temperature: Annotated[float | None, BeforeValidator(Size("°C", -270, 1400))] = None
    time: Annotated[float | None, BeforeValidator(Size("h", 0.01, 1000))] = None
    of_sample: Annotated[bool | None, BeforeValidator(YesNo())] = None


class CharacteristicEntry(Section):
    """[[inspection.characteristic]]: one of the drawing, or other values than those of the rule."""

    key: Key
    reason: Sentence
    by: Title
    title: Title | None = None
    operation: Key | None = None
    needs: Annotated[tuple[str, ...] | None, BeforeValidator(Each(Words(100)))] = None
    place: Title | None = None
    unit: Name | None = None
    least: Measured | None = None
    most: Measured | None = None
    accept: Sentence | None = None
    method: Title | None = None
    sample: Title | None = None
    document: Title | None = None


class StrikeEntry(Section):
    """[[inspection.strike]]: a characteristic that is not inspected."""

    characteristic: Key
    reason: Sentence
    by: Title


class InspectionSection(Section):
    """[inspection]."""

    route: Annotated[RouteName, BeforeValidator(Choice(RouteName))]
    decision_rule: Annotated[DecisionRule, BeforeValidator(Choice(DecisionRule))]
    acceptance: Annotated[Acceptance, BeforeValidator(Choice(Acceptance))]
    operation: list[OperationEntry] = Field(default=[], max_length=100)
    characteristic: list[CharacteristicEntry] = Field(default=[], max_length=200)
    strike: list[StrikeEntry] = Field(default=[], max_length=200)


class GearFile(Section):
    """The whole file."""

    format: Annotated[int, BeforeValidator(Only(1, "this version reads format 1"))]
    part: PartSection
    gear: GearSection
    mesh: list[MeshSection] = Field(min_length=1, max_length=20)
    lubricant: LubricantSection | None = None
    required: RequiredSection | None = None
    methods: MethodsSection | None = None
    duty: DutySection | None = None
    inspection: InspectionSection | None = None
    fatigue: FatigueSection | None = None
    evidence: AllEvidence = AllEvidence()
