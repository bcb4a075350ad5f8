"""Load and pressure along the path of contact, before the loaded contact is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.contact.hertz import contact_modulus_MPa
from gearcheck.gear.pair import PairGeometry
from gearcheck.gear.path import ContactPath

SHARING = Method(
    key="iso_ts6336_20.load_sharing",
    title="Load-sharing factor along the path of contact",
    source="ISO/TS 6336-20",
    edition="2017",
    clause="load-sharing factor, unmodified profiles",
    status=Status.FROM_MEMORY,
    valid=(
        Range("transverse_contact_ratio", "ε_α", 1, 2, "", Level.STOP),
        Range("overlap_ratio", "ε_β", 0, np.inf, "", Level.STOP),
        Range("tolerance_class", "tolerance class", -np.inf, 7),
    ),
    implements=(
        "spur gears with unmodified profile, tolerance class 7 or finer",
        "helical gears with an overlap ratio of 1 or more",
    ),
    leaves_out=(
        "the rise of load where a helical contact line begins and ends (buttressing)",
        "profile relief, which takes load from the ends of the path",
        "the larger share that a class coarser than 7 puts on the ends of the path",
    ),
    departures=(
        "Between ε_β = 0 and 1 the factor goes in a straight line from the spur to the helical value.",
    ),
)

PATH_PRESSURE = Method(
    key="hertz.path_pressure",
    title="Contact pressure along the path of contact",
    source="Johnson, Contact Mechanics, 1985, with the load factors of ISO 6336-2:2019",
    edition="",
    clause="",
    status=Status.FROM_MEMORY,
    valid=(Range("tangential_force_N", "F_t", 0, np.inf, "N", Level.STOP),),
    implements=("line contact in the normal section at every point of the path",),
    leaves_out=("load distribution of the loaded contact", "edge contact at the tips"),
    departures=("The load-sharing factor stands where ISO 6336-2 has Z_ε and Z_β.",),
)


@dataclass(frozen=True, kw_only=True)
class LoadSharing(Result):
    """Share of the load that one tooth pair carries; points on the last axis."""

    method: ClassVar[Method] = SHARING
    transverse_contact_ratio: Number = term("Transverse contact ratio", "ε_α")
    overlap_ratio: Number = term("Overlap ratio", "ε_β")
    tolerance_class: Number = term("Flank tolerance class, the coarser of both gears", "A")
    position_mm: Number = term("Distance from the start A along the path", "g_y", "mm")
    factor: Number = term(
        "Load-sharing factor",
        "X_Γ",
        words="spur: from 1/3 at the ends to 2/3 where single contact begins, 1 in single contact; "
        "helical from ε_β = 1: 1/ε_α; between them in a straight line over ε_β",
    )


@dataclass(frozen=True, kw_only=True)
class PathPressure(Result):
    """Line load, half-width and pressure at each point of the path; points on the last axis."""

    method: ClassVar[Method] = PATH_PRESSURE
    tangential_force_N: Number = term("Tangential force at the reference circle", "F_t", "N")
    face_width_mm: Number = term("Common face width", "b", "mm")
    transverse_pressure_angle_deg: Number = term("Transverse pressure angle", "α_t", "°")
    load_factor: Number = term("Product of the load factors K_A K_γ K_V K_Hβ K_Hα", "K")
    tolerance_class: Number = term("Flank tolerance class, the coarser of both gears", "A")
    position_mm: Number = term("Distance from the start A along the path", "g_y", "mm")
    load_sharing: Number = term("Load-sharing factor", "X_Γ")
    reduced_radius_mm: Number = term("Reduced radius of curvature in the normal section", "ρ_n", "mm")
    contact_modulus_MPa: Number = term("Contact modulus of both gears", "E_c", "MPa")
    line_load_N_mm: Number = term(
        "Normal load per unit length of the contact line", "w", "N/mm", "F_t·X_Γ·K/(b·cos(α_t))"
    )
    half_width_mm: Number = term("Half-width of the contact", "b_H", "mm", "√(4·w·ρ_n/(π·E_c))")
    pressure_MPa: Number = term("Largest Hertz pressure", "p_0", "MPa", "√(w·E_c/(π·ρ_n))")


def spur_sharing(position: Array, start: Array, single_start: Array, single_end: Array, end: Array) -> Array:
    """Return the load-sharing factor of a spur pair with unmodified profiles.

    X_Γ = (1 + (g - g_A)/(g_B - g_A))/3 before single contact, 1 in it, (1 + (g_E - g)/(g_E - g_D))/3 after it

    Parameters
    ----------
    position : ndarray
        g along the path, mm; points on the last axis.
    start, single_start, single_end, end : ndarray
        g_A, g_B, g_D, g_E in mm, broadcast against `position`.

    Returns
    -------
    ndarray of float
        X_Γ; at B and D themselves the value of single contact, the safe side of the jump.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        rising = np.clip((position - start) / (single_start - start), 0, 1)
        falling = np.clip((end - position) / (end - single_end), 0, 1)
    slack = 1e-9 * (end - start)
    single = (position >= single_start - slack) & (position <= single_end + slack)
    return array(np.where(single, 1.0, (1 + np.where(position < single_start, rising, falling)) / 3))


