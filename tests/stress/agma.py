"""A pair rated by ANSI/AGMA 2101 as the tests want it."""

import numpy as np

from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from gearcheck.stress.agma_inputs import AgmaGrade, AgmaHardening, AgmaMember, AgmaService, ReliabilityFit
from gearcheck.stress.agma_rating import agma_rating

INCH, POUND, PSI = 25.4, 4.4482216152605, 0.006894757293168
FT_MIN = 0.3048 / 60


def steel(**changed):
    """A carburised gear of grade 2."""
    given = {
        "hardening": AgmaHardening.CARBURISED,
        "grade": AgmaGrade.GRADE_2,
        "load_cycles": 1e8,
        "tooth_thinning": 0.024,
        "surface_hardness_HRC": 60.0,
    }
    return AgmaMember(**{**given, **changed})


def soft(hardness_HB, **changed):
    """A through-hardened gear of grade 1."""
    given = {
        "hardening": AgmaHardening.THROUGH_HARDENED,
        "grade": AgmaGrade.GRADE_1,
        "hardness_HB": hardness_HB,
    }
    return steel(**{**given, "surface_hardness_HRC": None, **changed})


def rated(pair, **changed):
    """The rating of a pair of two such gears."""
    given = {
        "torque_Nm": 400.0,
        "speed_rpm": 1480.0,
        "overload_factor": 1.25,
        "accuracy_number": 7.0,
        "load_distribution_factor": 1.2,
        "pinion": steel(),
        "wheel": steel(load_cycles=5e7),
        "reliability": 0.99,
        "reliability_fit": ReliabilityFit.TABLE,
        "service": AgmaService.GENERAL,
    }
    return agma_rating(pair=pair, **{**given, **changed})


def standard_pair(teeth, *, helix_angle_deg=0.0, normal_module_mm=1.0, face_width_mm=10.0, **rack):
    """Equal addenda of 1, without shift."""
    m_n, slant = normal_module_mm, np.cos(np.radians(helix_angle_deg))
    cut = {"rack_dedendum": 1.25, "rack_root_radius": 0.25, "protuberance_mm": 0.0, "stock_min_mm": 0.0}
    pinion, wheel = (
        Tooth(
            teeth=np.array(z),
            tip_diameter_mm=(np.array(z) / slant + 2) * m_n,
            face_width_mm=face_width_mm,
            profile_shift=0.0,
            **{**cut, "stock_max_mm": 0.0, **rack},
        )
        for z in teeth
    )
    return pair_geometry(
        normal_module_mm=m_n,
        pressure_angle_deg=20.0,
        helix_angle_deg=helix_angle_deg,
        centre_distance_mm=(np.array(teeth[0]) + np.array(teeth[1])) / 2 * m_n / slant,
        pinion=pinion,
        wheel=wheel,
    )
