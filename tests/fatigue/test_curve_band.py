"""The curves that are argued over."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.curve_band import band_curves, curve_band, wider
from gearcheck.fatigue.draws import likelihood_draws
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, FatigueData
from tests.checks import cases, holds
from tests.fatigue.known import line, service
from tests.fatigue.samples import SETS

WANTED = {"reliability": 0.99, "confidence": 0.9}


def known(**more):
    fit = line(9.0, 0.4)
    run = service([600], [1e6], teeth=24, gears=2, log_factor=float(np.log(0.9)))
    return band_curves(fit=fit, parameters=np.repeat([fit.parameters], 20, axis=0), service=run, **more)


@pytest.fixture(scope="module")
def tested():
    given = SETS["tooth_bending"]
    data = FatigueData(
        stress_MPa=np.array(given["stress"]),
        cycles=np.array(given["cycles"], float),
        failed=np.array(given["failed"], bool),
    )
    fit = fatigue_fit(data=data, curve=Curve.RANDOM_LIMIT)
    drawn = likelihood_draws(fit=fit, generator=np.random.default_rng(1), draws=400)
    return {
        "fit": fit,
        "parameters": drawn.parameters,
        "weights": drawn.weights,
        "service": service([900], [1e7], run_out_cycles=6e6),
    }


CHECKS = [
    *cases("fatigue_life", "gearcheck.fatigue.curve_band:curve_band"),
    *cases("fatigue_life", "gearcheck.fatigue.curve_band:band_curves"),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_a_band_of_a_line_that_is_known(check):
    found = curve_band(drawn=known(scatter=check.inputs["scatter"]), cycles=1e6, **WANTED)
    names = {"median": "median_MPa", "reliable": "reliable_MPa", "low": "low_MPa", "gear": "gear_MPa"}
    holds(check, **{name: getattr(found, names[name])[0] for name in check.expected})


def test_the_band_of_a_random_limit_is_that_of_its_fit(tested):
    cycles = np.array([2e5, 1e6, 6e6])
    found = curve_band(drawn=band_curves(**tested), cycles=cycles, **WANTED)
    fit = tested["fit"]
    assert found.median_MPa == pytest.approx(fit.strength_MPa(cycles=cycles, failed_share=0.5), rel=5e-3)
    assert found.reliable_MPa == pytest.approx(fit.strength_MPa(cycles=cycles, failed_share=0.01), rel=5e-3)
    assert (found.low_MPa < found.reliable_MPa).all()


def test_more_confidence_reliability_or_scatter_lowers_it_and_strength_multiplies_the_gear(tested):
    drawn, cycles = band_curves(**tested), [1e6, 6e6]
    base = curve_band(drawn=drawn, cycles=cycles, **WANTED)
    surer = curve_band(drawn=drawn, cycles=cycles, **(WANTED | {"confidence": 0.99}))
    rarer = curve_band(drawn=drawn, cycles=cycles, **(WANTED | {"reliability": 0.999}))
    wide = curve_band(drawn=band_curves(**tested, scatter=1.5), cycles=cycles, **WANTED)
    strong = curve_band(drawn=drawn, cycles=cycles, transfer=1.1, **WANTED)
    assert (surer.low_MPa < base.low_MPa).all()
    assert (rarer.reliable_MPa < base.reliable_MPa).all()
    assert (wide.reliable_MPa < base.reliable_MPa).all()
    assert strong.gear_MPa == pytest.approx(1.1 * base.gear_MPa)
    assert strong.low_MPa == pytest.approx(base.low_MPa)


def test_a_factor_on_the_scatter_goes_to_each_scale_of_a_model_and_to_nothing_else(tested):
    fit = tested["fit"]
    moved = wider(fit.model, fit.parameters, 2.0) - fit.parameters
    assert moved == pytest.approx([0, 0, np.log(2), 0, np.log(2)])


def test_what_cannot_be_drawn_is_refused(tested):
    with pytest.raises(InputError, match="reliability"):
        curve_band(drawn=known(), cycles=1e6, reliability=1.0, confidence=0.9)
    with pytest.raises(InputError, match="scatter"):
        band_curves(**tested, scatter=0.0)
