"""Bending limit and safety of the tooth root, ISO 6336-3."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.materials.hardness import yield_strength_MPa
from gearcheck.materials.inputs import Treatment
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.inputs import PRIMARY, Bending, Readings, StressEdition
from gearcheck.stress.life import Damage, life_factor, life_row, limit_after_cycles
from gearcheck.stress.mean_stress import MeanStress, mean_stress
from gearcheck.stress.numbers import checked_above_zero
from gearcheck.stress.root import RootStress
from gearcheck.stress.root_treatment import (
    notch_sensitivity_factor,
    root_size_factor,
    root_surface_factor,
    slip_layer,
    static_notch_factor,
)

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
        Range("yield_strength_MPa", "σ_0.2", 500, 1000, "MPa"),
    ),
    implements=(
        "case-carburised, induction-hardened, nitrided and through-hardened gears",
        "static strength, limited and long life",
        "reversed bending of idlers, planets and reversing drives, Y_M",
    ),
    leaves_out=("reliability other than 1 % failure", "shot peening"),
    departures=(
        "Beyond 1e10 cycles the life factor stays.",
        "The yield strength of a through-hardened steel follows from its hardness.",
    ),
)

METHOD_2006 = replace(METHOD, key="iso6336_3_2006.root_safety", edition="2006")


@dataclass(frozen=True, kw_only=True)
class RootSafety(Result):
    """Bending limit, permissible stress and safety of the root of one gear."""

    method: ClassVar[Method] = METHOD
    treatment: Treatment = Treatment.CASE_CARBURISED
    mean_stress: MeanStress | None = None
    stress_MPa: Number = term("Root stress", "σ_F", "MPa")
    load_cycles: Number = term("Load cycles", "N_L")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    notch_parameter: Number = term("Notch parameter, of the grinding notch where there is one", "q_s")
    stress_correction_factor: Number = term(
        "Stress correction factor, of the grinding notch where there is one", "Y_S"
    )
    root_roughness_um: Number = term("Roughness of the root", "Rz", "µm")
    required_safety: Number = term("Safety agreed", "S_Fmin")
    root_limit_MPa: Number = term("Nominal stress number, bending", "σ_Flim", "MPa")
    test_gear_factor: Number = term("Stress correction of the reference test gear", "Y_ST")
    mean_stress_factor: Number = term("Mean stress factor", "Y_M", words="1 where bent one way, else by use")
    static_mean_stress_factor: Number = term(
        "Mean stress factor, static", "Y_Mstat", words="1 where bent one way, else by use"
    )
    slip_layer_mm: Number = term(
        "Slip layer thickness",
        "ρ′",
        "mm",
        words="0.0030 of a case, 0.1005 nitrided; through-hardened by the yield strength",
    )
    sensitivity_factor: Number = term(
        "Relative notch sensitivity factor",
        "Y_δrelT",
        "",
        "(1 + √(ρ′·(1 + 2·q_s)/5))/(1 + √(ρ′·(1 + 2·2.5)/5))",
    )
    surface_factor: Number = term(
        "Relative surface factor",
        "Y_RrelT",
        words="1.12 below 1 µm, above 1.674 - 0.529·(Rz + 1)^0.1; nitrided 1.025 and "
        "4.299 - 3.259·(Rz + 1)^0.005",
    )
    size_factor: Number = term(
        "Size factor",
        "Y_X",
        words="1.05 - 0.01·m_n, not below 0.8; through-hardened 1.03 - 0.006·m_n, not below 0.85; at most 1",
    )
    static_sensitivity_factor: Number = term(
        "Relative notch sensitivity factor, static",
        "Y_δrelTstat",
        words="0.44·Y_S + 0.12; nitrided 0.20·Y_S + 0.60; "
        "through-hardened (1 + 0.82·(Y_S - 1)·(300/σ_0.2)^0.25)/(1 + 0.82·(300/σ_0.2)^0.25)",
    )
    static_life_factor: Number = term("Life factor, static", "Y_NTstat", words="table of life factors")
    life_factor: Number = term(
        "Life factor", "Y_NT", words="straight lines in log-log over the knees of the table of life factors"
    )
    static_limit_MPa: Number = term(
        "Bending limit, static", "σ_FGstat", "MPa", "σ_Flim·Y_ST·Y_Mstat·Y_NTstat·Y_δrelTstat"
    )
    reference_limit_MPa: Number = term(
        "Bending limit at the knee", "σ_FGref", "MPa", "σ_Flim·Y_ST·Y_M·Y_δrelT·Y_RrelT·Y_X"
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


@dataclass(frozen=True, kw_only=True)
class RootSafety2006(RootSafety):
    """The same by the 2006 edition, which has the same factors on the limit."""

    method: ClassVar[Method] = METHOD_2006


def root_safety(
    *,
    root: RootStress,
    limits: StrengthLimits,
    load_cycles: Number,
    roughness_um: Number,
    required_safety: Number,
    readings: Readings = PRIMARY,
    edition: StressEdition = StressEdition.ISO_6336_2019,
    bending: Bending = Bending.ONE_WAY,
    stress_ratio: Number = None,
) -> RootSafety:
    """Return the bending limit of the root of one gear and its safety.

    S_F = σ_FG/σ_F, σ_FG = σ_Flim Y_ST Y_M Y_NT Y_δrelT Y_RrelT Y_X

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
    edition : StressEdition
        Edition of ISO 6336-3; its factors on the limit are the same in both.
    bending : Bending
        How the root is bent over its life; a planet as an idler.
    stress_ratio : float, array or None
        R of a root bent both ways; None takes the flat factor, or that of R = -1.2 where less.

    Returns
    -------
    RootSafety
        σ_FG, σ_FP in MPa and S_F; `mean_stress` holds the steps of Y_M; a caution outside the limits.

    Raises
    ------
    InputError
        Cycles, roughness or a safety that is not above 0; a stress ratio where there is none.

    Notes
    -----
    Source: ISO 6336-3:2019, method B, from memory.
    Valid for: gears at 1 % failure; the limits of the root stress.
    Departures: the yield strength of a through-hardened steel follows from its hardness.
    Checked: ISO3-HAND-limit; its factors ISO3-03, ISO3-05, ISO3-STATIC, ISO3-MEAN, ISO6-01.

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
    kind = RootSafety if edition is StressEdition.ISO_6336_2019 else RootSafety2006
    values = _factors(root, limits, array(roughness_um), mean_of(root, limits, bending, stress_ratio))
    values |= {"static_limit_MPa": _static(values), "reference_limit_MPa": _reference(values)}
    limit = limit_after_cycles(
        load_cycles=load_cycles,
        damage=Damage.ROOT,
        static_limit_MPa=values["static_limit_MPa"],
        reference_limit_MPa=values["reference_limit_MPa"],
        life_at_1e10=readings.life_at_1e10,
        limited_life=readings.limited_life,
        treatment=limits.treatment,
    )
    mean = values["mean_stress"]
    return kind(
        **values,
        load_cycles=load_cycles,
        required_safety=required_safety,
        life_factor=life_factor(
            load_cycles=load_cycles,
            damage=Damage.ROOT,
            life_at_1e10=readings.life_at_1e10,
            treatment=limits.treatment,
        ),
        limit_MPa=limit,
        permissible_stress_MPa=limit / array(required_safety),
        safety=limit / array(root.stress_MPa),
        notices=kind.method.outside(
            load_cycles=load_cycles,
            root_roughness_um=roughness_um,
            notch_parameter=values["notch_parameter"],
            yield_strength_MPa=yield_of(limits),
        )
        + (() if mean is None else mean.notices),
    )


