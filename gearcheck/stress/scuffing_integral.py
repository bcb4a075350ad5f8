"""Scuffing by the integral temperature: the mean over the path against what the oil stood in its test."""

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
from gearcheck.stress.rubbing import mean_friction
from gearcheck.stress.scuffing_flash import FlashTemperature, pitch_speed

METHOD = Method(
    key="iso_ts6336_21.integral_temperature",
    title="Scuffing by the integral temperature",
    source="ISO/TS 6336-21",
    edition="2017",
    clause="integral temperature, scuffing integral temperature by a test of the oil",
    status=Status.FROM_MEMORY,
    valid=(Range("fzg_stage", "FZG load stage", 4, 14),),
    implements=(
        "mean flash temperature over the path",
        "bulk and test temperatures from the load stage A/8,3/90",
    ),
    leaves_out=(
        "running-in, approach and tip relief factors: taken as 1",
        "the load concentration of helical contact lines (K_Bγ) outside the friction",
        "tests other than A/8,3/90",
    ),
    departures=(
        "The mean flash temperature is the mean over the path of the flash temperature by Hertz and Blok, "
        "with the mean friction of this method.",
        "The oil supply factor multiplies the rise of the bulk temperature alone.",
        "The same steps give the gears of the test a mean flash temperature within 12 % of that of the "
        "text, at load stages 6 to 12.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class IntegralTemperature(Result):
    """The integral temperature of one mesh and its safety against scuffing."""

    method: ClassVar[Method] = METHOD
    friction: Number = term(
        "Mean coefficient of friction", "μ_mC", words="0.045·(w·K_Bγ/(v_ΣC·ρ_C))^0.2·η^-0.05·X_R·X_L"
    )
    mean_flash_K: Number = term(
        "Mean flash temperature over the path",
        "θ_flaint",
        "K",
        words="θ_flm·μ_mC/μ_m",
    )
    oil_temperature_C: Number = term("Oil temperature", "θ_oil", "°C")
    supply_factor: Number = term("Oil supply factor", "X_S")
    mesh_factor: Number = term("Factor of several meshes", "X_mp")
    bulk_temperature_C: Number = term("Bulk temperature", "θ_M", "°C", "θ_oil + 0.7·X_S·X_mp·θ_flaint")
    integral_temperature_C: Number = term("Integral temperature", "θ_int", "°C", "θ_M + 1.5·θ_flaint")
    fzg_stage: Number = term("Load stage of the oil, test A/8,3/90", "S_FZG")
    viscosity_40C_mm2_s: Number = term("Viscosity at 40 °C", "ν_40", "mm²/s")
    base_oil_factor: Number = term("Factor of the base oil", "X_Ls", words="table of base oils")
    test_torque_Nm: Number = term("Torque of the test pinion at that stage", "T_1T", "N·m", "3.726·S_FZG^2")
    test_bulk_C: Number = term("Bulk temperature of the test", "θ_MT", "°C", "80 + 0.23·T_1T·X_Ls")
    test_flash_K: Number = term(
        "Mean flash temperature of the test", "θ_flaintT", "K", "0.2·T_1T·(100/ν_40)^0.02·X_Ls"
    )
    scuffing_integral_C: Number = term(
        "Scuffing integral temperature", "θ_intS", "°C", "θ_MT + 1.5·θ_flaintT"
    )
    safety: Number = term("Safety against scuffing, integral", "S_intS", "", "θ_intS/θ_int")


def integral_temperature(
    *,
    pair: PairGeometry,
    path: ContactPath,
    along: PathPressure,
    speed_rpm: Number,
    lubricant: Lubricant,
    flash: FlashTemperature,
) -> IntegralTemperature:
    """Return the safety against scuffing by the integral temperature.

    S_intS = θ_intS/θ_int, θ_int = θ_M + 1.5 θ_flaint

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    path, along : ContactPath and PathPressure
        The path of contact, and load and pressure along it.
    speed_rpm : float or array
        Speed of the pinion in 1/min.
    lubricant : Lubricant
        Complete.
    flash : FlashTemperature
        Of the same mesh, for the course of the temperature.

    Returns
    -------
    IntegralTemperature
        θ_int, θ_intS in °C, S_intS.

    Notes
    -----
    Source: ISO/TS 6336-21, constants from memory.
    Valid for: case-hardened steel, load stages 4 to 14.
    Departures: see the method.
    Checked: INTEGRAL-HAND, SCUFFING-INTEGRAL.

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
    >>> from gearcheck.stress.scuffing_flash import flash_temperature
    >>> hot = flash_temperature(
    ...     pair=pair, path=path, along=along, speed_rpm=1480, pitch_line_velocity_m_s=6.2, lubricant=oil,
    ...     pinion_roughness_um=3, wheel_roughness_um=3, required_safety=1.5)
    >>> mean = integral_temperature(
    ...     pair=pair, path=path, along=along, speed_rpm=1480, lubricant=oil, flash=hot)
    >>> round(mean.integral_temperature_C), round(mean.safety, 1)
    (134, 2.7)
    """
    value, oil = table("scuffing").value, array(lubricant.oil_temperature_C)
    friction = mean_friction(
        along=along,
        pitch_radius_mm=pair.reduced_radius_mm,
        pitch_speed_m_s=pitch_speed(path, speed_rpm),
        viscosity_mPas=flash.oil.dynamic_viscosity_mPas,
        roughness_Ra_um=flash.roughness_Ra_um,
        base_oil=str(lubricant.kind),
        total_contact_ratio=pair.total_contact_ratio,
    )
    # without load both are 0 and nothing heats
    ratio = np.divide(friction, flash.friction, out=np.ones_like(friction), where=array(flash.friction) > 0)
    mean = array(flash.mean_flash_K) * ratio
    bulk = oil + value("integral, bulk share") * array(flash.supply_factor) * array(flash.mesh_factor) * mean
    share = value("integral, share of the flash temperature")
    torque, tested = _tested(lubricant, share)
    integral = bulk + share * mean
    return IntegralTemperature(
        friction=friction,
        mean_flash_K=mean,
        oil_temperature_C=oil,
        supply_factor=flash.supply_factor,
        mesh_factor=flash.mesh_factor,
        bulk_temperature_C=bulk,
        integral_temperature_C=integral,
        fzg_stage=lubricant.fzg_stage,
        viscosity_40C_mm2_s=lubricant.viscosity_40C_mm2_s,
        base_oil_factor=flash.base_oil_factor,
        test_torque_Nm=torque,
        test_bulk_C=tested[0],
        test_flash_K=tested[1],
        scuffing_integral_C=tested[2],
        safety=tested[2] / integral,
        notices=METHOD.outside(fzg_stage=lubricant.fzg_stage),
    )


def _tested(lubricant: Lubricant, share: float) -> tuple[Array, tuple[Array, Array, Array]]:
    """Torque, bulk, flash and integral temperature of the test at the stage at which the oil failed."""
    value = table("scuffing").value
    factor = table("base_oils").row(str(lubricant.kind))["scuffing"]
    torque = value("test torque over the square of the stage") * array(lubricant.fzg_stage) ** 2
    bulk = value("scuffing temperature, constant") + value("integral, bulk of the test") * torque * factor
    thin = (value("integral, viscosity of the test") / array(lubricant.viscosity_40C_mm2_s)) ** value(
        "integral, viscosity exponent"
    )
    flash = value("integral, flash of the test") * torque * thin * factor
    return torque, (bulk, flash, np.asarray(bulk + share * flash))
