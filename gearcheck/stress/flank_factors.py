"""The factors of the contact stress, ISO 6336-2."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.gear.involute import root
from gearcheck.stress.inputs import HelixFactor


def zone_factor(
    *,
    base_helix_angle_deg: Number,
    transverse_pressure_angle_deg: Number,
    working_pressure_angle_deg: Number,
) -> Array:
    """Return the zone factor.

    Z_H = √(2 cos β_b cos α_wt / (cos² α_t sin α_wt))

    Parameters
    ----------
    base_helix_angle_deg, transverse_pressure_angle_deg, working_pressure_angle_deg : float or array
        β_b, α_t and α_wt in degrees.

    Returns
    -------
    ndarray of float
        Z_H.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 6, from memory.
    Valid for: external and internal gears.
    Departures: none.
    Checked: ISO2-02, ISO2-FZG-A.

    Examples
    --------
    >>> print(round(float(zone_factor(
    ...     base_helix_angle_deg=0, transverse_pressure_angle_deg=20, working_pressure_angle_deg=20)), 3))
    2.495
    """
    beta_b, alpha_t, alpha_wt = (
        np.radians(array(angle))
        for angle in (base_helix_angle_deg, transverse_pressure_angle_deg, working_pressure_angle_deg)
    )
    return root(2 * np.cos(beta_b) / (np.cos(alpha_t) ** 2 * np.tan(alpha_wt)))


def elasticity_factor(
    *,
    pinion_modulus_MPa: Number,
    wheel_modulus_MPa: Number,
    pinion_poisson_ratio: Number,
    wheel_poisson_ratio: Number,
) -> Array:
    """Return the elasticity factor.

    Z_E = √(1 / (π ((1 - ν_1²)/E_1 + (1 - ν_2²)/E_2)))

    Parameters
    ----------
    pinion_modulus_MPa, wheel_modulus_MPa : float or array
        E in MPa.
    pinion_poisson_ratio, wheel_poisson_ratio : float or array
        ν.

    Returns
    -------
    ndarray of float
        Z_E in √MPa.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 7, from memory.
    Valid for: elastic materials.
    Departures: none.
    Checked: ISO2-01.

    Examples
    --------
    >>> print(round(float(elasticity_factor(
    ...     pinion_modulus_MPa=206000, wheel_modulus_MPa=206000,
    ...     pinion_poisson_ratio=0.3, wheel_poisson_ratio=0.3)), 1))
    189.8
    """
    pinion = (1 - array(pinion_poisson_ratio) ** 2) / array(pinion_modulus_MPa)
    wheel = (1 - array(wheel_poisson_ratio) ** 2) / array(wheel_modulus_MPa)
    return root(1 / (np.pi * (pinion + wheel)))


def helix_factor(*, helix_angle_deg: Number, reading: HelixFactor) -> Array:
    """Return the helix factor of the contact stress.

    Z_β = 1/√(cos β), or √(cos β) by the other reading

    Parameters
    ----------
    helix_angle_deg : float or array
        β in degrees.
    reading : HelixFactor
        Which of both.

    Returns
    -------
    ndarray of float
        Z_β.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 9, from memory; √(cos β) in the print of 2006 before its corrigendum.
    Valid for: up to 30°.
    Departures: none.
    Checked: ISO2-04.

    Examples
    --------
    >>> print(round(float(helix_factor(helix_angle_deg=15.8, reading=HelixFactor.RECIPROCAL_ROOT)), 5))
    1.01944
    """
    falling = root(np.cos(np.radians(array(helix_angle_deg))))
    return 1 / falling if reading is HelixFactor.RECIPROCAL_ROOT else falling


def nominal_flank_stress(
    *,
    stress_factor: Number,
    tangential_force_N: Number,
    reference_diameter_mm: Number,
    common_face_width_mm: Number,
    gear_ratio: Number,
) -> Array:
    """Return the contact stress at the pitch point without load factors.

    σ_H0 = Z √(F_t/(d_1 b) · (u + 1)/u)

    Parameters
    ----------
    stress_factor : float or array
        Z_H Z_E Z_ε Z_β in √MPa; Z_H Z_E alone gives the Hertzian pressure of one spur tooth pair.
    tangential_force_N : float or array
        F_t in N.
    reference_diameter_mm, common_face_width_mm : float or array
        d_1 and b in mm.
    gear_ratio : float or array
        u = z_2/z_1, negative with an internal wheel.

    Returns
    -------
    ndarray of float
        σ_H0 in MPa.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 5, from memory.
    Valid for: external and internal gears.
    Departures: none.
    Checked: ISO2-FZG-A.

    Examples
    --------
    >>> print(round(float(nominal_flank_stress(
    ...     stress_factor=189.8 * 2.495, tangential_force_N=5000, reference_diameter_mm=60,
    ...     common_face_width_mm=30, gear_ratio=2)), 1))
    966.6
    """
    load = array(tangential_force_N) / (array(reference_diameter_mm) * array(common_face_width_mm))
    ratio = array(gear_ratio)
    return array(stress_factor) * root(load * (ratio + 1) / ratio)


def contact_ratio_factor(*, transverse_contact_ratio: Number, overlap_ratio: Number) -> Array:
    """Return the contact ratio factor.

    Z_ε² = (4 - ε_α)/3 · (1 - ε_β) + ε_β/ε_α, with ε_β at most 1

    Parameters
    ----------
    transverse_contact_ratio, overlap_ratio : float or array
        ε_α and ε_β.

    Returns
    -------
    ndarray of float
        Z_ε.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 8, from memory.
    Valid for: ε_α up to 2.5.
    Departures: none.
    Checked: ISO2-03.

    Examples
    --------
    >>> print(round(float(contact_ratio_factor(transverse_contact_ratio=1.5, overlap_ratio=0)), 5))
    0.91287
    """
    ratio, overlap = array(transverse_contact_ratio), np.minimum(array(overlap_ratio), 1.0)
    factor: Array = np.sqrt((4 - ratio) / 3 * (1 - overlap) + overlap / ratio)
    return factor
