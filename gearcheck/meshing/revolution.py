"""Static transmission error over a whole revolution, with the deviations of every tooth."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import lcm

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.meshing.contact_field import contact_field
from gearcheck.meshing.form import FlankForm, Misalignment, ToothDeviations
from gearcheck.meshing.loaded import ORDERS, normal_force_N, separation_mm, under_load
from gearcheck.meshing.mesh_bed import MeshBed
from gearcheck.meshing.tooth_by_tooth import in_mesh, need_teeth, stood_out_um
from gearcheck.meshing.turned import REVOLUTION, LoadedRevolution

SIDES = (-2, -1, 1, 2)
"""Sidebands that are told, in revolutions beside a mesh order."""
_AT_ONCE = 1_000_000
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


def loaded_revolution(
    *,
    bed: MeshBed,
    torque_Nm: Number,
    pinion: FlankForm,
    wheel: FlankForm,
    misalignment: Misalignment | None = None,
    pinion_teeth: ToothDeviations | None = None,
    wheel_teeth: ToothDeviations | None = None,
    cycles: int | None = None,
) -> LoadedRevolution:
    """Return the static transmission error over a revolution, with the deviations of every tooth.

    C·F + h(F) + e - δ_i - δ ≥ 0, F ≥ 0 at each contact, ΣF = F_bn, δ_i = index + profile(ρ) + helix(z) of
    the teeth in mesh; TE = -δ/cos β_b

    Parameters
    ----------
    bed : MeshBed
        Of both gears.
    torque_Nm : float or array
        T_1, torque of the pinion in N·m, shape (...); 0 gives the error of rigid flanks.
    pinion, wheel : FlankForm
        Of the loaded flanks, numbers of shape (...).
    misalignment : Misalignment, optional
        Of the axes, numbers of shape (...).
    pinion_teeth, wheel_teeth : ToothDeviations, optional
        Of the loaded flanks, µm on the transverse line of action, shape (..., teeth[, places]).
    cycles : int, optional
        Mesh cycles; without it a revolution of the gear that deviates, the whole hunting cycle, the least
        common multiple of both numbers of teeth, where both do.

    Returns
    -------
    LoadedRevolution
        Curve, spectrum and largest pressure; a stop notice and no value where the torque is negative.

    Raises
    ------
    InputError
        Deviations that are not those of every tooth, a relief without its start.

    Notes
    -----
    Source: elastic contact without tension, solved exactly; Hertz for each slice.
    Valid for: T_1 of 0 or more; deviations small against the tooth.
    Departures: all teeth give way alike; a profile trace keeps its last value beyond its ends.
    Checked: TURN-RIGID, TURN-ECCENTRIC, TURN-DRAWN, TURN-SIDEBANDS.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.meshing.compliance import gear_compliance
    >>> from gearcheck.meshing.inputs import Body
    >>> from gearcheck.meshing.mesh_bed import mesh_bed
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.25,
    ...             rack_root_radius=0.38, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> gives = gear_compliance(gear=pair.pinion, pair=pair, body=Body(), face_width_mm=32, waves=4)
    >>> bed = mesh_bed(pair=pair, pinion=gives, wheel=gives, positions=8, slices=3)
    >>> flank = FlankForm(from_roll_mm=pair.pinion.start_radius_mm, to_roll_mm=pair.pinion.tip_radius_mm)
    >>> offset = ToothDeviations(index_um=5 * np.cos(2 * np.pi * np.arange(30) / 30))
    >>> found = loaded_revolution(bed=bed, torque_Nm=300, pinion=flank, wheel=flank, pinion_teeth=offset)
    >>> print(f"{found.pinion_turn_um:.1f} µm once a turn")
    5.0 µm once a turn
    """
    parts = loaded_cycles(
        bed=bed,
        torque_Nm=torque_Nm,
        pinion=pinion,
        wheel=wheel,
        misalignment=misalignment,
        pinion_teeth=pinion_teeth,
        wheel_teeth=wheel_teeth,
        cycles=cycles,
    )
    period = whole_period(bed, pinion_teeth, wheel_teeth)
    return revolution_of(bed=bed, torque_Nm=torque_Nm, parts=parts, period=period)


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
    torque, drawn = _together(array(torque_Nm), drawn)
    force = normal_force_N(bed, torque)
    known = np.where(force > 0, force, np.nan)
    start = under_load(bed, drawn, known).force_N[..., None, :, :]
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


def _together(torque: Array, separation: Array) -> tuple[Array, Array]:
    samples = np.broadcast_shapes(torque.shape, separation.shape[:-2])
    return (
        np.broadcast_to(torque, samples),
        np.broadcast_to(separation, (*samples, *separation.shape[-2:])),
    )


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
    found = under_load(bed, separation, np.where(force > 0, force, np.nan), np.broadcast_to(start, shape))
    rigid = separation.min(axis=-1, where=bed.bed.usable, initial=np.inf)
    approach = np.where((force == 0)[..., None], rigid, found.approach_mm)
    approach = np.where(found.solved, approach, np.nan)
    flat = contact_field(bed, found.force_N).pressure_MPa.reshape((*samples, -1))
    at = flat.argmax(axis=-1)
    corner = found.force_N.sum(axis=-1, where=bed.at_corner).max(axis=-1)
    loaded = force > 0
    with np.errstate(invalid="ignore", divide="ignore"):
        corner = np.where(loaded, corner / force, np.nan)
    return CyclesPart(
        done=int(cycle[-1]) + 1,
        of=of,
        error_um=-1000.0 * approach / bed.lean,
        pressure_MPa=np.where(loaded, taken(flat, at), np.nan),
        pair=np.asarray(cycle - bed.tooth_pair.ravel()[at]),
        corner_share=corner,
        unsolved=int((~found.solved).sum()),
    )


def revolution_of(
    *, bed: MeshBed, torque_Nm: Number, parts: Iterable[CyclesPart], period: int
) -> LoadedRevolution:
    """Return a revolution from its parts.

    Parameters
    ----------
    bed : MeshBed
        That they were worked out with.
    torque_Nm : float or array
        T_1, N·m.
    parts : iterable of CyclesPart
        By `loaded_cycles`; those that were done until a stop are enough for all but the spectrum.
    period : int
        By `whole_period`; over anything but whole periods there is no spectrum.

    Returns
    -------
    LoadedRevolution
        Of the cycles of the parts.
    """
    every = list(parts)
    curve = np.concatenate([part.error_um for part in every], axis=-2)
    pressure = np.concatenate([part.pressure_MPa for part in every], axis=-1)
    pair = np.concatenate([part.pair for part in every], axis=-1)
    corner = np.concatenate([part.corner_share for part in every], axis=-1).max(axis=-1)
    torque = np.broadcast_to(array(torque_Nm), curve.shape[:-2])
    teeth = int(bed.pair.pinion.teeth), int(bed.pair.wheel.teeth)
    at = np.where(np.isnan(pressure), -np.inf, pressure).argmax(axis=-1)
    largest = taken(pressure, at)
    carried = [np.where(np.isnan(largest), np.nan, taken(array(pair), at) % count + 1) for count in teeth]
    unsolved = sum(part.unsolved for part in every)
    return LoadedRevolution(
        torque_Nm=torque,
        pinion_teeth=teeth[0],
        wheel_teeth=teeth[1],
        base_pitch_mm=bed.pair.base_pitch_mm,
        **_curve(bed, curve, teeth, whole=curve.shape[-2] % period == 0),
        cycle_pressure_MPa=pressure,
        largest_pressure_MPa=largest,
        pressure_pinion_tooth=carried[0],
        pressure_wheel_tooth=carried[1],
        corner_share=corner,
        notices=_said(torque, corner, unsolved, curve.shape[-2], period),
    )


def _curve(bed: MeshBed, curve: Array, teeth: tuple[int, int], *, whole: bool) -> dict[str, Array]:
    """What the curve is made of; curve of shape (..., cycles, positions)."""
    cycles, positions = curve.shape[-2:]
    error, mesh = curve.reshape((*curve.shape[:-2], -1)), curve.mean(axis=-2)
    base = float(bed.pair.pinion_base_diameter_mm), float(bed.pair.wheel_base_diameter_mm)
    peak, size = np.ptp(error, axis=-1), cycles * positions
    spectrum = 2.0 * np.abs(np.fft.rfft(error)[..., 1 : (size + 1) // 2]) / size
    if not whole:
        spectrum = np.full_like(spectrum, np.nan)
    harmonic = np.arange(1, (size + 1) // 2)
    sides = [_sidebands(spectrum, cycles, positions, count) for count in teeth]
    rolled = float(bed.pair.base_pitch_mm) * np.arange(size) / positions
    turns = [np.float64(cycles / count) for count in teeth]
    return {
        "pinion_base_diameter_mm": array(base[0]),
        "wheel_base_diameter_mm": array(base[1]),
        "cycles": array(cycles),
        "pinion_turns": array(turns[0]),
        "wheel_turns": array(turns[1]),
        "position_mm": rolled,
        "error_um": error,
        "mean_um": error.mean(axis=-1),
        "peak_to_peak_um": peak,
        "pinion_arcsec": np.degrees(peak / (500.0 * base[0])) * 3600.0,
        "wheel_arcsec": np.degrees(peak / (500.0 * base[1])) * 3600.0,
        "mesh_error_um": mesh,
        "mesh_peak_to_peak_um": np.ptp(mesh, axis=-1),
        "orders_um": 2.0 * np.abs(np.fft.rfft(mesh)[..., 1 : _orders(positions) + 1]) / positions,
        "spectrum_um": spectrum,
        "pinion_order": harmonic / turns[0],
        "wheel_order": harmonic / turns[1],
        "pinion_turn_um": sides[0][0],
        "wheel_turn_um": sides[1][0],
        "pinion_sidebands_um": sides[0][1],
        "wheel_sidebands_um": sides[1][1],
    }


def _orders(positions: int) -> int:
    return min(ORDERS, positions // 2 - 1)


def _sidebands(spectrum: Array, cycles: int, positions: int, teeth: int) -> tuple[Array, Array]:
    """Once a turn, and the sidebands, shape (..., orders, sides); none where the curve is no whole turns."""
    orders, turns = np.arange(1, _orders(positions) + 1), cycles // teeth
    at = (orders[:, None] * cycles + np.array(SIDES) * turns) - 1
    if cycles % teeth:
        return np.full(spectrum.shape[:-1], np.nan), np.full((*spectrum.shape[:-1], *at.shape), np.nan)
    return spectrum[..., turns - 1], spectrum[..., at]


def _said(torque: Array, corner: Array, unsolved: int, cycles: int, period: int) -> tuple[Notice, ...]:
    key, said = REVOLUTION.key, [*REVOLUTION.outside(torque_Nm=torque)]
    if (torque == 0).any():
        text = "Without torque the transmission error is that of rigid flanks, and there is no pressure."
        said.append(Notice(Level.NOTE, f"{key}.unloaded", text))
    if unsolved:
        text = f"The contact was not solved at {unsolved} positions."
        said.append(Notice(Level.STOP, f"{key}.unsolved", text))
    if cycles % period:
        text = f"No spectrum: {cycles} mesh cycles are not a whole number of periods of {period}."
        said.append(Notice(Level.CAUTION, f"{key}.part", text))
    largest = float(np.nan_to_num(corner).max(initial=0.0))
    if largest > 0.0:
        text = (
            f"Tip corners carry up to {100.0 * largest:.0f} % of the load off the path of contact; "
            "the pressure there is higher than that of a line contact."
        )
        said.append(Notice(Level.CAUTION, f"{key}.corner", text))
    return tuple(said)
