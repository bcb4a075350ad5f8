"""Micropitting: the oil film against the roughness at each point of the path."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.contact.sharing import PathPressure
from gearcheck.gear.pair import PairGeometry
from gearcheck.gear.path import ContactPath
from gearcheck.materials.inputs import Lubricant
from gearcheck.materials.lubricant import LubricantState, lubricant_at
from gearcheck.stress.numbers import checked_above_zero
from gearcheck.stress.rubbing import flash_along, load_loss_factor, mean_friction
from gearcheck.stress.scuffing_flash import mean_roughness, pitch_speed, supply_factor

METHOD = Method(
    key="iso_ts6336_22.micropitting",
    title="Micropitting by the specific film",
    source="ISO/TS 6336-22",
    edition="2018",
    clause="film thickness and specific film along the path, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("pitch_line_velocity_m_s", "v", 1, 60, "m/s"),
        Range("viscosity_40C_mm2_s", "ν_40", 10, 1000, "mm²/s"),
    ),
    implements=("film with its parameters of material, speed, load and sliding at every point of the path",),
    leaves_out=(
        "the permissible specific film: a result of a reference test of the lubricant, given",
        "the larger load at a tip without relief, and the cooler teeth of one with relief (X_Ca = 1)",
        "the ceiling of 50 m/s on the speed in the friction",
    ),
    departures=(
        "The flash temperature is that of Hertz and Blok.",
        "Ra is one sixth of Rz, common practice.",
        "Load along the path by the load-sharing factor of ISO/TS 6336-20.",
    ),
)
BULK = (7400.0, 0.72, 1.2)


@dataclass(frozen=True, kw_only=True)
class Micropitting(Result):
    """Film and specific film along the path, and the safety against micropitting; points last."""

    method: ClassVar[Method] = METHOD
    oil: LubricantState
    bulk_oil: LubricantState
    position_mm: Number = term("Distance from the start A along the path", "g_y", "mm")
    pressure_MPa: Number = term("Largest Hertz pressure", "p_0", "MPa")
    friction: Number = term("Mean coefficient of friction", "μ_m", words="as for the integral temperature")
    power_kW: Number = term("Power through the mesh", "P", "kW", words="F_t·v/1000")
    loss_factor: Number = term(
        "Load loss factor", "H_v", words="(ε_1² + ε_2² + 1 - ε_α)·(1/z_1 + 1/z_2)·π/cos(β_b)"
    )
    bulk_temperature_C: Number = term(
        "Bulk temperature", "θ_M", "°C", words="θ_oil + 7400·(P·μ_m·H_v/(a·b))^0.72·X_S/1.2"
    )
    flash_temperature_K: Number = term("Flash temperature", "θ_fl", "K", words="Hertz and Blok with μ_m")
    material_parameter: Number = term("Material parameter", "G_M", words="10^6·α_M·E_r")
    speed_parameter: Number = term("Speed parameter", "U_y", words="η_M·v_Σ/(2000·E_r·ρ_n)")
    load_parameter: Number = term("Load parameter", "W_y", words="2·π·p_0²/E_r²")
    sliding_parameter: Number = term("Sliding parameter", "S_GF", words="α_B·η_B/(α_M·η_M) at θ_M + θ_fl")
    film_um: Number = term("Oil film", "h_y", "µm", words="1600·ρ_n·G_M^0.6·U_y^0.7·W_y^-0.13·S_GF^0.22")
    roughness_Ra_um: Number = term("Mean roughness of both flanks", "Ra", "µm", words="(Rz_1 + Rz_2)/12")
    specific_film: Number = term("Specific film", "λ_GF", "", "h_y/Ra")
    least_film: Number = term("Least specific film", "λ_GFmin", words="smallest of λ_GF on the path")
    permissible_film: Number = term("Permissible specific film, of a reference test", "λ_GFP")
    safety: Number = term("Safety against micropitting", "S_λ", "", "λ_GFmin/λ_GFP")


def micropitting(
    *,
    pair: PairGeometry,
    path: ContactPath,
    along: PathPressure,
    speed_rpm: Number,
    pitch_line_velocity_m_s: Number,
    lubricant: Lubricant,
    pinion_roughness_um: Number,
    wheel_roughness_um: Number,
    permissible_film: Number,
) -> Micropitting:
    """Return the specific film along the path and the safety against micropitting.

    λ_GF = h_y/Ra, h_y = 1600 ρ_n G_M^0.6 U_y^0.7 W_y^-0.13 S_GF^0.22, S_λ = λ_GFmin/λ_GFP

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    path, along : ContactPath and PathPressure
        The path of contact, and load and pressure along it.
    speed_rpm, pitch_line_velocity_m_s : float or array
        Speed of the pinion in 1/min and v in m/s.
    lubricant : Lubricant
        Complete but for the load stage.
    pinion_roughness_um, wheel_roughness_um : float or array
        Rz of both flanks in µm.
    permissible_film : float, array or None
        λ_GFP of a reference test of this lubricant; None where none is known.

    Returns
    -------
    Micropitting
        h and λ_GF along the path, S_λ; a caution outside the range.

    Raises
    ------
    InputError
        What the lubricant lacks; a roughness, speed or film that is not above 0.

    Notes
    -----
    Source: ISO/TS 6336-22, method B, from memory.
    Valid for: pitch-line velocity from 1 to 60 m/s.
    Departures: see the method.
    Checked: FILM-HAND, FILM-01.

    Examples
    --------
    >>> from gearcheck.contact.sharing import path_pressure
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.gear.path import contact_path
    >>> from gearcheck.materials.inputs import LubricantKind, OilSupply
    >>> gear = dict(face_width_mm=32, profile_shift=0.0, rack_dedendum=1.4, rack_root_radius=0.35,
    ...     protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...     centre_distance_mm=120, pinion=Tooth(teeth=20, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, tip_diameter_mm=168, **gear))
    >>> path = contact_path(pair=pair)
    >>> along = path_pressure(
    ...     path=path, pair=pair, tangential_force_N=10000, load_factor=1.4, tolerance_class=6)
    >>> oil = Lubricant(
    ...     viscosity_40C_mm2_s=220, viscosity_100C_mm2_s=19.4, density_15C_kg_m3=890, oil_temperature_C=70,
    ...     fzg_stage=12, kind=LubricantKind.MINERAL, supply=OilSupply.DIP)
    >>> film = micropitting(
    ...     pair=pair, path=path, along=along, speed_rpm=1480, pitch_line_velocity_m_s=6.2, lubricant=oil,
    ...     pinion_roughness_um=3, wheel_roughness_um=3, permissible_film=0.2)
    >>> round(film.least_film, 2), round(film.safety, 2)
    (0.22, 1.09)
    """
    checked_above_zero(
        speed_rpm=speed_rpm,
        pinion_roughness_um=pinion_roughness_um,
        wheel_roughness_um=wheel_roughness_um,
        permissible_film=permissible_film,
    )
    rough = mean_roughness(pinion_roughness_um, wheel_roughness_um)
    oil = lubricant_at(lubricant=lubricant, temperature_C=lubricant.oil_temperature_C)
    friction = mean_friction(
        along=along,
        pitch_radius_mm=pair.reduced_radius_mm,
        pitch_speed_m_s=pitch_speed(path, speed_rpm),
        viscosity_mPas=oil.dynamic_viscosity_mPas,
        roughness_Ra_um=rough,
        base_oil=str(lubricant.kind),
        total_contact_ratio=pair.total_contact_ratio,
    )
    power = array(along.tangential_force_N) * array(pitch_line_velocity_m_s) / 1000
    loss = load_loss_factor(path=path)
    bulk = _bulk(pair, lubricant, power * friction * loss)
    theta, v_1, v_2 = flash_along(path=path, along=along, friction=friction, speed_rpm=speed_rpm)
    film = _between(along, lubricant, bulk[..., None], theta, v_1 + v_2, rough, array(permissible_film))
    given = {"pitch_line_velocity_m_s": pitch_line_velocity_m_s}
    found = METHOD.outside(**given, viscosity_40C_mm2_s=lubricant.viscosity_40C_mm2_s)
    return Micropitting(
        oil=oil,
        position_mm=along.position_mm,
        pressure_MPa=along.pressure_MPa,
        friction=friction,
        power_kW=power,
        loss_factor=loss,
        bulk_temperature_C=bulk,
        flash_temperature_K=theta,
        **film,
        roughness_Ra_um=rough,
        permissible_film=permissible_film,
        notices=(*found, *oil.notices, *along.notices),
    )


def _between(
    along: PathPressure,
    lubricant: Lubricant,
    bulk: Array,
    theta: Array,
    speed: Array,
    rough: Array,
    permissible: Array,
) -> dict[str, Any]:
    """The film with its parameters, over the roughness, and the safety."""
    warm = lubricant_at(lubricant=_last(lubricant), temperature_C=bulk)
    hot = lubricant_at(lubricant=_last(lubricant), temperature_C=bulk + theta)
    film = _film(along, speed, warm, hot)
    specific = film["film_um"] / rough[..., None]
    least = specific.min(axis=-1)
    return {
        "bulk_oil": warm,
        **film,
        "specific_film": specific,
        "least_film": least,
        "safety": least / permissible,
    }


def _last(lubricant: Lubricant) -> Lubricant:
    """The lubricant with room for the points behind its samples."""
    return replace(
        lubricant,
        viscosity_40C_mm2_s=array(lubricant.viscosity_40C_mm2_s)[..., None],
        viscosity_100C_mm2_s=array(lubricant.viscosity_100C_mm2_s)[..., None],
        density_15C_kg_m3=array(lubricant.density_15C_kg_m3)[..., None],
    )


def _bulk(pair: PairGeometry, lubricant: Lubricant, heat: Array) -> Array:
    constant, exponent, spray = BULK
    area = array(pair.centre_distance_mm) * array(pair.common_face_width_mm)
    rise = constant * (heat / area) ** exponent * supply_factor(lubricant) / spray
    return array(lubricant.oil_temperature_C) + rise


def _film(along: PathPressure, speed: Array, warm: LubricantState, hot: LubricantState) -> dict[str, Array]:
    value, radius = table("scuffing").value, array(along.reduced_radius_mm)
    modulus = 2 * array(along.contact_modulus_MPa)[..., None]
    alpha, eta = array(warm.pressure_coefficient_m2_N), array(warm.dynamic_viscosity_mPas) / 1000
    material = 1e6 * alpha * modulus
    rolling = eta * speed / (2000 * modulus * radius)
    load = 2 * np.pi * array(along.pressure_MPa) ** 2 / modulus**2
    sliding = array(hot.pressure_coefficient_m2_N) * array(hot.dynamic_viscosity_mPas) / (alpha * eta * 1000)
    thick = value("film, constant") * radius * material ** value("film, material exponent")
    moved = rolling ** value("film, speed exponent") * sliding ** value("film, sliding exponent")
    with np.errstate(divide="ignore"):
        pressed = load ** -value("film, load exponent")
    return {
        "material_parameter": material,
        "speed_parameter": rolling,
        "load_parameter": load,
        "sliding_parameter": sliding,
        "film_um": thick * moved * pressed,
    }
