"""One comparison for calculation, evidence, reserve and remedy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.requirements.compare import reaches


@given(st.floats(1e-6, 1e6))
def test_equality_is_enough_and_a_visible_shortfall_is_not(demand):
    assert reaches(demand, demand)
    assert reaches(demand * (1 - 1e-12), demand)
    assert not reaches(demand * (1 - 1e-7), demand)


@pytest.mark.parametrize(("capacity", "demand"), [(None, 1.0), (1.0, None), (np.nan, 1.0), (None, None)])
def test_what_is_not_there_reaches_nothing(capacity, demand):
    assert not reaches(capacity, demand)


def test_samples_are_compared_each_for_itself():
    np.testing.assert_array_equal(reaches([[1.0], [3.0]], [2.0, 3.0]), [[False, False], [True, True]])
