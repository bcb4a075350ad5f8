"""The pitch of a perfect involute gear that turns about an axis beside its own."""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq


def involute(angle):
    return np.tan(angle) - angle


def eccentric_pitch(
    *,
    teeth,
    normal_module_mm,
    pressure_angle_deg,
    helix_angle_deg,
    eccentricity_mm,
    measuring_circle,
    profile_shift=0.0,
):
    """Return the single pitch deviations of left and right flanks in µm and α_t at the measuring circle in °.

    The flanks are cut with the measuring circle, given in reference diameters. Teeth count clockwise; the
    gear's own centre lies off the axis towards the middle of the space behind tooth 1.
    """
    helix, normal = np.radians([helix_angle_deg, pressure_angle_deg])
    transverse = np.arctan(np.tan(normal) / np.cos(helix))
    reference = teeth * normal_module_mm / np.cos(helix) / 2
    base, measured = reference * np.cos(transverse), reference * measuring_circle
    thickness = (np.pi / 2 + 2 * profile_shift * np.tan(normal)) / teeth
    towards = -np.pi / teeth
    centre = eccentricity_mm * np.exp(1j * towards)

    def point(tooth, side, radius):
        half = thickness + involute(transverse) - involute(np.arccos(base / radius))
        return centre + radius * np.exp(1j * (-2 * np.pi * tooth / teeth + side * half))

    def deviations(side):
        angles = []
        for tooth in range(teeth):
            radius = brentq(
                lambda r, tooth=tooth: abs(point(tooth, side, r)) - measured,
                measured - 2 * eccentricity_mm,
                measured + 2 * eccentricity_mm,
                xtol=1e-13,
            )
            cut = point(tooth, side, radius) * np.exp(2j * np.pi * tooth / teeth)
            angles.append(-np.angle(cut))
        place = 1000 * measured * np.array(angles)
        return place - np.roll(place, 1)

    return deviations(1), deviations(-1), np.degrees(np.arccos(base / measured))
