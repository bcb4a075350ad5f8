"""The loaded contact of each mesh at its nominal torque, with the torque reserves of what is agreed of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array
from gearcheck.gear.pair import PairGeometry
from gearcheck.meshing.loaded import LoadedContact
from gearcheck.meshing.mesh_bed import MeshBed
from gearcheck.requirements.types import Reserve
from gearcheck.review.contact_of import ContactOf, DrawnMesh, at_torques, contact_between, rests_on
from gearcheck.review.inputs import ContactPressure, Record
from gearcheck.review.remembered import remembered
from gearcheck.review.reserves import Turns, reserve, torque_turns
from gearcheck.review.results import Chain, stop_words

TORQUE_FACTORS = (0.1, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5)
"""Torques that the contact is shown at, over the nominal one."""
# densest about 1, where a turn is looked for first
_GRID = np.unique([*np.geomspace(0.05, 20.0, 17), *np.geomspace(0.5, 2.0, 13), 1.0])
_NEAR = np.array([-0.1, -0.01, 0.01, 0.1])
_CLOSE = 1e-4
END_SHARE = 0.5
"""Load of an end slice over the largest along the face: from there on an edge presses, and that is told."""
_UNEVEN = 1.2  # the largest load over its mean: an even load reaches both ends without harm


Agreed = tuple[float | None, float | None]
"""The largest transmission error, µm, and the least margin of the pattern, mm, where they are agreed."""


@dataclass(frozen=True, kw_only=True)
class MeshContact:
    """The loaded contact of one mesh at its nominal torque.

    Parameters
    ----------
    mesh : str
        The mate.
    nominal : LoadedContact or None
        At the nominal torque; None where there is none, for a reason.
    reason : str
        Why there is none; empty otherwise.
    of : ContactOf or None
        What it is worked out from.
    error_reserve, pattern_reserve, corner_reserve : Reserve or None
        Torque reserve of the transmission error, of the margin of the pattern, and of tips without load off
        the path of contact; None where nothing is agreed.
    """

    mesh: str
    nominal: LoadedContact | None
    reason: str = ""
    of: ContactOf | None = None
    error_reserve: Reserve | None = None
    pattern_reserve: Reserve | None = None
    corner_reserve: Reserve | None = None


def is_wanted(record: Record) -> bool:
    """Whether something is agreed of the loaded contact, or the case depth rests on it."""
    agreed, methods = record.required, record.methods
    asked = agreed is not None and (agreed.transmission_error_um, agreed.pattern_margin_mm) != (None, None)
    return asked or (methods is not None and methods.contact_pressure is ContactPressure.LOADED_CONTACT)


def mesh_contacts(record: Record, chain: Chain, *, with_reserves: bool = True) -> tuple[MeshContact, ...]:
    """Work out the loaded contact of every mesh at its nominal torque, with its torque reserves.

    Parameters
    ----------
    record : Record
        Without samples.
    chain : Chain
        Its closed forms, or those of a record with the same teeth.
    with_reserves : bool
        Whether the torque reserves are found too.

    Returns
    -------
    tuple of MeshContact
        By mesh; none where nothing asks for it.
    """
    if not is_wanted(record):
        return ()
    places = range(len(chain.meshes))
    return tuple(_mesh_contact(record, chain, place, with_reserves=with_reserves) for place in places)


def _mesh_contact(record: Record, chain: Chain, place: int, *, with_reserves: bool) -> MeshContact:
    given = rests_on(record, chain, place)
    if isinstance(given, str):
        return MeshContact(mesh=chain.meshes[place].name, nominal=None, reason=given)
    agreed = record.required if with_reserves else None
    asked = (None, None) if agreed is None else (agreed.transmission_error_um, agreed.pattern_margin_mm)
    return _known(given, asked)


def _worked_out(given: tuple[DrawnMesh, PairGeometry, str, float], agreed: Agreed) -> MeshContact:
    name = given[2]
    found = contact_between(*given)
    if isinstance(found, str):
        return MeshContact(mesh=name, nominal=None, reason=found)
    loaded = at_torques(found, found.torque_Nm)
    told = replace(
        loaded, notices=(*found.notices, *loaded.notices, *_at_an_end(loaded), *_of_slices(found.bed))
    )
    if stopped := stop_words(told):
        return MeshContact(mesh=name, nominal=told, reason=stopped, of=found)
    return MeshContact(mesh=name, nominal=told, of=found, **_reserves(agreed, found, told))


_known = remembered(_worked_out, kept=12)  # several MB each


def _at_an_end(loaded: LoadedContact) -> tuple[Notice, ...]:
    """Say where an uneven load reaches an end of the face."""
    share, uneven = (array(one) for one in (loaded.face_end_share, loaded.face_load_factor))
    reached = share >= END_SHARE or array(loaded.pattern_margin_mm) <= 0.0
    if not (reached and uneven > _UNEVEN):
        return ()
    text = (
        f"An end of the face carries {100.0 * float(share):.0f} % of the largest load along it: the pressure "
        "there is that of an edge, not of a line."
    )
    return (Notice(Level.CAUTION, "contact.end", text),)


def _of_slices(bed: MeshBed) -> tuple[Notice, ...]:
    text = (
        f"The contact is worked out in {bed.face_mm.size} slices of the face, {bed.slice_mm.min():.1f} mm "
        f"wide at its ends and {bed.slice_mm.max():.1f} mm in its middle: an end relief shorter than that is "
        "seen coarsely."
    )
    return (Notice(Level.NOTE, "contact.slices", text),)


def _reserves(agreed: Agreed, found: ContactOf, nominal: LoadedContact) -> dict[str, Any]:
    """The torque factors at which what is agreed turns, from one loaded contact of all of them."""
    asked = _margins(agreed, nominal)
    if not asked:
        return {}

    known: dict[float, Array] = {}

    def margins(factors: Array) -> Array:
        flat = factors.ravel().tolist()
        if new := sorted({*flat} - {*known}):
            loaded = at_torques(found, found.torque_Nm * np.array(new))
            known.update(zip(new, np.stack(list(_margins(agreed, loaded).values()), axis=-1), strict=True))
        return np.stack([known[one] for one in flat], axis=-1).reshape(len(asked), *factors.shape)

    turns = torque_turns(margins, len(asked), grid=_GRID, near=_NEAR, close=_CLOSE)
    return {name: _reserve(turns, place, meets=bool(asked[name] >= 0)) for place, name in enumerate(asked)}


def _margins(agreed: Agreed, loaded: LoadedContact) -> dict[str, Array]:
    """What is left of each thing agreed, by the name of its reserve: met from 0 on."""
    error_um, margin_mm = agreed
    found = {}
    if error_um is not None:
        found["error_reserve"] = error_um - array(loaded.peak_to_peak_um)
    if margin_mm is not None:
        found["pattern_reserve"] = array(loaded.pattern_margin_mm) - margin_mm
        found["corner_reserve"] = -array(loaded.corner_share)
    return found


def _reserve(turns: Turns, place: int, *, meets: bool) -> Reserve:
    return reserve(turns.factor[place].item(), meets=meets, ends=turns.ends[place].item())
