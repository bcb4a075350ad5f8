"""One example of every result from a fitted curve to a life, a test and a plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

import gearcheck
from gearcheck.fatigue.quantities import LogStrength
from gearcheck.fatigue.simulated import Plan
from tests.fatigue.known import line, service


def examples() -> Iterator[Any]:
    """A straight line that is known but for its height."""
    fit = line(9.0, 0.4)
    drawn = np.repeat([fit.parameters], 50, axis=0)
    drawn[:, 0] += np.linspace(-0.3, 0.3, 50)
    run = service([620, 520], [1e4, 1e6], teeth=24, log_deviation=0.03, load_variation=0.04)
    of = {"fit": fit, "parameters": drawn, "service": run}
    yield gearcheck.life_distribution(**of, reliability=[0.9, 0.99], confidence=0.9)
    yield gearcheck.life_scatter(**of)
    light = service([620, 520], [1e4, 1e6], teeth=24, log_deviation=0.03)
    curves = gearcheck.drawn_curves(fit=fit, parameters=drawn, service=light, reliability=0.99)
    yield gearcheck.supported_stress(curves=curves, service=light, confidence=0.9)
    band = gearcheck.band_curves(fit=fit, parameters=drawn, service=light)
    yield gearcheck.curve_band(drawn=band, cycles=[1e5, 1e6], reliability=0.99, confidence=0.9)
    yield gearcheck.endurance_test(**of, gears=3, bootstrap=drawn[::5])
    yield gearcheck.needed_of_specimens(**{**of, "service": service([480], [1e6])}, gears=3, wanted=0.9)
    yield gearcheck.more_tests(
        fit=fit,
        parameters=drawn,
        values=drawn[:, 0],
        stress_MPa=520.0,
        run_out_cycles=6e6,
        generator=np.random.default_rng(1),
    )
    plan = Plan(name="two levels", stress_MPa=(600.0, 520.0), specimens=(4, 4), run_out_cycles=6e6)
    yield next(
        gearcheck.simulated_plans(
            plans=[plan],
            quantity=LogStrength(fit.model, np.array([1e6]), np.array([0.01])),
            truths=fit.parameters,
            generator=np.random.default_rng(1),
        )
    )
