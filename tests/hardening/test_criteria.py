"""The criteria of the case: exposure and solved depth by each, against scans of their own."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.hardening.case_depths import case_depths
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_depth import criterion_case_depth
from gearcheck.hardening.fatigue_exposure import criteria_exposure
from gearcheck.hardening.figures import case_depth_figures
from gearcheck.hardening.inputs import CaseDepthRule
from gearcheck.hardening.profile import hardness_profile
from gearcheck.hardening.required import required_case_depth
from gearcheck.hardening.residual import ResidualStress, residual_stress
from gearcheck.materials.inputs import Quality
from tests.checks import cases, holds
from tests.stress import pairs

CONTACT = {"half_width_mm": 0.26505, "pressure_MPa": 1500.0, "friction": 0.06}
STEEL = {
    "surface_hardness_HV": 700.0,
    "core_hardness_HV": 350.0,
    "safety": 1.2,
    "inclusion_root_area_um": 30.0,
}
GIVEN = {**CONTACT, **STEEL, "residual_model": ResidualStress.LANG}
BALANCED = {"residual_model": ResidualStress.BALANCED, "half_thickness_mm": 3.0}
FIGURES = case_depth_figures(
    pair=pairs.spur(), gear=pairs.spur().pinion, flank_stress_MPa=1400.0, quality=Quality.MQ
)
SIDE = {**GIVEN, "figures": FIGURES, "rule": CaseDepthRule.ISO_6336_5}


@pytest.mark.parametrize(
    "check", cases("criteria", "gearcheck.hardening.fatigue_exposure:criteria_exposure"), ids=str
)
def test_exposure_by_each_pair(check):
    found = criteria_exposure(**check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize(
    "check", cases("criteria", "gearcheck.hardening.fatigue_depth:criterion_case_depth"), ids=str
)
def test_solved_depth_is_that_of_a_scan(check):
    inputs = {"inclusion_root_area_um": 30.0, **CONTACT, **check.inputs}
    inputs["criterion"] = Criterion(inputs["criterion"])
    inputs["residual_model"] = ResidualStress(inputs["residual_model"])
    found = criterion_case_depth(**inputs)
    holds(check, depth_mm=found.depth_mm, governing_depth_mm=found.governing_depth_mm)


@pytest.mark.parametrize("check", cases("criteria", "gearcheck.hardening.case_depths:case_depths"), ids=str)
def test_side_by_side(check):
    inputs = {**check.inputs, "residual_model": ResidualStress(check.inputs["residual_model"])}
    found = case_depths(**inputs, figures=FIGURES, rule=CaseDepthRule.ISO_6336_5)
    holds(check, **{name: getattr(found, name) for name in check.expected})


contacts = st.fixed_dictionaries(
    {
        "half_width_mm": st.lists(st.floats(0.1, 0.6), min_size=1, max_size=3),
        "pressure_MPa": st.floats(500, 2000),
        "friction": st.floats(-0.3, 0.3),
        "surface_hardness_HV": st.floats(580, 800),
        "core_hardness_HV": st.floats(150, 530),
        "safety": st.floats(0.8, 1.6),
        "inclusion_root_area_um": st.floats(10, 100),
    }
)
models = st.sampled_from([{"residual_model": ResidualStress.LANG}, BALANCED])
criteria = st.sampled_from(Criterion)


def exposed(given, model, criterion, case_depth_mm):
    """The largest exposure of fine steps of depth, by the function for profiles of any origin."""
    deepest = min(12 * max(given["half_width_mm"]), model.get("half_thickness_mm", np.inf))
    depth = np.linspace(0, deepest, 2001)
    profile = {name: given[name] for name in ("surface_hardness_HV", "core_hardness_HV")}
    hardness = hardness_profile(depth_mm=depth, **profile, case_depth_mm=case_depth_mm).hardness_HV
    residual = residual_stress(
        depth_mm=depth,
        hardness_HV=hardness,
        core_hardness_HV=given["core_hardness_HV"],
        model=model["residual_model"],
        half_thickness_mm=model.get("half_thickness_mm"),
    )
    names = ("half_width_mm", "pressure_MPa", "friction", "inclusion_root_area_um", "safety")
    found = criteria_exposure(
        **{name: given[name] for name in names},
        depth_mm=depth,
        hardness_HV=hardness,
        residual_stress_MPa=residual.residual_stress_MPa,
    )
    return found.largest(criterion)[0]


@settings(max_examples=60, deadline=None)
@given(given=contacts, model=models, criterion=criteria)
def test_it_is_enough_and_less_is_not(given, model, criterion):
    found = criterion_case_depth(criterion=criterion, **given, **model)
    # a case of less than some steps of the fine scan is not seen by it
    assume(found.depth_mm and found.depth_mm > 0.05 * max(given["half_width_mm"]))
    # the table of the rolling cycle is good to 1e-3 of p_0, which is 3e-3 of a strength near the surface
    assert exposed(given, model, criterion, found.depth_mm) == pytest.approx(1, abs=4e-3)
    # told at the depth of the grid that lies next to the top
    assert found.exposure == pytest.approx(1, abs=3e-3)
    slope = found.change_per_percent_mm
    if slope is not None and abs(slope) < 0.1 * found.depth_mm:
        assert exposed(given, model, criterion, 0.9 * found.depth_mm) > 1


@settings(max_examples=40, deadline=None)
@given(given=contacts)
def test_yielding_is_the_one_that_is_solved_exactly(given):
    exact = required_case_depth(
        **{name: given[name] for name in given if name not in ("friction", "inclusion_root_area_um")}
    ).depth_mm
    found = criterion_case_depth(criterion=Criterion.YIELDING, **given, residual_model=ResidualStress.NONE)
    assume(exact and found.depth_mm)
    assert found.depth_mm == pytest.approx(exact, rel=2e-3)


@settings(max_examples=40, deadline=None)
@given(given=contacts, criterion=criteria)
def test_it_grows_with_load_and_safety(given, criterion):
    def depth(**changed):
        return criterion_case_depth(
            criterion=criterion, **{**given, **changed}, residual_model=ResidualStress.NONE
        ).depth_mm

    here = depth()
    assume(here is not None)
    for more in ({"pressure_MPa": 1.03 * given["pressure_MPa"]}, {"safety": 1.03 * given["safety"]}):
        worse = depth(**more)
        assert worse is None or worse >= here * (1 - 1e-5)
    double = depth(half_width_mm=[2 * b for b in given["half_width_mm"]])
    assert double == pytest.approx(2 * here, rel=1e-5)


@pytest.mark.parametrize("criterion", Criterion)
def test_the_change_per_percent_is_the_slope(criterion):
    given = {**GIVEN, "core_hardness_HV": 250.0, "residual_model": ResidualStress.NONE}

    def depth(percent):
        # without residual stress the constant divides the safety
        return criterion_case_depth(criterion=criterion, **{**given, "safety": 1.2 / (1 + percent / 100)})

    found = depth(0)
    difference = (depth(0.1).depth_mm - depth(-0.1).depth_mm) / 0.2
    assert found.change_per_percent_mm == pytest.approx(difference, rel=0.05)
    assert difference < 0


def test_more_case_may_be_too_much():
    given = {
        "half_width_mm": 0.2939,
        "pressure_MPa": 1926.2,
        "friction": 0.06,
        "surface_hardness_HV": 592.86,
        "core_hardness_HV": 260.28,
        "safety": 1.5632,
        "inclusion_root_area_um": 30.0,
        "residual_model": ResidualStress.BALANCED,
        "half_thickness_mm": 2.7119,
    }
    found = criterion_case_depth(criterion=Criterion.DANG_VAN, **given)
    assert found.depth_mm < found.enough_to_mm
    assert "criterion_case_depth.too_deep" in {notice.key for notice in found.notices}
    as_list = {**given, "half_width_mm": [given["half_width_mm"]]}
    both = {name: as_list.pop(name) for name in ("residual_model", "half_thickness_mm")}
    inside = (found.depth_mm + found.enough_to_mm) / 2
    assert exposed(as_list, both, Criterion.DANG_VAN, inside) < 1
    assert exposed(as_list, both, Criterion.DANG_VAN, 1.2 * found.enough_to_mm) > 1


def test_samples_are_solved_as_one_by_one():
    safeties, cores = np.array([1.0, 1.2, 1.6]), np.array([250.0, 300.0, 400.0])
    for criterion in Criterion:
        given = {**GIVEN, **BALANCED, "criterion": criterion}
        together = criterion_case_depth(**{**given, "safety": safeties, "core_hardness_HV": cores})
        alone = [
            criterion_case_depth(**{**given, "safety": safety, "core_hardness_HV": core}).depth_mm
            for safety, core in zip(safeties, cores, strict=True)
        ]
        assert together.depth_mm == pytest.approx(np.array(alone, dtype=float), nan_ok=True)


@pytest.mark.parametrize(
    ("changed", "governs"),
    [
        ({"pressure_MPa": 3500.0}, "the case near its surface"),
        ({"largest_depth_mm": 0.15, "core_hardness_HV": 200.0}, "the core"),
    ],
)
def test_where_none_suffices_it_says_what_governs(changed, governs):
    found = criterion_case_depth(criterion=Criterion.SHEAR_AMPLITUDE, **{**GIVEN, **changed})
    (stop,) = found.stops
    assert found.depth_mm is None
    assert f"{governs} governs" in stop.text
    assert stop.key == "criterion_case_depth.none_suffices"


def test_what_is_weak_is_a_caution():
    found = criterion_case_depth(criterion=Criterion.SHEAR_AMPLITUDE, **GIVEN, standard_depth_mm=0.4)
    keys = {notice.key: notice.level for notice in found.notices}
    assert keys["criterion_case_depth.shallow"] is Level.CAUTION
    assert keys["criterion_case_depth.below_standard"] is Level.CAUTION
    mild = criterion_case_depth(criterion=Criterion.SHEAR_AMPLITUDE, **{**GIVEN, "pressure_MPa": 700.0})
    assert mild.depth_mm == 0
    assert "criterion_case_depth.core_alone" in {notice.key for notice in mild.notices}


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"surface_hardness_HV": 540.0}, "lang.hardness_profile.surface"),
        ({"core_hardness_HV": 560.0}, "lang.hardness_profile.core"),
        ({"safety": -1.0}, "case.criteria.safety"),
        ({"friction": 0.7}, "case.criteria.friction"),
        ({"pressure_MPa": None}, "criterion_case_depth.no_pressure"),
        ({"friction": None}, "criterion_case_depth.no_pressure"),
    ],
)
def test_stops_leave_no_value(changed, key):
    found = criterion_case_depth(criterion=Criterion.DANG_VAN, **{**GIVEN, **changed})
    assert found.depth_mm is None
    assert key in {notice.key for notice in found.stops}


def test_bad_input_is_named():
    with pytest.raises(InputError, match="half_thickness_mm"):
        criterion_case_depth(
            criterion=Criterion.DANG_VAN, **{**GIVEN, "residual_model": ResidualStress.BALANCED}
        )
    with pytest.raises(InputError, match="inclusion_root_area_um: missing"):
        criterion_case_depth(criterion=Criterion.DANG_VAN, **{**GIVEN, "inclusion_root_area_um": None})
    with pytest.raises(InputError, match="pressure_MPa"):
        criterion_case_depth(criterion=Criterion.DANG_VAN, **{**GIVEN, "pressure_MPa": -1.0})
    with pytest.raises(InputError, match="one for each depth"):
        criteria_exposure(
            **CONTACT,
            depth_mm=[0.1, 0.2],
            hardness_HV=[700.0, 690.0, 680.0],
            residual_stress_MPa=0.0,
            inclusion_root_area_um=30.0,
            safety=1.0,
        )


def test_a_softened_skin_raises_the_exposure_there_alone():
    depth = np.linspace(0.01, 1, 100)
    hard = hardness_profile(
        depth_mm=depth, surface_hardness_HV=700, core_hardness_HV=350, case_depth_mm=0.8
    ).hardness_HV
    given = {
        **CONTACT,
        "depth_mm": depth,
        "residual_stress_MPa": 0.0,
        "inclusion_root_area_um": 30.0,
        "safety": 1.2,
    }
    whole = criteria_exposure(**given, hardness_HV=hard)
    burnt = criteria_exposure(**given, hardness_HV=np.where(depth < 0.15, 450.0, hard))
    for name in ("yielding", "amplitude", "inclusions", "dang_van"):
        more = getattr(burnt, name) > getattr(whole, name)
        assert (more == (depth < 0.15)).all()


def test_too_soft_for_a_strength_is_a_stop():
    found = criteria_exposure(
        **CONTACT,
        depth_mm=[0.2],
        hardness_HV=[20.0],
        residual_stress_MPa=0.0,
        inclusion_root_area_um=30.0,
        safety=1.0,
    )
    assert np.isnan(found.amplitude).all()
    assert [notice.key for notice in found.stops] == ["case.criteria.soft"]


def test_why_names_both_ends_and_the_figures():
    found = case_depths(**SIDE)
    text = found.why()
    assert f"{found.least_mm:.2f} mm" in text
    assert f"{found.largest_mm:.2f} mm" in text
    assert "The figures of the standards, 0.39 to" in text
    assert text.count(". ") + 1 <= 3
    none = case_depths(**{**SIDE, "safety": np.array([1.2, 1.5])})
    assert none.why(1).startswith("The criteria ask for") or "no case depth suffices" in none.why(1)
    assert "By yielding no case depth suffices." in none.why(1)
    assert "By yielding" not in none.why(0)
