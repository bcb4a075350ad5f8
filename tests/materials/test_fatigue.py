"""Fatigue limits from hardness."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.materials.fatigue import fatigue_limits
from tests.checks import cases, holds


@pytest.mark.parametrize("check", cases("criteria", "gearcheck.materials.fatigue:fatigue_limits"), ids=str)
def test_limits(check):
    inputs = dict(check.inputs)
    tensile = inputs.pop("tensile_over_hardness", None)
    limits = fatigue_limits(**inputs)
    if tensile:
        holds(check, shear_over_tensile=limits.shear_limit_MPa / (tensile * inputs["hardness_HV"]))
        return
    holds(
        check,
        bending_MPa=limits.bending_limit_MPa,
        shear_MPa=limits.shear_limit_MPa,
        inclusion_MPa=limits.inclusion_limit_MPa,
        weight=limits.hydrostatic_weight,
    )


@given(hardness=st.floats(100, 800), size=st.floats(5, 1500))
def test_harder_is_stronger_and_a_larger_inclusion_weaker(hardness, size):
    limits = fatigue_limits(
        hardness_HV=[hardness, 1.01 * hardness], inclusion_root_area_um=[[size], [1.01 * size]]
    )
    assert (limits.inclusion_limit_MPa[:, 1] > limits.inclusion_limit_MPa[:, 0]).all()
    assert (limits.inclusion_limit_MPa[1] <= limits.inclusion_limit_MPa[0]).all()
    assert (limits.inclusion_limit_MPa <= limits.shear_limit_MPa).all()


def test_what_it_says_of_bad_input():
    with pytest.raises(InputError, match=r"hardness_HV.*\n.*inclusion_root_area_um"):
        fatigue_limits(hardness_HV=-1, inclusion_root_area_um=0)
    keys = [notice.key for notice in fatigue_limits(hardness_HV=750, inclusion_root_area_um=5).notices]
    assert keys == [
        "murakami.fatigue_from_hardness.hardness_HV",
        "murakami.fatigue_from_hardness.inclusion_root_area_um",
    ]
