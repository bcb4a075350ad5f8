"""The elastic bed of a gear mesh: where its tooth pairs can touch at each position, and how they give way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, array
from gearcheck.gear.pair import PairGeometry
from gearcheck.meshing.approach import LocalApproach
from gearcheck.meshing.compliance import GearCompliance
from gearcheck.meshing.corner import rolls, touch
from gearcheck.meshing.given_way import add_given_way, along_face
from gearcheck.meshing.unilateral import Bed

BEYOND, FARTHEST = 0.25, 1.0
"""At least and at most so many pitches before and after the path of contact corners are looked at."""
CLEAR = 0.015
"""Gap in modules at which a corner is too far off to touch: several times what teeth give way."""


GRADED = 0.7
"""How much narrower slices are towards the ends of the face: 0 all alike, 1 as the cosine of even steps."""


@dataclass(frozen=True)
class MeshBed:
    """A mesh cycle cut into positions, the face into slices.

    Arrays of contacts have shape (positions, contacts): those that can touch at a position, filled up.

    Parameters
    ----------
    pair : PairGeometry
        Without samples.
    position_mm : ndarray
        How far the mesh has rolled along the line of action, from 0 to less than a pitch; shape (positions,).
    face_mm : ndarray
        Middle of each slice from the reference face, shape (slices,).
    slice_mm : ndarray
        Width of each slice, shape (slices,): narrow at the ends of the face, where most happens.
    tooth_pair : ndarray of int
        Which tooth pair a contact belongs to: 0 is the one that passed the start A last at position 0.
    face_slice : ndarray of int
        Its slice.
    place_mm : ndarray
        Its distance from the start A along the line of action.
    corner_mm : ndarray
        Gap of rigid involutes on the transverse line of action.
    at_corner : ndarray of bool
        Whether it is the corner of a tip, off the path of contact.
    pinion_radius_mm, wheel_radius_mm : ndarray
        Radii of the place on both gears.
    bed : Bed
        How it gives way, in the normal section.
    """

    pair: PairGeometry
    position_mm: Array
    face_mm: Array
    slice_mm: Array
    tooth_pair: NDArray[np.intp]
    face_slice: NDArray[np.intp]
    place_mm: Array
    corner_mm: Array
    at_corner: NDArray[np.bool_]
    pinion_radius_mm: Array
    wheel_radius_mm: Array
    bed: Bed

    @property
    def width_mm(self) -> float:
        """Common face width."""
        return float(self.pair.common_face_width_mm)

    @property
    def lean(self) -> float:
        """Cos β_b, from the transverse line of action to the normal of the flank."""
        return float(np.cos(np.radians(float(self.pair.base_helix_angle_deg))))

    @property
    def face_of(self) -> Array:
        """The face position of each contact, mm."""
        return self.face_mm[self.face_slice]

    @property
    def rolls_mm(self) -> tuple[Array, Array]:
        """Roll lengths of pinion and wheel at each contact, at a corner those of tip and mate there."""
        first, second = (
            np.sqrt(np.maximum(radius**2 - (float(base) / 2.0) ** 2, 0.0))
            for radius, base in (
                (self.pinion_radius_mm, self.pair.pinion_base_diameter_mm),
                (self.wheel_radius_mm, self.pair.wheel_base_diameter_mm),
            )
        )
        return first, second


def mesh_bed(
    *,
    pair: PairGeometry,
    pinion: GearCompliance,
    wheel: GearCompliance,
    positions: int = 64,
    slices: int = 41,
    right_lean: bool = True,
) -> MeshBed:
    """Return the elastic bed of a mesh: every place where its tooth pairs can touch, and how they give way.

    Parameters
    ----------
    pair : PairGeometry
        Without samples and without stops.
    pinion, wheel : GearCompliance
        Of both gears.
    positions, slices : int
        Of a mesh cycle, 4 or more, and of the face, 1 or more, of a helical pair 3.
    right_lean : bool
        Whether the place of a line of contact grows away from the reference face.

    Returns
    -------
    MeshBed
        Corners off the path of contact among them, as far as their gap is below 0.015 modules.

    Raises
    ------
    InputError
        Too few positions or slices, a pair that stops, or a gear narrower than the common face width.

    Notes
    -----
    Source: elastic teeth by their compliance, a line contact on each slice; see `loaded_contact`.
    Valid for: pairs that can work.
    Departures: contact off the path is looked at up to a gap of 0.015 modules, at most a pitch.
    Checked: BED-RADIUS.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.meshing.compliance import gear_compliance
    >>> from gearcheck.meshing.inputs import Body
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.25,
    ...             rack_root_radius=0.38, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> gives = gear_compliance(gear=pair.pinion, pair=pair, body=Body(), face_width_mm=32)
    >>> bed = mesh_bed(pair=pair, pinion=gives, wheel=gives, positions=16, slices=5)
    >>> bed.place_mm.shape  # two tooth pairs of five slices, a third one at a corner
    (16, 15)
    """
    _check(pair, positions, slices)
    steel = _need_alike(pair, pinion, wheel)
    face, slice_mm = _slices(float(pair.common_face_width_mm), slices)
    position = np.arange(positions) * float(pair.base_pitch_mm) / positions
    beyond = _beyond_mm(pair)
    pairs, every = _places(pair, position, face, beyond, right_lean=right_lean)
    met = touch(pair, every)
    near = (every >= -beyond) & (every <= float(pair.path_length_mm) + beyond)
    flexibility, depths = np.zeros((positions, pairs.size * slices, pairs.size * slices)), []
    for gear, radius, ahead in ((pinion, met.pinion_radius, 1), (wheel, met.wheel_radius, -1)):
        weights = gear.weights(radius)
        add_given_way(flexibility, along_face(gear, pair, face, slice_mm), weights, near, ahead)
        depths.append((weights @ array(gear.depth_mm)).reshape(positions, -1))
    chosen, usable = _chosen(near.reshape(positions, -1))
    rows = np.arange(positions)[:, None]

    def of(values: Array) -> Array:
        return values.reshape(positions, -1)[rows, chosen]

    place = of(every)
    lean = np.cos(np.radians(float(pair.base_helix_angle_deg)))
    return MeshBed(
        pair=pair,
        position_mm=position,
        face_mm=face,
        slice_mm=slice_mm,
        tooth_pair=np.repeat(pairs, slices)[chosen],
        face_slice=np.tile(np.arange(slices), pairs.size)[chosen],
        place_mm=place,
        corner_mm=of(met.gap),
        at_corner=met.at_corner.reshape(positions, -1)[rows, chosen],
        pinion_radius_mm=of(met.pinion_radius),
        wheel_radius_mm=of(met.wheel_radius),
        bed=Bed(
            flexibility=flexibility[rows[..., None], chosen[:, :, None], chosen[:, None, :]],
            local=LocalApproach(_reduced(pair, place), (of(depths[0]), of(depths[1])), *steel),
            length_mm=np.tile(slice_mm / lean, pairs.size)[chosen],
            usable=usable,
        ),
    )


def _slices(width: float, slices: int) -> tuple[Array, Array]:
    """The middles and widths of the slices, narrower towards the ends of the face."""
    even = np.linspace(0.0, 1.0, slices + 1)
    edges = width * ((1.0 - GRADED) * even + GRADED * (1.0 - np.cos(np.pi * even)) / 2.0)
    return (edges[1:] + edges[:-1]) / 2.0, np.diff(edges)


def _check(pair: PairGeometry, positions: int, slices: int) -> None:
    faults = Faults()
    faults.need(positions >= 4, "positions", positions, "4 positions of a mesh cycle or more")
    least = 1 if float(pair.helix_angle_deg) == 0.0 else 3
    faults.need(slices >= least, "slices", slices, f"{least} slices of the face or more")
    faults.need(not pair.stops, "pair", "; ".join(one.text for one in pair.stops), "a pair that can work")
    faults.check()


def _need_alike(pair: PairGeometry, pinion: GearCompliance, wheel: GearCompliance) -> tuple[float, float]:
    """The steel of both gears, once they go with the pair and with one another."""
    faults = Faults()
    steel = [(float(one.modulus_MPa), float(one.poisson)) for one in (pinion, wheel)]
    same = "one modulus of elasticity and one Poisson's ratio, as of the pinion"
    faults.need(steel[0] == steel[1], "wheel", f"E, ν = {steel[1]}", same)
    lean = np.cos(np.radians(float(pair.helix_angle_deg)))
    common = float(pair.common_face_width_mm)
    for name, gear in (("pinion", pinion), ("wheel", wheel)):
        width = float(array(gear.tooth_length_mm)) * lean
        needed = f"the compliance of a gear over {common:.6g} mm of face or more"
        faults.need(width >= common * (1.0 - 1e-9), name, f"{width:.6g} mm", needed)
    faults.check()
    return steel[0]


def _beyond_mm(pair: PairGeometry) -> float:
    """How far off the path corners are looked at; with an internal gear their gap opens slowly."""
    off = np.linspace(BEYOND, FARTHEST, 16) * float(pair.base_pitch_mm)
    before, after = (touch(pair, place).gap for place in (-off, float(pair.path_length_mm) + off))
    clear = np.minimum(before, after) >= CLEAR * float(pair.normal_module_mm)
    return float(off[clear.argmax() if clear.any() else -1])


def _places(
    pair: PairGeometry, position: Array, face: Array, beyond: float, *, right_lean: bool
) -> tuple[NDArray[np.intp], Array]:
    """The tooth pairs that can touch, and their places, shape (positions, pairs, slices)."""
    pitch = float(pair.base_pitch_mm)
    slope = np.tan(np.radians(float(pair.base_helix_angle_deg))) * (1.0 if right_lean else -1.0)
    shift = face * slope
    first = np.ceil((-beyond - pitch - shift.max()) / pitch)
    last = np.floor((float(pair.path_length_mm) + beyond - shift.min()) / pitch)
    pairs = np.arange(int(first), int(last) + 1)
    return pairs, position[:, None, None] + pitch * pairs[:, None] + shift


def _chosen(near: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
    """The candidates that can touch at each position, and which of them are not fill."""
    most = int(near.sum(axis=-1).max())
    chosen = np.argsort(~near, axis=-1, kind="stable")[:, :most]
    return chosen, np.take_along_axis(near, chosen, axis=-1)


def _reduced(pair: PairGeometry, place: Array) -> Array:
    """Reduced radius in the normal section; off the path that of its end."""
    first, second = rolls(pair, np.clip(place, 0.0, float(pair.path_length_mm)))
    lean = np.cos(np.radians(float(pair.base_helix_angle_deg)))
    least = 1e-3 * float(pair.base_pitch_mm)
    both = np.maximum(first, least) * np.maximum(second, least)
    return array(both / ((first + second if pair.side > 0 else second - first) * lean))
