"""Lubricant, velocity and roughness factors of the pitting limit, ISO 6336-2."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.stress.numbers import checked_above_zero

METHOD = Method(
    key="iso6336_2.film_factors",
    title="Lubricant, velocity and roughness factors",
    source="ISO 6336-2",
    edition="2019",
    clause="clause 12, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("viscosity_40C_mm2_s", "ν_40", 0, 500, "mm²/s"),
        Range("relative_roughness_um", "Rz_10", 1, 20, "µm"),
    ),
    implements=("Z_L by the viscosity at 40 °C, Z_v, Z_R",),
    leaves_out=("synthetic oils", "the viscosity at 50 °C"),
    departures=("The ranges are those of the charts, as remembered; velocity has none.",),
)


@dataclass(frozen=True, kw_only=True)
class FilmFactors(Result):
    """Factors of lubricant, velocity and roughness at the reference number of cycles."""

    method: ClassVar[Method] = METHOD
    flank_limit_MPa: Number = term("Allowable stress number, contact, of the softer gear", "σ_Hlim", "MPa")
    viscosity_40C_mm2_s: Number = term("Viscosity at 40 °C", "ν_40", "mm²/s")
    pitch_line_velocity_m_s: Number = term("Velocity at the reference circle", "v", "m/s")
    pinion_roughness_um: Number = term("Flank roughness of the pinion", "Rz_1", "µm")
    wheel_roughness_um: Number = term("Flank roughness of the wheel", "Rz_2", "µm")
    reduced_radius_mm: Number = term("Reduced radius at the pitch point, transverse", "ρ_red", "mm")
    lubricant_coefficient: Number = term(
        "Coefficient of Z_L", "C_ZL", "", "0.83 + 0.08·min(max((σ_Hlim - 850)/350, 0), 1)"
    )
    velocity_coefficient: Number = term("Coefficient of Z_v", "C_Zv", "", "C_ZL + 0.02")
    roughness_coefficient: Number = term(
        "Coefficient of Z_R", "C_ZR", "", "0.15 - 0.07·min(max((σ_Hlim - 850)/350, 0), 1)"
    )
    relative_roughness_um: Number = term(
        "Mean roughness for a radius of 10 mm", "Rz_10", "µm", "(Rz_1 + Rz_2)/2·(10/ρ_red)^(1/3)"
    )
    lubricant_factor: Number = term("Lubricant factor", "Z_L", "", "C_ZL + 4·(1 - C_ZL)/(1.2 + 134/ν_40)^2")
    velocity_factor: Number = term("Velocity factor", "Z_v", "", "C_Zv + 2·(1 - C_Zv)/√(0.8 + 32/v)")
    roughness_factor: Number = term("Roughness factor", "Z_R", "", "(3/Rz_10)^C_ZR")


def film_factors(
    *,
    flank_limit_MPa: Number,
    viscosity_40C_mm2_s: Number,
    pitch_line_velocity_m_s: Number,
    pinion_roughness_um: Number,
    wheel_roughness_um: Number,
    reduced_radius_mm: Number,
) -> FilmFactors:
    """Return the factors of lubricant, velocity and roughness.

    Z_L = C_ZL + 4 (1 - C_ZL)/(1.2 + 134/ν_40)²; Z_v = C_Zv + 2 (1 - C_Zv)/√(0.8 + 32/v);
    Z_R = (3/Rz_10)^C_ZR

    Parameters
    ----------
    flank_limit_MPa : float or array
        σ_Hlim of the softer gear in MPa.
    viscosity_40C_mm2_s : float or array
        ν_40 in mm²/s.
    pitch_line_velocity_m_s : float or array
        v in m/s.
    pinion_roughness_um, wheel_roughness_um : float or array
        Rz of both flanks in µm.
    reduced_radius_mm : float or array
        ρ_red at the pitch point in the transverse section, in mm.

    Returns
    -------
    FilmFactors
        Z_L, Z_v, Z_R with their coefficients.

    Raises
    ------
    InputError
        A value that is not above 0.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 12, from memory.
    Valid for: mineral oils up to 500 mm²/s, Rz_10 from 1 to 20 µm; outside, a caution.
    Departures: none.
    Checked: ISO2-05.

    Examples
    --------
    >>> z = film_factors(
    ...     flank_limit_MPa=1500, viscosity_40C_mm2_s=220, pitch_line_velocity_m_s=10,
    ...     pinion_roughness_um=3, wheel_roughness_um=3, reduced_radius_mm=10)
    >>> round(z.lubricant_factor, 4), z.velocity_factor, z.roughness_factor
    (1.02, 1.0, 1.0)
    """
    checked_above_zero(
        viscosity_40C_mm2_s=viscosity_40C_mm2_s,
        pitch_line_velocity_m_s=pitch_line_velocity_m_s,
        pinion_roughness_um=pinion_roughness_um,
        wheel_roughness_um=wheel_roughness_um,
    )
    value = table("iso6336_2_limits").value
    limit, radius = array(flank_limit_MPa), array(reduced_radius_mm)
    C_ZL = _by_strength(limit, "C_ZL")
    C_Zv, C_ZR = C_ZL + value("C_Zv less C_ZL"), _by_strength(limit, "C_ZR")
    mean = (array(pinion_roughness_um) + array(wheel_roughness_um)) / 2
    relative = mean * np.cbrt(value("Z_R, reference radius") / radius)
    thickness = value("Z_L, constant") + value("Z_L, viscosity") / array(viscosity_40C_mm2_s)
    speed = value("Z_v, constant") + value("Z_v, velocity") / array(pitch_line_velocity_m_s)
    return FilmFactors(
        flank_limit_MPa=limit,
        viscosity_40C_mm2_s=viscosity_40C_mm2_s,
        pitch_line_velocity_m_s=pitch_line_velocity_m_s,
        pinion_roughness_um=pinion_roughness_um,
        wheel_roughness_um=wheel_roughness_um,
        reduced_radius_mm=radius,
        lubricant_coefficient=C_ZL,
        velocity_coefficient=C_Zv,
        roughness_coefficient=C_ZR,
        relative_roughness_um=relative,
        lubricant_factor=C_ZL + 4 * (1 - C_ZL) / thickness**2,
        velocity_factor=C_Zv + 2 * (1 - C_Zv) / np.sqrt(speed),
        roughness_factor=(value("Z_R, reference roughness") / relative) ** C_ZR,
        notices=METHOD.outside(viscosity_40C_mm2_s=viscosity_40C_mm2_s, relative_roughness_um=relative),
    )


def _by_strength(flank_limit: Array, name: str) -> Array:
    value = table("iso6336_2_limits").value
    strengths = [value("low strength"), value("high strength")]
    low, high = value(f"{name}, low strength"), value(f"{name}, high strength")
    coefficient: Array = np.interp(flank_limit, strengths, [low, high])
    return coefficient
