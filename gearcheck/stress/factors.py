"""Forces, line load and the load factors of one mesh, ISO 6336-1."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.notices import flagged
from gearcheck.gear.pair import PairGeometry
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.dynamics import DynamicFactor, dynamic_factor
from gearcheck.stress.flank_factors import contact_ratio_factor
from gearcheck.stress.inputs import PRIMARY, DeviationInKHalpha, Load, Readings, TipReliefInKv
from gearcheck.stress.numbers import by_range, checked_above_zero
from gearcheck.stress.running_in import running_in_allowance, running_in_relief
from gearcheck.stress.stiffness import MeshStiffness, mesh_stiffness

METHOD = Method(
    key="iso6336_1.load_factors",
    title="Load factors",
    source="ISO 6336-1",
    edition="2019",
    clause="clauses 5 to 9, method B",
    status=Status.FROM_MEMORY,
    implements=(
        "K_V method B",
        "K_Hα and K_Fα method B",
        "K_Fβ from a given K_Hβ",
        "running-in of case-hardened gears",
    ),
    leaves_out=(
        "K_A, K_γ and K_Hβ: given",
        "half the pitch deviation where a profile modification suits the load",
        "double helical gears",
    ),
    departures=(
        "The tip relief in B_k, the deviation in K_Hα, the stiffness at light load and K_V above the "
        "resonance follow the readings chosen.",
        "The line load of the stiffness and of K_V counts K_γ, where the text has F_t·K_A/b.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class LoadFactors(Result):
    """Force, line load and load factors; the steps of stiffness and K_V stand in their own results."""

    method: ClassVar[Method] = METHOD
    stiffness: MeshStiffness
    dynamics: DynamicFactor
    torque_Nm: Number = term("Torque on the pinion", "T_1", "N·m")
    speed_rpm: Number = term("Speed of the pinion", "n_1", "1/min")
    reference_diameter_mm: Number = term("Reference diameter of the pinion", "d_1", "mm")
    common_face_width_mm: Number = term("Common face width", "b", "mm")
    application_factor: Number = term("Application factor", "K_A")
    mesh_load_factor: Number = term("Mesh load factor", "K_γ")
    face_load_factor: Number = term("Face load factor, contact", "K_Hβ")
    base_pitch_deviation_um: Number = term("Base pitch deviation", "f_pb", "µm")
    profile_form_deviation_um: Number = term("Profile form deviation", "f_fα", "µm")
    tip_relief_um: Number = term("Tip relief given", "C_agiven", "µm")
    tolerance_class: Number = term("Flank tolerance class", "A")
    transverse_contact_ratio: Number = term("Transverse contact ratio", "ε_α")
    overlap_ratio: Number = term("Overlap ratio", "ε_β")
    total_contact_ratio: Number = term("Total contact ratio", "ε_γ")
    tangential_force_N: Number = term("Tangential force at the reference circle", "F_t", "N", "2000·T_1/d_1")
    pitch_line_velocity_m_s: Number = term("Velocity at the reference circle", "v", "m/s", "π·d_1·n_1/60000")
    line_load_N_mm: Number = term("Line load with K_A and K_γ", "w", "N/mm", "F_t·K_A·K_γ/b")
    running_in_relief_um: Number = term(
        "Tip relief by running-in, mean of both gears",
        "C_ay",
        "µm",
        words="mean of (σ_Hlim/97 - 18.45)^2/18 + 1.5 of both gears",
    )
    pitch_running_in_um: Number = term("Running-in of the base pitch", "y_p", "µm", "min(0.075·f_pb, 3)")
    form_running_in_um: Number = term("Running-in of the profile form", "y_f", "µm", "min(0.075·f_fα, 3)")
    single_stiffness: Number = term("Single stiffness", "c′", "N/(mm·µm)")
    mesh_stiffness: Number = term("Mesh stiffness", "c_γα", "N/(mm·µm)")
    resonance_ratio: Number = term("Resonance ratio", "N")
    dynamic_factor: Number = term("Dynamic factor", "K_V")
    governing_line_load_N_mm: Number = term("Line load for K_Hα", "w_H", "N/mm", "w·K_V·K_Hβ")
    transverse_deviation_um: Number = term(
        "Deviation in K_Hα", "f_α", "µm", words="f_pb, or by the other reading the larger of f_pb and f_fα"
    )
    transverse_running_in_um: Number = term("Running-in in K_Hα", "y_α", "µm", "min(0.075·f_α, 3)")
    transverse_factor_unlimited: Number = term(
        "Transverse load factor before its limits",
        "K_α0",
        words="ε_γ/2·(0.9 + 0.4·q) to ε_γ = 2, above 0.9 + 0.4·q·√(2·(ε_γ - 1)/ε_γ), "
        "q = c_γα·(f_α - y_α)/w_H",
    )
    contact_ratio_factor: Number = term("Contact ratio factor", "Z_ε", words="as in ISO 6336-2")
    transverse_limit_contact: Number = term("Highest K_Hα", "K_Hαmax", "", "ε_γ/(ε_α·Z_ε^2)")
    transverse_limit_bending: Number = term("Highest K_Fα", "K_Fαmax", "", "ε_γ/(0.25·ε_α + 0.75)")
    transverse_factor_contact: Number = term(
        "Transverse load factor, contact", "K_Hα", "", "max(min(K_α0, K_Hαmax), 1)"
    )
    transverse_factor_bending: Number = term(
        "Transverse load factor, bending", "K_Fα", "", "max(min(K_α0, K_Fαmax), 1)"
    )
    height_to_width: Number = term(
        "Larger tooth height over face width of both gears, at most a third",
        "h_b",
        words="max(h/b), up to 1/3",
    )
    face_exponent: Number = term("Exponent of K_Fβ", "N_F", "", "1/(1 + h_b + h_b^2)")
    face_factor_bending: Number = term("Face load factor, bending", "K_Fβ", "", "K_Hβ^N_F")


def load_factors(
    *,
    pair: PairGeometry,
    load: Load,
    pinion_limits: StrengthLimits,
    wheel_limits: StrengthLimits,
    base_pitch_deviation_um: Number,
    profile_form_deviation_um: Number,
    tip_relief_um: Number,
    tolerance_class: Number,
    readings: Readings = PRIMARY,
) -> LoadFactors:
    """Return forces and load factors of one mesh.

    F_t = 2000 T_1/d_1; K_V, K_Hα, K_Fα by method B; K_Fβ = K_Hβ^N_F

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    load : Load
        Torque and speed of the pinion, K_A, K_γ, K_Hβ.
    pinion_limits, wheel_limits : StrengthLimits
        For density and σ_Hlim (running-in relief).
    base_pitch_deviation_um, profile_form_deviation_um : float or array
        f_pb and f_fα in µm: the larger of both gears.
    tip_relief_um : float or array
        C_a at the beginning and end of engagement in µm; 0 without.
    tolerance_class : float or array
        Flank tolerance class: the coarser of both gears.
    readings : Readings
        How the clauses are read.

    Returns
    -------
    LoadFactors
        F_t, v, line load and K factors; `stiffness` and `dynamics` hold their steps, and their notices are
        repeated.

    Raises
    ------
    InputError
        A torque, speed or given factor that is not above 0.

    Notes
    -----
    Source: ISO 6336-1:2019, method B, formulas and coefficients from memory.
    Valid for: case-hardened external gears on solid discs.
    Departures: see the readings.
    Checked: ISO1-HAND; its parts ISO1-01, ISO1-02, ISO1-07.

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
    >>> factors = load_factors(
    ...     pair=pair, pinion_limits=limits, wheel_limits=limits, base_pitch_deviation_um=7,
    ...     profile_form_deviation_um=7, tip_relief_um=0, tolerance_class=5, load=Load(
    ...         torque_Nm=500, speed_rpm=1480, application_factor=1.25, mesh_load_factor=1,
    ...         face_load_factor=1.15))
    >>> round(factors.dynamic_factor, 3), round(factors.transverse_factor_contact, 3)
    (1.031, 1.0)
    """
    checked_above_zero(
        torque_Nm=load.torque_Nm,
        speed_rpm=load.speed_rpm,
        application_factor=load.application_factor,
        mesh_load_factor=load.mesh_load_factor,
        face_load_factor=load.face_load_factor,
    )
    force = 2000 * array(load.torque_Nm) / array(pair.pinion.reference_diameter_mm)
    loaded = force * array(load.application_factor) * array(load.mesh_load_factor)
    line_load = loaded / array(pair.common_face_width_mm)
    deviations = array(base_pitch_deviation_um), array(profile_form_deviation_um)
    running_in = [running_in_allowance(deviation_um=deviation) for deviation in deviations]
    relief = _mean_running_in_relief(pinion_limits, wheel_limits)
    stiffness = _stiffness(pair, line_load, readings)
    dynamics = dynamic_factor(
        **_rotor(pair, load, pinion_limits, wheel_limits),
        line_load_N_mm=line_load,
        single_stiffness=stiffness.single_stiffness,
        mesh_stiffness=stiffness.mesh_stiffness,
        pitch_deviation_um=deviations[0] - running_in[0],
        form_deviation_um=deviations[1] - running_in[1],
        tip_relief_um=_counted_relief(array(tip_relief_um), relief, array(tolerance_class), readings),
        supercritical_kv=readings.supercritical_kv,
    )
    return LoadFactors(
        **_given(pair, load),
        base_pitch_deviation_um=deviations[0],
        profile_form_deviation_um=deviations[1],
        tip_relief_um=tip_relief_um,
        tolerance_class=tolerance_class,
        tangential_force_N=force,
        line_load_N_mm=line_load,
        running_in_relief_um=relief,
        pitch_running_in_um=running_in[0],
        form_running_in_um=running_in[1],
        **_nested(stiffness, dynamics),
        **_transverse(pair, load, stiffness, dynamics, deviations, readings),
        **_face(pair, array(load.face_load_factor)),
        notices=stiffness.notices + dynamics.notices + _notices(array(tip_relief_um), relief, dynamics),
    )


def _nested(stiffness: MeshStiffness, dynamics: DynamicFactor) -> dict[str, Any]:
    return {
        "stiffness": stiffness,
        "dynamics": dynamics,
        "single_stiffness": stiffness.single_stiffness,
        "mesh_stiffness": stiffness.mesh_stiffness,
        "resonance_ratio": dynamics.resonance_ratio,
        "dynamic_factor": dynamics.dynamic_factor,
    }


def _given(pair: PairGeometry, load: Load) -> dict[str, Number]:
    reference = array(pair.pinion.reference_diameter_mm)
    return {
        "torque_Nm": load.torque_Nm,
        "speed_rpm": load.speed_rpm,
        "reference_diameter_mm": reference,
        "pitch_line_velocity_m_s": np.pi * reference * array(load.speed_rpm) / 60000,
        "common_face_width_mm": pair.common_face_width_mm,
        "application_factor": load.application_factor,
        "mesh_load_factor": load.mesh_load_factor,
        "face_load_factor": load.face_load_factor,
        "transverse_contact_ratio": pair.transverse_contact_ratio,
        "overlap_ratio": pair.overlap_ratio,
        "total_contact_ratio": pair.total_contact_ratio,
    }


def _stiffness(pair: PairGeometry, line_load: Array, readings: Readings) -> MeshStiffness:
    return mesh_stiffness(
        pinion_teeth=pair.pinion.teeth,
        wheel_teeth=pair.wheel.teeth,
        pinion_profile_shift=pair.pinion.profile_shift,
        wheel_profile_shift=pair.wheel.profile_shift,
        pinion_rack_dedendum=pair.pinion.rack_dedendum,
        wheel_rack_dedendum=pair.wheel.rack_dedendum,
        pressure_angle_deg=pair.pressure_angle_deg,
        helix_angle_deg=pair.helix_angle_deg,
        transverse_contact_ratio=pair.transverse_contact_ratio,
        line_load_N_mm=line_load,
        light_load_stiffness=readings.light_load_stiffness,
    )


def _rotor(
    pair: PairGeometry, load: Load, pinion_limits: StrengthLimits, wheel_limits: StrengthLimits
) -> dict[str, Number]:
    tip, bottom = array(pair.pinion.tip_diameter_mm), array(pair.pinion.root_diameter_mm)
    return {
        "pinion_speed_rpm": load.speed_rpm,
        "pinion_teeth": pair.pinion.teeth,
        "gear_ratio": pair.gear_ratio,
        "pinion_base_diameter_mm": pair.pinion.base_diameter_mm,
        "pinion_mean_diameter_mm": (tip + bottom) / 2,
        "pinion_density_kg_mm3": pinion_limits.density_kg_mm3,
        "wheel_density_kg_mm3": wheel_limits.density_kg_mm3,
        "total_contact_ratio": pair.total_contact_ratio,
    }


def _mean_running_in_relief(pinion_limits: StrengthLimits, wheel_limits: StrengthLimits) -> Array:
    pinion = running_in_relief(flank_limit_MPa=pinion_limits.flank_limit_MPa)
    return (pinion + running_in_relief(flank_limit_MPa=wheel_limits.flank_limit_MPa)) / 2


def _counted_relief(given: Array, running_in: Array, tolerance_class: Array, readings: Readings) -> Array:
    """The relief that counts in B_k; 0 where the reading sets B_k to 1."""
    if readings.tip_relief_in_kv is TipReliefInKv.ALWAYS:
        return given
    last = table("iso6336_1_factors").value("B_k, last class with tip relief counted")
    counted = by_range(given, (0.0,), (running_in, given))
    return by_range(tolerance_class, (last,), (counted, 0.0))


def _notices(given: Array, running_in: Array, dynamics: DynamicFactor) -> tuple[Notice, ...]:
    """Say where B_k counts the relief of running-in for one that is not given."""
    return tuple(
        flagged(
            np.asarray((given == 0) & (array(dynamics.tip_relief_um) > 0)),
            Level.NOTE,
            "iso6336_1.running_in_relief",
            "Without tip relief K_V counts that of running-in, {relief:.3g} µm; a smaller one, if given, "
            "counts as given.",
            relief=running_in,
        )
    )


def _transverse(
    pair: PairGeometry,
    load: Load,
    stiffness: MeshStiffness,
    dynamics: DynamicFactor,
    deviations: tuple[Array, Array],
    readings: Readings,
) -> dict[str, Number]:
    """K_Hα and K_Fα with their limits; both give at least the whole load to the mesh."""
    value = table("iso6336_1_factors").value
    deviation = deviations[0]
    if readings.deviation_in_khalpha is DeviationInKHalpha.LARGER_OF_BOTH:
        deviation = np.maximum(*deviations)
    running_in = running_in_allowance(deviation_um=deviation)
    ratio, total = array(pair.transverse_contact_ratio), array(pair.total_contact_ratio)
    line_load = array(dynamics.line_load_N_mm) * array(dynamics.dynamic_factor) * array(load.face_load_factor)
    shift = array(stiffness.mesh_stiffness) * (deviation - running_in) / line_load
    uneven = value("K_Hα, part with deviation") * shift
    high = value("K_Hα, constant part") + uneven * np.sqrt(2 * (np.maximum(total, 2.0) - 1) / total)
    unlimited = by_range(total, (2.0,), (total / 2 * (value("K_Hα, constant part") + uneven), high))
    factor = contact_ratio_factor(transverse_contact_ratio=ratio, overlap_ratio=pair.overlap_ratio)
    contact = total / (ratio * factor**2)
    sharing = value("K_Fα limit, part with contact ratio") * ratio + value("K_Fα limit, constant part")
    return {
        "governing_line_load_N_mm": line_load,
        "transverse_deviation_um": deviation,
        "transverse_running_in_um": running_in,
        "transverse_factor_unlimited": unlimited,
        "contact_ratio_factor": factor,
        "transverse_limit_contact": contact,
        "transverse_limit_bending": total / sharing,
        "transverse_factor_contact": np.maximum(np.minimum(unlimited, contact), 1.0),
        "transverse_factor_bending": np.maximum(np.minimum(unlimited, total / sharing), 1.0),
    }


def _face(pair: PairGeometry, face_factor: Array) -> dict[str, Number]:
    """K_Fβ from K_Hβ by the stouter gear of both."""
    pinion, wheel = (
        (array(gear.tip_diameter_mm) - array(gear.root_diameter_mm)) / 2 / array(gear.face_width_mm)
        for gear in (pair.pinion, pair.wheel)
    )
    largest = table("iso6336_1_factors").value("K_Fβ, largest h/b")
    height = np.minimum(np.maximum(pinion, wheel), largest)
    exponent = 1 / (1 + height + height**2)
    return {
        "height_to_width": height,
        "face_exponent": exponent,
        "face_factor_bending": face_factor**exponent,
    }
