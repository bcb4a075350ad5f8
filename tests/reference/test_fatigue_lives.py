"""Lives with run-outs through two general libraries of lives: the same summit of the same likelihood.

Their searches end a little before the summit, ours where a step gains nothing: hence 2e-4 for a parameter,
and 1e-6 for a likelihood, which is flat there.
"""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from tests.fatigue.test_fit import plain_terms, sample

pytestmark = pytest.mark.reference
ONE_LEVEL = ("bearings", "alloy", "titanium")
PARAMETER, SUMMIT = 2e-4, 1e-6


def fits(data, curve=Curve.ONE_LEVEL):
    both = (Distribution.WEIBULL, Distribution.LOGNORMAL)
    return [fatigue_fit(data=data, curve=curve, distribution=of) for of in both]


def summit(fit):
    return pytest.approx(fit.log_likelihood, rel=SUMMIT)


def exactly(value):
    return pytest.approx(value, rel=PARAMETER)


@pytest.mark.parametrize("name", ONE_LEVEL)
def test_one_level_by_reliability(name):
    fitters = pytest.importorskip("reliability.Fitters")
    data = sample(name)
    given = {
        "failures": data.cycles[data.failed].tolist(),
        "right_censored": data.cycles[~data.failed].tolist() or None,
        "show_probability_plot": False,
        "print_results": False,
    }
    weibull, normal = fits(data)
    found = fitters.Fit_Weibull_2P(**given)
    assert (found.alpha, found.beta) == exactly(
        (np.exp(weibull.parameters[0]), np.exp(-weibull.parameters[1]))
    )
    assert found.loglik == summit(weibull)
    found = fitters.Fit_Lognormal_2P(**given)
    assert (found.mu, found.sigma) == exactly((normal.parameters[0], np.exp(normal.parameters[1])))
    assert found.loglik == summit(normal)


# lifelines keeps pandas below 3, so it is no part of the extra
def lifelines():
    return pytest.importorskip("lifelines", reason="lifelines holds pandas below 3: try it by itself")


@pytest.mark.parametrize("name", ONE_LEVEL)
def test_one_level_by_lifelines(name):
    library, data = lifelines(), sample(name)
    weibull, normal = fits(data)
    found = library.WeibullFitter().fit(data.cycles, data.failed)
    assert (found.lambda_, found.rho_) == exactly(
        (np.exp(weibull.parameters[0]), np.exp(-weibull.parameters[1]))
    )
    assert found.log_likelihood_ == summit(weibull)
    found = library.LogNormalFitter().fit(data.cycles, data.failed)
    assert (found.mu_, found.sigma_) == exactly((normal.parameters[0], np.exp(normal.parameters[1])))
    assert found.log_likelihood_ == summit(normal)


@pytest.mark.parametrize("name", ["superalloy", "bearing_loads", "tooth_bending"])
def test_a_straight_line_by_lifelines(name):
    library, data = lifelines(), sample(name)
    import pandas as pd

    rows = pd.DataFrame({"x": np.log(data.stress_MPa), "cycles": data.cycles, "failed": data.failed})
    weibull, normal = fits(data, Curve.STRAIGHT)
    found = library.WeibullAFTFitter().fit(rows, "cycles", "failed")
    line = found.params_["lambda_"]
    assert (line["Intercept"], line["x"]) == exactly(tuple(plain_terms(weibull)))
    assert -found.params_["rho_"]["Intercept"] == exactly(weibull.parameters[-1])
    assert found.log_likelihood_ == summit(weibull)
    found = library.LogNormalAFTFitter().fit(rows, "cycles", "failed")
    line = found.params_["mu_"]
    assert (line["Intercept"], line["x"]) == exactly(tuple(plain_terms(normal)))
    assert found.params_["sigma_"]["Intercept"] == exactly(normal.parameters[-1])
    assert found.log_likelihood_ == summit(normal)


def test_failures_found_at_inspections_by_lifelines():
    """Each failure lies between the inspection that still found it sound and the one that did not."""
    library, data = lifelines(), sample("alloy")
    every = 20.0
    upper = np.where(data.failed, np.ceil(data.cycles / every) * every, data.cycles)
    sound = np.where(data.failed, upper - every, np.nan)
    seen = FatigueData(stress_MPa=data.stress_MPa, cycles=upper, failed=data.failed, sound_cycles=sound)
    low, high = np.where(data.failed, sound, upper), np.where(data.failed, upper, np.inf)
    weibull, normal = fits(seen)
    found = library.WeibullFitter().fit_interval_censoring(low, high)
    assert (found.lambda_, found.rho_) == exactly(
        (np.exp(weibull.parameters[0]), np.exp(-weibull.parameters[1]))
    )
    found = library.LogNormalFitter().fit_interval_censoring(low, high)
    assert (found.mu_, found.sigma_) == exactly((normal.parameters[0], np.exp(normal.parameters[1])))
