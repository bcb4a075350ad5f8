"""Life under a spectrum: against hand sheets, closed forms, the models themselves, and what must hold."""

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from gearcheck.basics.errors import InputError
from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.draws import likelihood_draws
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.life_curves import crossing, curves_of
from gearcheck.fatigue.life_scatter import life_scatter
from gearcheck.fatigue.life_spectrum import life_distribution
from gearcheck.fatigue.limit_quantiles import log_strengths
from gearcheck.fatigue.weakest import gear_failed_share
from tests.checks import cases, holds
from tests.fatigue.known import known_fit, line, service

CHECKS = {
    item.id: item for item in cases("fatigue_life", "gearcheck.fatigue.life_spectrum:life_distribution")
}
LIMIT = [12.5 - 1.2 * np.log(5), np.log(1.2), np.log(0.25), np.log(0.95), np.log(0.06)]
RULES = {"none": BelowKnee.NO_DAMAGE, "same": BelowKnee.SAME_SLOPE, "flatter": BelowKnee.FLATTER_SLOPE}
RULES["long"] = BelowKnee.LONG_LIFE


def lives(fit, of, reliability=0.5, confidence=0.9, parameters=None):
    drawn = fit.parameters[None] if parameters is None else parameters
    return life_distribution(
        fit=fit, parameters=drawn, service=of, reliability=reliability, confidence=confidence
    )


def test_one_load_lives_as_the_curve_says():
    check = CHECKS["LIFE-ONE-LEVEL"]
    of = check.inputs
    fit = line(of["slope"], of["log_deviation"], of["stress_MPa"], of["cycles_at"])
    found = lives(fit, service([of["load_MPa"]], [of["load_cycles"]]), of["reliability"])
    holds(check, times=found.plug_in_life_h)
    assert np.allclose(found.life_h, found.plug_in_life_h)
    known = fit.life_cycles(stress_MPa=600.0, failed_share=1 - np.array(of["reliability"]))
    assert np.allclose(found.plug_in_life_h * 1e5, known)


def test_four_rules_below_the_run_out_life():
    check = CHECKS["LIFE-MINER-01"]
    of = check.inputs
    fit = line(of["slope"], 1e-9, of["stress_MPa"], of["cycles_at"])
    found = {
        name: 1.0 / lives(fit, service(of["bins_MPa"], of["cycles"], rule)).plug_in_life_h
        for name, rule in RULES.items()
    }
    holds(check, **found)


def test_two_slopes_of_the_tests_give_the_long_branch_without_a_rule():
    inputs, slope, long = CHECKS["LIFE-MINER-01"].inputs, 8.738, 49.9125
    theta = [0.0, np.log(1 / slope - 1 / long), np.log(1e-9), np.log(3e6)]
    fit = known_fit(theta, Curve.TWO_SLOPES, long_slope=long)
    of = service(inputs["bins_MPa"], inputs["cycles"], BelowKnee.NO_DAMAGE, 1e12)
    assert 1 / lives(fit, of).plug_in_life_h == pytest.approx(1.2702369, rel=2e-4)  # the knee is rounded
    at_knee = service(inputs["bins_MPa"], inputs["cycles"], BelowKnee.SAME_SLOPE, 3e7)
    over = known_fit(theta, Curve.TWO_SLOPES, long_slope=long).strength_MPa(cycles=3e7, failed_share=0.5)
    hand = 2e3 / (3e6 * (500 / 900) ** slope) + 2e4 / (3e6 * (500 / 750) ** slope)
    hand += 3e5 / (3e6 * (500 / 600) ** slope) + 1e7 / (3e6 * (500 / 480) ** long)
    hand += 1e8 / (3e7 * (float(over) / 350) ** slope)
    assert 1 / lives(fit, at_knee).plug_in_life_h == pytest.approx(hand, rel=1e-3)


def test_two_blocks_by_hand_and_a_bin_without_cycles():
    check = CHECKS["LIFE-TWO-BLOCKS"]
    of = check.inputs
    fit = line(of["slope"], 0.3)
    found = lives(fit, service(of["bins_MPa"], of["cycles"]))
    holds(check, damage=1.0 / found.plug_in_life_h)
    idle = lives(fit, service([*of["bins_MPa"], 2000], [*of["cycles"], 0.0], life_h=50.0))
    assert idle.plug_in_life_h == pytest.approx(50.0 * found.plug_in_life_h)


