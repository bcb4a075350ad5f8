"""Case depth from a measured traverse."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.hardening.profile import hardness_profile
from gearcheck.hardening.traverse import traverse_case_depth, traverse_hardness
from tests.checks import cases, holds

HARD_CORE = "iso18203.traverse.hard_core"
DEPTHS = [0.1, 0.3, 0.5, 0.8, 1.2, 1.6]


@pytest.mark.parametrize(
    "check", cases("hardening", "gearcheck.hardening.traverse:traverse_case_depth"), ids=str
)
def test_case_depth_of_a_traverse(check):
    found = traverse_case_depth(**check.inputs)
    if check.id.startswith("HARD-20"):
        cautions = [notice for notice in found.notices if notice.key == HARD_CORE]
        holds(check, hardness_at_three_HV=found.hardness_at_three_HV, cautions=len(cautions))
    else:
        holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize(
    "check", cases("hardening", "gearcheck.hardening.traverse:traverse_hardness"), ids=str
)
def test_hardness_of_the_ground_surface(check):
    holds(check, hardness_HV=float(traverse_hardness(**check.inputs)))


@given(case=st.floats(0.3, 1.5), surface=st.floats(600, 800), core=st.floats(250, 500))
def test_a_traverse_through_a_profile_finds_its_case_depth(case, surface, core):
    depth = np.linspace(0, 5, 501)
    steel = {"surface_hardness_HV": surface, "core_hardness_HV": core, "case_depth_mm": case}
    profile = hardness_profile(depth_mm=depth, **steel)
    found = traverse_case_depth(depth_mm=depth, hardness_HV=profile.hardness_HV, criterion_HV=550)
    assert found.case_depth_mm == pytest.approx(case, abs=1e-3)
    below = hardness_profile(depth_mm=3 * case, **steel).hardness_HV
    assert found.hardness_at_three_HV == pytest.approx(below, abs=0.5)
    said = [HARD_CORE] if found.hardness_at_three_HV >= 450 else []
    assert [notice.key for notice in found.notices] == said


def test_an_indent_that_just_reaches_the_criterion_counts():
    found = traverse_case_depth(depth_mm=DEPTHS, hardness_HV=[700, 690, 600, 550, 500, 450], criterion_HV=550)
    assert found.case_depth_mm == 0.8


def test_a_soft_first_indent_stops():
    found = traverse_case_depth(depth_mm=DEPTHS, hardness_HV=[540, 690, 640, 560, 500, 450], criterion_HV=550)
    assert found.case_depth_mm is None
    assert found.stops[0].key == "iso18203.traverse.soft_surface"


def test_a_traverse_that_ends_in_the_case_stops():
    found = traverse_case_depth(depth_mm=DEPTHS, hardness_HV=[700, 690, 680, 660, 600, 551], criterion_HV=550)
    assert found.case_depth_mm is None
    assert found.stops[0].key == "iso18203.traverse.too_short"


def test_the_shallowest_crossing_counts_and_is_said():
    found = traverse_case_depth(depth_mm=DEPTHS, hardness_HV=[700, 600, 500, 580, 500, 450], criterion_HV=550)
    assert found.case_depth_mm == pytest.approx(0.4)
    assert found.notices[0].level is Level.CAUTION


def test_a_hard_core_asks_for_a_higher_limit_than_550():
    hardness = [[700, 650, 560, 540, 480, 460], [700, 650, 560, 540, 440, 400]]
    found = traverse_case_depth(depth_mm=DEPTHS, hardness_HV=hardness, criterion_HV=[[550], [575]])
    (notice,) = [item for item in found.notices if item.key == HARD_CORE]
    assert notice.level is Level.CAUTION
    assert "not under 450 HV: agree a limit hardness above 550 HV, in steps of 25 HV" in notice.text
    assert found.hardness_at_three_HV.shape == (2, 2)
    for row, column in np.ndindex(2, 2):
        one = traverse_case_depth(depth_mm=DEPTHS, hardness_HV=hardness[column], criterion_HV=(550, 575)[row])
        assert found.hardness_at_three_HV[row, column] == pytest.approx(one.hardness_at_three_HV)
        assert (HARD_CORE in [item.key for item in one.notices]) == (row == column == 0)


@pytest.mark.parametrize(("deepest", "said"), [(449.9, False), (450, True)])
def test_a_traverse_that_ends_sooner_is_judged_by_its_last_indent(deepest, said):
    found = traverse_case_depth(
        depth_mm=DEPTHS, hardness_HV=[700, 690, 680, 600, 500, deepest], criterion_HV=550
    )
    assert found.hardness_at_three_HV == deepest
    assert (HARD_CORE in [item.key for item in found.notices]) == said


def test_traverses_and_criteria_broadcast():
    hardness = np.array([[700, 690, 640, 560, 500, 450], [540, 690, 640, 560, 500, 450]])
    found = traverse_case_depth(depth_mm=DEPTHS, hardness_HV=hardness, criterion_HV=[[550], [513]])
    assert found.case_depth_mm.shape == (2, 2)
    for row, column in np.ndindex(2, 2):
        one = traverse_case_depth(
            depth_mm=DEPTHS, hardness_HV=hardness[column], criterion_HV=(550, 513)[row]
        ).case_depth_mm
        assert found.case_depth_mm[row, column] == pytest.approx(np.nan if one is None else one, nan_ok=True)


@pytest.mark.parametrize(
    ("depth", "hardness", "needed"),
    [
        ([0.1], [700], "at least two depths"),
        ([0.1, 0.1], [700, 500], "larger than the one before"),
        ([0.1, 0.2], [700, 600, 500], "2 hardnesses"),
    ],
)
def test_lists_that_are_no_traverse_are_refused(depth, hardness, needed):
    with pytest.raises(InputError, match=needed):
        traverse_case_depth(depth_mm=depth, hardness_HV=hardness, criterion_HV=550)


def test_outside_the_traverse_there_is_no_hardness():
    found = traverse_hardness(depth_mm=[0.1, 0.2], hardness_HV=[700, 690], at_mm=[0.05, 0.1, 0.2, 0.21])
    assert np.isnan(found).tolist() == [True, False, False, True]


def keys(**given):
    found = traverse_case_depth(criterion_HV=550, **given)
    return [one.key.removeprefix("iso18203.traverse.") for one in found.notices], found


def test_few_indents_are_said_and_only_leave_the_interval():
    said, found = keys(depth_mm=[0.8, 1.0], hardness_HV=[580, 540])
    assert said == ["few", "hard_core"]  # its last indent stands for the core
    assert found.curve_off_mm == pytest.approx(0.15)


@pytest.mark.parametrize(("below", "said"), [(1.1, []), (1.101, ["gap"]), (1.6, ["gap"])])
def test_a_gap_around_the_crossing_names_the_interval(below, said):
    found_keys, found = keys(depth_mm=[0.1, 0.5, 0.8, below, 2.0], hardness_HV=[700, 690, 600, 500, 400])
    assert found_keys == said
    if said:
        assert f"between 0.80 and {below:.2f} mm" in found.notices[0].text


@pytest.mark.parametrize(("first", "said"), [(660, []), (659, ["rising"]), (560, ["rising"])])
def test_hardness_that_rises_inwards_is_said(first, said):
    found_keys, found = keys(depth_mm=[0.1, 0.3, 0.5, 0.7, 0.9], hardness_HV=[first, 700, 650, 560, 440])
    assert found_keys == said
    if said:
        assert f"from {first} HV at 0.10 mm to 700 HV at 0.30 mm" in found.notices[0].text
        assert found.case_depth_mm == pytest.approx(0.7 + 0.2 * 10 / 120)


@given(case=st.floats(0.5, 1.5), step=st.floats(0.05, 0.3), shift=st.floats(0, 1))
def test_the_straight_line_is_off_by_no_more_than_is_said(case, step, shift):
    """A smooth course read by indents: the true depth stays near what the straight line may be off."""
    depth = 0.05 + step * (np.arange(25) + shift)

    def hardness(z):
        return 350 + 380 / (1 + (z / case) ** 4 * (180 / 200))

    found = traverse_case_depth(depth_mm=depth, hardness_HV=hardness(depth), criterion_HV=550)
    if found.case_depth_mm is None:
        return
    assert abs(found.case_depth_mm - case) <= 1.6 * found.curve_off_mm + 1e-4
