"""What tests with few failures show: by counting, and by an assumed shape."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.counting import shown_reliability, success_run
from gearcheck.fatigue.demonstration import demonstration_plan, shown_life
from tests.checks import cases, holds

COUNTING = "gearcheck.fatigue.counting"
HOME = "gearcheck.fatigue.demonstration"
PLAN = {item.id: item for item in cases("fatigue_demonstration", f"{HOME}:demonstration_plan")}
GOAL = {"life_cycles": 2e6, "reliability": 0.99, "confidence": 0.9, "shape": 2.5}
SHARES = st.floats(0.05, 0.9999)


@pytest.mark.parametrize("check", cases("fatigue_demonstration", f"{COUNTING}:success_run"), ids=str)
def test_specimens_by_counting(check):
    holds(check, specimens=success_run(**check.inputs))


@pytest.mark.parametrize("check", cases("fatigue_demonstration", f"{COUNTING}:shown_reliability"), ids=str)
def test_what_a_count_shows(check):
    holds(check, reliability=shown_reliability(**check.inputs))


@given(reliability=SHARES, confidence=SHARES, failures=st.integers(0, 20))
def test_a_run_is_just_long_enough(reliability, confidence, failures):
    specimens = float(success_run(reliability=reliability, confidence=confidence, failures=failures))
    doubt = 1 - confidence
    assert stats.binom.cdf(failures, specimens, 1 - reliability) <= doubt * (1 + 1e-9)
    assert stats.binom.cdf(failures, specimens - 1, 1 - reliability) >= doubt * (1 - 1e-9)
    shown = shown_reliability(specimens=specimens, failures=failures, confidence=confidence)
    assert shown >= reliability * (1 - 1e-9)


def test_a_count_that_all_failed_shows_nothing():
    assert shown_reliability(specimens=[3, 4], failures=[3, 3], confidence=0.9).tolist() == pytest.approx(
        [0.0, stats.beta.ppf(0.1, 1, 4)]
    )


def test_multipliers_of_the_characteristic_life():
    check = PLAN["DEMO-MULTIPLIERS"]
    plan = demonstration_plan(
        life_cycles=1.0,
        reliability=np.exp(-1),
        confidence=check.inputs["confidence"],
        specimens=np.array(check.inputs["specimens"])[:, None],
        shape=check.inputs["shape"],
    )
    holds(check, multiplier=plan.test_cycles)


def test_failures_allowed_and_overload():
    check = PLAN["DEMO-OVERLOAD"]
    plan = demonstration_plan(**check.inputs)
    holds(check, **{name: getattr(plan, name) for name in check.expected})


@pytest.mark.parametrize("check", cases("fatigue_demonstration", f"{HOME}:shown_life"), ids=str)
def test_what_lives_and_run_outs_show(check):
    found = shown_life(**check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


def test_as_many_specimens_as_a_success_run_need_just_the_life():
    one = {"reliability": 0.9, "confidence": 1 - 0.9**22}
    plan = demonstration_plan(life_cycles=2e6, specimens=22, shape=[0.7, 4.0], **one)
    assert plan.test_cycles == pytest.approx([2e6, 2e6])


def test_a_passed_plan_shows_its_life():
    plan = demonstration_plan(**GOAL, specimens=6)
    found = shown_life(
        cycles=np.full(6, plan.test_cycles),
        failed=np.zeros(6, bool),
        shape=GOAL["shape"],
        reliability=GOAL["reliability"],
        confidence=GOAL["confidence"],
    )
    assert found.life_cycles == pytest.approx(GOAL["life_cycles"])


def test_what_is_said_of_shape_and_mode():
    few, many = demonstration_plan(**GOAL, specimens=4), demonstration_plan(**GOAL, specimens=400)
    over = demonstration_plan(**GOAL, specimens=4, load_factor=1.3, slope=8.7)
    assert [notice.key.rpartition(".")[2] for notice in few.notices] == ["longer"]
    assert [notice.key.rpartition(".")[2] for notice in many.notices] == ["shorter"]
    assert [notice.key.rpartition(".")[2] for notice in over.notices] == ["longer", "overload"]
    assert "mode stays the same" in over.notices[1].text
    flatter = demonstration_plan(**{**GOAL, "shape": 2.0}, specimens=4)
    steeper = demonstration_plan(**{**GOAL, "shape": 3.0}, specimens=400)
    assert flatter.test_cycles > few.test_cycles
    assert steeper.test_cycles > many.test_cycles


def test_the_bound_of_a_life_covers():
    generator = np.random.default_rng(7)
    lives = 1e6 * generator.weibull(2.0, (20000, 12))
    ended = np.minimum(lives, 0.8e6)
    found = shown_life(cycles=ended, failed=lives <= 0.8e6, shape=2.0, reliability=0.9, confidence=0.9)
    true = 1e6 * (-np.log(0.9)) ** 0.5
    covered = float(np.mean(found.life_cycles <= true))
    assert 0.9 - 3 * np.sqrt(0.09 / 20000) < covered < 0.96  # run to a time: a little on the safe side


def test_order_and_unit_do_not_matter():
    given_all = {"shape": 2.2, "reliability": 0.99, "confidence": 0.9}
    lives, failed = np.array([2e6, 5e6, 4e6]), np.array([True, False, False])
    found = shown_life(cycles=lives, failed=failed, **given_all)
    turned = shown_life(cycles=lives[::-1] / 1e6, failed=failed[::-1], **given_all)
    assert turned.life_cycles * 1e6 == pytest.approx(found.life_cycles)
    assert shown_life(cycles=lives, failed=~failed, **given_all).life_cycles < found.life_cycles


def test_faults_are_named_together():
    with pytest.raises(InputError) as raised:
        demonstration_plan(
            life_cycles=0, reliability=1, confidence=0, specimens=2, failures=2, shape=0, load_factor=0.9
        )
    assert [fault.field for fault in raised.value.faults] == [
        "reliability",
        "confidence",
        "life_cycles",
        "shape",
        "failures",
        "load_factor",
    ]
    with pytest.raises(InputError, match="slope: missing"):
        demonstration_plan(**GOAL, specimens=4, load_factor=1.2)
    with pytest.raises(InputError, match="cycles"):
        shown_life(cycles=[1e6, -1], failed=[True, False], shape=2, reliability=0.9, confidence=0.9)
    with pytest.raises(InputError, match="failures"):
        success_run(reliability=0.9, confidence=0.9, failures=0.5)
    with pytest.raises(InputError, match="failures"):
        shown_reliability(specimens=3, failures=4, confidence=0.9)
