"""The rating of a pair by ANSI/AGMA 2101: contact and bending of pinion and wheel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.pair import GearGeometry, PairGeometry
from gearcheck.stress.agma_bending import AgmaBending, agma_bending
from gearcheck.stress.agma_factors import (
    counted_accuracy_number,
    dynamic_constants,
    dynamic_factor,
    highest_velocity_m_s,
    reliability_factor,
)
from gearcheck.stress.agma_inputs import AgmaMember, AgmaService, ReliabilityFit
from gearcheck.stress.agma_limits import hardness_notices, need_member, wheel_hardness_ratio_factor
from gearcheck.stress.agma_member import AgmaMemberRating, agma_member_rating
from gearcheck.stress.agma_pitting import AgmaPitting, agma_pitting
from gearcheck.stress.inputs import PRIMARY, Member, Readings

METHOD = Method(
    key="agma2101.rating",
    title="Rating of a pair",
    source="ANSI/AGMA 2101",
    edition="D04",
    clause="pitting resistance and bending strength",
    status=Status.FROM_MEMORY,
    valid=(
        Range("accuracy_number", "A_v", 5, 12),
        Range("pitch_line_velocity_share", "v_t/v_t,max", 0, 1),
        Range("load_cycles", "n_L", 0, 1e10),
    ),
    implements=(
        "carburised gears of grades 1 to 3, through-hardened gears of grades 1 and 2",
        "geometry factors worked out by AGMA 908-B89",
        "life by n_L, reliability, thin rims, bending both ways, hardness ratio of the wheel",
    ),
    leaves_out=(
        "nitrided and induction-hardened gears, bronze and iron",
        "yield at momentary peak loads; scuffing, wear and case crushing",
        "surface condition and temperature beyond a factor that is given",
        "internal and planetary rings",
    ),
    departures=(
        "K_v is worked out from the constants of the inch text with the velocity turned into ft/min.",
        "A_v runs against the older quality number of textbooks: A_v = 17 - Q_v.",
        "Y_Z of the table is 0.85 at 0.90, its fitted formula gives 0.833: which one counts is chosen.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class AgmaRating(Result):
    """What both gears share; `pinion` and `wheel` hold stresses, limits and safety factors."""

    method: ClassVar[Method] = METHOD
    torque_Nm: Number = term("Torque on the pinion", "T_1", "N·m")
    speed_rpm: Number = term("Speed of the pinion", "n_1", "1/min")
    working_pitch_diameter_mm: Number = term("Operating pitch diameter of the pinion", "d_w1", "mm")
    face_width_mm: Number = term("Net face width", "b", "mm")
    transverse_module_mm: Number = term("Transverse module", "m_t", "mm")
    overload_factor: Number = term("Overload factor", "K_o")
    load_distribution_factor: Number = term("Load distribution factor", "K_H")
    surface_condition_factor: Number = term("Surface condition factor", "Z_R")
    temperature_factor: Number = term("Temperature factor", "Y_θ")
    accuracy_number: Number = term("Accuracy number as given", "A")
    counted_accuracy_number: Number = term(
        "Accuracy number", "A_v", words="A, not below 6; by the other reading not below 5"
    )
    reliability: Number = term("Reliability", "R", digits=6)
    pinion_modulus_MPa: Number = term("Modulus of elasticity, pinion", "E_1", "MPa")
    wheel_modulus_MPa: Number = term("Modulus of elasticity, wheel", "E_2", "MPa")
    pinion_poisson: Number = term("Poisson's ratio, pinion", "ν_1")
    wheel_poisson: Number = term("Poisson's ratio, wheel", "ν_2")
    tangential_force_N: Number = term("Transmitted tangential load", "F_t", "N", "2000·T_1/d_w1")
    pitch_line_velocity_m_s: Number = term("Pitch line velocity", "v_t", "m/s", "π·n_1·d_w1/60000")
    dynamic_exponent: Number = term("Exponent of K_v, inch text", "B", "", "0.25·(A_v - 5)^0.667")
    dynamic_constant: Number = term("Constant of K_v, inch text", "C", "", "50 + 56·(1 - B)")
    dynamic_factor: Number = term("Dynamic factor", "K_v", "", "((C + √(196.85·v_t))/C)^B")
    elastic_coefficient: Number = term(
        "Elastic coefficient", "Z_E", "√MPa", "√(1/(π·((1 - ν_1²)/E_1 + (1 - ν_2²)/E_2)))"
    )
    reliability_factor: Number = term(
        "Reliability factor",
        "Y_Z",
        words="table; or 0.658 - 0.0759·ln(1 - R) below 0.99 and 0.50 - 0.109·ln(1 - R) from there",
    )
    pitting: AgmaPitting
    pinion_bending: AgmaBending
    wheel_bending: AgmaBending
    pinion: AgmaMemberRating
    wheel: AgmaMemberRating


def agma_rating(
    *,
    pair: PairGeometry,
    torque_Nm: Number,
    speed_rpm: Number,
    overload_factor: Number,
    accuracy_number: Number,
    load_distribution_factor: Number,
    pinion: AgmaMember,
    wheel: AgmaMember,
    reliability: Number,
    reliability_fit: ReliabilityFit,
    service: AgmaService,
    surface_condition_factor: Number = 1.0,
    temperature_factor: Number = 1.0,
    readings: Readings = PRIMARY,
) -> AgmaRating:
    """Return the rating of a pair by ANSI/AGMA 2101 with geometry factors worked out from its teeth.

    σ_H = Z_E √(F_t K_o K_v K_s K_H Z_R/(d_w1 b Z_I)); σ_F = F_t K_o K_v K_s K_H K_B/(b m_t Y_J);
    S_H = σ_HP Z_N Z_W/(Y_θ Y_Z σ_H); S_F = σ_FP Y_N/(Y_θ Y_Z σ_F)

    Parameters
    ----------
    pair : PairGeometry
        The external pair; every argument broadcasts against it.
    torque_Nm, speed_rpm : float or array
        T_1 in N·m and n_1 in 1/min, of the pinion.
    overload_factor, load_distribution_factor : float or array
        K_o and K_H as given.
    accuracy_number : float or array
        A_v: the tolerance class of ISO 1328-1, or worked out from the pitch tolerance; 17 - Q_v.
    pinion, wheel : AgmaMember
        Material, life, thinning, rim.
    reliability : float or array
        Share of gears that survive, 0.9 to 0.9999.
    reliability_fit : ReliabilityFit
        Where Y_Z comes from.
    service : AgmaService
        Line of the stress cycle factors beyond the knee.
    surface_condition_factor, temperature_factor : float or array
        Z_R and Y_θ as given; 1 for sound surfaces, and up to 120 °C.
    readings : Readings
        A_v, the point of the radii in Z_I, the slope of the line of contact in Y_J.

    Returns
    -------
    AgmaRating
        What both share, the geometry factors, and stresses, limits and safety factors of both gears.

    Raises
    ------
    InputError
        All that cannot be used at once: factors, loads, cycles and hardnesses not above 0, a reliability
        outside its table.

    Notes
    -----
    Source: ANSI/AGMA 2101-D04 with AGMA 908-B89, from memory.
    Valid for: external pairs, A_v from 5 to 12, v_t up to the end of the curves of K_v, up to 1e10 cycles.
    Departures: K_v and K_H from the constants of the inch text.
    Checked: AGMA-06, AGMA-HAND-helical, AGMA-HAND-spur; AGMA-02 its stresses and limits.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.stress.agma_inputs import AgmaGrade, AgmaHardening
    >>> gear = dict(face_width_mm=32, rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0, profile_shift=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=120,
    ...     pinion=Tooth(teeth=20, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, tip_diameter_mm=168, **gear))
    >>> steel = AgmaMember(hardening=AgmaHardening.CARBURISED, grade=AgmaGrade.GRADE_2, load_cycles=1e8,
    ...                    tooth_thinning=0.024, surface_hardness_HRC=60)
    >>> rating = agma_rating(
    ...     pair=pair, torque_Nm=400, speed_rpm=1480, overload_factor=1.25, accuracy_number=6,
    ...     load_distribution_factor=1.2, pinion=steel, wheel=steel, reliability=0.99,
    ...     reliability_fit=ReliabilityFit.TABLE, service=AgmaService.GENERAL)
    >>> round(rating.dynamic_factor, 3), round(rating.pitting.geometry_factor, 4)
    (1.084, 0.0949)
    """
    loads = {
        "torque_Nm": torque_Nm,
        "speed_rpm": speed_rpm,
        "overload_factor": overload_factor,
        "accuracy_number": accuracy_number,
        "load_distribution_factor": load_distribution_factor,
        "surface_condition_factor": surface_condition_factor,
        "temperature_factor": temperature_factor,
    }
    _checked(loads, pinion, wheel)
    Y_Z = reliability_factor(reliability=reliability, fit=reliability_fit)
    pitting = agma_pitting(pair=pair, readings=readings)
    values: dict[str, Any] = {name: array(value) for name, value in loads.items()}
    values |= _shared(values, pair, pitting, readings) | _elastic(pinion, wheel)
    values |= {"reliability": array(reliability), "reliability_factor": Y_Z}
    forms = {
        member: agma_bending(
            pair=pair, member=member, pitting=pitting, tooth_thinning=gear.tooth_thinning, readings=readings
        )
        for member, gear in ((Member.PINION, pinion), (Member.WHEEL, wheel))
    }
    found = (*_outside(values, pinion, wheel), *pitting.notices)
    return AgmaRating(
        **values,
        **_members(values, pair, pinion, wheel, service, forms, pitting),
        pitting=pitting,
        pinion_bending=forms[Member.PINION],
        wheel_bending=forms[Member.WHEEL],
        notices=(*found, *(notice for form in forms.values() for notice in form.notices)),
    )


def _members(
    values: dict[str, Any],
    pair: PairGeometry,
    pinion: AgmaMember,
    wheel: AgmaMember,
    service: AgmaService,
    forms: dict[Member, AgmaBending],
    pitting: AgmaPitting,
) -> dict[str, AgmaMemberRating]:
    harder = wheel_hardness_ratio_factor(pinion=pinion, wheel=wheel, gear_ratio=array(pair.gear_ratio))
    shared = {name: values[name] for name in AgmaMemberRating.SHARED}
    return {
        member.value: agma_member_rating(
            gear=gear,
            pitting_geometry_factor=pitting.geometry_factor,
            bending_geometry_factor=forms[member].geometry_factor,
            whole_depth_mm=_whole_depth(toothed),
            hardness_ratio_factor=harder if member is Member.WHEEL else 1.0,
            service=service,
            **shared,
        )
        for member, gear, toothed in (
            (Member.PINION, pinion, pair.pinion),
            (Member.WHEEL, wheel, pair.wheel),
        )
    }


def _checked(loads: dict[str, Number], pinion: AgmaMember, wheel: AgmaMember) -> None:
    faults = Faults()
    for name, value in loads.items():
        faults.need(not np.any(array(value) <= 0), name, value, "a number above 0")
    need_member(faults, Member.PINION, pinion)
    need_member(faults, Member.WHEEL, wheel)
    faults.check()


def _shared(
    values: dict[str, Any], pair: PairGeometry, pitting: AgmaPitting, readings: Readings
) -> dict[str, Any]:
    """Load and velocity at the operating pitch circle, and the dynamic factor."""
    d_w1 = array(pitting.working_pitch_diameter_mm)
    velocity = np.pi * values["speed_rpm"] * d_w1 / 60000
    A_v = counted_accuracy_number(
        accuracy_number=values["accuracy_number"], reading=readings.dynamic_accuracy_number
    )
    B, C = dynamic_constants(accuracy_number=A_v)
    return {
        "working_pitch_diameter_mm": d_w1,
        "face_width_mm": array(pair.common_face_width_mm),
        "transverse_module_mm": array(pair.transverse_module_mm),
        "tangential_force_N": 2000 * values["torque_Nm"] / d_w1,
        "pitch_line_velocity_m_s": velocity,
        "counted_accuracy_number": A_v,
        "dynamic_exponent": B,
        "dynamic_constant": C,
        "dynamic_factor": dynamic_factor(accuracy_number=A_v, pitch_line_velocity_m_s=velocity),
    }


def _elastic(pinion: AgmaMember, wheel: AgmaMember) -> dict[str, Any]:
    E_1, E_2, nu_1, nu_2 = (
        array(value) for value in (pinion.modulus_MPa, wheel.modulus_MPa, pinion.poisson, wheel.poisson)
    )
    return {
        "pinion_modulus_MPa": E_1,
        "wheel_modulus_MPa": E_2,
        "pinion_poisson": nu_1,
        "wheel_poisson": nu_2,
        "elastic_coefficient": np.sqrt(1 / (np.pi * ((1 - nu_1**2) / E_1 + (1 - nu_2**2) / E_2))),
    }


def _whole_depth(gear: GearGeometry) -> Array:
    return np.abs(array(gear.tip_diameter_mm) - array(gear.root_diameter_mm)) / 2


def _outside(values: dict[str, Any], pinion: AgmaMember, wheel: AgmaMember) -> tuple[Notice, ...]:
    A_v = values["counted_accuracy_number"]
    share = values["pitch_line_velocity_m_s"] / highest_velocity_m_s(accuracy_number=np.minimum(A_v, 12.0))
    cycles = np.maximum(array(pinion.load_cycles), array(wheel.load_cycles))
    return (
        *METHOD.outside(accuracy_number=A_v, pitch_line_velocity_share=share, load_cycles=cycles),
        *hardness_notices(Member.PINION, pinion),
        *hardness_notices(Member.WHEEL, wheel),
    )
