"""The path of contact: a hand sheet, and the identities of the involute."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.gear.path import contact_path
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.gear.gears import closed_pair, equal_pair, tooth

PAIRS = {
    "module": st.floats(0.8, 20.0),
    "helix": st.floats(0.0, 35.0),
    "teeth": st.tuples(st.integers(16, 60), st.integers(16, 150)),
    "shifts": st.tuples(st.floats(0.0, 0.6), st.floats(0.0, 0.6)),
}


@pytest.mark.parametrize("check", cases("gear", "gearcheck.gear.path:contact_path"), ids=str)
def test_two_equal_gears(check):
    inputs = check.inputs
    gear = tooth(inputs["teeth"], 0.0, inputs["tip_diameter_mm"])
    path = contact_path(
        pair=equal_pair(centre_distance_mm=inputs["centre_distance_mm"], pinion=gear, wheel=gear), points=3
    )
    holds(
        check,
        start_radius_mm=path.pinion_radius_mm[0],
        pitch_radius_mm=path.pinion_radius_mm[1],
        end_radius_mm=path.pinion_radius_mm[2],
        reduced_radius_mm=path.reduced_radius_mm,
        pinion_sliding_at_start=path.pinion_sliding[0],
        sliding_speed_at_start=path.sliding_speed[0],
    )


@given(**PAIRS)
def test_identities_along_the_path(**given_pair):
    pair = closed_pair(**given_pair)
    assume(not pair.stops)
    path = contact_path(pair=pair)
    line = pair.centre_distance_mm * np.sin(np.radians(pair.working_pressure_angle_deg))
    assert path.pinion_radius_mm.shape == (41,)
    assert (path.pinion_radius_mm > 0).all()
    assert (path.wheel_radius_mm > 0).all()
    assert path.pinion_radius_mm + path.wheel_radius_mm == pytest.approx(line)
    length = path.mark_E_mm - path.mark_A_mm
    assert length == pytest.approx(pair.transverse_contact_ratio * pair.base_pitch_mm)
    assert path.mark_D_mm - path.mark_A_mm == pytest.approx(path.mark_E_mm - path.mark_B_mm)
    assert path.mark_A_mm < path.mark_C_mm < path.mark_E_mm
    assert path.pinion_diameter_mm[-1] == pytest.approx(pair.pinion.tip_diameter_mm)
    assert path.wheel_diameter_mm[0] == pytest.approx(pair.wheel.tip_diameter_mm)
    assert path.pinion_diameter_mm[0] == pytest.approx(pair.pinion.start_of_active_profile_mm)
    assert path.wheel_diameter_mm[-1] == pytest.approx(pair.wheel.start_of_active_profile_mm)
    assert (np.diff(path.sliding_speed) > 0).all()
    assert path.pinion_sliding[0] == pytest.approx(pair.pinion.start_sliding)
    assert path.wheel_sliding[0] == pytest.approx(pair.wheel.tip_sliding)


@given(**PAIRS)
def test_nothing_slides_at_the_pitch_point(**given_pair):
    pair = closed_pair(**given_pair)
    assume(not pair.stops)
    path = contact_path(pair=pair, points=5001)
    for values in (path.sliding_speed, path.pinion_sliding, path.wheel_sliding):
        assert np.interp(path.mark_C_mm, path.position_mm, values) == pytest.approx(0.0, abs=1e-5)
    at_pitch_point = np.interp(path.mark_C_mm, path.position_mm, path.reduced_radius_mm)
    assert at_pitch_point == pytest.approx(pair.reduced_radius_mm, rel=1e-5)
    diameter = np.interp(path.mark_C_mm, path.position_mm, path.pinion_diameter_mm)
    assert diameter == pytest.approx(pair.pinion.working_pitch_diameter_mm, rel=1e-5)


@given(**PAIRS)
def test_the_printed_formulas_are_those_of_the_code(**given_pair):
    pair = closed_pair(**given_pair)
    assume(not pair.stops)
    assert disagreements(contact_path(pair=pair))[0] == []


def test_samples_stand_before_the_points():
    distance = np.array([120.0, 120.2, 125.0])
    path = contact_path(pair=equal_pair(centre_distance_mm=distance), points=7)
    assert path.position_mm.shape == path.reduced_radius_mm.shape == (3, 7)
    assert path.mark_C_mm.shape == (3,)
    alone = contact_path(pair=equal_pair(centre_distance_mm=120.2), points=7)
    assert path.reduced_radius_mm[1] == pytest.approx(alone.reduced_radius_mm)
    assert path.wheel_sliding[1] == pytest.approx(alone.wheel_sliding)
    assert np.isnan(path.pinion_radius_mm[2]).all()
    assert [notice.key for notice in path.stops] == ["pair.contact_ratio"]


def test_a_path_has_two_ends():
    with pytest.raises(InputError, match="points"):
        contact_path(pair=equal_pair(), points=1)
