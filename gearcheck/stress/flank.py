"""Contact stress of ISO 6336-2, method B."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.involute import root
from gearcheck.gear.notices import Mask, flagged
from gearcheck.gear.pair import PairGeometry
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.factors import LoadFactors
from gearcheck.stress.flank_factors import (
    contact_ratio_factor,
    elasticity_factor,
    helix_factor,
    nominal_flank_stress,
    zone_factor,
)
from gearcheck.stress.inputs import PRIMARY, Member, Readings, StressEdition
from gearcheck.stress.rig_factors import RigFactors
from gearcheck.stress.single_pair import single_pair_factors

METHOD = Method(
    key="iso6336_2.flank_stress",
    title="Contact stress",
    source="ISO 6336-2",
    edition="2019",
    clause="clauses 6 to 9, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("transverse_contact_ratio", "ε_α", 1.0, 2.5, level=Level.STOP),
        Range("helix_angle_deg", "β", 0, 30, "°"),
        Range("pressure_angle_deg", "α_n", 15, 25, "°"),
        Range("working_pressure_angle_deg", "α_wt", 15, 25, "°"),
    ),
    implements=(
        "external and internal spur and helical gears; z_2 and u of an internal wheel are negative",
        "Z_B and Z_D by the inner points of single contact; of helical gears with the tip relief factor",
    ),
    leaves_out=(
        "f_ZCa = 1 for a tip relief proven by a three-dimensional load distribution: not an input",
        "ε_α above 2 below a whole overlap, where no inner point of single contact is left: a stop",
    ),
    departures=(
        "Z_β follows the reading chosen: 1/√(cos β), as in the corrigendum of 2008 and the edition of 2019, "
        "or √(cos β).",
        "The tip relief factor f_ZCa, 1.2 without tip relief and 1.07 with, and its place in Z_B and Z_D are "
        "not sure; whether its square root counts follows the reading chosen.",
        "Any tip relief on both gears counts as the usual one, whatever its amount.",
    ),
)

METHOD_2006 = replace(
    METHOD,
    key="iso6336_2_2006.flank_stress",
    edition="2006",
    implements=(
        METHOD.implements[0],
        "Z_B and Z_D by the inner points of single contact; 1 at a whole overlap",
    ),
    leaves_out=METHOD.leaves_out[1:],
    departures=(
        METHOD.departures[0],
        "What differs from 2019 here is the tip relief factor f_ZCa alone, which 2006 does not have.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class FlankStress(Result):
    """Contact stress of pinion and wheel with its factors."""

    method: ClassVar[Method] = METHOD
    tangential_force_N: Number = term("Tangential force", "F_t", "N")
    reference_diameter_mm: Number = term("Reference diameter of the pinion", "d_1", "mm")
    common_face_width_mm: Number = term("Common face width", "b", "mm")
    gear_ratio: Number = term("Gear ratio, negative with an internal wheel", "u")
    pinion_teeth: Number = term("Teeth of the pinion", "z_1")
    wheel_teeth: Number = term("Teeth of the wheel, negative for an internal one", "z_2")
    pinion_tip_diameter_mm: Number = term("Tip diameter of the pinion", "d_a1", "mm")
    wheel_tip_diameter_mm: Number = term("Tip diameter of the wheel", "d_a2", "mm")
    pinion_base_diameter_mm: Number = term("Base diameter of the pinion", "d_b1", "mm")
    wheel_base_diameter_mm: Number = term("Base diameter of the wheel", "d_b2", "mm")
    helix_angle_deg: Number = term("Helix angle", "β", "°")
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°")
    transverse_pressure_angle_deg: Number = term("Transverse pressure angle", "α_t", "°")
    working_pressure_angle_deg: Number = term("Working pressure angle", "α_wt", "°")
    transverse_contact_ratio: Number = term("Transverse contact ratio", "ε_α")
    overlap_ratio: Number = term("Overlap ratio", "ε_β")
    tip_relief_um: Number = term("Tip relief, smaller of both gears", "C_a", "µm")
    pinion_modulus_MPa: Number = term("Modulus of elasticity of the pinion", "E_1", "MPa")
    wheel_modulus_MPa: Number = term("Modulus of elasticity of the wheel", "E_2", "MPa")
    pinion_poisson_ratio: Number = term("Poisson's ratio of the pinion", "ν_1")
    wheel_poisson_ratio: Number = term("Poisson's ratio of the wheel", "ν_2")
    application_factor: Number = term("Application factor", "K_A")
    mesh_load_factor: Number = term("Mesh load factor", "K_γ")
    dynamic_factor: Number = term("Dynamic factor", "K_V")
    face_load_factor: Number = term("Face load factor, contact", "K_Hβ")
    transverse_factor: Number = term("Transverse load factor, contact", "K_Hα")
    zone_factor: Number = term("Zone factor", "Z_H", "", "√(2·cos(β_b)·cos(α_wt)/(cos(α_t)^2·sin(α_wt)))")
    elasticity_factor: Number = term(
        "Elasticity factor", "Z_E", "√MPa", "√(1/(π·((1 - ν_1^2)/E_1 + (1 - ν_2^2)/E_2)))"
    )
    contact_ratio_factor: Number = term(
        "Contact ratio factor", "Z_ε", "", "√((4 - ε_α)/3·(1 - min(ε_β, 1)) + min(ε_β, 1)/ε_α)"
    )
    helix_factor: Number = term("Helix factor", "Z_β", words="1/√(cos(β)), or √(cos(β)) by the other reading")
    pinion_point_ratio: Number = term(
        "Stress at the inner point of single contact of the pinion over that at the pitch point",
        "M_1",
        "",
        "tan(α_wt)/√((√((d_a1/d_b1)^2 - 1) - 2·π/z_1)·(√((d_a2/d_b2)^2 - 1) - (ε_α - 1)·2·π/z_2))",
    )
    wheel_point_ratio: Number = term(
        "Stress at the inner point of single contact of the wheel over that at the pitch point",
        "M_2",
        "",
        "tan(α_wt)/√((√((d_a2/d_b2)^2 - 1) - 2·π/z_2)·(√((d_a1/d_b1)^2 - 1) - (ε_α - 1)·2·π/z_1))",
    )
    relief_factor: Number = term(
        "Tip relief factor",
        "f_ZCa",
        words="1.2 without tip relief, 1.07 with, values not sure; 1 for spur gears and in 2006",
    )
    whole_overlap_factor: Number = term(
        "Single pair contact factor at a whole overlap",
        "Z_Ca",
        words="√(f_ZCa), or by the other readings f_ZCa itself or 1",
    )
    pinion_contact_factor: Number = term(
        "Single pair contact factor, pinion",
        "Z_B",
        words="M_1 - ε_β·(M_1 - Z_Ca), not below 1; Z_Ca from ε_β = 1",
    )
    wheel_contact_factor: Number = term(
        "Single pair contact factor, wheel",
        "Z_D",
        words="M_2 - ε_β·(M_2 - Z_Ca), not below 1; Z_Ca from ε_β = 1",
    )
    nominal_stress_MPa: Number = term(
        "Nominal contact stress at the pitch point",
        "σ_H0",
        "MPa",
        "Z_H·Z_E·Z_ε·Z_β·√(F_t/(d_1·b)·(u + 1)/u)",
    )
    pinion_stress_MPa: Number = term(
        "Contact stress of the pinion", "σ_H1", "MPa", "Z_B·σ_H0·√(K_A·K_γ·K_V·K_Hβ·K_Hα)"
    )
    wheel_stress_MPa: Number = term(
        "Contact stress of the wheel", "σ_H2", "MPa", "Z_D·σ_H0·√(K_A·K_γ·K_V·K_Hβ·K_Hα)"
    )

    def stress_MPa(self, member: Member) -> Number:  # noqa: N802 - carries its unit
        """Return the contact stress of one of both gears in MPa."""
        return self.pinion_stress_MPa if member is Member.PINION else self.wheel_stress_MPa


@dataclass(frozen=True, kw_only=True)
class FlankStress2006(FlankStress):
    """The same by the 2006 edition."""

    method: ClassVar[Method] = METHOD_2006


def flank_stress(
    *,
    pair: PairGeometry,
    factors: LoadFactors | RigFactors,
    pinion_limits: StrengthLimits,
    wheel_limits: StrengthLimits,
    readings: Readings = PRIMARY,
    edition: StressEdition = StressEdition.ISO_6336_2019,
) -> FlankStress:
    """Return the contact stress of both gears of a mesh.

    σ_H = Z_B,D σ_H0 √(K_A K_γ K_V K_Hβ K_Hα)

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    factors : LoadFactors or RigFactors
        Force and load factors of the same mesh.
    pinion_limits, wheel_limits : StrengthLimits
        For the elastic constants.
    readings : Readings
        How the clauses are read.
    edition : StressEdition
        Edition of ISO 6336-2.

    Returns
    -------
    FlankStress
        σ_H0, σ_H1, σ_H2 in MPa with all factors; a stop where the method does not hold.

    Notes
    -----
    Source: ISO 6336-2:2019 and :2006, method B, from memory.
    Valid for: external and internal gears, ε_α from 1 to 2.5, α_n and α_wt from 15° to 25°, β up to 30°.
    Departures: see the readings; the values of f_ZCa are not sure.
    Checked: ISO2-HAND, ISO2-HAND-2006; its factors ISO2-01, ISO2-02, ISO2-03, ISO2-04, ISO2-FZG-A.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.materials.inputs import Quality, Steel
    >>> from gearcheck.materials.strength import strength_limits
    >>> from gearcheck.stress.factors import load_factors
    >>> from gearcheck.stress.inputs import Load
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
    >>> stress = flank_stress(pair=pair, factors=factors, pinion_limits=limits, wheel_limits=limits)
    >>> round(stress.nominal_stress_MPa, 1), round(stress.pinion_stress_MPa, 1)
    (1137.7, 1471.2)
    """
    ratio, overlap = array(pair.transverse_contact_ratio), array(pair.overlap_ratio)
    single = single_pair_factors(pair, array(factors.tip_relief_um), readings, edition)
    Z_B, Z_D = single["pinion_contact_factor"], single["wheel_contact_factor"]
    Z_H = zone_factor(
        base_helix_angle_deg=pair.base_helix_angle_deg,
        transverse_pressure_angle_deg=pair.transverse_pressure_angle_deg,
        working_pressure_angle_deg=pair.working_pressure_angle_deg,
    )
    elastic = _elastic(pinion_limits, wheel_limits)
    Z_E = elasticity_factor(**elastic)
    Z_e = contact_ratio_factor(transverse_contact_ratio=ratio, overlap_ratio=overlap)
    Z_b = helix_factor(helix_angle_deg=pair.helix_angle_deg, reading=readings.helix_factor)
    within = (ratio >= METHOD.valid[0].low) & (ratio <= METHOD.valid[0].high)
    valid = within & ~_no_single_contact(ratio, overlap)
    nominal = nominal_flank_stress(
        stress_factor=np.where(valid, Z_H * Z_E * Z_e * Z_b, np.nan),
        tangential_force_N=factors.tangential_force_N,
        reference_diameter_mm=pair.pinion.reference_diameter_mm,
        common_face_width_mm=pair.common_face_width_mm,
        gear_ratio=pair.gear_ratio,
    )
    stress = nominal * root(_load_factor(factors))
    kind = FlankStress if edition is StressEdition.ISO_6336_2019 else FlankStress2006
    return kind(
        **_given(pair, factors),
        **elastic,
        zone_factor=Z_H,
        elasticity_factor=Z_E,
        contact_ratio_factor=Z_e,
        helix_factor=Z_b,
        **single,
        nominal_stress_MPa=nominal,
        pinion_stress_MPa=Z_B * stress,
        wheel_stress_MPa=Z_D * stress,
        notices=_notices(kind.method, pair, ratio, overlap, Z_B * Z_D),
    )


def _given(pair: PairGeometry, factors: LoadFactors | RigFactors) -> dict[str, Number]:
    return {
        "tangential_force_N": factors.tangential_force_N,
        "reference_diameter_mm": pair.pinion.reference_diameter_mm,
        "common_face_width_mm": pair.common_face_width_mm,
        "gear_ratio": pair.gear_ratio,
        "pinion_teeth": pair.pinion.teeth,
        "wheel_teeth": pair.side * array(pair.wheel.teeth),
        "pinion_tip_diameter_mm": pair.pinion.tip_diameter_mm,
        "wheel_tip_diameter_mm": pair.wheel.tip_diameter_mm,
        "pinion_base_diameter_mm": pair.pinion.base_diameter_mm,
        "wheel_base_diameter_mm": pair.wheel.base_diameter_mm,
        "helix_angle_deg": pair.helix_angle_deg,
        "base_helix_angle_deg": pair.base_helix_angle_deg,
        "transverse_pressure_angle_deg": pair.transverse_pressure_angle_deg,
        "working_pressure_angle_deg": pair.working_pressure_angle_deg,
        "transverse_contact_ratio": pair.transverse_contact_ratio,
        "overlap_ratio": pair.overlap_ratio,
        "tip_relief_um": factors.tip_relief_um,
        "application_factor": factors.application_factor,
        "mesh_load_factor": factors.mesh_load_factor,
        "dynamic_factor": factors.dynamic_factor,
        "face_load_factor": factors.face_load_factor,
        "transverse_factor": factors.transverse_factor_contact,
    }


def _elastic(pinion_limits: StrengthLimits, wheel_limits: StrengthLimits) -> dict[str, Number]:
    return {
        "pinion_modulus_MPa": pinion_limits.elastic_modulus_MPa,
        "wheel_modulus_MPa": wheel_limits.elastic_modulus_MPa,
        "pinion_poisson_ratio": pinion_limits.poisson_ratio,
        "wheel_poisson_ratio": wheel_limits.poisson_ratio,
    }


def _load_factor(factors: LoadFactors | RigFactors) -> Array:
    outer = (
        array(factors.application_factor) * array(factors.mesh_load_factor) * array(factors.dynamic_factor)
    )
    return outer * array(factors.face_load_factor) * array(factors.transverse_factor_contact)


def _no_single_contact(ratio: Array, overlap: Array) -> Mask:
    return np.asarray((ratio > 2) & (overlap < 1))


def _notices(
    method: Method, pair: PairGeometry, ratio: Array, overlap: Array, contact: Array
) -> tuple[Notice, ...]:
    found = method.outside(
        transverse_contact_ratio=ratio,
        helix_angle_deg=pair.helix_angle_deg,
        pressure_angle_deg=pair.pressure_angle_deg,
        working_pressure_angle_deg=pair.working_pressure_angle_deg,
    )
    spur_like = np.asarray((overlap < 1) & ~np.isnan(ratio))
    found += tuple(
        flagged(
            _no_single_contact(ratio, overlap),
            Level.STOP,
            "iso6336_2.single_contact",
            "ε_α = {ratio:.4g} exceeds 2 with ε_β = {overlap:.4g} below 1: there is no inner point of single "
            "contact for Z_B and Z_D.",
            ratio=ratio,
            overlap=overlap,
        )
    )
    return found + tuple(
        flagged(
            spur_like & np.isnan(contact),
            Level.STOP,
            "iso6336_2.below_base_circle",
            "The inner point of single contact lies below a base circle at ε_α = {ratio:.4g}.",
            ratio=ratio,
        )
    )
