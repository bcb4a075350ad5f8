"""Pairs of our own invention on which the rating is tried."""

from types import SimpleNamespace

from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from gearcheck.materials.inputs import Quality, Steel
from gearcheck.materials.strength import strength_limits
from gearcheck.stress.factors import load_factors
from gearcheck.stress.flank import flank_stress
from gearcheck.stress.flank_limit import flank_safety
from gearcheck.stress.inputs import PRIMARY, Load, Member
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_limit import root_safety

LIMITS = strength_limits(
    steel=Steel(grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=320)
)


def helical(**changed):
    """Module 4, 20 to 40 teeth, 12°, with protuberance."""
    return pair(**{"helix_angle_deg": 12, "centre_distance_mm": 124, "shifts": (0.2, 0.12), **changed})


def spur(**changed):
    """Module 4, 20 to 40 teeth, without shift."""
    return pair(**{"tips": (88, 168), **changed})


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
    readings=PRIMARY,
):
    return load_factors(
        pair=pair,
        load=Load(
            torque_Nm=torque_Nm,
            speed_rpm=speed_rpm,
            application_factor=application_factor,
            mesh_load_factor=mesh_load_factor,
            face_load_factor=1.15,
        ),
        pinion_limits=LIMITS,
        wheel_limits=LIMITS,
        base_pitch_deviation_um=base_pitch_deviation_um,
        profile_form_deviation_um=profile_form_deviation_um,
        tip_relief_um=tip_relief_um,
        tolerance_class=tolerance_class,
        readings=readings,
    )


def rated(pair, *, load_cycles=2.22e9, readings=PRIMARY, member=Member.PINION, **given):
    """The whole rating of one gear."""
    factors = factors_of(pair, readings=readings, **given)
    flank = flank_stress(
        pair=pair, factors=factors, pinion_limits=LIMITS, wheel_limits=LIMITS, readings=readings
    )
    flank_limit = flank_safety(
        pair=pair,
        stress_MPa=flank.stress_MPa(member),
        limits=LIMITS,
        load_cycles=load_cycles,
        viscosity_40C_mm2_s=220,
        pitch_line_velocity_m_s=factors.pitch_line_velocity_m_s,
        pinion_roughness_um=3,
        wheel_roughness_um=3,
        required_safety=1.1,
        readings=readings,
    )
    root = root_stress(pair=pair, member=member, factors=factors, readings=readings)
    root_limit = root_safety(
        root=root,
        limits=LIMITS,
        load_cycles=load_cycles,
        roughness_um=10,
        required_safety=1.4,
        readings=readings,
    )
    return SimpleNamespace(
        factors=factors, flank=flank, flank_limit=flank_limit, root=root, root_limit=root_limit
    )


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
