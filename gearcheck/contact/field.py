"""Stress below a Hertz line contact with friction, in closed form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

FIELD = Method(
    key="johnson.line_field",
    title="Stress below a line contact",
    source="Johnson, Contact Mechanics",
    edition="1985",
    clause="sections 4.2(c) and 7.2",
    status=Status.FROM_MEMORY,
    valid=(
        Range("z_over_b", "z/b_H", 0, np.inf, "", Level.STOP),
        Range("friction", "μ", -1, 1, "", Level.CAUTION),
        Range("poisson", "ν", 0, 0.5, "", Level.STOP),
    ),
    implements=(
        "elastic half-space in plane strain, Hertz pressure, sliding friction μ·p over the whole contact",
    ),
    leaves_out=("residual stress, roughness, the body's curvature and size",),
    departures=(
        "Sections and equations are cited from memory; the stresses agree with the line load on a half-space "
        "(Flamant) integrated over pressure and traction.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class StressField(Result):
    """Stress in parts of the largest pressure p_0; σ_y is the stress along the contact line."""

    method: ClassVar[Method] = FIELD
    x_over_b: Number = term("Distance from the load line along the surface, in half-widths", "x_b")
    z_over_b: Number = term("Depth below the surface, in half-widths", "z_b")
    friction: Number = term("Coefficient of friction, traction on the surface towards +x", "μ")
    poisson: Number = term("Poisson's ratio", "ν")
    sigma_x: Number = term(
        "Normal stress along the surface", "σ_x", words="closed form, sum of pressure and friction"
    )
    sigma_z: Number = term(
        "Normal stress along the depth", "σ_z", words="closed form, sum of pressure and friction"
    )
    tau_xz: Number = term(
        "Orthogonal shear stress", "τ_xz", words="closed form, sum of pressure and friction"
    )
    sigma_y: Number = term("Normal stress along the contact line", "σ_y", "", "ν·(σ_x+σ_z)")
    tau_in_plane: Number = term(
        "Largest shear stress in the plane across the contact line", "τ_max", "", "√(((σ_x-σ_z)/2)²+τ_xz²)"
    )
    tau_all_planes: Number = term(
        "Largest shear stress over all three principal planes",
        "τ_3",
        "",
        "max(τ_max, abs((σ_x+σ_z)/2-σ_y)/2 + τ_max/2)",
    )
    von_mises: Number = term(
        "Equivalent stress of von Mises",
        "σ_v",
        "",
        "√(((σ_x-σ_y)²+(σ_y-σ_z)²+(σ_z-σ_x)²)/2 + 3·τ_xz²)",
    )


def _pressure_part(x: Array, z: Array) -> tuple[Array, Array, Array, Array]:
    """Return σ_x, σ_z, τ_xz for pressure alone and σ_x for friction alone, each for p_0 or q_0 = 1."""
    middle = 1 - x**2 + z**2
    root = np.hypot(middle, 2 * x * z)  # m² + n²
    # the smaller of m and n follows from m·n = x·z: its own difference would lose its digits
    larger = np.sqrt((root + np.abs(middle)) / 2)
    smaller = np.divide(np.abs(x * z), larger, out=np.zeros_like(larger), where=larger > 0)
    m = np.where(middle >= 0, larger, smaller)
    n = np.where(middle >= 0, smaller, larger) * np.sign(x)
    # at the edge of the contact m = n = 0 and each product below vanishes
    whole = np.where(root > 0, root, 1.0)
    sigma_x = 2 * z - m * (1 + (z**2 + n**2) / whole)
    sigma_z = -m * (1 - (z**2 + n**2) / whole)
    tau_xz = -n * (m**2 - z**2) / whole
    sigma_x_friction = n * (2 - (z**2 - m**2) / whole) - 2 * x
    return sigma_x, sigma_z, tau_xz, sigma_x_friction


def stress_field(
    *, x_over_b: Number, z_over_b: Number, friction: Number = 0.0, poisson: Number = 0.3
) -> StressField:
    """Return all stresses below a Hertz line contact, in parts of the largest pressure.

    σ_x = -m (1 + (z² + n²)/(m² + n²)) + 2 z + μ (n (2 - (z² - m²)/(m² + n²)) - 2 x),
    σ_z = -m (1 - (z² + n²)/(m² + n²)) + μ τ_xz(μ = 0), τ_xz = -n (m² - z²)/(m² + n²) + μ σ_x(μ = 0),
    with m², n² = (√((1 - x² + z²)² + 4 x² z²) ± (1 - x² + z²))/2

    Parameters
    ----------
    x_over_b : float or array
        x/b_H, along the surface across the contact line.
    z_over_b : float or array
        z/b_H, below the surface, 0 or more.
    friction : float or array
        μ, positive where the traction on this body points towards +x.
    poisson : float or array
        ν; it enters the stress along the contact line only.

    Returns
    -------
    StressField
        σ_x, σ_y, σ_z, τ_xz, largest shear in the plane and over all principal planes, von Mises; each
        divided by p_0, tension positive.

    Notes
    -----
    Source: Johnson, Contact Mechanics, equations 4.49 and 7.5 to 7.8, in McEwen's form; the numbers of the
    equations are from memory, the stresses are proven by integration.
    Valid for: z/b_H of 0 or more and ν from 0 to 0.5; a stop notice otherwise.
    Departures: none.
    Checked: HERTZ-01, HERTZ-02, HERTZ-03, HERTZ-03b, HERTZ-04, HERTZ-06, HERTZ-08, HERTZ-QUAD.

    Examples
    --------
    >>> field = stress_field(x_over_b=0, z_over_b=0.7862)
    >>> round(field.tau_in_plane, 4), round(field.von_mises, 4)
    (0.3003, 0.5552)
    """
    x, z, mu = array(x_over_b), array(z_over_b), array(friction)
    nu = array(poisson)
    x, z = np.broadcast_arrays(x, np.where(z < 0, np.nan, z))
    sigma_x0, sigma_z0, tau_0, sigma_xq = _pressure_part(x, z)
    sigma_x, sigma_z, tau = sigma_x0 + mu * sigma_xq, sigma_z0 + mu * tau_0, tau_0 + mu * sigma_x0
    nu = np.where((nu < 0) | (nu > 0.5), np.nan, nu)
    sigma_y = nu * (sigma_x + sigma_z)
    in_plane = np.hypot((sigma_x - sigma_z) / 2, tau)
    across = np.abs((sigma_x + sigma_z) / 2 - sigma_y) / 2 + in_plane / 2
    mises = np.sqrt(
        ((sigma_x - sigma_y) ** 2 + (sigma_y - sigma_z) ** 2 + (sigma_z - sigma_x) ** 2) / 2 + 3 * tau**2
    )
    return StressField(
        x_over_b=x,
        z_over_b=z,
        friction=mu,
        poisson=nu,
        sigma_x=sigma_x,
        sigma_z=sigma_z,
        tau_xz=tau,
        sigma_y=sigma_y,
        tau_in_plane=in_plane,
        tau_all_planes=np.maximum(in_plane, across),
        von_mises=mises,
        notices=FIELD.outside(z_over_b=z_over_b, friction=mu, poisson=poisson),
    )


def axis_shear(*, z_over_b: Number) -> Array:
    """Return the largest shear stress on the load line of a frictionless line contact.

    τ_max/p_0 = ζ/(√(1 + ζ²) (√(1 + ζ²) + ζ)), ζ = z/b_H

    Parameters
    ----------
    z_over_b : float or array
        ζ, 0 or more.

    Returns
    -------
    ndarray of float
        τ_max/p_0; at most 0.3003, at ζ = 0.7862.

    Notes
    -----
    Source: Johnson, Contact Mechanics, equation 4.46, from memory, written without its difference of large
    numbers; proven by integration.
    Valid for: every ζ of 0 or more.
    Departures: none.
    Checked: HERTZ-01, HERTZ-04.

    Examples
    --------
    >>> print(round(float(axis_shear(z_over_b=1)), 5))
    0.29289
    """
    zeta = array(z_over_b)
    root = np.sqrt(1 + zeta**2)
    return array(zeta / (root * (root + zeta)))