def test_teeth_and_gears_in_series():
    check = CHECKS["LIFE-SET"]
    of = check.inputs
    run = service([600], [1e5], teeth=of["teeth"], gears=of["gears"])
    found = lives(line(9, 0.4), run, of["reliability"])
    holds(check, u_R=found.quantile)
    shared = service([600], [1e5], teeth=24, gears=2, within_share=0.6)
    found = lives(line(9, 0.4), shared, 0.99)
    at = np.log(3e6 * (5 / 6) ** 9)
    tooth = ndtr((np.log(1e5) - at) / 0.4)
    gear = gear_failed_share(tooth_failed_share=tooth, teeth=24, within_share=0.6)
    assert found.plug_in_reliability == pytest.approx((1 - float(gear)) ** 2, abs=1e-9)


@pytest.mark.parametrize("kind", Distribution)
def test_reliability_and_life_answer_one_another(kind):
    fit = known_fit([np.log(3e6), -9.0, np.log(0.4)], distribution=kind)
    first = lives(fit, service([650, 560], [1e5, 2e5], teeth=20, within_share=0.7, load_variation=0.04), 0.97)
    times = first.plug_in_life_h
    run = service([650, 560], times * np.array([1e5, 2e5]), teeth=20, within_share=0.7, load_variation=0.04)
    assert lives(fit, run).plug_in_reliability == pytest.approx(0.97, abs=1e-3)


def test_load_transfer_and_material_add_their_variances_on_a_line():
    run = service([600], [1e5], log_deviation=0.03, load_variation=0.05, log_factor=np.log(0.9))
    found = lives(line(9, 0.4), run, [0.9, 0.999])
    middle = np.log(30 * (5 * 0.9 / 6) ** 9)
    spread = np.hypot(0.4, 9 * np.sqrt(np.log1p(0.05**2)))
    assert np.allclose(np.log(found.plug_in_life_h), middle + spread * ndtri([0.1, 0.001]), atol=3e-3)
    drawn = np.repeat([line(9, 0.4).parameters], 1000, axis=0)
    low = lives(line(9, 0.4), run, 0.9, 0.95, drawn)
    wanted = middle + spread * ndtri(0.1) - 9 * 0.03 * ndtri(0.95)
    assert np.log(low.life_h) == pytest.approx(wanted, abs=0.02)


@pytest.mark.parametrize(
    "check", cases("fatigue_life", "gearcheck.fatigue.life_scatter:life_scatter"), ids=str
)
def test_scatter_by_source_adds_up_on_a_line(check):
    of = check.inputs
    fit = line(of["slope"], of["log_deviation"])
    run = service([600], [1e5], log_deviation=of["transfer_deviation"], load_variation=of["load_variation"])
    found = life_scatter(fit=fit, parameters=np.repeat([fit.parameters], 300, axis=0), service=run)
    assert found.estimation == pytest.approx(0, abs=1e-9)
    shares = {"a_M": found.material_share, "a_F": found.load_share, "a_T": found.transfer_share}
    holds(
        check,
        s_M=found.material,
        s_F=found.load,
        s_T=found.transfer,
        **shares,
        together=found.together,
    )


def test_estimation_is_what_the_draws_differ_by():
    drawn = np.repeat([line(9, 0.4).parameters], 4001, axis=0)
    drawn[:, 0] += 0.2 * ndtri((np.arange(4001) + 0.5) / 4001)
    run = service([600], [1e5])
    low = lives(line(9, 0.4), run, 0.99, 0.9, drawn)
    assert np.log(low.life_h / low.plug_in_life_h) == pytest.approx(0.2 * ndtri(0.1), abs=0.01)
    predicted = ndtr((np.log(30 * (5 / 6) ** 9)) / np.hypot(0.4, 0.2))
    assert low.mean_reliability == pytest.approx(predicted, abs=2e-4)
    parts = life_scatter(fit=line(9, 0.4), parameters=drawn, service=run)
    assert parts.estimation == pytest.approx(0.2, rel=0.02)
    assert parts.estimation_share + parts.material_share == pytest.approx(1, abs=1e-3)


