"""Pitch: hand sheet, a gear off its axis, closing, missing teeth, arrays."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.accuracy.harmonics import pitch_harmonics
from gearcheck.accuracy.pitch import pitch_deviations
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from tests.accuracy.eccentric import eccentric_pitch
from tests.checks import cases, holds

LEFT, RIGHT = np.array([3.0, -1, -4, 2, 1, -1]), np.array([1.0, 2, -3, 0, 2, -2])
FLANK_NAMES = ("single_pitch_um", "cumulative_pitch_um", "adjacent_um", "mean_um")
flanks = st.integers(5, 40).flatmap(
    lambda teeth: st.tuples(
        *(st.lists(st.floats(-30, 30), min_size=teeth, max_size=teeth).map(np.array) for _ in range(2))
    )
)


@pytest.mark.parametrize("check", cases("accuracy", "gearcheck.accuracy.pitch:pitch_deviations"), ids=str)
def test_cited_values(check):
    inputs = dict(check.inputs)
    if "eccentricity_mm" in inputs:
        left, right, angle = eccentric_pitch(**inputs)
        inputs = {"left_um": left, "right_um": right, "transverse_pressure_angle_deg": angle}
    found = pitch_deviations(**inputs)
    holds(check, **{name: getattr(found, f"{name}_um") for name in check.expected})


@pytest.mark.parametrize("eccentricity", [0.002, 0.01, 0.05])
@pytest.mark.parametrize("helix_angle", [0.0, 30.0])
def test_runout_is_twice_the_eccentricity(eccentricity, helix_angle):
    left, right, angle = eccentric_pitch(
        teeth=24,
        normal_module_mm=4.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=helix_angle,
        eccentricity_mm=eccentricity,
        measuring_circle=1.0,
    )
    found = pitch_deviations(left_um=left, right_um=right, transverse_pressure_angle_deg=angle)
    assert found.runout_um == pytest.approx(2000 * eccentricity, rel=1e-3)
    # the gear lies off towards the space behind tooth 1, where a ball stands furthest out
    assert np.argmax(found.radial_um) == 0


@pytest.mark.parametrize(
    ("shift", "circle", "share"), [(0.3, 1.0, 0.021), (-0.3, 1.0, 0.021), (0.3, 1.025, 0.005)]
)
def test_a_space_that_is_not_half_a_pitch_wide_costs_what_is_said(shift, circle, share):
    left, right, angle = eccentric_pitch(
        teeth=24,
        normal_module_mm=4.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=0.0,
        eccentricity_mm=0.02,
        measuring_circle=circle,
        profile_shift=shift,
    )
    found = pitch_deviations(left_um=left, right_um=right, transverse_pressure_angle_deg=angle)
    assert found.runout_um == pytest.approx(40, rel=share)


@pytest.mark.parametrize(("teeth", "shift"), [(19, 0.4), (12, 0.5), (17, 0.3), (24, -0.3)])
@pytest.mark.parametrize("helix_angle", [0.0, 25.0])
def test_with_the_thickness_given_the_runout_is_twice_the_eccentricity(teeth, shift, helix_angle):
    left, right, angle = eccentric_pitch(
        teeth=teeth,
        normal_module_mm=4.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=helix_angle,
        eccentricity_mm=0.0175,
        measuring_circle=1.0,
        profile_shift=shift,
    )
    half = np.degrees((np.pi / 2 + 2 * shift * np.tan(np.radians(20.0))) / teeth)
    found = pitch_deviations(
        left_um=left, right_um=right, transverse_pressure_angle_deg=angle, tooth_half_angle_deg=half
    )
    # with an odd number of teeth no space lies opposite of the highest
    across = 1 + (np.cos(np.pi / teeth) if teeth % 2 else 1)
    assert found.runout_um == pytest.approx(17.5 * across, rel=2.5e-3)
    waves = pitch_harmonics(
        left_index_um=found.left_index_um,
        right_index_um=found.right_index_um,
        transverse_pressure_angle_deg=angle,
        tooth_half_angle_deg=half,
    )
    assert waves.eccentricity_um == pytest.approx(17.5, rel=2e-3)
    assert waves.unexplained_um == pytest.approx(0.0, abs=0.05)


def test_counting_the_other_way_would_show():
    left, right, angle = eccentric_pitch(
        teeth=12,
        normal_module_mm=4.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=0.0,
        eccentricity_mm=0.02,
        measuring_circle=1.0,
    )
    swapped = pitch_deviations(left_um=right, right_um=left, transverse_pressure_angle_deg=angle)
    assert swapped.runout_um != pytest.approx(40, rel=0.02)


@pytest.mark.parametrize(("mean", "level"), [(0.05, Level.NOTE), (0.5, Level.NOTE), (0.6, Level.CAUTION)])
def test_the_mean_is_taken_off_and_said(mean, level):
    closed = pitch_deviations(left_um=LEFT, right_um=RIGHT, transverse_pressure_angle_deg=20.0)
    open_ = pitch_deviations(left_um=LEFT + mean, right_um=RIGHT, transverse_pressure_angle_deg=20.0)
    assert not closed.notices
    assert open_.left_mean_um == pytest.approx(mean)
    np.testing.assert_allclose(open_.left_index_um, closed.left_index_um, atol=1e-12)
    (notice,) = open_.notices
    assert notice.level is level
    assert f"{mean:g} µm" in notice.text
    assert "left" in notice.text


def test_a_missing_tooth_is_named_and_leaves_no_value():
    found = pitch_deviations(
        left_um=np.where(np.arange(6) == 3, np.nan, LEFT), right_um=RIGHT, transverse_pressure_angle_deg=20.0
    )
    (stop,) = found.stops
    assert "tooth 4 on the left flanks" in stop.text
    assert found.left_single_pitch_um is None
    assert found.left_cumulative_pitch_um is None
    assert found.left_spoiling_tooth is None
    assert found.runout_um is None
    assert np.isnan(found.left_deviations_um).all()
    assert found.right_single_pitch_um == 3.0


def test_without_an_angle_there_is_no_runout_and_a_note_says_so():
    found = pitch_deviations(left_um=LEFT, right_um=RIGHT)
    assert found.runout_um is None
    assert found.left_cumulative_pitch_um == 5.0
    (note,) = found.notices
    assert note.level is Level.NOTE


@pytest.mark.parametrize("angle", [0.0, 9.99, 45.01, -20.0])
def test_an_angle_that_is_no_wedge_stops_the_runout(angle):
    found = pitch_deviations(left_um=LEFT, right_um=RIGHT, transverse_pressure_angle_deg=angle)
    assert found.runout_um is None
    assert len(found.stops) == 1


@pytest.mark.parametrize("teeth", [1, 4, 1001])
def test_too_few_or_too_many_teeth_stop(teeth):
    found = pitch_deviations(left_um=np.zeros(teeth), right_um=np.zeros(teeth))
    assert found.left_single_pitch_um is None
    assert found.left_spoiling_tooth is None
    assert len(found.stops) == 1


@pytest.mark.parametrize(
    ("left", "right"),
    [([], []), (1.0, 1.0), (LEFT, RIGHT[:5]), (LEFT, np.full(6, np.inf)), (None, RIGHT)],
    ids=["empty", "no teeth", "unequal", "infinite", "nothing"],
)
def test_what_cannot_be_evaluated_is_refused(left, right):
    with pytest.raises(InputError):
        pitch_deviations(left_um=left, right_um=right, transverse_pressure_angle_deg=20.0)


@given(flanks)
def test_what_holds_for_every_gear(both):
    left, right = both
    found = pitch_deviations(left_um=left, right_um=right, transverse_pressure_angle_deg=20.0)
    assert found.left_index_um[-1] == pytest.approx(0, abs=1e-9)
    assert found.left_single_pitch_um <= found.left_cumulative_pitch_um + 1e-9
    assert found.left_adjacent_um <= 2 * found.left_single_pitch_um + 1e-9
    place = found.left_spoiling_tooth - 1
    assert abs(found.left_deviations_um[place]) == found.left_single_pitch_um
    widest = found.left_cumulative_pitch_um + found.right_cumulative_pitch_um
    lean = np.radians(20 + 90 / len(left))
    assert found.runout_um <= widest * np.cos(np.radians(20)) / (2 * np.sin(lean)) + 1e-9


@given(flanks, st.integers(1, 39))
def test_the_tooth_that_is_counted_first_does_not_matter(both, turn):
    left, right = both
    angle = {"transverse_pressure_angle_deg": 22.0}
    found = pitch_deviations(left_um=left, right_um=right, **angle)
    turned = pitch_deviations(left_um=np.roll(left, turn), right_um=np.roll(right, turn), **angle)
    for name in ("left_cumulative_pitch_um", "right_adjacent_um", "runout_um"):
        assert getattr(turned, name) == pytest.approx(getattr(found, name), abs=1e-9)


@given(flanks)
def test_a_gear_turned_over_swaps_its_flanks(both):
    """Seen from the other face the teeth count the other way: pitch by pitch, left becomes right."""
    left, right = both
    found = pitch_deviations(left_um=left, right_um=right, transverse_pressure_angle_deg=20.0)
    over = pitch_deviations(left_um=right[::-1], right_um=left[::-1], transverse_pressure_angle_deg=20.0)
    assert over.left_cumulative_pitch_um == pytest.approx(found.right_cumulative_pitch_um, abs=1e-9)
    assert over.runout_um == pytest.approx(found.runout_um, abs=1e-9)


def test_samples_stand_before_the_teeth():
    factors = np.array([1.0, 2.0, np.nan])[:, None]
    found = pitch_deviations(
        left_um=LEFT * factors,
        right_um=RIGHT * factors,
        transverse_pressure_angle_deg=np.array([20, 25, 20.0]),
    )
    assert found.left_cumulative_pitch_um[:2].tolist() == [5.0, 10.0]
    assert np.isnan(found.left_cumulative_pitch_um[2])
    assert found.left_spoiling_tooth.tolist() == [3, 3, 0]
    alone = pitch_deviations(left_um=LEFT * 2, right_um=RIGHT * 2, transverse_pressure_angle_deg=25.0)
    assert found.runout_um[1] == alone.runout_um
    for name in FLANK_NAMES:
        assert getattr(found, f"right_{name}").shape == (3,)


def test_the_measured_values_are_left_alone():
    left = LEFT + 0.3
    kept = left.copy()
    pitch_deviations(left_um=left, right_um=RIGHT)
    assert (left == kept).all()
