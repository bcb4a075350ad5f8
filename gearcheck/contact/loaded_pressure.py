"""Contact pressure along the path of contact, from the loaded contact."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import term
from gearcheck.contact.hertz import contact_modulus_MPa
from gearcheck.contact.sharing import PathPressure, reduced_radius_mm
from gearcheck.gear.pair import PairGeometry
from gearcheck.gear.path import ContactPath

LOADED_PATH = Method(
    key="loaded_contact.path_pressure",
    title="Contact pressure along the path of contact, from the loaded contact",
    source="Hertz line contact of the slice that presses hardest",
    edition="",
    clause="",
    status=Status.COMMON_PRACTICE,
    valid=(Range("tangential_force_N", "F_t", 0, np.inf, "N", Level.STOP),),
    implements=("the largest pressure over the face at each place of the path",),
    leaves_out=("tip corners off the path of contact", "K_Hβ and K_Hα, which the loaded contact has in it"),
    departures=("Between the forces that were worked out p² goes in a straight line with the force.",),
)


@dataclass(frozen=True, kw_only=True)
class LoadedPathPressure(PathPressure):
    """Line load, half-width and pressure at each place of the path; places on the last axis."""

    method: ClassVar[Method] = LOADED_PATH
    load_factor: Number = term("Product of the load factors K_A K_γ K_V", "K")
    load_sharing: Number = term(
        "Share and spread of the load that come to this pressure", "X_Γ", "", "w·b·cos(α_t)/(F_t·K)"
    )
    line_load_N_mm: Number = term(
        "Normal load per unit length of the contact line", "w", "N/mm", "π·ρ_n·p_0²/E_c"
    )
    pressure_MPa: Number = term(
        "Largest Hertz pressure over the face", "p_0", "MPa", words="from the loaded contact"
    )


def loaded_path_pressure(
    *,
    path: ContactPath,
    pair: PairGeometry,
    position_mm: Number,
    pressure_MPa: Number,
    tangential_force_N: Number,
    load_factor: Number,
    tolerance_class: Number,
    modulus_MPa: Number = 206000.0,
    poisson: Number = 0.3,
    notices: tuple[Notice, ...] = (),
) -> LoadedPathPressure:
    """Return half-width and line load that go with the pressure of the loaded contact.

    w = π ρ_n p_0²/E_c, b_H = √(4 w ρ_n/(π E_c))

    Parameters
    ----------
    path : ContactPath
        Of the pair.
    pair : PairGeometry
        For face width and pressure angle.
    position_mm, pressure_MPa : array
        Distances from the start A and the largest pressure over the face there, shape (samples, places).
    tangential_force_N, load_factor : float or array
        F_t at the reference circle in N and K = K_A K_γ K_V, shape (samples).
    tolerance_class : float or array
        A, the coarser flank tolerance class of both gears; the pressure does not depend on it.
    modulus_MPa, poisson : float or array
        E and ν of the steel of both gears, shape (samples).
    notices : tuple of Notice
        Of the loaded contact.

    Returns
    -------
    LoadedPathPressure
        w in N/mm, b_H in mm, p_0 in MPa, shape (samples, places).

    Raises
    ------
    InputError
        A modulus of 0 or less, or Poisson's ratio outside 0 to 0.5.

    Notes
    -----
    Source: Hertz.
    Valid for: F_t of 0 or more; a stop notice otherwise.
    Departures: none.
    Checked: PATH-LOADED.

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
    >>> along = loaded_path_pressure(path=contact_path(pair=pair, points=3), pair=pair, position_mm=[9.0],
    ...     pressure_MPa=[1250.0], tangential_force_N=10000, load_factor=1.2, tolerance_class=6)
    >>> along.line_load_N_mm.round(1), along.half_width_mm.round(3)
    (array([378.1]), array([0.193]))
    """
    position, pressure = array(position_mm), array(pressure_MPa)
    force, factor, width = array(tangential_force_N), array(load_factor), array(pair.common_face_width_mm)
    pressure = np.where(force[..., None] >= 0, pressure, np.nan)
    rho = reduced_radius_mm(position, path, pair.side)
    modulus = contact_modulus_MPa(
        modulus_1_MPa=modulus_MPa, modulus_2_MPa=modulus_MPa, poisson_1=poisson, poisson_2=poisson
    )
    load = np.pi * rho * pressure**2 / modulus[..., None]
    lean = np.cos(np.radians(array(pair.transverse_pressure_angle_deg)))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = load * (width * lean / (force * factor))[..., None]
    return LoadedPathPressure(
        tangential_force_N=force,
        face_width_mm=width,
        transverse_pressure_angle_deg=pair.transverse_pressure_angle_deg,
        load_factor=factor,
        tolerance_class=tolerance_class,
        position_mm=position,
        load_sharing=share,
        reduced_radius_mm=rho,
        contact_modulus_MPa=modulus,
        line_load_N_mm=load,
        half_width_mm=np.sqrt(4.0 * load * rho / (np.pi * modulus[..., None])),
        pressure_MPa=pressure,
        notices=(*path.notices, *notices, *LOADED_PATH.outside(tangential_force_N=force)),
    )