@pytest.mark.parametrize(
    ("curve", "theta"),
    [
        (Curve.CURVED, [np.log(3e6), -9.0, 6.0, np.log(0.4)]),
        (Curve.SPREADING, [np.log(3e6), -9.0, 6.0, np.log(0.4), -1.0]),
        (Curve.FIXED_LIMIT, [11.0, -1.3, np.log(0.3), 0.5, np.log(0.9)]),
        (Curve.RANDOM_LIMIT, LIMIT),
        (Curve.TWO_SLOPES, [0.0, np.log(1 / 9 - 1 / 50), np.log(0.05), np.log(1e6)]),
    ],
)
def test_every_form_lives_as_its_model_says(curve, theta):
    fit = known_fit(theta, curve)
    for stress in (560.0, 640.0, 700.0):
        found = lives(fit, service([stress], [1.0], run_out_cycles=1e7), [0.5, 0.9, 0.99])
        known = fit.life_cycles(stress_MPa=stress, failed_share=np.array([0.5, 0.1, 0.01]))
        known = np.where((known < 1e7) & (known > 1e3), known, np.nan)
        assert np.isfinite(known).any()
        assert np.nanmax(np.abs(np.log(found.plug_in_life_h / known))) < 0.01
        share = fit.failed_share(stress_MPa=stress, cycles=2e5)
        at = lives(fit, service([stress], [2e5], run_out_cycles=1e7)).plug_in_reliability
        assert ndtri(np.clip(1 - at, 1e-12, 1)) == pytest.approx(ndtri(np.clip(share, 1e-12, 1)), abs=0.03)


def test_where_a_share_lives_longer_with_more_stress_no_strength_is_told():
    fit = known_fit([16.22, -16.95, 63.65, -0.5216, -7.105], Curve.SPREADING)
    half, tenth, hundredth = fit.strength_MPa(cycles=5e7, failed_share=np.array([0.5, 0.1, 0.01]))
    assert tenth < half
    assert np.isnan(hundredth)


def test_strengths_about_a_random_limit_are_those_of_the_model():
    fit = known_fit(LIMIT, Curve.RANDOM_LIMIT)
    z, y = np.array([-5.0, -2.3, 0.0, 1.0]), np.log([2e4, 3e5, 6e6])
    found = log_strengths(fit.parameters[None], float(np.log(500)), y, z)
    known = fit.model.strength_MPa(
        fit.parameters[None, None], cycles=np.exp(y), failed_share=ndtr(z)[:, None]
    )
    assert np.allclose(found[0], np.log(known), atol=5e-4)


def test_nothing_is_damaged_below_the_run_out_strength():
    found = lives(line(9, 0.4), service([450], [1e9], BelowKnee.NO_DAMAGE), [0.1, 0.9])
    over = ndtr(-np.log(3e6 / 3e6 * (500 / 450) ** 9) / 0.4)
    assert np.isinf(found.plug_in_life_h[0])
    assert 1 - found.plug_in_reliability == pytest.approx(over, abs=1e-6)
    assert life_scatter(
        fit=line(9, 0.4), parameters=line(9, 0.4).parameters[None], service=found.service
    ).stops


def test_more_damage_by_a_steeper_rule_and_less_life_by_more_gears():
    run = {"stress": [620, 470], "cycles": [1e4, 1e8]}
    order = [BelowKnee.NO_DAMAGE, BelowKnee.LONG_LIFE, BelowKnee.FLATTER_SLOPE, BelowKnee.SAME_SLOPE]
    found = [lives(line(9, 0.4), service(**run, below_knee=rule), 0.9).plug_in_life_h for rule in order]
    assert np.all(np.diff(found) < 0)
    more = [lives(line(9, 0.4), service(**run, gears=n), 0.9).plug_in_life_h for n in (1, 2, 5)]
    assert np.all(np.diff(more) < 0)


def test_what_is_beyond_the_tests_is_said_with_both_numbers():
    found = lives(line(9, 0.4), service([450], [1e9], run_out_cycles=6e6), 0.999999)
    told = {notice.key.rpartition(".")[2]: notice.text for notice in found.notices}
    assert "6\u202f000\u202f000 cycles" in told["extrapolated"]
    assert "1·10⁹" in told["extrapolated"]
    assert "10 were tested" in told["far_out"]


def test_a_curve_that_does_not_reach_the_run_out_life_stops():
    fit = known_fit([np.log(1e5), 0.0, -20.0, np.log(0.1)], Curve.CURVED)
    found = lives(fit, service([600], [1e4]), 0.9)
    assert {notice.key for notice in found.stops} == {"life_distribution.not_reached"}
    assert found.plug_in_life_h is None
    assert found.life_h is None


