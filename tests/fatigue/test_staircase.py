"""The staircase: counted by Dixon and Mood, by likelihood, and what it refuses."""

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.special import chdtri, log_ndtr

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.staircase import staircase
from gearcheck.fatigue.staircase_likelihood import staircase_likelihood
from tests.checks import cases, holds
from tests.fatigue.samples import SETS

COUNTED = "gearcheck.fatigue.staircase:staircase"
LIKELIHOOD = "gearcheck.fatigue.staircase_likelihood:staircase_likelihood"


def sample(name):
    return {
        "stress_MPa": np.array(SETS[name]["stress_MPa"], float),
        "failed": np.array(SETS[name]["failed"]) > 0,
    }


def judged(stress, failed, **changes):
    return staircase(**{"stress_MPa": stress, "failed": failed, "step_MPa": 20, "confidence": 0.9} | changes)


@pytest.mark.parametrize("check", cases("fatigue_statistics", COUNTED), ids=str)
def test_counted(check):
    given = sample(check.inputs["sample"])
    mirror = check.inputs.get("mirrored_at_MPa")
    if mirror:
        given = {"stress_MPa": mirror - given["stress_MPa"], "failed": ~given["failed"]}
    found = staircase(**given, step_MPa=check.inputs["step_MPa"], confidence=0.95)
    holds(
        check,
        event=found.event,
        S_0=found.least_MPa,
        F=found.events,
        A=found.first_moment,
        B=found.second_moment,
        q=found.spread,
        mean=found.mean_MPa,
        sd=found.deviation_MPa,
        customary=found.customary_MPa,
    )


@pytest.mark.parametrize("check", cases("fatigue_statistics", LIKELIHOOD), ids=str)
def test_by_likelihood(check):
    found = staircase_likelihood(**sample(check.inputs["sample"]), confidence=0.95)
    holds(check, mean=found.mean_MPa, sd=found.deviation_MPa, log_likelihood=found.log_likelihood)


def fall_of_the_best(given, **held):
    """How far 2L lies below its peak where mean or deviation is held: by a general optimiser."""
    sign = np.where(given["failed"], 1.0, -1.0)

    def minus(theta):
        mean = held.get("mean", theta[0])
        deviation = held.get("deviation", np.exp(theta[-1]))
        return -log_ndtr(sign * (given["stress_MPa"] - mean) / deviation).sum()

    words = {"method": "Nelder-Mead", "options": {"xatol": 1e-9, "fatol": 1e-12, "maxiter": 4000}}
    return 2 * minimize(minus, [450.0, 3.2], **words).fun


def test_the_limits_are_where_the_likelihood_has_fallen():
    given = sample("staircase")
    found = staircase_likelihood(**given, confidence=0.9)
    assert found.converged
    assert found.iterations < 20
    for held in (
        {"mean": found.mean_low_MPa},
        {"mean": found.mean_high_MPa},
        {"deviation": found.deviation_low_MPa},
        {"deviation": found.deviation_high_MPa},
    ):
        fall = fall_of_the_best(given, **held) + 2 * found.log_likelihood
        assert fall == pytest.approx(chdtri(1, 0.1), abs=1e-5)
    assert found.mean_low_MPa < found.mean_MPa < found.mean_high_MPa
    assert found.deviation_low_MPa < found.deviation_MPa < found.deviation_high_MPa


def test_units_and_order_do_not_matter_to_the_likelihood():
    given = sample("staircase")
    turn = np.random.default_rng(2).permutation(20)
    one = staircase_likelihood(**given, confidence=0.9)
    other = staircase_likelihood(
        stress_MPa=7 * given["stress_MPa"][turn], failed=given["failed"][turn], confidence=0.9
    )
    for name in ("mean_MPa", "deviation_MPa", "mean_low_MPa", "deviation_high_MPa"):
        assert 7 * getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-8)


def test_the_order_of_the_tests_is_looked_at():
    given = sample("staircase")
    assert judged(given["stress_MPa"], given["failed"]).notices == ()
    turned = judged(given["stress_MPa"][::-1], given["failed"][::-1])
    assert [notice.key for notice in turned.notices] == ["dixon_mood.staircase.order"]