def load_sharing(*, path: ContactPath, pair: PairGeometry, tolerance_class: Number) -> LoadSharing:
    """Return the load-sharing factor at each point of the path of contact.

    Spur: from 1/3 at A to 2/3 at B, 1 from B to D, from 2/3 at D to 1/3 at E. Helical with ε_β >= 1: 1/ε_α.
    Between: X_Γ = (1 - ε_β) X_spur + ε_β/ε_α

    Parameters
    ----------
    path : ContactPath
        Points of the path and its marks A, B, D, E.
    pair : PairGeometry
        For ε_α and ε_β.
    tolerance_class : float or array
        A, the coarser flank tolerance class of both gears.

    Returns
    -------
    LoadSharing
        X_Γ, points on the last axis; a stop notice and no value unless 1 <= ε_α <= 2, a caution where the
        class is coarser than 7.

    Notes
    -----
    Source: ISO/TS 6336-20, from memory.
    Valid for: ε_α from 1 to 2, unmodified profiles, tolerance class 7 or finer.
    Departures: the straight line between spur and helical; no buttressing.
    Checked: SHARE-MARKS, SHARE-HELICAL, SHARE-SUM.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.gear.path import contact_path
    >>> gear = dict(face_width_mm=32, profile_shift=0.0, rack_dedendum=1.4, rack_root_radius=0.35,
    ...     protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...     centre_distance_mm=120, pinion=Tooth(teeth=20, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, tip_diameter_mm=168, **gear))
    >>> load_sharing(path=contact_path(pair=pair, points=5), pair=pair, tolerance_class=6).factor.round(3)
    array([0.333, 0.548, 1.   , 0.548, 0.333])
    """
    return LoadSharing(
        transverse_contact_ratio=pair.transverse_contact_ratio,
        overlap_ratio=pair.overlap_ratio,
        tolerance_class=tolerance_class,
        position_mm=path.position_mm,
        factor=_sharing(array(path.position_mm), path, pair),
        notices=_sharing_notices(path, pair, tolerance_class),
    )


