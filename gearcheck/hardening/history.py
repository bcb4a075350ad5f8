"""The stress that each depth sees while a contact rolls over it, with residual stress added."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.contact.field import stress_field
from gearcheck.hardening.rolling import DEEPEST, LARGEST_FRICTION, POISSON, unit_cycle
from gearcheck.materials.fatigue import hydrostatic_weight

HISTORY = Method(
    key="case.rolling_cycle",
    title="Stress over the rolling cycle",
    source="Johnson, Contact Mechanics; Dang Van, multiaxial fatigue criterion",
    edition="1985; 1973",
    clause="",
    status=Status.FROM_MEMORY,
    valid=(Range("friction", "μ", -LARGEST_FRICTION, LARGEST_FRICTION, "", Level.STOP),),
    implements=(
        "elastic line contact with friction rolling past each depth, plane strain, ν = 0.3",
        "largest shear in the plane across the contact line, with the residual stress along the flank",
        "amplitude and range of the orthogonal shear, which residual stress does not change",
        "Dang Van: shear about the centre of the smallest sphere round the path of the stress deviator, with "
        "the hydrostatic stress of the same instant",
    ),
    leaves_out=(
        "change of load and friction while one contact rolls past a point: each point of the path is a cycle "
        "of its own",
        "roughness and the film, which raise the stress in the outer hundredths of a millimetre",
        "plastic shakedown, which leaves a residual stress of its own",
    ),
    departures=(
        "The body is a half-space.",
        "Found at 283 positions that lie close where the edges of the contact pass: the criterion of Dang "
        "Van good to 3e-4 of p_0, the radius of the sphere to 1.5e-4, the rest to 5e-5.",
        "The sign of the friction mirrors the cycle, so that it changes none of these measures.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class RollingCycle(Result):
    """What each depth sees, by point of contact; points, then depths on the last axes."""

    method: ClassVar[Method] = HISTORY
    half_width_mm: Number = term("Half-width of the contact", "b_H", "mm")
    pressure_MPa: Number = term("Largest Hertz pressure", "p_0", "MPa")
    friction: Number = term("Coefficient of friction, by the direction of sliding", "μ")
    depth_mm: Number = term("Depth below the surface", "z", "mm")
    residual_stress_MPa: Number = term("Residual stress along and across the flank", "σ_R", "MPa")
    relative_depth: Number = term("Depth in half-widths", "ζ", "", "z/b_H")
    shear_in_plane_MPa: Number = term(
        "Largest shear in the plane across the contact line, with residual stress",
        "τ_max",
        "MPa",
        words="the largest √(((σ_x+σ_R-σ_z)/2)²+τ_xz²) of the cycle",
    )
    shear_range_MPa: Number = term(
        "Range of the orthogonal shear", "Δτ", "MPa", words="largest less least τ_xz of the cycle"
    )
    shear_amplitude_MPa: Number = term("Amplitude of the orthogonal shear", "τ_a", "MPa", "Δτ/2")
    sphere_radius_MPa: Number = term(
        "Radius of the smallest sphere round the path of the stress deviator",
        "R_D",
        "MPa",
        words="in the norm √J_2",
    )
    hydrostatic_least_MPa: Number = term(
        "Least hydrostatic stress, with residual stress", "σ_h1", "MPa", words="of the cycle"
    )
    hydrostatic_largest_MPa: Number = term(
        "Largest hydrostatic stress, with residual stress", "σ_h2", "MPa", words="of the cycle"
    )
    dang_van_MPa: Number = term(
        "Largest τ + a·σ_h, Dang Van",
        "τ_D",
        "MPa",
        words="of the cycle, τ the largest shear of the deviator less the centre of the sphere",
    )


def rolling_cycle(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    friction: Number,
    depth_mm: Number,
    residual_stress_MPa: Number = 0.0,
) -> RollingCycle:
    """Return what each depth sees while each contact of the path rolls over it.

    τ_a = (max τ_xz - min τ_xz)/2, τ_max = max √(((σ_x + σ_R - σ_z)/2)² + τ_xz²),
    τ_D = max (τ + a σ_h), σ_h = (σ_x + σ_y + σ_z + 2 σ_R)/3, over the positions of the contact

    Parameters
    ----------
    half_width_mm, pressure_MPa, friction : float or array
        b_H in mm, p_0 in MPa and μ, positive or negative by the direction of sliding, shape (samples,
        points).
    depth_mm : float or array
        z in mm, depths on the last axis, shape (samples, depths).
    residual_stress_MPa : float or array
        σ_R along and across the flank, MPa, shape (samples, depths).

    Returns
    -------
    RollingCycle
        Each measure in MPa, shape (samples, points, depths); a stop notice and no value where the friction is
        more than 0.5.

    Raises
    ------
    InputError
        A half-width, pressure or depth below 0.

    Notes
    -----
    Source: Johnson 1985; Dang Van, from memory.
    Valid for: depths well below the size of the tooth, μ up to 0.5.
    Departures: see the method.
    Checked: CYCLE-ORTHOGONAL, CYCLE-FRICTION, CYCLE-DANG-VAN.

    Examples
    --------
    >>> cycle = rolling_cycle(half_width_mm=0.3, pressure_MPa=1500, friction=0.0, depth_mm=[0.15, 0.24])
    >>> cycle.shear_amplitude_MPa.round(1).tolist(), cycle.shear_in_plane_MPa.round(1).tolist()
    ([[375.0, 352.8]], [[417.4, 450.4]])
    """
    b, p_0, mu = (
        part[..., None]
        for part in np.atleast_1d(
            *np.broadcast_arrays(array(half_width_mm), array(pressure_MPa), array(friction))
        )
    )
    z, residual = (
        part[..., None, :]
        for part in np.atleast_1d(*np.broadcast_arrays(array(depth_mm), array(residual_stress_MPa)))
    )
    checked_contact(half_width_mm=b, pressure_MPa=p_0, depth_mm=z)
    mu = np.where(np.abs(mu) > LARGEST_FRICTION, np.nan, mu)
    zeta = relative_depth(depth_mm=z, half_width_mm=b)
    cycle = unit_cycle(z_over_b=np.minimum(zeta, 10 * DEEPEST), friction=mu)
    radius, shear = cycle.shear_about_centre()
    hydrostatic = p_0[..., None] * cycle.hydrostatic + 2 / 3 * residual[..., None]
    across = (p_0[..., None] * (cycle.sigma_x - cycle.sigma_z) + residual[..., None]) / 2
    dang_van = p_0[..., None] * shear + hydrostatic_weight() * hydrostatic
    amplitude = p_0 * cycle.amplitude
    return RollingCycle(
        half_width_mm=b,
        pressure_MPa=p_0,
        friction=mu,
        depth_mm=z,
        residual_stress_MPa=residual,
        relative_depth=np.where(np.isinf(zeta), np.nan, zeta),
        shear_in_plane_MPa=np.hypot(across, p_0[..., None] * cycle.tau_xz).max(axis=-1),
        shear_range_MPa=2 * amplitude,
        shear_amplitude_MPa=amplitude,
        sphere_radius_MPa=p_0 * radius,
        hydrostatic_least_MPa=hydrostatic.min(axis=-1),
        hydrostatic_largest_MPa=hydrostatic.max(axis=-1),
        dang_van_MPa=dang_van.max(axis=-1),
        notices=HISTORY.outside(friction=friction),
    )


def relative_depth(*, depth_mm: Array, half_width_mm: Array) -> Array:
    """Return the depth in half-widths; infinite below a contact without load.

    Parameters
    ----------
    depth_mm, half_width_mm : ndarray
        z and b_H in mm, broadcast against one another.

    Returns
    -------
    ndarray of float
        ζ = z/b_H.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return array(np.where(half_width_mm == 0, np.inf, depth_mm / half_width_mm))


