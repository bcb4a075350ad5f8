"""Once and twice a turn: a gear off its centre, waves put in, both flanks together, teeth around the gear."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.accuracy.harmonics import pitch_harmonics
from gearcheck.accuracy.pitch import pitch_deviations
from gearcheck.accuracy.turn import once_a_turn
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from tests.accuracy.eccentric import eccentric_pitch
from tests.checks import cases, holds

GEAR = {"teeth": 24, "normal_module_mm": 4.0, "pressure_angle_deg": 20.0, "measuring_circle": 1.0}


def off_centre(**given):
    left, right, angle = eccentric_pitch(**{**GEAR, **given})
    pitch = pitch_deviations(left_um=left, right_um=right, transverse_pressure_angle_deg=angle)
    return pitch, held(pitch.left_index_um, pitch.right_index_um, angle)


def held(left, right, angle=20.0):
    return pitch_harmonics(left_index_um=left, right_index_um=right, transverse_pressure_angle_deg=angle)


def waves(parts, teeth=24):
    turn = np.arange(teeth) * 360.0 / teeth
    return sum(size * np.cos(np.radians(order * turn - place)) for order, size, place in parts)


@pytest.mark.parametrize("check", cases("traces", "gearcheck.accuracy.harmonics:pitch_harmonics"), ids=str)
def test_cited_values(check):
    if "eccentricity_mm" in check.inputs:
        found = off_centre(**check.inputs)[1]
        holds(
            check,
            eccentricity=found.eccentricity_um,
            towards=found.eccentricity_deg,
            unexplained=found.unexplained_um,
        )
    elif "left" in check.inputs:
        found = held(waves(check.inputs["left"]), waves(check.inputs["right"]))
        holds(
            check,
            **{name: [getattr(found, f"{name}_{unit}") for unit in ("um", "deg")] for name in check.expected},
        )
    else:
        k = np.arange(check.inputs["teeth"])
        found = held((7 * k**2 + 3 * k) % 11 - 5.0, np.zeros(k.size))
        holds(check, first=found.left_first_um, second=found.left_second_um)


@pytest.mark.parametrize("check", cases("traces", "gearcheck.accuracy.turn:once_a_turn"), ids=str)
def test_cited_turns(check):
    found = once_a_turn(**check.inputs)
    holds(
        check,
        mean=found.mean_um,
        amplitude=found.amplitude_um,
        highest=found.highest_deg,
        rest=found.rest_um,
    )


@pytest.mark.parametrize("helix_angle", [0.0, 30.0])
def test_a_gear_off_its_centre_keeps_nothing_without_the_offset(helix_angle):
    pitch, found = off_centre(helix_angle_deg=helix_angle, eccentricity_mm=0.01)
    assert found.eccentricity_um == pytest.approx(10, abs=1e-4)
    assert pitch.left_cumulative_pitch_um > 21
    assert max(found.left_cumulative_pitch_um, found.right_cumulative_pitch_um) < 0.01
    assert pitch.runout_um == pytest.approx(20, abs=1e-3) and found.runout_um < 0.02
    angle = np.radians(found.transverse_pressure_angle_deg)
    assert found.left_first_um == pytest.approx(10 / np.cos(angle), rel=1e-5)


def test_both_flanks_moved_alike_are_no_offset():
    """A machine that indexes wrong once a turn leaves the spaces where they are, and the runout alone."""
    both = waves([(1, 8.0, 30.0)])
    found = held(both, both)
    assert found.unexplained_um > 1
    assert found.left_cumulative_pitch_um > 2
    radial = pitch_deviations(
        left_um=np.diff(both, prepend=both[-1]),
        right_um=np.diff(both, prepend=both[-1]),
        transverse_pressure_angle_deg=20.0,
    )
    assert radial.runout_um < 3 * found.eccentricity_um


@given(st.floats(0.1, 50), st.floats(0, 359), st.integers(5, 90), st.floats(12, 30))
def test_an_offset_put_in_comes_out(size, towards, teeth, angle):
    lean = np.radians(angle) - np.pi / (2 * teeth)
    away = np.radians(np.arange(teeth) * 360.0 / teeth - towards)
    right = size * np.sin(lean - away) / np.cos(np.radians(angle))
    left = -size * np.sin(lean + away) / np.cos(np.radians(angle))
    found = held(left, right, angle)
    assert found.eccentricity_um == pytest.approx(size, rel=1e-9)
    assert np.cos(np.radians(found.eccentricity_deg - towards)) == pytest.approx(1, abs=1e-9)
    assert found.unexplained_um < 1e-9 * size and found.left_cumulative_pitch_um < 1e-8 * size


def test_every_part_broadcasts():
    left, right = waves([(1, 3.0, 20.0)]), waves([(2, 3.0, 20.0)])
    both = held(np.stack([left, right]), np.stack([right, left]), np.array([18.0, 22.0]))
    for row, angle in enumerate((18.0, 22.0)):
        alone = held((left, right)[row], (right, left)[row], angle)
        for name in ("eccentricity_um", "left_first_um", "right_second_deg", "runout_um"):
            assert getattr(both, name)[row] == pytest.approx(getattr(alone, name), abs=1e-9)


def test_what_the_harmonics_refuse_and_what_stops_them():
    with pytest.raises(InputError, match="as many teeth as on the left"):
        held(np.zeros(20), np.zeros(21))
    stopped = held(np.ones(20), np.ones(20), 60.0)
    assert stopped.eccentricity_um is None and stopped.stops
    assert held(np.full(20, np.nan), np.ones(20)).left_first_um is None


def test_once_a_turn_from_few_teeth():
    found = once_a_turn(tooth=[1, 9], teeth=19, value_um=[1.0, 2.0])
    assert found.mean_um is None and found.stops[0].key == "traces.once_a_turn.few"
    three = once_a_turn(tooth=[1, 7, 13], teeth=19, value_um=[1.0, 2.0, -1.0])
    assert three.rest_um == pytest.approx(0, abs=1e-12)
    assert [one.level for one in three.notices] == [Level.NOTE]
    for tooth, value in (([0, 1, 2], [1.0, 2, 3]), ([1, 2, 30], [1.0, 2, 3]), ([1, 2, 3], [1.0, 2])):
        with pytest.raises(InputError):
            once_a_turn(tooth=tooth, teeth=19, value_um=value)


@given(st.floats(-9, 9), st.floats(0.1, 9), st.floats(0, 359), st.integers(4, 19))
def test_a_wave_put_in_comes_out_of_any_teeth(mean, size, place, count):
    tooth = np.unique(np.linspace(1, 19, count).astype(int))
    value = mean + size * np.cos(np.radians((tooth - 1) * 360 / 19 - place))
    found = once_a_turn(tooth=tooth, teeth=19, value_um=value)
    assert (found.mean_um, found.amplitude_um) == pytest.approx((mean, size), abs=1e-9)
    assert np.cos(np.radians(found.highest_deg - place)) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("sector", [0, 24, 2.5, -1])
def test_a_sector_that_is_none(sector):
    with pytest.raises(InputError, match="a whole number of pitches from 1 to 23"):
        pitch_deviations(left_um=np.zeros(24), right_um=np.zeros(24), sector_teeth=sector)


@given(st.lists(st.floats(-20, 20), min_size=6, max_size=40), st.integers(1, 5))
def test_a_sector_is_the_largest_sum_of_its_pitches(values, sector):
    single = np.array(values) - np.mean(values)
    found = pitch_deviations(left_um=values, right_um=values, sector_teeth=sector)
    sums = [sum(single[(start + k) % single.size] for k in range(sector)) for start in range(single.size)]
    assert found.left_sector_pitch_um == pytest.approx(np.abs(sums).max(), abs=1e-9)
