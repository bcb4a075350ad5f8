"""Speeds, friction and flash temperature of two flanks that roll and slide on one another."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.contact.sharing import PathPressure
from gearcheck.gear.path import ContactPath


def rolling_speeds(*, path: ContactPath, position_mm: Number, speed_rpm: Number) -> tuple[Array, Array]:
    """Return the speeds of both flanks along the profile where they touch.

    v_1 = ω_1 ρ_y1, v_2 = ω_2 ρ_y2, both along the tangent of the flanks

    Parameters
    ----------
    path : ContactPath
        Of the pair.
    position_mm : array
        g_y along the path, points on the last axis.
    speed_rpm : float or array
        Speed of the pinion in 1/min, shape of the samples.

    Returns
    -------
    tuple of ndarray
        v_1 and v_2 in m/s.

    Notes
    -----
    Source: kinematics of the involute.
    Valid for: external and internal pairs, transverse section.
    Departures: none.
    Checked: SCUF-03.
    """
    omega = array(speed_rpm)[..., None] * np.pi / 30
    ratio = array(path.pinion_base_diameter_mm)[..., None] / array(path.wheel_base_diameter_mm)[..., None]
    rho_1 = array(path.pinion_start_radius_mm)[..., None] + array(position_mm)
    # both radii change by the same length along the path, with one sign or the other
    first, last = array(path.wheel_radius_mm)[..., :1], array(path.wheel_radius_mm)[..., -1:]
    rho_2 = first + (last - first) * array(position_mm) / array(path.path_length_mm)[..., None]
    return omega * rho_1 / 1000, omega * ratio * rho_2 / 1000


def flash(
    *,
    friction: Number,
    line_load_N_mm: Number,
    half_width_mm: Number,
    speed_1_m_s: Number,
    speed_2_m_s: Number,
) -> Array:
    """Return the flash temperature of a band of contact that slides.

    θ_fl = 1.11 μ w |v_1 - v_2| / (√(2 b) (B_M √v_1 + B_M √v_2))

    Parameters
    ----------
    friction : float or array
        μ.
    line_load_N_mm, half_width_mm : float or array
        w normal to the flank in N/mm and Hertz half-width b in mm.
    speed_1_m_s, speed_2_m_s : float or array
        v_1 and v_2 along the flanks in m/s.

    Returns
    -------
    ndarray of float
        θ_fl in K; 0 in pure rolling.

    Notes
    -----
    Source: Blok, semi-elliptic heat source at high speed, both flanks equally hot.
    Valid for: steel on steel, fast sources.
    Departures: 1.11 for 1.1116 of the moving heat source.
    Checked: SCUF-01, SCUF-03.

    Examples
    --------
    >>> print(round(float(flash(friction=0.06, line_load_N_mm=532.1, half_width_mm=0.2103,
    ...                         speed_1_m_s=4.197, speed_2_m_s=1.8653)), 1))
    85.5
    """
    value = table("scuffing").value
    v_1, v_2 = array(speed_1_m_s), array(speed_2_m_s)
    heat = array(friction) * array(line_load_N_mm) * 1e3 * np.abs(v_1 - v_2)
    both = value("B_M") * (np.sqrt(np.abs(v_1)) + np.sqrt(np.abs(v_2)))
    width = np.sqrt(2 * array(half_width_mm) / 1e3)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = value("flash, semi-elliptic source") * heat / (width * both)
    # no load, no contact, no heat
    return np.where(array(half_width_mm) == 0, 0.0, found)


def flash_along(
    *, path: ContactPath, along: PathPressure, friction: Array, speed_rpm: Number
) -> tuple[Array, Array, Array]:
    """Return the flash temperature at each point of a path, and the speeds of both flanks there.

    Parameters
    ----------
    path, along : ContactPath and PathPressure
        The path of contact, and load and pressure along it.
    friction : ndarray
        μ, shape of the samples.
    speed_rpm : float or array
        Speed of the pinion in 1/min.

    Returns
    -------
    tuple of ndarray
        θ_fl in K, v_1 and v_2 in m/s; points on the last axis.
    """
    v_1, v_2 = rolling_speeds(path=path, position_mm=along.position_mm, speed_rpm=speed_rpm)
    theta = flash(
        friction=friction[..., None],
        line_load_N_mm=along.line_load_N_mm,
        half_width_mm=along.half_width_mm,
        speed_1_m_s=v_1,
        speed_2_m_s=v_2,
    )
    return theta, v_1, v_2


def thermoelastic_factor(*, modulus_MPa: Number, poisson: Number) -> Array:
    """Return the thermoelastic factor of two equal flanks.

    X_M = E_r^(1/4) √1000 / B_M, E_r = E/(1 - ν²), B_M in N/(mm √s K)

    Parameters
    ----------
    modulus_MPa, poisson : float or array
        E in MPa and ν.

    Returns
    -------
    ndarray of float
        X_M in K/(N^(3/4) s^(1/2) m^(-1/2) mm).

    Notes
    -----
    Source: ISO/TS 6336-20, from memory; shown beside, the flash temperature does not need it.
    Valid for: equal materials.
    Departures: none.
    Checked: SCUF-02.

    Examples
    --------
    >>> print(round(float(thermoelastic_factor(modulus_MPa=206000, poisson=0.3)), 1))
    50.0
    """
    reduced = array(modulus_MPa) / (1 - array(poisson) ** 2)
    return array(reduced**0.25 * np.sqrt(1000) / (table("scuffing").value("B_M") / 1000))


def mean_friction(
    *,
    along: PathPressure,
    pitch_radius_mm: Number,
    pitch_speed_m_s: Number,
    viscosity_mPas: Number,
    roughness_Ra_um: Number,
    base_oil: str,
    total_contact_ratio: Number = 1.0,
) -> Array:
    """Return the mean coefficient of friction of the flanks.

    μ = 0.045 (w K_Bγ/(v_ΣC ρ_C))^0.2 η^-0.05 · 2.2 (Ra/ρ_C)^0.25 · X_L

    Parameters
    ----------
    along : PathPressure
        For the line load of single contact.
    pitch_radius_mm, pitch_speed_m_s : float or array
        ρ_C normal to the flank in mm, and the sum of both speeds at the pitch point in m/s.
    viscosity_mPas : float or array
        η of the oil in mPa·s.
    roughness_Ra_um : float or array
        Mean Ra of both flanks in µm.
    base_oil : str
        A row of the table of base oils.
    total_contact_ratio : float or array
        ε_γ, for the load concentration K_Bγ of helical contact lines.

    Returns
    -------
    ndarray of float
        μ.

    Notes
    -----
    Source: ISO/TS 6336-21 and ISO/TS 6336-22, from memory.
    Valid for: ground flanks, pitch-line velocity from 1 to 50 m/s; a line load under 150 N/mm counts as 150.
    Departures: above 50 m/s the formula goes on, where the text holds the speed at its end.
    Checked: FRICTION-01.
    """
    value = table("scuffing").value
    load, radius = np.maximum(full_load(along), value("friction, least line load")), array(pitch_radius_mm)
    load = load * helical_load_factor(total_contact_ratio=total_contact_ratio)
    speed = array(pitch_speed_m_s)
    loaded = (load / (speed * radius)) ** value("friction, load exponent")
    rough = value("friction, roughness") * (array(roughness_Ra_um) / radius) ** value(
        "friction, roughness exponent"
    )
    thin = array(viscosity_mPas) ** -value("friction, viscosity exponent")
    return array(
        value("friction, mean") * loaded * rough * thin * table("base_oils").row(base_oil)["friction"]
    )


def helical_load_factor(*, total_contact_ratio: Number) -> Array:
    """Return the load concentration of helical contact lines in the friction.

    K_Bγ = 1 up to ε_γ = 2, 1 + 0.2 √((ε_γ - 2)(5 - ε_γ)) up to 3.5, 1.3 beyond

    Parameters
    ----------
    total_contact_ratio : float or array
        ε_γ.

    Returns
    -------
    ndarray of float
        K_Bγ.

    Notes
    -----
    Source: ISO/TS 6336-21, from memory; the branches meet.
    Valid for: every ε_γ.
    Departures: none.
    Checked: HELICAL-LOAD.
    """
    grown = np.clip(array(total_contact_ratio), 2, 3.5)
    return array(1 + 0.2 * np.sqrt((grown - 2) * (5 - grown)))


def load_loss_factor(*, path: ContactPath) -> Array:
    """Return the load loss factor of a pair: lost power is P μ H_v.

    H_v = (ε_1² + ε_2² + 1 - ε_α) (1/z_1 + 1/z_2) π/cos β_b, ε_1 = (g_E - g_C)/p_et, ε_2 = (g_C - g_A)/p_et

    Parameters
    ----------
    path : ContactPath
        Of the pair.

    Returns
    -------
    ndarray of float
        H_v.

    Notes
    -----
    Source: ISO/TS 6336-22, from memory; the same as the sliding integrated with the load shared in halves.
    Valid for: ε_α from 1 to 2 with the pitch point on the path.
    Departures: none.
    Checked: LOSS-01.
    """
    pitch, length = array(path.base_pitch_mm), array(path.path_length_mm)
    e_1 = (array(path.mark_E_mm) - array(path.mark_C_mm)) / pitch
    e_2 = (array(path.mark_C_mm) - array(path.mark_A_mm)) / pitch
    sliding = array(path.sliding_speed)
    # π (1/z_1 + 1/z_2), with the sign of an internal wheel, from what the path slides
    slope = (sliding[..., -1] - sliding[..., 0]) / length
    teeth = pitch * slope / (2 * np.cos(np.radians(array(path.working_pressure_angle_deg))))
    shape = e_1**2 + e_2**2 + 1 - length / pitch
    return array(shape * teeth / np.cos(np.radians(array(path.base_helix_angle_deg))))


def full_load(along: PathPressure) -> Array:
    """Return the normal line load of one pair that carries all of it, N/mm."""
    angle = np.radians(array(along.transverse_pressure_angle_deg))
    force = array(along.tangential_force_N) * array(along.load_factor)
    return array(force / (array(along.face_width_mm) * np.cos(angle)))


def mean_along(value: Array, position: Array) -> Array:
    """Return the mean of a quantity over the length of the path; points on the last axis."""
    length = position[..., -1] - position[..., 0]
    return array(np.trapezoid(value, position, axis=-1) / length)
