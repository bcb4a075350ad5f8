"""Tip and root as carbon meets them: their radius, and their case depth over that of the flank."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from gearcheck.basics.numbers import array

if TYPE_CHECKING:  # both hold what is predicted
    from gearcheck.review.results import Chain
    from gearcheck.review.treated import ToothPlace

TIP, ROOT = "tip", "root"


def place_radii(chain: Chain) -> dict[str, float]:
    """Return the radius of tip and root of the gear, convex above 0 and concave below.

    Parameters
    ----------
    chain : Chain
        Of a record without arrays.

    Returns
    -------
    dict of str to float
        mm. The tip is the largest rod in the tooth that touches tip land and both flanks, in the normal
        section; the root is the fillet at its critical section, or that of the rack where no root stress is
        worked out. A place that is sharp or not known is left out.
    """
    member = chain.meshes[0].gear
    geometry = member.geometry
    helix = np.radians(float(array(geometry.tip_helix_angle_deg)))
    thickness = float(array(geometry.tip_thickness_mm))
    # the flank leans by the pressure angle less the half angle of the tooth
    half_angle = thickness / np.cos(helix) / float(array(geometry.tip_diameter_mm))
    lean = np.radians(float(array(geometry.tip_pressure_angle_deg))) - half_angle
    normal = np.arctan(np.tan(lean) * np.cos(helix))
    rack = float(array(geometry.rack_root_radius)) * float(array(geometry.normal_module_mm))
    fillet = rack if member.root is None else float(array(member.root.root_radius_mm))
    known = {TIP: thickness / 2 * float(np.tan(np.pi / 4 + normal / 2)), ROOT: -fillet}
    return {name: radius for name, radius in known.items() if abs(radius) > 0}


def place_ratios(places: tuple[ToothPlace, ...]) -> Mapping[str, float]:
    """Return the case depth at 550 HV of tip and root over that of the flank.

    Parameters
    ----------
    places : tuple of ToothPlace
        As predicted; the flank first.

    Returns
    -------
    mapping of str to float
        By place: of the softest and the hardest case the larger at the tip, the lesser at the root. A tip
        that is hard through counts by its radius. Where no depth is read there is no ratio.
    """
    if not places:
        return {}
    flank, found = places[0].treated.case_depths_mm, {}
    for place in places[1:]:
        depths = place.treated.case_depths_mm
        if place.name == TIP:
            depths = np.where(np.isnan(depths), place.radius_mm, depths)
        ratios = depths / flank
        if np.isfinite(ratios).all():
            found[place.name] = float(ratios.max() if place.name == TIP else ratios.min())
    return found
