"""Corner contact: the gap between a tip corner and the mate's flank, against points of both flanks."""

import numpy as np
import pytest

from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import pair_geometry
from gearcheck.meshing.corner import line_mm, rolls, touch

RACK = {
    "face_width_mm": 32,
    "rack_dedendum": 1.4,
    "rack_root_radius": 0.35,
    "protuberance_mm": 0.0,
    "stock_min_mm": 0.0,
    "stock_max_mm": 0.0,
    "profile_shift": 0.0,
}


def pair_of(kind):
    internal = kind == "internal"
    return pair_geometry(
        normal_module_mm=4,
        pressure_angle_deg=20,
        helix_angle_deg=0,
        centre_distance_mm=100 if internal else 120,
        pinion=Tooth(teeth=20, tip_diameter_mm=88, **RACK),
        wheel=Tooth(
            teeth=70 if internal else 40,
            tip_diameter_mm=273 if internal else 168,
            internal=internal,
            **RACK,
        ),
    )


def flank(base, rolled, limit):
    """Points of an involute: out to where the line of action leaves the base circle, and along the line."""
    turn = np.linspace(0, limit, 200001)
    angle, radius = rolled / base - turn + np.arctan(turn), base * np.hypot(1, turn)
    return radius * np.cos(angle), radius * np.sin(angle)


def least_gap(pair, place):
    """The least way round of the wheel's flank to any point of the pinion's, mm on the line of action."""
    base = pair.pinion_base_diameter_mm / 2, pair.wheel_base_diameter_mm / 2
    first, second = rolls(pair, np.array(place))
    limit = np.sqrt((pair.pinion_tip_diameter_mm / 2 / base[0]) ** 2 - 1)
    out, along = flank(base[0], first, limit)
    if pair.internal:
        out, along = out - base[0] + base[1], along + line_mm(pair)
    else:
        out, along = base[0] + base[1] - out, line_mm(pair) - along
    radius, angle = np.hypot(out, along), np.arctan2(along, out)
    tip = pair.wheel_tip_diameter_mm / 2
    on_flank = (radius >= base[1]) & (radius >= tip if pair.internal else radius <= tip)
    turn = np.sqrt(np.maximum((radius / base[1]) ** 2 - 1, 0))
    gap = pair.side * base[1] * (angle - (second / base[1] - turn + np.arctan(turn)))
    return gap[on_flank].min()


@pytest.mark.parametrize("kind", ["external", "internal"])
@pytest.mark.parametrize("past", [0.1, 0.5, 1.0])
def test_beyond_the_end_the_pinions_corner_is_as_far_away_as_its_points_say(kind, past):
    pair = pair_of(kind)
    place = pair.path_length_mm + past
    met = touch(pair, np.array([place]))
    assert met.gap[0] == pytest.approx(least_gap(pair, place), rel=1e-3)
    assert met.at_corner[0]
    assert met.pinion_radius[0] == pytest.approx(44.0)


@pytest.mark.parametrize("kind", ["external", "internal"])
@pytest.mark.parametrize("before", [0.1, 0.5])
def test_before_the_start_it_is_nearly_what_turning_the_other_gear_says(kind, before):
    # turning the pinion closes the gap of a wheel's corner a little sooner than turning the wheel
    pair = pair_of(kind)
    met = touch(pair, np.array([-before]))
    assert met.gap[0] == pytest.approx(least_gap(pair, -before), rel=0.05)
    assert met.wheel_radius[0] == pytest.approx(pair.wheel_tip_diameter_mm / 2)


@pytest.mark.parametrize("kind", ["external", "internal"])
def test_on_the_path_flanks_touch_and_the_gap_grows_from_nothing(kind):
    pair = pair_of(kind)
    on_path = touch(pair, np.linspace(0, pair.path_length_mm, 5))
    assert not on_path.gap.any()
    assert not on_path.at_corner.any()
    assert on_path.pinion_radius[-1] == pytest.approx(pair.pinion_tip_diameter_mm / 2)
    assert on_path.wheel_radius[0] == pytest.approx(pair.wheel_tip_diameter_mm / 2)
    past = np.array([1e-4, 1e-3, 1e-2])
    for beyond in (pair.path_length_mm + past, -past):
        gap = touch(pair, beyond).gap
        assert (np.diff(gap) > 0).all()
        assert gap[1] / gap[0] == pytest.approx(100, rel=0.02)  # by the square of the way
