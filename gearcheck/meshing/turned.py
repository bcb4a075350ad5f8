"""What is told of the loaded transmission error over a revolution."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result, term

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
