"""Tolerance factors: tables, independent recomputation, and how often such a limit holds."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.fatigue.tolerance_factor import tolerance_factor
from tests.checks import cases, holds


@pytest.mark.parametrize(
    "check", cases("fatigue_statistics", "gearcheck.fatigue.tolerance_factor:tolerance_factor"), ids=str
)
def test_factors(check):
    found = tolerance_factor(**check.inputs)
    known = {"k": found.factor, "k_N": found.closed_form, "a": found.spread_share, "b": found.mean_share}
    holds(check, **{name: known[name] for name in check.expected})


def test_such_a_limit_holds_as_often_as_it_says():
    sample = np.random.default_rng(4).normal(size=(40_000, 6))
    factor = tolerance_factor(specimens=6, reliability=0.9, confidence=0.8).factor
    limit = sample.mean(axis=1) - factor * sample.std(axis=1, ddof=1)
    assert (limit < -1.2815515655).mean() == pytest.approx(0.8, abs=0.006)


def test_one_specimen_has_no_factor():
    found = tolerance_factor(specimens=1, reliability=0.99, confidence=0.9)
    assert found.factor is None
    assert found.closed_form is None
    (stop,) = found.stops
    assert "no scatter" in stop.text
    mixed = tolerance_factor(specimens=[1, 5], reliability=0.99, confidence=0.9)
    assert np.isnan(mixed.factor).tolist() == [True, False]


def test_the_closed_form_has_no_value_where_its_root_has_none():
    found = tolerance_factor(specimens=2, reliability=0.99, confidence=0.99)
    assert found.closed_form is None
    assert found.factor > 100
    assert not [notice for notice in found.notices if notice.level is Level.STOP]


def test_all_bad_arguments_show_at_once():
    with pytest.raises(InputError) as raised:
        tolerance_factor(specimens=[5, 2.5], reliability=1.0, confidence=95)
    assert [fault.field for fault in raised.value.faults] == ["specimens", "reliability", "confidence"]
    assert raised.value.faults[0].given == "2.5 among 2"
