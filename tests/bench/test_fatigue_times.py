"""How long curves of specimens take, each with its budget; measured with ``--benchmark-enable``."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize

from gearcheck.fatigue.bootstrap import bootstrap_fits
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, FatigueData
from gearcheck.fatigue.model import points_of
from gearcheck.fatigue.newton import quietly
from tests.bench.test_times import within

RUN_OUT = 6e6


@pytest.fixture(scope="module")
def specimens():
    """125 specimens at five stresses, each with a limit of its own: made for this measurement.

    By some draws the likelihood is highest without any scatter of life; this one has a summit.
    """
    generator = np.random.default_rng(1)
    stress = np.repeat([1200.0, 1100.0, 1000.0, 940.0, 880.0], 25)
    limit = 890.0 * np.exp(0.05 * generator.normal(size=stress.size))
    above = np.maximum(stress - limit, 1e-9)
    cycles = 3e5 * (above / 200.0) ** -1.5 * np.exp(0.35 * generator.normal(size=stress.size))
    failed = (stress > limit) & (cycles < RUN_OUT)
    return FatigueData(stress_MPa=stress, cycles=np.where(failed, cycles, RUN_OUT), failed=failed)


def test_the_random_limit_of_125_specimens(benchmark, specimens):
    """Failures and run-outs in one likelihood, from all its starts."""
    within(benchmark, 300)
    assert benchmark(fatigue_fit, data=specimens, curve=Curve.RANDOM_LIMIT).converged


def test_a_thousand_fits_to_specimens_drawn_anew(benchmark, specimens):
    """The bootstrap of that fit, fifty at once."""
    benchmark.group = "no budget: it says how far it is, and stops"
    fit = fatigue_fit(data=specimens, curve=Curve.RANDOM_LIMIT)

    def drawn():
        given = {"fit": fit, "generator": np.random.default_rng(1), "clustered": False}
        return list(bootstrap_fits(**given, replicates=1000 if benchmark.enabled else 10))[-1]

    found = benchmark.pedantic(drawn, rounds=1)
    assert found.converged.mean() > 0.9


def test_ten_of_them_by_a_general_purpose_minimiser(benchmark, specimens):
    """The same likelihood of the same draws by scipy.optimize.minimize, from the same start: to compare."""
    benchmark.group = "to compare"
    fit = fatigue_fit(data=specimens, curve=Curve.RANDOM_LIMIT)
    points, units = points_of(specimens), specimens.count
    generator, count = np.random.default_rng(1), 10 if benchmark.enabled else 1
    weights = generator.multinomial(units, np.full(units, 1.0 / units), size=1000)[:count]

    def minus(theta, heavy):
        with quietly():
            return -float((fit.model.scored(theta[None], points).log_likelihood[0] * heavy).sum())

    def found():
        return [optimize.minimize(minus, fit.parameters, (heavy,), method="BFGS").x for heavy in weights]

    theirs = benchmark.pedantic(found, rounds=1)
    given = {"fit": fit, "generator": np.random.default_rng(1), "clustered": False}
    ours = next(bootstrap_fits(**given, replicates=1000, at_once=count))
    assert ours.parameters == pytest.approx(np.array(theirs), abs=0.02)