def test_tests_at_one_level_speak_of_that_level():
    fit = known_fit([np.log(3e6), np.log(0.4)], Curve.ONE_LEVEL)
    found = lives(fit, service([500], [1e6]), 0.9)
    assert found.plug_in_life_h == pytest.approx(3 * np.exp(0.4 * ndtri(0.1)))
    with pytest.raises(InputError, match="the stress that was tested, 500 MPa"):
        lives(fit, service([510], [1e6]), 0.9)


def test_what_cannot_be_used_is_named():
    wrong = service(
        [600, -1], [1e5, 0], teeth=0, gears=0, within_share=2, log_deviation=-1, load_variation=-1
    )
    with pytest.raises(InputError) as told:
        lives(line(9, 0.4), wrong, 1.0)
    fields = {fault.field for fault in told.value.faults}
    assert fields >= {"stress_MPa", "teeth", "gears", "within_share", "log_deviation", "reliability"}


def test_a_crossing_beyond_either_end():
    z = np.array([-2.0, -1.0, 0.0, 1.0])
    rising = np.array([[np.nan, 0.0, 1.0, np.inf], [0.0, 1.0, 2.0, 3.0]])
    assert np.allclose(crossing(z, rising, np.array([-1.0, 4.0])), [-1.0, 2.0])
    assert np.allclose(crossing(z, rising, np.array([1.5, 0.5])), [0.5, -1.5])


def test_curves_fall_to_the_run_out_life():
    fit = known_fit(LIMIT, Curve.RANDOM_LIMIT)
    found = curves_of(fit.model, fit.parameters[None], np.array([-3.0, 0.0]), service([600], [1e5]))
    assert np.exp(found.log_cycles[0, 0, 0]) == pytest.approx(3e6)
    assert np.all(np.diff(found.log_stress, axis=-1) >= 0)
    assert np.all(found.beyond > 1)


@pytest.mark.parametrize("rule", [BelowKnee.NO_DAMAGE, BelowKnee.LONG_LIFE])
def test_drawn_specimens_of_a_random_limit_live_as_long(rule):
    """Each has its own limit and its own life above it; to keep one quantile changes little."""
    stress, cycles = [640, 600, 560, 520, 490, 470], [2e3, 1e4, 5e4, 2e5, 1e6, 4e6]
    fit = known_fit(LIMIT, Curve.RANDOM_LIMIT)
    found = lives(fit, service(stress, cycles, rule, 6e6), [0.5, 0.9, 0.99])
    above, limit = np.random.default_rng(1).standard_normal((2, 200_000))
    limit = 500 * np.exp(LIMIT[3] + 0.06 * limit)
    last = limit + 500 * np.exp((LIMIT[0] + 0.25 * above - np.log(6e6)) / 1.2)
    damage = np.zeros(above.size)
    for one, count in zip(stress, cycles, strict=True):
        over = np.maximum(one - limit, 1e-9) / 500
        y = LIMIT[0] - 1.2 * np.log(over) + 0.25 * above
        beyond = np.inf if rule is BelowKnee.NO_DAMAGE else np.log(6e6) + 49.9125 * np.log(last / one)
        damage += count * np.exp(-np.where(one < last, beyond, y))
    drawn = np.quantile(1 / np.maximum(damage, 1e-30), [0.5, 0.1, 0.01])
    assert np.allclose(found.plug_in_life_h, drawn, rtol=0.04)


@pytest.mark.slow
def test_a_life_with_confidence_is_below_the_true_one_as_often_as_it_says():
    truth, generator = line(9, 0.4), np.random.default_rng(5)
    run = service([560, 480, 430], [2e5, 1e6, 1e7], BelowKnee.FLATTER_SLOPE, 1e7, teeth=20, within_share=0.7)
    true = lives(truth, run, 0.9)
    stress, below = np.repeat([600.0, 550.0, 500.0], 5), []
    for _ in range(300):
        cycles = truth.life_cycles(stress_MPa=stress, failed_share=generator.uniform(size=15))
        tests = FatigueData(stress_MPa=stress, cycles=np.minimum(cycles, 1e7), failed=cycles < 1e7)
        fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
        drawn = likelihood_draws(fit=fit, generator=generator, draws=2000)
        found = life_distribution(
            fit=fit,
            parameters=drawn.parameters,
            weights=drawn.weights,
            service=run,
            reliability=0.9,
            confidence=0.9,
        )
        below.append([found.life_h < true.plug_in_life_h, found.low_reliability < true.plug_in_reliability])
    assert np.mean(below, axis=0) == pytest.approx([0.9, 0.9], abs=0.05)
