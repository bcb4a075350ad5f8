"""The window of the case depth, and the numbers that would open one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.hardening.case_window import case_window
from gearcheck.hardening.finished import as_treated_case
from tests.checks import cases, holds

WINDOW = "gearcheck.hardening.case_window:case_window"
CLOSED = {
    "finished_min_mm": 0.8,
    "finished_max_mm": 1.0,
    "stock_min_mm": 0.08,
    "stock_max_mm": 0.2,
    "furnace_tolerance_mm": 0.1,
}
OPENS = {
    "finished_min_mm": "largest_needed_min_mm",
    "finished_max_mm": "least_allowed_max_mm",
    "stock_max_mm": "largest_stock_mm",
    "furnace_tolerance_mm": "largest_tolerance_mm",
}


@pytest.mark.parametrize("check", cases("grinding", WINDOW), ids=str)
def test_window_and_what_opens_it(check):
    found = case_window(**check.inputs)
    holds(
        check,
        ends=[found.least_mm, found.largest_mm],
        spare=found.spare_mm,
        tolerance=found.largest_tolerance_mm,
        stock=found.largest_stock_mm,
        distortion=found.less_distortion_mm,
        allowed=found.least_allowed_max_mm,
        needed=found.largest_needed_min_mm,
    )


drawings = st.fixed_dictionaries(
    {
        "finished_min_mm": st.floats(0.3, 1.5),
        "width": st.floats(0, 0.6),
        "stock_min_mm": st.floats(0, 0.15),
        "range": st.floats(0, 0.3),
        "furnace_tolerance_mm": st.floats(0, 0.2),
        "tip_limit_mm": st.one_of(st.none(), st.floats(0.5, 2.5)),
        "tip_ratio": st.floats(1, 1.4),
        "root_min_mm": st.one_of(st.none(), st.floats(0.2, 1.2)),
        "root_ratio": st.floats(0.6, 1),
    }
).map(
    lambda drawn: {
        **{name: value for name, value in drawn.items() if name not in ("width", "range")},
        "finished_max_mm": drawn["finished_min_mm"] + drawn["width"],
        "stock_max_mm": drawn["stock_min_mm"] + drawn["range"],
    }
)


def gap(drawing):
    """The window less what the furnace needs, from the ends alone."""
    least = drawing["finished_min_mm"] + drawing["stock_max_mm"]
    largest = drawing["finished_max_mm"] + drawing["stock_min_mm"]
    if drawing["root_min_mm"] is not None:
        least = max(least, drawing["root_min_mm"] / drawing["root_ratio"])
    if drawing["tip_limit_mm"] is not None:
        largest = min(largest, drawing["tip_limit_mm"] / drawing["tip_ratio"])
    return largest - least - 2 * drawing["furnace_tolerance_mm"]


@given(drawing=drawings)
def test_each_number_alone_opens_the_window_exactly(drawing):
    found = case_window(**drawing)
    assert found.spare_mm == pytest.approx(gap(drawing), abs=2e-9)
    for name, bound in OPENS.items():
        value = getattr(found, bound)
        if value is not None:
            assert gap({**drawing, name: value}) == pytest.approx(0, abs=1e-8)
    less = found.less_distortion_mm
    if less is not None:
        closer = {
            "stock_min_mm": drawing["stock_min_mm"] + less,
            "stock_max_mm": drawing["stock_max_mm"] - less,
        }
        assert gap({**drawing, **closer}) >= -1e-8
        assert less == 0 or gap({**drawing, **closer}) == pytest.approx(0, abs=1e-8)


@given(drawing=drawings)
def test_where_no_number_is_given_that_input_alone_opens_nothing(drawing):
    found = case_window(**drawing)
    even = {"stock_max_mm": drawing["stock_min_mm"], "finished_max_mm": 10.0, "furnace_tolerance_mm": 0.0}
    for name, extreme in {**even, "finished_min_mm": 0.0}.items():
        if getattr(found, OPENS[name]) is None:
            assert gap({**drawing, name: extreme}) <= 1e-8
    if found.less_distortion_mm is None:
        middle = (drawing["stock_min_mm"] + drawing["stock_max_mm"]) / 2
        assert gap({**drawing, "stock_min_mm": middle, "stock_max_mm": middle}) <= 1e-8


def test_an_open_window_is_that_of_the_finished_case():
    drawing = {**CLOSED, "finished_max_mm": 1.3}
    found = case_window(**drawing)
    treated = as_treated_case(**{name: drawing[name] for name in list(drawing)[:4]})
    assert (found.least_mm, found.largest_mm) == (treated.least_mm, treated.largest_mm)
    assert found.window_mm == treated.window_mm
    assert found.aim_mm == pytest.approx((treated.least_mm + treated.largest_mm) / 2)
    assert found.notices == ()


def test_a_closed_window_says_what_has_to_give():
    found = case_window(**CLOSED)
    assert found.least_mm is None
    assert found.aim_mm is None
    text = found.stops[0].text
    assert "0.08 mm as treated, 0.12 mm less than the furnace needs" in text
    for words in (
        "a largest stock of 0.08 mm",
        "distortion smaller by 0.06 mm either way",
        "a furnace that holds ±0.04 mm",
        "an allowed finished maximum of 1.12 mm",
        "a needed finished minimum of 0.68 mm",
    ):
        assert words in text


def test_no_single_input_opens_it():
    found = case_window(**CLOSED, tip_limit_mm=0.9, root_min_mm=1.0)
    assert "no single input opens it" in found.stops[0].text


def test_upside_down_has_no_window():
    found = case_window(**{**CLOSED, "finished_max_mm": [0.7, 1.3]})
    assert np.isnan(found.spare_mm).tolist() == [True, False]
    assert np.isnan(found.largest_stock_mm).tolist() == [True, False]
    assert [notice.key for notice in found.stops] == ["case.finished_window.upside_down"]


def test_one_call_equals_many():
    tolerances, stocks = np.array([0.02, 0.05, 0.1]), np.array([[0.1], [0.2]])
    whole = case_window(**{**CLOSED, "furnace_tolerance_mm": tolerances, "stock_max_mm": stocks})
    for row, column in np.ndindex(2, 3):
        changed = {"furnace_tolerance_mm": tolerances[column], "stock_max_mm": stocks[row, 0]}
        one = case_window(**{**CLOSED, **changed})
        assert whole.spare_mm[row, column] == one.spare_mm
        least = whole.least_mm[row, column]
        assert np.isnan(least) if one.least_mm is None else least == one.least_mm


def test_what_makes_no_sense_is_refused():
    with pytest.raises(InputError, match="stock_max_mm"):
        case_window(**{**CLOSED, "stock_max_mm": -0.1})
    with pytest.raises(InputError) as refused:
        case_window(**CLOSED, tip_ratio=0, root_ratio=0)
    assert [fault.field for fault in refused.value.faults] == ["tip_ratio", "root_ratio"]
