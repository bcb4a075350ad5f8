"""An example of each result of a curve that was fitted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

import gearcheck
from gearcheck.fatigue.inputs import Curve, FatigueData

TESTS = FatigueData(
    stress_MPa=np.array([900.0, 900, 900, 800, 800, 800, 700, 700]),
    cycles=np.array([2e5, 3e5, 2.4e5, 7e5, 9e5, 5e5, 3e6, 2e6]),
    failed=np.array([True, True, True, True, True, True, False, True]),
)


def examples() -> Iterator[Any]:
    """A straight line with its bounds, its bootstrap and its draws."""
    fit = gearcheck.fatigue_fit(data=TESTS, curve=Curve.STRAIGHT)
    yield fit
    yield gearcheck.fit_residuals(fit=fit)
    yield gearcheck.compared_fits(data=TESTS, cycles=1e6)
    yield gearcheck.strength_bounds(fit=fit, cycles=[1e5, 1e6], failed_share=0.01, confidence=0.9)
    generator = np.random.default_rng(1)
    yield next(gearcheck.bootstrap_fits(fit=fit, generator=generator, replicates=20))
    yield gearcheck.likelihood_draws(fit=fit, generator=generator, draws=200)
