"""The root form clearance: hand sheets by rolling the tool, and the direction of every change."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.gear.form import RootFormClearance, root_form_clearance
from gearcheck.gear.trochoid import fillet_end, fillet_point
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.gear.gears import equal_pair, keys, stop_keys, tooth

INPUTS = ("rack_dedendum", "rack_root_radius", "protuberance_mm", "stock_min_mm")


def clearance_of(*, helix=0.0, module=4.0, teeth=30, shift=0.0, tip=128.0, **other):
    low = other.get("stock_min_mm", 0.0)
    gear = tooth(teeth, shift, tip, **{"stock_max_mm": low, **other})
    distance = module / np.cos(np.radians(helix)) * (teeth + 30) / 2 + shift * module
    pair = equal_pair(
        normal_module_mm=module, helix_angle_deg=helix, centre_distance_mm=distance, pinion=gear
    )
    return root_form_clearance(gear=pair.pinion, pair=pair)


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.form:root_form_clearance"), ids=str)
def test_against_the_tool_rolled_past_the_gear(check):
    inputs = check.inputs
    result = clearance_of(
        helix=inputs["helix_angle_deg"],
        module=inputs["normal_module_mm"],
        teeth=inputs["teeth"],
        shift=inputs["profile_shift"],
        tip=inputs["tip_diameter_mm"],
        **{name: inputs[name] for name in INPUTS},
    )
    holds(check, d_Ff_mm=result.form_diameter_mm)


def rolled_gap(fillet, radius, steps=40_001):
    """How far the tool's round stays clear of the finished involute at a radius: the least over all rolls."""
    angle = np.arccos(fillet.base_radius / radius)
    place = fillet.half_pitch - (fillet.base_half_angle - np.tan(angle) + angle)
    roll = np.linspace(-1.5, 1.5, steps)
    across = (radius * np.sin(place + roll) - fillet.radius * roll) * fillet.cos_helix
    up = radius * np.cos(place + roll) - fillet.radius
    centre = (fillet.centre * fillet.cos_helix, fillet.tip_radius - fillet.reach)
    return np.hypot(across - centre[0], up - centre[1]).min() - fillet.tip_radius


@settings(max_examples=40)
@given(
    teeth=st.integers(8, 80),
    helix=st.floats(0.0, 30.0),
    shift=st.floats(-0.3, 0.8),
    excess=st.floats(0.002, 0.02),
)
def test_the_tool_cuts_below_the_form_circle_and_not_above(teeth, helix, shift, excess):
    gear = equal_pair(
        helix_angle_deg=helix,
        centre_distance_mm=400.0,
        pinion=tooth(teeth, shift, 8.0 * teeth, rack_dedendum=1.3, rack_root_radius=0.33),
    ).pinion
    fillet = gear.fillet(excess * 4.0)
    radius, half_angle = fillet_point(fillet, fillet_end(fillet, cuts=np.asarray(True)))
    on_involute = (
        fillet.base_half_angle
        - np.tan(np.arccos(fillet.base_radius / radius))
        + np.arccos(fillet.base_radius / radius)
    )
    assert half_angle == pytest.approx(on_involute, abs=1e-9)
    for factor in (1.001, 1.01, 1.05):
        assert rolled_gap(fillet, radius * factor) > 0
    assert rolled_gap(fillet, radius * 0.9995 if radius * 0.9995 > fillet.base_radius else radius) < 1e-6


def test_less_stock_takes_more_clean_involute():
    stock = np.linspace(0.1, 0.3, 41)
    result = clearance_of(
        rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.2, stock_min_mm=stock, stock_max_mm=0.3
    )
    assert (np.diff(result.form_diameter_mm[stock < 0.2]) < 0).all()
    assert np.ptp(result.form_diameter_mm[stock >= 0.2]) == 0.0
    assert result.form_diameter_mm[stock >= 0.2][0] == result.plain_form_diameter_mm
    assert (result.clearance_mm == result.start_of_active_profile_mm - result.form_diameter_mm).all()


def test_the_form_circle_is_continuous_where_protuberance_meets_stock():
    stock = 0.2 + np.array([-1e-10, 0.0, 1e-10])
    result = clearance_of(
        rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.2, stock_min_mm=stock, stock_max_mm=0.3
    )
    assert np.ptp(result.form_diameter_mm) < 1e-3


def test_too_much_protuberance_leaves_no_clean_involute():
    result = clearance_of(
        rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.4, stock_min_mm=0.1, stock_max_mm=0.2
    )
    assert result.clearance_mm < 0
    assert {"root_form.below", "root_form.shoulder"} <= keys(result)
    assert not result.stops
    assert result.over_measure_mm == result.clearance_mm / 2


def test_more_stock_than_protuberance_ends_in_a_step():
    result = clearance_of(
        rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.2, stock_min_mm=0.15, stock_max_mm=0.26
    )
    assert result.step_mm == pytest.approx(0.06)
    text = next(notice.text for notice in result.notices if notice.key == "root_form.step")
    assert "0.260 mm" in text
    assert "0.060 mm" in text


def test_a_gear_as_hobbed_has_the_plain_form_circle():
    result = clearance_of()
    assert result.form_diameter_mm == result.plain_form_diameter_mm
    assert result.notices == ()


def test_a_stop_of_the_pair_goes_with_it():
    pair = equal_pair(centre_distance_mm=110.0)
    result = root_form_clearance(gear=pair.pinion, pair=pair)
    assert result.clearance_mm is None
    assert result.form_diameter_mm > 0
    assert "pair.centre_distance" in stop_keys(result)


@given(
    protuberance=st.floats(0.0, 0.3),
    stock=st.lists(st.floats(0.0, 0.3), min_size=2, max_size=2).map(sorted),
    shift=st.floats(-0.2, 0.6),
)
def test_formulas_and_samples_agree(protuberance, stock, shift):
    given_gear = {"protuberance_mm": protuberance, "stock_min_mm": stock[0], "stock_max_mm": stock[1]}
    alone = clearance_of(shift=shift, **given_gear)
    assert disagreements(alone)[0] == []
    many = clearance_of(shift=np.array([0.0, shift]), **given_gear)
    assert many.form_diameter_mm[1] == pytest.approx(alone.form_diameter_mm, rel=1e-12)
    assert alone.form_diameter_mm >= alone.plain_form_diameter_mm - 1e-9


def test_its_citation_names_the_document_first():
    cite = RootFormClearance.method.cite
    assert cite.startswith("ISO 21771:2007, root form circle")
    assert len(cite) < 70
