"""What a record holds of fatigue tests: specimens, how they were tested, what leads from them to a part."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.methods import Status
from gearcheck.basics.numbers import Array, Number
from gearcheck.fatigue.inputs import Curve, Difference, Distribution, Place, Transfer
from gearcheck.gear.inputs import Tooth


class Rig(StrEnum):
    """What loads the teeth of a specimen."""

    PULSATOR = "pulsator"
    RUNNING = "running gears"


class LoadKind(StrEnum):
    """What the file of the tests gives of each load."""

    STRESS = "stress"
    TORQUE = "torque"
    FORCE = "force"


@dataclass(frozen=True, kw_only=True)
class SpecimenTable:
    """The tests as they stand in their file, one entry a test, in its order.

    Parameters
    ----------
    specimen, gear, tooth, batch : tuple of str
        Names; empty texts where the file does not say.
    load_kind : LoadKind
        Which one of the three the file gives.
    load : ndarray
        Stress in MPa, torque of the specimen gear in N·m, or largest force of the pulsator in N.
    stress_ratio : ndarray
        Least over largest load R; NaN where the file does not say.
    cycles, failed : ndarray
        Life, or the cycles after which it was taken out.
    sound_cycles : ndarray or None
        As in FatigueData; None where no life is known between two inspections only.
    mode, reason, retest_of : tuple of str
        How it failed; why it was taken out; which specimen, a run-out, was tested again.
    source, sha256, source_text : str
        The file, its hash and its text.
    """

    specimen: tuple[str, ...]
    gear: tuple[str, ...]
    tooth: tuple[str, ...]
    batch: tuple[str, ...]
    load_kind: LoadKind
    load: Array
    stress_ratio: Array
    cycles: Array
    failed: NDArray[np.bool_]
    sound_cycles: Array | None
    mode: tuple[str, ...]
    reason: tuple[str, ...]
    retest_of: tuple[str, ...]
    source: str
    sha256: str
    source_text: str = ""


@dataclass(frozen=True, kw_only=True)
class GivenFactors:
    """The load factors of running specimen gears, as somebody gives them for the rig, and where from.

    K_A, K_V, and K_Hβ with K_Hα or K_Fβ with K_Fα, whichever belongs to the place that is tested.
    """

    application: float
    dynamic: float
    face: float
    transverse: float
    source: str
    status: Status


@dataclass(frozen=True, kw_only=True)
class SpecimenGear:
    """The gear that was tested, and how it is loaded.

    Parameters
    ----------
    normal_module_mm, pressure_angle_deg, helix_angle_deg : float
        Its rack.
    tooth : Tooth
        Its teeth.
    load_diameter_mm, span_teeth : float and int, or None
        In a pulsator: where the force acts, as a diameter or by the teeth that the jaws span; one of them.
    mate, centre_distance_mm, factors : Tooth, float and GivenFactors, or None
        Of running gears.
    tip_relief_um : float
        Of both gears, the smaller; it counts for the flanks of helical gears.
    """

    normal_module_mm: float
    pressure_angle_deg: float
    helix_angle_deg: float
    tooth: Tooth
    load_diameter_mm: float | None = None
    span_teeth: int | None = None
    mate: Tooth | None = None
    centre_distance_mm: float | None = None
    factors: GivenFactors | None = None
    tip_relief_um: float = 0.0


@dataclass(frozen=True, kw_only=True)
class ExcludedSpecimen:
    """A specimen that does not count, and why."""

    specimen: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class FatigueTests:
    """The tests of one place, root or flank, with what is made of them.

    Parameters
    ----------
    place : Place
        Root and flank are never mixed.
    rig : Rig
        What loaded the teeth.
    by, date : str
        Who tested, and when.
    table : SpecimenTable
        The specimens.
    run_out_cycles : float
        Cycles after which a sound specimen was to be taken out.
    curve, distribution, because : Curve, Distribution and str
        The model that governs, and why.
    confidence : float
        Of the lower bound of the life.
    within_gear_share : float or None
        Share of the variance of the logarithm of the strength that lies between teeth of one gear.
    teeth_loaded : int
        How many teeth a test of a pulsator loads alike: it ends with the weaker of both where the jaws span
        some, and 1 where one tooth is spared. Of running gears whose file gives stresses, all their teeth.
    mode : str
        The mode that counts, where there are several; a failure by another one counts as sound until then.
    gear : SpecimenGear or None
        What was tested; None where the file gives stresses.
    excluded : tuple of ExcludedSpecimen
        What does not count.
    transfers : tuple of Transfer
        What leads from specimen to part.
    differences : tuple of Difference
        The pedigree.
    """

    place: Place
    rig: Rig
    by: str
    date: str
    table: SpecimenTable
    run_out_cycles: float
    curve: Curve
    distribution: Distribution
    because: str
    confidence: float
    within_gear_share: Number = None
    teeth_loaded: int = 1
    mode: str = ""
    gear: SpecimenGear | None = None
    excluded: tuple[ExcludedSpecimen, ...] = ()
    transfers: tuple[Transfer, ...] = ()
    differences: tuple[Difference, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PlannedTest:
    """A long test of whole gears that is planned: at one torque and speed, for a time, all have to survive.

    `torque_Nm` is that of the gear under review in its first mesh, load factors of the rating on top but for
    K_A, which is 1; `speed_rpm` is None at the speed of that mesh.
    """

    torque_Nm: Number
    hours: Number
    gears: int
    speed_rpm: Number = None


@dataclass(frozen=True, kw_only=True)
class FatigueEvidence:
    """[fatigue]: the tests of root and flank, the test that is planned, how many equal gears share a life."""

    tests: tuple[FatigueTests, ...]
    endurance: PlannedTest | None = None
    gears_in_set: int = 1
