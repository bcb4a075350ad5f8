"""A pinion with an internal gear: the handbook's table, identities over the range, and what cannot run."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.gear.form import root_form_clearance
from gearcheck.gear.inputs import PinionCutter
from gearcheck.gear.outline import tooth_outline
from gearcheck.gear.pair import pair_geometry
from gearcheck.gear.path import contact_path
from gearcheck.gear.shaped_root import shaped_root
from gearcheck.gear.shift import BacklashReading, centre_distance, profile_shift_sum
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.gear.gears import internal_pair, keys, stop_keys, tooth

TABLE = [
    check for check in cases("gear", "gearcheck.gear.pair:pair_geometry") if check.id.startswith("GEO-03")
]
PAIRS = {
    "module": st.floats(1.0, 10.0),
    "helix": st.floats(0.0, 30.0),
    "teeth": st.tuples(st.integers(17, 40), st.integers(70, 130)),
    "shifts": st.tuples(st.floats(0.1, 0.6), st.floats(-0.6, 0.0)),
}


def inv(angle):
    return np.tan(angle) - angle


@pytest.mark.parametrize("check", TABLE, ids=str)
def test_the_table_of_the_handbook(check):
    inputs = check.inputs
    z_1, z_2, x_1 = inputs["pinion_teeth"], inputs["wheel_teeth"], inputs["pinion_shift"]
    tips = (z_1 + 2, z_2 - 2 + 2 * inputs["printed_wheel_shift"])
    pair = internal_pair(
        module=inputs["normal_module_mm"],
        alpha=inputs["pressure_angle_deg"],
        helix=0.0,
        teeth=(z_1, z_2),
        shifts=(x_1, inputs["wheel_shift"]),
        tips=tips,
        rack_root_radius=inputs["rack_root_radius"],
    )
    assert not pair.stops
    assert keys(pair) >= {"pair.radial_assembly"}
    holds(
        check,
        aw_deg=pair.working_pressure_angle_deg,
        a_mm=pair.centre_distance_mm,
        eps_alpha=pair.transverse_contact_ratio,
    )


@settings(max_examples=30)
@given(**PAIRS)
def test_identities_of_an_internal_pair(**given_pair):
    pair = internal_pair(**given_pair)
    assert not pair.stops
    a, angle = pair.centre_distance_mm, np.radians(pair.working_pressure_angle_deg)
    pitch = pair.wheel.working_pitch_diameter_mm - pair.pinion.working_pitch_diameter_mm
    assert pitch / 2 == pytest.approx(a)
    assert abs(pair.normal_backlash_mm) < 1e-9 * pair.normal_module_mm
    assert pair.gear_ratio == pytest.approx(-given_pair["teeth"][1] / given_pair["teeth"][0])
    assert pair.wheel.tip_diameter_mm < pair.wheel.reference_diameter_mm < pair.wheel.root_diameter_mm
    path = contact_path(pair=pair)
    assert path.wheel_radius_mm - path.pinion_radius_mm == pytest.approx(a * np.sin(angle))
    assert path.mark_E_mm == pytest.approx(pair.transverse_contact_ratio * pair.base_pitch_mm)
    assert path.mark_C_mm < path.mark_E_mm
    assert path.wheel_diameter_mm[0] == pytest.approx(pair.wheel.tip_diameter_mm)
    assert path.pinion_diameter_mm[-1] == pytest.approx(pair.pinion.tip_diameter_mm)
    assert path.pinion_diameter_mm[0] == pytest.approx(pair.pinion.start_of_active_profile_mm)
    assert path.wheel_diameter_mm[-1] == pytest.approx(pair.wheel.start_of_active_profile_mm)
    assert path.wheel_diameter_mm[-1] < pair.wheel.root_diameter_mm
    assert path.pinion_sliding[0] == pytest.approx(pair.pinion.start_sliding)
    assert path.wheel_sliding[0] == pytest.approx(pair.wheel.tip_sliding)
    assert path.wheel_sliding[-1] == pytest.approx(pair.wheel.start_sliding)
    if path.mark_C_mm > 0:  # else the tip of the wheel ends behind the pitch point
        at_pitch_point = np.interp(path.mark_C_mm, path.position_mm, path.reduced_radius_mm)
        assert at_pitch_point == pytest.approx(pair.reduced_radius_mm, rel=2e-3)


@settings(max_examples=20)
@given(**PAIRS)
def test_sliding_is_the_difference_of_the_rolling_speeds(**given_pair):
    pair = internal_pair(**given_pair)
    path = contact_path(pair=pair)
    turn = 2 / pair.pinion.working_pitch_diameter_mm
    rolling_1 = turn * path.pinion_radius_mm
    rolling_2 = -turn / pair.gear_ratio * path.wheel_radius_mm
    assert rolling_1 - rolling_2 == pytest.approx(path.sliding_speed, abs=1e-12)
    assert 1 - rolling_2 / rolling_1 == pytest.approx(path.pinion_sliding)
    assert 1 - rolling_1 / rolling_2 == pytest.approx(path.wheel_sliding)


@settings(max_examples=20)
@given(**PAIRS)
def test_the_printed_formulas_are_those_of_the_code(**given_pair):
    pair = internal_pair(**given_pair)
    for result in (pair, pair.pinion, pair.wheel, contact_path(pair=pair)):
        assert disagreements(result)[0] == []


@settings(max_examples=20)
@given(**PAIRS)
def test_the_space_of_an_internal_gear_is_the_tooth_of_its_counterpart(**given_pair):
    """At the tip circle of the internal gear, tooth and space fill the pitch."""
    wheel = internal_pair(**given_pair).wheel
    beta, radius = np.radians(wheel.helix_angle_deg), wheel.tip_diameter_mm / 2
    alpha_t = np.radians(wheel.transverse_pressure_angle_deg)
    alpha = np.arccos(wheel.base_diameter_mm / wheel.tip_diameter_mm)
    alpha_n = np.radians(wheel.pressure_angle_deg)
    half = (np.pi / 2 - 2 * wheel.profile_shift * np.tan(alpha_n)) / wheel.teeth + inv(alpha_t) - inv(alpha)
    tip_helix = np.arctan(wheel.tip_diameter_mm / wheel.reference_diameter_mm * np.tan(beta))
    tooth_here = wheel.tip_thickness_mm / np.cos(tip_helix)
    assert tooth_here + 2 * half * radius / 1.0 == pytest.approx(2 * np.pi * radius / wheel.teeth)


@settings(max_examples=15)
@given(
    teeth=st.tuples(st.integers(30, 60), st.integers(2, 9)),
    shift=st.floats(-1.0, -0.1),
    cut=st.floats(0, 0.3),
)
def test_tips_that_meet_are_found(teeth, shift, cut):
    """Roll the pinion on until its tip corner crosses the tip circle of the wheel, and look where it is."""
    z_1, z_2 = teeth[0], teeth[0] + teeth[1]
    pair = internal_pair(module=1.0, helix=0.0, teeth=(z_1, z_2), shifts=(0.0, shift), cut=cut)
    assume(pair.working_pressure_angle_deg < 75 and pair.wheel.tip_diameter_mm > pair.wheel.base_diameter_mm)
    a, working = pair.centre_distance_mm, np.radians(pair.working_pressure_angle_deg)
    r_1, r_2 = pair.pinion.tip_diameter_mm / 2, pair.wheel.tip_diameter_mm / 2
    corner_1 = inv(np.arccos(pair.pinion_base_diameter_mm / 2 / r_1)) - inv(working)
    corner_2 = inv(np.arccos(pair.wheel_base_diameter_mm / 2 / r_2)) - inv(working)
    turned = np.linspace(0.0, np.pi, 200_001)
    x, y = a + r_1 * np.cos(turned - corner_1), r_1 * np.sin(turned - corner_1)
    inside = np.flatnonzero((np.hypot(x, y) < r_2) & (turned > corner_1))
    assume(inside.size > 0)
    first = inside[0]
    flank = turned[first] * z_1 / z_2 - corner_2
    room = (flank - np.arctan2(y[first], x[first])) * r_2
    assert pair.tip_passage_mm == pytest.approx(room, abs=2e-3)
    assert ("pair.tip_interference" in stop_keys(pair)) == (pair.tip_passage_mm < 0)


def overlaps(pair, steps=80):
    """Whether a tip corner of the pinion lies in a tooth of the wheel anywhere on its way in."""
    z_1, z_2 = pair.pinion_teeth, pair.wheel_teeth
    working = np.radians(pair.working_pressure_angle_deg)
    half = np.pi / 2 / z_1 + 2 * pair.pinion_profile_shift * np.tan(np.radians(20)) / z_1
    half -= inv(np.arccos(pair.pinion_base_diameter_mm / pair.pinion_tip_diameter_mm)) - inv(np.radians(20))
    corners = (np.arange(z_1) * 2 * np.pi / z_1)[:, None] + np.array([-half, half])
    r_1 = pair.pinion_tip_diameter_mm / 2
    for shift in np.linspace(0.0, pair.centre_distance_mm, steps):
        x, y = shift + r_1 * np.cos(corners), r_1 * np.sin(corners)
        radius = np.hypot(x, y)
        space = np.pi / 2 / z_2 - 2 * pair.wheel_profile_shift * np.tan(np.radians(20)) / z_2
        alpha = np.arccos(np.minimum(pair.wheel_base_diameter_mm / 2 / radius, 1.0))
        space = space + inv(np.radians(20)) - inv(alpha)
        away = np.abs((np.arctan2(y, x) + np.pi / z_2) % (2 * np.pi / z_2) - np.pi / z_2)
        if ((radius > pair.wheel_tip_diameter_mm / 2 + 1e-9) & (away > space + 1e-6)).any():
            return True
    assert working > 0
    return False


@pytest.mark.parametrize(("pinion", "wheel"), [(20, 60), (30, 60), (40, 60), (48, 60), (52, 60)])
def test_a_pinion_that_may_go_in_radially_touches_nothing_on_its_way(pinion, wheel):
    pair = internal_pair(module=1.0, helix=0.0, teeth=(pinion, wheel), shifts=(0.3, -0.3))
    assert ("pair.radial_assembly" in keys(pair)) == (pair.radial_assembly_mm < 0)
    assert overlaps(pair) == (pair.radial_assembly_mm < 0)


def test_centre_distance_and_shifts_go_round():
    both = {
        "normal_module_mm": 2.0,
        "pressure_angle_deg": 20.0,
        "helix_angle_deg": 12.0,
        "pinion_teeth": 20,
        "wheel_teeth": np.array([61, 80]),
        "internal": True,
    }
    distance = centre_distance(**both, profile_shift_sum=-0.25)
    back = profile_shift_sum(
        **both,
        centre_distance_mm=distance.centre_distance_mm,
        normal_backlash_mm=0.0,
        reading=BacklashReading.BASE_TANGENT,
    )
    assert back.shift_sum == pytest.approx([-0.25, -0.25])
    assert disagreements(distance)[0] == disagreements(back)[0] == []
    assert (distance.distance_modification > 0).all()


def test_what_no_internal_pair_can_be():
    with pytest.raises(InputError, match=r"wheel\.teeth"):
        internal_pair(module=2.0, helix=0.0, teeth=(30, 30), shifts=(0.0, 0.0), distance=1.0)
    ring, pinion = tooth(60, 0.0, 116.0, internal=True), tooth(20, 0.0, 44.0)
    rack = {"normal_module_mm": 2.0, "pressure_angle_deg": 20.0, "helix_angle_deg": 0.0}
    with pytest.raises(InputError, match=r"pinion\.internal"):
        pair_geometry(**rack, centre_distance_mm=40.0, pinion=ring, wheel=pinion)
    near = pair_geometry(**rack, centre_distance_mm=30.0, pinion=pinion, wheel=ring)
    assert "pair.centre_distance" in stop_keys(near)
    far = pair_geometry(**rack, centre_distance_mm=40.5, pinion=pinion, wheel=ring)
    assert "pair.backlash" in stop_keys(far)
    inside = replace(ring, tip_diameter_mm=112.0)
    low = pair_geometry(**rack, centre_distance_mm=40.0, pinion=pinion, wheel=inside)
    assert "gear.tip_diameter" in stop_keys(low)
    wide = replace(ring, rack_dedendum=3.5)
    assert "gear.pointed_space" in stop_keys(
        pair_geometry(**rack, centre_distance_mm=40.0, pinion=pinion, wheel=wide)
    )


def test_the_root_form_circle_of_an_internal_gear_is_left_out():
    pair = internal_pair(module=2.0, helix=0.0, teeth=(20, 60), shifts=(0.3, -0.3))
    clearance = root_form_clearance(gear=pair.wheel, pair=pair)
    assert stop_keys(clearance) == {"root_form.internal"}
    assert clearance.form_diameter_mm is None
    assert clearance.clearance_mm is None
    assert clearance.start_of_active_profile_mm == pair.wheel.start_of_active_profile_mm
    assert root_form_clearance(gear=pair.pinion, pair=pair).clearance_mm > 0


def shaped_pair(helix=0.0):
    return internal_pair(
        module=4.0, helix=helix, teeth=(20, 70), shifts=(0.1, 0.2), cut=0.2, rack_root_radius=0.1
    )


CUTTER = PinionCutter(teeth=25, profile_shift=0.1, tip_diameter_mm=111.2, tip_radius_mm=0.8)


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.shaped_root:shaped_root"), ids=str)
def test_the_root_that_a_cutter_leaves(check):
    inputs = check.inputs
    cutter = PinionCutter(
        teeth=inputs["cutter_teeth"],
        profile_shift=inputs["cutter_shift"],
        tip_diameter_mm=inputs["cutter_tip_diameter_mm"],
        tip_radius_mm=inputs["cutter_tip_radius_mm"],
    )
    root = shaped_root(gear=shaped_pair().wheel, cutter=cutter)
    holds(check, d_Ff_mm=root.form_diameter_mm, d_f0_mm=root.root_diameter_mm)
    assert keys(root) == {"shaped_root.root_diameter"}


def test_the_form_clearance_of_a_shaped_gear():
    pair = shaped_pair()
    assert not pair.stops
    blunt = replace(CUTTER, tip_radius_mm=np.array([0.0, 0.8, 2.5]))
    clearance = root_form_clearance(gear=pair.wheel, pair=pair, cutter=blunt)
    assert (np.diff(clearance.clearance_mm) < 0).all()
    expected = clearance.form_diameter_mm - pair.wheel.start_of_active_profile_mm
    assert clearance.clearance_mm == pytest.approx(expected)
    below = clearance.clearance_mm < 0
    assert ("root_form.below" in keys(clearance)) == below.any()
    alone = root_form_clearance(gear=pair.wheel, pair=pair, cutter=CUTTER)
    assert alone.clearance_mm == pytest.approx(clearance.clearance_mm[1])
    assert disagreements(alone)[0] == disagreements(alone.shaped)[0] == []


def test_cutters_that_cut_nothing():
    wheel = shaped_pair().wheel
    with pytest.raises(InputError, match=r"cutter\.teeth"):
        shaped_root(gear=wheel, cutter=replace(CUTTER, teeth=70))
    with pytest.raises(InputError, match=r"cutter\.tip_radius_mm"):
        shaped_root(gear=wheel, cutter=replace(CUTTER, tip_radius_mm=-0.1))
    assert stop_keys(shaped_root(gear=wheel, cutter=replace(CUTTER, tip_diameter_mm=90.0))) == {
        "shaped_root.cutter"
    }


def test_the_outline_of_an_internal_tooth():
    pair = internal_pair(module=2.0, helix=10.0, teeth=(20, 60), shifts=(0.3, -0.3))
    wheel = pair.wheel
    outline = tooth_outline(gear=wheel, pair=pair, points=400)
    radius = np.hypot(outline.x_mm, outline.y_mm)
    assert radius.min() == pytest.approx(wheel.tip_diameter_mm / 2)
    assert radius.max() == pytest.approx(wheel.root_diameter_mm / 2)
    assert outline.x_mm == pytest.approx(-outline.x_mm[::-1])
    at_tip = 2 * outline.x_mm[radius < radius.min() + 1e-9].max()
    helix = np.radians(wheel.tip_helix_angle_deg)
    arc = 2 * radius.min() * np.arcsin(at_tip / 2 / radius.min())
    assert arc == pytest.approx(wheel.tip_thickness_mm / np.cos(helix), rel=1e-6)
    step = np.hypot(np.diff(outline.x_mm), np.diff(outline.y_mm))
    assert step.max() < 0.3
    assert radius[outline.join] * 2 == pytest.approx(outline.form_diameter_mm)
    assert outline.form_diameter_mm > wheel.start_of_active_profile_mm
