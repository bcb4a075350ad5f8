"""Statistics of specimens against general libraries: statsmodels, reliability, pylife and rainflow."""

from __future__ import annotations

import numpy as np
import pytest

import gearcheck
from gearcheck.fatigue.inputs import Distribution
from gearcheck.fatigue.rank_regression import LeastSquares, RankKind
from gearcheck.fatigue.straight_line import LoadScale

pytestmark = [pytest.mark.reference, pytest.mark.filterwarnings("ignore")]

DRAWS = range(40)
SAME = {"rel": 1e-9, "abs": 1e-12}


def at_three_loads(seed):
    draw = np.random.default_rng(seed)
    load = np.repeat([500.0, 600.0, 720.0, 800.0], 4)
    return load, 10 ** (5.5 - 8 * np.log10(load / 600) + draw.normal(0, draw.uniform(0.05, 0.4), load.size))


@pytest.mark.parametrize("seed", DRAWS)
def test_the_straight_line_is_that_of_statsmodels(seed):
    api = pytest.importorskip("statsmodels.api")
    anova = pytest.importorskip("statsmodels.stats.anova")
    load, cycles = at_three_loads(seed)
    X, Y = np.log10(load), np.log10(cycles)
    line = gearcheck.straight_line(load=load, cycles=cycles, scale=LoadScale.LOGARITHM, confidence=0.9)
    other = api.OLS(Y, api.add_constant(X)).fit()
    limits = other.conf_int(0.1)
    assert [line.intercept, line.slope] == pytest.approx(other.params, **SAME)
    assert [line.intercept_low, line.intercept_high] == pytest.approx(limits[0], **SAME)
    assert [line.slope_low, line.slope_high] == pytest.approx(limits[1], **SAME)
    assert line.variance == pytest.approx(other.mse_resid, **SAME)
    by_load = api.OLS(Y, (load[:, None] == np.unique(load)).astype(float)).fit()
    table = anova.anova_lm(other, by_load)
    assert line.lack_of_fit == pytest.approx(table["F"].iloc[1], **SAME)
    assert line.is_straight == (table["Pr(>F)"].iloc[1] > 0.1)


@pytest.mark.parametrize("seed", DRAWS)
def test_the_likelihood_of_a_staircase_is_that_of_statsmodels(seed):
    api = pytest.importorskip("statsmodels.api")
    draw = np.random.default_rng(seed)
    stress = 450 + 20.0 * draw.integers(-3, 4, 30)
    failed = draw.normal(450, 60, 30) < stress
    found = gearcheck.staircase_likelihood(stress_MPa=stress, failed=failed, confidence=0.9)
    family = api.families.Binomial(api.families.links.Probit())
    scaled = api.add_constant((stress - 450) / 20)
    other = api.GLM(failed.astype(float), scaled, family=family).fit(tol=1e-14, maxiter=200)
    a, b = other.params
    assert not found.stops
    assert found.log_likelihood == pytest.approx(other.llf, abs=1e-9)
    assert [found.mean_MPa, found.deviation_MPa] == pytest.approx([450 - 20 * a / b, 20 / b], rel=1e-6)


@pytest.mark.parametrize("seed", DRAWS)
@pytest.mark.parametrize(
    ("method", "least_squares"), [("RRY", LeastSquares.OF_RANKS), ("RRX", LeastSquares.OF_LIVES)]
)
def test_the_line_through_ranks_is_that_of_reliability(seed, method, least_squares):
    fitters = pytest.importorskip("reliability.Fitters")
    draw = np.random.default_rng(seed)
    cycles, failed = draw.weibull(2.0, 15), draw.random(15) < 0.7
    quiet = {"method": method, "show_probability_plot": False, "print_results": False}
    given = {"failures": cycles[failed], "right_censored": cycles[~failed]}
    words = {"least_squares": least_squares, "ranks": RankKind.BENARD}
    weibull = gearcheck.rank_regression(
        cycles=cycles, failed=failed, distribution=Distribution.WEIBULL, **words
    )
    other = fitters.Fit_Weibull_2P(**given, **quiet)
    assert [weibull.location_cycles, weibull.shape] == pytest.approx([other.alpha, other.beta], **SAME)
    normal = gearcheck.rank_regression(
        cycles=cycles, failed=failed, distribution=Distribution.LOGNORMAL, **words
    )
    other = fitters.Fit_Lognormal_2P(**given, **quiet)
    assert [normal.location, normal.log_scale] == pytest.approx([other.mu, other.sigma], **SAME)


def test_other_failed_shares_are_those_of_pylife():
    laws = pytest.importorskip("pylife.materiallaws")
    pandas = pytest.importorskip("pandas")
    curve = pandas.Series(
        {"SD": 500.0, "ND": 3e6, "k_1": 8.738, "TS": 1.25, "TN": 1.25**8.738, "failure_probability": 0.5}
    )
    deviation = gearcheck.log_deviation(scatter_ratio=1.25)
    for share in (0.9, 0.1, 0.01, 1e-6):
        moved = laws.WoehlerCurve(curve).transform_to_failure_probability(share)
        own = gearcheck.shifted_median(median=500.0, log_deviation=deviation, failed_share=share)
        assert own == pytest.approx(moved.SD, rel=1e-7)


@pytest.mark.parametrize("seed", DRAWS)
def test_cycles_are_those_of_rainflow(seed):
    rainflow = pytest.importorskip("rainflow")
    draw = np.random.default_rng(seed)
    load = draw.integers(-20, 20, draw.integers(10, 90))
    found = gearcheck.rainflow_count(load=load)
    ranges, of = np.unique(found.load_range, return_inverse=True)
    own = dict(zip(ranges.tolist(), np.bincount(of, found.cycles).tolist(), strict=True))
    assert own == dict(rainflow.count_cycles(load))
