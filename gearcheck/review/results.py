"""What a review holds: the chain of results for each mesh, the lines that are judged, and the whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.grade import AccuracyClass
from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.methods import Method, Notice
from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result
from gearcheck.duty.cycles import LoadCycles
from gearcheck.duty.damage import DamageSum
from gearcheck.gear.form import RootFormClearance
from gearcheck.gear.pair import GearGeometry, PairGeometry
from gearcheck.hardening.case_depths import CaseDepths
from gearcheck.hardening.figures import CaseDepthFigures, CaseDepthLimits
from gearcheck.hardening.finished import FinishedCase
from gearcheck.hardening.required import RequiredCaseDepth
from gearcheck.inspection.coverage import Gap
from gearcheck.inspection.plan import InspectionPlan
from gearcheck.materials.strength import StrengthLimits
from gearcheck.requirements.types import Evidence, Finding, Requirement, Reserve, Scale
from gearcheck.review.exposed import Exposed
from gearcheck.review.inputs import GearData, Record
from gearcheck.review.size import MeshBacklash, ToothSize
from gearcheck.review.treated import Predicted
from gearcheck.stress.factors import LoadFactors
from gearcheck.stress.flank import FlankStress
from gearcheck.stress.flank_limit import FlankSafety
from gearcheck.stress.flank_static import FlankStaticSafety
from gearcheck.stress.inputs import Bending, Member
from gearcheck.stress.micropitting import Micropitting
from gearcheck.stress.planets import PlanetLoadFactor
from gearcheck.stress.root import RootStress
from gearcheck.stress.root_limit import RootSafety
from gearcheck.stress.root_static import RootStaticSafety
from gearcheck.stress.scuffing_flash import FlashTemperature
from gearcheck.stress.scuffing_integral import IntegralTemperature

if TYPE_CHECKING:  # it is made of a chain
    from gearcheck.review.balance import Balance
    from gearcheck.review.contact import MeshContact
    from gearcheck.review.contact_table import PressedBy
    from gearcheck.review.fatigue import FatigueLife
    from gearcheck.review.reached import ReachedClass
    from gearcheck.review.traced import ReadTraces
    from gearcheck.review.turned import TurnedPitch


@dataclass(frozen=True, kw_only=True)
class MemberChain:
    """One gear in one mesh; what its data do not reach is None, and the reason names the section it wants.

    Under a duty the damage sums are one for each loaded direction, forward first.
    """

    data: GearData
    member: Member
    geometry: GearGeometry
    clearance: RootFormClearance
    tolerances: Tolerances | None = None
    limits: StrengthLimits | None = None
    cycles: LoadCycles | None = None
    bending: Bending = Bending.ONE_WAY
    flank_damage: tuple[DamageSum, ...] = ()
    root_damage: tuple[DamageSum, ...] = ()
    flank_static: FlankStaticSafety | None = None
    root_static: RootStaticSafety | None = None
    flank: FlankSafety | None = None
    root: RootStress | None = None
    root_safety: RootSafety | None = None
    missing_flank: str = ""
    missing_root: str = ""
    size: ToothSize | None = None


@dataclass(frozen=True, kw_only=True)
class MeshChain:
    """One mesh: geometry, load factors, contact stress, and its two gears.

    Under a duty scuffing, micropitting and case depth are those of its worst step; the place of a step is
    that among the loaded ones in the order of the duty, the highest torque last. `exposed` is there where a
    criterion governs the case depth, `pressed` where the loaded contact governs the pressure along the path.
    """

    name: str
    pair: PairGeometry
    gear: MemberChain
    mate: MemberChain
    factors: LoadFactors | None = None
    duty_factors: LoadFactors | None = None
    sharing: PlanetLoadFactor | None = None
    flash: FlashTemperature | None = None
    integral: IntegralTemperature | None = None
    micropitting: Micropitting | None = None
    hottest_step: NDArray[np.intp] | None = None
    thinnest_step: NDArray[np.intp] | None = None
    heaviest_step: NDArray[np.intp] | None = None
    flank: FlankStress | None = None
    figures: CaseDepthFigures | None = None
    exposed: Exposed | None = None
    missing: str = ""
    pressed: PressedBy | None = None
    backlash: MeshBacklash | None = None
    missing_backlash: str = ""


@dataclass(frozen=True, kw_only=True)
class Chain:
    """All closed forms of one record; loaded contact and fatigue tests where the slower work has them."""

    meshes: tuple[MeshChain, ...]
    limits: StrengthLimits | None
    case_limits: CaseDepthLimits
    left: FinishedCase | None
    right: FinishedCase | None
    drawn: Tolerances | None
    agreed: Tolerances | None
    contact: tuple[MeshContact, ...] = ()
    fatigue: tuple[FatigueLife, ...] = ()


def stop_words(*steps: Result | None) -> str:
    """Join what stops these results, each sentence once; empty where nothing does."""
    stops = (notice.text for step in steps if step is not None for notice in step.stops)
    return "; ".join(dict.fromkeys(stops))


@dataclass(frozen=True, kw_only=True)
class Line:
    """A requirement before it is judged: demand and capacity may be arrays.

    Parameters
    ----------
    key, station, title, sentence, demand_words, capacity_words, unit : str
        As in Requirement.
    demand, capacity : float, array or None
        The requirement is met where the capacity is not less than the demand.
    method : Method
        The governing method.
    scale : Scale
        How it is compared with others.
    native : tuple of str, Number and Number, or None
        Symbol, value and minimum of the trade's own measure, where it is not demand and capacity.
    classes : tuple of Number and Number, or None
        The tolerance classes that demand and capacity stand for: drawn and agreed.
    reason : str
        Why it is not assessed: what stops it, or "[section] missing"; empty otherwise.
    brief : tuple of str and str
        What demand and capacity are, in a word or two, as the margin says them: needed, drawn.
    evidence : str
        The kind of evidence that shows it; empty where it is carried by other requirements.
    said : str
        The margin in words, where no two numbers say it.
    beside : str
        What has to be read with the margin, in a few words; empty mostly.
    reserve : Reserve or None
        Its torque reserve, where slower work found it.
    """

    key: str
    station: str
    title: str
    sentence: str
    demand: Number
    capacity: Number
    demand_words: str
    capacity_words: str
    unit: str
    method: Method
    scale: Scale
    native: tuple[str, Number, Number] | None = None
    classes: tuple[Number, Number] | None = None
    brief: tuple[str, str] = ("", "")
    reason: str = ""
    evidence: str = ""
    said: str = ""
    beside: str = ""
    reserve: Reserve | None = None


@dataclass(frozen=True)
class Held:
    """A finding with the key of its characteristic; `about` names the one requirement that it speaks of."""

    characteristic: str
    finding: Finding
    about: str = ""

    def speaks_of(self, requirement: str) -> bool:
        """Whether it counts for a requirement that its characteristic serves."""
        return self.about in ("", requirement)


_WORST_FIRST = (
    Evidence.CONTRADICTED,
    Evidence.STALE,
    Evidence.OPEN,
    Evidence.SHOWN,
    Evidence.NOT_NEEDED_YET,
)


@dataclass(frozen=True, kw_only=True)
class Inspected:
    """The inspection plan with what the evidence says of it.

    Parameters
    ----------
    plan : InspectionPlan
        What is inspected where.
    findings : mapping of str to tuple of Finding
        By the key of the characteristic; against its own limit.
    answers : mapping of str to Evidence
        What the evidence says of each characteristic.
    gaps : tuple of Gap
        What is not covered, not in time, or in the wrong order.
    loose : tuple of str
        Evidence that no characteristic of the plan takes, in words.
    """

    plan: InspectionPlan
    findings: Mapping[str, tuple[Finding, ...]]
    answers: Mapping[str, Evidence]
    gaps: tuple[Gap, ...]
    loose: tuple[str, ...]

    @property
    def counts(self) -> str:
        """How many characteristics have which answer, in words, what is in trouble first."""
        answers = list(self.answers.values())
        return ", ".join(f"{answers.count(word)} {word}" for word in _WORST_FIRST if word in answers)


@dataclass(frozen=True, kw_only=True)
class Settled:
    """The slower work of one mesh: the solved case depth with its own torque reserve.

    `single_contact` is solved from single contact alone, where a tip relief unloads the point that governs;
    `side_by_side` is by every criterion, where the record has what fatigue below the surface asks for.
    """

    mesh: str
    required: RequiredCaseDepth | None
    reserve: Reserve | None
    reason: str = ""
    single_contact: RequiredCaseDepth | None = None
    side_by_side: CaseDepths | None = None


@dataclass(frozen=True, kw_only=True)
class Working:
    """One result with the station and the place where it is read."""

    station: str
    title: str
    result: Result


@dataclass(frozen=True, kw_only=True)
class Review:
    """One gear reviewed: the inputs, the results, the requirements with both answers, and the outcome.

    Parameters
    ----------
    record : Record
        The exact inputs.
    chain : Chain
        All closed forms.
    requirements : tuple of Requirement
        In the order of the stations.
    workings : tuple of Working
        Every result of the chain in reading order.
    notices : tuple of Notice
        All notes, cautions and stops, each once.
    pitch : tuple of PitchDeviations
        Evaluated pitch evidence, in the order of the record.
    classes : tuple of AccuracyClass
        The class that each of them reaches, in the same order.
    settled : tuple of Settled
        The solved case depth by mesh; empty until the slower work has run.
    versions : mapping of str to str
        The program and the libraries that the numbers rest on.
    inspected : Inspected or None
        The inspection plan and its evidence; None where the gear file has no section [inspection].
    predicted : Predicted or None
        What furnace and grind are predicted to leave; None until the slower work has run, and where the gear
        file has neither [gear.furnace] nor [gear.grinding].
    balance : Balance or None
        What is left for the tooth: window, case left, exposures; None until the slower work has run.
    traces : tuple of ReadTraces
        Evaluated traces of profile and helix, profile first, in the order of the record.
    reached : tuple of ReachedClass
        The class of each part measured, by pitch and traces together.
    turned : tuple of TurnedPitch
        What the measured pitch holds once and twice a turn, in the order of the pitch.
    contact : tuple of MeshContact
        The loaded contact by mesh; empty until the slower work has run, and where nothing asks for it.
    fatigue : tuple of FatigueLife
        What the tests of specimens say, by entry; empty until the slower work has run, and without tests.
    """

    record: Record
    chain: Chain
    requirements: tuple[Requirement, ...]
    workings: tuple[Working, ...]
    notices: tuple[Notice, ...]
    pitch: tuple[PitchDeviations, ...]
    classes: tuple[AccuracyClass, ...]
    settled: tuple[Settled, ...]
    versions: Mapping[str, str]
    inspected: Inspected | None = None
    predicted: Predicted | None = None
    balance: Balance | None = None
    traces: tuple[ReadTraces, ...] = ()
    reached: tuple[ReachedClass, ...] = ()
    turned: tuple[TurnedPitch, ...] = ()
    contact: tuple[MeshContact, ...] = ()
    fatigue: tuple[FatigueLife, ...] = ()
