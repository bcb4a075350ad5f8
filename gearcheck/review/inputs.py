"""One record: the exact inputs of one part number at one drawing revision."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.accuracy.inputs import (
    AccuracyEdition,
    AccuracySpecification,
    Flank,
    FlankModification,
    Group,
)
from gearcheck.basics.numbers import Array, Number
from gearcheck.duty.inputs import Duty
from gearcheck.gear.inputs import BacklashConditions, Hand, PinionCutter, SizeSpecification, Tooth
from gearcheck.hardening.inputs import (
    CaseSpecification,
    DepthRule,
    Furnace,
    Grinding,
    Mask,
    Subsurface,
)
from gearcheck.inspection.acceptance import Acceptance
from gearcheck.inspection.decide import DecisionRule
from gearcheck.inspection.plan import CharacteristicEdit, Strike
from gearcheck.inspection.route import OperationEdit, RouteName
from gearcheck.materials.inputs import Lubricant, Steel
from gearcheck.requirements.types import Stage
from gearcheck.review.evidence_inputs import EvidenceHead, TraceEvidence
from gearcheck.review.fatigue_inputs import FatigueEvidence
from gearcheck.stress.inputs import (
    Blank,
    Finish,
    GrindingNotch,
    Readings,
    ScuffingMethod,
    Shaft,
    StressEdition,
)


@dataclass(frozen=True, kw_only=True)
class Part:
    """The part under review: number, drawing revision, title, stage of the review, a note to the reader."""

    number: str
    revision: str
    title: str
    stage: Stage
    note: str = ""


NO_CASE = "[gear.case] missing"
NO_FURNACE = "[gear.furnace] missing"
NO_GRINDING = "[gear.grinding] missing"
NO_STEEL = "[gear.steel] missing"
NO_SUBSURFACE = "[gear.subsurface] missing"
"""Why something is not worked out: the section that is missing."""


@dataclass(frozen=True, kw_only=True)
class GearData:
    """One gear, as far as its data go; what is None leaves its requirements not assessed."""

    tooth: Tooth
    finish: Finish | None = None
    steel: Steel | None = None
    case: CaseSpecification | None = None
    accuracy: AccuracySpecification | None = None
    tip_relief_um: Number = 0.0
    blank: Blank | None = None
    notch: GrindingNotch | None = None
    cutter: PinionCutter | None = None
    size: SizeSpecification | None = None
    modification: FlankModification | None = None


@dataclass(frozen=True, kw_only=True)
class AxisDeviations:
    """How the axes of a mesh deviate from parallel, under load, over the common face width.

    Both are signed: positive opens the flanks at the face away from the reference face.

    Parameters
    ----------
    in_plane_um, out_of_plane_um : float or array
        In the plane of the axes, and across it.
    """

    in_plane_um: Number = 0.0
    out_of_plane_um: Number = 0.0


@dataclass(frozen=True, kw_only=True)
class Mesh:
    """One mesh of the gear under review with one mate.

    Parameters
    ----------
    name : str
        The user's name for the mate: ``wheel``, ``planet``.
    centre_distance_mm : float or array
        Centre distance a.
    torque_Nm, speed_rpm : float or array
        Nominal torque of the gear under review in this mesh, of all mates together where there are several,
        and its speed; against the carrier in a planetary gear.
    application_factor, mesh_load_factor : float or array
        K_A and K_γ; without K_γ the number of mates gives it.
    face_load_factor : float, array or None
        K_Hβ as given; None where it follows from the shaft.
    loaded_flank : Flank
        The flank of the gear under review that carries the load.
    mate : GearData
        The mate.
    shaft : Shaft or None
        The shaft of the pinion, where the face load factor follows from it.
    mates : int
        How many equal mates share the torque, such as planets around a sun.
    mate_contacts : int
        How often one flank of a tooth of the mate is loaded in a revolution of the mate.
    mate_idler : bool
        Whether the mate meets another gear on its other flanks, as a planet does.
    backlash : BacklashConditions or None
        What its backlash rests on besides the tooth thicknesses.
    contact : AxisDeviations or None
        How its axes deviate under load; None where they lie as drawn.
    """

    name: str
    centre_distance_mm: Number
    torque_Nm: Number
    speed_rpm: Number
    application_factor: Number
    mesh_load_factor: Number
    face_load_factor: Number
    loaded_flank: Flank
    mate: GearData
    shaft: Shaft | None = None
    mates: int = 1
    mate_contacts: int = 1
    mate_idler: bool = False
    backlash: BacklashConditions | None = None
    contact: AxisDeviations | None = None


@dataclass(frozen=True, kw_only=True)
class Required:
    """What was agreed for this contract, and by whom; what is None was not agreed, and is not assessed.

    `pitch_class` and its like hold for a group of parameters, where it was agreed a class of its own;
    `static_flank_safety` and `static_root_safety` hold at the highest torque, `damage_sum` is the largest
    allowed under the duty, the variations are those of the strength (lognormal) for a reliability above 99 %,
    `permissible_film` is the specific film of a reference test of the lubricant, `transmission_error_um` the
    largest peak to peak on the line of action and `pattern_margin_mm` the least distance of the contact
    pattern from the ends of the face, both at the nominal torque of each mesh.
    """

    set_by: str
    flank_safety: float
    root_safety: float
    subsurface_safety: float
    life_h: Number
    reliability: float
    accuracy_class: int
    pitch_class: int | None = None
    profile_class: int | None = None
    helix_class: int | None = None
    runout_class: int | None = None
    static_flank_safety: float | None = None
    static_root_safety: float | None = None
    damage_sum: float | None = None
    flank_strength_variation: float | None = None
    root_strength_variation: float | None = None
    scuffing_safety: float | None = None
    micropitting_safety: float | None = None
    permissible_film: float | None = None
    least_backlash_mm: float | None = None
    greatest_backlash_mm: float | None = None
    transmission_error_um: float | None = None
    pattern_margin_mm: float | None = None

    @property
    def classes(self) -> dict[str, int | None]:
        """The accuracy classes agreed for a group of parameters, by the names of their arguments."""
        return {f"{group}_class": getattr(self, f"{group}_class") for group in Group}


class ContactPressure(StrEnum):
    """Which pressure along the path of contact the case depth rests on."""

    LOAD_SHARING = "load sharing"
    LOADED_CONTACT = "loaded contact"


@dataclass(frozen=True, kw_only=True)
class Methods:
    """The one governing method, edition and reading at each station; of scuffing where it is agreed."""

    stress: StressEdition
    case_depth: DepthRule
    accuracy: AccuracyEdition
    readings: Readings
    scuffing: ScuffingMethod | None = None
    contact_pressure: ContactPressure = ContactPressure.LOAD_SHARING


@dataclass(frozen=True, kw_only=True)
class Inspection:
    """How the gear is inspected: the route, what it is accepted by, and what differs from the rules."""

    route: RouteName
    decision_rule: DecisionRule
    acceptance: Acceptance
    operations: tuple[OperationEdit, ...] = ()
    characteristics: tuple[CharacteristicEdit, ...] = ()
    strikes: tuple[Strike, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PitchEvidence:
    """Measured single pitch deviations in µm of both flanks, shape (teeth,) each, and their file as text."""

    head: EvidenceHead
    left_um: Array
    right_um: Array
    source_text: str = ""


@dataclass(frozen=True, kw_only=True)
class CaseDepthEvidence:
    """Measured case depth at 550 HV on one flank at the pitch line, as treated, and the stock ground off."""

    head: EvidenceHead
    flank: Flank
    as_treated_mm: float
    stock_removed_mm: float


class HardnessPlace(StrEnum):
    """Where a hardness was measured."""

    SURFACE = "surface"
    CORE = "core"


@dataclass(frozen=True, kw_only=True)
class HardnessEvidence:
    """Measured hardness of the finished flank surface, or of the core at the tooth root."""

    head: EvidenceHead
    place: HardnessPlace
    hardness_HV: float


class TraversePlace(StrEnum):
    """Where on the tooth a traverse runs inwards."""

    PITCH_LINE = "pitch line"
    ROOT = "root"
    TIP = "tip"


class State(StrEnum):
    """The state of the tooth that was cut."""

    AS_TREATED = "as treated"
    FINISHED = "finished"


@dataclass(frozen=True, kw_only=True)
class TraverseEvidence:
    """A measured hardness traverse: depths in mm, hardnesses in HV, shape (indents,), and their file as text.

    `flank` is None at root and tip; `stock_removed_mm` is what was ground off after a traverse as treated.
    `scale` is that of the file, ``HV`` or ``HRC``; `sideways_offset_mm` that of neighbours in a zigzag.
    """

    head: EvidenceHead
    place: TraversePlace
    state: State
    depth_mm: Array
    hardness_HV: Array
    flank: Flank | None = None
    stock_removed_mm: float | None = None
    scale: str = "HV"
    test_force_kgf: float | None = None
    sideways_offset_mm: float | None = None
    source_text: str = ""


class StressPlace(StrEnum):
    """Where on the tooth a residual stress was measured."""

    PITCH_LINE = "pitch line"
    ROOT = "root"


class StressState(StrEnum):
    """The state of the surface below which a residual stress was measured; finished: ground, not peened."""

    AS_TREATED = "as treated"
    FINISHED = "finished"
    PEENED = "peened"


@dataclass(frozen=True, kw_only=True)
class ResidualStressEvidence:
    """A measured residual stress in MPa, compression negative, over depth in mm, shape (points,).

    `flank` is None at the root. `technique` is how it was measured, such as X-ray diffraction;
    `is_corrected` whether it is corrected for the stress that taking layers off relieves, None where that is
    not said.
    """

    head: EvidenceHead
    place: StressPlace
    state: StressState
    technique: str
    depth_mm: Array
    stress_MPa: Array
    flank: Flank | None = None
    is_corrected: bool | None = None
    source_text: str = ""


@dataclass(frozen=True, kw_only=True)
class ResultEvidence:
    """A result of a characteristic: a number in its unit, or what was found in words and whether it conforms.

    `source_text` is the file that it comes from; empty where it stands in the gear file.
    """

    head: EvidenceHead
    characteristic: str
    value: float | None = None
    found: str = ""
    conforms: bool | None = None
    source_text: str = ""


KINDS = ("pitch", "case_depth", "hardness", "traverse", "residual_stress", "result", "profile", "helix")
"""The fields of a record that hold evidence."""


@dataclass(frozen=True, kw_only=True)
class Record:
    """All that one review rests on; its digest names it."""

    part: Part
    normal_module_mm: Number
    pressure_angle_deg: Number
    helix_angle_deg: Number
    gear: GearData
    meshes: tuple[Mesh, ...]
    lubricant: Lubricant | None
    required: Required | None
    methods: Methods | None
    pitch: tuple[PitchEvidence, ...] = ()
    case_depth: tuple[CaseDepthEvidence, ...] = ()
    hardness: tuple[HardnessEvidence, ...] = ()
    inspection: Inspection | None = None
    duty: Duty | None = None
    traverse: tuple[TraverseEvidence, ...] = ()
    result: tuple[ResultEvidence, ...] = ()
    furnace: Furnace | None = None
    grinding: Grinding | None = None
    subsurface: Subsurface | None = None
    mask: Mask | None = None
    residual_stress: tuple[ResidualStressEvidence, ...] = ()
    profile: tuple[TraceEvidence, ...] = ()
    helix: tuple[TraceEvidence, ...] = ()
    hand: Hand | None = None
    fatigue: FatigueEvidence | None = None
    digest: str = ""
    source_text: str = ""
