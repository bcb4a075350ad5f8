"""The loaded contact of many gears as the classes drawn let them be made."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.gear.pair import GearGeometry
from gearcheck.meshing.made import GearScatter, ManufacturingScatter, scatter_within
from gearcheck.meshing.scatter import ScatterSoFar, scattered_contact
from gearcheck.review.chain import drawn_tolerances
from gearcheck.review.contact_of import contact_of
from gearcheck.review.inputs import GearData, Record
from gearcheck.review.rating import of_member
from gearcheck.review.results import Chain, MeshChain
from gearcheck.stress.inputs import Member

GEARS = 1000
GEAR_SHARE = 0.5
"""Share of the variance of the slopes that all teeth of a gear have in common: an assumption of ours."""
POSITIONS, SLICES = 16, 11
"""Of each mesh cycle and of the face: fewer than what is judged, for so many gears."""
_AT_ONCE = 20  # so that one sees it move
_SEED = 1  # the same gears each time, so that two drafts are told apart by what they are


def can_scatter(mesh: MeshChain) -> str:
    """Say why no gears of a mesh can be made; empty where they can.

    Parameters
    ----------
    mesh : MeshChain
        Its closed forms.
    """
    drawn = any(one.data.accuracy is not None for one in (mesh.gear, mesh.mate))
    return "" if drawn else "neither gear has an accuracy class drawn"


def scatter_of(record: Record, mesh: MeshChain) -> ManufacturingScatter:
    """Return how the gears of one mesh scatter within the classes drawn.

    Parameters
    ----------
    record : Record
        Without samples.
    mesh : MeshChain
        Its closed forms.

    Returns
    -------
    ManufacturingScatter
        A gear without a class has no deviations.
    """
    pinion, wheel = (of_member(mesh, member) for member in (Member.PINION, Member.WHEEL))
    return ManufacturingScatter(
        pinion=_gear_scatter(record, pinion.data, pinion.geometry),
        wheel=_gear_scatter(record, wheel.data, wheel.geometry),
    )


def _gear_scatter(record: Record, data: GearData, geometry: GearGeometry) -> GearScatter | None:
    drawn = drawn_tolerances(record, data)
    if drawn is None:
        return None
    names = ("single_pitch_um", "cumulative_pitch_um", "profile_slope_um", "helix_slope_um")
    allowed = {name: getattr(drawn, name) for name in names}
    if any(value is None for value in allowed.values()):
        return None
    return scatter_within(
        teeth=int(array(data.tooth.teeth)),
        transverse_pressure_angle_deg=float(array(geometry.transverse_pressure_angle_deg)),
        gear_share=GEAR_SHARE,
        **{name: float(array(value)) for name, value in allowed.items()},
    )


def made_contact(record: Record, chain: Chain, place: int, gears: int = GEARS) -> Iterator[ScatterSoFar]:
    """Yield the loaded contact of gears drawn at random, at the nominal torque.

    Parameters
    ----------
    record : Record
        Without samples.
    chain : Chain
        Its closed forms.
    place : int
        Which mesh; without a loaded contact nothing comes.
    gears : int
        How many.

    Yields
    ------
    ScatterSoFar
        All that are done.
    """
    of = contact_of(record, chain, place, positions=POSITIONS, slices=SLICES)
    if isinstance(of, str):
        return
    yield from scattered_contact(
        bed=of.bed,
        torque_Nm=of.torque_Nm,
        pinion=of.pinion,
        wheel=of.wheel,
        misalignment=of.misalignment,
        scatter=scatter_of(record, chain.meshes[place]),
        generator=np.random.default_rng(_SEED),
        gears=gears,
        at_once=_AT_ONCE,
    )
