"""The outline of a tooth: its critical section, its joints and its measures."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.gear.outline import tooth_outline
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.gear.gears import equal_pair, tooth

CASES = {check.id: check for check in cases("gear", "gearcheck.gear.outline:tooth_outline")}


def outline_of(*, helix=0.0, teeth=30, shift=0.0, tip=128.0, points=200, **other):
    gear = tooth(teeth, shift, tip, **other)
    distance = 4.0 / np.cos(np.radians(helix)) * (teeth + 30) / 2 + 4.0 * shift
    pair = equal_pair(helix_angle_deg=helix, centre_distance_mm=distance, pinion=gear)
    return tooth_outline(gear=pair.pinion, pair=pair, points=points), pair.pinion


def right_fillet(outline):
    """The fillet of the right half from the form circle down to the root."""
    x, y = outline.x_mm[outline.join + 1 :], outline.y_mm[outline.join + 1 :]
    radius = np.hypot(x, y)
    above = radius > radius.min() + 1e-9
    return x[above], y[above]


def cited_outline(inputs):
    outline, _ = outline_of(
        teeth=inputs["teeth"],
        shift=inputs["profile_shift"],
        tip=inputs["tip_diameter_mm"],
        rack_dedendum=inputs["rack_dedendum"],
        rack_root_radius=inputs["rack_root_radius"],
        protuberance_mm=inputs["protuberance_mm"],
        stock_min_mm=inputs["stock_mm"],
        stock_max_mm=inputs["stock_mm"],
        points=4000,
    )
    return outline


@pytest.mark.parametrize("check", [CASES["OUT-03"]], ids=str)
def test_the_fillet_is_what_the_tool_leaves(check):
    x, y = right_fillet(cited_outline(check.inputs))
    radii = np.array(check.inputs["radii_mm"])
    half = np.interp(radii, np.hypot(x, y)[::-1], np.arctan2(x, y)[::-1])
    holds(check, arc_mm=2 * half * radii)


@pytest.mark.parametrize("check", [CASES["OUT-01"], CASES["OUT-02"]], ids=str)
def test_critical_section_at_the_30_degree_tangent(check):
    x, y = right_fillet(cited_outline(check.inputs))
    slope = np.degrees(np.arctan2(np.diff(x), -np.diff(y)))
    assert (np.diff(slope) > 0).all()
    middle = (x[1:] + x[:-1]) / 2
    holds(check, s_Fn_mm=2 * np.interp(30.0, slope, middle))


GEARS = {
    "helix": st.floats(0.0, 30.0),
    "teeth": st.integers(20, 80),
    "shift": st.floats(0.0, 0.5),
}


def gear_of(helix, teeth, shift, **other):
    d = 4.0 * teeth / np.cos(np.radians(helix))
    return outline_of(helix=helix, teeth=teeth, shift=shift, tip=d + 8.0 + 6.0 * shift, **other)


@given(**GEARS)
def test_fillet_and_involute_join_in_one_tangent(helix, teeth, shift):
    outline, gear = gear_of(helix, teeth, shift, points=8000)
    assume(gear.tip_thickness_mm is not None)
    x, y, j = outline.x_mm, outline.y_mm, outline.join
    assert np.hypot(x[j], y[j]) == pytest.approx(gear.root_form_diameter_mm / 2, rel=1e-12)
    assert np.hypot(x[j + 1] - x[j], y[j + 1] - y[j]) < 1e-9
    flank = np.degrees(np.arctan2(x[j - 2 : j] - x[j - 1 : j + 1], y[j - 2 : j] - y[j - 1 : j + 1]))
    fillet = np.degrees(np.arctan2(x[j + 1 : j + 3] - x[j + 2 : j + 4], y[j + 1 : j + 3] - y[j + 2 : j + 4]))
    at_flank, at_fillet = flank[1] + (flank[1] - flank[0]) / 2, fillet[0] - (fillet[1] - fillet[0]) / 2
    assert at_flank == pytest.approx(at_fillet, abs=0.2)


@given(**GEARS)
def test_the_outline_measures_what_the_gear_says(helix, teeth, shift):
    outline, gear = gear_of(helix, teeth, shift)
    assume(gear.tip_thickness_mm is not None)
    x, y = outline.x_mm, outline.y_mm
    radius, angle = np.hypot(x, y), np.arctan2(x, y)
    assert x == pytest.approx(-x[::-1])
    assert y == pytest.approx(y[::-1])
    assert radius.min() == pytest.approx(gear.root_diameter_mm / 2)
    assert radius.max() == pytest.approx(gear.tip_diameter_mm / 2)
    assert angle[-1] == pytest.approx(np.pi / teeth, rel=1e-12)
    half = slice(len(x) // 2, None)
    assert (np.diff(radius[half]) <= 1e-9).all()
    assert (np.diff(angle[half]) >= -1e-12).all()
    thickness = 2 * np.interp(-gear.reference_diameter_mm / 2, -radius[half], angle[half])
    transverse = gear.tooth_thickness_mm / np.cos(np.radians(helix))
    assert thickness * gear.reference_diameter_mm / 2 == pytest.approx(transverse, rel=2e-3)


def test_tip_corner_is_the_tip_thickness():
    outline, gear = outline_of()
    radius = np.hypot(outline.x_mm, outline.y_mm)
    at_tip = radius > gear.tip_diameter_mm / 2 - 1e-9
    arc = np.ptp(np.arctan2(outline.x_mm, outline.y_mm)[at_tip]) * gear.tip_diameter_mm / 2
    assert arc == pytest.approx(gear.tip_thickness_mm)


def test_protuberance_cuts_in_and_stock_beyond_it_leaves_a_step():
    rack = {"rack_dedendum": 1.4, "rack_root_radius": 0.35}
    plain, _ = outline_of(**rack)
    cut, _ = outline_of(**rack, protuberance_mm=0.2, stock_min_mm=0.1, stock_max_mm=0.16)
    step, _ = outline_of(**rack, protuberance_mm=0.1, stock_min_mm=0.15, stock_max_mm=0.25)
    assert cut.form_diameter_mm > plain.form_diameter_mm == step.form_diameter_mm
    j = step.join
    assert step.excess_mm == pytest.approx(-0.1)
    width = np.hypot(step.x_mm[j + 1] - step.x_mm[j], step.y_mm[j + 1] - step.y_mm[j])
    assert 0.1 < width < 0.11
    assert np.hypot(step.x_mm[j + 1], step.y_mm[j + 1]) == pytest.approx(step.form_diameter_mm / 2)
    at = np.hypot(cut.x_mm[cut.join + 1] - cut.x_mm[cut.join], cut.y_mm[cut.join + 1] - cut.y_mm[cut.join])
    assert at < 1e-6


def test_samples_stand_before_the_points():
    shift = np.array([0.0, 0.3])
    together, _ = outline_of(shift=shift)
    alone, _ = outline_of(shift=0.3)
    assert together.x_mm.shape == (2, 200)
    assert together.x_mm[1] == pytest.approx(alone.x_mm)
    assert together.y_mm[1] == pytest.approx(alone.y_mm)
    assert disagreements(alone)[0] == []


def test_a_pointed_tooth_has_no_outline():
    outline, _ = outline_of(tip=144.0)
    assert np.isnan(outline.x_mm).all()
    assert "gear.pointed" in {notice.key for notice in outline.stops}


@pytest.mark.parametrize("points", [15, 14, 0])
def test_the_number_of_points_is_even_and_enough(points):
    with pytest.raises(InputError, match="points"):
        outline_of(points=points)
