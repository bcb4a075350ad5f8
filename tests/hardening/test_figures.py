"""Case depth by the figures of the standards."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.hardening.figures import case_depth_figures, case_depth_limits, governing_depth
from gearcheck.hardening.inputs import CaseDepthRule
from gearcheck.materials.inputs import Quality
from tests.checks import cases, holds


def figures(
    *, stress=1400.0, diameter=80.0, angle=20.0, helix=0.0, ratio=2.0, module=4.0, tip=2.8, quality="MQ"
):
    """The figures of a pair that needs no teeth of its own."""
    pair = SimpleNamespace(
        normal_module_mm=module, working_pressure_angle_deg=angle, base_helix_angle_deg=helix,
        gear_ratio=ratio, pinion=SimpleNamespace(working_pitch_diameter_mm=diameter),
    )  # fmt: skip
    gear = SimpleNamespace(tip_thickness_mm=tip)
    return case_depth_figures(pair=pair, gear=gear, flank_stress_MPa=stress, quality=Quality(quality))


def _shear(inputs):
    found = figures(
        stress=inputs["flank_stress_psi"] * 0.45359237 * 9.80665 / 25.4**2,
        diameter=25.4 * inputs["pinion_diameter_in"],
        angle=inputs["pressure_angle_deg"],
        ratio=inputs["gear_ratio"],
    )
    return {"shear_in": found.shear_mm / 25.4}


def _curves(inputs):
    found = figures(module=25.4 / np.array(inputs["diametral_pitch_1_in"]))
    return {"normal_in": found.normal_mm / 25.4, "heavy_in": found.heavy_mm / 25.4}


def _rule_of_thumb(inputs):
    module = np.array(inputs["normal_module_mm"])
    found = figures(module=module)
    root = (found.root_least_mm + found.root_largest_mm) / 2
    return {"normal_per_module": found.normal_mm / module, "root_per_module": root / module}


def _tip(inputs):
    return {
        "tip_limit_mm": figures(
            module=inputs["normal_module_mm"], tip=inputs["tip_thickness_mm"]
        ).tip_limit_mm
    }


def _hardening_factor(inputs):
    # at a ratio of 1 and 20 degrees, R = d sin(alpha)/4
    diameter = 4 * inputs["reduced_radius_mm"] / np.sin(np.radians(20))
    by = {q: figures(stress=inputs["pressure_MPa"], diameter=diameter, ratio=1, quality=q) for q in Quality}
    found = {f"{quality}_mm": item.crushing_mm for quality, item in by.items()}
    widths = {f"{q}_half_widths": found[f"{q}_mm"] / inputs["half_width_mm"] for q in ("ML", "MQ")}
    return found | widths | {"AGMA_mm": by[Quality.ML].shear_mm}


WAYS = {
    "CASE-01": _shear,
    "CASE-04": _curves,
    "CASE-06": _rule_of_thumb,
    "CASE-07": _tip,
    "CASE-UH": _hardening_factor,
}


@pytest.mark.parametrize(
    "check", cases("hardening", "gearcheck.hardening.figures:case_depth_figures"), ids=str
)
def test_cited_figures(check):
    holds(check, **WAYS[check.id](check.inputs))


def test_the_rule_picks_its_own_figure():
    found = figures()
    picked = {rule: governing_depth(found, rule) for rule in CaseDepthRule}
    assert picked == {
        CaseDepthRule.ISO_6336_5: found.crushing_mm,
        CaseDepthRule.AGMA_2101_SHEAR: found.shear_mm,
        CaseDepthRule.AGMA_2101_NORMAL: found.normal_mm,
        CaseDepthRule.AGMA_2101_HEAVY: found.heavy_mm,
    }
    assert len(set(picked.values())) == 4


def test_the_curves_meet_at_diametral_pitch_20():
    pitch = np.linspace(19, 21, 2001)
    found = figures(module=25.4 / pitch)
    assert pitch[np.abs(found.normal_mm - found.heavy_mm).argmin()] == pytest.approx(20.11, abs=0.01)


@given(
    stress=st.floats(400, 2000), diameter=st.floats(20, 500), ratio=st.floats(1, 8), helix=st.floats(0, 30)
)
def test_the_depth_follows_stress_and_curvature(stress, diameter, ratio, helix):
    found = figures(stress=stress, diameter=diameter, ratio=ratio, helix=helix)
    radius = diameter * np.sin(np.radians(20)) / 2 * ratio / (ratio + 1) / np.cos(np.radians(helix))
    assert found.crushing_mm == pytest.approx(2 * stress * radius / 66000, rel=1e-12)
    assert found.shear_mm == pytest.approx(1.5 * found.crushing_mm, rel=1e-12)


@given(module=st.floats(1.27, 25.4), tip=st.floats(0.1, 20))
def test_limits_of_the_largest_depth(module, tip):
    found = figures(module=module, tip=tip)
    assert found.tip_limit_mm == min(0.4 * module, 0.56 * tip)
    assert found.largest_mm == min(0.4 * module, 6)
    assert found.root_least_mm < found.root_largest_mm < 0.4 * module
    assert found.normal_mm <= found.heavy_mm * 1.001
    assert found.notices == ()


@given(module=st.floats(1.27, 25.4), tip=st.floats(0.1, 20))
def test_the_limits_need_no_stress(module, tip):
    found, alone = (
        figures(module=module, tip=tip),
        case_depth_limits(normal_module_mm=module, tip_thickness_mm=tip),
    )
    assert (alone.largest_mm, alone.tip_limit_mm) == (found.largest_mm, found.tip_limit_mm)


def test_limits_of_samples_equal_scalars():
    module, tip = np.array([[3.0], [20.0]]), np.array([1.0, 9.0])
    whole = case_depth_limits(normal_module_mm=module, tip_thickness_mm=tip)
    assert whole.tip_limit_mm == pytest.approx(np.array([[0.56, 1.2], [0.56, 5.04]]))
    assert whole.largest_mm == pytest.approx(np.array([[1.2], [6.0]]))


def test_a_module_outside_the_curves_is_noted():
    assert "m_n from 1.27 to 25.4 mm" in figures(module=1.0).notices[0].text


def test_no_stress_has_no_depth_but_the_curves_stay():
    found = figures(stress=None)
    assert (found.crushing_mm, found.shear_mm) == (None, None)
    assert found.normal_mm > 0


def test_samples_equal_scalars():
    stress, module = np.array([900.0, 1300.0]), np.array([3.0, 5.0])
    whole = figures(stress=stress, module=module)
    for row in range(2):
        one = figures(stress=stress[row], module=module[row])
        assert whole.crushing_mm[row] == pytest.approx(one.crushing_mm, rel=1e-14)
        assert whole.heavy_mm[row] == pytest.approx(one.heavy_mm, rel=1e-14)
