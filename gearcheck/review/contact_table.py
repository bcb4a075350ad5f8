"""The pressure of the loaded contact along the path of one mesh, tabulated over its load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array
from gearcheck.gear.pair import pair_geometry
from gearcheck.meshing.loaded import LoadedContact
from gearcheck.review.contact_of import DrawnMesh, at_torques, contact_between, drawn_mesh
from gearcheck.review.inputs import ContactPressure, Mesh, Record
from gearcheck.review.remembered import remembered

POSITIONS, SLICES = 32, 21
PLACES = np.linspace(0.0, 1.0, 25)
"""Of the path, in shares of its length."""
LOADS_N_MM = np.concatenate([[0.0], np.geomspace(2.0, 2e4, 16)])
"""Tangential force per common face width, load factors with it."""
MOST = 64
"""So many different teeth and modifications among samples are worked out; a study of more is refused."""


@dataclass(frozen=True)
class PressureTable:
    """The largest pressure over the face at places of the path, by load.

    Parameters
    ----------
    squared : ndarray
        p² in MPa², shape (samples, loads, places); NaN where there is none.
    notices : tuple of Notice
        What is not counted, and why there is none.
    """

    squared: Array
    notices: tuple[Notice, ...] = ()

    def pressure_MPa(self, load_N_mm: Array) -> Array:  # noqa: N802 - carries its unit
        """Return the pressure at places of the path.

        Parameters
        ----------
        load_N_mm : ndarray
            Tangential force with its load factors per common face width, shape (samples).

        Returns
        -------
        ndarray
            Shape (samples, places); p² goes in a straight line between two loads, and on beyond the last.
        """
        above = np.clip(np.searchsorted(LOADS_N_MM, load_N_mm), 1, LOADS_N_MM.size - 1)
        shape = np.broadcast_shapes(load_N_mm.shape, self.squared.shape[:-2])
        known = np.broadcast_to(self.squared, (*shape, *self.squared.shape[-2:]))
        above = np.broadcast_to(above, shape)
        high, low = (
            np.take_along_axis(known, at[..., None, None], axis=-2)[..., 0, :] for at in (above, above - 1)
        )
        share = (load_N_mm - LOADS_N_MM[above - 1]) / (LOADS_N_MM[above] - LOADS_N_MM[above - 1])
        return array(np.sqrt(np.maximum(low + share[..., None] * (high - low), 0.0)))


@dataclass(frozen=True, eq=False)
class PressedBy:
    """The pressure table of one mesh, worked out when it is first asked for.

    Parameters
    ----------
    drawn : DrawnMesh
        What it rests on; its numbers may be arrays of samples.
    """

    drawn: DrawnMesh

    @cached_property
    def table(self) -> PressureTable:
        """Worked out once for the same teeth, modifications, blanks and axes, whatever else moves."""
        shape = np.broadcast_shapes(*(np.shape(one) for one in _numbers(self.drawn)))
        every = [_sample(self.drawn, shape, place) for place in range(int(np.prod(shape)))]
        if len(dict.fromkeys(map(repr, every))) > MOST:
            text = f"The loaded contact is not worked out for more than {MOST} different flanks at once."
            empty = np.full((LOADS_N_MM.size, PLACES.size), np.nan)
            return PressureTable(empty, (Notice(Level.STOP, "contact_pressure.samples", text),))
        found = [_table(one) for one in every]
        squared = np.stack([one.squared for one in found]).reshape(*shape, LOADS_N_MM.size, PLACES.size)
        return PressureTable(squared, tuple(dict.fromkeys(said for one in found for said in one.notices)))


def pressed_by(record: Record, given: Mesh) -> PressedBy | None:
    """Return what the pressure of one mesh comes from where the loaded contact governs; None elsewhere.

    Parameters
    ----------
    record : Record
        Its numbers may be arrays of samples.
    given : Mesh
        One of its meshes.

    Returns
    -------
    PressedBy or None
        Nothing is worked out yet.
    """
    methods = record.methods
    if methods is None or methods.contact_pressure is not ContactPressure.LOADED_CONTACT:
        return None
    return PressedBy(drawn_mesh(record, given))


def _numbers(value: Any) -> Iterator[Any]:
    if is_dataclass(value):
        for item in fields(value):
            yield from _numbers(getattr(value, item.name))
    elif isinstance(value, np.ndarray):
        yield value


def _sample(value: Any, shape: tuple[int, ...], place: int) -> Any:
    """The same without samples."""
    if is_dataclass(value) and not isinstance(value, type):
        return replace(
            value, **{one.name: _sample(getattr(value, one.name), shape, place) for one in fields(value)}
        )
    if isinstance(value, np.ndarray):
        return np.broadcast_to(value, shape).reshape(-1)[place].item()
    return value


def _one(drawn: DrawnMesh) -> PressureTable:
    pinion, wheel = (one.tooth for one in drawn.sides)
    pair = pair_geometry(
        normal_module_mm=drawn.normal_module_mm,
        pressure_angle_deg=drawn.pressure_angle_deg,
        helix_angle_deg=drawn.helix_angle_deg,
        centre_distance_mm=drawn.centre_distance_mm,
        pinion=pinion,
        wheel=wheel,
    )
    found = contact_between(drawn, pair, "the mate", 0.0, positions=POSITIONS, slices=SLICES)
    if isinstance(found, str):
        empty = np.full((LOADS_N_MM.size, PLACES.size), np.nan)
        return PressureTable(empty, (Notice(Level.STOP, "contact_pressure.none", f"{found}."),))
    arm = float(pair.pinion.reference_diameter_mm) / 2000.0
    torque = LOADS_N_MM[1:] * float(pair.common_face_width_mm) * arm
    loaded = at_torques(found, torque)
    squared = np.concatenate([np.zeros((1, PLACES.size)), _along(loaded)])
    stops = tuple(one for one in loaded.notices if one.level is Level.STOP)
    return PressureTable(squared, (*found.notices, *stops))


_table = remembered(_one)


def _along(loaded: LoadedContact) -> Array:
    """Squared pressure at the places, the largest of all slices; shape (loads, places).

    The places of a slice stand a position of the mesh apart; at the ends of the path the nearest counts.
    """
    bed, field = loaded.field.bed, loaded.field
    length = float(bed.pair.path_length_mm)
    on_path = bed.bed.usable & ~bed.at_corner
    most = np.zeros((field.pressure_MPa.shape[0], PLACES.size))
    for one in range(bed.face_mm.size):
        mine = on_path & (bed.face_slice == one)
        order = np.argsort(bed.place_mm[mine])
        place = bed.place_mm[mine][order] / length
        squared = (field.pressure_MPa[:, mine] ** 2)[:, order]
        at = np.clip(np.searchsorted(place, PLACES), 1, place.size - 1)
        share = np.clip((PLACES - place[at - 1]) / (place[at] - place[at - 1]), 0.0, 1.0)
        np.maximum(most, squared[:, at - 1] + share * (squared[:, at] - squared[:, at - 1]), out=most)
    return array(most)
