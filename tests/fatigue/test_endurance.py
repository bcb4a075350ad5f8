"""Passing a long test: against the exact integral, hand sheets, and what must hold."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.bootstrap import bootstrap_fits
from gearcheck.fatigue.draws import likelihood_draws
from gearcheck.fatigue.endurance import endurance_test
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, FatigueData
from gearcheck.fatigue.more_tests import more_tests
from gearcheck.fatigue.must_show import needed_of_specimens
from tests.checks import cases, holds
from tests.fatigue.known import known_fit, line, service
from tests.fatigue.samples import SETS

PASS = {item.id: item for item in cases("fatigue_life", "gearcheck.fatigue.endurance:endurance_test")}
(NEEDED,) = cases("fatigue_life", "gearcheck.fatigue.must_show:needed_of_specimens")
(MORE,) = cases("fatigue_life", "gearcheck.fatigue.more_tests:more_tests")


def known(slope=9.0, deviation=0.4):
    fit = line(slope, deviation)
    return {"fit": fit, "parameters": fit.parameters[None]}


def test_new_bearings_all_survive_as_the_integral_says():
    check = PASS["PASS-01-DRAWS"]
    lives = np.array(SETS[check.inputs["set"]]["cycles"])
    tests = FatigueData(stress_MPa=np.full(23, 100.0), cycles=lives, failed=np.full(23, True))
    fit = fatigue_fit(data=tests, curve=Curve.ONE_LEVEL)
    drawn = likelihood_draws(fit=fit, generator=np.random.default_rng(4))
    refits = list(bootstrap_fits(fit=fit, generator=np.random.default_rng(4), replicates=500))[-1].usable
    one, passed, apart = [], [], []
    for cycles in check.inputs["megacycles"]:
        single, four = (
            endurance_test(
                fit=fit,
                parameters=drawn.parameters,
                weights=drawn.weights,
                service=service([100.0], [cycles], run_out_cycles=200.0),
                gears=gears,
                bootstrap=refits,
                most_draws=4000,
            )
            for gears in check.inputs["gears"]
        )
        assert four.plug_in > four.passed > four.each_apart
        assert four.low < four.passed < four.high
        assert four.bootstrap == pytest.approx(
            four.passed, abs=0.06
        )  # its scatter is that of a fit, too small
        assert single.passed == pytest.approx(single.one_survives)
        one, passed, apart = [*one, single.passed], [*passed, four.passed], [*apart, four.each_apart]
    holds(check, one=one, passed_4=passed, apart_4=apart)


def test_a_known_line_passes_by_the_binomial_distribution():
    check = PASS["PASS-LINE"]
    of = check.inputs
    run = service([of["stress_MPa"]], [of["cycles"]])
    found = [
        endurance_test(
            **known(of["slope"], of["log_deviation"]),
            service=run,
            gears=of["gears"],
            allowed=allowed,
            overload=of["overload"],
        )
        for allowed in (0, 1)
    ]
    holds(check, none=found[0].passed, one=found[1].passed)
    assert all(one.plug_in == pytest.approx(one.passed) == one.each_apart for one in found)
    assert found[0].bootstrap is None


def test_what_specimens_must_show_is_what_lets_the_test_pass():
    of = NEEDED.inputs
    run = service([of["stress_MPa"]], [of["cycles"]])
    found = needed_of_specimens(
        **known(of["slope"], of["log_deviation"]), service=run, gears=of["gears"], wanted=of["wanted"]
    )
    holds(NEEDED, f_S=found.strength_factor, f_s=found.scatter_factor)
    assert found.strength_MPa == pytest.approx(500)
    assert found.scatter == pytest.approx(0.4 / 9)
    stronger = endurance_test(
        **known(), service=service([520 / found.strength_factor], [1e6]), gears=of["gears"]
    )
    narrower = endurance_test(**known(9, 0.4 * found.scatter_factor), service=run, gears=of["gears"])
    assert stronger.passed == pytest.approx(of["wanted"], abs=1e-4)
    assert narrower.passed == pytest.approx(of["wanted"], abs=1e-3)


def test_no_scatter_is_small_enough_where_the_median_fails():
    found = needed_of_specimens(**known(), service=service([560], [3e6]), gears=3, wanted=0.9)
    assert found.scatter_factor is None
    assert [notice.key for notice in found.notices] == ["needed_of_specimens.scatter"]
    far = needed_of_specimens(**known(), service=service([5600], [3e6]), gears=3, wanted=0.9)
    assert far.strength_factor is None


def test_more_gears_pass_less_and_a_shared_doubt_counts_once():
    fit = line(9, 0.4)
    drawn = np.repeat([fit.parameters], 500, axis=0)
    drawn[:, 0] += np.random.default_rng(2).normal(0, 0.3, 500)
    run = service([500], [1.4e6], load_variation=0.03, teeth=20)
    found = [endurance_test(fit=fit, parameters=drawn, service=run, gears=n) for n in (1, 4, 12)]
    assert found[0].passed > found[1].passed > found[2].passed
    assert all(one.passed > one.each_apart for one in found[1:])


def test_more_specimens_narrow_what_is_known():
    of = MORE.inputs
    fit = known_fit([np.log(3e6), np.log(of["deviation"])], Curve.ONE_LEVEL)
    drawn = np.repeat([fit.parameters], 4000, axis=0)
    drawn[:, 0] += np.random.default_rng(3).normal(0, of["open"], 4000)
    found = [
        more_tests(
            fit=fit,
            parameters=drawn,
            values=drawn[:, 0],
            stress_MPa=500.0,
            run_out_cycles=1e12,
            generator=np.random.default_rng(7),
            specimens=n,
            outcomes=100,
        )
        for n in of["specimens"]
    ]
    holds(MORE, narrower=[one.narrower for one in found])
    assert found[0].failing == 1.0
    early = more_tests(
        fit=fit,
        parameters=drawn,
        values=drawn[:, 0],
        stress_MPa=500.0,
        run_out_cycles=1e5,
        generator=np.random.default_rng(7),
    )
    assert early.failing == 0.0
    assert early.narrower == pytest.approx(0, abs=0.01)


def test_another_level_tells_a_slope():
    tests = FatigueData(
        stress_MPa=np.repeat([900.0, 860.0], 5),
        cycles=np.array([2e5, 3e5, 4e5, 2.5e5, 3.3e5, 4e5, 5e5, 6e5, 3.5e5, 4.4e5]),
        failed=np.full(10, True),
    )
    fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    drawn = likelihood_draws(fit=fit, generator=np.random.default_rng(1), draws=1500)
    rows = np.random.default_rng(1).choice(1500, 1500, p=drawn.weights)
    theta = drawn.parameters[rows]
    far = np.log(fit.model.strength_MPa(theta, cycles=np.array(5e6), failed_share=np.array(0.5)))
    narrower = [
        more_tests(
            fit=fit,
            parameters=theta[np.isfinite(far)],
            values=far[np.isfinite(far)],
            stress_MPa=stress,
            run_out_cycles=6e6,
            generator=np.random.default_rng(1),
            specimens=2,
        ).narrower
        for stress in (880.0, 720.0)
    ]
    assert narrower[1] > narrower[0] + 0.1


def test_what_cannot_be_used_is_named():
    run = service([500], [1e6])
    with pytest.raises(InputError, match="fewer failures than the 2 gears"):
        endurance_test(**known(), service=run, gears=2, allowed=2)
    with pytest.raises(InputError) as told:
        endurance_test(**known(), service=run, gears=0, allowed=-1, overload=0)
    assert {fault.field for fault in told.value.faults} >= {"gears", "allowed", "overload"}
    with pytest.raises(InputError, match="wanted"):
        needed_of_specimens(**known(), service=run, gears=2, wanted=1.0)
    with pytest.raises(InputError, match="one finite number for each of 1 draws"):
        more_tests(
            **known(),
            values=np.array([np.inf]),
            stress_MPa=500.0,
            run_out_cycles=1e6,
            generator=np.random.default_rng(1),
        )


def test_a_test_beyond_the_run_out_life_is_extrapolated():
    found = endurance_test(**known(), service=service([430], [1e8]), gears=2)
    assert [notice.key for notice in found.notices] == ["endurance_test.extrapolated"]