def _sharing(position: Array, path: ContactPath, pair: PairGeometry) -> Array:
    epsilon_alpha = array(pair.transverse_contact_ratio)[..., None]
    helical = np.clip(array(pair.overlap_ratio), 0, 1)[..., None]
    marks = (path.mark_A_mm, path.mark_B_mm, path.mark_D_mm, path.mark_E_mm)
    spur = spur_sharing(position, *(array(mark)[..., None] for mark in marks))
    possible = (epsilon_alpha >= 1) & (epsilon_alpha <= 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        return array(np.where(possible, (1 - helical) * spur + helical / epsilon_alpha, np.nan))


def _sharing_notices(path: ContactPath, pair: PairGeometry, tolerance_class: Number) -> tuple[Notice, ...]:
    found = SHARING.outside(
        transverse_contact_ratio=pair.transverse_contact_ratio,
        overlap_ratio=pair.overlap_ratio,
        tolerance_class=tolerance_class,
    )
    return (*path.notices, *found)


def path_pressure(
    *,
    path: ContactPath,
    pair: PairGeometry,
    tangential_force_N: Number,
    load_factor: Number,
    tolerance_class: Number,
    modulus_MPa: Number = 206000.0,
    poisson: Number = 0.3,
) -> PathPressure:
    """Return half-width and pressure of the tooth contact at each point of the path.

    w = F_t X_Γ K/(b cos α_t), b_H = √(4 w ρ_n/(π E_c)), p_0 = √(w E_c/(π ρ_n))

    Parameters
    ----------
    path : ContactPath
        Points of the path with their reduced radius in the normal section.
    pair : PairGeometry
        For face width, pressure angle and contact ratios.
    tangential_force_N, load_factor : float or array
        F_t at the reference circle in N and K = K_A K_γ K_V K_Hβ K_Hα, shape (samples).
    tolerance_class : float or array
        A, the coarser flank tolerance class of both gears, for the load sharing.
    modulus_MPa, poisson : float or array
        E and ν of the steel of both gears, shape (samples).

    Returns
    -------
    PathPressure
        w in N/mm, b_H in mm, p_0 in MPa, shape (samples, points + 2): the marks B and D are added to the
        points of the path, since the pressure is often largest where single contact begins. No value where
        the load sharing has none.

    Raises
    ------
    InputError
        A modulus of 0 or less, or Poisson's ratio outside 0 to 0.5.

    Notes
    -----
    Source: Hertz. F_t/(cos α_t cos β_b) is the normal force and b/cos β_b the length of a contact line that
    carries all of it, so that β_b enters through ρ_n = ρ_t/cos β_b alone.
    Valid for: F_t of 0 or more; a stop notice otherwise; a caution where the class is coarser than 7.
    Departures: X_Γ stands where ISO 6336-2 has Z_ε and Z_β.
    Checked: PATH-PITCH, PATH-PITCH-HELICAL.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.gear.path import contact_path
    >>> gear = dict(face_width_mm=32, profile_shift=0.0, rack_dedendum=1.4, rack_root_radius=0.35,
    ...     protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...     centre_distance_mm=120, pinion=Tooth(teeth=20, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, tip_diameter_mm=168, **gear))
    >>> along = path_pressure(path=contact_path(pair=pair, points=3), pair=pair,
    ...     tangential_force_N=10000, load_factor=1.2, tolerance_class=6)
    >>> along.pressure_MPa.round()
    array([1214., 1334., 1267., 1223.,  688.])
    """
    position = _with_marks(path)
    F_t, K, X = array(tangential_force_N), array(load_factor), _sharing(position, path, pair)
    rho, b = reduced_radius_mm(position, path, pair.side), array(pair.common_face_width_mm)
    alpha_t = np.radians(array(pair.transverse_pressure_angle_deg))
    E_c = contact_modulus_MPa(
        modulus_1_MPa=modulus_MPa, modulus_2_MPa=modulus_MPa, poisson_1=poisson, poisson_2=poisson
    )
    full = np.where(F_t >= 0, F_t, np.nan) * K / (b * np.cos(alpha_t))
    w = full[..., None] * X
    return PathPressure(
        tangential_force_N=F_t,
        face_width_mm=b,
        transverse_pressure_angle_deg=pair.transverse_pressure_angle_deg,
        load_factor=K,
        tolerance_class=tolerance_class,
        position_mm=position,
        load_sharing=X,
        reduced_radius_mm=rho,
        contact_modulus_MPa=E_c,
        line_load_N_mm=w,
        half_width_mm=np.sqrt(4 * w * rho / (np.pi * E_c[..., None])),
        pressure_MPa=np.sqrt(w * E_c[..., None] / (np.pi * rho)),
        notices=(
            *_sharing_notices(path, pair, tolerance_class),
            *PATH_PRESSURE.outside(tangential_force_N=F_t),
        ),
    )


def _with_marks(path: ContactPath) -> Array:
    points = array(path.position_mm)
    inner, outer = (array(mark)[..., None] for mark in (path.mark_B_mm, path.mark_D_mm))
    # a mark may vary with an input that leaves the other, or the points, as they are
    samples = np.broadcast_shapes(points.shape[:-1], inner.shape[:-1], outer.shape[:-1])
    parts = (np.broadcast_to(part, (*samples, part.shape[-1])) for part in (points, inner, outer))
    return np.sort(np.concatenate(tuple(parts), axis=-1), axis=-1)


def reduced_radius_mm(position: Array, path: ContactPath, side: float) -> Array:
    """Return the reduced radius in the normal section at places along a path of contact.

    ρ_n = ρ_1·ρ_2/((ρ_1 + ρ_2)·cos β_b)

    Parameters
    ----------
    position : ndarray
        From the start A, mm; shape (samples, places).
    path : ContactPath
        Of the pair.
    side : float
        1 for an external pair, -1 for an internal one.

    Returns
    -------
    ndarray
        mm; NaN where there is none.
    """
    # of an internal pair the difference of both radii stays along the path, not their sum
    line = (array(path.pinion_radius_mm) + side * array(path.wheel_radius_mm))[..., :1]
    rho_1 = array(path.pinion_start_radius_mm)[..., None] + position
    rho = rho_1 * (line - rho_1) / (line * np.cos(np.radians(array(path.base_helix_angle_deg)))[..., None])
    return array(np.where(rho > 0, rho, np.nan))
