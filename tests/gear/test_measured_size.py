"""Bodies and spans on the involute, the thickness that they give back, and chords on any circle."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from gearcheck.gear.between import dimension_between_bodies
from gearcheck.gear.body_size import body_diameter_proposed, thickness_from_bodies
from gearcheck.gear.span import span_teeth_proposed, thickness_from_span
from gearcheck.gear.thickness import (
    MeasuringBody,
    chord_at,
    chordal_thickness,
    dimension_over_bodies,
    generating_shift,
    span,
)
from tests.checks import cases, holds
from tests.formula import disagreements

GEAR = {
    "normal_module_mm": st.floats(0.5, 20.0),
    "pressure_angle_deg": st.floats(17.0, 25.0),
    "helix_angle_deg": st.floats(0.0, 33.0),
    "teeth": st.integers(14, 150),
    "profile_shift": st.floats(-0.1, 0.5),
}
TOOTH = {"normal_module_mm": 5.0, "pressure_angle_deg": 20.0, "helix_angle_deg": 12.0}


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.thickness:chord_at"), ids=str)
def test_the_chord_on_a_circle(check):
    found = chord_at(**check.inputs)
    holds(check, s_y_mm=found.thickness_mm, s_c_mm=found.chord_mm, h_c_mm=found.height_mm)


@given(**GEAR)
def test_the_chord_on_the_reference_circle_is_the_one_of_the_handbook(**gear):
    reference = gear["teeth"] * gear["normal_module_mm"] / np.cos(np.radians(gear["helix_angle_deg"]))
    addendum = 0.9 * gear["normal_module_mm"]
    found = chord_at(**gear, diameter_mm=reference, tip_diameter_mm=reference + 2 * addendum)
    known = chordal_thickness(**gear, addendum_mm=addendum)
    for name in ("thickness_mm", "chord_mm", "height_mm"):
        assert getattr(found, name) == pytest.approx(getattr(known, name), rel=1e-9)
    assert disagreements(found)[0] == []


def test_no_chord_off_the_flank():
    found = chord_at(
        **TOOTH, teeth=23, profile_shift=0.35, diameter_mm=[100.0, 118.0, 131.0], tip_diameter_mm=130.8
    )
    assert np.isnan(found.chord_mm).tolist() == [True, False, True]
    assert [notice.key for notice in found.stops] == ["chord.off_flank"]


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.body_size:body_diameter_proposed"), ids=str)
def test_the_body_proposed(check):
    holds(check, D_M_mm=float(body_diameter_proposed(**check.inputs, internal=False)))


@given(**GEAR)
def test_the_body_proposed_touches_in_the_middle_of_the_tooth(**gear):
    middle = gear["teeth"] * gear["normal_module_mm"] / np.cos(np.radians(gear["helix_angle_deg"]))
    shift = 2 * gear["profile_shift"] * gear["normal_module_mm"]
    outer = {**gear, "body_diameter_mm": body_diameter_proposed(**gear, internal=False)}
    found = dimension_over_bodies(**outer, body=MeasuringBody.BALLS)
    assert found.contact_diameter_mm == pytest.approx(middle + shift, rel=1e-9)
    inner = {**gear, "teeth": gear["teeth"] + 30}
    middle *= inner["teeth"] / gear["teeth"]
    inner["body_diameter_mm"] = body_diameter_proposed(**inner, internal=True)
    within = dimension_between_bodies(**inner, body=MeasuringBody.BALLS)
    assert within.contact_diameter_mm == pytest.approx(middle - shift, rel=1e-9)


@given(**GEAR, body=st.sampled_from(list(MeasuringBody)), allowance=st.floats(-0.05, 0.02))
def test_a_measured_dimension_gives_the_thickness_back(body, allowance, **gear):
    rack = {name: gear[name] for name in ("normal_module_mm", "pressure_angle_deg", "profile_shift")}
    thinner = allowance * gear["normal_module_mm"]
    made = {**gear, "profile_shift": generating_shift(**rack, allowance_mm=thinner)}
    size = body_diameter_proposed(**gear, internal=False)
    measured = dimension_over_bodies(**made, body_diameter_mm=size, body=body)
    outer = thickness_from_bodies(
        **gear, body_diameter_mm=size, body=body, dimension_mm=measured.dimension_mm, internal=False
    )
    k = span_teeth_proposed(**gear)
    over_teeth = thickness_from_span(**gear, span_teeth=k, span_mm=span(**made, span_teeth=k).span_mm)
    back = [outer, over_teeth]
    between = dimension_between_bodies(**made, body_diameter_mm=size, body=MeasuringBody.BALLS)
    if between.dimension_mm is not None:  # the space of few internal teeth can be narrower than the ball
        ball = {"body_diameter_mm": size, "body": MeasuringBody.BALLS}
        measured = {"dimension_mm": between.dimension_mm, "internal": True}
        back.append(thickness_from_bodies(**gear, **ball, **measured))
    for found in back:
        assert found.allowance_mm == pytest.approx(thinner, abs=1e-8 * gear["normal_module_mm"])
        assert disagreements(found)[0] == []


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.span:thickness_from_span"), ids=str)
def test_a_span_backwards(check):
    found = thickness_from_span(**check.inputs)
    holds(check, x_E=found.generating_shift, A_sn_mm=found.allowance_mm)


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.body_size:thickness_from_bodies"), ids=str)
def test_a_dimension_backwards(check):
    internal = check.inputs.get("internal", False)
    body = MeasuringBody.BALLS if internal else MeasuringBody.PINS
    found = thickness_from_bodies(**{**check.inputs, "internal": internal}, body=body)
    holds(check, x_E=found.generating_shift)


@given(**GEAR, allowance=st.floats(-0.2, 0.1))
def test_the_allowance_of_the_span_is_that_of_the_thickness_along_the_base_tangent(allowance, **gear):
    names = ("normal_module_mm", "pressure_angle_deg", "profile_shift")
    rack = {name: gear[name] for name in names}
    made = {**gear, "profile_shift": generating_shift(**rack, allowance_mm=allowance)}
    k = span_teeth_proposed(**gear)
    thinner = span(**made, span_teeth=k).span_mm - span(**gear, span_teeth=k).span_mm
    assert thinner == pytest.approx(allowance * np.cos(np.radians(gear["pressure_angle_deg"])), abs=1e-9)


@given(**GEAR)
def test_the_space_of_an_internal_gear_is_the_tooth_of_the_external_one(**gear):
    """The same flanks: a ball in a space of one is where the ball would stand in a tooth of the other."""
    size = 1.7 * gear["normal_module_mm"]
    given_size = {"body_diameter_mm": size, "body": MeasuringBody.BALLS}
    inner = dimension_between_bodies(**gear, **given_size)
    # inside an external tooth the ball lies on the other side of the flanks: its offset counts negative
    tooth = np.pi / 2 + 2 * -gear["profile_shift"] * np.tan(np.radians(gear["pressure_angle_deg"]))
    alpha_t = np.radians(inner.transverse_pressure_angle_deg)
    inv_K = np.tan(alpha_t) - alpha_t + tooth / gear["teeth"]
    inv_K -= size / (
        gear["normal_module_mm"] * gear["teeth"] * np.cos(np.radians(gear["pressure_angle_deg"]))
    )
    assert inner.centre_involute == pytest.approx(inv_K, abs=1e-12)


@given(**{**GEAR, "teeth": st.integers(7, 60).map(lambda half: 2 * half + 1)})
def test_odd_pins_by_a_search_of_the_least_distance(**gear):
    given_size = {"body_diameter_mm": 1.75 * gear["normal_module_mm"]}
    found = dimension_over_bodies(**gear, **given_size, body=MeasuringBody.PINS)
    radius, start = found.centre_diameter_mm / 2, np.pi / gear["teeth"]
    tangent = np.tan(np.radians(found.centre_helix_angle_deg))

    def apart(slide):
        across = 2 * radius * np.cos((start + slide) / 2)
        along = slide * radius / tangent if tangent else 0.0
        return np.hypot(across, along)

    if tangent < 1e-3:
        least = apart(0.0)
    else:
        least = minimize_scalar(apart, bounds=(0, 1.5), method="bounded", options={"xatol": 1e-12}).fun
    expected = least + given_size["body_diameter_mm"]
    assert found.dimension_mm == pytest.approx(expected, rel=1e-8)


def test_bodies_and_anvils_have_to_touch_the_involute():
    tooth = {**TOOTH, "teeth": 23, "profile_shift": 0.35}
    limits = {"form_diameter_mm": 118.0, "tip_diameter_mm": 130.8}
    size = float(body_diameter_proposed(**tooth, internal=False))
    balls = [
        dimension_over_bodies(**tooth, **limits, body_diameter_mm=given, body=MeasuringBody.BALLS)
        for given in (size, 7.0, 8.0, 20.0)
    ]
    keys = [[notice.key for notice in found.stops] for found in balls]
    assert keys == [
        [],
        ["over_bodies.below_form", "over_bodies.sunk"],
        ["over_bodies.sunk"],
        ["over_bodies.above_tip"],
    ]
    assert [found.dimension_mm is None for found in balls] == [False, True, True, True]
    k = float(span_teeth_proposed(**tooth, face_width_mm=58.0))
    spans = [span(**tooth, **limits, span_teeth=given, face_width_mm=58.0) for given in (k, 1, 8)]
    assert [[notice.key for notice in found.stops] for found in spans] == [
        [],
        ["span.below_form"],
        ["span.above_tip"],
    ]
    narrow = span(**tooth, span_teeth=k, face_width_mm=5.0)
    assert narrow.span_mm is narrow.contact_diameter_mm is None
    assert [notice.key for notice in narrow.stops] == ["span.narrow"]
    assert np.isnan(span_teeth_proposed(**tooth, face_width_mm=2.0))


def test_balls_between_internal_teeth_have_to_touch_the_involute():
    tooth = {**TOOTH, "teeth": 80, "profile_shift": 0.0}
    limits = {"form_diameter_mm": 418.0, "tip_diameter_mm": 400.0}
    size = float(body_diameter_proposed(**tooth, internal=True))
    found = [
        dimension_between_bodies(**tooth, **limits, body_diameter_mm=given, body=MeasuringBody.BALLS)
        for given in (size, 4.0, 12.0)
    ]
    assert [[notice.key for notice in one.stops] for one in found] == [
        [],
        ["between_bodies.beyond_form", "between_bodies.sunk"],
        ["between_bodies.inside_tip"],
    ]


def test_no_flank_gives_such_a_dimension():
    found = thickness_from_bodies(
        **TOOTH,
        teeth=23,
        profile_shift=0.35,
        body_diameter_mm=9.0,
        body=MeasuringBody.BALLS,
        dimension_mm=100.0,
        internal=False,
    )
    assert found.thickness_mm is None
    assert [notice.key for notice in found.stops] == ["bodies.no_thickness"]
