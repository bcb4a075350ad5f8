"""Elastic beds of pairs of our own invention, made once a run."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from gearcheck.meshing.compliance import gear_compliance
from gearcheck.meshing.form import FlankForm
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.mesh_bed import mesh_bed
from tests.gear.gears import closed_pair, internal_pair

PAIRS = {
    "spur": lambda: closed_pair(module=4, helix=0, teeth=(20, 30), shifts=(0.2, 0.1)),
    "helical": lambda: closed_pair(module=4, helix=18, teeth=(17, 34), shifts=(0.3, 0.0)),
    "internal": lambda: internal_pair(module=4, helix=0, teeth=(20, 70), shifts=(0.3, -0.3), cut=0.2),
}
WAVES = 12


@cache
def pair_of(kind):
    return PAIRS[kind]()


@cache
def compliances(kind):
    pair = pair_of(kind)
    given = {"pair": pair, "body": Body(), "face_width_mm": float(pair.common_face_width_mm), "waves": WAVES}
    return {name: gear_compliance(gear=getattr(pair, name), **given) for name in ("pinion", "wheel")}


@cache
def bed_of(kind, positions=16, slices=7, right_lean=True):
    given = {"positions": positions, "slices": slices, "right_lean": right_lean}
    return mesh_bed(pair=pair_of(kind), **compliances(kind), **given)


def without_corners(bed):
    """The same bed, on which teeth touch on the path of contact only."""
    return replace(bed, bed=replace(bed.bed, usable=bed.bed.usable & ~bed.at_corner))


def form_of(bed, member, relief_um=0.0, from_share=0.6, **more):
    """The flank of one gear from the start of its active profile to its tip."""
    low, high = ends_of(bed, member)
    start = low + from_share * (high - low)
    return FlankForm(
        from_roll_mm=low, to_roll_mm=high, tip_relief_um=relief_um, tip_relief_start_mm=start, **more
    )


def ends_of(bed, member):
    gear = getattr(bed.pair, member)
    return float(gear.start_radius_mm), float(gear.tip_radius_mm)


def forms_of(bed, relief_um=0.0, **more):
    return {name: form_of(bed, name, relief_um, **more) for name in ("pinion", "wheel")}


def pull_of_pairs(bed, found):
    """How much of what a tooth stands out reaches the error, by contact: of the solved state, linearised.

    The contacts that press are springs, softness C + dh/dF: a small gap of one changes the approach of both
    gears by its part of the row sums of the inverse.

    Returns
    -------
    ndarray
        Shape (positions, contacts), the sum of a row is 1.
    """
    pull = np.zeros(found.force_N.shape)
    for place, forces in enumerate(found.force_N):
        on = np.flatnonzero(forces > 0)
        local = bed.bed.local.at((np.array(place), on))
        length = bed.bed.length_mm[place, on]
        _, slope = local.of(forces[on] / length)
        softness = bed.bed.flexibility[place][np.ix_(on, on)] + np.diag(slope / length)
        row = np.linalg.solve(softness, np.ones(on.size))
        pull[place, on] = row / row.sum()
    return pull
