import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.stress.inputs import LifeAt1e10, LimitedLife
from gearcheck.stress.life import Damage, life_factor, limit_after_cycles
from tests.checks import cases, holds

KNEES = {Damage.FLANK: (1e5, 5e7), Damage.ROOT: (1e3, 3e6)}


def factor(cycles, damage, at_end=LifeAt1e10.LOWER):
    return life_factor(load_cycles=cycles, damage=damage, life_at_1e10=at_end)


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
def test_slopes(check):
    flank, root = (np.log(np.array(check.inputs[name])) for name in ("flank", "root"))
    fall = [np.diff(np.log(factor(check.inputs[damage], damage))) for damage in Damage]
    holds(
        check,
        flank_torque_exponent=-np.diff(flank).item() / fall[0].item() / 2,
        root_exponent=-np.diff(root).item() / fall[1].item(),
    )


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
