import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.materials.inputs import Treatment
from gearcheck.stress.inputs import LifeAt1e10, LimitedLife
from gearcheck.stress.life import Damage, life_factor, limit_after_cycles
from tests.checks import cases, holds

SLOW = (Treatment.CASE_CARBURISED, Treatment.INDUCTION_HARDENED, Treatment.THROUGH_HARDENED)
KNEES = {Damage.FLANK: (1e5, 5e7), Damage.ROOT: (1e3, 3e6)}


def factor(cycles, damage, at_end=LifeAt1e10.LOWER, treatment=Treatment.CASE_CARBURISED):
    return life_factor(load_cycles=cycles, damage=damage, life_at_1e10=at_end, treatment=treatment)


def limit(cycles, damage, reading, static=2500.0, reference=1480.0):
    return limit_after_cycles(
        load_cycles=cycles,
        damage=damage,
        static_limit_MPa=static,
        reference_limit_MPa=reference,
        life_at_1e10=LifeAt1e10.LOWER,
        limited_life=reading,
    )


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.life:life_factor"), ids=str)
def test_slopes_as_exponents_of_torque(check):
    """Stress of the flank goes with the root of torque, stress of the root with torque."""
    found = []
    for damage, treatment, low, high in zip(*check.inputs.values(), strict=True):
        cycles = np.array([low, high]) * [1.2, 1 / 1.2]
        factors = factor(cycles, Damage(damage), treatment=Treatment(treatment))
        slope = -np.log(cycles[1] / cycles[0]) / np.log(factors[1] / factors[0])
        ends = factor([1, low, high, high * 1.01], Damage(damage), treatment=Treatment(treatment))
        assert ends[0] == ends[1] > ends[2] == 1 > ends[3]
        found.append(slope / 2 if damage == "flank" else slope)
    holds(check, p=np.array(found))


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.life:limit_after_cycles"), ids=str)
def test_limited_life(check):
    given = {**check.inputs, "damage": Damage(check.inputs["damage"]), "life_at_1e10": LifeAt1e10.LOWER}
    holds(
        check,
        interpolated=limit_after_cycles(**given, limited_life=LimitedLife.INTERPOLATED),
        factors=limit_after_cycles(**given, limited_life=LimitedLife.FACTORS),
    )


@pytest.mark.parametrize("damage", Damage)
def test_interpolated_limit_meets_both_ends(damage):
    low, knee = KNEES[damage]
    cycles = np.array([1, low, low * (1 + 1e-12), knee * (1 - 1e-12), knee, knee * (1 + 1e-12)])
    found = limit(cycles, damage, LimitedLife.INTERPOLATED)
    assert found == pytest.approx([2500, 2500, 2500, 1480, 1480, 1480], rel=1e-9)


@pytest.mark.parametrize("damage", Damage)
def test_middle_of_the_straight_line(damage):
    low, knee = KNEES[damage]
    found = limit(np.sqrt(low * knee), damage, LimitedLife.INTERPOLATED)
    assert found == pytest.approx(np.sqrt(2500 * 1480))


@pytest.mark.parametrize("damage", Damage)
def test_factors_reading_multiplies_the_reference(damage):
    cycles = np.geomspace(10, 1e11, 41)
    assert limit(cycles, damage, LimitedLife.FACTORS) == pytest.approx(1480 * factor(cycles, damage))


@pytest.mark.parametrize("damage", Damage)
def test_end_at_1e10_by_its_reading(damage):
    assert factor([1e10, 1e12], damage).tolist() == pytest.approx([0.85, 0.85])
    assert factor([KNEES[damage][1], 1e10], damage, LifeAt1e10.OPTIMUM).tolist() == [1, 1]


@given(
    damage=st.sampled_from(Damage),
    reading=st.sampled_from(LimitedLife),
    exponent=st.floats(1, 10.9),
    step=st.floats(1e-6, 0.5),
)
def test_the_limit_never_rises_with_cycles(damage, reading, exponent, step):
    early, late = limit(np.array([10**exponent, 10 ** (exponent + step)]), damage, reading)
    assert 0 < late <= early * (1 + 1e-12)


@pytest.mark.parametrize("treatment", Treatment)
@pytest.mark.parametrize("damage", Damage)
def test_the_life_factor_falls_without_a_step_over_all_cycles(damage, treatment):
    cycles = np.geomspace(1, 1e12, 4001)
    factors = factor(cycles, damage, treatment=treatment)
    assert np.all(np.isfinite(factors))
    assert np.all(np.diff(factors) <= 0)
    assert np.all(np.diff(np.log(factors)) > -0.004)
    assert factors[0] > 1
    assert factors[-1] == pytest.approx(0.85)


@pytest.mark.parametrize("treatment", Treatment)
def test_the_limit_of_a_treatment_meets_both_ends(treatment):
    given = {"damage": Damage.FLANK, "static_limit_MPa": 1500, "reference_limit_MPa": 1000}
    found = limit_after_cycles(
        load_cycles=[10, 1e5, 5e7 if treatment in SLOW else 2e6],
        treatment=treatment,
        life_at_1e10=LifeAt1e10.LOWER,
        limited_life=LimitedLife.INTERPOLATED,
        **given,
    )
    assert found == pytest.approx([1500, 1500, 1000])
