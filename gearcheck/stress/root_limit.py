"""Bending limit and safety of the tooth root, ISO 6336-3, for case-carburised gears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.inputs import PRIMARY, Readings
from gearcheck.stress.life import Damage, life_factor, limit_after_cycles
from gearcheck.stress.numbers import checked_above_zero
from gearcheck.stress.root import RootStress

METHOD = Method(
    key="iso6336_3.root_safety",
    title="Bending limit and safety of the tooth root",
    source="ISO 6336-3",
    edition="2019",
    clause="clauses 10 to 14, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("load_cycles", "N_L", 0, 1e10),
        Range("root_roughness_um", "Rz", 0, 40, "µm"),
        Range("notch_parameter", "q_s", 1, 8),
    ),
    implements=("case-carburised gears", "static strength, limited and long life"),
    leaves_out=(
        "reliability other than 1 % failure",
        "reversed bending of idlers and planets, Y_M",
        "shot peening",
    ),
    departures=("Beyond 1e10 cycles the life factor stays.",),
)


@dataclass(frozen=True, kw_only=True)
class RootSafety(Result):
    """Bending limit, permissible stress and safety of the root of one gear."""

    method: ClassVar[Method] = METHOD
    stress_MPa: Number = term("Root stress", "σ_F", "MPa")
    load_cycles: Number = term("Load cycles", "N_L")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    notch_parameter: Number = term("Notch parameter", "q_s")
    stress_correction_factor: Number = term("Stress correction factor", "Y_S")
    root_roughness_um: Number = term("Roughness of the root", "Rz", "µm")
    required_safety: Number = term("Safety agreed", "S_Fmin")
    root_limit_MPa: Number = term("Nominal stress number, bending", "σ_Flim", "MPa")
    test_gear_factor: Number = term("Stress correction of the reference test gear", "Y_ST")
    sensitivity_factor: Number = term(
        "Relative notch sensitivity factor",
        "Y_δrelT",
        "",
        "(1 + √(0.0030·(1 + 2·q_s)/5))/(1 + √(0.0030·(1 + 2·2.5)/5))",
    )
    surface_factor: Number = term(
        "Relative surface factor", "Y_RrelT", words="1.12 below 1 µm, above 1.674 - 0.529·(Rz + 1)^0.1"
    )
    size_factor: Number = term("Size factor", "Y_X", "", "min(max(1.05 - 0.01·m_n, 0.8), 1)")
    static_sensitivity_factor: Number = term(
        "Relative notch sensitivity factor, static", "Y_δrelTstat", "", "0.44·Y_S + 0.12"
    )
    static_life_factor: Number = term("Life factor, static", "Y_NTstat", words="table of life factors")
    life_factor: Number = term(
        "Life factor", "Y_NT", words="straight lines in log-log over the knees of the table of life factors"
    )
    static_limit_MPa: Number = term(
        "Bending limit, static", "σ_FGstat", "MPa", "σ_Flim·Y_ST·Y_NTstat·Y_δrelTstat"
    )
    reference_limit_MPa: Number = term(
        "Bending limit at the knee", "σ_FGref", "MPa", "σ_Flim·Y_ST·Y_δrelT·Y_RrelT·Y_X"
    )
    limit_MPa: Number = term(
        "Bending limit",
        "σ_FG",
        "MPa",
        words="between σ_FGstat and σ_FGref in a straight line in log-log, or Y_NT·σ_FGref by the other "
        "reading; beyond the knee Y_NT·σ_FGref",
    )
    permissible_stress_MPa: Number = term("Permissible root stress", "σ_FP", "MPa", "σ_FG/S_Fmin")
    safety: Number = term("Safety against tooth breakage", "S_F", "", "σ_FG/σ_F")


def notch_sensitivity_factor(*, notch_parameter: Number) -> Array:
    """Return the relative notch sensitivity factor of a case-carburised root, for long life.

    Y_δrelT = (1 + √(ρ' χ*))/(1 + √(ρ' χ*_T)), χ* = (1 + 2 q_s)/5, ρ' = 0.0030 mm

    Parameters
    ----------
    notch_parameter : float or array
        q_s.

    Returns
    -------
    ndarray of float
        Y_δrelT: 1 at q_s = 2.5.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 12, from memory.
    Valid for: case-carburised steel, q_s from 1 to 8.
    Departures: none.
    Checked: ISO3-03.

    Examples
    --------
    >>> print(notch_sensitivity_factor(notch_parameter=[1.5, 2.5]).round(5))
    [0.98961 1.     ]
    """
    value = table("iso6336_3_limits").value
    layer, divisor = value("slip layer thickness"), value("stress gradient divisor")
    tested = 1 + np.sqrt(layer * (1 + 2 * value("notch parameter of the test gear")) / divisor)
    return array((1 + np.sqrt(layer * (1 + 2 * array(notch_parameter)) / divisor)) / tested)


def root_surface_factor(*, root_roughness_um: Number) -> Array:
    """Return the relative surface factor of a case-carburised root, for long life.

    Y_RrelT = 1.674 - 0.529 (Rz + 1)^0.1, 1.12 below 1 µm

    Parameters
    ----------
    root_roughness_um : float or array
        Rz in µm.

    Returns
    -------
    ndarray of float
        Y_RrelT.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 13, from memory.
    Valid for: up to 40 µm.
    Departures: none; the small step at 1 µm is the standard's own.
    Checked: SURFACE-01.

    Examples
    --------
    >>> print(root_surface_factor(root_roughness_um=[0.8, 10]).round(4))
    [1.12   1.0017]
    """
    value = table("iso6336_3_limits").value
    rough = array(root_roughness_um)
    curve = value("Y_RrelT, constant") - value("Y_RrelT, slope") * (rough + 1) ** value("Y_RrelT, exponent")
    smooth = np.where(rough < value("Y_RrelT, smooth up to"), value("Y_RrelT, smooth"), curve)
    return np.where(np.isnan(rough), np.nan, smooth)


def root_size_factor(*, normal_module_mm: Number) -> Array:
    """Return the size factor of the root of a case-carburised gear, for long life.

    Y_X = 1.05 - 0.01 m_n, at most 1 and not below 0.8

    Parameters
    ----------
    normal_module_mm : float or array
        m_n in mm.

    Returns
    -------
    ndarray of float
        Y_X.

    Notes
    -----
    Source: ISO 6336-3:2019, clause 14, from memory.
    Valid for: case-carburised gears.
    Departures: none.
    Checked: ISO3-05.

    Examples
    --------
    >>> print(root_size_factor(normal_module_mm=[5, 10, 30]))
    [1.   0.95 0.8 ]
    """
    value = table("iso6336_3_limits").value
    line = value("Y_X, constant") - value("Y_X, slope") * array(normal_module_mm)
    factor: Array = np.clip(line, value("Y_X, smallest"), 1.0)
    return factor


def root_safety(
    *,
    root: RootStress,
    limits: StrengthLimits,
    load_cycles: Number,
    roughness_um: Number,
    required_safety: Number,
    readings: Readings = PRIMARY,
) -> RootSafety:
    """Return the bending limit of the root of one gear and its safety.

    S_F = σ_FG/σ_F, σ_FG = σ_Flim Y_ST Y_NT Y_δrelT Y_RrelT Y_X

    Parameters
    ----------
    root : RootStress
        Root stress of this gear.
    limits : StrengthLimits
        Of this gear.
    load_cycles : float or array
        N_L of this gear.
    roughness_um : float or array
        Rz of the root in µm.
    required_safety : float, array or None
        S_Fmin as agreed; None where nothing is agreed, then there is no permissible stress.
    readings : Readings
        How the clauses are read.

    Returns
    -------
    RootSafety
        σ_FG, σ_FP in MPa and S_F; a caution outside the method's limits.

    Raises
    ------
    InputError
        Cycles, roughness or a safety that is not above 0.

    Notes
    -----
    Source: ISO 6336-3:2019, method B, from memory.
    Valid for: case-carburised gears at 1 % failure, load in one direction.
    Departures: none.
    Checked: ISO3-HAND-limit; its factors ISO3-03, ISO3-05, ISO6-01.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.materials.inputs import Quality, Steel
    >>> from gearcheck.materials.strength import strength_limits
    >>> from gearcheck.stress.factors import load_factors
    >>> from gearcheck.stress.inputs import Load, Member
    >>> from gearcheck.stress.root import root_stress
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
    >>> safety = root_safety(
    ...     root=root_stress(pair=pair, member=Member.PINION, factors=factors), limits=limits,
    ...     load_cycles=2e9, roughness_um=10, required_safety=1.4)
    >>> round(safety.limit_MPa, 1), round(safety.safety, 3)
    (871.2, 2.011)
    """
    checked_above_zero(load_cycles=load_cycles, roughness_um=roughness_um, required_safety=required_safety)
    q_s, base = array(root.notch_parameter), array(limits.unnotched_limit_MPa)
    Y_d = notch_sensitivity_factor(notch_parameter=q_s)
    Y_R = root_surface_factor(root_roughness_um=roughness_um)
    Y_X = root_size_factor(normal_module_mm=root.normal_module_mm)
    Y_dstat = _static_sensitivity(array(root.stress_correction_factor))
    Y_NTstat = table("iso6336_life").row(Damage.ROOT)["static_factor"]
    limit = limit_after_cycles(
        load_cycles=load_cycles,
        damage=Damage.ROOT,
        static_limit_MPa=base * Y_NTstat * Y_dstat,
        reference_limit_MPa=base * Y_d * Y_R * Y_X,
        life_at_1e10=readings.life_at_1e10,
        limited_life=readings.limited_life,
    )
    return RootSafety(
        stress_MPa=root.stress_MPa,
        load_cycles=load_cycles,
        normal_module_mm=root.normal_module_mm,
        notch_parameter=q_s,
        stress_correction_factor=root.stress_correction_factor,
        root_roughness_um=roughness_um,
        required_safety=required_safety,
        root_limit_MPa=limits.root_limit_MPa,
        test_gear_factor=limits.stress_correction,
        sensitivity_factor=Y_d,
        surface_factor=Y_R,
        size_factor=Y_X,
        static_sensitivity_factor=Y_dstat,
        static_life_factor=Y_NTstat,
        life_factor=life_factor(
            load_cycles=load_cycles, damage=Damage.ROOT, life_at_1e10=readings.life_at_1e10
        ),
        static_limit_MPa=base * Y_NTstat * Y_dstat,
        reference_limit_MPa=base * Y_d * Y_R * Y_X,
        limit_MPa=limit,
        permissible_stress_MPa=limit / array(required_safety),
        safety=limit / array(root.stress_MPa),
        notices=METHOD.outside(load_cycles=load_cycles, root_roughness_um=roughness_um, notch_parameter=q_s),
    )


def _static_sensitivity(stress_correction: Array) -> Array:
    value = table("iso6336_3_limits").value
    return array(value("Y_δrelT static, slope") * stress_correction + value("Y_δrelT static, constant"))
