"""What the furnace and the grind are predicted to leave of the case of the gear under review."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from gearcheck.basics.errors import InputError
from gearcheck.basics.numbers import Array, array
from gearcheck.basics.results import Result
from gearcheck.basics.tables import table
from gearcheck.hardening.austenite import (
    ColdTreatedAustenite,
    MartensiteStart,
    RetainedAustenite,
    cold_treated_austenite,
    martensite_start,
    retained_austenite,
)
from gearcheck.hardening.carbon import CarbonProfile, carbon_profile
from gearcheck.hardening.cycle import CarbonCriterion
from gearcheck.hardening.effective import EffectiveCaseDepths, effective_case_depths
from gearcheck.hardening.grind_heat import GrindHeat
from gearcheck.hardening.grind_limit import GrindLimit
from gearcheck.hardening.grind_softening import GrindSoftening, grind_softening
from gearcheck.hardening.inputs import Furnace
from gearcheck.hardening.quench import CoreHardness, core_hardness, quench_severity
from gearcheck.hardening.quenched import (
    QuenchedCase,
    quenched_case,
)
from gearcheck.hardening.stock import ground_hardness
from gearcheck.hardening.temper_share import temper_share
from gearcheck.hardening.tempering import (
    TemperedHardness,
    TemperingParameter,
    tempered_hardness,
    tempering_parameter,
)
from gearcheck.materials.composition import steel_composition
from gearcheck.review.carburised import carbon_steel, furnace_cycle
from gearcheck.review.grinding import cut_limit, pass_heat
from gearcheck.review.inputs import NO_FURNACE, NO_GRINDING, NO_STEEL, Record
from gearcheck.review.tooth_places import place_radii
from gearcheck.review.wanted_times import WantedTimes, wanted_times

if TYPE_CHECKING:  # it holds what is predicted here
    from gearcheck.review.results import Chain

POINTS = 161
DEEPER = 2.5
"""Depths reach so many times the deepest case as treated."""
_MOST_CARBON_WT = 2.0
"""With more it is cast iron, and no hardness of martensite is known."""
FLANK = "flank"
_INSIDE = 0.999
"""A rod is looked at nearly to its middle."""
PLAIN_DEPTH_MM = 4.0
"""The same where no case is drawn."""


@dataclass(frozen=True, kw_only=True)
class Treated:
    """The prediction: hardness as treated and tempered, from the softest to the hardest; depths last."""

    carbon: CarbonProfile
    start: MartensiteStart
    austenite: RetainedAustenite | ColdTreatedAustenite
    core: CoreHardness
    quenched: QuenchedCase
    temper: TemperingParameter
    tempered: tuple[TemperedHardness, TemperedHardness]
    depths: tuple[EffectiveCaseDepths, EffectiveCaseDepths]

    @property
    def depth_mm(self) -> Array:
        """Depth below the surface as treated."""
        return array(self.carbon.depth_mm)

    @property
    def softest_HV(self) -> Array:  # noqa: N802 - carries its unit
        """Hardness at its least."""
        return array(self.tempered[0].softest_HV)

    @property
    def hardest_HV(self) -> Array:  # noqa: N802 - carries its unit
        """Hardness at its greatest."""
        return array(self.tempered[1].hardest_HV)

    @property
    def case_depths_mm(self) -> Array:
        """Depth at 550 HV of the softest and of the hardest case; NaN where it is not reached."""
        return array([array(one.case_depth_mm).flat[0] for one in self.depths])

    def results(self) -> Iterator[tuple[str, Result]]:
        """Yield every step with its title, in reading order."""
        yield "Carbon over depth", self.carbon
        yield "Start of martensite", self.start
        yield "Retained austenite", self.austenite
        yield "Core hardness", self.core
        yield "Hardness as quenched", self.quenched
        yield "Temper", self.temper
        for name, tempered, depths in zip(("softest", "hardest"), self.tempered, self.depths, strict=True):
            yield f"Hardness as tempered, {name}", tempered
            yield f"Case depth by each criterion, {name}", depths


@dataclass(frozen=True, kw_only=True)
class ToothPlace:
    """The case at one place of the tooth; its radius is above 0 where convex, infinite where flat."""

    name: str
    radius_mm: float
    treated: Treated

    def results(self) -> Iterator[tuple[str, Result]]:
        """Yield what differs from the flank, with its title."""
        yield f"Carbon over depth, {self.name}", self.treated.carbon
        for name, depths in zip(("softest", "hardest"), self.treated.depths, strict=True):
            yield f"Case depth by each criterion, {self.name}, {name}", depths


@dataclass(frozen=True, kw_only=True)
class Ground:
    """The finishing pass: its heat, what it softens of the softest case, and the cut that would not."""

    heat: GrindHeat
    softening: GrindSoftening | None
    limit: GrindLimit | None

    def results(self) -> Iterator[tuple[str, Result]]:
        """Yield every step with its title, in reading order."""
        yield "Heat of the grind", self.heat
        if self.softening is not None:
            yield "Softening by the grind", self.softening
        if self.limit is not None:
            yield "Depth of cut that does not soften", self.limit


@dataclass(frozen=True, kw_only=True)
class Predicted:
    """What is predicted of one gear; what is None says why not."""

    treated: Treated | None
    ground: Ground | None
    no_treated: str = ""
    no_ground: str = ""
    wanted: WantedTimes | None = None
    places: tuple[ToothPlace, ...] = ()


def predicted(record: Record, chain: Chain | None = None) -> Predicted:
    """Predict the case of the gear from its furnace, and what its grind leaves of it.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain, optional
        Its closed forms; without them tip and root are left out.

    Returns
    -------
    Predicted
        With the reason where a section is missing or the steel is not known well enough.
    """
    treated, why = _treated(record)
    places = () if treated is None or chain is None else tuple(_places(record, chain, treated))
    wanted = None if treated is None else wanted_times(record)
    ground = _ground(record, treated)
    return Predicted(
        treated=treated,
        ground=ground,
        no_treated=why,
        no_ground=NO_GRINDING if ground is None else "",
        wanted=wanted,
        places=places,
    )


def criteria() -> tuple[tuple[str, float], ...]:
    """The criteria that a case depth is read by, each with its hardness in HV."""
    return tuple((row["name"], float(row["HV"])) for row in table("case_criteria").rows)


def _places(record: Record, chain: Chain, flank: Treated) -> Iterator[ToothPlace]:
    yield ToothPlace(name=FLANK, radius_mm=np.inf, treated=flank)
    for name, radius in place_radii(chain).items():
        treated, _ = _treated(record, radius)
        if treated is not None:
            yield ToothPlace(name=name, radius_mm=radius, treated=treated)


def _treated(record: Record, radius_mm: float = np.inf) -> tuple[Treated | None, str]:
    furnace, gear = record.furnace, record.gear
    steel = gear.steel
    if furnace is None or steel is None:
        return None, NO_FURNACE if furnace is None else NO_STEEL
    try:
        composition = steel_composition(grade=steel.grade)
    except InputError as error:
        return None, f"no composition of {steel.grade} is known: {error.faults[0].needed}"
    middle = _INSIDE * radius_mm if radius_mm > 0 else np.inf
    carbon = carbon_profile(
        cycle=furnace_cycle(furnace),
        steel=carbon_steel(furnace, steel.grade),
        criterion=CarbonCriterion.EN_10052,
        depth_mm=np.linspace(0, min(_deepest_mm(record), middle), POINTS),
        radius_mm=radius_mm,
    )
    brought = float(np.nanmax(carbon.carbon_wt))
    if brought > _MOST_CARBON_WT:
        return None, f"the furnace would bring {brought:.2f} % of carbon, more than {_MOST_CARBON_WT:.0f} %"
    start = martensite_start(carbon_percent=carbon.carbon_wt, composition=composition)
    austenite = _austenite(furnace, start)
    low, high = quench_severity(bath=furnace.bath)
    core = core_hardness(
        band=furnace.band, section_mm=furnace.section_mm, severity_min=low, severity_max=high
    )
    quenched = quenched_case(
        depth_mm=carbon.depth_mm,
        carbon_percent=carbon.carbon_wt,
        core_carbon_percent=furnace.core_carbon_wt,
        core_least_HRC=core.least_HRC,
        core_greatest_HRC=core.greatest_HRC,
        austenite_least_percent=austenite.least_percent,
        austenite_greatest_percent=austenite.greatest_percent,
    )
    return _tempered(furnace, carbon, start, austenite, core, quenched), ""


def _deepest_mm(record: Record) -> float:
    """The deepest place that is looked at: something has to stay below what is ground off."""
    if record.gear.case is None:
        return PLAIN_DEPTH_MM
    most = float(record.gear.case.as_treated_max_mm)
    return max(DEEPER * most, most + 2 * _ground_off(record))


def _ground_off(record: Record) -> float:
    """The largest stock that comes off a flank, mm."""
    case = record.gear.case
    return 0.0 if case is None else float(case.largest_stock_mm)


def _austenite(furnace: Furnace, start: MartensiteStart) -> RetainedAustenite | ColdTreatedAustenite:
    given = {
        "start_least_C": start.least_C,
        "start_greatest_C": start.greatest_C,
        "quench_temperature_C": furnace.quench_temperature_C,
    }
    plain = retained_austenite(**given)
    measured = None
    if furnace.austenite_percent is not None:
        # measured at the surface; below it less carbon leaves less, in the measure of the formula
        fall = array(plain.greatest_percent)
        measured = np.minimum(array(furnace.austenite_percent) * fall / fall[..., :1], 100.0)
    if furnace.cold_temperature_C is None:
        return retained_austenite(**given, measured_percent=measured)
    return cold_treated_austenite(
        before_least_percent=plain.least_percent,
        before_greatest_percent=plain.greatest_percent,
        quench_temperature_C=furnace.quench_temperature_C,
        cold_temperature_C=furnace.cold_temperature_C,
        delay_h=furnace.cold_delay_h,
        tempered_before=furnace.tempered_before_cold,
        measured_percent=measured,
    )


def _tempered(
    furnace: Furnace,
    carbon: CarbonProfile,
    start: MartensiteStart,
    austenite: RetainedAustenite | ColdTreatedAustenite,
    core: CoreHardness,
    quenched: QuenchedCase,
) -> Treated:
    temper = tempering_parameter(temperature_C=furnace.temper_temperature_C, time_h=furnace.temper_time_h)
    share = temper_share(carbon_percent=carbon.carbon_wt, core_carbon_percent=furnace.core_carbon_wt)
    soft, hard = (
        tempered_hardness(
            hardness_HV=hardness, parameter=temper.parameter, before_parameter=0.0, carbon_share=share
        )
        for hardness in (quenched.softest_HV, quenched.hardest_HV)
    )
    limits = [limit for _, limit in criteria()]
    depths = tuple(
        effective_case_depths(depth_mm=carbon.depth_mm, hardness_HV=hardness, criteria_HV=limits)
        for hardness in (soft.softest_HV, hard.hardest_HV)
    )
    return Treated(
        carbon=carbon,
        start=start,
        austenite=austenite,
        core=core,
        quenched=quenched,
        temper=temper,
        tempered=(soft, hard),
        depths=(depths[0], depths[1]),
    )


def _ground(record: Record, treated: Treated | None) -> Ground | None:
    heat, limit, furnace = pass_heat(record), cut_limit(record), record.furnace
    if heat is None:
        return None
    if treated is None or furnace is None:
        return Ground(heat=heat, softening=None, limit=limit)
    off = _ground_off(record)
    depth = treated.depth_mm[treated.depth_mm <= treated.depth_mm[-1] - off]
    left = ground_hardness(depth_mm=treated.depth_mm, hardness_HV=treated.softest_HV, removed_mm=off)
    softening = grind_softening(
        heat=heat,
        depth_mm=depth,
        hardness_HV=array(left)[: depth.size],
        austenitising_temperature_C=table("grind_heat").value("start of austenite"),
        temper_temperature_C=furnace.temper_temperature_C,
        temper_time_h=furnace.temper_time_h,
    )
    return Ground(heat=heat, softening=softening, limit=limit)
