"""Pairs for the tests of loaded contact, with their compliance: worked out once in a process."""

from __future__ import annotations

from functools import cache

import numpy as np

from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import PairGeometry, pair_geometry
from gearcheck.meshing.compliance import gear_compliance
from gearcheck.meshing.form import FlankForm
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.mesh_bed import MeshBed, mesh_bed

RACK = {
    "profile_shift": 0.0,
    "rack_dedendum": 1.4,
    "rack_root_radius": 0.35,
    "protuberance_mm": 0.0,
    "stock_min_mm": 0.0,
    "stock_max_mm": 0.0,
}
MODULE = 4.0


@cache
def pair_of(
    teeth: tuple[int, int] = (20, 40),
    *,
    helix_deg: float = 0.0,
    width_mm: float = 32.0,
    internal: bool = False,
) -> PairGeometry:
    """A pair of module 4 mm without shift; an internal one with a shorter tip of its ring."""
    reference = [count * MODULE / np.cos(np.radians(helix_deg)) for count in teeth]
    side = -1.0 if internal else 1.0
    tips = reference[0] + 2 * MODULE, reference[1] + side * (1.75 if internal else 2.0) * MODULE
    pinion, wheel = (
        Tooth(
            teeth=count,
            tip_diameter_mm=tip,
            face_width_mm=width_mm,
            internal=internal and place == 1,
            **RACK,
        )
        for place, (count, tip) in enumerate(zip(teeth, tips, strict=True))
    )
    return pair_geometry(
        normal_module_mm=MODULE,
        pressure_angle_deg=20,
        helix_angle_deg=helix_deg,
        centre_distance_mm=(reference[1] + side * reference[0]) / 2,
        pinion=pinion,
        wheel=wheel,
    )


@cache
def compliances(pair: PairGeometry):
    return tuple(
        gear_compliance(gear=gear, pair=pair, body=Body(), face_width_mm=float(gear.face_width_mm))
        for gear in (pair.pinion, pair.wheel)
    )


@cache
def bed_of(positions: int = 32, slices: int = 11, *, right_lean: bool = True, **pair: float) -> MeshBed:
    """The bed of a pair, by the arguments of `pair_of`."""
    known = pair_of(**pair)
    pinion, wheel = compliances(known)
    return mesh_bed(
        pair=known, pinion=pinion, wheel=wheel, positions=positions, slices=slices, right_lean=right_lean
    )


def form_of(gear, share: float = 0.65, **drawn: float) -> FlankForm:
    """The flank of a gear; a tip relief starts at that share of its roll length in contact."""
    low, high = float(gear.start_radius_mm), float(gear.tip_radius_mm)
    start = low + share * (high - low) if drawn.get("tip_relief_um") is not None else None
    return FlankForm(from_roll_mm=low, to_roll_mm=high, tip_relief_start_mm=start, **drawn)


def forms_of(bed: MeshBed, share: float = 0.65, **drawn: float) -> dict[str, FlankForm]:
    """Both flanks alike, by the names of their arguments."""
    pair = bed.pair
    return {"pinion": form_of(pair.pinion, share, **drawn), "wheel": form_of(pair.wheel, share, **drawn)}
