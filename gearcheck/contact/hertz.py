"""Hertz line contact of two elastic bodies: half-width, pressure, approach."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

HERTZ_LINE = Method(
    key="johnson.hertz_line",
    title="Hertz line contact",
    source="Johnson, Contact Mechanics",
    edition="1985",
    clause="section 4.2(c)",
    status=Status.FROM_MEMORY,
    valid=(
        Range("line_load_N_mm", "w", 0, np.inf, "N/mm", Level.STOP),
        Range("reduced_radius_mm", "ρ", 0, np.inf, "mm", Level.STOP),
    ),
    implements=("two cylinders with parallel axes, smooth, elastic, dry, infinitely long",),
    leaves_out=("end effects, lubricant film, roughness, plastic flow",),
    departures=("The section is cited from memory; half-width and pressure carry the load exactly.",),
)

APPROACH = Method(
    key="johnson.line_approach",
    title="Approach of one body in a line contact",
    source="Johnson, Contact Mechanics",
    edition="1985",
    clause="section 5.6, with the strain below the Hertz pressure integrated exactly",
    status=Status.FROM_MEMORY,
    valid=(Range("reference_depth_mm", "h", 0, np.inf, "mm", Level.STOP),),
    implements=("strain along the load line, plane strain, half-space",),
    leaves_out=("bending, and the body's shape beyond the reference depth",),
    departures=(
        "Exact at every depth where the book gives the limit of a large one.",
        "The section is cited from memory; the approach agrees with the strain integrated numerically.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class HertzLine(Result):
    """Line contact of two cylinders; without a value where load or radius is negative."""

    method: ClassVar[Method] = HERTZ_LINE
    line_load_N_mm: Number = term("Normal load per unit length of the contact line", "w", "N/mm")
    reduced_radius_mm: Number = term("Reduced radius of curvature", "ρ", "mm")
    modulus_1_MPa: Number = term("Modulus of elasticity of body 1", "E_1", "MPa")
    modulus_2_MPa: Number = term("Modulus of elasticity of body 2", "E_2", "MPa")
    poisson_1: Number = term("Poisson's ratio of body 1", "ν_1")
    poisson_2: Number = term("Poisson's ratio of body 2", "ν_2")
    contact_modulus_MPa: Number = term(
        "Contact modulus of both bodies", "E_c", "MPa", "1/((1-ν_1²)/E_1 + (1-ν_2²)/E_2)"
    )
    half_width_mm: Number = term("Half-width of the contact", "b_H", "mm", "√(4·w·ρ/(π·E_c))")
    pressure_MPa: Number = term("Largest Hertz pressure", "p_0", "MPa", "√(w·E_c/(π·ρ))")


def contact_modulus_MPa(  # noqa: N802 - carries its unit
    *, modulus_1_MPa: Number, modulus_2_MPa: Number, poisson_1: Number, poisson_2: Number
) -> Array:
    """Return the contact modulus of two elastic bodies.

    E_c = 1/((1 - ν_1²)/E_1 + (1 - ν_2²)/E_2)

    Parameters
    ----------
    modulus_1_MPa, modulus_2_MPa : float or array
        E_1, E_2 in MPa, above 0.
    poisson_1, poisson_2 : float or array
        ν_1, ν_2, from 0 to 0.5.

    Returns
    -------
    ndarray of float
        E_c in MPa.

    Raises
    ------
    InputError
        A modulus of 0 or less, or Poisson's ratio outside 0 to 0.5.

    Notes
    -----
    Source: Johnson, Contact Mechanics, section 4.2, from memory.
    Valid for: isotropic elastic bodies.
    Departures: none.
    Checked: HERTZ-09.

    Examples
    --------
    >>> steel = {"modulus_1_MPa": 206000, "modulus_2_MPa": 206000, "poisson_1": 0.3, "poisson_2": 0.3}
    >>> print(round(float(contact_modulus_MPa(**steel))))
    113187
    """
    E_1, E_2 = array(modulus_1_MPa), array(modulus_2_MPa)
    nu_1, nu_2 = array(poisson_1), array(poisson_2)
    faults = Faults()
    for name, modulus in (("modulus_1_MPa", E_1), ("modulus_2_MPa", E_2)):
        faults.need(not (modulus <= 0).any(), name, modulus, "a modulus above 0 MPa")
    for name, poisson in (("poisson_1", nu_1), ("poisson_2", nu_2)):
        faults.need(not ((poisson < 0) | (poisson > 0.5)).any(), name, poisson, "a ratio from 0 to 0.5")
    faults.check()
    return array(1 / ((1 - nu_1**2) / E_1 + (1 - nu_2**2) / E_2))


def hertz_line(
    *,
    line_load_N_mm: Number,
    reduced_radius_mm: Number,
    modulus_1_MPa: Number,
    modulus_2_MPa: Number,
    poisson_1: Number,
    poisson_2: Number,
) -> HertzLine:
    """Return half-width and pressure of a Hertz line contact.

    b_H = √(4 w ρ/(π E_c)), p_0 = √(w E_c/(π ρ))

    Parameters
    ----------
    line_load_N_mm : float or array
        w, normal load per unit length of the contact line, N/mm.
    reduced_radius_mm : float or array
        ρ in mm, 1/ρ = 1/ρ_1 + 1/ρ_2.
    modulus_1_MPa, modulus_2_MPa : float or array
        E_1, E_2 in MPa.
    poisson_1, poisson_2 : float or array
        ν_1, ν_2.

    Returns
    -------
    HertzLine
        Half-width b_H in mm and largest pressure p_0 in MPa, broadcast over all arguments.

    Raises
    ------
    InputError
        A modulus of 0 or less, or Poisson's ratio outside 0 to 0.5.

    Notes
    -----
    Source: Johnson, Contact Mechanics, section 4.2(c), from memory.
    Valid for: w and ρ of 0 or more; a stop notice otherwise.
    Departures: none.
    Checked: HERTZ-09, HERTZ-FORCE.

    Examples
    --------
    >>> contact = hertz_line(line_load_N_mm=624.5, reduced_radius_mm=10, modulus_1_MPa=206000,
    ...     modulus_2_MPa=206000, poisson_1=0.3, poisson_2=0.3)
    >>> round(contact.half_width_mm, 3), round(contact.pressure_MPa)
    (0.265, 1500)
    """
    w, rho = array(line_load_N_mm), array(reduced_radius_mm)
    E_c = contact_modulus_MPa(
        modulus_1_MPa=modulus_1_MPa, modulus_2_MPa=modulus_2_MPa, poisson_1=poisson_1, poisson_2=poisson_2
    )
    w, rho = np.where(w < 0, np.nan, w), np.where(rho <= 0, np.nan, rho)
    return HertzLine(
        line_load_N_mm=line_load_N_mm,
        reduced_radius_mm=reduced_radius_mm,
        modulus_1_MPa=modulus_1_MPa,
        modulus_2_MPa=modulus_2_MPa,
        poisson_1=poisson_1,
        poisson_2=poisson_2,
        contact_modulus_MPa=E_c,
        half_width_mm=np.sqrt(4 * w * rho / (np.pi * E_c)),
        pressure_MPa=np.sqrt(w * E_c / (np.pi * rho)),
        notices=HERTZ_LINE.outside(line_load_N_mm=line_load_N_mm, reduced_radius_mm=reduced_radius_mm),
    )


@dataclass(frozen=True, kw_only=True)
class LineApproach(Result):
    """How far one body gives way under the contact, seen from a reference depth."""

    method: ClassVar[Method] = APPROACH
    half_width_mm: Number = term("Half-width of the contact", "b_H", "mm")
    pressure_MPa: Number = term("Largest Hertz pressure", "p_0", "MPa")
    modulus_MPa: Number = term("Modulus of elasticity", "E", "MPa")
    poisson: Number = term("Poisson's ratio", "ν")
    reference_depth_mm: Number = term("Reference depth", "h", "mm")
    relative_depth: Number = term("Reference depth in half-widths", "ζ", "", "h/b_H")
    approach_mm: Number = term(
        "Approach of the contact to the reference depth",
        "δ",
        "mm",
        "b_H·p_0·(1-ν²)/E·(ln(ζ+√(1+ζ²)) - ν/(1-ν)·ζ/(√(1+ζ²)+ζ))",
    )


def line_approach(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    modulus_MPa: Number,
    poisson: Number,
    reference_depth_mm: Number,
) -> LineApproach:
    """Return the approach between the centre of a line contact and a reference depth in one body.

    δ = b_H p_0 (1 - ν²)/E · (asinh ζ - ν/(1 - ν) · ζ/(√(1 + ζ²) + ζ)), ζ = h/b_H

    Parameters
    ----------
    half_width_mm, pressure_MPa : float or array
        b_H in mm and p_0 in MPa.
    modulus_MPa, poisson : float or array
        E in MPa and ν of this body.
    reference_depth_mm : float or array
        h in mm. The approach of a line contact grows without limit with h, so h belongs to the answer.

    Returns
    -------
    LineApproach
        δ in mm.

    Notes
    -----
    Source: Johnson, Contact Mechanics, section 5.6, from memory.
    Valid for: h of 0 or more; a stop notice otherwise.
    Departures: exact at every depth.
    Checked: HERTZ-APPROACH.

    Examples
    --------
    >>> approach = line_approach(half_width_mm=0.265, pressure_MPa=1500, modulus_MPa=206000, poisson=0.3,
    ...     reference_depth_mm=5)
    >>> round(1000 * approach.approach_mm, 2)
    6.0
    """
    b, p_0, E = array(half_width_mm), array(pressure_MPa), array(modulus_MPa)
    nu, depth = array(poisson), array(reference_depth_mm)
    with np.errstate(divide="ignore", invalid="ignore"):
        zeta = np.where(depth < 0, np.nan, depth) / b
    shape, _ = approach_shape(zeta, nu)
    return LineApproach(
        half_width_mm=b,
        pressure_MPa=p_0,
        modulus_MPa=E,
        poisson=nu,
        reference_depth_mm=depth,
        relative_depth=zeta,
        approach_mm=b * p_0 * (1 - nu**2) / E * shape,
        notices=APPROACH.outside(reference_depth_mm=depth),
    )


def approach_shape(relative_depth: Array, poisson: Number) -> tuple[Array, Array]:
    """Return the approach of one body per b_H·p_0·(1 - ν²)/E, and how it grows with depth.

    f = asinh ζ - ν/(1 - ν)·ζ/(√(1 + ζ²) + ζ)

    Parameters
    ----------
    relative_depth : ndarray
        ζ = h/b_H, 0 or more.
    poisson : float or ndarray
        ν of the body.

    Returns
    -------
    shape, slope : ndarray
        f and df/dζ.
    """
    long, side = np.sqrt(1 + relative_depth**2), poisson / (1 - poisson)
    short = 1 / (long + relative_depth)  # √(1 + ζ²) - ζ without losing digits
    shape = np.arcsinh(relative_depth) - side * relative_depth * short
    return shape, (1 - side * short**2) / long
