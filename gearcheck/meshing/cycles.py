"""Mesh cycles one after another, with the deviations of the teeth that are in mesh."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import lcm

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.meshing.contact_field import contact_field
from gearcheck.meshing.form import FlankForm, Misalignment, ToothDeviations
from gearcheck.meshing.loaded import normal_force_N, separation_mm, together, under_load
from gearcheck.meshing.mesh_bed import MeshBed
from gearcheck.meshing.tooth_by_tooth import in_mesh, need_teeth, stood_out_um

_AT_ONCE = 300_000
"""So many contacts are worked on together: what stays in memory is a few times as many numbers."""


@dataclass(frozen=True)
class CyclesPart:
    """Some mesh cycles of a revolution.

    Parameters
    ----------
    done, of : int
        Cycles worked out up to here, and of how many.
    error_um : ndarray
        Transmission error on the transverse line of action, shape (..., cycles, positions).
    pressure_MPa : ndarray
        Largest contact pressure of each cycle, shape (..., cycles).
    pair : ndarray of int
        The pair of teeth that has it, as they come into mesh, from 0, shape (..., cycles).
    corner_share : ndarray
        Largest share of the load on tip corners, shape (..., cycles).
    unsolved : int
        Positions whose contact did not come to an end.
    """

    done: int
    of: int
    error_um: Array
    pressure_MPa: Array
    pair: NDArray[np.intp]
    corner_share: Array
    unsolved: int


def loaded_cycles(
    *,
    bed: MeshBed,
    torque_Nm: Number,
    pinion: FlankForm,
    wheel: FlankForm,
    misalignment: Misalignment | None = None,
    pinion_teeth: ToothDeviations | None = None,
    wheel_teeth: ToothDeviations | None = None,
    cycles: int | None = None,
) -> Iterator[CyclesPart]:
    """Yield the mesh cycles of `loaded_revolution` part by part.

    Parameters
    ----------
    bed, torque_Nm, pinion, wheel, misalignment, pinion_teeth, wheel_teeth, cycles : as there
        Of `loaded_revolution`.

    Yields
    ------
    CyclesPart
        For `revolution_of`; whoever waits can show how much is done, and stop.
    """
    _check(bed, pinion_teeth, wheel_teeth, cycles)
    teeth = int(bed.pair.pinion.teeth), int(bed.pair.wheel.teeth)
    whole = cycles or max(whole_period(bed, pinion_teeth, wheel_teeth), teeth[0])
    drawn = separation_mm(bed, pinion, wheel, misalignment or Misalignment())
    torque, drawn = together(array(torque_Nm), drawn)
    force = normal_force_N(bed, torque)
    start = under_load(bed, drawn, force).force_N[..., None, :, :]
    members = [
        (given, form, roll, count)
        for given, form, roll, count in zip(
            (pinion_teeth, wheel_teeth), (pinion, wheel), bed.rolls_mm, teeth, strict=True
        )
        if given is not None
    ]
    size = max(_AT_ONCE // max(drawn.size, 1), 1)
    for first in range(0, whole, size):
        cycle = np.arange(first, min(first + size, whole))
        separation = drawn[..., None, :, :]
        for given, form, roll, count in members:
            out = stood_out_um(bed, given, form, roll, in_mesh(bed, count, cycle))
            separation = separation - out / 1000.0 * bed.lean
        yield _part(bed, force, separation, start, cycle, whole)


def whole_period(
    bed: MeshBed, pinion_teeth: ToothDeviations | None, wheel_teeth: ToothDeviations | None
) -> int:
    """Return after how many mesh cycles everything comes back.

    Parameters
    ----------
    bed : MeshBed
        With the numbers of teeth.
    pinion_teeth, wheel_teeth : ToothDeviations or None
        Of the gears that deviate.

    Returns
    -------
    int
        1, z_1, z_2, or their least common multiple.
    """
    given = (
        (pinion_teeth, int(bed.pair.pinion.teeth)),
        (wheel_teeth, int(bed.pair.wheel.teeth)),
    )
    return lcm(*(count for deviations, count in given if deviations is not None))


def _check(
    bed: MeshBed,
    pinion_teeth: ToothDeviations | None,
    wheel_teeth: ToothDeviations | None,
    cycles: int | None,
) -> None:
    faults = Faults()
    need_teeth(faults, "pinion_teeth", pinion_teeth, int(bed.pair.pinion.teeth))
    need_teeth(faults, "wheel_teeth", wheel_teeth, int(bed.pair.wheel.teeth))
    faults.need(cycles is None or cycles >= 1, "cycles", cycles, "1 mesh cycle or more")
    faults.check()


def _part(
    bed: MeshBed, force: Array, separation: Array, start: Array, cycle: NDArray[np.intp], of: int
) -> CyclesPart:
    """Solve some cycles, each from the state without deviations."""
    samples = np.broadcast_shapes((*force.shape, cycle.size), separation.shape[:-2])
    shape = (*samples, *separation.shape[-2:])
    separation = np.broadcast_to(separation, shape)
    force = np.broadcast_to(force[..., None], samples)
    found = under_load(bed, separation, force, np.broadcast_to(start, shape))
    flat = contact_field(bed, found.force_N, separation, found.approach_mm).pressure_MPa.reshape(
        (*samples, -1)
    )
    at = flat.argmax(axis=-1)
    corner = found.force_N.sum(axis=-1, where=bed.at_corner).max(axis=-1)
    loaded = (force > 0) & ~np.isnan(found.approach_mm).any(axis=-1)
    with np.errstate(invalid="ignore", divide="ignore"):
        corner = np.where(loaded, corner / force, np.nan)
    return CyclesPart(
        done=int(cycle[-1]) + 1,
        of=of,
        error_um=-1000.0 * found.approach_mm / bed.lean,
        pressure_MPa=np.where(loaded, taken(flat, at), np.nan),
        pair=np.asarray(cycle - bed.tooth_pair.ravel()[at]),
        corner_share=corner,
        unsolved=int((~found.solved).sum()),
    )