def checked_contact(**lengths_and_pressures: Number) -> None:
    """Raise one InputError that names every value below 0; NaN passes: it is a stop from before.

    Parameters
    ----------
    **lengths_and_pressures : float or array
        By their names.

    Returns
    -------
    None
        Nothing.

    Raises
    ------
    InputError
        A value below 0.
    """
    faults = Faults()
    for name, value in lengths_and_pressures.items():
        faults.need(not np.any(array(value) < 0), name, value, "0 or more")
    faults.check()


@dataclass(frozen=True, kw_only=True)
class StressMap(Result):
    """Stress below one contact with residual stress added; depths, then positions on the last axes."""

    method: ClassVar[Method] = HISTORY
    half_width_mm: Number = term("Half-width of the contact", "b_H", "mm")
    pressure_MPa: Number = term("Largest Hertz pressure", "p_0", "MPa")
    friction: Number = term("Coefficient of friction, traction towards +x", "μ")
    position_mm: Number = term("Position along the flank from the load line", "x", "mm")
    depth_mm: Number = term("Depth below the surface", "z", "mm")
    residual_stress_MPa: Number = term("Residual stress along and across the flank", "σ_R", "MPa")
    sigma_x_MPa: Number = term(
        "Stress along the flank", "σ_x", "MPa", words="of the load, plus the residual stress"
    )
    sigma_y_MPa: Number = term(
        "Stress along the contact line",
        "σ_y",
        "MPa",
        words="ν·(σ_x+σ_z) of the load, plus the residual stress",
    )
    sigma_z_MPa: Number = term("Stress normal to the flank", "σ_z", "MPa", words="of the load")
    tau_xz_MPa: Number = term("Orthogonal shear stress", "τ_xz", "MPa", words="of the load")
    shear_in_plane_MPa: Number = term(
        "Largest shear in the plane across the contact line", "τ_max", "MPa", "√(((σ_x-σ_z)/2)²+τ_xz²)"
    )
    von_mises_MPa: Number = term(
        "Equivalent stress of von Mises",
        "σ_v",
        "MPa",
        "√(((σ_x-σ_y)²+(σ_y-σ_z)²+(σ_z-σ_x)²)/2 + 3·τ_xz²)",
    )
    hydrostatic_MPa: Number = term("Hydrostatic stress", "σ_h", "MPa", "(σ_x+σ_y+σ_z)/3")


