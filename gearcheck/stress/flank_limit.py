"""Pitting limit and safety of ISO 6336-2 for case-carburised gears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.pair import PairGeometry
from gearcheck.materials.inputs import Treatment
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.film import FilmFactors, film_factors
from gearcheck.stress.inputs import PRIMARY, Readings
from gearcheck.stress.life import Damage, life_factor, life_row, limit_after_cycles
from gearcheck.stress.numbers import checked_above_zero

METHOD = Method(
    key="iso6336_2.flank_safety",
    title="Pitting limit and safety",
    source="ISO 6336-2",
    edition="2019",
    clause="clauses 10 to 14, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("load_cycles", "N_L", 0, 1e10),
        Range("normal_module_mm", "m_n", 0, 40, "mm"),
    ),
    implements=("case-carburised gears, no pitting allowed", "static strength, limited and long life"),
    leaves_out=(
        "reliability other than 1 % failure",
        "limited pitting allowed",
        "a soft wheel against a hard pinion: Z_W stands alone as a formula",
        "permissible stress from tests of the gears themselves",
    ),
    departures=(
        "Z_X above module 10 falls by the line of DIN 3990-2:1987.",
        "The static limit takes Z_L, Z_v, Z_R, Z_W and Z_X as 1.",
        "Beyond 1e10 cycles the life factor stays.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class FlankSafety(Result):
    """Pitting limit, permissible stress and safety of one gear; the film factors have their own steps."""

    method: ClassVar[Method] = METHOD
    film: FilmFactors
    treatment: Treatment = Treatment.CASE_CARBURISED
    stress_MPa: Number = term("Contact stress", "σ_H", "MPa")
    load_cycles: Number = term("Load cycles", "N_L")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    required_safety: Number = term("Safety agreed", "S_Hmin")
    flank_limit_MPa: Number = term("Allowable stress number, contact", "σ_Hlim", "MPa")
    lubricant_factor: Number = term("Lubricant factor", "Z_L")
    velocity_factor: Number = term("Velocity factor", "Z_v")
    roughness_factor: Number = term("Roughness factor", "Z_R")
    work_hardening_factor: Number = term(
        "Work-hardening factor", "Z_W", words="1, both flanks are case-hardened"
    )
    size_factor: Number = term("Size factor", "Z_X", "", "min(max(1.05 - 0.005·m_n, 0.9), 1)")
    static_life_factor: Number = term("Life factor, static", "Z_NTstat", words="table of life factors")
    life_factor: Number = term(
        "Life factor", "Z_NT", words="straight lines in log-log over the knees of the table of life factors"
    )
    static_limit_MPa: Number = term("Pitting limit, static", "σ_HGstat", "MPa", "σ_Hlim·Z_NTstat")
    reference_limit_MPa: Number = term(
        "Pitting limit at the knee", "σ_HGref", "MPa", "σ_Hlim·Z_L·Z_v·Z_R·Z_W·Z_X"
    )
    limit_MPa: Number = term(
        "Pitting limit",
        "σ_HG",
        "MPa",
        words="between σ_HGstat and σ_HGref in a straight line in log-log, or Z_NT·σ_HGref by the other "
        "reading; beyond the knee Z_NT·σ_HGref",
    )
    permissible_stress_MPa: Number = term("Permissible contact stress", "σ_HP", "MPa", "σ_HG/S_Hmin")
    safety: Number = term("Safety against pitting", "S_H", "", "σ_HG/σ_H")


def work_hardening_factor(*, wheel_hardness_HB: Number, equivalent_roughness_um: Number) -> Array:
    """Return the work-hardening factor of a through-hardened wheel against a hard pinion, long life.

    Z_W = (1.2 - (HB - 130)/1700) · (3/R_zH)^0.15, HB between 130 and 470

    Parameters
    ----------
    wheel_hardness_HB : float or array
        Brinell hardness of the wheel.
    equivalent_roughness_um : float or array
        R_zH in µm.

    Returns
    -------
    ndarray of float
        Z_W for long life. Two case-hardened flanks have Z_W = 1.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 13, from memory.
    Valid for: wheels of 130 to 470 HB; held at the ends beyond.
    Departures: none.
    Checked: ISO2-07.

    Examples
    --------
    >>> print(work_hardening_factor(wheel_hardness_HB=300, equivalent_roughness_um=3).round(3))
    1.1
    """
    value = table("iso6336_2_limits").value
    rough = value("Z_R, reference roughness") / array(equivalent_roughness_um)
    return _work_hardening(array(wheel_hardness_HB), "endurance") * rough ** value("Z_W, roughness exponent")


def static_work_hardening_factor(*, wheel_hardness_HB: Number) -> Array:
    """Return the work-hardening factor of a through-hardened wheel against a hard pinion, static.

    Z_W = 1.05 - (HB - 130)/6800, HB between 130 and 470

    Parameters
    ----------
    wheel_hardness_HB : float or array
        Brinell hardness of the wheel.

    Returns
    -------
    ndarray of float
        Z_W for static strength.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 13; the print has 680 for 6800, continuity at 470 HB proves it.
    Valid for: wheels of 130 to 470 HB; held at the ends beyond.
    Departures: the misprint is corrected.
    Checked: ISO2-07.

    Examples
    --------
    >>> print(static_work_hardening_factor(wheel_hardness_HB=300).round(3))
    1.025
    """
    return _work_hardening(array(wheel_hardness_HB), "static")


def _work_hardening(hardness: Array, strength: str) -> Array:
    value = table("iso6336_2_limits").value
    softest = value("Z_W, softest wheel")
    above = np.clip(hardness, softest, value("Z_W, hardest wheel")) - softest
    return array(value(f"Z_W, softest wheel, {strength}") - above / value(f"Z_W, slope divisor, {strength}"))


def flank_size_factor(*, normal_module_mm: Number) -> Array:
    """Return the size factor of the flank of a case-carburised gear.

    Z_X = 1.05 - 0.005 m_n, at most 1 and not below 0.9

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm.

    Returns
    -------
    ndarray of float
        Z_X: 1 up to module 10.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 14, for 1 up to module 10; DIN 3990-2:1987 above; from memory.
    Valid for: case-carburised gears.
    Departures: the falling line above module 10.
    Checked: ISO3-05-flank.

    Examples
    --------
    >>> print(flank_size_factor(normal_module_mm=[5, 10, 20]))
    [1.   1.   0.95]
    """
    value = table("iso6336_2_limits").value
    line = value("Z_X, constant") - value("Z_X, slope") * array(normal_module_mm)
    factor: Array = np.clip(line, value("Z_X, smallest"), 1.0)
    return factor


def flank_safety(
    *,
    pair: PairGeometry,
    stress_MPa: Number,
    limits: StrengthLimits,
    load_cycles: Number,
    viscosity_40C_mm2_s: Number,
    pitch_line_velocity_m_s: Number,
    pinion_roughness_um: Number,
    wheel_roughness_um: Number,
    required_safety: Number,
    readings: Readings = PRIMARY,
) -> FlankSafety:
    """Return the pitting limit of one gear and its safety.

    S_H = σ_HG/σ_H, σ_HG = σ_Hlim Z_NT Z_L Z_v Z_R Z_W Z_X

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    stress_MPa : float or array
        σ_H of this gear in MPa.
    limits : StrengthLimits
        Of this gear.
    load_cycles : float or array
        N_L of this gear.
    viscosity_40C_mm2_s, pitch_line_velocity_m_s : float or array
        ν_40 in mm²/s and v in m/s.
    pinion_roughness_um, wheel_roughness_um : float or array
        Rz of both flanks in µm.
    required_safety : float, array or None
        S_Hmin as agreed; None where nothing is agreed, then there is no permissible stress.
    readings : Readings
        How the clauses are read.

    Returns
    -------
    FlankSafety
        σ_HG, σ_HP in MPa and S_H; a caution beyond 1e10 cycles.

    Raises
    ------
    InputError
        Cycles, viscosity, velocity, roughness or a safety that is not above 0.

    Notes
    -----
    Source: ISO 6336-2:2019, method B, from memory.
    Valid for: case-carburised gears at 1 % failure.
    Departures: Z_X above module 10; the static limit has no factor but Z_NT.
    Checked: ISO2-HAND-limit; its factors ISO2-05, ISO6-01.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.materials.inputs import Quality, Steel
    >>> from gearcheck.materials.strength import strength_limits
    >>> gear = dict(face_width_mm=32, rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=120,
    ...     pinion=Tooth(teeth=20, profile_shift=0.0, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, profile_shift=0.0, tip_diameter_mm=168, **gear))
    >>> limits = strength_limits(steel=Steel(
    ...     grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=320))
    >>> safety = flank_safety(
    ...     pair=pair, stress_MPa=1200, limits=limits, load_cycles=2e9, viscosity_40C_mm2_s=220,
    ...     pitch_line_velocity_m_s=6.2, pinion_roughness_um=3, wheel_roughness_um=3, required_safety=1.1)
    >>> round(safety.limit_MPa, 1), round(safety.safety, 3)
    (1345.7, 1.121)
    """
    checked_above_zero(load_cycles=load_cycles, required_safety=required_safety)
    sigma_Hlim, cycles = array(limits.flank_limit_MPa), array(load_cycles)
    rough = pinion_roughness_um, wheel_roughness_um
    film = _film(pair, viscosity_40C_mm2_s, pitch_line_velocity_m_s, rough, sigma_Hlim)
    Z_X = flank_size_factor(normal_module_mm=pair.normal_module_mm)
    Z_NTstat = life_row(Damage.FLANK, limits.treatment)["static_factor"]
    film_product = array(film.lubricant_factor) * array(film.velocity_factor) * array(film.roughness_factor)
    reference = sigma_Hlim * film_product * Z_X
    limit = limit_after_cycles(
        load_cycles=cycles,
        damage=Damage.FLANK,
        static_limit_MPa=sigma_Hlim * Z_NTstat,
        reference_limit_MPa=reference,
        life_at_1e10=readings.life_at_1e10,
        limited_life=readings.limited_life,
        treatment=limits.treatment,
    )
    return FlankSafety(
        film=film,
        treatment=limits.treatment,
        stress_MPa=stress_MPa,
        load_cycles=cycles,
        normal_module_mm=pair.normal_module_mm,
        required_safety=required_safety,
        flank_limit_MPa=sigma_Hlim,
        lubricant_factor=film.lubricant_factor,
        velocity_factor=film.velocity_factor,
        roughness_factor=film.roughness_factor,
        work_hardening_factor=1.0,
        size_factor=Z_X,
        static_life_factor=Z_NTstat,
        life_factor=life_factor(
            load_cycles=cycles,
            damage=Damage.FLANK,
            life_at_1e10=readings.life_at_1e10,
            treatment=limits.treatment,
        ),
        static_limit_MPa=sigma_Hlim * Z_NTstat,
        reference_limit_MPa=reference,
        limit_MPa=limit,
        permissible_stress_MPa=limit / array(required_safety),
        safety=limit / array(stress_MPa),
        notices=METHOD.outside(load_cycles=cycles, normal_module_mm=pair.normal_module_mm),
    )


def _film(
    pair: PairGeometry, viscosity: Number, velocity: Number, roughness: tuple[Number, Number], limit: Array
) -> FilmFactors:
    return film_factors(
        flank_limit_MPa=limit,
        viscosity_40C_mm2_s=viscosity,
        pitch_line_velocity_m_s=velocity,
        pinion_roughness_um=roughness[0],
        wheel_roughness_um=roughness[1],
        reduced_radius_mm=_reduced_radius(pair),
    )


def _reduced_radius(pair: PairGeometry) -> Array:
    tangent = np.tan(np.radians(array(pair.working_pressure_angle_deg)))
    pinion, wheel = (array(gear.base_diameter_mm) / 2 * tangent for gear in (pair.pinion, pair.wheel))
    return pinion * wheel / (pinion + wheel)
