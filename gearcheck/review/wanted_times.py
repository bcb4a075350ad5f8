"""The boost and diffuse times that would bring the case drawn, with the surface carbon wanted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Number, array
from gearcheck.hardening.cycle import CarbonCriterion, CarbonSteel
from gearcheck.hardening.times import CarburisingTimes, carburising_times
from gearcheck.review.carburised import Cycle, boost_place, carbon_steel, furnace_cycle
from gearcheck.review.inputs import Record
from gearcheck.review.remembered import remembered

LONGEST_H = 200.0
"""Boost and diffuse together are looked for up to so long."""
ONE_STEP = "a step that hands carbon over, and one after it, are needed"


@dataclass(frozen=True, kw_only=True)
class WantedTimes:
    """The two times; what is None says why not.

    Parameters
    ----------
    times : CarburisingTimes or None
        By carbon, for the middle of the window drawn as treated.
    reason : str
        Why there is none; empty otherwise.
    boost_h, diffuse_h : float
        What the furnace runs.
    """

    times: CarburisingTimes | None
    reason: str = ""
    boost_h: float = np.nan
    diffuse_h: float = np.nan


def wanted_times(record: Record) -> WantedTimes | None:
    """Solve for boost and diffuse; None where the gear file names no surface carbon, or no case.

    Parameters
    ----------
    record : Record
        Without arrays.

    Returns
    -------
    WantedTimes or None
        With the reason where the cycle has no two such steps.
    """
    furnace, case, steel = record.furnace, record.gear.case, record.gear.steel
    if furnace is None or case is None or steel is None or furnace.surface_carbon_wt is None:
        return None
    place = boost_place(furnace)
    if place is None:
        return WantedTimes(times=None, reason=ONE_STEP)
    middle = (array(case.as_treated_min_mm) + array(case.as_treated_max_mm)) / 2
    # what comes before the first carbon moves none
    cycle = furnace_cycle(furnace)[place:]
    found = _solved(cycle, carbon_steel(furnace, steel.grade), middle, array(furnace.surface_carbon_wt))
    boost, diffuse = (float(array(step.hours)) for step in cycle[:2])
    return WantedTimes(times=found, boost_h=boost, diffuse_h=diffuse)


@remembered
def _solved(
    cycle: Cycle, steel: CarbonSteel, depth_mm: Number, surface_carbon_wt: Number
) -> CarburisingTimes:
    """About 0.6 s."""
    boost, diffuse, *after = cycle
    return carburising_times(
        boost=boost,
        diffuse=diffuse,
        after=after,
        steel=steel,
        criterion=CarbonCriterion.EN_10052,
        depth_mm=depth_mm,
        surface_carbon_wt=surface_carbon_wt,
        longest_h=LONGEST_H,
    )
