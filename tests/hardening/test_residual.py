"""Residual stress of the case: remembered law, balance, measurement."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from gearcheck.basics.errors import InputError
from gearcheck.hardening.profile import hardness_profile
from gearcheck.hardening.residual import (
    ResidualStress,
    lang_stress_MPa,
    mean_to,
    measured_residual_stress,
    residual_stress,
)
from tests.checks import cases, holds

ROOM = "gearcheck.hardening.residual"
DEPTH = np.linspace(0, 3, 301)


@pytest.mark.parametrize("check", cases("criteria", f"{ROOM}:lang_stress_MPa"), ids=str)
def test_both_branches_meet(check):
    holds(check, stress_MPa=lang_stress_MPa(**check.inputs))


@pytest.mark.parametrize("check", cases("criteria", f"{ROOM}:residual_stress"), ids=str)
def test_stress_from_hardness(check):
    inputs = {**check.inputs, "model": ResidualStress(check.inputs["model"])}
    found = residual_stress(**inputs).residual_stress_MPa
    holds(check, stress_MPa=found)


@pytest.mark.parametrize("check", cases("criteria", f"{ROOM}:measured_residual_stress"), ids=str)
def test_a_measured_stress_is_read_between_its_points(check):
    found = measured_residual_stress(**check.inputs)
    holds(check, stress_MPa=found.residual_stress_MPa)
    assert [notice.key for notice in found.notices] == ["residual_stress.measured_to"]


def profile(surface=700.0, core=350.0, case=0.9):
    return hardness_profile(
        depth_mm=DEPTH, surface_hardness_HV=surface, core_hardness_HV=core, case_depth_mm=case
    ).hardness_HV


@given(
    surface=st.floats(560, 850),
    core=st.floats(200, 540),
    case=st.floats(0.1, 2),
    half_thickness=st.floats(0.3, 3.0),
)
def test_no_force_is_left_when_balanced(surface, core, case, half_thickness):
    found = residual_stress(
        depth_mm=DEPTH,
        hardness_HV=profile(surface, core, case),
        core_hardness_HV=core,
        model=ResidualStress.BALANCED,
        half_thickness_mm=half_thickness,
    )
    fine = np.linspace(0, half_thickness, 4001)
    force = trapezoid(np.interp(fine, DEPTH, found.residual_stress_MPa), fine)
    assert force == pytest.approx(0, abs=0.05)
    assert (found.balance_MPa >= 0).all()


def test_beyond_the_last_depth_its_value_stays():
    mean = mean_to(
        depth_mm=np.array([0.0, 1.0]), value=np.array([0.0, 2.0]), reach_mm=np.array([0.5, 1.0, 4.0])
    )
    assert mean == pytest.approx([0.5, 1.0, 7 / 4])


def test_none_is_none_and_a_soft_skin_is_in_tension():
    shared = {"depth_mm": [0.0, 0.1], "hardness_HV": [300, 400], "core_hardness_HV": 350}
    assert not residual_stress(**shared, model=ResidualStress.NONE).residual_stress_MPa.any()
    skin = residual_stress(**shared, model=ResidualStress.LANG)
    assert skin.residual_stress_MPa.tolist() == [62.5, -62.5]
    assert [notice.key for notice in skin.notices] == ["lang.residual_stress.hardness_above_core_HV"]


def test_bad_input_is_named():
    shared = {"hardness_HV": [500, 400], "core_hardness_HV": 350}
    with pytest.raises(InputError, match=r"depth_mm.*\n.*half_thickness_mm"):
        residual_stress(depth_mm=[0.1, 0.2], **shared, model=ResidualStress.BALANCED)
    with pytest.raises(InputError, match="two points"):
        measured_residual_stress(depth_mm=0.1, measured_depth_mm=[0.1], measured_MPa=[1])
    with pytest.raises(InputError, match=r"one stress.*\n.*rise"):
        measured_residual_stress(depth_mm=0.1, measured_depth_mm=[0.1, 0.1], measured_MPa=[1])