def stress_map(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    friction: Number,
    position_mm: Number,
    depth_mm: Number,
    residual_stress_MPa: Number = 0.0,
) -> StressMap:
    """Return the stress below one contact over depth and position, with residual stress added.

    σ_x = p_0 σ_x(x/b_H, z/b_H, μ) + σ_R, σ_y = p_0 ν (σ_x + σ_z) + σ_R

    Parameters
    ----------
    half_width_mm, pressure_MPa, friction : float or array
        b_H in mm, p_0 in MPa and μ of the contact, shape (samples).
    position_mm : array
        x in mm along the flank, positions on the last axis.
    depth_mm : array
        z in mm, depths on the last axis.
    residual_stress_MPa : float or array
        σ_R along and across the flank at each depth, MPa.

    Returns
    -------
    StressMap
        All stresses in MPa, shape (samples, depths, positions).

    Raises
    ------
    InputError
        A half-width, pressure or depth below 0.

    Notes
    -----
    Source: Johnson 1985.
    Valid for: depths well below the size of the tooth.
    Departures: see the method.
    Checked: MAP-HAND.

    Examples
    --------
    >>> found = stress_map(half_width_mm=0.3, pressure_MPa=1500, friction=0.0, position_mm=[0.0, 0.26],
    ...     depth_mm=[0.15])
    >>> found.tau_xz_MPa.round(1).tolist(), found.shear_in_plane_MPa.round(1).tolist()
    ([[-0.0, -375.0]], [[414.6, 388.1]])
    """
    b, p_0, mu = (array(part)[..., None, None] for part in (half_width_mm, pressure_MPa, friction))
    x, z = array(position_mm)[..., None, :], array(depth_mm)[..., :, None]
    checked_contact(half_width_mm=b, pressure_MPa=p_0, depth_mm=z)
    residual = (
        array(residual_stress_MPa)[..., None]
        if array(residual_stress_MPa).ndim
        else array(residual_stress_MPa)
    )
    width = np.where(b > 0, b, np.nan)
    field = stress_field(x_over_b=x / width, z_over_b=z / width, friction=mu, poisson=POISSON)
    sigma_x, sigma_y = p_0 * field.sigma_x + residual, p_0 * field.sigma_y + residual
    sigma_z, tau = p_0 * field.sigma_z, p_0 * field.tau_xz
    different = (sigma_x - sigma_y) ** 2 + (sigma_y - sigma_z) ** 2 + (sigma_z - sigma_x) ** 2
    return StressMap(
        half_width_mm=b,
        pressure_MPa=p_0,
        friction=mu,
        position_mm=x,
        depth_mm=z,
        residual_stress_MPa=residual,
        sigma_x_MPa=sigma_x,
        sigma_y_MPa=sigma_y,
        sigma_z_MPa=sigma_z,
        tau_xz_MPa=tau,
        shear_in_plane_MPa=np.hypot((sigma_x - sigma_z) / 2, tau),
        von_mises_MPa=np.sqrt(different / 2 + 3 * tau**2),
        hydrostatic_MPa=(sigma_x + sigma_y + sigma_z) / 3,
        notices=field.notices,
    )
