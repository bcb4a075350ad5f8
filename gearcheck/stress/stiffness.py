"""Mesh stiffness of ISO 6336-1, method B."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.stress.inputs import LightLoadStiffness

METHOD = Method(
    key="iso6336_1.mesh_stiffness",
    title="Mesh stiffness",
    source="ISO 6336-1",
    edition="2019",
    clause="clause 9, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("shift_sum", "x_1 + x_2", -0.5, 2),
        Range("shift_difference", "x_1 - x_2", 0, np.inf),
        Range("line_load_N_mm", "w", -np.inf, 1600, "N/mm"),
        Range("helix_angle_deg", "β", 0, 30, "°"),
        Range("transverse_contact_ratio", "ε_α", 1.2, np.inf),
    ),
    implements=(
        "steel gears on solid discs, or on rim and web by C_R",
        "internal wheels, with an endless virtual number of teeth",
    ),
    leaves_out=("materials other than steel",),
    departures=(
        "Below 100 N/mm the fall with the line load follows the reading chosen.",
        "The line load of that threshold counts K_γ, where the text has F_t·K_A/b.",
        "C_R is the mean of both gears.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class MeshStiffness(Result):
    """Stiffness of one tooth pair and of the mesh, per millimetre of face width."""

    method: ClassVar[Method] = METHOD
    pinion_teeth: Number = term("Teeth of the pinion", "z_1")
    wheel_teeth: Number = term("Teeth of the wheel", "z_2")
    pinion_profile_shift: Number = term("Profile shift of the pinion", "x_1")
    wheel_profile_shift: Number = term("Profile shift of the wheel", "x_2")
    pinion_rack_dedendum: Number = term("Rack dedendum of the pinion in modules", "h_fP1")
    wheel_rack_dedendum: Number = term("Rack dedendum of the wheel in modules", "h_fP2")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle", "β", "°")
    transverse_contact_ratio: Number = term("Transverse contact ratio", "ε_α")
    line_load_N_mm: Number = term("Line load with K_A and K_γ", "w", "N/mm")
    pinion_virtual_teeth: Number = term("Virtual teeth of the pinion", "z_n1", "", "z_1/cos(β)^3")
    wheel_virtual_teeth: Number = term("Virtual teeth of the wheel", "z_n2", "", "z_2/cos(β)^3")
    flexibility: Number = term(
        "Least flexibility of a tooth pair",
        "q′",
        "mm·µm/N",
        "0.04723 + 0.15551/z_n1 + 0.25791/z_n2 - 0.00635·x_1 - 0.11654·x_1/z_n1 - 0.00193·x_2"
        " - 0.24188·x_2/z_n2 + 0.00529·x_1^2 + 0.00182·x_2^2",
    )
    theoretical_stiffness: Number = term("Theoretical single stiffness", "c′_th", "N/(mm·µm)", "1/q′")
    correction_factor: Number = term("Correction factor", "C_M")
    gear_blank_factor: Number = term("Gear blank factor, mean of both gears", "C_R")
    basic_rack_factor: Number = term(
        "Basic rack factor, mean of both gears",
        "C_B",
        "",
        "(1 + 0.5·(1.2 - (h_fP1 + h_fP2)/2))·(1 - 0.02·(20 - α_n·180/π))",
    )
    light_load_factor: Number = term(
        "Fall below 100 N/mm", "C_w", words="1 from 100 N/mm; below, w/100 to the power of the reading chosen"
    )
    single_stiffness: Number = term("Single stiffness", "c′", "N/(mm·µm)", "c′_th·C_M·C_R·C_B·cos(β)·C_w")
    mesh_stiffness: Number = term("Mesh stiffness", "c_γα", "N/(mm·µm)", "c′·(0.75·ε_α + 0.25)")
    face_stiffness: Number = term("Mesh stiffness for load along the face", "c_γβ", "N/(mm·µm)", "0.85·c_γα")


@dataclass(frozen=True, kw_only=True)
class InternalMeshStiffness(MeshStiffness):
    """The same with an internal wheel, whose tooth is as stiff as that of an endless gear."""

    wheel_virtual_teeth: Number = term("Virtual teeth of the wheel", "z_n2", words="endless: internal wheel")
    flexibility: Number = term(
        "Least flexibility of a tooth pair",
        "q′",
        "mm·µm/N",
        "0.04723 + 0.15551/z_n1 - 0.00635·x_1 - 0.11654·x_1/z_n1 - 0.00193·x_2"
        " + 0.00529·x_1^2 + 0.00182·x_2^2",
    )


def basic_rack_factor(*, rack_dedendum: Number, pressure_angle_deg: Number) -> Array:
    """Return the basic rack factor of one gear.

    C_B = [1 + 0.5 (1.2 - h_fP/m_n)] · [1 - 0.02 (20° - α_n)]

    Parameters
    ----------
    rack_dedendum : float or array
        h_fP in modules.
    pressure_angle_deg : float or array
        α_n in degrees.

    Returns
    -------
    ndarray of float
        C_B.

    Notes
    -----
    Source: ISO 6336-1, clause 9; form of the 2008 corrigendum.
    Valid for: external gears.
    Departures: none.
    Checked: ISO1-02.

    Examples
    --------
    >>> print(basic_rack_factor(rack_dedendum=1.4, pressure_angle_deg=20))
    0.9
    """
    value = table("iso6336_1_stiffness").value
    shape = value("C_B, slope with dedendum") * (value("C_B, reference dedendum") - array(rack_dedendum))
    angle = value("C_B, reference pressure angle") - array(pressure_angle_deg)
    return (1 + shape) * (1 - value("C_B, slope with pressure angle") * angle)


def mesh_stiffness(
    *,
    pinion_teeth: Number,
    wheel_teeth: Number,
    pinion_profile_shift: Number,
    wheel_profile_shift: Number,
    pinion_rack_dedendum: Number,
    wheel_rack_dedendum: Number,
    pressure_angle_deg: Number,
    helix_angle_deg: Number,
    transverse_contact_ratio: Number,
    line_load_N_mm: Number,
    light_load_stiffness: LightLoadStiffness,
    gear_blank_factor: Number = 1.0,
    internal_wheel: bool = False,
) -> MeshStiffness:
    """Return the stiffness of a tooth pair and of the mesh.

    c' = c'_th C_M C_R C_B cos β, c_γα = c' (0.75 ε_α + 0.25), c_γβ = 0.85 c_γα

    Parameters
    ----------
    pinion_teeth, wheel_teeth, pinion_profile_shift, wheel_profile_shift : float or array
        z and x of both gears.
    pinion_rack_dedendum, wheel_rack_dedendum : float or array
        h_fP of both gears in modules.
    pressure_angle_deg, helix_angle_deg : float or array
        α_n and β in degrees.
    transverse_contact_ratio : float or array
        ε_α.
    line_load_N_mm : float or array
        F_t K_A K_γ/b in N/mm.
    light_load_stiffness : LightLoadStiffness
        How the stiffness falls below 100 N/mm.
    gear_blank_factor : float or array
        C_R, the mean of both gears; 1 for solid discs.
    internal_wheel : bool
        Whether the wheel is internal: z_n2 is then endless.

    Returns
    -------
    MeshStiffness
        q', c'_th, c', c_γα, c_γβ with their factors.

    Notes
    -----
    Source: ISO 6336-1:2019, clause 9, method B, coefficients from memory.
    Valid for: steel gears, -0.5 <= x1 + x2 <= 2, x1 >= x2, up to 1600 N/mm.
    Departures: the fall below 100 N/mm is a reading; its line load counts K_γ.
    Checked: ISO1-01, ISO1-02.

    Examples
    --------
    >>> c = mesh_stiffness(
    ...     pinion_teeth=16, wheel_teeth=24, pinion_profile_shift=0.1817, wheel_profile_shift=0.1715,
    ...     pinion_rack_dedendum=1.25, wheel_rack_dedendum=1.25, pressure_angle_deg=20, helix_angle_deg=0,
    ...     transverse_contact_ratio=1.43754, line_load_N_mm=300,
    ...     light_load_stiffness=LightLoadStiffness.FOURTH_ROOT)
    >>> round(c.single_stiffness, 3), round(c.mesh_stiffness, 3)
    (12.305, 16.343)
    """
    given = {
        "pinion_teeth": array(pinion_teeth),
        "wheel_teeth": array(wheel_teeth),
        "pinion_profile_shift": array(pinion_profile_shift),
        "wheel_profile_shift": array(wheel_profile_shift),
        "pinion_rack_dedendum": array(pinion_rack_dedendum),
        "wheel_rack_dedendum": array(wheel_rack_dedendum),
        "pressure_angle_deg": array(pressure_angle_deg),
        "helix_angle_deg": array(helix_angle_deg),
        "transverse_contact_ratio": array(transverse_contact_ratio),
        "line_load_N_mm": array(line_load_N_mm),
        "gear_blank_factor": array(gear_blank_factor),
    }
    x1, x2 = given["pinion_profile_shift"], given["wheel_profile_shift"]
    kind = InternalMeshStiffness if internal_wheel else MeshStiffness
    return kind(
        **given,
        **_steps(given, light_load_stiffness, internal_wheel),
        notices=METHOD.outside(
            shift_sum=x1 + x2,
            shift_difference=x1 - x2,
            line_load_N_mm=line_load_N_mm,
            helix_angle_deg=helix_angle_deg,
            transverse_contact_ratio=transverse_contact_ratio,
        ),
    )


def _steps(given: dict[str, Array], reading: LightLoadStiffness, internal_wheel: bool) -> dict[str, Number]:
    value = table("iso6336_1_stiffness").value
    cos_beta = np.cos(np.radians(given["helix_angle_deg"]))
    z_n1, z_n2 = given["pinion_teeth"] / cos_beta**3, given["wheel_teeth"] / cos_beta**3
    if internal_wheel:
        z_n2 = np.full_like(z_n2, np.inf)
    flexibility = _flexibility(z_n1, z_n2, given["pinion_profile_shift"], given["wheel_profile_shift"])
    rack = basic_rack_factor(
        rack_dedendum=(given["pinion_rack_dedendum"] + given["wheel_rack_dedendum"]) / 2,
        pressure_angle_deg=given["pressure_angle_deg"],
    )
    light = _light_load_factor(given["line_load_N_mm"], reading)
    single = value("C_M") * given["gear_blank_factor"] * rack * cos_beta * light / flexibility
    sharing = value("c_γα, part with contact ratio") * given["transverse_contact_ratio"]
    mesh = single * (sharing + value("c_γα, constant part"))
    return {
        "pinion_virtual_teeth": z_n1,
        "wheel_virtual_teeth": np.where(np.isinf(z_n2), np.nan, z_n2),
        "flexibility": flexibility,
        "theoretical_stiffness": 1 / flexibility,
        "correction_factor": value("C_M"),
        "basic_rack_factor": rack,
        "light_load_factor": light,
        "single_stiffness": single,
        "mesh_stiffness": mesh,
        "face_stiffness": value("c_γβ over c_γα") * mesh,
    }


def _flexibility(z_n1: Array, z_n2: Array, x1: Array, x2: Array) -> Array:
    c = [table("iso6336_1_stiffness").value(f"C_{number}") for number in range(1, 10)]
    constant = c[0] + c[1] / z_n1 + c[2] / z_n2
    shift = c[3] * x1 + c[4] * x1 / z_n1 + c[5] * x2 + c[6] * x2 / z_n2
    return constant + shift + c[7] * x1**2 + c[8] * x2**2


def _light_load_factor(line_load: Array, reading: LightLoadStiffness) -> Array:
    value = table("iso6336_1_stiffness").value
    exponent = value("light load exponent") if reading is LightLoadStiffness.FOURTH_ROOT else 1.0
    share: Array = np.minimum(line_load / value("light line load"), 1.0)
    return share**exponent
