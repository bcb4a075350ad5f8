"""The loaded contact of each mesh: what it is worked out from, and at the nominal torque what it comes to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.gear.inputs import Hand
from gearcheck.gear.pair import GearGeometry, PairGeometry
from gearcheck.meshing.compliance import GearCompliance, gear_compliance
from gearcheck.meshing.form import FlankForm, Misalignment
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.loaded import LoadedContact, loaded_contact
from gearcheck.meshing.mesh_bed import MeshBed, mesh_bed
from gearcheck.requirements.types import Reserve
from gearcheck.review.flank_forms import body_of, flank_form, too_much_off
from gearcheck.review.inputs import AxisDeviations, ContactPressure, Mesh, Record
from gearcheck.review.rating import mesh_load_factor, of_member
from gearcheck.review.remembered import remembered
from gearcheck.review.reserves import Turns, reserve, torque_turns
from gearcheck.review.results import Chain, MeshChain, stop_words
from gearcheck.stress.inputs import Member

POSITIONS, SLICES = 32, 21
"""Of a mesh cycle and of the face, in all that is judged and shown."""
TORQUE_FACTORS = (0.1, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5)
"""Torques that the contact is shown at, over the nominal one."""
# densest about 1, where a turn is looked for first
_GRID = np.unique([*np.geomspace(0.05, 20.0, 17), *np.geomspace(0.5, 2.0, 13), 1.0])
_NEAR = np.array([-0.1, -0.01, 0.01, 0.1])
_CLOSE = 1e-4


@dataclass(frozen=True, kw_only=True)
class ContactOf:
    """What the loaded contact of one mesh is worked out from.

    Parameters
    ----------
    mesh : str
        The mate.
    bed : MeshBed
        How the mesh gives way.
    pinion, wheel : FlankForm
        What is drawn off both loaded flanks; the pinion has fewer teeth, and may be the mate.
    misalignment : Misalignment
        Of the axes.
    torque_Nm : float
        Nominal torque of the pinion in this mesh: its share with K_γ of several mates, without K_A.
    gear_is_pinion : bool
        Whether the gear under review is the pinion.
    notices : tuple of Notice
        What is not counted, or was taken.
    """

    mesh: str
    bed: MeshBed
    pinion: FlankForm
    wheel: FlankForm
    misalignment: Misalignment
    torque_Nm: float
    gear_is_pinion: bool
    notices: tuple[Notice, ...] = ()


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
    name = chain.meshes[place].name
    found = contact_of(record, chain, place)
    if isinstance(found, str):
        return MeshContact(mesh=name, nominal=None, reason=found)
    loaded = at_torques(found, found.torque_Nm)
    told = replace(loaded, notices=(*found.notices, *loaded.notices, *_of_slices(found.bed)))
    if stopped := stop_words(told):
        return MeshContact(mesh=name, nominal=told, reason=stopped, of=found)
    reserves = _reserves(record, found, told) if with_reserves else {}
    return MeshContact(mesh=name, nominal=told, of=found, **reserves)


def contact_of(
    record: Record, chain: Chain, place: int, *, positions: int = POSITIONS, slices: int = SLICES
) -> ContactOf | str:
    """Return what the loaded contact of one mesh is worked out from.

    Parameters
    ----------
    record : Record
        Without samples.
    chain : Chain
        Its closed forms, or those of a record with the same teeth.
    place : int
        Which mesh.
    positions, slices : int
        Of the mesh cycle, and of the face.

    Returns
    -------
    ContactOf or str
        A text says why there is none.
    """
    given, mesh = record.meshes[place], chain.meshes[place]
    if stopped := stop_words(mesh.pair):
        return stopped
    if np.ndim(mesh.pair.path_length_mm):
        return "the loaded contact is worked out for one gear at a time"
    forms, notices = {}, list(_of_hand(record))
    for whose, section, data, member in (
        ("the gear", "gear", record.gear, mesh.gear),
        (mesh.name, "mesh.mate", given.mate, mesh.mate),
    ):
        width = float(mesh.pair.common_face_width_mm)
        form, said = flank_form(data, member.geometry, given.loaded_flank, width, whose)
        if off := too_much_off(form, member.geometry, section):
            return off
        forms[member.member] = form
        notices += said
    try:
        bed = _bed_of(record, mesh, given.loaded_flank, positions, slices)
    except InputError as error:  # a blank that does not go with its gear
        return f"[gear.blank] or [mesh.mate.blank]: {error}"
    axes = given.contact or AxisDeviations()
    return ContactOf(
        mesh=mesh.name,
        bed=bed,
        pinion=forms[Member.PINION],
        wheel=forms[Member.WHEEL],
        misalignment=Misalignment(
            in_plane_um=float(axes.in_plane_um), out_of_plane_um=float(axes.out_of_plane_um)
        ),
        torque_Nm=pinion_torque_Nm(record, given, mesh),
        gear_is_pinion=mesh.gear.member is Member.PINION,
        notices=tuple(notices),
    )


def pinion_torque_Nm(record: Record, given: Mesh, mesh: MeshChain) -> float:  # noqa: N802 - carries its unit
    """Return the nominal torque of the pinion of a mesh, with K_γ of one of several mates, without K_A."""
    ratio = float(given.mate.tooth.teeth) / float(record.gear.tooth.teeth)
    to_pinion = 1.0 if mesh.gear.member is Member.PINION else ratio
    return float(given.torque_Nm) * to_pinion / given.mates * float(array(mesh_load_factor(given)))


def right_lean(record: Record, mesh: MeshChain, flank: Flank) -> bool:
    """Whether the place of a line of contact on the path grows away from the reference face.

    The roll of the gear does on right flanks of a right-hand and left flanks of a left-hand gear; the place
    grows with the roll of the pinion, which is against that of an external wheel.
    """
    with_roll = (flank is Flank.RIGHT) is (record.hand is not Hand.LEFT)
    return with_roll is (mesh.gear.member is Member.PINION or mesh.pair.side < 0)


def _of_slices(bed: MeshBed) -> tuple[Notice, ...]:
    slices = bed.face_mm.size
    text = f"The pattern is told by {slices} slices of the face, {bed.width_mm / slices:.1f} mm each."
    return (Notice(Level.NOTE, "contact.slices", text),)


def _of_hand(record: Record) -> Iterator[Notice]:
    if record.hand is None and float(record.helix_angle_deg) > 0:
        text = "The gear is taken as right-hand: [gear] hand is not given."
        yield Notice(Level.NOTE, "contact.hand", text)


def _bed_of(record: Record, mesh: MeshChain, flank: Flank, positions: int, slices: int) -> MeshBed:
    sides = (of_member(mesh, Member.PINION), of_member(mesh, Member.WHEEL))
    behind = tuple((body_of(one.data, one.geometry), float(one.data.tooth.face_width_mm)) for one in sides)
    return _bed(mesh.pair, behind, positions, slices, right_lean(record, mesh, flank))


def _soft(pair: PairGeometry, gear: GearGeometry, body: Body, width: float) -> GearCompliance:
    return gear_compliance(gear=gear, pair=pair, body=body, face_width_mm=width)


def _pressed(
    pair: PairGeometry, behind: tuple[tuple[Body, float], ...], positions: int, slices: int, lean: bool
) -> MeshBed:
    pinion, wheel = (
        _compliance(pair, gear, *given) for gear, given in zip((pair.pinion, pair.wheel), behind, strict=True)
    )
    return mesh_bed(
        pair=pair, pinion=pinion, wheel=wheel, positions=positions, slices=slices, right_lean=lean
    )


_compliance = remembered(_soft)
_bed = remembered(_pressed, kept=6)  # several MB each


def at_torques(found: ContactOf, torques_Nm: Number) -> LoadedContact:
    """Return the loaded contact at torques of the pinion, N·m, on the first axes."""
    return loaded_contact(
        bed=found.bed,
        torque_Nm=torques_Nm,
        pinion=found.pinion,
        wheel=found.wheel,
        misalignment=found.misalignment,
    )


def _reserves(record: Record, found: ContactOf, nominal: LoadedContact) -> dict[str, Any]:
    """The torque factors at which what is agreed turns, from one loaded contact of all of them."""
    agreed = record.required
    asked = {} if agreed is None else _margins(record, nominal)
    if not asked:
        return {}

    known: dict[float, Array] = {}

    def margins(factors: Array) -> Array:
        flat = factors.ravel().tolist()
        if new := sorted({*flat} - {*known}):
            loaded = at_torques(found, found.torque_Nm * np.array(new))
            known.update(zip(new, np.stack(list(_margins(record, loaded).values()), axis=-1), strict=True))
        return np.stack([known[one] for one in flat], axis=-1).reshape(len(asked), *factors.shape)

    turns = torque_turns(margins, len(asked), grid=_GRID, near=_NEAR, close=_CLOSE)
    return {name: _reserve(turns, place, meets=bool(asked[name] >= 0)) for place, name in enumerate(asked)}


def _margins(record: Record, loaded: LoadedContact) -> dict[str, Array]:
    """What is left of each thing agreed, by the name of its reserve: met from 0 on."""
    agreed, found = record.required, {}
    assert agreed is not None
    if agreed.transmission_error_um is not None:
        found["error_reserve"] = agreed.transmission_error_um - array(loaded.peak_to_peak_um)
    if agreed.pattern_margin_mm is not None:
        found["pattern_reserve"] = array(loaded.pattern_margin_mm) - agreed.pattern_margin_mm
        found["corner_reserve"] = -array(loaded.corner_share)
    return found


def _reserve(turns: Turns, place: int, *, meets: bool) -> Reserve:
    return reserve(turns.factor[place].item(), meets=meets, ends=turns.ends[place].item())
