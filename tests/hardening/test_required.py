"""The solved case depth: against scans, limits and its own exposure."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gearcheck.basics.methods import Level
from gearcheck.hardening.exposure import permissible_share, subsurface_exposure
from gearcheck.hardening.required import required_case_depth
from tests.checks import cases, holds

REQUIRED = "gearcheck.hardening.required:required_case_depth"
CONTACT = {"half_width_mm": [0.2, 0.3, 0.4], "pressure_MPa": [1400, 1300, 1100]}
STEEL = {"surface_hardness_HV": 700, "core_hardness_HV": 300}


@pytest.mark.parametrize("check", cases("hardening", REQUIRED), ids=str)
def test_solved_depth_is_that_of_a_scan(check):
    required = required_case_depth(**check.inputs)
    holds(check, depth_mm=required.depth_mm, governing_depth_mm=required.governing_depth_mm)


@pytest.mark.parametrize(
    "check", cases("hardening", "gearcheck.hardening.exposure:subsurface_exposure"), ids=str
)
def test_exposure_over_depth(check):
    found = subsurface_exposure(**check.inputs)
    holds(check, shear_MPa=found.shear_stress_MPa, exposure=found.exposure)


@pytest.mark.parametrize(
    "check", cases("hardening", "gearcheck.hardening.exposure:permissible_share"), ids=str
)
def test_permissible_share(check):
    holds(check, share=permissible_share())


contacts = st.lists(st.tuples(st.floats(0.05, 0.8), st.floats(300, 1900)), min_size=1, max_size=5).map(
    lambda points: dict(
        zip(("half_width_mm", "pressure_MPa"), map(list, zip(*points, strict=True)), strict=True)
    )
)
steels = st.fixed_dictionaries(
    {"surface_hardness_HV": st.floats(580, 850), "core_hardness_HV": st.floats(150, 530)}
)
safeties = st.floats(0.7, 1.6)


def exposed(contact, steel, safety, case_depth_mm):
    """The largest exposure of a fine scan of the depths."""
    widest = max(contact["half_width_mm"])
    depth = np.concatenate((np.linspace(0, 4 * widest, 3001), np.linspace(4 * widest, 40 * widest, 600)))
    return subsurface_exposure(
        **contact, **steel, safety=safety, case_depth_mm=case_depth_mm, depth_mm=depth
    ).largest_exposure


@settings(max_examples=150, deadline=None)
@given(contact=contacts, steel=steels, safety=safeties)
def test_it_is_enough_and_less_is_not(contact, steel, safety):
    required = required_case_depth(**contact, **steel, safety=safety)
    depth = required.depth_mm
    assume(depth)
    assert exposed(contact, steel, safety, depth) <= 1 + 1e-8
    # at the governing depth itself: near the limit of the surface 0.5 % of depth changes the exposure little
    there = {"depth_mm": [required.governing_depth_mm], "safety": safety}
    at = subsurface_exposure(**contact, **steel, case_depth_mm=depth, **there)
    less = subsurface_exposure(**contact, **steel, case_depth_mm=0.995 * depth, **there)
    assert at.largest_exposure == pytest.approx(1, abs=1e-9)
    assert less.largest_exposure > 1


@settings(deadline=None)
@given(contact=contacts, steel=steels, safety=safeties)
def test_it_grows_with_load_and_safety(contact, steel, safety):
    def depth(**changed):
        return required_case_depth(**{**contact, **steel, "safety": safety, **changed}).depth_mm

    here = depth()
    assume(here is not None)
    for more in (
        {"pressure_MPa": [1.02 * p for p in contact["pressure_MPa"]]},
        {"safety": 1.02 * safety},
        {"half_width_mm": [1.02 * b for b in contact["half_width_mm"]]},
        {"half_width_mm": [*contact["half_width_mm"], 0.3], "pressure_MPa": [*contact["pressure_MPa"], 1000]},
    ):
        worse = depth(**more)
        assert worse is None or worse >= here - 1e-9
    double = depth(half_width_mm=[2 * b for b in contact["half_width_mm"]])
    assert double == pytest.approx(2 * here, rel=1e-7, abs=1e-12)


@settings(deadline=None)
@given(contact=contacts, steel=steels, safety=safeties)
def test_the_change_per_percent_is_the_slope(contact, steel, safety):
    # the constant divides the safety, so that a change of one is a change of the other
    def depth(percent):
        return required_case_depth(**contact, **steel, safety=safety / (1 + percent / 100))

    required = depth(0)
    assume(required.depth_mm and required.rise < 0.98)
    less, more = depth(-1e-3), depth(1e-3)
    # where two depths or two contacts ask for the same, the slope has a corner
    assume(less.point == more.point and less.relative_depth == pytest.approx(more.relative_depth, rel=1e-2))
    slope = (more.depth_mm - less.depth_mm) / 2e-3
    assert required.change_per_percent_mm == pytest.approx(slope, rel=2e-3)


def test_the_scan_reaches_where_the_core_takes_over():
    deep = required_case_depth(
        half_width_mm=[0.3], pressure_MPa=[1500], surface_hardness_HV=850, core_hardness_HV=150, safety=1.3
    )
    assert deep.relative_depth > 4
    assert deep.hardness_HV < 250


def test_exposure_at_the_solved_depth_is_kept_for_the_charts():
    required = required_case_depth(**CONTACT, **STEEL, safety=1.3)
    curves = required.exposure
    assert curves.depth_mm[-1] >= max(4 * 0.4, 2 * required.depth_mm)
    assert curves.depth_mm[0] == 0
    assert curves.largest_exposure == pytest.approx(1, abs=1e-3)
    assert curves.exposure.shape == curves.hardness_HV.shape == curves.depth_mm.shape
    assert required.exposure is curves


def test_no_depth_suffices_names_the_surface():
    required = required_case_depth(**CONTACT, **STEEL, safety=1.6)
    assert required.depth_mm is None
    assert required.change_per_percent_mm is None
    text = required.stops[0].text
    assert "the surface governs: 700 HV" in text
    # 610.1 MPa/1.6, and 0.30028 * 1400 MPa
    assert "381.3 MPa" in text
    assert "420.4 MPa" in text


def test_a_core_without_strength_is_named():
    required = required_case_depth(**CONTACT, surface_hardness_HV=700, core_hardness_HV=30, safety=1)
    assert required.depth_mm is None
    assert required.stops[0].key == "required_case_depth.core"


def test_pressure_without_a_value_stops():
    required = required_case_depth(half_width_mm=[0.2, np.nan], pressure_MPa=[900, np.nan], **STEEL, safety=1)
    assert required.depth_mm is None
    assert [notice.key for notice in required.stops] == ["required_case_depth.no_pressure"]


@pytest.mark.parametrize(
    "steel", [{"surface_hardness_HV": 540, "core_hardness_HV": 300}, {**STEEL, "core_hardness_HV": 560}]
)
def test_the_wrong_side_of_550_stops(steel):
    assert required_case_depth(**CONTACT, **steel, safety=1).depth_mm is None


def test_what_the_core_carries_needs_no_case():
    required = required_case_depth(half_width_mm=[0.1], pressure_MPa=[600], **STEEL, safety=1)
    assert required.depth_mm == 0
    assert required.change_per_percent_mm == 0
    keys = [notice.key for notice in required.notices]
    assert keys == ["required_case_depth.core_alone", "required_case_depth.shallow"]
    assert required.exposure.largest_exposure < 1


def test_no_load_needs_no_case():
    assert required_case_depth(half_width_mm=[0.0], pressure_MPa=[0.0], **STEEL, safety=1).depth_mm == 0


def test_it_cautions_below_the_standard_and_below_the_largest_shear():
    def keys(safety, standard):
        required = required_case_depth(**CONTACT, **STEEL, safety=safety, standard_depth_mm=standard)
        return {notice.key for notice in required.notices if notice.level is Level.CAUTION}

    assert keys(1.3, None) == keys(1.3, 0.38) == set()
    assert keys(1.3, 0.39) == {"required_case_depth.below_standard"}
    assert "required_case_depth.shallow" in keys(0.8, None)


def test_it_cautions_where_the_yield_line_is_extrapolated():
    required = required_case_depth(**CONTACT, **STEEL, safety=1.42)
    assert required.hardness_HV > 650
    assert any("650 HV" in notice.text for notice in required.notices)


def test_one_call_equals_many():
    rng = np.random.default_rng(7)
    b, p = rng.uniform(0.1, 0.5, (2, 3, 5)), rng.uniform(700, 1700, (2, 3, 5))
    surface, core = rng.uniform(600, 760, (2, 3)), rng.uniform(250, 450, 3)
    safety = np.array([[0.9], [1.3]])
    whole = required_case_depth(
        half_width_mm=b, pressure_MPa=p, surface_hardness_HV=surface, core_hardness_HV=core, safety=safety,
        standard_depth_mm=0.4,
    )  # fmt: skip
    assert whole.depth_mm.shape == (2, 3)
    assert np.isnan(whole.depth_mm).any()
    assert np.isfinite(whole.depth_mm).any()
    for row, column in np.ndindex(2, 3):
        one = required_case_depth(
            half_width_mm=b[row, column], pressure_MPa=p[row, column],
            surface_hardness_HV=surface[row, column], core_hardness_HV=core[column], safety=safety[row, 0],
        )  # fmt: skip
        if one.depth_mm is None:
            assert np.isnan(whole.depth_mm[row, column])
        else:
            assert whole.depth_mm[row, column] == pytest.approx(one.depth_mm, rel=1e-12)
            assert whole.point[row, column] == one.point
    assert whole.exposure.exposure.shape == (2, 3, 121)


def test_samples_may_come_with_the_steel_alone():
    many = required_case_depth(**CONTACT, surface_hardness_HV=[680, 720], core_hardness_HV=300, safety=1.2)
    assert many.depth_mm.shape == (2,)
    one = required_case_depth(**CONTACT, surface_hardness_HV=720, core_hardness_HV=300, safety=1.2)
    assert many.depth_mm[1] == pytest.approx(one.depth_mm, rel=1e-12)
