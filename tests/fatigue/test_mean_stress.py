"""From the stress ratio of a test to that of a gear."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.mean_stress import stress_ratio_factor
from gearcheck.stress.mean_stress import mean_stress_factor
from tests.checks import cases, holds


@pytest.mark.parametrize(
    "check", cases("fatigue_transfer", "gearcheck.fatigue.mean_stress:stress_ratio_factor"), ids=str
)
def test_rays_cut_the_line(check):
    holds(check, factor=stress_ratio_factor(**check.inputs, sensitivity_deviation=0.0).factor)


def test_from_pulsating_it_is_the_factor_of_the_rating():
    ratio, M = np.array([0.0, -0.4, -1.0, -1.2]), np.array([[0.3], [0.55], [0.8]])
    found = stress_ratio_factor(test_ratio=0, part_ratio=ratio, sensitivity=M, sensitivity_deviation=0)
    assert np.allclose(found.factor, mean_stress_factor(stress_ratio=ratio, sensitivity=M), rtol=1e-14)


def test_there_and_back_is_nothing():
    there = {"sensitivity": 0.45, "sensitivity_deviation": 0.1}
    out = stress_ratio_factor(test_ratio=0.1, part_ratio=-1.0, **there)
    back = stress_ratio_factor(test_ratio=-1.0, part_ratio=0.1, **there)
    assert out.factor * back.factor == pytest.approx(1.0)
    assert out.log_deviation == pytest.approx(back.log_deviation)


def test_what_is_not_sure_of_the_sensitivity_goes_through():
    given = {"test_ratio": 0.05, "part_ratio": -1.2}
    found = stress_ratio_factor(**given, sensitivity=0.4, sensitivity_deviation=0.02)
    drawn = np.random.default_rng(2).normal(0.4, 0.02, 100000)
    factors = stress_ratio_factor(**given, sensitivity=drawn, sensitivity_deviation=0).factor
    assert found.variation == pytest.approx(factors.std() / factors.mean(), rel=0.02)


def test_beyond_the_range_it_says_so_and_impossible_ratios_are_faults():
    far = stress_ratio_factor(test_ratio=0.05, part_ratio=-2, sensitivity=0.4, sensitivity_deviation=0)
    assert [notice.key for notice in far.notices] == ["haigh_line.part_ratio"]
    with pytest.raises(InputError) as raised:
        stress_ratio_factor(test_ratio=1, part_ratio=2, sensitivity=-1, sensitivity_deviation=-1)
    assert len(raised.value.faults) == 4
