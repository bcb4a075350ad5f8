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
    holds(check, factor=stress_ratio_factor(**check.inputs))


def test_from_pulsating_it_is_the_factor_of_the_rating():
    ratio, M = np.array([0.0, -0.4, -1.0, -1.2]), np.array([[0.3], [0.55], [0.8]])
    found = stress_ratio_factor(test_ratio=0, part_ratio=ratio, sensitivity=M)
    assert np.allclose(found, mean_stress_factor(stress_ratio=ratio, sensitivity=M), rtol=1e-14)


def test_there_and_back_is_nothing():
    out = stress_ratio_factor(test_ratio=0.1, part_ratio=-1.0, sensitivity=0.45)
    back = stress_ratio_factor(test_ratio=-1.0, part_ratio=0.1, sensitivity=0.45)
    assert out * back == pytest.approx(1.0)


def test_impossible_ratios_are_faults():
    with pytest.raises(InputError) as raised:
        stress_ratio_factor(test_ratio=1, part_ratio=2, sensitivity=-1)
    assert len(raised.value.faults) == 3
