"""Tooth root stress of ISO 6336-3, method B."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import reduce
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.gear import GearGeometry
from gearcheck.gear.notices import Mask, flagged
from gearcheck.gear.pair import PairGeometry
from gearcheck.stress.factors import LoadFactors
from gearcheck.stress.inputs import (
    PRIMARY,
    Blank,
    GrindingNotch,
    Member,
    Readings,
    RootFaceWidth,
    StressEdition,
)
from gearcheck.stress.rig_factors import RigFactors
from gearcheck.stress.root_factors import deep_tooth_factor, root_helix_factor
from gearcheck.stress.root_form import LoadPoint, RootForm, root_form
from gearcheck.stress.root_internal import internal_root_form
from gearcheck.stress.root_notch import NotchedFillet, notched_fillet
from gearcheck.stress.root_rim import RimFactor, rim_of

METHOD = Method(
    key="iso6336_3.root_stress",
    title="Tooth root stress",
    source="ISO 6336-3",
    edition="2019",
    clause="clauses 5 to 9, method B",
    status=Status.FROM_MEMORY,
    valid=(
        Range("helix_angle_deg", "β", 0, 30, "°"),
        Range("pressure_angle_deg", "α_n", 15, 25, "°"),
    ),
    implements=(
        "solid and thin rims, Y_B",
        "grinding notch in the fillet, Y_Sg; without its depth and radius a stop, where the largest stock "
        "exceeds the protuberance",
    ),
    leaves_out=("deep tooth factor Y_DT of the 2006 edition: f_ε of 2019 counts the load sharing",),
    departures=("The face width follows the reading chosen.",),
)

METHOD_2006 = replace(
    METHOD,
    key="iso6336_3_2006.root_stress",
    edition="2006",
    implements=(*METHOD.implements, "deep tooth factor Y_DT"),
    leaves_out=(),
)


@dataclass(frozen=True, kw_only=True)
class RootStress(Result):
    """Root stress of one gear with its factors; the steps of the root form stand in its own result."""

    method: ClassVar[Method] = METHOD
    member: Member
    form: RootForm
    rim: RimFactor | None = None
    notch: NotchedFillet | None = None
    tangential_force_N: Number = term("Tangential force", "F_t", "N")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    own_face_width_mm: Number = term("Own face width", "b_own", "mm")
    common_face_width_mm: Number = term("Common face width", "b", "mm")
    helix_angle_deg: Number = term("Helix angle", "β", "°")
    overlap_ratio: Number = term("Overlap ratio", "ε_β")
    application_factor: Number = term("Application factor", "K_A")
    mesh_load_factor: Number = term("Mesh load factor", "K_γ")
    dynamic_factor: Number = term("Dynamic factor", "K_V")
    face_factor: Number = term("Face load factor, bending", "K_Fβ")
    transverse_factor: Number = term("Transverse load factor, bending", "K_Fα")
    bending_arm_mm: Number = term("Bending arm", "h_Fe", "mm")
    root_chord_mm: Number = term("Root chord at the critical section", "s_Fn", "mm")
    root_radius_mm: Number = term("Radius of the fillet at the critical section", "ρ_F", "mm")
    load_angle_deg: Number = term("Load direction angle", "α_Fen", "°")
    notch_parameter: Number = term("Notch parameter", "q_s", "", "s_Fn/(2·ρ_F)")
    form_factor: Number = term("Form factor, with f_ε", "Y_F")
    stress_correction_factor: Number = term("Stress correction factor", "Y_S")
    notched_correction_factor: Number = term(
        "Stress correction factor, with a grinding notch", "Y_Sg", words="Y_S without a grinding notch"
    )
    notched_parameter: Number = term(
        "Notch parameter, with a grinding notch", "q_sg", words="q_s without a grinding notch"
    )
    helix_factor: Number = term(
        "Helix factor", "Y_β", "", "(1 - min(ε_β, 1)·min(β, π/6)/(2·π/3))/cos(min(β, π/6))^3"
    )
    rim_factor: Number = term("Rim thickness factor", "Y_B", words="1 for a solid body")
    deep_tooth_factor: Number = term(
        "Deep tooth factor", "Y_DT", words="1: in the 2019 edition f_ε counts the load sharing"
    )
    face_width_mm: Number = term(
        "Face width in the root stress", "b_F", "mm", words="by the primary reading min(b_own, b + 2·m_n)"
    )
    nominal_stress_MPa: Number = term(
        "Nominal root stress", "σ_F0", "MPa", "F_t/(b_F·m_n)·Y_F·Y_Sg·Y_β·Y_B·Y_DT"
    )
    stress_MPa: Number = term("Root stress", "σ_F", "MPa", "σ_F0·K_A·K_γ·K_V·K_Fβ·K_Fα")


@dataclass(frozen=True, kw_only=True)
class RootStress2006(RootStress):
    """The same by the 2006 edition."""

    method: ClassVar[Method] = METHOD_2006
    form_factor: Number = term("Form factor", "Y_F")
    helix_factor: Number = term("Helix factor", "Y_β", "", "1 - min(ε_β, 1)·min(β, π/6)/(2·π/3)")
    deep_tooth_factor: Number = term(
        "Deep tooth factor",
        "Y_DT",
        words="1; in class 4 or finer 2.366 - 0.666·ε_αn from ε_αn = 2.05 on, not below 0.7",
    )


def root_stress(
    *,
    pair: PairGeometry,
    member: Member,
    factors: LoadFactors | RigFactors,
    readings: Readings = PRIMARY,
    load_point: LoadPoint = LoadPoint.OUTER_SINGLE_CONTACT,
    edition: StressEdition = StressEdition.ISO_6336_2019,
    blank: Blank | None = None,
    notch: GrindingNotch | None = None,
) -> RootStress:
    """Return the tooth root stress of one gear of a mesh.

    σ_F = F_t/(b m_n) Y_F Y_S Y_β Y_B Y_DT · K_A K_γ K_V K_Fβ K_Fα

    Parameters
    ----------
    pair : PairGeometry
        Geometry of the mesh.
    member : Member
        Pinion or wheel.
    factors : LoadFactors or RigFactors
        Force and load factors of the same mesh.
    readings : Readings
        How the clauses are read.
    load_point : LoadPoint
        The outer point of single contact as the method asks, that of double contact, or the tip.
    edition : StressEdition
        Edition of ISO 6336-3.
    blank : Blank or None
        The body behind the teeth of this gear; None for a solid one.
    notch : GrindingNotch or None
        The notch in the fillet of this gear; None where grinding leaves none.

    Returns
    -------
    RootStress
        σ_F0 and σ_F in MPa with all factors; `form` holds the steps of Y_F and Y_S, its notices are repeated.
        A stop where grinding can leave a notch in the fillet and none is given, and at a rim too thin.

    Raises
    ------
    InputError
        A rim or a notch radius that is not above 0, a notch depth below 0.

    Notes
    -----
    Source: ISO 6336-3:2019 and :2006, method B, from memory.
    Valid for: α_n from 15° to 25°, β up to 30°, rims from 0.5 h_t, internal from 1.75 m_n.
    Departures: the face width is a reading.
    Checked: ISO3-HAND; its factors ISO3-01, ISO3-02, ISO3-06, ISO3-RIM, ISO3-NOTCH, ISO3-DEEP.

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
    >>> stress = root_stress(pair=pair, member=Member.PINION, factors=factors)
    >>> round(stress.form_factor, 3), round(stress.stress_MPa, 1)
    (1.822, 433.3)
    """
    gear = pair.pinion if member is Member.PINION else pair.wheel
    form = _form(pair, gear, load_point, edition)
    values = _given(pair, gear, factors) | _of_form(form) | _of_notch(form, notch)
    values |= _of_rim(gear, blank) | {
        "helix_factor": root_helix_factor(
            helix_angle_deg=pair.helix_angle_deg, overlap_ratio=pair.overlap_ratio, edition=edition
        ),
        "deep_tooth_factor": _deep_tooth(form, factors, edition),
        "face_width_mm": _face_width(pair, gear, readings.root_face_width),
    }
    nominal = np.where(_notched(gear, values), np.nan, _nominal(values))
    outer = values["application_factor"] * values["mesh_load_factor"] * values["dynamic_factor"]
    kind = RootStress if edition is StressEdition.ISO_6336_2019 else RootStress2006
    return kind(
        **values,
        member=member,
        form=form,
        nominal_stress_MPa=nominal,
        stress_MPa=nominal * outer * values["face_factor"] * values["transverse_factor"],
        notices=form.notices + _notices(pair, gear, values, kind.method),
    )


def _given(pair: PairGeometry, gear: GearGeometry, factors: LoadFactors | RigFactors) -> dict[str, Any]:
    return {
        "tangential_force_N": array(factors.tangential_force_N),
        "normal_module_mm": array(pair.normal_module_mm),
        "own_face_width_mm": gear.face_width_mm,
        "common_face_width_mm": pair.common_face_width_mm,
        "helix_angle_deg": pair.helix_angle_deg,
        "overlap_ratio": pair.overlap_ratio,
        "application_factor": array(factors.application_factor),
        "mesh_load_factor": array(factors.mesh_load_factor),
        "dynamic_factor": array(factors.dynamic_factor),
        "face_factor": array(factors.face_factor_bending),
        "transverse_factor": array(factors.transverse_factor_bending),
    }


def _of_form(form: RootForm) -> dict[str, Any]:
    return {
        "bending_arm_mm": form.bending_arm_mm,
        "root_chord_mm": form.root_chord_mm,
        "root_radius_mm": form.root_radius_mm,
        "load_angle_deg": form.load_angle_deg,
        "notch_parameter": array(form.notch_parameter),
        "form_factor": array(form.form_factor),
        "stress_correction_factor": array(form.stress_correction_factor),
    }


def _of_notch(form: RootForm, notch: GrindingNotch | None) -> dict[str, Any]:
    if notch is None:
        return {
            "notched_correction_factor": array(form.stress_correction_factor),
            "notched_parameter": form.notch_parameter,
        }
    found = notched_fillet(form=form, notch=notch)
    return {
        "notch": found,
        "notched_correction_factor": array(found.notched_correction_factor),
        "notched_parameter": found.notched_parameter,
    }


def _of_rim(gear: GearGeometry, blank: Blank | None) -> dict[str, Any]:
    rim = rim_of(gear=gear, blank=blank)
    return {"rim": rim, "rim_factor": 1.0 if rim is None else rim.factor}


def _deep_tooth(form: RootForm, factors: LoadFactors | RigFactors, edition: StressEdition) -> Number:
    if edition is StressEdition.ISO_6336_2019:
        return 1.0
    return deep_tooth_factor(
        virtual_contact_ratio=form.virtual_contact_ratio, tolerance_class=factors.tolerance_class
    )


def _nominal(values: dict[str, Any]) -> Array:
    names = (
        "form_factor",
        "notched_correction_factor",
        "helix_factor",
        "rim_factor",
        "deep_tooth_factor",
    )
    per_area = values["tangential_force_N"] / (values["face_width_mm"] * values["normal_module_mm"])
    return array(per_area * reduce(np.multiply, (array(values[name]) for name in names)))


def _form(pair: PairGeometry, gear: GearGeometry, load_point: LoadPoint, edition: StressEdition) -> RootForm:
    base_helix = np.radians(array(pair.base_helix_angle_deg))
    form = internal_root_form if gear.internal else root_form
    return form(
        teeth=gear.teeth,
        normal_module_mm=pair.normal_module_mm,
        pressure_angle_deg=pair.pressure_angle_deg,
        helix_angle_deg=pair.helix_angle_deg,
        profile_shift=gear.profile_shift,
        tip_diameter_mm=gear.tip_diameter_mm,
        rack_dedendum=gear.rack_dedendum,
        rack_root_radius=gear.rack_root_radius,
        # the smallest stock leaves the deepest undercut
        residual_undercut_mm=np.maximum(array(gear.protuberance_mm) - array(gear.stock_min_mm), 0.0),
        virtual_contact_ratio=array(pair.transverse_contact_ratio) / np.cos(base_helix) ** 2,
        overlap_ratio=pair.overlap_ratio,
        load_point=load_point,
        edition=edition,
    )


def _face_width(pair: PairGeometry, gear: GearGeometry, reading: RootFaceWidth) -> Array:
    common, own = array(pair.common_face_width_mm), array(gear.face_width_mm)
    if reading is RootFaceWidth.COMMON:
        return common
    if reading is RootFaceWidth.OWN:
        return own
    width: Array = np.minimum(own, common + 2 * array(pair.normal_module_mm))
    return width


def _notched(gear: GearGeometry, values: dict[str, Any]) -> Mask:
    """Whether grinding can cut into the fillet, and nothing says how deep."""
    return np.asarray(array(gear.stock_max_mm) > array(gear.protuberance_mm)) & ("notch" not in values)


def _notices(
    pair: PairGeometry, gear: GearGeometry, values: dict[str, Any], method: Method
) -> tuple[Notice, ...]:
    found = method.outside(helix_angle_deg=pair.helix_angle_deg, pressure_angle_deg=pair.pressure_angle_deg)
    for nested in (values["rim"], values.get("notch")):
        found += () if nested is None else nested.notices
    notch = flagged(
        _notched(gear, values),
        Level.STOP,
        "iso6336_3.grinding_notch",
        "Stock up to {stock:.3g} mm exceeds the protuberance {protuberance:.3g} mm: grinding can leave a "
        "notch in the fillet; its depth and radius are needed (Y_Sg).",
        stock=gear.stock_max_mm,
        protuberance=gear.protuberance_mm,
    )
    deep = flagged(
        np.asarray(array(values["deep_tooth_factor"]) < 1),
        Level.CAUTION,
        "iso6336_3.deep_tooth",
        "Y_DT = {factor:.3g} counts only with a profile modification that loads the path of contact like a "
        "trapezium.",
        factor=values["deep_tooth_factor"],
    )
    return (*found, *notch, *deep)
