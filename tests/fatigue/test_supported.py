"""The stress that tests support: against a line by hand, and against the life of the same service."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.draws import likelihood_draws
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, FatigueData
from gearcheck.fatigue.life_spectrum import life_distribution
from gearcheck.fatigue.service import Service
from gearcheck.fatigue.supported import drawn_curves, supported_stress
from tests.checks import cases, holds

STEPS = Service(
    stress_MPa=np.array([520.0, 430.0, 300.0]),
    cycles=np.array([2e5, 3e6, 4e7]),
    life_h=8000.0,
    below_knee=BelowKnee.LONG_LIFE,
    run_out_cycles=6e6,
    teeth=17,
    within_share=0.7,
    gears=2,
    log_factor=-0.03,
    log_deviation=0.04,
)


@cache
def fitted():
    """Specimens of our invention about a line, drawn once."""
    stress = np.repeat([900.0, 800.0, 700.0], 6)
    scatter = np.random.default_rng(3).normal(0.0, 0.35, stress.size)
    lives = np.exp(13.0 - 8.0 * np.log(stress / 800.0) + scatter)
    data = FatigueData(stress_MPa=stress, cycles=np.minimum(lives, 6e6), failed=lives < 6e6)
    fit = fatigue_fit(data=data, curve=Curve.STRAIGHT)
    return fit, likelihood_draws(fit=fit, draws=400, generator=np.random.default_rng(4))


def supported(service, *, reliability=0.99, confidence=0.9):
    fit, draws = fitted()
    curves = drawn_curves(
        fit=fit, parameters=draws.parameters, weights=draws.weights, service=service, reliability=reliability
    )
    return supported_stress(curves=curves, service=service, confidence=confidence)


@pytest.mark.parametrize(
    "check", cases("fatigue_supported", "gearcheck.fatigue.supported:supported_stress"), ids=str
)
def test_by_hand_and_as_the_life_says(check):
    given = check.inputs
    if "b_0" in given:
        holds(check, supported_MPa=of_line(given).supported_MPa)
        return
    fit, draws = fitted()
    for treatment in given["treatments"]:
        service = replace(STEPS, below_knee=BelowKnee(treatment))
        found = supported(service, reliability=given["reliability"], confidence=given["confidence"])
        there = replace(service, stress_MPa=service.stress_MPa * found.factor)
        life = life_distribution(
            fit=fit, parameters=draws.parameters, weights=draws.weights, service=there,
            reliability=given["reliability"], confidence=given["confidence"],
        )  # fmt: skip
        holds(check, factor=supported(there).factor, low_reliability=life.low_reliability)


def of_line(given):
    """One curve that is known, as if nothing were left open of it."""
    fit, _ = fitted()
    known = replace(
        fit,
        model=replace(fit.model, centre=float(np.log(given["centre_MPa"]))),
        parameters=np.array([given["b_0"], given["b_1"], np.log(given["scatter"])]),
    )
    service = Service(
        stress_MPa=np.array([500.0]), cycles=np.array([given["cycles"]]), below_knee=BelowKnee.SAME_SLOPE,
        run_out_cycles=given["run_out_cycles"],
    )  # fmt: skip
    curves = drawn_curves(
        fit=known, parameters=known.parameters[None], service=service, reliability=given["reliability"]
    )
    return supported_stress(curves=curves, service=service, confidence=0.9)


@pytest.mark.parametrize(
    "check", cases("fatigue_supported", "gearcheck.fatigue.supported:drawn_curves"), ids=str
)
def test_the_specimens_that_may_fail(check):
    fit, draws = fitted()
    found = [
        drawn_curves(
            fit=fit, parameters=draws.parameters, reliability=check.inputs["reliability"],
            service=replace(STEPS, teeth=teeth, gears=gears, within_share=1.0),
        ).quantile
        for teeth, gears in zip(check.inputs["teeth"], check.inputs["gears"], strict=True)
    ]  # fmt: skip
    holds(check, quantile=found)


def test_one_spectrum_at_any_scale_is_supported_to_the_same_stress():
    one, other = supported(STEPS), supported(replace(STEPS, stress_MPa=1.7 * STEPS.stress_MPa))
    assert one.supported_MPa == pytest.approx(other.supported_MPa, rel=1e-5)
    assert one.factor == pytest.approx(1.7 * other.factor, rel=1e-5)
    assert one.supported_MPa < one.plug_in_MPa


@pytest.mark.parametrize(
    "harder",
    [{"teeth": 40}, {"gears": 8}, {"log_factor": -0.1}, {"log_deviation": 0.1}, {"cycles": 3 * STEPS.cycles}],
    ids=str,
)
def test_what_asks_for_more_is_supported_to_less(harder):
    assert supported(replace(STEPS, **harder)).factor < supported(STEPS).factor


def test_more_reliability_and_more_confidence_are_supported_to_less():
    known = supported(STEPS).factor
    assert supported(STEPS, reliability=0.999).factor < known
    assert supported(STEPS, confidence=0.95).factor < known


def test_tests_at_one_level_support_no_other_stress():
    data = FatigueData(
        stress_MPa=np.full(6, 900.0), cycles=np.geomspace(1e5, 4e5, 6), failed=np.full(6, True)
    )
    fit = fatigue_fit(data=data, curve=Curve.ONE_LEVEL)
    curves = drawn_curves(fit=fit, parameters=fit.parameters[None], service=STEPS, reliability=0.99)
    found = supported_stress(curves=curves, service=STEPS, confidence=0.9)
    assert found.supported_MPa is None
    assert "no slope" in found.stops[0].text


def test_what_no_specimen_has_seen_is_told():
    def told(service, **asked):
        notices = supported(service, **asked).notices
        return [notice.key.removeprefix("supported_stress.") for notice in notices]

    one = replace(STEPS, teeth=1, gears=1)
    assert told(STEPS) == ["extrapolated", "far_out"]
    assert told(one, reliability=0.9) == ["extrapolated"]
    longest = fitted()[0].data.cycles.max()
    assert longest < STEPS.cycles.sum() / 10 < STEPS.run_out_cycles  # beyond what any specimen saw
    assert told(replace(one, cycles=STEPS.cycles / 10), reliability=0.9) == ["extrapolated"]
    seen = STEPS.cycles * 0.99 * longest / STEPS.cycles.sum()
    assert "extrapolated" not in told(replace(one, cycles=seen), reliability=0.9)
    assert told(replace(one, cycles=STEPS.cycles / 1e5), reliability=0.9) == ["above_tested"]


def test_a_share_that_is_none_is_refused():
    with pytest.raises(InputError, match="reliability"):
        supported(STEPS, reliability=1.0)
    with pytest.raises(InputError, match="confidence"):
        supported(STEPS, confidence=0.0)
    with pytest.raises(InputError, match="load_variation"):
        supported(replace(STEPS, load_variation=0.1))


def test_beyond_twenty_times_or_a_twentieth_there_is_no_value():
    for scale, key, words in ((0.04, "over", "over 20 times"), (40.0, "under", "less than a twentieth of")):
        found = supported(replace(STEPS, stress_MPa=scale * STEPS.stress_MPa))
        assert (found.factor, found.supported_MPa, found.plug_in_MPa) == (None, None, None)
        (stop,) = found.stops
        assert stop.key == f"supported_stress.{key}"
        assert stop.text.startswith(f"With confidence {words} the stresses of the service are borne")
    near = supported(STEPS)
    # the curve alone is beyond the range, the bound is not
    between = 20.0 / np.sqrt(near.factor * near.plug_in_factor)
    half = supported(replace(STEPS, stress_MPa=STEPS.stress_MPa / between))
    assert half.factor == pytest.approx(near.factor * between, rel=1e-4)
    assert half.plug_in_factor is None
    assert not half.stops
    assert "supported_stress.over" in [notice.key for notice in half.notices]
