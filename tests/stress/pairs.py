"""Pairs of our own invention on which the rating is tried."""

from types import SimpleNamespace

import numpy as np

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import tolerances
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from gearcheck.materials.inputs import Quality, Steel, Treatment
from gearcheck.materials.strength import strength_limits
from gearcheck.stress.factors import load_factors
from gearcheck.stress.flank import flank_stress
from gearcheck.stress.flank_limit import flank_safety
from gearcheck.stress.inputs import PRIMARY, Load, Member, StressEdition
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_limit import root_safety
from tests.sheets.iso6336_pair import PAIRS

LIMITS = strength_limits(
    steel=Steel(grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=320)
)

SOFT = strength_limits(
    steel=Steel(
        grade="42CrMo4",
        quality=Quality.MQ,
        surface_hardness_HV=300,
        core_hardness_HV=None,
        treatment=Treatment.THROUGH_HARDENED,
    )
)


def helical(**changed):
    """Module 4, 20 to 40 teeth, 12°, with protuberance."""
    return pair(**{"helix_angle_deg": 12, "centre_distance_mm": 124, "shifts": (0.2, 0.12), **changed})


def spur(**changed):
    """Module 4, 20 to 40 teeth, without shift."""
    return pair(**{"tips": (88, 168), **changed})


def internal(*, helix_angle_deg=0, teeth=(20, 70), shifts=(0.3, -0.3), **changed):
    """Module 4, a pinion with an internal gear at the reference centre distance, without backlash."""
    transverse = 4 / np.cos(np.radians(helix_angle_deg))
    tips = (transverse * teeth[0] + 8 * 1.3, transverse * teeth[1] - 8 * (0.85 - 0.3))
    return pair(
        **{
            "teeth": teeth,
            "shifts": shifts,
            "helix_angle_deg": helix_angle_deg,
            "centre_distance_mm": transverse * (teeth[1] - teeth[0]) / 2,
            "tips": tips,
            "rack_root_radius": 0.3,
            "internal": True,
            **changed,
        }
    )


def pair(
    *,
    teeth=(20, 40),
    normal_module_mm=4,
    pressure_angle_deg=20,
    helix_angle_deg=0,
    centre_distance_mm=120,
    shifts=(0, 0),
    tips=(91.4, 172),
    widths=(32, 32),
    protuberance_mm=0.2,
    stock_min_mm=0.12,
    stock_max_mm=0.18,
    rack_dedendum=1.4,
    rack_root_radius=0.35,
    internal=False,
):
    pinion, wheel = (
        Tooth(
            teeth=teeth[one],
            face_width_mm=widths[one],
            profile_shift=shifts[one],
            tip_diameter_mm=tips[one],
            rack_dedendum=rack_dedendum,
            rack_root_radius=rack_root_radius,
            protuberance_mm=protuberance_mm,
            stock_min_mm=stock_min_mm,
            stock_max_mm=stock_max_mm,
            internal=internal and one == 1,
        )
        for one in (0, 1)
    )
    return pair_geometry(
        normal_module_mm=normal_module_mm,
        pressure_angle_deg=pressure_angle_deg,
        helix_angle_deg=helix_angle_deg,
        centre_distance_mm=centre_distance_mm,
        pinion=pinion,
        wheel=wheel,
    )


def factors_of(
    pair,
    *,
    torque_Nm=500,
    speed_rpm=1480,
    base_pitch_deviation_um=7,
    profile_form_deviation_um=6,
    tip_relief_um=0,
    tolerance_class=5,
    application_factor=1.25,
    mesh_load_factor=1.0,
    face_load_factor=1.15,
    limits=(LIMITS, LIMITS),
    readings=PRIMARY,
    **body,
):
    return load_factors(
        pair=pair,
        load=Load(
            torque_Nm=torque_Nm,
            speed_rpm=speed_rpm,
            application_factor=application_factor,
            mesh_load_factor=mesh_load_factor,
            face_load_factor=face_load_factor,
        ),
        pinion_limits=limits[0],
        wheel_limits=limits[1],
        base_pitch_deviation_um=base_pitch_deviation_um,
        profile_form_deviation_um=profile_form_deviation_um,
        tip_relief_um=tip_relief_um,
        tolerance_class=tolerance_class,
        readings=readings,
        **body,
    )


