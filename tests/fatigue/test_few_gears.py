"""Teeth of few gears: by hand, and whether a bound that counts them holds in simulated series."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from gearcheck.basics.errors import InputError
from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.draws import likelihood_draws
from gearcheck.fatigue.few_gears import few_gears
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, FatigueData
from gearcheck.fatigue.service import Service
from gearcheck.fatigue.supported import drawn_curves, supported_stress
from tests.checks import cases, holds

SETS, DRAWS, CONFIDENCE = 2000, 400, 0.9


@pytest.mark.parametrize("check", cases("fatigue_transfer", "gearcheck.fatigue.few_gears:few_gears"), ids=str)
def test_by_hand(check):
    found = few_gears(**check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


def bounds(*, gears, teeth, within, quantile):
    """Lower bounds of a strength of median 0 and scatter 1, of many series; alone, and with few gears."""
    generator = np.random.default_rng(8)
    n = gears * teeth
    of_gear = generator.normal(size=(SETS, gears, 1)) * np.sqrt(1 - within)
    strength = (of_gear + generator.normal(size=(SETS, gears, teeth)) * np.sqrt(within)).reshape(SETS, n)
    mean, fitted = strength.mean(axis=1), strength.std(axis=1, ddof=1)
    # as a normal sample of teeth that share nothing leaves its parameters
    scatter = fitted[:, None] * np.sqrt((n - 1) / generator.chisquare(n - 1, size=(SETS, DRAWS)))
    middle = mean[:, None] + scatter * generator.normal(size=(SETS, DRAWS)) / np.sqrt(n)
    alone = middle + quantile * scatter
    found = few_gears(
        specimens_of_gear=np.full(gears, teeth), within_share=within, log_deviation=fitted, quantile=quantile
    )
    more = np.asarray(found.log_deviation)[:, None] * generator.normal(size=(SETS, DRAWS))
    counted = alone + np.asarray(found.log_shift)[:, None] + more
    return [np.quantile(each, 1 - CONFIDENCE, axis=1) for each in (alone, counted)]


@pytest.mark.parametrize("quantile", [0.0, -2.33, -3.3])
@pytest.mark.parametrize(("gears", "teeth", "within"), [(5, 8, 0.3), (5, 8, 0.7), (3, 8, 0.3), (10, 4, 0.3)])
def test_a_bound_of_teeth_of_few_gears_comes_back(gears, teeth, within, quantile):
    """Without them 90 % come to 50 to 85 %; the median of five gears by eight teeth to some 70 %."""
    alone, counted = bounds(gears=gears, teeth=teeth, within=within, quantile=quantile)
    assert np.mean(alone <= quantile) < 0.85
    assert 0.87 < np.mean(counted <= quantile) < 0.96


def bounds_of_a_series(generator, *, within, reliability):
    """What specimens about a line support of one step, alone and with few gears, and what is true of it."""
    quantile = generator.normal(size=(5, 1)) * np.sqrt(1 - within)
    quantile = quantile + generator.normal(size=(5, 8)) * np.sqrt(within)
    stress = np.resize([880.0, 820.0, 770.0, 720.0], (5, 8))
    lives = np.exp(13.0 - 8.0 * (np.log(stress / 800.0) - 0.05 * quantile)).ravel()
    data = FatigueData(stress_MPa=stress.ravel(), cycles=np.minimum(lives, 6e6), failed=lives < 6e6)
    fit = fatigue_fit(data=data, curve=Curve.STRAIGHT)
    draws = likelihood_draws(fit=fit, draws=600, generator=generator)
    service = Service(
        stress_MPa=np.array([500.0]),
        cycles=np.array([2e6]),
        below_knee=BelowKnee.SAME_SLOPE,
        run_out_cycles=6e6,
    )
    curves = drawn_curves(
        fit=fit, parameters=draws.parameters, weights=draws.weights, service=service, reliability=reliability,
        most_draws=300,
    )  # fmt: skip
    weak, strong = (float(fit.strength_MPa(cycles=6e6, failed_share=ndtr(one))) for one in (-1.0, 1.0))
    few = few_gears(
        specimens_of_gear=[8] * 5, within_share=within, log_deviation=0.5 * np.log(strong / weak),
        quantile=ndtri(1 - reliability),
    )  # fmt: skip
    counted = replace(service, log_factor=few.log_shift, log_deviation=few.log_deviation)
    found = [
        supported_stress(curves=curves, service=one, confidence=CONFIDENCE).supported_MPa
        for one in (service, counted)
    ]
    return *found, 800.0 * np.exp(0.05 * ndtri(1 - reliability) - (np.log(2e6) - 13.0) / 8.0)


@pytest.mark.slow
@pytest.mark.parametrize(("within", "reliability"), [(0.3, 0.5), (0.3, 0.99), (0.7, 0.99)])
def test_a_supported_stress_of_five_gears_comes_back(within, reliability):
    """By the whole way from specimens to a stress: alone 81 to 89 %, with few gears 90 to 93 %."""
    generator = np.random.default_rng(3)
    found = np.array(
        [bounds_of_a_series(generator, within=within, reliability=reliability) for _ in range(300)]
    )
    alone, counted = (np.mean(found[:, place] <= found[:, 2]) for place in (0, 1))
    assert alone < counted - 0.02
    assert 0.87 < counted < 0.96


def test_more_gears_tell_more():
    found = few_gears(
        specimens_of_gear=[8] * 5, within_share=[0.3, 0.9], log_deviation=0.06,
        quantile=-3.0,
    )  # fmt: skip
    few, many = (
        few_gears(specimens_of_gear=[of] * (40 // of), within_share=0.5, log_deviation=0.06, quantile=-3.0)
        for of in (10, 2)
    )
    assert found.log_deviation[1] < found.log_deviation[0]
    assert many.log_deviation < few.log_deviation
    assert many.log_shift > few.log_shift


def test_one_gear_shows_nothing_of_how_gears_differ():
    found = few_gears(specimens_of_gear=[12], within_share=0.5, log_deviation=0.06, quantile=-3.0)
    assert (found.log_deviation, found.log_shift) == (None, None)
    assert "teeth of one gear" in found.stops[0].text
    alike = few_gears(specimens_of_gear=[12], within_share=1.0, log_deviation=0.06, quantile=-3.0)
    assert (alike.log_deviation, alike.stops) == (0.0, ())


def test_teeth_that_are_nearly_alike_are_told():
    given = {"specimens_of_gear": [8] * 5, "log_deviation": 0.06, "quantile": -3.0}
    (told,) = few_gears(**given, within_share=0.1).notices
    assert told.text.startswith("Less than 30 % of the variance")
    assert few_gears(**given, within_share=0.3).notices == ()


def test_what_is_no_share_is_refused():
    with pytest.raises(InputError, match="specimens_of_gear"):
        few_gears(specimens_of_gear=[3, 0], within_share=0.5, log_deviation=0.1, quantile=0.0)
    with pytest.raises(InputError, match="within_share"):
        few_gears(specimens_of_gear=[3, 3], within_share=1.5, log_deviation=0.1, quantile=0.0)
