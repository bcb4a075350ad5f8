"""The stock that brings flanks into true: hand sheets, signs of both flanks, gaps, arrays."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.accuracy.correction import class_correction, correction_stock
from gearcheck.accuracy.inputs import Flank, ToothTraces
from gearcheck.basics.errors import InputError
from tests.checks import cases, holds

ROOM = "gearcheck.accuracy.correction"
USUAL = {"measuring_pressure_angle_deg": 20.0, "base_diameter_mm": 100.0, "face_width_mm": 20.0}
AT = 50 * np.tan(np.radians(20))


@pytest.mark.parametrize("check", cases("accuracy", f"{ROOM}:class_correction"), ids=str)
def test_cited_values_of_a_class(check):
    found = class_correction(**check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


def traces():
    """Teeth 2 and 5 of the hand sheet; all traces count 0 at the measuring circle, in the middle."""
    roll = AT + np.array([-5.0, 0.0, 5.0])
    profile = ToothTraces(tooth=[2, 5], place_mm=roll, deviation_um=[[3, 0, 1], [0, 0, -1]])
    helix = ToothTraces(tooth=[2, 5], place_mm=[0.0, 10, 20], deviation_um=[[0, 0, 2], [-4, 0, -2]])
    return {"profile": profile, "helix": helix}


@pytest.mark.parametrize("check", cases("accuracy", f"{ROOM}:correction_stock"), ids=str)
def test_cited_values_of_measured_flanks(check):
    found = correction_stock(**check.inputs, flank=Flank.RIGHT, **traces())
    holds(check, **{name: getattr(found, name) for name in check.expected})
    assert (found.highest_tooth, found.lowest_tooth) == (2, 5)
    mirrored = {**check.inputs, "index_um": -np.array(check.inputs["index_um"])}
    left = correction_stock(**mirrored, flank=Flank.LEFT, **traces())
    assert left.stock_um == pytest.approx(found.stock_um)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-40, 40), min_size=8, max_size=8).map(np.array), st.floats(-9, 9))
def test_a_common_turn_of_all_teeth_costs_nothing(index, turn):
    first = correction_stock(index_um=index, flank=Flank.LEFT, **USUAL)
    turned = correction_stock(index_um=index + turn, flank=Flank.LEFT, **USUAL)
    assert turned.stock_um == pytest.approx(first.stock_um, abs=1e-9)
    assert first.stock_um == pytest.approx(np.ptp(index) * np.cos(np.radians(20)), abs=1e-9)


def test_a_gear_within_its_class_never_needs_more_than_the_class_says():
    rng = np.random.default_rng(5)
    roll, face = AT + np.linspace(-6, 6, 60), np.linspace(0, 20, 50)
    for _ in range(20):
        index, profile, helix = rng.normal(0, 6, 17), rng.normal(0, 2, (3, 60)), rng.normal(0, 2, (3, 50))
        found = correction_stock(
            index_um=index,
            flank=Flank.RIGHT,
            profile=ToothTraces(tooth=[1, 6, 12], place_mm=roll, deviation_um=profile),
            helix=ToothTraces(tooth=[1, 6, 12], place_mm=face, deviation_um=helix),
            **USUAL,
        )
        # a tooth may lie anywhere within its total: twice, since where it counts 0 may be its top or bottom
        most = class_correction(
            cumulative_pitch_um=np.ptp(index),
            profile_total_um=2 * np.ptp(profile, axis=1).max(),
            helix_total_um=2 * np.ptp(helix, axis=1).max(),
            measuring_pressure_angle_deg=20,
        )
        assert found.stock_um <= most.stock_um


def test_a_tooth_that_was_not_measured_counts_with_the_worst():
    found = correction_stock(index_um=[0.0, 0, 0, 0, 0, 0, 20.0], flank=Flank.RIGHT, **{**USUAL, **traces()})
    assert found.high_um == pytest.approx(20 * np.cos(np.radians(20)) + 3 + 2)


def test_what_is_not_asked_does_not_count_and_what_is_missing_stops():
    roll = AT + np.array([-5.0, -2.0, 0.0, 5.0])
    profile = ToothTraces(tooth=[1], place_mm=roll, deviation_um=[[np.nan, 2.0, 0.0, -1.0]])
    found = correction_stock(index_um=np.zeros(9), flank=Flank.LEFT, profile=profile, **USUAL)
    assert found.stock_um == pytest.approx(3.0)
    stopped = correction_stock(index_um=[0.0, np.nan, 0.0], flank=Flank.LEFT, **USUAL)
    assert stopped.stock_um is None
    assert "index deviation is missing" in stopped.stops[0].text


def test_samples_ride_in_front():
    index = np.random.default_rng(2).normal(0, 5, (3, 11))
    together = correction_stock(index_um=index, flank=Flank.RIGHT, **USUAL)
    alone = [correction_stock(index_um=one, flank=Flank.RIGHT, **USUAL) for one in index]
    np.testing.assert_allclose(together.stock_um, [one.stock_um for one in alone])
    np.testing.assert_allclose(together.highest_tooth, [one.highest_tooth for one in alone])


def test_bad_input():
    with pytest.raises(InputError, match="tooth from 1 to 5"):
        correction_stock(
            index_um=np.zeros(5),
            flank=Flank.LEFT,
            profile=ToothTraces(tooth=[6], place_mm=[0.0, 1], deviation_um=[[0.0, 1]]),
            **USUAL,
        )
    with pytest.raises(InputError, match="tolerance of 0"):
        class_correction(
            cumulative_pitch_um=-1, profile_total_um=1, helix_total_um=1, measuring_pressure_angle_deg=20
        )
