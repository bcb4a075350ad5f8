"""Static transmission error over a whole revolution, with the deviations of every tooth."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.basics.results import Result, term
from gearcheck.meshing.cycles import CyclesPart, loaded_cycles, whole_period
from gearcheck.meshing.error_values import corner_caution, error_values, mesh_orders_um, orders_told
from gearcheck.meshing.form import FlankForm, Misalignment, ToothDeviations
from gearcheck.meshing.mesh_bed import MeshBed

REVOLUTION = Method(
    key="loaded_revolution",
    title="Static transmission error over a revolution, tooth by tooth",
    source="slices along the lines of contact on elastic teeth, contact without tension",
    edition="",
    clause="deviations of each tooth added to the flank drawn",
    status=Status.COMMON_PRACTICE,
    valid=(Range("torque_Nm", "T_1", 0, np.inf, "N·m", Level.STOP),),
    implements=(
        "index, profile and helix deviations of every tooth of one gear or of both",
        "mesh orders, their sidebands, and every order per revolution of both gears",
    ),
    leaves_out=(
        "friction, speed, oil film, temperature; bending and torsion of the shafts, other than misalignment",
    ),
    departures=(
        "All teeth give way alike: the deviations are small against the tooth.",
        "A profile trace keeps its last value beyond its ends.",
    ),
)
SIDES = (-2, -1, 1, 2)
"""Sidebands that are told, in revolutions beside a mesh order."""


@dataclass(frozen=True, kw_only=True)
class LoadedRevolution(Result):
    """Mesh cycles one after another. Samples come first; places of the curve, cycles, orders stand last.

    The error is positive where the driven gear runs ahead. Teeth count in the order in which they come into
    mesh, from 1.
    """

    method: ClassVar[Method] = REVOLUTION
    torque_Nm: Number = term("Torque of the pinion", "T_1", "N·m")
    pinion_teeth: Number = term("Teeth of the pinion", "z_1")
    wheel_teeth: Number = term("Teeth of the wheel", "z_2")
    pinion_base_diameter_mm: Number = term("Base diameter, pinion", "d_b1", "mm", digits=6)
    wheel_base_diameter_mm: Number = term("Base diameter, wheel", "d_b2", "mm", digits=6)
    base_pitch_mm: Number = term("Transverse base pitch", "p_et", "mm", "π·d_b1/z_1")
    cycles: Number = term("Mesh cycles", "N")
    pinion_turns: Number = term("Revolutions of the pinion", "n_1", "", "N/z_1")
    wheel_turns: Number = term("Revolutions of the wheel", "n_2", "", "N/z_2")
    position_mm: Number = term("Rolled along the line of action", "s", "mm")
    error_um: Number = term(
        "Transmission error on the transverse line of action",
        "TE",
        "µm",
        words="less the approach of both gears",
    )
    mean_um: Number = term("Its mean", "TE_m", "µm", words="mean of TE")
    peak_to_peak_um: Number = term("Its peak to peak", "TE_pp", "µm", words="largest less smallest TE")
    pinion_arcsec: Number = term("Peak to peak at the pinion", "φ_pp1", "″", "3600·180/π·TE_pp/(500·d_b1)")
    wheel_arcsec: Number = term("Peak to peak at the wheel", "φ_pp2", "″", "3600·180/π·TE_pp/(500·d_b2)")
    mesh_error_um: Number = term(
        "Part at mesh frequency, over one pitch", "TE_z", "µm", words="mean of TE over all cycles"
    )
    mesh_peak_to_peak_um: Number = term(
        "Peak to peak at mesh frequency", "TE_zpp", "µm", words="largest less smallest TE_z"
    )
    orders_um: Number = term("Amplitudes of the mesh orders", "TE_k", "µm", words="harmonics 1 to 5 of TE_z")
    spectrum_um: Number = term("Amplitudes of all orders", "A", "µm", words="harmonics of TE from 1 on")
    pinion_order: Number = term(
        "Their order per revolution of the pinion", "o_1", "", words="harmonic over n_1"
    )
    wheel_order: Number = term(
        "Their order per revolution of the wheel", "o_2", "", words="harmonic over n_2"
    )
    pinion_turn_um: Number = term(
        "Amplitude once a revolution of the pinion", "A_1", "µm", words="A where o_1 is 1"
    )
    wheel_turn_um: Number = term(
        "Amplitude once a revolution of the wheel", "A_2", "µm", words="A where o_2 is 1"
    )
    pinion_sidebands_um: Number = term(
        "Sidebands of the mesh orders, pinion",
        "A_k1",
        "µm",
        words="A where o_1 is k·z_1 - 2, -1, +1, +2",
    )
    wheel_sidebands_um: Number = term(
        "Sidebands of the mesh orders, wheel", "A_k2", "µm", words="A where o_2 is k·z_2 - 2, -1, +1, +2"
    )
    cycle_pressure_MPa: Number = term(
        "Largest contact pressure of each cycle", "p_0c", "MPa", words="over positions and flanks"
    )
    largest_pressure_MPa: Number = term("Largest contact pressure", "p_0max", "MPa", words="largest p_0c")
    pressure_pinion_tooth: Number = term(
        "Tooth of the pinion that has it", "i_1", "", words="as they come into mesh, from 1"
    )
    pressure_wheel_tooth: Number = term(
        "Tooth of the wheel that has it", "i_2", "", words="as they come into mesh, from 1"
    )
    corner_share: Number = term(
        "Largest share on tip corners", "X_k", "", words="load off the path of contact over the whole"
    )


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
    largest = np.where(np.isnan(pressure).any(axis=-1), np.nan, taken(pressure, at))
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
    size = cycles * positions
    spectrum = 2.0 * np.abs(np.fft.rfft(error)[..., 1 : (size + 1) // 2]) / size
    if not whole:
        spectrum = np.full_like(spectrum, np.nan)
    harmonic = np.arange(1, (size + 1) // 2)
    sides = [_sidebands(spectrum, cycles, positions, count) for count in teeth]
    rolled = float(bed.pair.base_pitch_mm) * np.arange(size) / positions
    turns = [np.float64(cycles / count) for count in teeth]
    return {
        "cycles": array(cycles),
        "pinion_turns": array(turns[0]),
        "wheel_turns": array(turns[1]),
        "position_mm": rolled,
        **error_values(bed, error),
        "mesh_error_um": mesh,
        "mesh_peak_to_peak_um": np.ptp(mesh, axis=-1),
        "orders_um": mesh_orders_um(mesh),
        "spectrum_um": spectrum,
        "pinion_order": harmonic / turns[0],
        "wheel_order": harmonic / turns[1],
        "pinion_turn_um": sides[0][0],
        "wheel_turn_um": sides[1][0],
        "pinion_sidebands_um": sides[0][1],
        "wheel_sidebands_um": sides[1][1],
    }


def _sidebands(spectrum: Array, cycles: int, positions: int, teeth: int) -> tuple[Array, Array]:
    """Once a turn, and the sidebands, shape (..., orders, sides); none where the curve is no whole turns."""
    orders, turns = np.arange(1, orders_told(positions) + 1), cycles // teeth
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
    said += corner_caution(key, corner)
    return tuple(said)