def rated(
    pair,
    *,
    load_cycles=2.22e9,
    readings=PRIMARY,
    member=Member.PINION,
    limits=(LIMITS, LIMITS),
    viscosity_40C_mm2_s=220,
    flank_roughness_um=3,
    root_roughness_um=10,
    edition=StressEdition.ISO_6336_2019,
    **given,
):
    """The whole rating of one gear."""
    factors = factors_of(pair, readings=readings, limits=limits, **given)
    flank = flank_stress(
        pair=pair,
        factors=factors,
        pinion_limits=limits[0],
        wheel_limits=limits[1],
        readings=readings,
        edition=edition,
    )
    own_limits, mate_limits = limits if member is Member.PINION else reversed(limits)
    flank_limit = flank_safety(
        pair=pair,
        stress_MPa=flank.stress_MPa(member),
        limits=own_limits,
        load_cycles=load_cycles,
        viscosity_40C_mm2_s=viscosity_40C_mm2_s,
        pitch_line_velocity_m_s=factors.pitch_line_velocity_m_s,
        pinion_roughness_um=flank_roughness_um,
        wheel_roughness_um=flank_roughness_um,
        required_safety=1.1,
        readings=readings,
        edition=edition,
        mate_limits=mate_limits,
        member=member,
    )
    root = root_stress(pair=pair, member=member, factors=factors, readings=readings, edition=edition)
    root_limit = root_safety(
        root=root,
        limits=own_limits,
        load_cycles=load_cycles,
        roughness_um=root_roughness_um,
        required_safety=1.4,
        readings=readings,
        edition=edition,
    )
    return SimpleNamespace(
        factors=factors, flank=flank, flank_limit=flank_limit, root=root, root_limit=root_limit
    )


def from_sheet(name, *, member=Member.PINION, changed=None, **given):
    """The whole rating of one gear of a pair of the hand sheet, from what the sheet was given.

    `changed` takes the place of the limits of the gear that is rated.
    """
    inputs = PAIRS[name]
    toothed = pair(**inputs["toothing"])
    limits = [
        strength_limits(
            steel=Steel(
                grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=core
            )
        )
        for core in inputs["core_hardness_HV"]
    ]
    if changed is not None:
        limits[Member(member) is Member.WHEEL] = changed
    load = {**deviations_of(toothed, inputs["load"]["tolerance_class"]), **inputs["load"]}
    return rated(toothed, member=Member(member), limits=limits, **load, **inputs["surface"], **given)


def deviations_of(pair, tolerance_class):
    """The larger tolerances of both gears."""
    both = [
        tolerances(
            reference_diameter_mm=gear.reference_diameter_mm,
            normal_module_mm=pair.normal_module_mm,
            face_width_mm=gear.face_width_mm,
            tolerance_class=tolerance_class,
            edition=AccuracyEdition.ISO_1328_1_2013,
        )
        for gear in (pair.pinion, pair.wheel)
    ]
    along_base = np.cos(np.radians(pair.transverse_pressure_angle_deg))
    return {
        "base_pitch_deviation_um": max(found.single_pitch_exact_um for found in both) * along_base,
        "profile_form_deviation_um": max(found.profile_form_exact_um for found in both),
    }


def results_in(rating):
    """Every result of a rating, the nested ones too."""
    return (
        rating.factors.stiffness,
        rating.factors.dynamics,
        rating.factors,
        rating.flank,
        rating.flank_limit.film,
        rating.flank_limit,
        rating.root.form,
        rating.root,
        rating.root_limit,
    )
