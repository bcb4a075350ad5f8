"""What every statistic of specimens refuses: gaps, marks that are none, and marks of other specimens."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.inputs import Distribution
from gearcheck.fatigue.predictive import new_specimens_survive, tolerance_life
from gearcheck.fatigue.rank_regression import LeastSquares, rank_regression
from gearcheck.fatigue.ranks import adjusted_ranks
from gearcheck.fatigue.staircase import staircase
from gearcheck.fatigue.straight_line import LoadScale, straight_line

LEVELS = [500.0, 520.0, 540.0]
CALLS = {
    "ranks": lambda values, failed: adjusted_ranks(cycles=values, failed=failed),
    "regression": lambda values, failed: rank_regression(
        cycles=values,
        failed=failed,
        distribution=Distribution.WEIBULL,
        least_squares=LeastSquares.OF_LIVES,
    ),
    "line": lambda values, failed: straight_line(
        load=LEVELS, cycles=values, failed=failed, scale=LoadScale.LOGARITHM, confidence=0.9
    ),
    "staircase": lambda values, failed: staircase(
        stress_MPa=values, failed=failed, step_MPa=20, confidence=0.9
    ),
    "survival": lambda values, failed: new_specimens_survive(
        lives_cycles=values, failed=failed, cycles=1e5, new=2
    ),
    "life": lambda values, failed: tolerance_life(
        lives_cycles=values, failed=failed, reliability=0.9, confidence=0.9
    ),
}


@pytest.mark.parametrize("call", CALLS.values(), ids=CALLS)
@pytest.mark.parametrize("wrong", [np.nan, None, 0.0, -520.0, np.inf])
def test_a_value_that_is_none(call, wrong):
    with pytest.raises(InputError, match="above 0"):
        call([500.0, wrong, 540.0], [True, False, True])


@pytest.mark.parametrize("call", CALLS.values(), ids=CALLS)
@pytest.mark.parametrize(
    "failed", [["yes", "no", "yes"], [1, 2, 0], [True, False], [[True, False, True]] * 2]
)
def test_a_mark_that_is_none(call, failed):
    with pytest.raises(InputError, match="failed"):
        call(LEVELS, failed)


def test_a_line_through_many_samples_at_once_is_refused():
    with pytest.raises(InputError, match="one sample"):
        CALLS["regression"]([LEVELS, LEVELS], True)
