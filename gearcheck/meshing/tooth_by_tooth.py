"""What stands out tooth by tooth, as the teeth of a gear go through the mesh."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, array
from gearcheck.meshing.form import FlankForm, ToothDeviations
from gearcheck.meshing.mesh_bed import MeshBed

FEWEST_PLACES = 2


def need_teeth(faults: Faults, name: str, given: ToothDeviations | None, teeth: int) -> None:
    """Note deviations that are not those of every tooth of a gear."""
    if given is None:
        return
    index = array(given.index_um)
    needed = f"a number for each of {teeth} teeth"
    faults.need(index.shape[-1:] == (teeth,), f"{name}.index_um", index.shape, needed)
    faults.need(not np.isnan(index).any(), f"{name}.index_um", "missing values", needed)
    for key in ("profile_um", "helix_um"):
        trace = getattr(given, key)
        if trace is None:
            continue
        values = array(trace)
        fits = values.ndim > 1 and values.shape[-2] == teeth and values.shape[-1] >= FEWEST_PLACES
        needed = f"a trace of {FEWEST_PLACES} places or more for each of {teeth} teeth"
        faults.need(fits, f"{name}.{key}", values.shape, needed)
        faults.need(not np.isnan(values).any(), f"{name}.{key}", "missing values", needed)


def in_mesh(bed: MeshBed, teeth: int, cycle: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return which tooth of a gear each contact belongs to, in the order in which they come into mesh.

    (c - j) mod z: what is tooth pair j in cycle c is j + 1 in the next one

    Parameters
    ----------
    bed : MeshBed
        Its contacts.
    teeth : int
        z.
    cycle : ndarray of int
        Cycles c, shape (cycles,).

    Returns
    -------
    ndarray of int
        From 0, shape (cycles, positions, contacts); tooth 0 is the one that passed the start last at the
        beginning of cycle 0.
    """
    return np.asarray((cycle[:, None, None] - bed.tooth_pair) % teeth)


def stood_out_um(
    bed: MeshBed, given: ToothDeviations, form: FlankForm, roll: Array, tooth: NDArray[np.intp]
) -> Array:
    """Return how far the teeth in mesh stand out of the flank drawn.

    δ = index + profile(ρ) + helix(z), all along the transverse line of action

    Parameters
    ----------
    bed : MeshBed
        Its contacts.
    given : ToothDeviations
        Of one gear, shape (..., teeth) and (..., teeth, places).
    form : FlankForm
        Its ends are those of the profile traces; beyond them a trace keeps its last value.
    roll : ndarray
        Roll length of the gear at each contact, mm, shape (positions, contacts).
    tooth : ndarray of int
        By `in_mesh`, shape (cycles, positions, contacts).

    Returns
    -------
    ndarray
        µm, shape (..., cycles, positions, contacts).
    """
    out = array(given.index_um)[..., tooth]
    if given.profile_um is not None:
        low, high = (float(array(end).flat[0]) for end in (form.from_roll_mm, form.to_roll_mm))
        out = out + _between(array(given.profile_um), tooth, (roll - low) / (high - low))
    if given.helix_um is not None:
        out = out + _between(array(given.helix_um), tooth, bed.face_of / bed.width_mm)
    return array(out)


def _between(values: Array, tooth: NDArray[np.intp], share: Array) -> Array:
    """Straight between even places of the trace of each tooth."""
    places = values.shape[-1]
    at = np.clip(share, 0.0, 1.0) * (places - 1)
    before = np.minimum(at.astype(np.intp), places - 2)
    flat = values.reshape((*values.shape[:-2], -1))
    first = tooth * places + before
    part = at - before
    return array(flat[..., first] * (1.0 - part) + flat[..., first + 1] * part)
