"""The lever of a force on a flank at the root of its tooth."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.gear.involute import involute
from gearcheck.gear.pair import GearGeometry
from gearcheck.meshing.mesh_bed import MeshBed


def root_arms_mm(bed: MeshBed) -> tuple[tuple[Array, float], tuple[Array, float]]:
    """Return for pinion and wheel the lever of each contact at the root circle, and that of the tip.

    r_b - r_f·cos φ, φ = α_y - γ_y the angle of the force across the tooth, γ_y half the tooth at the radius
    of the contact; with the signs of an internal gear.

    Parameters
    ----------
    bed : MeshBed
        Its contacts.

    Returns
    -------
    tuple of (ndarray, float)
        mm, shape (positions, contacts), and of a force at the tip.
    """
    found = []
    for gear, radius in ((bed.pair.pinion, bed.pinion_radius_mm), (bed.pair.wheel, bed.wheel_radius_mm)):
        tip = float(gear.tip_diameter_mm) / 2.0
        found.append((_arm(gear, radius), float(_arm(gear, np.array(tip)))))
    return found[0], found[1]


def _arm(gear: GearGeometry, radius: Array) -> Array:
    base, root = float(gear.base_diameter_mm) / 2.0, float(gear.root_diameter_mm) / 2.0
    side = -1.0 if gear.internal else 1.0
    transverse = np.radians(float(gear.transverse_pressure_angle_deg))
    pressure = np.arccos(np.minimum(base / radius, 1.0))
    lean = np.cos(np.radians(float(gear.helix_angle_deg)))
    half = float(gear.tooth_thickness_mm) / (float(gear.reference_diameter_mm) * lean)
    half = half + side * (involute(transverse) - involute(pressure))
    return array(side * (base - root * np.cos(pressure - side * half)))
