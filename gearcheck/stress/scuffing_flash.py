"""Scuffing by the flash temperature: the hottest point of the path against what the oil stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

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
from gearcheck.stress.rubbing import flash_along, full_load, mean_along, rolling_speeds

METHOD = Method(
    key="iso_ts6336_20.flash_temperature",
    title="Scuffing by the flash temperature",
    source="ISO/TS 6336-20",
    edition="2017",
    clause="flash temperature, contact temperature, scuffing temperature by a test of the oil",
    status=Status.FROM_MEMORY,
    valid=(
        Range("fzg_stage", "FZG load stage", 4, 14),
        Range("pitch_line_velocity_m_s", "v", 1, 100, "m/s"),
    ),
    implements=(
        "flash temperature by Blok at every point of the path, from Hertz contact and the speeds themselves",
        "bulk temperature from the mean flash temperature, the oil supply and the number of meshes",
        "scuffing temperature from the load stage of the test A/8,3/90",
    ),
    leaves_out=(
        "the rise at the start of contact of a tip without relief (approach factor)",
        "structures other than those of case-hardened steel",
        "tests other than A/8,3/90; high-speed scuffing with a temperature that depends on contact time",
    ),
    departures=(
        "The closed form with a geometry factor is not used: as remembered it lies 10 % off Hertz and Blok.",
        "Ra is one sixth of Rz, common practice.",
        "The same steps give the gears of the test 341 °C at load stage 12, where the text has 404 °C: "
        "near the highest stages S_B comes out up to 25 % high.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class FlashTemperature(Result):
    """Flash and contact temperature along the path, and the safety against scuffing; points last."""

    method: ClassVar[Method] = METHOD
    oil: LubricantState
    position_mm: Number = term("Distance from the start A along the path", "g_y", "mm")
    line_load_N_mm: Number = term("Normal load per unit length of the contact line", "w", "N/mm")
    half_width_mm: Number = term("Half-width of the contact", "b_H", "mm")
    pinion_speed_m_s: Number = term("Speed of the pinion flank", "v_1", "m/s", words="ω_1·ρ_y1")
    wheel_speed_m_s: Number = term("Speed of the wheel flank", "v_2", "m/s", words="ω_2·ρ_y2")
    roughness_Ra_um: Number = term("Mean roughness of both flanks", "Ra", "µm", words="(Rz_1 + Rz_2)/12")
    friction: Number = term(
        "Coefficient of friction", "μ_m", words="0.060·(w_1/(v_ΣC·ρ_C))^0.2·X_L·η_oil^-0.05·Ra^0.25"
    )
    flash_temperature_K: Number = term(
        "Flash temperature", "θ_fl", "K", words="1.11·μ_m·w·|v_1 - v_2|/(√(2·b_H)·B_M·(√v_1 + √v_2))"
    )
    mean_flash_K: Number = term("Mean flash temperature over the path", "θ_flm", "K", words="mean over g_α")
    oil_temperature_C: Number = term("Oil temperature", "θ_oil", "°C")
    supply_factor: Number = term("Oil supply factor", "X_S", words="table of the oil supply")
    mates: Number = term("Meshes of the gear that has more of them", "n_p")
    mesh_factor: Number = term("Factor of several meshes", "X_mp", "", "(1 + n_p)/2")
    bulk_temperature_C: Number = term(
        "Bulk temperature of the teeth", "θ_M", "°C", "θ_oil + 0.47·X_S·X_mp·θ_flm"
    )
    contact_temperature_C: Number = term("Contact temperature", "θ_B", "°C", "θ_M + θ_fl")
    highest_contact_C: Number = term(
        "Highest contact temperature", "θ_Bmax", "°C", words="largest of θ_B on the path"
    )
    fzg_stage: Number = term("Load stage of the oil, test A/8,3/90", "S_FZG")
    base_oil_factor: Number = term("Factor of the base oil", "X_Ls", words="table of base oils")
    scuffing_temperature_C: Number = term(
        "Scuffing temperature", "θ_S", "°C", "80 + (0.85 + 1.4)·X_Ls·S_FZG^2"
    )
    required_safety: Number = term("Safety agreed", "S_Bmin")
    permissible_C: Number = term(
        "Permissible contact temperature", "θ_BP", "°C", "θ_oil + (θ_S - θ_oil)/S_Bmin"
    )
    safety: Number = term("Safety against scuffing", "S_B", "", "(θ_S - θ_oil)/(θ_Bmax - θ_oil)")


def flash_temperature(
    *,
    pair: PairGeometry,
    path: ContactPath,
    along: PathPressure,
    speed_rpm: Number,
    pitch_line_velocity_m_s: Number,
    lubricant: Lubricant,
    pinion_roughness_um: Number,
    wheel_roughness_um: Number,
    required_safety: Number,
    mates: Number = 1,
) -> FlashTemperature:
    """Return the safety against scuffing by the flash temperature.

    S_B = (θ_S - θ_oil)/(θ_Bmax - θ_oil), θ_B = θ_M + θ_fl

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    path, along : ContactPath and PathPressure
        The path of contact, and load and pressure along it.
    speed_rpm, pitch_line_velocity_m_s : float or array
        Speed of the pinion in 1/min and v in m/s.
    lubricant : Lubricant
        Complete.
    pinion_roughness_um, wheel_roughness_um : float or array
        Rz of both flanks in µm.
    required_safety : float, array or None
        S_Bmin as agreed.
    mates : int or array
        n_p, number of meshes in which the gear of more meshes stands, such as the planets of a sun.

    Returns
    -------
    FlashTemperature
        θ_fl, θ_B along the path, θ_S, S_B; a caution outside the range of the test.

    Raises
    ------
    InputError
        What the lubricant lacks; a roughness, speed or safety that is not above 0.

    Notes
    -----
    Source: Blok and Hertz; friction, bulk and scuffing temperature of ISO/TS 6336-20 from memory.
    Valid for: case-hardened steel, load stages 4 to 14.
    Departures: see the method.
    Checked: FLASH-HAND, SCUF-01, SCUF-03, SCUFFING-TEMPERATURE.

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
    >>> hot = flash_temperature(
    ...     pair=pair, path=path, along=along, speed_rpm=1480, pitch_line_velocity_m_s=6.2, lubricant=oil,
    ...     pinion_roughness_um=3, wheel_roughness_um=3, required_safety=1.5)
    >>> round(hot.highest_contact_C), round(hot.safety, 1)
    (151, 4.1)
    """
    checked_above_zero(
        speed_rpm=speed_rpm,
        pinion_roughness_um=pinion_roughness_um,
        wheel_roughness_um=wheel_roughness_um,
        required_safety=required_safety,
        fzg_stage=lubricant.fzg_stage,
        mates=mates,
    )
    oil_C = array(lubricant.oil_temperature_C)
    oil = lubricant_at(lubricant=lubricant, temperature_C=oil_C)
    rough = mean_roughness(pinion_roughness_um, wheel_roughness_um)
    friction = _friction(pair, path, along, speed_rpm, lubricant, oil, rough)
    theta, v_1, v_2 = flash_along(path=path, along=along, friction=friction, speed_rpm=speed_rpm)
    found = METHOD.outside(fzg_stage=lubricant.fzg_stage, pitch_line_velocity_m_s=pitch_line_velocity_m_s)
    return FlashTemperature(
        oil=oil,
        position_mm=along.position_mm,
        line_load_N_mm=along.line_load_N_mm,
        half_width_mm=along.half_width_mm,
        pinion_speed_m_s=v_1,
        wheel_speed_m_s=v_2,
        roughness_Ra_um=rough,
        friction=friction,
        flash_temperature_K=theta,
        oil_temperature_C=oil_C,
        mates=mates,
        **_against_the_oil(
            along, lubricant, theta, oil_C, array(required_safety), array((1 + array(mates)) / 2)
        ),
        required_safety=required_safety,
        notices=(*found, *oil.notices, *along.notices),
    )


def _against_the_oil(
    along: PathPressure, lubricant: Lubricant, theta: Array, oil: Array, safety: Array, meshes: Array
) -> dict[str, Number]:
    """Bulk and contact temperature, and what the oil stands."""
    mean, supply = mean_along(theta, array(along.position_mm)), supply_factor(lubricant)
    bulk = oil + table("scuffing").value("bulk, share of the mean flash temperature") * supply * meshes * mean
    contact, limit = bulk[..., None] + theta, scuffing_temperature(lubricant=lubricant)
    highest = contact.max(axis=-1)
    with np.errstate(divide="ignore"):  # without load nothing heats, and the safety has no end
        safety_of_oil = (limit - oil) / (highest - oil)
    return {
        "mean_flash_K": mean,
        "supply_factor": supply,
        "mesh_factor": meshes,
        "bulk_temperature_C": bulk,
        "contact_temperature_C": contact,
        "highest_contact_C": highest,
        "fzg_stage": lubricant.fzg_stage,
        "base_oil_factor": table("base_oils").row(str(lubricant.kind))["scuffing"],
        "scuffing_temperature_C": limit,
        "permissible_C": oil + (limit - oil) / safety,
        "safety": safety_of_oil,
    }


def mean_roughness(pinion_roughness_um: Number, wheel_roughness_um: Number) -> Array:
    """Return the mean Ra of both flanks from their Rz.

    Parameters
    ----------
    pinion_roughness_um, wheel_roughness_um : float or array
        Rz in µm.

    Returns
    -------
    ndarray of float
        Ra in µm, one sixth of the mean Rz: common practice.
    """
    share = table("scuffing").value("Ra over Rz")
    return (array(pinion_roughness_um) + array(wheel_roughness_um)) / 2 * share


def supply_factor(lubricant: Lubricant) -> float:
    """Return the factor of the oil supply.

    Parameters
    ----------
    lubricant : Lubricant
        With its supply.

    Returns
    -------
    float
        X_S.
    """
    return float(table("oil_supply").row(str(lubricant.supply))["X_S"])


def scuffing_temperature(*, lubricant: Lubricant) -> Array:
    """Return the contact temperature at which an oil scuffs case-hardened flanks.

    θ_S = 80 + (0.85 + 1.4 X_W) X_L S_FZG²

    Parameters
    ----------
    lubricant : Lubricant
        With load stage and kind.

    Returns
    -------
    ndarray of float
        θ_S in °C.

    Notes
    -----
    Source: ISO/TS 6336-20, from memory.
    Valid for: load stages of the test A/8,3/90; structural factor of case-hardened steel 1.
    Departures: none.
    Checked: SCUFFING-TEMPERATURE.

    Examples
    --------
    >>> from gearcheck.materials.inputs import LubricantKind
    >>> oil = Lubricant(viscosity_40C_mm2_s=150, fzg_stage=12, kind=LubricantKind.MINERAL)
    >>> print(scuffing_temperature(lubricant=oil).round(1))
    404.0
    """
    value = table("scuffing").value
    structure = value("scuffing temperature, structural part") * value("structural factor, case-hardened")
    factor = (value("scuffing temperature, smooth part") + structure) * table("base_oils").row(
        str(lubricant.kind)
    )["scuffing"]
    return array(value("scuffing temperature, constant") + factor * array(lubricant.fzg_stage) ** 2)


def pitch_speed(path: ContactPath, speed_rpm: Number) -> Array:
    """Return the sum of both rolling speeds at the pitch point.

    Parameters
    ----------
    path : ContactPath
        Of the pair.
    speed_rpm : float or array
        Speed of the pinion in 1/min.

    Returns
    -------
    ndarray of float
        v_ΣC in m/s.
    """
    at_pitch = array(path.mark_C_mm)[..., None]
    v_1, v_2 = rolling_speeds(path=path, position_mm=at_pitch, speed_rpm=speed_rpm)
    return array((v_1 + v_2)[..., 0])


def _friction(
    pair: PairGeometry,
    path: ContactPath,
    along: PathPressure,
    speed_rpm: Number,
    lubricant: Lubricant,
    oil: LubricantState,
    rough: Array,
) -> Array:
    value = table("scuffing").value
    loaded = full_load(along) / (pitch_speed(path, speed_rpm) * array(pair.reduced_radius_mm))
    thin = array(oil.dynamic_viscosity_mPas) ** -value("friction, viscosity exponent")
    base = table("base_oils").row(str(lubricant.kind))["friction"]
    grown = loaded ** value("friction, load exponent") * rough ** value("friction, roughness exponent")
    return array(value("friction, flash") * grown * thin * base * np.ones_like(rough))
