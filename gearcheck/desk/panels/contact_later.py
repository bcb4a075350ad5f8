"""What the contact sheet works out for a draft at rest: every mesh over torque, and its measured teeth."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.gear.path import contact_path
from gearcheck.meshing.loaded import LoadedContact
from gearcheck.meshing.revolution import LoadedRevolution, loaded_revolution
from gearcheck.review.contact import TORQUE_FACTORS
from gearcheck.review.contact_of import ContactOf, at_torques, contact_of
from gearcheck.review.inputs import Record
from gearcheck.review.measured_teeth import in_order, measured_teeth
from gearcheck.review.pressure import POINTS, load_of, pressure_of
from gearcheck.review.results import MeshChain, Review, stop_words
from gearcheck.review.whole import review

NOMINAL = TORQUE_FACTORS.index(1.0)
"""The place of the nominal torque."""


@dataclass(frozen=True, kw_only=True)
class OfMesh:
    """The loaded contact of one mesh.

    Parameters
    ----------
    chain : MeshChain
        Its closed forms.
    of : ContactOf or str
        What it is worked out from; a text says why there is none.
    over : LoadedContact or None
        At `TORQUE_FACTORS` of the nominal torque.
    turned : LoadedRevolution or None
        With the teeth that were measured, at the nominal torque; None without any.
    order : tuple of int
        Numbers of the teeth of the gear as they come into mesh; empty without measured ones.
    """

    chain: MeshChain
    of: ContactOf | str
    over: LoadedContact | None = None
    turned: LoadedRevolution | None = None
    order: tuple[int, ...] = ()

    def at(self, name: str, place: int = NOMINAL) -> float:
        """One number of the loaded contact at one of the torques; not a number where there is none."""
        return float("nan") if self.over is None else float(array(getattr(self.over, name))[place])


def every_mesh(record: Record) -> tuple[OfMesh, ...]:
    """Work out the loaded contact of every mesh of a record, with the teeth that were measured."""
    whole = review(record, with_settled=False)
    return tuple(_with_measured(whole, place) for place in range(len(whole.chain.meshes)))


def _with_measured(whole: Review, place: int) -> OfMesh:
    found = over_torques(whole, place)
    turned = _turned(whole, place, found.of)
    if turned is None:
        return found
    teeth, flank = int(array(whole.record.gear.tooth.teeth)), whole.record.meshes[place].loaded_flank
    order = in_order(teeth, found.chain, flank) + 1
    return replace(found, turned=turned, order=tuple(int(one) for one in order))


def over_torques(whole: Review, place: int) -> OfMesh:
    """Work out the loaded contact of one mesh at every torque that is shown.

    Parameters
    ----------
    whole : Review
        Its closed forms are enough.
    place : int
        Which mesh.

    Returns
    -------
    OfMesh
        Without the teeth that were measured.
    """
    chain = whole.chain.meshes[place]
    of = contact_of(whole.record, whole.chain, place)
    if isinstance(of, str):
        return OfMesh(chain=chain, of=of)
    over = at_torques(of, of.torque_Nm * np.array(TORQUE_FACTORS))
    stopped = stop_words(over)
    return OfMesh(chain=chain, of=stopped or of, over=None if stopped else over)


def _turned(whole: Review, place: int, of: ContactOf | str) -> LoadedRevolution | None:
    teeth = measured_teeth(whole, place)
    if teeth is None or isinstance(of, str):
        return None
    return loaded_revolution(
        bed=of.bed,
        torque_Nm=of.torque_Nm,
        pinion=of.pinion,
        wheel=of.wheel,
        misalignment=of.misalignment,
        pinion_teeth=teeth if of.gear_is_pinion else None,
        wheel_teeth=None if of.gear_is_pinion else teeth,
    )


def shared_pressure_MPa(chain: MeshChain) -> float | None:  # noqa: N802 - carries its unit
    """Return the largest pressure by the load sharing along the path, at the torque without load factors.

    Parameters
    ----------
    chain : MeshChain
        Of one mesh.

    Returns
    -------
    float or None
        MPa, on a line that carries evenly over the face; None where there is no load.
    """
    factors = chain.factors
    if factors is None or factors.tangential_force_N is None:
        return None
    load = replace(load_of(factors), load_factor=factors.mesh_load_factor)
    path = contact_path(pair=chain.pair, points=POINTS)
    return float(array(pressure_of(chain, load, path).pressure_MPa).max())
