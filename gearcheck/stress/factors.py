"""Forces, line load and the load factors of one mesh, ISO 6336-1."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.notices import flagged
from gearcheck.gear.pair import PairGeometry
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.blank import BlankFactor
from gearcheck.stress.dynamics import DynamicFactor, dynamic_factor
from gearcheck.stress.face_load import FaceLoadFactor
from gearcheck.stress.inputs import (
    PRIMARY,
    Blank,
    Load,
    Readings,
    Shaft,
    TipReliefInKv,
)
from gearcheck.stress.load_parts import (
    all_notices,
    blanks_of,
    class_5,
    face_load_of,
    nested,
    rotor_of,
    stiffness_of,
    transverse_of,
    wear_of,
)
from gearcheck.stress.numbers import by_range, checked_above_zero
from gearcheck.stress.running_in import mean_allowance, running_in_allowance, running_in_relief
from gearcheck.stress.stiffness import MeshStiffness
from gearcheck.stress.transverse import face_factor_bending

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
        "K_Hβ given, or method C from the shaft; K_Fβ",
        "running-in by heat treatment",
    ),
    leaves_out=(
        "K_A and K_γ: given",
        "half the pitch deviation where a profile modification suits the load",
        "double helical gears",
    ),
    departures=(
        "The tip relief in B_k, the deviation in K_Hα, the stiffness at light load and K_V above the "
        "resonance follow the readings chosen.",
        "The line load of the stiffness and of K_V counts K_γ, where the text has F_t·K_A/b.",
    ),
)

RUNNING_IN = "0.075 of it up to 3 µm; through-hardened 160/σ_Hlim of it, capped above 5 m/s; mean of both"


@dataclass(frozen=True, kw_only=True)
class LoadFactors(Result):
    """Force, line load and load factors; the steps of stiffness and K_V stand in their own results."""

    method: ClassVar[Method] = METHOD
    stiffness: MeshStiffness
    dynamics: DynamicFactor
    face_load: FaceLoadFactor | None = None
    pinion_blank: BlankFactor | None = None
    wheel_blank: BlankFactor | None = None
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
    pitch_running_in_um: Number = term("Running-in of the base pitch", "y_p", "µm", words=RUNNING_IN)
    form_running_in_um: Number = term("Running-in of the profile form", "y_f", "µm", words=RUNNING_IN)
    single_stiffness: Number = term("Single stiffness", "c′", "N/(mm·µm)")
    mesh_stiffness: Number = term("Mesh stiffness", "c_γα", "N/(mm·µm)")
    resonance_ratio: Number = term("Resonance ratio", "N")
    dynamic_factor: Number = term("Dynamic factor", "K_V")
    governing_line_load_N_mm: Number = term("Line load for K_Hα", "w_H", "N/mm", "w·K_V·K_Hβ")
    transverse_deviation_um: Number = term(
        "Deviation in K_Hα", "f_α", "µm", words="f_pb, or by the other reading the larger of f_pb and f_fα"
    )
    transverse_running_in_um: Number = term("Running-in in K_Hα", "y_α", "µm", words=RUNNING_IN)
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
    shaft: Shaft | None = None,
    helix_slope_um: Number = None,
    helix_slope_5_um: Number = None,
    pinion_blank: Blank | None = None,
    wheel_blank: Blank | None = None,
) -> LoadFactors:
    """Return forces and load factors of one mesh.

    F_t = 2000 T_1/d_1; K_V, K_Hα, K_Fα by method B; K_Fβ = K_Hβ^N_F

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    load : Load
        Torque and speed of the pinion, K_A, K_γ, K_Hβ; without K_Hβ the shaft gives it.
    pinion_limits, wheel_limits : StrengthLimits
        For density, σ_Hlim and heat treatment (running-in).
    base_pitch_deviation_um, profile_form_deviation_um : float or array
        f_pb and f_fα in µm: the larger of both gears.
    tip_relief_um : float or array
        C_a at the beginning and end of engagement in µm; 0 without.
    tolerance_class : float or array
        Flank tolerance class: the coarser of both gears.
    readings : Readings
        How the clauses are read.
    shaft : Shaft or None
        Shaft of the pinion; of effect where `load` has no K_Hβ.
    helix_slope_um : float, array or None
        f_Hβ in µm: the larger of both gears; needed with the shaft.
    helix_slope_5_um : float, array or None
        The same of class 5; None takes it from f_Hβ by the steps of the classes.
    pinion_blank, wheel_blank : Blank or None
        The bodies behind the teeth; None for a solid disc.

    Returns
    -------
    LoadFactors
        F_t, v, line load and K factors; `stiffness`, `dynamics`, `face_load` and the blanks hold their steps,
        and their notices are repeated.

    Raises
    ------
    InputError
        A torque, speed or given factor not above 0; neither K_Hβ nor a shaft; a faulty shaft or blank.

    Notes
    -----
    Source: ISO 6336-1:2019, method B, formulas and coefficients from memory.
    Valid for: steel gears.
    Departures: see the readings.
    Checked: ISO1-HAND; its parts ISO1-01, ISO1-02, ISO1-03, ISO1-05, ISO1-07.

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
    _check(load, shaft, helix_slope_um)
    given, force, line_load = _loaded(pair, load)
    blanks = blanks_of(pair, pinion_blank, wheel_blank)
    wear = wear_of(pinion_limits, wheel_limits, given["pitch_line_velocity_m_s"])
    deviations = array(base_pitch_deviation_um), array(profile_form_deviation_um)
    running_in = [mean_allowance(running_in_allowance, deviation_um=item, **wear) for item in deviations]
    relief = _mean_running_in_relief(pinion_limits, wheel_limits)
    stiffness = stiffness_of(pair, line_load, readings, blanks)
    dynamics = dynamic_factor(
        **rotor_of(pair, load, pinion_limits, wheel_limits, blanks),
        line_load_N_mm=line_load,
        single_stiffness=stiffness.single_stiffness,
        mesh_stiffness=stiffness.mesh_stiffness,
        pitch_deviation_um=deviations[0] - running_in[0],
        form_deviation_um=deviations[1] - running_in[1],
        tip_relief_um=_counted_relief(array(tip_relief_um), relief, array(tolerance_class), readings),
        supercritical_kv=readings.supercritical_kv,
    )
    slope_5 = class_5(helix_slope_um, tolerance_class) if helix_slope_5_um is None else helix_slope_5_um
    face = face_load_of(pair, load, shaft, stiffness, dynamics, helix_slope_um, slope_5, wear)
    factor = array(load.face_load_factor if face is None else face.face_load_factor)
    return LoadFactors(
        **given,
        base_pitch_deviation_um=deviations[0],
        profile_form_deviation_um=deviations[1],
        tip_relief_um=tip_relief_um,
        tolerance_class=tolerance_class,
        tangential_force_N=force,
        line_load_N_mm=line_load,
        running_in_relief_um=relief,
        pitch_running_in_um=running_in[0],
        form_running_in_um=running_in[1],
        **nested(stiffness, dynamics, face, blanks),
        face_load_factor=factor,
        **transverse_of(pair, stiffness, dynamics, factor, deviations, readings, wear),
        **face_factor_bending(pair, factor),
        notices=all_notices(stiffness, dynamics, face, _notices(array(tip_relief_um), relief, dynamics)),
    )


def _check(load: Load, shaft: Shaft | None, helix_slope_um: Number) -> None:
    faults = Faults()
    if load.face_load_factor is None:
        needed = "a face load factor K_Hβ, or the shaft of the pinion, from which it follows"
        faults.need(shaft is not None, "face_load_factor", None, needed)
        slope = helix_slope_um is not None or shaft is None
        faults.need(slope, "helix_slope_um", None, "the helix slope deviation, for the face load factor")
    faults.check()
    checked_above_zero(
        torque_Nm=load.torque_Nm,
        speed_rpm=load.speed_rpm,
        application_factor=load.application_factor,
        mesh_load_factor=load.mesh_load_factor,
        face_load_factor=load.face_load_factor,
    )


def _loaded(pair: PairGeometry, load: Load) -> tuple[dict[str, Number], Array, Array]:
    """What is given, the tangential force and the line load."""
    force = 2000 * array(load.torque_Nm) / array(pair.pinion.reference_diameter_mm)
    loaded = force * array(load.application_factor) * array(load.mesh_load_factor)
    return _given(pair, load), force, loaded / array(pair.common_face_width_mm)


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
        "transverse_contact_ratio": pair.transverse_contact_ratio,
        "overlap_ratio": pair.overlap_ratio,
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
