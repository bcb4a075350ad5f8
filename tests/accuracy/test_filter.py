"""The Gaussian filter: what it keeps of a wave, straight lines, uneven places, points that do not count."""

import tracemalloc

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.accuracy.filter import _neighbours, smoothed_trace
from gearcheck.basics.errors import InputError
from tests.checks import cases, holds

HOME = "gearcheck.accuracy.filter:smoothed_trace"
PLACE = np.linspace(0, 10, 201)
RUGGED = (7 * np.arange(201) ** 2 + 3 * np.arange(201)) % 11 - 5.0


def inputs_of(check):
    cut_off = check.inputs["cut_off_mm"]
    if "wave_mm" in check.inputs:
        place = np.linspace(-20, 20, 8001)
        waves = np.array([np.cos(2 * np.pi * place / wave) for wave in check.inputs["wave_mm"]])
        found = smoothed_trace(place_mm=place, deviation_um=waves, cut_off_mm=cut_off)
        return {"kept": found.smoothed_um[:, 4000]}
    if "rise_um_mm" in check.inputs:
        found = smoothed_trace(
            place_mm=PLACE, deviation_um=PLACE * check.inputs["rise_um_mm"], cut_off_mm=cut_off
        )
        return {"first": found.smoothed_um[0], "last": found.smoothed_um[-1]}
    found = smoothed_trace(place_mm=PLACE, deviation_um=RUGGED, cut_off_mm=cut_off)
    return {"at": found.smoothed_um[[40, 100, 150]]}


@pytest.mark.parametrize("check", cases("traces", HOME), ids=str)
def test_cited_values(check):
    holds(check, **inputs_of(check))


@given(
    st.lists(st.floats(0.01, 1.0), min_size=5, max_size=60),
    st.floats(-5, 5),
    st.floats(-50, 50),
    st.floats(0.05, 5),
)
def test_a_line_goes_through_at_any_spacing(steps, rise, height, cut_off):
    place = np.cumsum(steps)
    line = height + rise * place
    found = smoothed_trace(place_mm=place, deviation_um=line, cut_off_mm=cut_off)
    np.testing.assert_allclose(found.smoothed_um, line, atol=1e-8)


def test_a_wave_on_uneven_places_keeps_what_it_keeps_on_even_ones():
    place = np.linspace(0, 10, 2001)
    uneven = place + 0.3 * np.sin(2 * np.pi * place / 10) / (2 * np.pi)
    for where in (place, uneven):
        wave = np.cos(2 * np.pi * where / 0.8)
        found = smoothed_trace(place_mm=where, deviation_um=wave, cut_off_mm=0.8)
        inside = (where > 1) & (where < 9)
        np.testing.assert_allclose(found.smoothed_um[inside], 0.5 * wave[inside], atol=2e-3)


def test_points_that_do_not_count_change_nothing_and_have_no_value():
    spiked = RUGGED.copy()
    spiked[90:93] = 500.0
    kept = np.ones(201, dtype=bool)
    kept[90:93] = False
    found = smoothed_trace(place_mm=PLACE, deviation_um=spiked, cut_off_mm=0.8, kept=kept)
    missing = np.where(kept, RUGGED, np.nan)
    same = smoothed_trace(place_mm=PLACE, deviation_um=missing, cut_off_mm=0.8)
    np.testing.assert_array_equal(found.smoothed_um, same.smoothed_um)
    assert np.isnan(found.smoothed_um[90:93]).all()
    assert np.abs(found.smoothed_um[kept]).max() < 10


def test_each_trace_has_its_own_places_and_cut_off_and_none_leaves_it_as_it_is():
    both = np.stack([PLACE, PLACE * 2])
    cut_off = np.array([0.8, 3.0])
    found = smoothed_trace(place_mm=both, deviation_um=RUGGED, cut_off_mm=cut_off)
    for row in range(2):
        alone = smoothed_trace(place_mm=both[row], deviation_um=RUGGED, cut_off_mm=cut_off[row])
        np.testing.assert_allclose(found.smoothed_um[row], alone.smoothed_um, atol=1e-12)
    bare = smoothed_trace(place_mm=PLACE, deviation_um=RUGGED, cut_off_mm=np.nan)
    np.testing.assert_array_equal(bare.smoothed_um, RUGGED)
    mixed = smoothed_trace(place_mm=PLACE, deviation_um=RUGGED, cut_off_mm=[np.nan, 0.8])
    np.testing.assert_array_equal(mixed.smoothed_um[0], RUGGED)


def test_a_shorter_trace_that_is_filled_up_is_the_same_trace():
    filled = np.concatenate([PLACE, [np.nan] * 7])
    found = smoothed_trace(
        place_mm=filled, deviation_um=np.concatenate([RUGGED, [np.nan] * 7]), cut_off_mm=0.8
    )
    alone = smoothed_trace(place_mm=PLACE, deviation_um=RUGGED, cut_off_mm=0.8)
    np.testing.assert_allclose(found.smoothed_um[:201], alone.smoothed_um, atol=1e-12)
    assert np.isnan(found.smoothed_um[201:]).all()


@pytest.mark.parametrize(
    ("place", "cut_off", "said"),
    [
        ([0, 2, 1], 0.8, "rise from point to point"),
        ([0, 1, 1], 0.8, "rise from point to point"),
        ([0, np.nan, 1], 0.8, "rise from point to point"),
        ([0, 1, 2], 0.0, "above 0 mm"),
        (3.0, 0.8, "two points or more"),
    ],
)
def test_what_is_refused(place, cut_off, said):
    with pytest.raises(InputError, match=said):
        smoothed_trace(place_mm=place, deviation_um=[1.0, 2.0, 3.0], cut_off_mm=cut_off)


def test_two_points_close_together_do_not_widen_every_window():
    """A probe that dwells at the start of a trace must not cost the square of its points."""
    place = np.unique(np.concatenate([[0.0, 1e-4], np.linspace(0.1, 45.0, 2000)]))
    assert _neighbours(place, np.asarray(1.4)) < 70
    assert _neighbours(np.array([0.0, 1.0, 2.0, np.nan]), np.asarray(1.0)) == 1


def test_very_dense_traces_are_filtered_in_bounded_memory():
    place = np.linspace(0, 45, 20_000)
    waves = np.stack([np.cos(2 * np.pi * place / 1.5), np.cos(2 * np.pi * place / 0.75)])
    tracemalloc.start()
    try:
        found = smoothed_trace(place_mm=place, deviation_um=waves, cut_off_mm=1.5)
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    inside = slice(1000, -1000)
    np.testing.assert_allclose(found.smoothed_um[0, inside], waves[0, inside] / 2, atol=1e-3)
    np.testing.assert_allclose(found.smoothed_um[1, inside], waves[1, inside] / 16, atol=1e-3)
    assert most < 100e6


@pytest.mark.parametrize("at_once", [1, 200, 1000])
def test_it_makes_no_difference_how_many_points_are_worked_on_at_once(monkeypatch, at_once):
    both, cut_off = np.stack([PLACE, PLACE * 2]), np.array([0.8, 3.0])
    whole = smoothed_trace(place_mm=both, deviation_um=RUGGED, cut_off_mm=cut_off)
    monkeypatch.setattr("gearcheck.accuracy.filter._BLOCK", at_once)
    found = smoothed_trace(place_mm=both, deviation_um=RUGGED, cut_off_mm=cut_off)
    np.testing.assert_array_equal(found.smoothed_um, whole.smoothed_um)
