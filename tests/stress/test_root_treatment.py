"""Factors on the root limit by heat treatment, over their range."""

import numpy as np
import pytest

from gearcheck.stress.inputs import Member
from gearcheck.stress.root import root_stress
from gearcheck.stress.root_limit import root_safety
from gearcheck.stress.root_treatment import (
    notch_sensitivity_factor,
    root_size_factor,
    root_surface_factor,
    slip_layer,
    static_notch_factor,
)
from tests.checks import cases, holds
from tests.formula import disagreements
from tests.stress.pairs import factors_of, helical
from tests.stress.treated import by_treatment, treated

TREATMENTS = (
    "case-carburised",
    "induction-hardened",
    "gas-nitrided",
    "nitrocarburised",
    "through-hardened",
)
each = pytest.mark.parametrize("treatment", TREATMENTS)


@pytest.mark.parametrize(
    "check", cases("stress", "gearcheck.stress.root_treatment:static_notch_factor"), ids=str
)
def test_static_notch_factor(check):
    holds(check, Y_d=by_treatment(static_notch_factor, **check.inputs))


@each
def test_notch_factors_rise_without_a_step_and_are_1_at_the_test_gear(treatment):
    steel = {"treatment": treatment, "yield_strength_MPa": 700.0}
    q_s, Y_S = np.linspace(1, 8, 7001), np.linspace(1, 4, 3001)
    long = notch_sensitivity_factor(notch_parameter=q_s, **steel)
    static = static_notch_factor(stress_correction_factor=Y_S, **steel)
    for found in (long, static):
        steps = np.diff(found)
        assert np.all((steps > 0) & (steps < 1e-3))
    assert notch_sensitivity_factor(notch_parameter=2.5, **steel) == 1
    assert static_notch_factor(stress_correction_factor=2.0, **steel) == pytest.approx(1)


@each
def test_surface_and_size_fall_and_keep_their_limits(treatment):
    rough = np.geomspace(1, 40, 2001)
    surface = root_surface_factor(root_roughness_um=rough, treatment=treatment)
    assert np.all(np.diff(surface) < 0)
    smooth = root_surface_factor(root_roughness_um=[0, 1 - 1e-9], treatment=treatment)
    assert smooth[0] == smooth[1]
    assert surface[0] == pytest.approx(smooth[1], abs=0.014)  # the standard's own step at 1 µm
    assert root_surface_factor(root_roughness_um=10, treatment=treatment) == pytest.approx(1, abs=2e-3)
    size = root_size_factor(normal_module_mm=np.linspace(0.3, 60, 6001), treatment=treatment)
    assert np.all(np.diff(size) <= 0)
    assert np.max(-np.diff(size)) < 1.1e-4
    assert size[0] == 1
    assert size[-1] >= 0.8


def test_slip_layer_of_a_through_hardened_steel_thins_with_its_strength_and_is_held_at_the_ends():
    strength = np.linspace(300, 1300, 2001)
    found = slip_layer(treatment="through-hardened", yield_strength_MPa=strength)
    assert np.all(np.diff(found) <= 0)
    assert np.max(-np.diff(np.log(found))) < 0.005
    assert found[[0, -1]] == pytest.approx([0.0281, 0.0014])
    assert slip_layer() == 0.0030


def test_a_missing_yield_strength_leaves_no_factor():
    given = {"treatment": "through-hardened"}
    assert np.isnan(notch_sensitivity_factor(notch_parameter=2, **given))
    assert np.isnan(static_notch_factor(stress_correction_factor=2, **given))


@each
def test_a_root_of_any_treatment_is_rated(treatment):
    pair = helical()
    root = root_stress(pair=pair, member=Member.WHEEL, factors=factors_of(pair))
    limits = treated(treatment, surface_hardness_HV=300.0, core_hardness_HV=300.0)
    given = {"root": root, "load_cycles": 1e8, "roughness_um": 16, "required_safety": 1.4}
    found = root_safety(limits=limits, **given)
    assert disagreements(found)[0] == []
    assert found.notices == ()
    assert 0 < found.safety < 5
    soft = treated(treatment, surface_hardness_HV=160.0, core_hardness_HV=160.0)
    keys = [notice.key for notice in root_safety(limits=soft, **given).notices]
    expected = ["iso6336_3.root_safety.yield_strength_MPa"] if treatment == "through-hardened" else []
    assert keys == expected
