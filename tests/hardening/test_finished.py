"""Case depth before and after grinding."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.hardening.finished import as_treated_case, finished_case
from tests.checks import cases, holds


@pytest.mark.parametrize("check", cases("hardening", "gearcheck.hardening.finished:finished_case"), ids=str)
def test_what_the_grind_leaves(check):
    finished = finished_case(**check.inputs)
    holds(check, least_mm=finished.least_mm, largest_mm=finished.largest_mm)


@pytest.mark.parametrize("check", cases("hardening", "gearcheck.hardening.finished:as_treated_case"), ids=str)
def test_what_the_furnace_must_hold(check):
    treated = as_treated_case(**check.inputs)
    holds(check, least_mm=treated.least_mm, largest_mm=treated.largest_mm, window_mm=treated.window_mm)


@given(least=st.floats(0.2, 2), width=st.floats(0.11, 1), stock=st.floats(0, 0.3), spread=st.floats(0, 0.1))
def test_there_and_back(least, width, stock, spread):
    stocks = {"stock_min_mm": stock, "stock_max_mm": stock + spread}
    treated = as_treated_case(finished_min_mm=least, finished_max_mm=least + width, **stocks)
    assert treated.window_mm == pytest.approx(width - spread, abs=2e-9)
    finished = finished_case(
        as_treated_min_mm=treated.least_mm, as_treated_max_mm=treated.largest_mm, **stocks
    )
    assert (finished.least_mm, finished.largest_mm) == pytest.approx((least, least + width), abs=2e-9)


def test_stock_that_varies_more_than_the_window_leaves_none():
    treated = as_treated_case(
        finished_min_mm=0.8, finished_max_mm=[0.9, 1.0], stock_min_mm=0.05, stock_max_mm=0.2
    )
    assert np.isnan(treated.window_mm).tolist() == [True, False]
    assert np.isnan(treated.least_mm).tolist() == [True, False]
    assert "stock varies by 0.15 mm, the finished case may vary by 0.1 mm" in treated.stops[0].text


def test_a_case_ground_through_stops():
    finished = finished_case(as_treated_min_mm=0.2, as_treated_max_mm=0.5, stock_min_mm=0.1, stock_max_mm=0.2)
    assert finished.least_mm is None
    assert finished.largest_mm == pytest.approx(0.4)
    assert "stock of 0.2 mm" in finished.stops[0].text


def test_windows_upside_down_stop():
    finished = finished_case(
        as_treated_min_mm=[1.0, 1.4], as_treated_max_mm=1.2, stock_min_mm=0.1, stock_max_mm=0.2
    )
    assert np.isnan(finished.least_mm).tolist() == [False, True]
    assert finished.stops[0].text == "The window as treated is upside down: least 1.4 mm, largest 1.2 mm."
    treated = as_treated_case(finished_min_mm=0.8, finished_max_mm=1.2, stock_min_mm=0.2, stock_max_mm=0.1)
    assert treated.window_mm is None
    assert [notice.key for notice in treated.stops] == ["case.finished_window.upside_down"]


def test_a_length_below_0_is_refused():
    with pytest.raises(InputError, match="stock_min_mm"):
        finished_case(as_treated_min_mm=1, as_treated_max_mm=1.2, stock_min_mm=-0.1, stock_max_mm=0.2)


@pytest.mark.parametrize(("treated", "stock", "left"), [(1.9, 0.3, 1.6), (1.4, 0.1, 1.3), (1.1, 0.2, 0.9)])
def test_a_difference_of_drawn_decimals_is_exact(treated, stock, left):
    finished = finished_case(
        as_treated_min_mm=treated, as_treated_max_mm=treated, stock_min_mm=stock, stock_max_mm=stock
    )
    assert (finished.least_mm, finished.largest_mm) == (left, left)


def test_windows_of_one_width_leave_none():
    treated = as_treated_case(finished_min_mm=0.9, finished_max_mm=1.0, stock_min_mm=0.1, stock_max_mm=0.2)
    assert treated.window_mm is None
