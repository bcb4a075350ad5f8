"""Lines, staircases and shares through statsmodels, the random limit through another integral."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, special

from gearcheck.fatigue.counting import shown_reliability
from gearcheck.fatigue.design_line import line_band
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.staircase import staircase
from gearcheck.fatigue.straight_line import LoadScale, straight_line
from tests.fatigue.samples import SETS
from tests.fatigue.test_fit import sample

pytestmark = pytest.mark.reference
CONFIDENCE = 0.95


def test_a_line_of_strain_by_least_squares():
    """Coefficients, their limits, deviation and the band of the median, in closed form: to nine digits."""
    api = pytest.importorskip("statsmodels.api")
    given = SETS["strain_life"]
    line = straight_line(
        load=given["load"], cycles=given["cycles"], scale=LoadScale.LOGARITHM, confidence=CONFIDENCE
    )
    x = np.log10(given["load"])
    found = api.OLS(np.log10(given["cycles"]), api.add_constant(x)).fit()
    assert (line.intercept, line.slope) == pytest.approx(tuple(found.params), rel=1e-9)
    limits = found.conf_int(1.0 - CONFIDENCE)
    assert (line.intercept_low, line.intercept_high) == pytest.approx(tuple(limits[0]), rel=1e-9)
    assert (line.slope_low, line.slope_high) == pytest.approx(tuple(limits[1]), rel=1e-9)
    assert line.variance == pytest.approx(found.mse_resid, rel=1e-9)

    at = np.array([0.01, 0.001])
    band = line_band(line=line, load=at)
    mean = found.get_prediction(np.column_stack([np.ones(2), np.log10(at)]))
    half = mean.se_mean * np.sqrt(2.0 * special.fdtri(2, found.df_resid, CONFIDENCE))
    assert band.log_life == pytest.approx(mean.predicted_mean, rel=1e-9)
    assert band.high_log_life - band.log_life == pytest.approx(half, rel=1e-9)


def test_lack_of_fit_as_a_comparison_of_two_models():
    """A mean of each group of repeats against the line: the same test where repeats share one load."""
    api = pytest.importorskip("statsmodels.api")
    given = SETS["strain_life"]
    y, group = np.log10(given["cycles"]), np.array(given["groups"])
    x = np.array([np.log10(given["load"])[group == one].mean() for one in group])
    line = straight_line(
        load=10.0**x, cycles=10.0**y, groups=group.tolist(), scale=LoadScale.LOGARITHM, confidence=CONFIDENCE
    )
    straight = api.OLS(y, api.add_constant(x)).fit()
    means = api.OLS(y, np.eye(group.max() + 1)[group]).fit()
    found, _, between = means.compare_f_test(straight)
    assert between == group.max() - 1
    assert line.lack_of_fit == pytest.approx(found, rel=1e-9)


def test_a_staircase_as_a_probit_line():
    """Its iteration ends at a change of 1e-8 of the deviance: strengths agree to a hundred-thousandth."""
    api = pytest.importorskip("statsmodels.api")
    given = SETS["staircase"]
    ours = staircase(
        stress_MPa=given["stress_MPa"], failed=given["failed"], step_MPa=20, confidence=CONFIDENCE
    ).likelihood
    probit = api.families.Binomial(link=api.families.links.Probit())
    stress = api.add_constant(np.array(given["stress_MPa"], float))
    found = api.GLM(np.array(given["failed"], float), stress, family=probit).fit(tol=1e-12)
    start, slope = found.params
    assert (ours.mean_MPa, ours.deviation_MPa) == pytest.approx((-start / slope, 1.0 / slope), rel=1e-5)
    assert ours.log_likelihood == pytest.approx(found.llf, rel=1e-8)


@pytest.mark.parametrize(("specimens", "failures"), [(22, 0), (45, 0), (38, 1), (100, 7)])
def test_a_reliability_that_was_shown_is_a_bound_of_a_share(specimens, failures):
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    found = shown_reliability(specimens=specimens, failures=failures, confidence=0.9)
    # a two-sided interval of 80 % has 10 % on each side
    low, _ = proportion.proportion_confint(specimens - failures, specimens, alpha=0.2, method="beta")
    assert float(found) == pytest.approx(low, rel=1e-9)


def by_random_limit(terms, data, centre, nodes=200):
    """The log-likelihood of a random limit, its integral over the limit by Gauss and Legendre.

    The limit runs over 9 deviations to both sides, or up to the stress: 200 points are good to 1e-9.
    """
    b, ln_slope, ln_scatter, mean, ln_limit = terms
    slope, scatter, deviation = np.exp([ln_slope, ln_scatter, ln_limit])
    at, weight = np.polynomial.legendre.leggauss(nodes)
    x = np.log(data.stress_MPa)[:, None] - centre
    low, high = mean - 9.0 * deviation, np.minimum(mean + 9.0 * deviation, x)
    limit = 0.5 * ((high - low) * at + high + low)
    share = np.exp(-0.5 * ((limit - mean) / deviation) ** 2) / (deviation * np.sqrt(2.0 * np.pi))
    share = np.where(high > low, share * weight * 0.5 * (high - low), 0.0)
    above = np.maximum(np.exp(x) - np.exp(limit), 1e-300)
    z = (np.log(data.cycles)[:, None] - b + slope * np.log(above)) / scatter
    fails = np.exp(-0.5 * z**2) / (scatter * np.sqrt(2.0 * np.pi)) / data.cycles[:, None]
    lasts = special.ndtr(-z)
    never = special.ndtr(-((x[:, 0] - mean) / deviation))
    likely = np.where(data.failed, (share * fails).sum(axis=-1), (share * lasts).sum(axis=-1) + never)
    return float(np.log(np.maximum(likely, 1e-300)).sum())


@pytest.mark.parametrize("name", ["tooth_bending", "superalloy"])
def test_the_random_limit_by_another_integral_and_another_search(name):
    """Likelihood at our summit, and that a search without derivatives finds nothing higher."""
    data = sample(name)
    fit = fatigue_fit(data=data, curve=Curve.RANDOM_LIMIT)
    centre = fit.model.centre

    def minus(terms):
        return -by_random_limit(terms, data, centre)

    assert -minus(fit.parameters) == pytest.approx(fit.log_likelihood, abs=1e-4)
    search = {"maxiter": 4000, "maxfev": 4000, "xatol": 1e-6, "fatol": 1e-9, "adaptive": True}
    found = optimize.minimize(minus, fit.parameters + 0.02, method="Nelder-Mead", options=search)
    assert -found.fun == pytest.approx(fit.log_likelihood, abs=2e-4)
    assert found.x == pytest.approx(fit.parameters, abs=0.01)
