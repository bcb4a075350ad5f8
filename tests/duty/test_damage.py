"""Damage sums, the equivalent torque and the reliability of a strength."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.polynomial.laguerre import laggauss

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.duty.damage import BelowKnee, damage_sum
from gearcheck.duty.equivalent import equivalent_torque, reliability_factor
from tests.checks import cases, holds

CURVE = {
    "static_limit_MPa": 1250.0,
    "static_cycles": 1e3,
    "knee_limit_MPa": 500.0,
    "knee_cycles": 3e6,
    "long_limit_MPa": 425.0,
    "long_cycles": 1e10,
}


def summed(**changes):
    given = {"stress_MPa": [600.0], "cycles": [1e5], "below_knee": BelowKnee.LONG_LIFE} | CURVE | changes
    return damage_sum(**given)


def of_blocks(inputs):
    knee, N = inputs["knee_limit_MPa"], inputs["knee_cycles"]
    return damage_sum(
        stress_MPa=inputs["stress_MPa"],
        cycles=inputs["cycles"],
        static_limit_MPa=knee * (N / 1e3) ** (1 / inputs["slope"]),
        static_cycles=1e3,
        knee_limit_MPa=knee,
        knee_cycles=N,
        long_limit_MPa=inputs["long_factor"] * knee,
        long_cycles=inputs["long_cycles"],
        below_knee=BelowKnee.LONG_LIFE,
    )


def of_weibull(inputs):
    """The stresses of a Weibull spectrum at the points of a quadrature, with its weights as cycles."""
    place, weight = laggauss(100)
    at = 10 ** inputs["lg_a"]
    return damage_sum(
        stress_MPa=inputs["scale"] * place ** (1 / inputs["shape"]),
        cycles=inputs["ranges"] * weight,
        static_limit_MPa=(at / 1e2) ** (1 / inputs["slope"]),
        static_cycles=1e2,
        knee_limit_MPa=(at / 1e7) ** (1 / inputs["slope"]),
        knee_cycles=1e7,
        long_limit_MPa=1.0,
        long_cycles=1e10,
        below_knee=BelowKnee.SAME_SLOPE,
    )


def slopes(inputs):
    static, first, knee, long = np.array(inputs["curves"]).T
    given = {"static_cycles": first, "knee_cycles": knee, "long_cycles": inputs["long_cycles"]}
    limits = {"static_limit_MPa": static, "knee_limit_MPa": 1.0, "long_limit_MPa": long}
    found = summed(stress_MPa=[[1.0, 1.0]], cycles=[[1.0, 1.0]], **given, **limits)
    return {"k": found.slope, "k_long": found.long_slope, "pitting_on_torque": found.slope[1] / 2}


@pytest.mark.parametrize("check", cases("duty", "gearcheck.duty.damage:damage_sum"), ids=str)
def test_damage_sums(check):
    if "curves" in check.inputs:
        holds(check, **slopes(check.inputs))
        return
    found = (of_blocks if "cycles" in check.inputs else of_weibull)(check.inputs)
    known = {
        "D_0": found.no_damage,
        "D_L": found.long_life,
        "D_H": found.flatter_slope,
        "D_E": found.same_slope,
    }
    holds(check, **{name: known[name] for name in check.expected})


@pytest.mark.parametrize("check", cases("duty", "gearcheck.duty.equivalent:equivalent_torque"), ids=str)
def test_equivalent_torques(check):
    holds(check, T_eq=equivalent_torque(**check.inputs))


@pytest.mark.parametrize("check", cases("duty", "gearcheck.duty.equivalent:reliability_factor"), ids=str)
def test_reliability_factors(check):
    holds(check, f=reliability_factor(**check.inputs))


@pytest.mark.parametrize("treatment", list(BelowKnee))
def test_the_agreed_treatment_governs_and_the_others_stand_beside(treatment):
    found = summed(stress_MPa=[900.0, 480.0], cycles=[2e3, 1e7], below_knee=treatment)
    assert found.damage == found.by_treatment[treatment] == pytest.approx(found.bin_damage.sum())
    assert found.no_damage < found.long_life < found.flatter_slope < found.same_slope


@settings(max_examples=40, deadline=None)
@given(
    stress=st.floats(100, 1200),
    cycles=st.floats(1, 1e9),
    more=st.floats(1.01, 3),
    treatment=st.sampled_from(BelowKnee),
)
def test_more_stress_or_more_cycles_never_damage_less(stress, cycles, more, treatment):
    def damage(stress, cycles):
        return summed(stress_MPa=[stress], cycles=[cycles], below_knee=treatment).damage

    here = damage(stress, cycles)
    assert np.isfinite(here)
    assert damage(stress * more, cycles) >= here
    assert damage(stress, cycles * more) == pytest.approx(here * more)


@pytest.mark.parametrize("treatment", [BelowKnee.LONG_LIFE, BelowKnee.FLATTER_SLOPE, BelowKnee.SAME_SLOPE])
def test_the_curve_has_no_step_at_the_knee(treatment):
    below, above = (
        summed(stress_MPa=[500.0 * f], cycles=[3e6], below_knee=treatment).damage for f in (1 - 1e-9, 1)
    )
    assert above == pytest.approx(1) == below


def test_a_knee_that_stays_to_the_end_does_no_damage_below():
    found = summed(stress_MPa=[490.0], long_limit_MPa=500.0)
    assert found.damage == 0
    assert found.long_slope is None


def test_above_static_strength_is_a_caution():
    assert summed(stress_MPa=[1251.0]).notices[0].level is Level.CAUTION
    assert summed(stress_MPa=[1251.0], cycles=[0.0]).notices == ()
    assert summed(stress_MPa=[1249.0]).notices == ()


def test_samples_stand_behind_the_bins():
    stress = np.array([[[600.0], [700.0]], [[400.0], [500.0]]])
    found = summed(stress_MPa=stress, cycles=np.array([1e5, 1e6]).reshape(2, 1, 1))
    assert found.damage.shape == (2, 1)
    assert found.damage[0, 0] == pytest.approx(summed(stress_MPa=[600.0, 400.0], cycles=[1e5, 1e6]).damage)


def test_a_stop_from_before_travels_through():
    assert summed(stress_MPa=[np.nan]).damage is None


def test_bad_arguments_are_named():
    with pytest.raises(InputError) as raised:
        summed(stress_MPa=[-1.0], cycles=[-1.0])
    assert [fault.field for fault in raised.value.faults] == ["stress_MPa", "cycles"]
    with pytest.raises(InputError):
        equivalent_torque(torque_Nm=[100], cycles=[0], exponent=6)
    with pytest.raises(InputError):
        reliability_factor(reliability=1.0, strength_variation=-0.1)


def test_the_equivalent_torque_does_the_damage_of_its_spectrum():
    torque, cycles, k = np.array([900.0, 750.0, 600.0]), np.array([2e3, 2e4, 3e5]), summed().slope
    one = equivalent_torque(torque_Nm=torque, cycles=cycles, exponent=k)
    alone = summed(stress_MPa=[one], cycles=[cycles.sum()]).damage
    assert alone == pytest.approx(summed(stress_MPa=torque, cycles=cycles).damage)
    assert equivalent_torque(torque_Nm=[0, 0], cycles=[1, 1], exponent=6) == 0
