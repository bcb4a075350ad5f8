"""The lubricant at a temperature: viscosity by ASTM D341, density, and how pressure thickens it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Lubricant

KELVIN = 273.15
THINNEST = 0.1
METHOD = Method(
    key="astm_d341.lubricant",
    title="Lubricant at a temperature",
    source="ASTM D341 and ISO/TS 6336-22",
    edition="",
    clause="viscosity-temperature line; density and pressure-viscosity coefficient",
    status=Status.FROM_MEMORY,
    valid=(
        Range("temperature_C", "θ", -20, 200, "°C"),
        Range("kinematic_viscosity_mm2_s", "ν", 2, 2e7, "mm²/s"),
    ),
    implements=(
        "line through two temperatures",
        "density falling with temperature",
        "pressure-viscosity by base oil",
    ),
    leaves_out=("shear thinning", "viscosity below 2 mm²/s, where D341 has further terms"),
)


@dataclass(frozen=True, kw_only=True)
class LubricantState(Result):
    """The lubricant at one temperature."""

    method: ClassVar[Method] = METHOD
    temperature_C: Number = term("Temperature", "θ", "°C")
    viscosity_40C_mm2_s: Number = term("Kinematic viscosity at 40 °C", "ν_40", "mm²/s")
    viscosity_100C_mm2_s: Number = term("Kinematic viscosity at 100 °C", "ν_100", "mm²/s")
    density_15C_kg_m3: Number = term("Density at 15 °C", "ρ_15", "kg/m³")
    slope: Number = term(
        "Slope of the line",
        "B",
        "",
        "(log10(log10(ν_40 + 0.7)) - log10(log10(ν_100 + 0.7)))/log10(373.15/313.15)",
    )
    kinematic_viscosity_mm2_s: Number = term(
        "Kinematic viscosity",
        "ν",
        "mm²/s",
        words="lg lg(ν + 0.7) = lg lg(ν_40 + 0.7) - B·lg(T/313.15), T absolute",
    )
    density_kg_m3: Number = term("Density", "ρ", "kg/m³", words="ρ_15·(1 - 0.7·(T - 289)/ρ_15)")
    dynamic_viscosity_mPas: Number = term("Dynamic viscosity", "η", "mPa·s", "ν·ρ/1000")
    pressure_coefficient_m2_N: Number = term(
        "Pressure-viscosity coefficient",
        "α",
        "m²/N",
        words="α_38·(1 + 516·(1/T - 1/311)), α_38 by base oil from η at 38 °C",
    )


def lubricant_at(*, lubricant: Lubricant, temperature_C: Number) -> LubricantState:
    """Return viscosity, density and pressure-viscosity coefficient of a lubricant at a temperature.

    lg lg(ν + 0.7) = A - B lg T through ν_40 and ν_100; α = α_38 (1 + 516 (1/T - 1/311))

    Parameters
    ----------
    lubricant : Lubricant
        With viscosity at both temperatures, density and kind.
    temperature_C : float or array
        θ in °C.

    Returns
    -------
    LubricantState
        ν in mm²/s, ρ in kg/m³, η in mPa·s, α in m²/N; a caution outside the range.

    Raises
    ------
    InputError
        What the lubricant does not say; a viscosity that does not fall with temperature.

    Notes
    -----
    Source: ASTM D341; ISO/TS 6336-22, from memory.
    Valid for: oils of 2 mm²/s or more.
    Departures: none.
    Checked: D341-01, D341-02, D341-ENDS, PRESSURE-01.

    Examples
    --------
    >>> from gearcheck.materials.inputs import LubricantKind
    >>> oil = Lubricant(viscosity_40C_mm2_s=220, viscosity_100C_mm2_s=19.4, density_15C_kg_m3=890,
    ...                 kind=LubricantKind.MINERAL)
    >>> round(lubricant_at(lubricant=oil, temperature_C=70).kinematic_viscosity_mm2_s, 1)
    52.4
    """
    _check(lubricant)
    nu_40, nu_100 = array(lubricant.viscosity_40C_mm2_s), array(lubricant.viscosity_100C_mm2_s)
    density, theta = array(lubricant.density_15C_kg_m3), array(temperature_C)
    slope = (_loglog(nu_40) - _loglog(nu_100)) / np.log10((100 + KELVIN) / (40 + KELVIN))
    nu, rho = _viscosity(theta, nu_40, slope), _density(theta, density)
    return LubricantState(
        temperature_C=theta,
        viscosity_40C_mm2_s=nu_40,
        viscosity_100C_mm2_s=nu_100,
        density_15C_kg_m3=density,
        slope=slope,
        kinematic_viscosity_mm2_s=nu,
        density_kg_m3=rho,
        dynamic_viscosity_mPas=nu * rho / 1000,
        pressure_coefficient_m2_N=_alpha(lubricant, theta, nu_40, slope, density),
        notices=METHOD.outside(temperature_C=theta, kinematic_viscosity_mm2_s=nu),
    )


def _check(lubricant: Lubricant) -> None:
    faults = Faults()
    for name in ("viscosity_100C_mm2_s", "density_15C_kg_m3", "kind"):
        faults.need(
            getattr(lubricant, name) is not None, name, None, "a value: the state of the oil rests on it"
        )
    faults.check()
    falls = array(lubricant.viscosity_100C_mm2_s) < array(lubricant.viscosity_40C_mm2_s)
    needed = "less than the viscosity at 40 °C, and above 1 mm²/s"
    sound = falls & (array(lubricant.viscosity_100C_mm2_s) > 1)
    faults.need(bool(np.all(sound)), "viscosity_100C_mm2_s", lubricant.viscosity_100C_mm2_s, needed)
    faults.check()


def _loglog(viscosity: Array) -> Array:
    return array(np.log10(np.log10(viscosity + 0.7)))


def _viscosity(theta: Array, nu_40: Array, slope: Array) -> Array:
    line = _loglog(nu_40) - slope * np.log10((theta + KELVIN) / (40 + KELVIN))
    # far beyond the range of the line, as at twenty times the torque, it would fall below nothing
    return array(np.maximum(10 ** (10**line) - 0.7, THINNEST))


def _density(theta: Array, density: Array) -> Array:
    return array(np.maximum(density - 0.7 * (theta + 273 - 289), density / 2))


def _alpha(lubricant: Lubricant, theta: Array, nu_40: Array, slope: Array, density: Array) -> Array:
    assert lubricant.kind is not None
    row = table("base_oils").row(lubricant.kind)
    eta_38 = _viscosity(array(38.0), nu_40, slope) * _density(array(38.0), density) / 1e6  # N·s/m²
    reference = row["alpha_1e8"] * 1e-8 * eta_38 ** row["alpha_exponent"]
    return array(reference * np.maximum(1 + 516 * (1 / (theta + 273) - 1 / 311), THINNEST))
