"""Plans by simulation: against closed forms, and what must hold of sets drawn at random."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.plan import simulated_plans
from gearcheck.fatigue.quantities import LogLife, LogStrength
from gearcheck.fatigue.simulated import Plan, simulated_tests
from tests.checks import cases, holds
from tests.fatigue.known import known_fit, line

CHECKS = {item.id: item for item in cases("fatigue_life", "gearcheck.fatigue.plan:simulated_plans")}


def plan(name, levels, specimens, run_out_cycles=1e12, step_MPa=None):
    return Plan(
        name=name,
        stress_MPa=tuple(levels),
        specimens=tuple(specimens),
        run_out_cycles=run_out_cycles,
        step_MPa=step_MPa,
    )


def last(plans, quantity, truths, sets=200, **options):
    *_, found = simulated_plans(
        plans=plans,
        quantity=quantity,
        truths=truths,
        sets=sets,
        generator=np.random.default_rng(8),
        **options,
    )
    return found


def life(model, stress, share=0.5):
    return LogLife(model, np.array([stress]), np.array([share]))


def strength(model, cycles, share=0.5):
    return LogStrength(model, np.array([cycles]), np.array([share]))


def test_more_specimens_narrow_by_the_root_of_their_number():
    check = CHECKS["PLAN-ROOT-N"]
    of = check.inputs
    fit = known_fit([np.log(1e5), np.log(of["deviation"])], Curve.ONE_LEVEL)
    plans = [plan(f"{n}", [500], [n]) for n in of["specimens"]]
    found = last(
        plans, life(fit.model, 500.0), fit.parameters, 4000, confidence=of["confidence"], at_once=2000
    )
    holds(check, width=found.width)
    assert found.lost.tolist() == [0, 0]
    assert found.failing.tolist() == [1, 1]
    assert np.allclose(found.cycles, np.array(of["specimens"]) * 1e5 * np.exp(0.08), rtol=0.01)
    assert np.allclose(found.rig_hours, found.cycles / 3600 / 50)


def test_a_line_is_known_the_less_the_farther_out():
    check = CHECKS["PLAN-LINE"]
    of = check.inputs
    fit = line(of["slope"], of["deviation"])
    plans = [plan("two levels", of["levels_MPa"], of["specimens"])]
    found = last(
        plans, life(fit.model, of["at_MPa"]), fit.parameters, 4000, confidence=of["confidence"], at_once=1000
    )
    holds(check, width=found.width[0])


def test_a_staircase_walks_about_the_median_strength():
    fit = line(9, 0.4)
    stairs = plan("stairs", [540], [15], 3e6, 20.0)
    shares = np.random.default_rng(1).uniform(size=(300, 15))
    tests = simulated_tests(stairs, fit.model, np.repeat(fit.parameters[None], 300, axis=0), shares)
    stress = np.exp(tests.x)
    assert np.allclose(stress[:, 0], 540)
    assert np.allclose(np.diff(stress, axis=1), np.where(tests.failed[:, :-1], -20, 20))
    assert stress[:, 5:].mean() == pytest.approx(500, rel=0.01)
    assert np.exp(tests.y[~tests.failed]) == pytest.approx(3e6)


def test_the_plan_is_chosen_by_width_or_by_budget():
    fit = line(9, 0.4)
    plans = [plan("few", [600, 520], [3, 3], 1e7), plan("many", [600, 520], [20, 20], 1e7)]
    plans.append(plan("low", [430, 420], [4, 4], 1e6))
    found = last(plans, strength(fit.model, 1e6), fit.parameters, at_once=100)
    assert found.width[1] < found.width[0]
    assert found.cheapest(width=10.0).name == "few"
    assert found.cheapest(width=float(found.width[1])).name == "many"
    assert found.cheapest(width=1e-6) is None
    assert found.narrowest().name == "many"
    assert found.narrowest(specimens=10).name == "few"
    assert found.narrowest(rig_hours=1e-3) is None
    assert found.lost[2] > 0.5
    assert [notice.key for notice in found.notices] == ["simulated_plans.lost"]


def test_sets_do_not_depend_on_how_many_are_fitted_at_once_and_a_stop_keeps_what_is_done():
    fit = line(9, 0.4)
    plans = [plan("a", [600, 520], [5, 5], 5e6), plan("b", [520], [12], 5e6, 25.0)]
    of = {"quantity": strength(fit.model, 3e6, 0.1), "truths": fit.parameters, "sets": 60}
    small = list(simulated_plans(plans=plans, **of, generator=np.random.default_rng(3), at_once=20))
    large = list(simulated_plans(plans=plans, **of, generator=np.random.default_rng(3), at_once=60))
    assert np.allclose(small[-1].width, large[-1].width)
    assert [one.done.tolist() for one in small[:3]] == [[20, 0], [20, 20], [40, 20]]
    assert np.isnan(small[0].width[1])
    assert small[0].narrowest().name == "a"


def test_what_is_not_known_of_the_truth_is_drawn_too():
    fit = line(9, 0.4)
    truths = np.repeat([fit.parameters], 40, axis=0)
    truths[:, 0] += np.linspace(-1, 1, 40)
    plans = [plan("a", [600, 520], [5, 5])]
    known, drawn = (last(plans, strength(fit.model, 3e6), of) for of in (fit.parameters, truths))
    assert drawn.width[0] == pytest.approx(known.width[0], rel=0.05)  # about each truth, not about their mean


def test_a_random_limit_is_planned_too():
    fit = known_fit(
        [12.5 - 1.2 * np.log(5), np.log(1.2), np.log(0.25), np.log(0.95), np.log(0.06)], Curve.RANDOM_LIMIT
    )
    plans = [plan("levels", [620, 560, 520, 480, 450], [6] * 5, 6e6)]
    found = last(plans, strength(fit.model, 6e6), fit.parameters, 20, at_once=20)
    assert 0.01 < found.width[0] < 0.3
    assert found.lost[0] < 0.5


def test_what_cannot_be_used_is_named():
    fit = line(9, 0.4)
    wrong = [plan("a", [600, -1], [5], 0), plan("a", [600, 500], [5, 0], 1e6, -5.0)]
    with pytest.raises(InputError) as told:
        last(wrong, strength(fit.model, 3e6), fit.parameters[:2], frequency_Hz=0, confidence=2)
    fields = {fault.field for fault in told.value.faults}
    assert fields >= {"plans", "stress_MPa", "specimens", "step_MPa", "truths", "frequency_Hz", "confidence"}
