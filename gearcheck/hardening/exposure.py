"""Exposure below the surface: largest shear stress against the shear yield strength at each depth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.contact.field import axis_shear
from gearcheck.hardening.profile import hardness_profile
from gearcheck.materials.hardness import yield_strength_MPa

CRUSHING = Method(
    key="case_crushing.yielding",
    title="Yielding below the case",
    source="Pedersen and Rice, case crushing of carburised gears, SAE",
    edition="1961",
    clause="ratio of largest shear stress to shear yield strength",
    status=Status.FROM_MEMORY,
    valid=(
        Range("safety", "S", 0, np.inf, "", Level.STOP),
        Range("core_hardness_HV", "HV_c", 130, 550, "HV", Level.CAUTION),
    ),
    implements=(
        "one pair: largest shear stress of the elastic line contact against 0.55 of the shear yield strength",
        "shear yield strength 0.577 σ_y, σ_y from the hardness (Pavlina and Van Tyne)",
    ),
    leaves_out=(
        "residual stress, which the constant 0.55 does not know",
        "fatigue by the amplitude of orthogonal shear, and fatigue from inclusions",
        "friction: up to a coefficient of 0.1 it raises the stress by less than 1.6 %",
    ),
    departures=(
        "Shear stress in the plane across the contact line, on the load line. Off it, or over all three "
        "principal planes (ν = 0.3), it is larger above 0.58 half-widths only, and stays below its peak "
        "at 0.79 half-widths, where the case is no harder.",
        "The hardness profile is scaled to meet 550 HV at the case depth, so a harder surface falls off more "
        "steeply: where the core governs, it asks for a slightly deeper case.",
    ),
)

_POINTS = 121
_NO_CASE = 1e-9  # mm: a case without depth, so that the core alone stands below the surface


@dataclass(frozen=True, kw_only=True)
class SubsurfaceExposure(Result):
    """Stress, strength and exposure over depth for a given case; depths on the last axis."""

    method: ClassVar[Method] = CRUSHING
    safety: Number = term("Safety against yielding below the surface", "S")
    depth_mm: Number = term("Depth below the finished surface", "z", "mm")
    shear_stress_MPa: Number = term(
        "Largest shear stress of all points of contact", "τ_max", "MPa", words="p_0·ζ/(√(1+ζ²)·(√(1+ζ²)+ζ))"
    )
    hardness_HV: Number = term("Hardness", "HV", "HV", words="from the profile of the case")
    yield_strength_MPa: Number = term("Yield strength", "σ_y", "MPa", "2.876·HV - 90.7")
    permissible_shear_MPa: Number = term("Permissible shear stress", "τ_P", "MPa", "0.55·0.577·σ_y")
    exposure: Number = term("Exposure", "A", "", "S·τ_max/τ_P")
    largest_exposure: Number = term("Largest exposure of all depths", "A_max", words="the largest of A")


def permissible_share() -> float:
    """Return the share of the yield strength that the largest shear stress may reach: 0.55 · 0.577.

    Returns
    -------
    float
        The ratio of Pedersen and Rice times that of von Mises.

    Notes
    -----
    Checked: CASE-13.
    """
    constants = table("case_crushing")
    return constants.value("shear ratio") * constants.value("shear yield over yield")


def shear_envelope_MPa(  # noqa: N802 - carries its unit
    *, depth_mm: Array, half_width_mm: Array, pressure_MPa: Array
) -> Array:
    """Return the largest shear stress of all points of contact at each depth.

    τ_max(z) = max over the points of p_0 ζ/(√(1 + ζ²) (√(1 + ζ²) + ζ)), ζ = z/b_H

    Parameters
    ----------
    depth_mm : ndarray
        Shape (..., depths).
    half_width_mm, pressure_MPa : ndarray
        Shape (..., points).

    Returns
    -------
    ndarray of float
        Shape (..., depths), MPa.
    """
    b, p_0 = half_width_mm[..., None, :], pressure_MPa[..., None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        zeta = depth_mm[..., None] / b
        shear = p_0 * axis_shear(z_over_b=zeta)
    # a point without load has no width and no stress
    return array(np.where(b == 0, 0.0, shear).max(axis=-1))


def subsurface_exposure(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    surface_hardness_HV: Number,
    core_hardness_HV: Number,
    case_depth_mm: Number,
    safety: Number,
    depth_mm: Number | None = None,
) -> SubsurfaceExposure:
    """Return stress, strength and exposure over depth for a given case depth.

    A(z) = S τ_max(z)/(0.55 · 0.577 σ_y(HV(z)))

    Parameters
    ----------
    half_width_mm, pressure_MPa : float or array
        b_H in mm and p_0 in MPa along the path; points on the last axis, shape (samples, points).
    surface_hardness_HV, core_hardness_HV, case_depth_mm, safety : float or array
        HV_s, HV_c, CHD at 550 HV in mm of the finished flank and S, shape (samples).
    depth_mm : array, optional
        z in mm, depths on the last axis; 121 depths from 0 to the larger of 4 b_H and 2 CHD without it.

    Returns
    -------
    SubsurfaceExposure
        Each over depth, shape (samples, depths).

    Notes
    -----
    Source: Pedersen and Rice; Pavlina and Van Tyne; Lang; all constants from memory.
    Valid for: S of 0 or more.
    Departures: shear on the load line, no residual stress.
    Checked: EXPOSURE-HAND, CASE-13.

    Examples
    --------
    >>> exposure = subsurface_exposure(half_width_mm=[0.3], pressure_MPa=[1500], surface_hardness_HV=700,
    ...     core_hardness_HV=400, case_depth_mm=1.0, safety=1.0)
    >>> round(exposure.largest_exposure, 2)
    0.76
    """
    b, p_0 = np.atleast_1d(*np.broadcast_arrays(array(half_width_mm), array(pressure_MPa)))
    S, case = array(safety), np.maximum(array(case_depth_mm), _NO_CASE)
    if depth_mm is None:
        deepest = np.maximum(4 * b.max(axis=-1), 2 * case)
        z = deepest[..., None] * np.linspace(0, 1, _POINTS)
    else:
        z = np.atleast_1d(array(depth_mm))
    profile = hardness_profile(
        depth_mm=z,
        surface_hardness_HV=surface_hardness_HV,
        core_hardness_HV=core_hardness_HV,
        case_depth_mm=case,
    )
    tau = shear_envelope_MPa(depth_mm=z, half_width_mm=b, pressure_MPa=p_0)
    sigma_y = yield_strength_MPa(hardness_HV=profile.hardness_HV)
    permissible = permissible_share() * sigma_y
    exposure = np.where(S >= 0, S, np.nan)[..., None] * tau / permissible
    return SubsurfaceExposure(
        safety=S,
        depth_mm=z,
        shear_stress_MPa=tau,
        hardness_HV=profile.hardness_HV,
        yield_strength_MPa=sigma_y,
        permissible_shear_MPa=permissible,
        exposure=exposure,
        largest_exposure=exposure.max(axis=-1),
        notices=profile.notices + CRUSHING.outside(safety=S, core_hardness_HV=core_hardness_HV),
    )
