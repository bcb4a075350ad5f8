"""New specimens after lives of one load: recomputed, by Student's t, by its joint form, and by drawing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_t

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.predictive import _jointly, new_specimens_survive, tolerance_life
from tests.checks import cases, holds
from tests.fatigue.samples import SETS

SURVIVE = "gearcheck.fatigue.predictive:new_specimens_survive"
LIFE = "gearcheck.fatigue.predictive:tolerance_life"


def of_sample(call, sample, **inputs):
    return call(lives_cycles=SETS[sample]["cycles"], **inputs)


@pytest.mark.parametrize("check", cases("fatigue_statistics", SURVIVE), ids=str)
def test_survival_of_new_specimens(check):
    found = of_sample(new_specimens_survive, **check.inputs)
    holds(
        check,
        m=found.mean_log_life,
        s=found.deviation,
        plug_in=found.plug_in,
        all_survive=found.all_survive,
        each_apart=found.each_apart[1],
    )
    assert (found.each_apart[1] < found.all_survive[1]).all()
    assert (found.all_survive[1] < found.plug_in[1]).all()


@pytest.mark.parametrize("check", cases("fatigue_statistics", LIFE), ids=str)
def test_tolerance_life(check):
    found = of_sample(tolerance_life, **check.inputs)
    holds(check, plug_in=found.plug_in_cycles, tolerance_life=found.cycles, k=found.factor)


@given(count=st.integers(2, 40), times=st.floats(0.05, 3))
def test_the_integral_is_students_t_for_one(count, times):
    lives = np.exp(np.linspace(-1, 1, count))
    found = new_specimens_survive(lives_cycles=lives, cycles=times, new=1)
    assert _jointly(found.distance, np.array(1.0), count) == pytest.approx(found.one_survives, abs=1e-9)


@pytest.mark.parametrize("count", [3, 8])
def test_the_integral_is_the_joint_form_of_students_t_for_several(count):
    lives = np.exp(np.linspace(-1, 1, count))
    found = new_specimens_survive(lives_cycles=lives, cycles=0.5, new=3)
    shape = np.eye(3) + 1 / count
    other = multivariate_t(shape=shape, df=count - 1, seed=1).cdf(
        np.full(3, float(found.distance)), maxpts=200_000
    )
    assert found.all_survive == pytest.approx(other, abs=2e-5)


def test_it_is_how_often_new_specimens_survive_over_all_samples():
    """Cycles at a fixed distance below the mean of each sample, new specimens of the same population."""
    draw = np.random.default_rng(7)
    log = draw.normal(size=(200_000, 6))
    at = log.mean(axis=1) - 1.5 * log.std(axis=1, ddof=1)
    survived = (draw.normal(size=(200_000, 3)) > at[:, None]).all(axis=1).mean()
    found = new_specimens_survive(lives_cycles=np.exp(log[0]), cycles=np.exp(at[0]), new=3)
    assert found.all_survive == pytest.approx(survived, abs=0.004)
    assert found.distance == pytest.approx(1.5)


def test_a_tolerance_life_holds_as_often_as_it_says():
    lives = np.exp(np.random.default_rng(8).normal(size=(20_000, 5)))
    found = tolerance_life(lives_cycles=lives, reliability=0.99, confidence=0.9)
    assert (found.cycles < np.exp(-2.3263479)).mean() == pytest.approx(0.9, abs=0.007)


@pytest.mark.parametrize(
    ("lives", "failed", "said"),
    [
        ([3e5], True, "One specimen shows no scatter"),
        ([3e5, 3e5, 3e5], True, "All lives are equal"),
        ([3e5, 2e5, 5e6], [True, True, False], "1 of 3 are run-outs"),
        ([5e6, 5e6], False, "2 of 2 are run-outs"),
    ],
)
def test_what_cannot_be_told(lives, failed, said):
    survive = new_specimens_survive(lives_cycles=lives, cycles=1e5, new=2, failed=failed)
    life = tolerance_life(lives_cycles=lives, reliability=0.99, confidence=0.9, failed=failed)
    assert survive.all_survive is survive.one_survives is survive.plug_in is None
    assert life.cycles is life.plug_in_cycles is None
    for found in (survive, life):
        assert said in found.stops[0].text


def test_all_bad_arguments_show_at_once():
    with pytest.raises(InputError) as raised:
        new_specimens_survive(lives_cycles=[1e5, -2e5], cycles=0, new=1.5)
    assert [fault.field for fault in raised.value.faults] == ["cycles", "new", "lives_cycles"]
    with pytest.raises(InputError, match="one life or more"):
        tolerance_life(lives_cycles=[], reliability=0.9, confidence=0.9)
