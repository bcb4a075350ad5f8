"""Pitting limit and safety of ISO 6336-2."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.pair import PairGeometry
from gearcheck.materials.inputs import Treatment
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.film import FilmFactors, film_factors
from gearcheck.stress.inputs import PRIMARY, Member, Readings, StressEdition
from gearcheck.stress.life import Damage, life_factor, life_row, limit_after_cycles
from gearcheck.stress.numbers import checked_above_zero
from gearcheck.stress.work_hardening import WorkHardening, can_harden, unhardened, work_hardening

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
    implements=(
        "steel gears by heat treatment, no pitting allowed",
        "static strength, limited and long life",
        "work hardening of a through-hardened wheel by a hard pinion",
        "film factors by the softer of both gears",
    ),
    leaves_out=(
        "reliability other than 1 % failure",
        "limited pitting allowed",
        "work hardening in a pair of two through-hardened gears: Z_W = 1",
        "permissible stress from tests of the gears themselves",
    ),
    departures=(
        "Z_X above module 10, nitrided above 7.3, falls by the line of DIN 3990-2:1987.",
        "The static limit takes Z_L, Z_v, Z_R and Z_X as 1, and Z_W by its static line.",
        "Beyond 1e10 cycles the life factor stays.",
    ),
)

METHOD_2006 = replace(
    METHOD,
    key="iso6336_2_2006.flank_safety",
    edition="2006",
    leaves_out=(
        *METHOD.leaves_out,
        "the limits of ISO 6336-5:2003: those of 2016 are taken, of which no difference is remembered",
    ),
)


@dataclass(frozen=True, kw_only=True)
class FlankSafety(Result):
    """Pitting limit, permissible stress and safety of one gear; the film factors have their own steps."""

    method: ClassVar[Method] = METHOD
    film: FilmFactors
    work_hardening: WorkHardening | None = None
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
        "Work-hardening factor", "Z_W", words="1 but for a through-hardened wheel against a hard pinion"
    )
    static_work_hardening_factor: Number = term(
        "Work-hardening factor, static",
        "Z_Wstat",
        words="1 but for a through-hardened wheel against a hard pinion",
    )
    size_factor: Number = term(
        "Size factor",
        "Z_X",
        words="1.05 - 0.005·m_n, not below 0.9; nitrided 1.08 - 0.011·m_n, not below 0.75; at most 1; "
        "through-hardened 1",
    )
    static_life_factor: Number = term("Life factor, static", "Z_NTstat", words="table of life factors")
    life_factor: Number = term(
        "Life factor", "Z_NT", words="straight lines in log-log over the knees of the table of life factors"
    )
    static_limit_MPa: Number = term("Pitting limit, static", "σ_HGstat", "MPa", "σ_Hlim·Z_NTstat·Z_Wstat")
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


@dataclass(frozen=True, kw_only=True)
class FlankSafety2006(FlankSafety):
    """The same by the 2006 edition, which has the same factors on the limit."""

    method: ClassVar[Method] = METHOD_2006


def flank_size_factor(*, normal_module_mm: Number, treatment: Treatment = Treatment.CASE_CARBURISED) -> Array:
    """Return the size factor of the flank.

    Z_X = 1.05 - 0.005 m_n, not below 0.9, of a case; nitrided 1.08 - 0.011 m_n, not below 0.75; at most 1;
    through-hardened 1

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    ndarray of float
        Z_X: of a case 1 up to module 10.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 14, for 1; DIN 3990-2:1987 for the falling lines; from memory.
    Valid for: all modules; held at both ends.
    Departures: the falling lines of hard surfaces.
    Checked: ISO3-05-flank.

    Examples
    --------
    >>> print(flank_size_factor(normal_module_mm=[5, 10, 20]))
    [1.   1.   0.95]
    """
    row, module = table("iso6336_2_size").row(treatment), array(normal_module_mm)
    factor: Array = np.clip(row["constant"] - row["slope"] * module, row["smallest"], 1.0)
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
    edition: StressEdition = StressEdition.ISO_6336_2019,
    mate_limits: StrengthLimits | None = None,
    member: Member | None = None,
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
    edition : StressEdition
        Edition of ISO 6336-2; its factors on the limit are the same in both.
    mate_limits : StrengthLimits or None
        Of the mate: the softer of both gears governs the film factors; without it, this gear.
    member : Member or None
        Which gear of the pair this is; a through-hardened wheel is work-hardened by a hard pinion.

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
    Valid for: steel gears at 1 % failure.
    Departures: Z_X above module 10; the static limit has no factor but Z_NT and Z_W.
    Checked: ISO2-HAND-limit, ISO2-SOFT; its factors ISO2-05, ISO2-07, ISO6-01.

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
    surfaces = {
        "viscosity_40C_mm2_s": viscosity_40C_mm2_s,
        "pitch_line_velocity_m_s": pitch_line_velocity_m_s,
        "pinion_roughness_um": pinion_roughness_um,
        "wheel_roughness_um": wheel_roughness_um,
        "reduced_radius_mm": _reduced_radius(pair),
    }
    film = film_factors(flank_limit_MPa=_softer(limits, mate_limits), **surfaces)
    hardened = None
    if can_harden(limits, mate_limits, member):
        hardened = work_hardening(wheel_hardness_HV=limits.surface_hardness_HV, **surfaces)
    values = _limits(limits, film, hardened, pair.normal_module_mm)
    kind = FlankSafety if edition is StressEdition.ISO_6336_2019 else FlankSafety2006
    limit, Z_NT = _after(array(load_cycles), values, readings)
    return kind(
        **values,
        stress_MPa=stress_MPa,
        load_cycles=array(load_cycles),
        normal_module_mm=pair.normal_module_mm,
        required_safety=required_safety,
        life_factor=Z_NT,
        limit_MPa=limit,
        permissible_stress_MPa=limit / array(required_safety),
        safety=limit / array(stress_MPa),
        notices=(
            *kind.method.outside(load_cycles=load_cycles, normal_module_mm=pair.normal_module_mm),
            *film.notices,
            *(() if hardened is None else hardened.notices),
            *unhardened(limits, mate_limits, member),
        ),
    )


def _after(cycles: Array, values: dict[str, Any], readings: Readings) -> tuple[Array, Array]:
    """The limit after a number of load cycles, and the life factor."""
    given: dict[str, Any] = {
        "load_cycles": cycles,
        "damage": Damage.FLANK,
        "life_at_1e10": readings.life_at_1e10,
        "treatment": values["treatment"],
    }
    limit = limit_after_cycles(
        **given,
        static_limit_MPa=values["static_limit_MPa"],
        reference_limit_MPa=values["reference_limit_MPa"],
        limited_life=readings.limited_life,
    )
    return limit, life_factor(**given)


def _softer(limits: StrengthLimits, mate_limits: StrengthLimits | None) -> Array:
    own = array(limits.flank_limit_MPa)
    return own if mate_limits is None else np.minimum(own, array(mate_limits.flank_limit_MPa))


def _limits(
    limits: StrengthLimits, film: FilmFactors, hardened: WorkHardening | None, module: Number
) -> dict[str, Any]:
    """The factors on σ_Hlim and both ends of the curve."""
    sigma_Hlim = array(limits.flank_limit_MPa)
    Z_NTstat = life_row(Damage.FLANK, limits.treatment)["static_factor"]
    Z_W, Z_Wstat = (1.0, 1.0) if hardened is None else (hardened.factor, hardened.static_factor)
    Z_X = flank_size_factor(normal_module_mm=module, treatment=limits.treatment)
    film_product = array(film.lubricant_factor) * array(film.velocity_factor) * array(film.roughness_factor)
    return {
        "film": film,
        "work_hardening": hardened,
        "treatment": limits.treatment,
        "flank_limit_MPa": sigma_Hlim,
        "lubricant_factor": film.lubricant_factor,
        "velocity_factor": film.velocity_factor,
        "roughness_factor": film.roughness_factor,
        "work_hardening_factor": Z_W,
        "static_work_hardening_factor": Z_Wstat,
        "size_factor": Z_X,
        "static_life_factor": Z_NTstat,
        "static_limit_MPa": sigma_Hlim * Z_NTstat * array(Z_Wstat),
        "reference_limit_MPa": sigma_Hlim * film_product * array(Z_W) * Z_X,
    }


def _reduced_radius(pair: PairGeometry) -> Array:
    tangent = np.tan(np.radians(array(pair.working_pressure_angle_deg)))
    pinion, wheel = (array(gear.base_diameter_mm) / 2 * tangent for gear in (pair.pinion, pair.wheel))
    return pinion * wheel / (wheel + pair.side * pinion)
