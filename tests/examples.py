"""One example of every result of the package: a spur and a helical pair, rated from end to end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

import numpy as np

import gearcheck
from gearcheck.accuracy.composite import CompositeEdition
from gearcheck.accuracy.inputs import AccuracyEdition, Flank, TraceKind
from gearcheck.basics.results import Result
from gearcheck.contact.hertz import line_approach
from gearcheck.contact.loaded_pressure import loaded_path_pressure
from gearcheck.contact.sharing import load_sharing, path_pressure
from gearcheck.duty.counting import rainflow_count
from gearcheck.duty.cycles import load_cycles
from gearcheck.duty.damage import BelowKnee, damage_sum
from gearcheck.gear.backlash import backlash
from gearcheck.gear.between import dimension_between_bodies
from gearcheck.gear.body_size import thickness_from_bodies
from gearcheck.gear.inputs import PinionCutter
from gearcheck.gear.shift import BacklashReading, centre_distance, profile_shift_sum
from gearcheck.gear.span import thickness_from_span
from gearcheck.gear.thickness import (
    MeasuringBody,
    chord_at,
    chordal_thickness,
    dimension_over_bodies,
    span,
)
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.exposure import subsurface_exposure
from gearcheck.hardening.figures import case_depth_limits
from gearcheck.hardening.finished import as_treated_case
from gearcheck.hardening.indents import indent_spacing
from gearcheck.hardening.inputs import CaseDepthRule
from gearcheck.hardening.profile import hardness_profile
from gearcheck.hardening.quenched import martensite_hardness
from gearcheck.hardening.residual import ResidualStress
from gearcheck.hardening.tempering import equivalent_temper, tempering_parameter
from gearcheck.hardening.traverse import traverse_case_depth
from gearcheck.materials.composition import steel_composition
from gearcheck.materials.hardenability import jominy_band
from gearcheck.materials.hardness import HRC_from_HV, HV_from_HRC
from gearcheck.materials.inputs import Lubricant, LubricantKind, OilSupply, Quality, Steel, Treatment
from gearcheck.meshing.candidates import ReliefLimits
from gearcheck.meshing.form import FlankForm, ToothDeviations
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.made import GearScatter, ManufacturingScatter
from gearcheck.meshing.mesh_bed import mesh_bed
from gearcheck.stress.agma_inputs import Enclosure
from gearcheck.stress.agma_load import load_distribution
from gearcheck.stress.flank_static import flank_static_safety
from gearcheck.stress.flaws import FlawPlace, tolerated_flaw
from gearcheck.stress.inputs import (
    Bending,
    Blank,
    GrindingNotch,
    Member,
    Shaft,
    ShaftLayout,
    StressEdition,
)
from gearcheck.stress.micropitting import micropitting
from gearcheck.stress.pairing import edition_pairing
from gearcheck.stress.planets import planet_load_factor
from gearcheck.stress.scuffing_flash import flash_temperature
from gearcheck.stress.scuffing_integral import integral_temperature
from tests.fatigue import fits, from_specimens, lives, samples
from tests.hardening import furnaces
from tests.hardening import passes as grinding
from tests.stress import agma, pairs

STEEL = {"modulus_1_MPa": 206000.0, "modulus_2_MPa": 206000.0, "poisson_1": 0.3, "poisson_2": 0.3}
CASE = {"surface_hardness_HV": 690.0, "core_hardness_HV": 380.0}


def of_one_tooth() -> Iterator[Any]:
    """Thickness and its measures, with the shift that a centre distance asks for."""
    rack = {"normal_module_mm": 4.0, "pressure_angle_deg": 20.0, "helix_angle_deg": 12.0}
    tooth = {**rack, "teeth": 20, "profile_shift": 0.2}
    yield chordal_thickness(**tooth, addendum_mm=4.6)
    yield chord_at(**tooth, diameter_mm=83.0, tip_diameter_mm=91.0)
    yield span(**tooth, span_teeth=3)
    yield thickness_from_span(**tooth, span_teeth=3, span_mm=31.2)
    bodies = {"body_diameter_mm": 7.0, "body": MeasuringBody.BALLS}
    yield thickness_from_bodies(**tooth, **bodies, dimension_mm=93.0, internal=False)
    yield thickness_from_bodies(**{**tooth, "teeth": 70}, **bodies, dimension_mm=276.5, internal=True)
    yield dimension_over_bodies(**tooth, body_diameter_mm=7.0, body=MeasuringBody.BALLS)
    yield dimension_over_bodies(
        **{**tooth, "helix_angle_deg": 0.0, "teeth": 21}, body_diameter_mm=7.0, body=MeasuringBody.BALLS
    )
    yield dimension_between_bodies(**{**tooth, "teeth": 70}, body_diameter_mm=7.0, body=MeasuringBody.BALLS)
    both = {**rack, "pinion_teeth": 20, "wheel_teeth": 40}
    inner = {**rack, "pinion_teeth": 20, "wheel_teeth": 70, "internal": True}
    for reading in BacklashReading:
        yield profile_shift_sum(**inner, centre_distance_mm=102.5, normal_backlash_mm=0.1, reading=reading)
        yield profile_shift_sum(**both, centre_distance_mm=124.0, normal_backlash_mm=0.1, reading=reading)
    yield centre_distance(**both, profile_shift_sum=0.32)
    yield centre_distance(**inner, profile_shift_sum=-0.1)


def of_its_backlash(pair: Any) -> Any:
    """A pair somewhat warm."""
    return backlash(
        pair=pair,
        pinion_allowance_mm=-0.08,
        wheel_allowance_mm=-0.1,
        centre_distance_allowance_mm=-0.01,
        runout_mm=-0.02,
        pinion_temperature_C=70.0,
        wheel_temperature_C=60.0,
        housing_temperature_C=45.0,
        gear_expansion_um_m_K=11.5,
        housing_expansion_um_m_K=22.0,
    )


def of_loaded_teeth(pair: Any) -> Iterator[Any]:
    """What the teeth give way, and their loaded contact."""
    gives = [
        gearcheck.gear_compliance(gear=gear, pair=pair, body=body, face_width_mm=32.0, waves=4)
        for gear, body in ((pair.pinion, Body(bore_diameter_mm=40.0)), (pair.wheel, Body()))
    ]
    yield gives[0]
    bed = mesh_bed(pair=pair, pinion=gives[0], wheel=gives[1], positions=12, slices=5)
    flanks = {
        name: FlankForm(from_roll_mm=gear.start_radius_mm, to_roll_mm=gear.tip_radius_mm)
        for name, gear in (("pinion", pair.pinion), ("wheel", pair.wheel))
    }
    yield gearcheck.loaded_contact(bed=bed, torque_Nm=200.0, **flanks)
    yield from of_many_cycles({"bed": bed, **flanks})


def of_many_cycles(mesh: Any) -> Iterator[Any]:
    """A revolution, gears drawn at random, modifications weighed."""
    index = np.sin(np.arange(int(mesh["bed"].pair.pinion.teeth)))
    yield gearcheck.loaded_revolution(
        **mesh, torque_Nm=[100.0, 200.0], pinion_teeth=ToothDeviations(index_um=index)
    )
    random = {"generator": np.random.default_rng(1)}
    scatter = ManufacturingScatter(pinion=GearScatter(index_um=2.0))
    yield from gearcheck.scattered_contact(**mesh, torque_Nm=200.0, scatter=scatter, gears=3, **random)
    limits = ReliefLimits(pinion_helix_crowning_um=(0.0, 10.0))
    yield next(gearcheck.relief_front(**mesh, torques_Nm=200.0, limits=limits, **random))


def of_a_pair(pair: Any) -> Iterator[Any]:
    """Everything that is worked out of one pair."""
    yield pair
    yield of_its_backlash(pair)
    for gear in (pair.pinion, pair.wheel):
        yield gearcheck.root_form_clearance(gear=gear, pair=pair)
        yield gearcheck.tooth_outline(gear=gear, pair=pair)
    path = gearcheck.contact_path(pair=pair)
    yield path
    yield load_sharing(path=path, pair=pair, tolerance_class=6)
    yield from of_a_film(pair, path)
    shaft = Shaft(
        layout=ShaftLayout.TOWARDS_TORQUE, span_mm=180.0, offset_mm=30.0, diameter_mm=50.0, stiffened=True
    )
    body = Blank(rim_thickness_mm=12.0, web_thickness_mm=10.0)
    given = {"face_load_factor": None, "shaft": shaft, "helix_slope_um": 6.5}
    yield pairs.factors_of(pair, **given, pinion_blank=Blank(bore_mm=30.0), wheel_blank=body)
    yield agma.rated(pair, pinion=agma.steel(rim_thickness_mm=8.0))
    drawn, paired = (pairs.factors_of(pair, base_pitch_deviation_um=deviation) for deviation in (9.0, 8.5))
    yield edition_pairing(
        drawn=drawn, paired=paired, rated_by="2006", drawn_by="2013", belongs="1995", mesh="wheel"
    )
    for member in Member:
        rating = pairs.rated(pair, member=member)
        yield from vars(rating).values()
        yield from of_a_root(pair, member, rating)
        gear = pair.pinion if member is Member.PINION else pair.wheel
        stress = rating.flank.stress_MPa(member)
        yield gearcheck.case_depth_figures(pair=pair, gear=gear, flank_stress_MPa=stress, quality=Quality.MQ)
    yield loaded_path_pressure(
        path=path,
        pair=pair,
        position_mm=[2.0, 9.0],
        pressure_MPa=[900.0, 1250.0],
        tangential_force_N=8000.0,
        load_factor=1.4,
        tolerance_class=6,
    )
    yield from of_a_case(
        path_pressure(
            path=path,
            pair=pair,
            tangential_force_N=rating.factors.tangential_force_N,
            load_factor=1.8,
            tolerance_class=6,
        )
    )


def of_an_internal_pair(pair: Any) -> Iterator[Any]:
    """A pinion with an internal gear, rated by both editions."""
    yield pair
    yield of_its_backlash(pair)
    for gear in (pair.pinion, pair.wheel):
        yield gearcheck.root_form_clearance(gear=gear, pair=pair)
        yield gearcheck.tooth_outline(gear=gear, pair=pair)
    cutter = PinionCutter(teeth=25, profile_shift=0.1, tip_diameter_mm=111.2, tip_radius_mm=0.8)
    yield gearcheck.root_form_clearance(gear=pair.wheel, pair=pair, cutter=cutter)
    path = gearcheck.contact_path(pair=pair)
    yield path
    yield from of_a_film(pair, path)
    for member in Member:
        rating = pairs.rated(pair, member=member)
        yield from vars(rating).values()
        yield from of_a_root(pair, member, rating)


def of_a_film(pair: Any, path: Any) -> Iterator[Any]:
    """Temperatures and oil film along the path."""
    along = path_pressure(path=path, pair=pair, tangential_force_N=8000.0, load_factor=1.4, tolerance_class=6)
    oil = Lubricant(
        viscosity_40C_mm2_s=220.0,
        viscosity_100C_mm2_s=19.4,
        density_15C_kg_m3=890.0,
        oil_temperature_C=70.0,
        fzg_stage=12,
        kind=LubricantKind.MINERAL,
        supply=OilSupply.SPRAY,
    )
    mesh = {"pair": pair, "path": path, "along": along, "speed_rpm": 1480.0, "lubricant": oil}
    rough = {"pinion_roughness_um": 3.0, "wheel_roughness_um": 3.0, "pitch_line_velocity_m_s": 7.0}
    hot = flash_temperature(**mesh, **rough, required_safety=1.5)
    yield hot
    yield integral_temperature(**mesh, flash=hot)
    yield micropitting(**mesh, **rough, permissible_film=0.3)


def of_a_root(pair: Any, member: Member, rating: Any) -> Iterator[Any]:
    """The root by the older edition, with thin rim and grinding notch, bent both ways, and at its peak."""
    old = StressEdition.ISO_6336_2006
    root = gearcheck.root_stress(
        pair=pair,
        member=member,
        factors=rating.factors,
        edition=old,
        blank=Blank(rim_thickness_mm=8.0),
        notch=GrindingNotch(depth_mm=0.05, radius_mm=0.5),
    )
    both = {"root": root, "limits": pairs.LIMITS, "bending": Bending.IDLER, "stress_ratio": -1.2}
    yield root
    yield gearcheck.rig_factors(
        pair=pair, torque_Nm=500, application_factor=1, dynamic_factor=1, face_factor=1, transverse_factor=1
    )
    yield gearcheck.root_safety(**both, load_cycles=1e6, roughness_um=12, required_safety=1.4, edition=old)
    for edition in StressEdition:
        yield gearcheck.root_static_safety(**both, required_safety=1.6, edition=edition)


def of_a_soft_wheel() -> Iterator[Any]:
    """A through-hardened wheel against a hard pinion by the older edition, and the rules of a society."""
    old = StressEdition.ISO_6336_2006
    hard_and_soft = {"limits": (pairs.LIMITS, pairs.SOFT), "member": Member.WHEEL}
    yield pairs.SOFT
    yield from vars(pairs.rated(pairs.helical(), **hard_and_soft, edition=old)).values()
    yield flank_static_safety(
        stress_MPa=800.0,
        limits=pairs.SOFT,
        required_safety=1.1,
        edition=old,
        mate_limits=pairs.LIMITS,
        member=Member.WHEEL,
    )
    steel = Steel(
        grade="42CrMo4",
        quality=Quality.MQ,
        surface_hardness_HV=300,
        core_hardness_HV=None,
        treatment=Treatment.THROUGH_HARDENED,
    )
    yield gearcheck.class_society_limits(steel=steel, tensile_strength_MPa=950.0)


def of_a_case(pressure: Any) -> Iterator[Any]:
    """What the case has to stand, along one path of contact."""
    yield pressure
    along = {"half_width_mm": pressure.half_width_mm, "pressure_MPa": pressure.pressure_MPa}
    yield gearcheck.required_case_depth(**along, **CASE, safety=1.1)
    yield subsurface_exposure(**along, **CASE, case_depth_mm=0.8, safety=1.1)


def of_the_criteria(pair: Any) -> Iterator[Any]:
    """What lies below the surface of a pair by every criterion."""
    contact = {"half_width_mm": [0.22, 0.27], "pressure_MPa": [1350.0, 1500.0], "friction": [-0.05, 0.05]}
    depth, hardness, residual = [0.0, 0.2, 0.6], [690.0, 650.0, 540.0], [-360.0, -300.0, -150.0]
    yield gearcheck.fatigue_limits(hardness_HV=hardness, inclusion_root_area_um=30.0)
    yield gearcheck.residual_stress(
        depth_mm=depth,
        hardness_HV=hardness,
        core_hardness_HV=380.0,
        model=ResidualStress.BALANCED,
        half_thickness_mm=2.5,
    )
    yield gearcheck.rolling_cycle(**contact, depth_mm=depth, residual_stress_MPa=residual)
    yield gearcheck.stress_map(
        half_width_mm=0.27,
        pressure_MPa=1500.0,
        friction=0.05,
        position_mm=[-0.3, 0.0, 0.3],
        depth_mm=depth,
        residual_stress_MPa=residual,
    )
    yield gearcheck.criteria_exposure(
        **contact,
        depth_mm=depth,
        hardness_HV=hardness,
        residual_stress_MPa=residual,
        inclusion_root_area_um=30.0,
        safety=1.2,
    )
    given = {**contact, **CASE, "inclusion_root_area_um": 30.0, "residual_model": ResidualStress.LANG}
    yield gearcheck.criterion_case_depth(criterion=Criterion.DANG_VAN, **given, safety=1.6)
    figures = gearcheck.case_depth_figures(
        pair=pair, gear=pair.pinion, flank_stress_MPa=1400.0, quality=Quality.MQ
    )
    yield gearcheck.case_depths(**given, safety=1.2, figures=figures, rule=CaseDepthRule.ISO_6336_5)
    yield gearcheck.case_depth_band(
        **given,
        safety=1.2,
        surface_scatter_HV=15.0,
        core_scatter_HV=12.0,
        load_scatter=0.05,
        stock_mm=0.12,
        stock_scatter_mm=0.02,
        generator=np.random.default_rng(3),
        samples=100,
    )


def on_its_own() -> Iterator[Any]:
    """What needs no pair."""
    yield load_cycles(speed_rpm=1480, life_h=25000, contacts_per_revolution=2)
    yield planet_load_factor(planets=3)
    yield load_distribution(
        face_width_mm=60.0,
        working_pitch_diameter_mm=80.0,
        enclosure=Enclosure.PRECISION,
        offset_ratio=0.1,
        modified_lead=True,
        adjusted=False,
    )
    yield rainflow_count(load=[0, 200, 50, 300, 100, 250, 0])
    yield damage_sum(
        stress_MPa=[900.0, 480.0],
        cycles=[2e3, 1e7],
        static_limit_MPa=1250.0,
        static_cycles=1e3,
        knee_limit_MPa=500.0,
        knee_cycles=3e6,
        long_limit_MPa=425.0,
        long_cycles=1e10,
        below_knee=BelowKnee.LONG_LIFE,
    )
    yield flank_static_safety(stress_MPa=1800.0, limits=pairs.LIMITS, required_safety=1.1)
    yield tolerated_flaw(amplitude_MPa=220.0, mean_MPa=180.0, hardness_HV=690.0, place=FlawPlace.SURFACE)
    yield HV_from_HRC(hardness_HRC=60.0)
    yield HRC_from_HV(hardness_HV=697.0)
    yield pairs.LIMITS
    yield gearcheck.hertz_line(line_load_N_mm=500.0, reduced_radius_mm=12.0, **STEEL)
    yield line_approach(
        half_width_mm=0.3, pressure_MPa=1400.0, modulus_MPa=206000.0, poisson=0.3, reference_depth_mm=10.0
    )
    yield gearcheck.stress_field(x_over_b=0.4, z_over_b=0.7, friction=0.05)
    yield hardness_profile(depth_mm=0.5, case_depth_mm=0.9, **CASE)
    yield traverse_case_depth(
        depth_mm=[0.2, 0.6, 1.0, 1.4], hardness_HV=[690, 640, 530, 450], criterion_HV=550
    )
    yield indent_spacing(
        depth_mm=[0.2, 0.3, 0.5], hardness_HV=[690, 640, 530], test_force_kgf=0.5, sideways_mm=0.1
    )
    yield gearcheck.finished_case(
        as_treated_min_mm=1.0, as_treated_max_mm=1.3, stock_min_mm=0.1, stock_max_mm=0.16
    )
    yield case_depth_limits(normal_module_mm=4.0, tip_thickness_mm=2.4)
    yield as_treated_case(finished_min_mm=0.8, finished_max_mm=1.2, stock_min_mm=0.1, stock_max_mm=0.16)
    yield from grinding.examples()


def of_a_quench() -> Iterator[Any]:
    """Core and case as quenched, cold treated and tempered."""
    yield jominy_band(band="SAE 9310 H", distance_mm=8.0)
    yield martensite_hardness(carbon_percent=0.7)
    core = gearcheck.core_hardness(band="SAE 9310 H", section_mm=30.0, severity_min=0.3, severity_max=0.5)
    yield core
    carbon = [0.85, 0.6, 0.3, 0.1]
    start = gearcheck.martensite_start(carbon_percent=carbon, composition=steel_composition(grade="SAE 9310"))
    yield start
    left = gearcheck.retained_austenite(
        start_least_C=start.least_C, start_greatest_C=start.greatest_C, quench_temperature_C=50.0
    )
    yield left
    cold = gearcheck.cold_treated_austenite(
        before_least_percent=left.least_percent,
        before_greatest_percent=left.greatest_percent,
        quench_temperature_C=50.0,
        cold_temperature_C=-84.0,
        delay_h=0.5,
        tempered_before=False,
    )
    yield cold
    case = gearcheck.quenched_case(
        depth_mm=[0.0, 0.5, 1.0, 2.0],
        carbon_percent=carbon,
        core_carbon_percent=0.1,
        core_least_HRC=core.least_HRC,
        core_greatest_HRC=core.greatest_HRC,
        austenite_least_percent=cold.least_percent,
        austenite_greatest_percent=cold.greatest_percent,
    )
    yield case
    yield gearcheck.effective_case_depths(
        depth_mm=case.depth_mm, hardness_HV=case.hardest_HV, criteria_HV=[550.0, 513.0]
    )
    temper = tempering_parameter(temperature_C=150.0, time_h=4.0)
    yield temper
    yield gearcheck.tempered_hardness(
        hardness_HV=case.hardest_HV, parameter=temper.parameter, before_parameter=0.0
    )
    yield equivalent_temper(temperature_C=150.0, time_h=4.0, at_temperature_C=191.0)
    yield gearcheck.bake_against_temper(
        temper_temperature_C=150.0, temper_time_h=4.0, bake_temperature_C=191.0, bake_time_h=4.0
    )


def of_accuracy() -> Iterator[Any]:
    """Tolerances, measured pitch and its class."""
    edition = AccuracyEdition.ISO_1328_1_2013
    size = {"reference_diameter_mm": 110.0, "normal_module_mm": 4.0, "face_width_mm": 30.0}
    gear = {**size, "edition": edition}
    yield gearcheck.tolerances(**gear, tolerance_class=6)
    yield gearcheck.tolerances(**gear, tolerance_class=6, teeth=27, profile_class=5)
    older = {**gear, "edition": AccuracyEdition.ISO_1328_1_1995}
    yield gearcheck.tolerances(**older, tolerance_class=6, teeth=27)
    yield gearcheck.accuracy_class(**older, runout_um=18.0)
    of_turn = {"reference_diameter_mm": 100.0, "normal_module_mm": 2.0}
    for composite in CompositeEdition:
        yield gearcheck.composite_tolerances(**of_turn, tolerance_class=6, edition=composite)
    first = CompositeEdition.ISO_1328_2_1997
    yield gearcheck.composite_class(**of_turn, edition=first, total_um=40.0, tooth_um=9.0)
    yield gearcheck.older_pitch_tolerances(reference_diameter_mm=100.0, module_mm=3.0, grade=4)
    yield gearcheck.gear_class(
        edition=edition, sizes=size, left={"single_pitch_um": 6.0}, both={"runout_um": 18.0}
    )
    pitch = gearcheck.pitch_deviations(
        left_um=[3, -1, -4, 2, 1, -1], right_um=[1, 2, -3, 0, 2, -2], transverse_pressure_angle_deg=20.0
    )
    yield pitch
    yield gearcheck.pitch_harmonics(
        left_index_um=pitch.left_index_um,
        right_index_um=pitch.right_index_um,
        transverse_pressure_angle_deg=20.0,
    )
    yield gearcheck.once_a_turn(tooth=[1, 6, 11, 16], teeth=20, value_um=[5.0, 7.0, -3.0, 1.0])
    yield from of_traces()
    yield _transmission()
    angles = {"measuring_pressure_angle_deg": 20.0, "base_helix_angle_deg": 12.0}
    yield gearcheck.class_correction(
        cumulative_pitch_um=29.0, profile_total_um=13.0, helix_total_um=13.0, **angles
    )
    index = 5 * np.sin(np.arange(24))
    gear_off = {"base_diameter_mm": 90.0, "face_width_mm": 20.0}
    yield gearcheck.correction_stock(index_um=index, flank=Flank.LEFT, **gear_off, **angles)
    yield gearcheck.accuracy_class(**gear, single_pitch_um=pitch.left_single_pitch_um, runout_um=18.0)


def _transmission() -> Any:
    roll = np.linspace(8.0, 26.0, 37)
    trace = gearcheck.ToothTraces(
        tooth=[1], place_mm=roll, deviation_um=-0.3 * np.clip(roll - 18, 0, None)[None]
    )
    return gearcheck.geometric_transmission_error(
        index_um=5 * np.sin(np.arange(24)),
        flank=Flank.LEFT,
        measuring_pressure_angle_deg=20.0,
        base_diameter_mm=90.0,
        start_roll_mm=8.0,
        end_roll_mm=26.0,
        face_width_mm=20.0,
        base_helix_angle_deg=12.0,
        profile=trace,
    )


def of_traces() -> Iterator[Any]:
    """Traces of profile and helix with their ranges and a design trace."""
    edition, place = AccuracyEdition.ISO_1328_1_2013, np.linspace(5, 25, 201)
    yield gearcheck.profile_range(
        edition=edition, base_diameter_mm=75.2, tip_diameter_mm=91.0, control_diameter_mm=76.5
    )
    yield gearcheck.helix_range(edition=edition, face_width_mm=30.0, normal_module_mm=4.0)
    design = gearcheck.design_trace(
        place_mm=place, from_mm=6, to_mm=24, high_relief_um=20, high_relief_start_mm=18, crowning_um=3
    )
    yield design
    yield gearcheck.trace_evaluation(
        kind=TraceKind.PROFILE,
        edition=edition,
        place_mm=place,
        deviation_um=np.sin(place) + 0.2 * place + design.design_um,
        start_mm=6,
        end_mm=23,
        slope_to_mm=24,
        design_um=design.design_um,
    )


def nested(value: Any) -> Iterator[Any]:
    """Yield a result and every result inside it."""
    if isinstance(value, Result):
        yield value
    if is_dataclass(value) and not isinstance(value, type):
        for item in fields(value):
            yield from nested(getattr(value, item.name))


@cache
def results() -> tuple[Any, ...]:
    """Every example result."""
    found = [
        *of_one_tooth(),
        *on_its_own(),
        *of_a_quench(),
        *of_accuracy(),
        *of_a_soft_wheel(),
        *furnaces.examples(),
        *from_specimens.examples(),
        *samples.examples(),
        *lives.examples(),
        *fits.examples(),
    ]
    found += of_the_criteria(pairs.spur())
    found += of_loaded_teeth(pairs.spur())
    for pair in (pairs.spur(), pairs.helical()):
        found += of_a_pair(pair)
    for pair in (pairs.internal(), pairs.internal(helix_angle_deg=15)):
        found += of_an_internal_pair(pair)
    return tuple(inner for outer in found for inner in nested(outer))
