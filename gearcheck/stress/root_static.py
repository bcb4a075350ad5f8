"""Static strength of the tooth root at the peak load, ISO 6336-3."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.notices import flagged
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.inputs import Bending, StressEdition
from gearcheck.stress.life import Damage, life_row
from gearcheck.stress.mean_stress import MeanStress
from gearcheck.stress.numbers import checked_above_zero
from gearcheck.stress.root import RootStress
from gearcheck.stress.root_limit import mean_of, yield_of
from gearcheck.stress.root_treatment import static_notch_factor

METHOD = Method(
    key="iso6336_3.root_static",
    title="Static strength of the tooth root at the peak load",
    source="ISO 6336-3",
    edition="2019",
    clause="clauses 10 to 14, static strength",
    status=Status.FROM_MEMORY,
    valid=(Range("yield_strength_MPa", "σ_0.2", 500, 1000, "MPa"),),
    implements=("permissible static stress; of a case up to the first crack",),
    leaves_out=(
        "reliability other than 1 % failure",
        "cracks that a peak leaves behind for the life after it",
    ),
    departures=("K_A is left out, since the load is the peak itself.",),
)

METHOD_2006 = replace(METHOD, key="iso6336_3_2006.root_static", edition="2006")


@dataclass(frozen=True, kw_only=True)
class RootStaticSafety(Result):
    """Static root stress of one gear at the peak load, what is permissible, and its safety."""

    method: ClassVar[Method] = METHOD
    mean_stress: MeanStress | None = None
    nominal_stress_MPa: Number = term("Nominal root stress of the load rated", "σ_F0", "MPa")
    mesh_load_factor: Number = term("Mesh load factor", "K_γ")
    dynamic_factor: Number = term("Dynamic factor", "K_V")
    face_factor: Number = term("Face load factor, bending", "K_Fβ")
    transverse_factor: Number = term("Transverse load factor, bending", "K_Fα")
    peak_stress_factor: Number = term("Peak load over the load rated", "f_peak")
    stress_MPa: Number = term("Static root stress", "σ_Fst", "MPa", "σ_F0·K_γ·K_V·K_Fβ·K_Fα·f_peak")
    stress_correction_factor: Number = term(
        "Stress correction factor, of the grinding notch where there is one", "Y_S"
    )
    required_safety: Number = term("Static safety agreed", "S_Fstmin")
    root_limit_MPa: Number = term("Nominal stress number, bending", "σ_Flim", "MPa")
    test_gear_factor: Number = term("Stress correction of the reference test gear", "Y_ST")
    static_life_factor: Number = term("Life factor, static", "Y_NTstat", words="table of life factors")
    static_sensitivity_factor: Number = term(
        "Relative notch sensitivity factor, static",
        "Y_δrelTstat",
        words="0.44·Y_S + 0.12; nitrided 0.20·Y_S + 0.60; "
        "through-hardened (1 + 0.82·(Y_S - 1)·(300/σ_0.2)^0.25)/(1 + 0.82·(300/σ_0.2)^0.25)",
    )
    static_mean_stress_factor: Number = term(
        "Mean stress factor, static", "Y_Mstat", words="1 where bent one way, else by use"
    )
    limit_MPa: Number = term(
        "Bending limit, static", "σ_FGst", "MPa", "σ_Flim·Y_ST·Y_Mstat·Y_NTstat·Y_δrelTstat"
    )
    permissible_stress_MPa: Number = term(
        "Permissible static root stress", "σ_FPst", "MPa", "σ_FGst/S_Fstmin"
    )
    safety: Number = term("Static safety against tooth breakage", "S_Fst", "", "σ_FGst/σ_Fst")


@dataclass(frozen=True, kw_only=True)
class RootStaticSafety2006(RootStaticSafety):
    """The same by the 2006 edition, which has the same factors on the limit."""

    method: ClassVar[Method] = METHOD_2006


def root_static_safety(
    *,
    root: RootStress,
    limits: StrengthLimits,
    required_safety: Number,
    peak_stress_factor: Number = 1.0,
    edition: StressEdition = StressEdition.ISO_6336_2019,
    bending: Bending = Bending.ONE_WAY,
    stress_ratio: Number = None,
) -> RootStaticSafety:
    """Return the static safety of the root of one gear at the peak load.

    S_Fst = σ_FGst/σ_Fst, σ_Fst = σ_F0 K_γ K_V K_Fβ K_Fα f_peak, σ_FGst = σ_Flim Y_ST Y_NTstat Y_δrelTstat

    Parameters
    ----------
    root : RootStress
        Root stress of this gear, rated at the peak load; its K_A does not count.
    limits : StrengthLimits
        Of this gear.
    required_safety : float, array or None
        S_F at the peak load as agreed; None where nothing is agreed.
    peak_stress_factor : float or array
        Peak load over the load at which `root` is rated; 1 where it is rated at the peak.
    edition : StressEdition
        Edition of ISO 6336-3; its factors on the limit are the same in both.
    bending : Bending
        How the root is bent by the peaks.
    stress_ratio : float, array or None
        R of a root that peaks bend both ways; None takes the flat factor, or that of R = -1.2 where less.

    Returns
    -------
    RootStaticSafety
        σ_Fst, σ_FPst in MPa and S_Fst.

    Raises
    ------
    InputError
        A safety or a peak that is not above 0; a stress ratio where there is none.

    Notes
    -----
    Source: ISO 6336-3:2019 and :2006, static strength, from memory.
    Valid for: a peak of few cycles: up to 1e3, through-hardened up to 1e4.
    Departures: K_A is left out.
    Checked: ISO3-PEAK; its factor ISO3-STATIC.

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
    ...         torque_Nm=1250, speed_rpm=1480, application_factor=1, mesh_load_factor=1,
    ...         face_load_factor=1.1))
    >>> safety = root_static_safety(
    ...     root=root_stress(pair=pair, member=Member.PINION, factors=factors), limits=limits,
    ...     required_safety=1.5)
    >>> round(safety.stress_MPa, 1), round(safety.limit_MPa, 1), round(safety.safety, 3)
    (835.7, 2179.7, 2.608)
    """
    checked_above_zero(required_safety=required_safety, peak_stress_factor=peak_stress_factor)
    mean = mean_of(root, limits, bending, stress_ratio)
    factors = {
        "mesh_load_factor": array(root.mesh_load_factor),
        "dynamic_factor": array(root.dynamic_factor),
        "face_factor": array(root.face_factor),
        "transverse_factor": array(root.transverse_factor),
        "peak_stress_factor": array(peak_stress_factor),
    }
    stress = array(root.nominal_stress_MPa) * np.multiply.reduce(np.broadcast_arrays(*factors.values()))
    Y_NT = life_row(Damage.ROOT, limits.treatment)["static_factor"]
    Y_d = static_notch_factor(
        stress_correction_factor=root.notched_correction_factor,
        treatment=limits.treatment,
        yield_strength_MPa=yield_of(limits),
    )
    Y_M = array(1.0 if mean is None else mean.static_factor)
    limit = array(limits.unnotched_limit_MPa) * Y_M * Y_NT * Y_d
    kind = RootStaticSafety if edition is StressEdition.ISO_6336_2019 else RootStaticSafety2006
    return kind(
        **factors,
        mean_stress=mean,
        nominal_stress_MPa=root.nominal_stress_MPa,
        stress_MPa=stress,
        stress_correction_factor=root.notched_correction_factor,
        required_safety=required_safety,
        root_limit_MPa=limits.root_limit_MPa,
        test_gear_factor=limits.stress_correction,
        static_life_factor=Y_NT,
        static_sensitivity_factor=Y_d,
        static_mean_stress_factor=Y_M,
        limit_MPa=limit,
        permissible_stress_MPa=limit / array(required_safety),
        safety=limit / stress,
        notices=kind.method.outside(yield_strength_MPa=yield_of(limits)) + _notices(root, mean),
    )


def _notices(root: RootStress, mean: MeanStress | None) -> tuple[Notice, ...]:
    return (*_application(root), *(() if mean is None else mean.notices))


def _application(root: RootStress) -> Iterator[Notice]:
    return flagged(
        np.asarray(array(root.application_factor) != 1),
        Level.NOTE,
        "iso6336_3.peak_without_application_factor",
        "K_A = {factor:.3g} does not count at the peak load: the load itself has to be the peak.",
        factor=root.application_factor,
    )
