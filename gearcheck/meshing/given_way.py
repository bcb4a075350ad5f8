"""What both gears give way at each contact of a mesh for a force at each other one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array, array
from gearcheck.gear.pair import PairGeometry
from gearcheck.meshing.compliance import GearCompliance


def along_face(gear: GearCompliance, pair: PairGeometry, face: Array, slice_mm: Array) -> Array:
    """Return what a force at one slice moves another, by step of teeth and heights.

    The waves of the tooth are those of its own face width, which the common one lies in the middle of.

    Parameters
    ----------
    gear : GearCompliance
        One of the gears.
    pair : PairGeometry
        Its pair.
    face, slice_mm : ndarray
        Middle and width of each slice, mm, shape (slices,).

    Returns
    -------
    ndarray
        mm/N, shape (steps, slices, heights, heights, slices): loaded slice, its height, moved height, slice.
    """
    wave = array(gear.wave_per_mm)
    length, lean = np.pi / wave[1], np.cos(np.radians(float(pair.helix_angle_deg)))
    width = float(pair.common_face_width_mm)
    along = (face - width / 2.0) / lean + length / 2.0
    half = slice_mm / lean / 2.0
    # a force is spread over its slice
    shape = np.cos(wave[:, None] * along) * np.sinc(wave[:, None] * half / np.pi)
    weight = np.where(wave > 0.0, 2.0, 1.0)[:, None] / length
    waves = (weight * shape)[:, :, None] * shape[:, None, :]
    return array(np.einsum("dmab,mst->dsabt", array(gear.compliance), waves, optimize=True))


def add_given_way(
    flexibility: Array, gear_along: Array, weights: Array, near: NDArray[np.bool_], ahead: int
) -> None:
    """Add what one gear gives way at each contact for a force at each other one.

    Parameters
    ----------
    flexibility : ndarray
        Added to, mm/N, shape (positions, pairs · slices, pairs · slices).
    gear_along : ndarray
        By `along_face`.
    weights : ndarray
        Of the heights at each contact, shape (positions, pairs, slices, heights).
    near : ndarray of bool
        Whether a pair can touch at a position and slice, shape (positions, pairs, slices).
    ahead : int
        1 where the next tooth pair is on the side that the loaded flank faces, -1 where it is behind.

    Returns
    -------
    None
        What is given is added to.
    """
    near = np.asarray(near.any(axis=-1))
    positions, pairs, slices, _ = weights.shape
    blocks = flexibility.reshape(positions, pairs, slices, pairs, slices)
    far = gear_along.shape[0] - 1
    for loaded in range(pairs):
        for moved in range(pairs):
            step = (moved - loaded) * ahead
            both = np.flatnonzero(near[:, loaded] & near[:, moved])
            if step < 0 or not both.size:
                continue
            found = _block(gear_along[min(step, far)], weights[both, loaded], weights[both, moved])
            blocks[both, loaded, :, moved, :] += found
            if moved != loaded:  # the way back is the same
                blocks[both, moved, :, loaded, :] += found.transpose(0, 2, 1)


def _block(along: Array, loaded: Array, moved: Array) -> Array:
    """Shape (positions, loaded slices, moved slices)."""
    slices, heights, *_ = along.shape
    part = np.matmul(loaded.transpose(1, 0, 2), along.reshape(slices, heights, -1))
    part = part.reshape(slices, len(loaded), heights, slices)
    return array(np.einsum("xpby,pyb->pxy", part, moved, optimize=True))
