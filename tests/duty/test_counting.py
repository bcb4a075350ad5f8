"""Rainflow: the example of the standard, and what every count has to keep."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.duty.counting import rainflow_count
from tests.checks import cases, holds

LOADS = st.lists(st.integers(-9, 9), min_size=1, max_size=60)


@pytest.mark.parametrize("check", cases("duty", "gearcheck.duty.counting:rainflow_count"), ids=str)
def test_counts(check):
    found = rainflow_count(**check.inputs)
    ranges, of = np.unique(found.load_range, return_inverse=True)
    holds(check, ranges=ranges, cycles=np.bincount(of, found.cycles), total=found.cycles.sum())


@given(load=LOADS)
def test_all_ways_up_and_down_are_counted(load):
    found = rainflow_count(load=load)
    assert 2 * (found.cycles * found.load_range).sum() == np.abs(np.diff(load)).sum()
    assert found.load_range.max(initial=0) == np.ptp(load)


@given(load=LOADS)
def test_a_load_upside_down_has_the_same_ranges(load):
    one, other = rainflow_count(load=load), rainflow_count(load=-np.array(load))
    assert one.load_range.tolist() == other.load_range.tolist()
    assert one.mean.tolist() == (-other.mean).tolist()


def test_a_load_that_never_changes_has_no_cycle():
    found = rainflow_count(load=[3.0, 3.0])
    assert found.cycles.size == 0
    assert [notice.level for notice in found.notices] == [Level.NOTE]


@pytest.mark.parametrize("load", [[], [[1, 2]], [1, np.nan]])
def test_bad_loads(load):
    with pytest.raises(InputError, match="load"):
        rainflow_count(load=load)
