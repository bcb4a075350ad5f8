"""Gears for the tests of this room."""

import numpy as np

from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from gearcheck.gear.shift import centre_distance

PLAIN = {
    "face_width_mm": 30.0,
    "rack_dedendum": 1.25,
    "rack_root_radius": 0.38,
    "protuberance_mm": 0.0,
    "stock_min_mm": 0.0,
    "stock_max_mm": 0.0,
}


def tooth(teeth, profile_shift, tip_diameter_mm, **other):
    return Tooth(
        teeth=teeth,
        profile_shift=profile_shift,
        tip_diameter_mm=tip_diameter_mm,
        **{**PLAIN, **other},
    )


def equal_pair(**other):
    """Two equal gears of 30 teeth, module 4, at the reference centre distance; any part may be changed."""
    given = {
        "normal_module_mm": 4.0,
        "pressure_angle_deg": 20.0,
        "helix_angle_deg": 0.0,
        "centre_distance_mm": 120.0,
        "pinion": tooth(30, 0.0, 128.0),
        "wheel": tooth(30, 0.0, 128.0),
    }
    return pair_geometry(**{**given, **other})


def closed_pair(*, module, helix, teeth, shifts, addendum=1.0, alpha=20.0, **other):
    """A pair without backlash, tips shortened to keep the clearance."""
    distance = centre_distance(
        normal_module_mm=module,
        pressure_angle_deg=alpha,
        helix_angle_deg=helix,
        pinion_teeth=teeth[0],
        wheel_teeth=teeth[1],
        profile_shift_sum=shifts[0] + shifts[1],
    )
    y = distance.distance_modification
    d_1, d_2 = (z * module / np.cos(np.radians(helix)) for z in teeth)
    other = {"rack_root_radius": 0.25, **other}
    return pair_geometry(
        normal_module_mm=module,
        pressure_angle_deg=alpha,
        helix_angle_deg=helix,
        centre_distance_mm=distance.centre_distance_mm,
        pinion=tooth(teeth[0], shifts[0], d_1 + 2 * module * (addendum + y - shifts[1]), **other),
        wheel=tooth(teeth[1], shifts[1], d_2 + 2 * module * (addendum + y - shifts[0]), **other),
    )


def internal_pair(*, module, helix, teeth, shifts, alpha=20.0, tips=None, cut=0.0, distance=None, **other):
    """A pinion with an internal gear without backlash, tips of one module less `cut` of it if not given."""
    if distance is None:
        distance = centre_distance(
            normal_module_mm=module,
            pressure_angle_deg=alpha,
            helix_angle_deg=helix,
            pinion_teeth=teeth[0],
            wheel_teeth=teeth[1],
            profile_shift_sum=shifts[0] + shifts[1],
            internal=True,
        ).centre_distance_mm
    d_1, d_2 = (z * module / np.cos(np.radians(helix)) for z in teeth)
    tip = 1.0 - cut
    tips = tips or (d_1 + 2 * module * (tip + shifts[0]), d_2 - 2 * module * (tip - 0.15 + shifts[1]))
    other = {"rack_root_radius": 0.2, **other}
    return pair_geometry(
        normal_module_mm=module,
        pressure_angle_deg=alpha,
        helix_angle_deg=helix,
        centre_distance_mm=distance,
        pinion=tooth(teeth[0], shifts[0], tips[0], **other),
        wheel=tooth(teeth[1], shifts[1], tips[1], internal=True, **other),
    )


def keys(result):
    return {notice.key for notice in result.notices}


def stop_keys(result):
    return {notice.key for notice in result.stops}
