"""Tooth thickness and its measures, and profile shifts: cited values and round trips."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.gear.between import dimension_between_bodies
from gearcheck.gear.involute import involute, involute_angle
from gearcheck.gear.shift import BacklashReading, centre_distance, profile_shift_sum
from gearcheck.gear.thickness import MeasuringBody, chordal_thickness, dimension_over_bodies, span
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.gear.gears import closed_pair

CHORDS = {check.id: check for check in cases("gear", "gearcheck.gear.thickness:chordal_thickness")}
CHECKED_OVER = cases("gear", "gearcheck.gear.over_bodies:dimension_over_bodies")
GEAR = {
    "normal_module_mm": st.floats(0.5, 20.0),
    "pressure_angle_deg": st.floats(14.5, 25.0),
    "helix_angle_deg": st.floats(0.0, 35.0),
    "teeth": st.integers(12, 150),
    "profile_shift": st.floats(-0.2, 0.6),
}


def chord_values(result, names):
    known = {
        "s_mm": result.thickness_mm,
        "zv": result.virtual_teeth,
        "half_angle_deg": result.half_angle_deg,
        "s_chord_mm": result.chord_mm,
        "h_chord_mm": result.height_mm,
    }
    return {name: known[name] for name in names}


@pytest.mark.parametrize("check", [CHORDS["GEO-04"], CHORDS["GEO-05"]], ids=str)
def test_chordal_thickness(check):
    holds(check, **chord_values(chordal_thickness(**check.inputs), check.expected))


@pytest.mark.parametrize("check", [CHORDS["GEO-06"]], ids=str)
def test_chordal_thickness_from_the_transverse_system(check):
    inputs = check.inputs
    cos_helix = np.cos(np.radians(inputs["helix_angle_deg"]))
    tangent = np.tan(np.radians(inputs["transverse_pressure_angle_deg"])) * cos_helix
    result = chordal_thickness(
        normal_module_mm=inputs["transverse_module_mm"] * cos_helix,
        pressure_angle_deg=np.degrees(np.arctan(tangent)),
        helix_angle_deg=inputs["helix_angle_deg"],
        teeth=inputs["teeth"],
        profile_shift=inputs["transverse_shift"] / cos_helix,
        addendum_mm=inputs["addendum_mm"],
    )
    holds(check, **chord_values(result, check.expected))


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.shift:profile_shift_sum"), ids=str)
def test_both_readings_of_the_backlash(check):
    along, around = (profile_shift_sum(**check.inputs, reading=reading) for reading in BacklashReading)
    alpha_t, alpha_wt = (
        np.radians(value) for value in (along.transverse_pressure_angle_deg, along.working_pressure_angle_deg)
    )
    holds(
        check,
        a_ref_mm=along.reference_centre_distance_mm,
        alpha_t_deg=along.transverse_pressure_angle_deg,
        alpha_wt_deg=along.working_pressure_angle_deg,
        inv_alpha_wt=involute(alpha_wt),
        inv_alpha_t=involute(alpha_t),
        sum_x=along.shift_sum,
        sum_xE_base_tangent=along.generating_shift_sum,
        sum_xE_pitch_circle=around.generating_shift_sum,
    )


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.span:span"), ids=str)
def test_span(check):
    holds(check, Wk_mm=span(**check.inputs).span_mm)


@pytest.mark.parametrize("check", CHECKED_OVER, ids=str)
def test_over_bodies(check):
    result = dimension_over_bodies(**check.inputs, body=MeasuringBody.PINS)
    balls = dimension_over_bodies(**check.inputs, body=MeasuringBody.BALLS)
    known = {
        "inv_alphaK": result.centre_involute,
        "alphaK_deg": result.centre_angle_deg,
        "Md_mm": result.dimension_mm,
        "d_K_mm": result.centre_diameter_mm,
        "d_M_mm": result.contact_diameter_mm,
        "balls_mm": balls.dimension_mm,
        "pins_mm": result.dimension_mm,
        "slide_rad": np.radians(result.slide_deg),
    }
    holds(check, **{name: known[name] for name in check.expected})
    assert disagreements(result)[0] == []


@given(**GEAR, body=st.floats(1.6, 2.0))
def test_formulas_and_samples_agree(body, **gear):
    module = gear["normal_module_mm"]
    calls = (
        lambda g: chordal_thickness(**g, addendum_mm=module),
        lambda g: span(**g, span_teeth=max(2, g["teeth"] // 9)),
        lambda g: dimension_over_bodies(**g, body_diameter_mm=body * module, body=MeasuringBody.BALLS),
    )
    for call in calls:
        alone = call(gear)
        assert disagreements(alone)[0] == []
        many = call({**gear, "profile_shift": np.array([0.1, gear["profile_shift"]])})
        name = ("chord_mm", "span_mm", "dimension_mm")[calls.index(call)]
        assert getattr(many, name)[1] == pytest.approx(getattr(alone, name), rel=1e-12)


@given(**GEAR)
def test_one_tooth_more_adds_one_base_pitch(**gear):
    k = max(2, gear["teeth"] // 9)
    step = span(**gear, span_teeth=k + 1).span_mm - span(**gear, span_teeth=k).span_mm
    pitch = np.pi * gear["normal_module_mm"] * np.cos(np.radians(gear["pressure_angle_deg"]))
    assert step == pytest.approx(pitch)


def test_the_chord_is_shorter_than_the_arc_and_both_meet_for_many_teeth():
    shared = {
        "normal_module_mm": 4.0,
        "pressure_angle_deg": 20.0,
        "helix_angle_deg": 0.0,
        "profile_shift": 0.1,
        "addendum_mm": 4.0,
    }
    result = chordal_thickness(**shared, teeth=np.array([10, 50, 100_000]))
    assert (result.chord_mm < result.thickness_mm).all()
    assert result.chord_mm[-1] == pytest.approx(result.thickness_mm, rel=1e-9)
    assert result.height_mm[-1] == pytest.approx(4.0, abs=1e-4)


def test_an_odd_gear_measures_a_little_less():
    shared = {
        "normal_module_mm": 2.0,
        "pressure_angle_deg": 20.0,
        "profile_shift": 0.0,
        "body_diameter_mm": 3.5,
    }
    odd = dimension_over_bodies(**shared, helix_angle_deg=0.0, teeth=21, body=MeasuringBody.PINS)
    expected = odd.centre_diameter_mm * np.cos(np.pi / 42) + 3.5
    assert odd.dimension_mm == pytest.approx(expected)
    balls = dimension_over_bodies(**shared, helix_angle_deg=15.0, teeth=21, body=MeasuringBody.BALLS)
    pins = dimension_over_bodies(**shared, helix_angle_deg=15.0, teeth=21, body=MeasuringBody.PINS)
    assert balls.dimension_mm > odd.dimension_mm
    assert pins.dimension_mm < balls.dimension_mm
    assert pins.slide_deg > 0.0 == balls.slide_deg == odd.slide_deg
    steep = dimension_over_bodies(**shared, helix_angle_deg=50.0, teeth=21, body=MeasuringBody.PINS)
    assert steep.dimension_mm is None
    assert [notice.key for notice in steep.stops] == ["over_bodies.steep"]


def test_a_body_too_small_has_no_dimension():
    result = dimension_over_bodies(
        normal_module_mm=2.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=0.0,
        teeth=20,
        profile_shift=-0.5,
        body_diameter_mm=1.0,
        body=MeasuringBody.BALLS,
    )
    assert result.dimension_mm is None
    assert [notice.key for notice in result.stops] == ["over_bodies.deep"]


@given(
    module=st.floats(0.5, 20.0),
    helix=st.floats(0.0, 35.0),
    teeth=st.tuples(st.integers(12, 80), st.integers(12, 150)),
    total=st.floats(-0.4, 1.2),
    reading=st.sampled_from(list(BacklashReading)),
)
def test_shifts_and_centre_distance_are_inverse(module, helix, teeth, total, reading):
    shared = {
        "normal_module_mm": module,
        "pressure_angle_deg": 20.0,
        "helix_angle_deg": helix,
        "pinion_teeth": teeth[0],
        "wheel_teeth": teeth[1],
    }
    distance = centre_distance(**shared, profile_shift_sum=total)
    back = profile_shift_sum(
        **shared, centre_distance_mm=distance.centre_distance_mm, normal_backlash_mm=0.0, reading=reading
    )
    assert back.shift_sum == pytest.approx(total, abs=1e-8)
    assert back.generating_shift_sum == back.shift_sum
    assert disagreements(distance)[0] == disagreements(back)[0] == []


def test_a_generating_shift_gives_the_backlash_that_the_pair_finds():
    shared = {"normal_module_mm": 4.0, "pressure_angle_deg": 20.0, "helix_angle_deg": 12.0}
    pair = closed_pair(module=4.0, helix=12.0, teeth=(20, 45), shifts=(0.3, 0.2))
    cut = profile_shift_sum(
        **shared,
        pinion_teeth=20,
        wheel_teeth=45,
        centre_distance_mm=pair.centre_distance_mm,
        normal_backlash_mm=0.1,
        reading=BacklashReading.BASE_TANGENT,
    )
    thinned = closed_pair(
        module=4.0, helix=12.0, teeth=(20, 45), shifts=(0.3, 0.2 - 0.5 + cut.generating_shift_sum)
    )
    assert cut.shift_sum == pytest.approx(0.5)
    assert cut.generating_shift_sum < 0.5
    opened = pair.centre_distance_mm - thinned.centre_distance_mm
    assert opened == pytest.approx(0.1 / (2 * np.sin(np.radians(pair.working_pressure_angle_deg))), rel=0.05)


@pytest.mark.parametrize(
    ("call", "key"),
    [
        (
            lambda shared: (
                profile_shift_sum(
                    **shared,
                    centre_distance_mm=30.0,
                    normal_backlash_mm=0.0,
                    reading=BacklashReading.BASE_TANGENT,
                ).stops
            ),
            "shift.centre_distance",
        ),
        (lambda shared: centre_distance(**shared, profile_shift_sum=-3.0).stops, "shift.no_angle"),
    ],
)
def test_what_cannot_be_closed_stops(call, key):
    shared = {
        "normal_module_mm": 2.0,
        "pressure_angle_deg": 20.0,
        "helix_angle_deg": 0.0,
        "pinion_teeth": 20,
        "wheel_teeth": 30,
    }
    assert [notice.key for notice in call(shared)] == [key]


@given(st.floats(1.0, 75.0))
def test_the_inverse_of_the_involute(angle):
    assert np.degrees(involute_angle(involute(np.radians(angle)))) == pytest.approx(angle, abs=1e-9)


def test_faults_of_the_measures_show_together():
    with pytest.raises(InputError) as caught:
        span(
            normal_module_mm=0.0,
            pressure_angle_deg=50.0,
            helix_angle_deg=-5.0,
            teeth=0,
            profile_shift=None,
            span_teeth=2.5,
        )
    assert len(caught.value.faults) == 6


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.between:dimension_between_bodies"), ids=str)
def test_between_bodies(check):
    found = dimension_between_bodies(**check.inputs, body=MeasuringBody.BALLS)
    known = {
        "d_K_mm": found.centre_diameter_mm,
        "M_d_mm": found.dimension_mm,
        "d_M_mm": found.contact_diameter_mm,
    }
    holds(check, **{name: known[name] for name in check.expected})
    assert disagreements(found)[0] == []


def test_between_bodies_of_an_odd_gear_and_what_is_not_built():
    inner = {"normal_module_mm": 2.0, "pressure_angle_deg": 20.0, "profile_shift": 0.0}
    odd = dimension_between_bodies(
        **inner, helix_angle_deg=0.0, teeth=41, body_diameter_mm=3.6, body=MeasuringBody.PINS
    )
    assert odd.dimension_mm == pytest.approx(odd.centre_diameter_mm * np.cos(np.pi / 82) - 3.6)
    helical = {**inner, "helix_angle_deg": 15.0, "teeth": 40, "body_diameter_mm": 3.6}
    stopped = dimension_between_bodies(**helical, body=MeasuringBody.PINS)
    assert stopped.dimension_mm is None
    assert [notice.key for notice in stopped.stops] == ["between_bodies.helical_pins"]
    assert dimension_between_bodies(**helical, body=MeasuringBody.BALLS).dimension_mm > 0
    large = dimension_between_bodies(**{**helical, "body_diameter_mm": 6.0}, body=MeasuringBody.BALLS)
    assert [notice.key for notice in large.stops] == ["between_bodies.large"]


def test_a_thicker_tooth_leaves_less_between_the_bodies():
    shift = np.array([-0.5, 0.0, 0.5])
    found = dimension_between_bodies(
        normal_module_mm=2.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=10.0,
        teeth=60,
        profile_shift=shift,
        body_diameter_mm=3.4,
        body=MeasuringBody.BALLS,
    )
    assert (np.diff(found.dimension_mm) < 0).all()
