"""Ranks of failures among run-outs, and the line through them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtri
from scipy.stats import beta

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.inputs import Distribution
from gearcheck.fatigue.rank_regression import LeastSquares, RankKind, rank_regression
from gearcheck.fatigue.ranks import adjusted_ranks, median_ranks, plotting_positions
from tests.checks import cases, holds

RANKS = "gearcheck.fatigue.ranks"
LINE = "gearcheck.fatigue.rank_regression:rank_regression"


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{RANKS}:adjusted_ranks"), ids=str)
def test_ranks_among_run_outs(check):
    ranks = adjusted_ranks(**check.inputs)
    broke = np.array(check.inputs["failed"], dtype=bool)
    assert np.isnan(ranks.order[~broke]).all()
    found = {
        "order": ranks.order[broke],
        "exact": ranks.exact[broke],
        "approximate": ranks.approximate[broke],
    }
    if check.id == "RANK-01-TABLE":  # which of its ranks is printed by which formula
        found = {"exact": found["exact"][:1], "approximate": found["approximate"][1:]}
    holds(check, **found)
    assert plotting_positions(**check.inputs)[broke].tolist() == ranks.exact[broke].tolist()


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{RANKS}:median_ranks"), ids=str)
def test_median_ranks(check):
    holds(check, exact=median_ranks(**check.inputs).exact)


@pytest.mark.parametrize("check", cases("fatigue_statistics", f"{RANKS}:plotting_positions"), ids=str)
def test_positions_stand_at_their_specimens(check):
    holds(check, F=plotting_positions(**check.inputs))


def of_weibull(least_squares, **inputs):
    inputs = {"failed": [True] * len(inputs["cycles"]), "distribution": Distribution.WEIBULL} | inputs
    found = rank_regression(least_squares=least_squares, **inputs)
    return [found.shape, found.location_cycles]


@pytest.mark.parametrize("check", cases("fatigue_statistics", LINE), ids=str)
def test_lines(check):
    inputs = check.inputs | {"ranks": RankKind(check.inputs["ranks"])}
    found = {
        "of_ranks": of_weibull(LeastSquares.OF_RANKS, **inputs),
        "of_lives": of_weibull(LeastSquares.OF_LIVES, **inputs),
    }
    holds(check, **{name: found[name] for name in check.expected})


@given(count=st.integers(1, 40))
def test_without_run_outs_the_order_is_that_of_the_lives(count):
    lives = np.random.default_rng(count).permutation(count) + 1.0
    ranks = adjusted_ranks(cycles=lives, failed=True)
    assert ranks.order == pytest.approx(lives)
    assert ranks.exact == pytest.approx(beta.median(lives, count + 1 - lives))


@given(seed=st.integers(0, 10_000))
def test_the_order_of_specimens_does_not_matter(seed):
    draw = np.random.default_rng(seed)
    lives, failed = draw.integers(1, 9, 12).astype(float), draw.random(12) < 0.6
    turn = draw.permutation(12)
    one, other = (
        np.sort(plotting_positions(cycles=lives[i], failed=failed[i])) for i in (np.arange(12), turn)
    )
    assert one == pytest.approx(other, nan_ok=True)


def test_a_run_out_at_the_life_of_a_failure_was_still_there():
    ranks = adjusted_ranks(cycles=[2.0, 2.0, 3.0], failed=[False, True, True])
    assert ranks.order == pytest.approx([np.nan, 1.0, 2.5], nan_ok=True)


def test_many_samples_at_once():
    lives = np.random.default_rng(1).lognormal(size=(5, 8))
    failed = lives < 1.5
    ranks = adjusted_ranks(cycles=lives, failed=failed).order
    alone = adjusted_ranks(cycles=lives[3], failed=failed[3]).order
    assert ranks[3] == pytest.approx(alone, nan_ok=True)


@pytest.mark.parametrize("distribution", list(Distribution))
@pytest.mark.parametrize("least_squares", list(LeastSquares))
def test_points_on_a_line_give_the_line(distribution, least_squares):
    share = median_ranks(order=np.arange(1, 10), specimens=9).exact
    scale = np.log(-np.log1p(-share)) if distribution is Distribution.WEIBULL else ndtri(share)
    found = rank_regression(
        cycles=np.exp(12 + 0.4 * scale), failed=True, distribution=distribution, least_squares=least_squares
    )
    assert (found.location, found.log_scale, found.correlation) == pytest.approx((12, 0.4, 1))


def test_what_cannot_be_told():
    with_none = adjusted_ranks(cycles=[1e6, 2e6], failed=False)
    assert "All are run-outs" in with_none.stops[0].text
    words = {"distribution": Distribution.WEIBULL, "least_squares": LeastSquares.OF_LIVES}
    for failed, lives, said in (
        (False, [1e6, 2e6], "No specimen failed"),
        ([True, False], [1e6, 2e6], "One failed"),
        (True, [1e6, 1e6], "one life"),
    ):
        line = rank_regression(cycles=lives, failed=failed, **words)
        assert line.shape is line.location_cycles is line.log_scale is None
        assert said in line.stops[0].text
    part = rank_regression(cycles=[1e5, 2e5, 3e5], failed=[True, True, False], **words)
    assert "1 run-outs" in part.notices[0].text


def test_bad_arguments():
    with pytest.raises(InputError, match=r"cycles: given -2 among 2"):
        adjusted_ranks(cycles=[1, -2], failed=True)
    with pytest.raises(InputError, match="one specimen or more"):
        adjusted_ranks(cycles=[], failed=[])
    with pytest.raises(InputError) as raised:
        median_ranks(order=[0.5, 7], specimens=6.5)
    assert [fault.field for fault in raised.value.faults] == ["order", "specimens"]
