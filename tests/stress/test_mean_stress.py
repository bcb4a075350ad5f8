"""Mean stress of roots that are bent both ways."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.materials.inputs import Treatment
from gearcheck.stress.inputs import Bending, Member, StressEdition
from gearcheck.stress.mean_stress import mean_stress, mean_stress_factor, reversed_stress_ratio
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_limit import root_safety
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.stress.pairs import LIMITS, factors_of, helical
from tests.stress.treated import treated

ROOT = root_stress(pair=helical(), member=Member.PINION, factors=factors_of(helical()))


def safety_of(limits=LIMITS, load_cycles=1e8, **given):
    return root_safety(
        root=ROOT, limits=limits, load_cycles=load_cycles, roughness_um=10, required_safety=1.4, **given
    )


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.mean_stress:mean_stress_factor"), ids=str)
def test_mean_stress_factor(check):
    sensitivity = np.array(check.inputs["sensitivity"])[:, None]
    holds(check, Y_M=mean_stress_factor(stress_ratio=check.inputs["stress_ratio"], sensitivity=sensitivity))


@given(sensitivity=st.floats(0, 1))
@settings(max_examples=25)
def test_more_reversal_is_never_better_and_there_is_no_step_at_zero(sensitivity):
    ratio = np.linspace(-1.2, 0.5, 1701)
    found = mean_stress_factor(stress_ratio=ratio, sensitivity=sensitivity)
    assert np.all(np.diff(found) >= 0)
    assert np.max(np.diff(found)) < 1.1e-3
    assert np.all(found[ratio >= 0] == 1)
    assert found[0] > 0.45


def test_one_way_has_no_factor():
    plain, one_way = safety_of(), safety_of(bending=Bending.ONE_WAY)
    assert plain.safety == one_way.safety
    assert one_way.mean_stress is None
    assert one_way.mean_stress_factor == one_way.static_mean_stress_factor == 1
    both = safety_of(bending=Bending.IDLER, stress_ratio=0.0)
    assert both.safety == plain.safety


@pytest.mark.parametrize("bending", [Bending.IDLER, Bending.REVERSING])
def test_without_a_stress_ratio_the_flat_factor_stands(bending):
    cycles = np.array([1e3, 1e5, 1e8])
    found, plain = safety_of(load_cycles=cycles, bending=bending), safety_of(load_cycles=cycles)
    assert found.safety == pytest.approx(0.7 * plain.safety)
    assert found.permissible_stress_MPa == pytest.approx(0.7 * plain.permissible_stress_MPa)
    assert disagreements(found)[0] == disagreements(found.mean_stress)[0] == []
    keys = [notice.key for notice in found.notices]
    assert keys == (["iso6336_3.reversing"] if bending is Bending.REVERSING else [])


@pytest.mark.parametrize("treatment", ["case-carburised", "gas-nitrided", "through-hardened"])
@pytest.mark.parametrize("stress_correction", [1.4, 2.0, 2.8])
def test_the_flat_factor_never_allows_more_than_full_load_both_ways(treatment, stress_correction):
    given = {"bending": Bending.IDLER, "stress_correction_factor": stress_correction}
    given["treatment"] = Treatment(treatment)
    flat, annex = mean_stress(**given), mean_stress(**given, stress_ratio=-1.2)
    assert flat.factor == pytest.approx(min(0.7, annex.factor))
    assert flat.static_factor == pytest.approx(min(0.7, annex.static_factor))
    assert disagreements(flat)[0] == []


def test_a_case_at_a_stress_correction_of_2_comes_near_the_flat_factor():
    ratio = reversed_stress_ratio(load_ratio=1)
    found = mean_stress(bending=Bending.IDLER, stress_correction_factor=2.0, stress_ratio=ratio)
    assert found.factor == pytest.approx(0.7, abs=0.02)
    assert found.static_factor > found.factor


def test_by_a_stress_ratio_static_and_long_life_have_their_own_factor():
    ratio = np.array([-0.4, -1.2, -1.5])
    found = safety_of(load_cycles=1e5, bending=Bending.IDLER, stress_ratio=ratio)
    plain = safety_of(load_cycles=1e5)
    assert found.static_limit_MPa == pytest.approx(plain.static_limit_MPa * found.static_mean_stress_factor)
    assert found.reference_limit_MPa == pytest.approx(plain.reference_limit_MPa * found.mean_stress_factor)
    assert np.all(np.diff(found.safety) < 0)
    assert [notice.key for notice in found.notices] == ["iso6336_3.mean_stress.stress_ratio"]
    assert "R from -1.2 to 0" in found.notices[0].text
    nitrided = safety_of(treated("gas-nitrided"), bending=Bending.IDLER, stress_ratio=-1.2)
    assert nitrided.mean_stress_factor == pytest.approx(1 / (1 + 1.2 * 0.7 / 1.3))


def test_a_stress_ratio_that_cannot_be_is_an_input_error():
    with pytest.raises(InputError, match=r"stress_ratio.*bent one way"):
        safety_of(stress_ratio=-1)
    with pytest.raises(InputError, match="below 1"):
        safety_of(bending=Bending.IDLER, stress_ratio=1)
    with pytest.raises(InputError, match="load_ratio"):
        reversed_stress_ratio(load_ratio=[0.5, 1.1])


def test_the_older_edition_has_the_same_factors_on_the_limit():
    old = safety_of(edition=StressEdition.ISO_6336_2006, bending=Bending.IDLER)
    assert old.safety == safety_of(bending=Bending.IDLER).safety
    assert old.method.cite.startswith("ISO 6336-3:2006")
