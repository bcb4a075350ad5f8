"""What one looks at in a loaded contact: pressure, load along the face, shares of the pairs, pattern."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.meshing.mesh_bed import MeshBed
from gearcheck.meshing.root_arm import root_arms_mm


@dataclass(frozen=True)
class ContactField:
    """Each contact of each position, as in `MeshBed`; leading axes are samples.

    Parameters
    ----------
    bed : MeshBed
        The places.
    force_N : ndarray
        Normal force, shape (..., positions, contacts).
    line_load_N_mm, half_width_mm, pressure_MPa : ndarray
        Along the contact line; the pressure is that of a line contact, at a corner too.
    separation_mm : ndarray
        Without load, same shape.
    approach_mm : ndarray
        Of both gears, shape (..., positions).
    """

    bed: MeshBed
    force_N: Array
    line_load_N_mm: Array
    half_width_mm: Array
    pressure_MPa: Array
    separation_mm: Array
    approach_mm: Array

    @property
    def overlap_mm(self) -> Array:
        """How far the flanks would overlap but for their own approach; below 0 the gap between them."""
        given_way = np.matmul(self.bed.bed.flexibility, self.force_N[..., None])[..., 0]
        return array(self.approach_mm[..., None] - self.separation_mm - given_way)


def contact_field(bed: MeshBed, force_N: Array, separation_mm: Array, approach_mm: Array) -> ContactField:
    """Return line load, half-width and pressure of each contact.

    Parameters
    ----------
    bed : MeshBed
        Its contacts.
    force_N, separation_mm : ndarray
        Normal force and separation without load, shape (..., positions, contacts).
    approach_mm : ndarray
        Of both gears, shape (..., positions).

    Returns
    -------
    ContactField
        Of the same shape.
    """
    load = force_N / bed.bed.length_mm
    modulus, radius = bed.bed.local.contact_modulus_MPa, bed.bed.local.radius_mm
    return ContactField(
        bed=bed,
        force_N=force_N,
        line_load_N_mm=load,
        half_width_mm=np.sqrt(4.0 * load * radius / (np.pi * modulus)),
        pressure_MPa=np.sqrt(load * modulus / (np.pi * radius)),
        separation_mm=separation_mm,
        approach_mm=approach_mm,
    )


def field_values(field: ContactField, force: Array) -> dict[str, Array]:
    """Return what one looks at first: pressure, load along the face, shares, pattern.

    Parameters
    ----------
    field : ContactField
        Of shape (..., positions, contacts).
    force : ndarray
        F_bn in N, shape (...); 0 without load.

    Returns
    -------
    dict of str to ndarray
        By the fields of `LoadedContact`.
    """
    bed, forces = field.bed, field.force_N
    loaded = (force > 0) & ~np.isnan(forces).any(axis=(-2, -1))
    whole = np.where(loaded, force, np.nan)
    flat = field.pressure_MPa.reshape((*force.shape, -1))
    at = flat.argmax(axis=-1)
    slices = bed.face_mm.size
    of_slice = np.zeros((*force.shape, slices))
    for one in range(slices):
        of_slice[..., one] = forces.sum(axis=(-2, -1), where=bed.face_slice == one)
    of_slice /= bed.position_mm.size * bed.slice_mm
    share, roots = _shares(field, whole)
    corner = forces.sum(axis=-1, where=bed.at_corner).max(axis=-1) / whole
    largest = np.where(loaded, of_slice.max(axis=-1), np.nan)
    low, high = _pattern(field.overlap_mm, bed)
    low, high = (np.where(loaded, end, np.nan) for end in (low, high))
    return {
        "largest_pressure_MPa": np.where(loaded, flat.max(axis=-1), np.nan),
        "pressure_place_mm": np.where(loaded, bed.place_mm.ravel()[at], np.nan),
        "pressure_face_mm": np.where(loaded, bed.face_of.ravel()[at], np.nan),
        "face_load_N_mm": of_slice,
        "face_load_factor": largest / ((of_slice @ bed.slice_mm) / bed.width_mm),
        "largest_share": share,
        "pinion_root_share": roots[0],
        "wheel_root_share": roots[1],
        "corner_share": corner,
        "face_end_share": np.maximum(of_slice[..., 0], of_slice[..., -1]) / largest,
        "pattern_from_mm": low,
        "pattern_to_mm": high,
        "pattern_margin_mm": np.minimum(low, bed.width_mm - high),
    }


def far_off(bed: MeshBed, force_N: Array) -> bool:
    """Say whether contacts as far off the path as any that are looked at carry load.

    Parameters
    ----------
    bed : MeshBed
        Its contacts.
    force_N : ndarray
        Shape (..., positions, contacts).

    Returns
    -------
    bool
        Then those beyond would carry too.
    """
    corner = bed.at_corner & bed.bed.usable
    off = np.where(corner, np.maximum(-bed.place_mm, bed.place_mm - float(bed.pair.path_length_mm)), 0.0)
    last = corner & (off > off.max() - float(bed.pair.base_pitch_mm) / bed.position_mm.size)
    return bool((force_N > 0.0)[..., last].any())


def _shares(field: ContactField, whole: Array) -> tuple[Array, tuple[Array, Array]]:
    """The largest share of one pair, and the largest root moment of both gears."""
    bed = field.bed
    pairs = np.unique(bed.tooth_pair)
    arms = root_arms_mm(bed)
    share, roots = np.zeros(whole.shape), (np.zeros(whole.shape), np.zeros(whole.shape))
    for one in pairs:
        mine = (bed.tooth_pair == one) & bed.bed.usable
        load = field.force_N.sum(axis=-1, where=mine)
        np.maximum(share, load.max(axis=-1) / whole, out=share)
        for found, (arm, longest) in zip(roots, arms, strict=True):
            moment = (field.force_N * arm).sum(axis=-1, where=mine) / longest
            np.maximum(found, moment.max(axis=-1) / whole, out=found)
    return share, roots


def _pattern(overlap: Array, bed: MeshBed) -> tuple[Array, Array]:
    """From where to where on the face flanks press on one another, between the middles of slices."""
    slices = bed.face_mm.size
    most = np.full((*overlap.shape[:-2], slices), -np.inf)
    for one in range(slices):
        mine = (bed.face_slice == one) & bed.bed.usable
        most[..., one] = overlap.max(axis=(-2, -1), where=mine, initial=-np.inf)
    return _edge(most, bed.face_mm), bed.width_mm - _edge(most[..., ::-1], bed.width_mm - bed.face_mm[::-1])


def _edge(overlap: Array, face: Array) -> Array:
    """How far in nothing presses, mm: where the overlap of two slices goes through nothing.

    Beyond the middle of the last slice it goes on as between the last two: the end of the pattern moves to
    the end of the face, and does not jump there.
    """
    first = (overlap > 0).argmax(axis=-1)
    outer = np.clip(first - 1, 0, max(overlap.shape[-1] - 2, 0))
    inner = np.minimum(outer + 1, overlap.shape[-1] - 1)
    out, within = (np.take_along_axis(overlap, at[..., None], axis=-1)[..., 0] for at in (outer, inner))
    falls, known = within > out, np.isfinite(out)
    back = np.where(falls & known, out / np.where(falls & known, within - out, 1.0), np.inf)
    back = np.where(known, back, -1.0)  # where nothing can touch
    apart = np.where(inner > outer, face[inner] - face[outer], face[0])
    return array(np.maximum(face[outer] - back * apart, 0.0))
