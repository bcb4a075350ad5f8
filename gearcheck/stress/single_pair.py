"""Z_B and Z_D: the stress at the inner points of single contact against the pitch point, ISO 6336-2."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.basics.tables import table
from gearcheck.gear.involute import root
from gearcheck.gear.pair import PairGeometry
from gearcheck.stress.inputs import Readings, ReliefFactor, StressEdition
from gearcheck.stress.numbers import by_range


def single_pair_factors(
    pair: PairGeometry, relief: Array, readings: Readings, edition: StressEdition
) -> dict[str, Array]:
    """Return Z_B and Z_D with their steps.

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    relief : ndarray of float
        Tip relief, smaller of both gears, in µm.
    readings : Readings
        How the tip relief factor enters.
    edition : StressEdition
        2006 has no tip relief factor.

    Returns
    -------
    dict
        By the names of the fields of the contact stress.
    """
    overlap = array(pair.overlap_ratio)
    tangent = np.tan(np.radians(array(pair.working_pressure_angle_deg)))
    pinion, wheel = _point_ratios(pair, tangent, array(pair.transverse_contact_ratio))
    factor = _relief_factor(relief, array(pair.helix_angle_deg))
    if edition is StressEdition.ISO_6336_2006:
        factor = np.ones_like(factor)
    whole = _at_whole_overlap(factor, readings.relief_factor)
    return {
        "pinion_point_ratio": pinion,
        "wheel_point_ratio": wheel,
        "relief_factor": factor,
        "whole_overlap_factor": whole,
        "pinion_contact_factor": _contact_factor(pinion, overlap, whole),
        "wheel_contact_factor": _contact_factor(wheel, overlap, whole),
    }


def _relief_factor(relief: Array, helix: Array) -> Array:
    value = table("iso6336_2_limits").value
    helical = by_range(relief, (0.0,), (value("f_ZCa, without tip relief"), value("f_ZCa, with tip relief")))
    return by_range(helix, (0.0,), (1.0, helical))


def _at_whole_overlap(factor: Array, reading: ReliefFactor) -> Array:
    if reading is ReliefFactor.NONE:
        return np.ones_like(factor)
    return np.sqrt(factor) if reading is ReliefFactor.SQUARE_ROOT else factor


def _point_ratios(pair: PairGeometry, tangent: Array, ratio: Array) -> tuple[Array, Array]:
    """M_1 and M_2: roll angles at the inner points of single contact against the pitch point."""
    ends, pitches = [], []
    for gear, side in ((pair.pinion, 1.0), (pair.wheel, pair.side)):
        ends.append(root((array(gear.tip_diameter_mm) / array(gear.base_diameter_mm)) ** 2 - 1))
        pitches.append(2 * np.pi / (side * array(gear.teeth)))
    pinion = (ends[0] - pitches[0]) * (ends[1] - (ratio - 1) * pitches[1])
    wheel = (ends[1] - pitches[1]) * (ends[0] - (ratio - 1) * pitches[0])
    positive = np.where(pinion > 0, pinion, np.nan), np.where(wheel > 0, wheel, np.nan)
    return tangent / np.sqrt(positive[0]), tangent / np.sqrt(positive[1])


def _contact_factor(point_ratio: Array, overlap: Array, whole: Array) -> Array:
    """From the inner point of a spur gear to the factor at an overlap of a whole pitch, never below 1."""
    spur_share = 1 - np.minimum(overlap, 1.0)
    raised = np.maximum(whole + spur_share * (point_ratio - whole), 1.0)
    return np.where(overlap >= 1, whole, raised)
