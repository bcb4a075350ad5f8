"""What the loaded contact of one mesh is worked out from: its bed, what is drawn off its flanks, its axes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Number, array
from gearcheck.gear.inputs import Hand
from gearcheck.gear.pair import GearGeometry, PairGeometry
from gearcheck.meshing.compliance import GearCompliance, gear_compliance
from gearcheck.meshing.form import FlankForm, Misalignment
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.loaded import LoadedContact, loaded_contact
from gearcheck.meshing.mesh_bed import MeshBed, mesh_bed
from gearcheck.review.flank_forms import body_of, flank_form, too_much_off
from gearcheck.review.inputs import AxisDeviations, GearData, Mesh, Record
from gearcheck.review.rating import mesh_load_factor
from gearcheck.review.remembered import remembered
from gearcheck.review.results import Chain, stop_words

POSITIONS, SLICES = 32, 21
"""Of a mesh cycle and of the face, in all that is judged and shown."""


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
class DrawnMesh:
    """What of a record the loaded contact of one mesh rests on, its torque aside.

    Parameters
    ----------
    normal_module_mm, pressure_angle_deg, helix_angle_deg, centre_distance_mm : float or array
        Of the mesh.
    hand : Hand or None
        Of the gear.
    flank : Flank
        The loaded one of the gear, which meets the same one of the mate seen from the same side.
    gear, mate : GearData
        Their teeth, modifications and blanks alone.
    axes : AxisDeviations
        How the axes lie.
    """

    normal_module_mm: Number
    pressure_angle_deg: Number
    helix_angle_deg: Number
    centre_distance_mm: Number
    hand: Hand | None
    flank: Flank
    gear: GearData
    mate: GearData
    axes: AxisDeviations

    @property
    def gear_is_pinion(self) -> bool:
        """Whether the gear under review is the pinion; without samples."""
        return bool(self.gear.tooth.teeth <= self.mate.tooth.teeth)

    @property
    def sides(self) -> tuple[GearData, GearData]:
        """Pinion and wheel."""
        return (self.gear, self.mate) if self.gear_is_pinion else (self.mate, self.gear)


def drawn_mesh(record: Record, given: Mesh) -> DrawnMesh:
    """Return what the loaded contact of one mesh rests on."""
    gear, mate = (
        GearData(
            tooth=one.tooth, tip_relief_um=one.tip_relief_um, modification=one.modification, blank=one.blank
        )
        for one in (record.gear, given.mate)
    )
    return DrawnMesh(
        normal_module_mm=record.normal_module_mm,
        pressure_angle_deg=record.pressure_angle_deg,
        helix_angle_deg=record.helix_angle_deg,
        centre_distance_mm=given.centre_distance_mm,
        hand=record.hand,
        flank=given.loaded_flank,
        gear=gear,
        mate=mate,
        axes=given.contact or AxisDeviations(),
    )


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
    given = rests_on(record, chain, place)
    return given if isinstance(given, str) else contact_between(*given, positions=positions, slices=slices)


def rests_on(record: Record, chain: Chain, place: int) -> tuple[DrawnMesh, PairGeometry, str, float] | str:
    """Return all that the loaded contact of one mesh rests on, for `contact_between`.

    Parameters
    ----------
    record : Record
        Without samples.
    chain : Chain
        Its closed forms, or those of a record with the same teeth.
    place : int
        Which mesh.

    Returns
    -------
    tuple or str
        A text says why there is none.
    """
    given, mesh = record.meshes[place], chain.meshes[place]
    if np.ndim(mesh.pair.path_length_mm):
        return "the loaded contact is worked out for one gear at a time"
    return drawn_mesh(record, given), mesh.pair, mesh.name, pinion_torque_Nm(record, given)


def contact_between(
    drawn: DrawnMesh,
    pair: PairGeometry,
    name: str,
    torque_Nm: float,
    *,
    positions: int = POSITIONS,
    slices: int = SLICES,
) -> ContactOf | str:
    """Return what the loaded contact of a pair is worked out from, as `contact_of`.

    Parameters
    ----------
    drawn : DrawnMesh
        Without samples.
    pair : PairGeometry
        Of it.
    name : str
        The mate.
    torque_Nm : float
        Nominal torque of the pinion.
    positions, slices : int
        Of the mesh cycle, and of the face.

    Returns
    -------
    ContactOf or str
        A text says why there is none.
    """
    if stopped := stop_words(pair):
        return stopped
    forms, notices = [], list(_of_hand(drawn))
    for data, geometry in zip(drawn.sides, (pair.pinion, pair.wheel), strict=True):
        is_gear = data is drawn.gear
        whose = "the gear" if is_gear else name
        form, said = flank_form(data, geometry, drawn.flank, float(pair.common_face_width_mm), whose)
        if off := too_much_off(form, geometry, "gear" if is_gear else "mesh.mate"):
            return off
        forms.append(form)
        notices += said
    try:
        bed = _bed_of(drawn, pair, positions, slices)
    except InputError as error:  # a blank that does not go with its gear
        return f"[gear.blank] or [mesh.mate.blank]: {error}"
    return ContactOf(
        mesh=name,
        bed=bed,
        pinion=forms[0],
        wheel=forms[1],
        misalignment=Misalignment(
            in_plane_um=float(drawn.axes.in_plane_um), out_of_plane_um=float(drawn.axes.out_of_plane_um)
        ),
        torque_Nm=torque_Nm,
        gear_is_pinion=drawn.gear_is_pinion,
        notices=tuple(notices),
    )


def pinion_torque_Nm(record: Record, given: Mesh) -> float:  # noqa: N802 - carries its unit
    """Return the nominal torque of the pinion of a mesh, with K_γ of one of several mates, without K_A."""
    ratio = float(given.mate.tooth.teeth) / float(record.gear.tooth.teeth)
    to_pinion = min(ratio, 1.0)  # the gear with fewer teeth
    return float(given.torque_Nm) * to_pinion / given.mates * float(array(mesh_load_factor(given)))


def right_lean(drawn: DrawnMesh, side: float) -> bool:
    """Whether the place of a line of contact on the path grows away from the reference face.

    The roll of the gear does on right flanks of a right-hand and left flanks of a left-hand gear; the place
    grows with the roll of the pinion, which is against that of an external wheel.

    Parameters
    ----------
    drawn : DrawnMesh
        With hand and flank.
    side : float
        1 of an external pair, -1 of an internal one.
    """
    with_roll = (drawn.flank is Flank.RIGHT) is (drawn.hand is not Hand.LEFT)
    return with_roll is (drawn.gear_is_pinion or side < 0)


def _of_hand(drawn: DrawnMesh) -> Iterator[Notice]:
    if drawn.hand is None and float(drawn.helix_angle_deg) > 0:
        text = "The gear is taken as right-hand: [gear] hand is not given."
        yield Notice(Level.NOTE, "contact.hand", text)


def _bed_of(drawn: DrawnMesh, pair: PairGeometry, positions: int, slices: int) -> MeshBed:
    both = zip(drawn.sides, (pair.pinion, pair.wheel), strict=True)
    behind = tuple((body_of(data, geometry), float(data.tooth.face_width_mm)) for data, geometry in both)
    return _bed(pair, behind, positions, slices, right_lean(drawn, pair.side))


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