def yield_of(limits: StrengthLimits) -> Number:
    """Return the yield strength that the factors of a through-hardened root want.

    Parameters
    ----------
    limits : StrengthLimits
        Of one gear.

    Returns
    -------
    ndarray of float or None
        In MPa, from the hardness; None for the other treatments.
    """
    if limits.treatment is not Treatment.THROUGH_HARDENED:
        return None
    core = limits.core_hardness_HV
    return yield_strength_MPa(hardness_HV=limits.surface_hardness_HV if core is None else core)


def mean_of(
    root: RootStress, limits: StrengthLimits, bending: Bending, stress_ratio: Number
) -> MeanStress | None:
    """Return the mean stress factor of a root with its notch and its heat treatment.

    Parameters
    ----------
    root : RootStress
        Root stress of this gear.
    limits : StrengthLimits
        Of this gear.
    bending : Bending
        How the root is bent over its life.
    stress_ratio : float, array or None
        R of a root bent both ways.

    Returns
    -------
    MeanStress or None
        None bent one way.
    """
    return mean_stress(
        bending=bending,
        stress_correction_factor=root.notched_correction_factor,
        stress_ratio=stress_ratio,
        treatment=limits.treatment,
    )


def _factors(
    root: RootStress, limits: StrengthLimits, rough: Array, mean: MeanStress | None
) -> dict[str, Any]:
    treatment, strength = limits.treatment, yield_of(limits)
    of_steel: dict[str, Any] = {"treatment": treatment, "yield_strength_MPa": strength}
    q_s, Y_S = array(root.notched_parameter), array(root.notched_correction_factor)
    return {
        "treatment": limits.treatment,
        "mean_stress": mean,
        "stress_MPa": root.stress_MPa,
        "normal_module_mm": root.normal_module_mm,
        "notch_parameter": q_s,
        "stress_correction_factor": Y_S,
        "root_roughness_um": rough,
        "root_limit_MPa": array(limits.root_limit_MPa),
        "test_gear_factor": array(limits.stress_correction),
        "mean_stress_factor": 1.0 if mean is None else array(mean.factor),
        "static_mean_stress_factor": 1.0 if mean is None else array(mean.static_factor),
        "slip_layer_mm": slip_layer(**of_steel),
        "sensitivity_factor": notch_sensitivity_factor(notch_parameter=q_s, **of_steel),
        "surface_factor": root_surface_factor(root_roughness_um=rough, treatment=treatment),
        "size_factor": root_size_factor(normal_module_mm=root.normal_module_mm, treatment=treatment),
        "static_sensitivity_factor": static_notch_factor(stress_correction_factor=Y_S, **of_steel),
        "static_life_factor": life_row(Damage.ROOT, limits.treatment)["static_factor"],
    }


def _static(values: dict[str, Any]) -> Array:
    return array(
        values["root_limit_MPa"]
        * values["test_gear_factor"]
        * values["static_mean_stress_factor"]
        * values["static_life_factor"]
        * values["static_sensitivity_factor"]
    )


def _reference(values: dict[str, Any]) -> Array:
    return array(
        values["root_limit_MPa"]
        * values["test_gear_factor"]
        * values["mean_stress_factor"]
        * values["sensitivity_factor"]
        * values["surface_factor"]
        * values["size_factor"]
    )