def test_one_mixed_level_has_no_scatter():
    found = judged(
        **{"stress": sample("one_mixed_level")["stress_MPa"], "failed": sample("one_mixed_level")["failed"]}
    )
    assert found.stops == ()
    assert "Only 500 MPa saw both, 5 failures of 10" in found.notices[0].text
    assert "10.6 MPa" in found.notices[0].text
    (stop,) = found.likelihood.stops
    assert "the deviation cannot be told" in stop.text
    assert found.likelihood.mean_MPa is found.likelihood.deviation_high_MPa is None


@pytest.mark.parametrize(
    ("stress", "failed", "said"),
    [
        ([500, 480, 460, 440], [1, 1, 1, 1], "only failures, 4 in number"),
        ([500, 520, 540], [0, 0, 0], "the mean is likelier at or above 540 MPa"),
        ([500], [1], "the mean is likelier at or below 500 MPa"),
    ],
)
def test_one_kind_alone_says_on_which_side_the_mean_is(stress, failed, said):
    found = judged(stress, failed)
    assert found.mean_MPa is found.deviation_MPa is found.spread is None
    assert said in found.stops[0].text
    assert said in found.likelihood.stops[0].text


def test_no_level_saw_both():
    found = judged([500, 480, 500, 480], [1, 0, 1, 0])
    assert "all survived up to 480 MPa and all failed from 500 MPa up" in found.likelihood.stops[0].text
    assert found.mean_MPa == 490
    assert found.deviation_MPa is None


def test_one_level_alone():
    found = judged([500, 500, 500], [1, 0, 0])
    assert "Only 500 MPa saw both, 1 failures of 3" in found.likelihood.stops[0].text
    assert found.deviation_MPa is None


def test_a_small_spread_is_the_custom_of_the_step():
    stress = [500, 520, 500, 520, 540, 520, 500, 520, 500, 520, 500]
    found = judged(stress, [0, 1, 0, 0, 1, 1, 0, 1, 0, 1, 1])
    assert found.spread < 0.3
    assert found.deviation_MPa == found.customary_MPa == pytest.approx(10.6)
    assert found.notices[0].key == "dixon_mood.staircase.customary"


@pytest.mark.parametrize("failed", [[0, 1, 0, 0], [1, 0, 0, 0], [1, 1, 1, 0], [1, 0, 1, 0]])
def test_what_stands_upside_down(failed):
    found = staircase_likelihood(stress_MPa=[480, 500, 500, 520], failed=failed, confidence=0.95)
    assert found.stops[0].text.startswith("Failures did not become more frequent")


def test_a_limit_that_stays_open_is_told():
    found = staircase_likelihood(
        stress_MPa=[460, 480, 480, 500, 500, 520], failed=[0, 0, 1, 0, 1, 1], confidence=0.95
    )
    assert found.deviation_high_MPa is None
    assert found.deviation_low_MPa > 0
    assert "an upper limit of the deviation" in found.notices[0].text
    rare = staircase_likelihood(
        stress_MPa=[460, 480, 500, 520, 540, 540], failed=[0, 0, 1, 0, 0, 1], confidence=0.95
    )
    assert rare.mean_high_MPa is None
    assert "an upper limit of the mean" in rare.notices[0].text


def test_limits_hold_about_as_often_as_they_say():
    draw = np.random.default_rng(5)
    inside = []
    for _ in range(200):
        strength = draw.normal(450, 20, 30)
        stress, failed = [450.0], []
        for of in strength:
            failed.append(of < stress[-1])
            stress.append(stress[-1] + (-20 if failed[-1] else 20))
        found = staircase_likelihood(stress_MPa=stress[:-1], failed=failed, confidence=0.9)
        if not found.stops:
            low, high = found.mean_low_MPa or -np.inf, found.mean_high_MPa or np.inf
            inside.append(low < 450 < high)
    assert len(inside) > 150
    assert np.mean(inside) == pytest.approx(0.9, abs=0.06)


def test_bad_arguments():
    with pytest.raises(InputError, match="whole number of steps of 20 MPa"):
        judged([500, 510], [1, 0])
    with pytest.raises(InputError) as raised:
        judged([500, -480], [1, 0, 1], step_MPa=20, confidence=2)
    assert [fault.field for fault in raised.value.faults] == ["stress_MPa", "confidence", "failed"]
    with pytest.raises(InputError, match="step_MPa"):
        judged([500, 480], [1, 0], step_MPa=0)
    with pytest.raises(InputError, match="one specimen or more"):
        judged([], [])
