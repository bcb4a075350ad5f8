"""Core, retained austenite and hardness of a quenched case."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.basics.tables import table
from gearcheck.hardening.austenite import cold_treated_austenite, martensite_start, retained_austenite
from gearcheck.hardening.effective import effective_case_depths
from gearcheck.hardening.quench import core_hardness, jominy_distance, quench_severity
from gearcheck.hardening.quenched import (
    martensite_hardness,
    quenched_case,
    quenched_hardness,
)
from gearcheck.hardening.traverse import traverse_case_depth
from gearcheck.materials.composition import steel_composition
from gearcheck.materials.hardness import HV_from_HRC
from tests.checks import cases, holds

QUENCH = "gearcheck.hardening.quench:"
AUSTENITE = "gearcheck.hardening.austenite:"
QUENCHED = "gearcheck.hardening.quenched:"
COLD = {"quench_temperature_C": 25, "cold_temperature_C": -84}
DEPTH = np.linspace(0, 3, 61)
CARBON = 0.18 + 0.72 * np.exp(-((DEPTH / 0.9) ** 2))


def within(measured, least, greatest):
    """Whether each measured value lies in its range, in words."""
    measured, least, greatest = np.broadcast_arrays(measured, least, greatest)
    return [
        "yes" if low <= value <= high else "no"
        for value, low, high in zip(measured, least, greatest, strict=True)
    ]


@pytest.mark.parametrize("check", cases("quenched", QUENCH + "jominy_distance"), ids=str)
def test_section_and_bath_to_the_jominy_bar(check):
    if "section_in" in check.inputs:
        section = 25.4 * np.array(check.inputs["section_in"])
        found = jominy_distance(section_mm=section, severity=check.inputs["severity"])
        holds(check, sixteenths=found.distance_mm * 16 / 25.4)
    else:
        found = jominy_distance(**check.inputs)
        holds(check, ideal_diameter_mm=found.ideal_diameter_mm, distance_mm=found.distance_mm)


@pytest.mark.parametrize("check", cases("quenched", QUENCH + "core_hardness"), ids=str)
def test_hardness_of_the_core(check):
    given = dict(check.inputs)
    measured = given.pop("measured_HRC", None)
    found = core_hardness(**given)
    if measured:
        holds(check, measured_within=within(measured, found.least_HRC, found.greatest_HRC))
    else:
        holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize("check", cases("quenched", AUSTENITE + "martensite_start"), ids=str)
def test_start_of_martensite(check):
    composition = steel_composition(grade=check.inputs["grade"])
    found = martensite_start(carbon_percent=check.inputs["carbon_percent"], composition=composition)
    holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize("check", cases("quenched", AUSTENITE + "retained_austenite"), ids=str)
def test_austenite_after_the_quench(check):
    given = dict(check.inputs)
    if "grade" in given:
        composition = steel_composition(grade=given.pop("grade"))
        start = martensite_start(carbon_percent=given.pop("carbon_percent"), composition=composition)
        M_s = start.andrews_linear_C[:, None]
        holds(
            check,
            percent=retained_austenite(start_least_C=M_s, start_greatest_C=M_s, **given).least_percent,
        )
    else:
        found = retained_austenite(**given)
        holds(check, least_percent=found.least_percent, greatest_percent=found.greatest_percent)


@pytest.mark.parametrize("check", cases("quenched", AUSTENITE + "cold_treated_austenite"), ids=str)
def test_austenite_after_the_cold(check):
    given = dict(check.inputs)
    measured = given.pop("measured_percent", None)
    found = cold_treated_austenite(**given)
    least, greatest = np.broadcast_arrays(found.least_percent, found.greatest_percent)
    if measured:
        holds(check, measured_within=within(measured, least, greatest))
    else:
        shape = np.shape(check.expected["greatest_percent"])
        holds(check, least_percent=least, greatest_percent=np.broadcast_to(greatest, shape))


@pytest.mark.parametrize("check", cases("quenched", QUENCHED + "martensite_hardness"), ids=str)
def test_hardness_of_martensite(check):
    found = martensite_hardness(**check.inputs)
    holds(check, hardness_HRC=found.hardness_HRC, hardness_HV=found.hardness_HV)


@pytest.mark.parametrize("check", cases("quenched", QUENCHED + "quenched_hardness"), ids=str)
def test_hardness_as_quenched(check):
    found = quenched_hardness(**check.inputs)
    holds(check, without_austenite_HRC=found.without_austenite_HRC, hardness_HV=found.hardness_HV)


@pytest.mark.parametrize("check", cases("quenched", QUENCHED + "quenched_case"), ids=str)
def test_softest_and_hardest_case(check):
    found = quenched_case(**check.inputs)
    if "limit_within" in check.expected:
        holds(check, limit_within=within(550.0, found.softest_HV, found.hardest_HV)[1])
        return
    holds(check, softest_HV=found.softest_HV, hardest_HV=found.hardest_HV)


@pytest.mark.parametrize(
    "check", cases("quenched", "gearcheck.hardening.effective:effective_case_depths"), ids=str
)
def test_one_profile_by_each_criterion(check):
    holds(check, case_depth_mm=effective_case_depths(**check.inputs).case_depth_mm)


@given(section=st.floats(3, 90), severity=st.floats(0.2, 5), more=st.floats(1.01, 1.5))
def test_a_thicker_section_cools_slower_and_a_brisker_bath_faster(section, severity, more):
    found = jominy_distance(
        section_mm=[section, section * more, section], severity=[severity] * 2 + [severity * more]
    )
    known = found.ideal_diameter_mm
    assert np.isfinite(known).all()
    assert known[2] < known[0] < known[1]
    assert known[0] > section


def test_an_ideal_quench_leaves_the_section_as_it_is():
    found = jominy_distance(section_mm=50, severity=4000)
    assert found.ideal_diameter_mm == pytest.approx(50, rel=2e-3)
    assert [notice.level for notice in found.notices] == [Level.CAUTION]


def test_a_section_beyond_the_table_stops():
    found = jominy_distance(section_mm=[30, 190], severity=0.25)
    assert np.isnan(found.distance_mm).tolist() == [False, True]
    assert len(found.stops) == 1
    thin = jominy_distance(section_mm=0.01, severity=0.1)
    assert thin.distance_mm is None
    assert thin.stops[0].key == "grossmann.quench.biot"
    core = core_hardness(band="18CrNiMo7-6 +H", section_mm=190, severity_min=0.2, severity_max=0.25)
    assert core.least_HV is None
    assert core.greatest_HV is None
    assert core.stops


@given(section=st.floats(5, 60), low=st.floats(0.2, 0.6), high=st.floats(0.6, 1.5))
def test_the_core_is_a_range_that_holds_every_quench_between(section, low, high):
    steel = {"band": "18CrNiMo7-6 +H", "section_mm": section}
    wide = core_hardness(**steel, severity_min=low, severity_max=high)
    middle = core_hardness(**steel, severity_min=(low + high) / 2, severity_max=(low + high) / 2)
    assert wide.least_HV <= middle.least_HV < middle.greatest_HV <= wide.greatest_HV


def test_what_is_no_section_or_bath_is_refused():
    with pytest.raises(InputError, match=r"section_mm.*\n.*severity"):
        jominy_distance(section_mm=0, severity=-1)
    with pytest.raises(InputError, match="severity_max"):
        core_hardness(band="18CrNiMo7-6 +H", section_mm=20, severity_min=0.5, severity_max=0.4)
    with pytest.raises(InputError, match="oil, good agitation"):
        quench_severity(bath="oil, god agitation")


@given(
    carbon=st.floats(0.1, 1.0), step=st.floats(0.005, 0.05), grade=st.sampled_from(["SAE 9310", "SAE 8620"])
)
def test_more_carbon_keeps_more_austenite(carbon, step, grade):
    start = martensite_start(
        carbon_percent=[carbon, carbon + step], composition=steel_composition(grade=grade)
    )
    assert start.least_C[1] < start.least_C[0] <= start.greatest_C[0]
    found = retained_austenite(
        start_least_C=start.least_C, start_greatest_C=start.greatest_C, quench_temperature_C=25
    )
    assert (found.least_percent <= found.greatest_percent).all()
    assert found.least_percent[1] > found.least_percent[0]
    assert found.greatest_percent[1] >= found.greatest_percent[0]


def test_in_the_case_the_formulas_part_and_say_so():
    steel = steel_composition(grade="SAE 9310")
    core, case = (martensite_start(carbon_percent=carbon, composition=steel) for carbon in (0.2, 0.9))
    assert core.greatest_C - core.least_C < 10
    assert case.greatest_C - case.least_C > 90
    assert not core.notices
    assert [notice.level for notice in case.notices] == [Level.NOTE]


def test_a_measured_value_replaces_the_range():
    found = retained_austenite(
        start_least_C=100, start_greatest_C=150, quench_temperature_C=25, measured_percent=[np.nan, 31]
    )
    assert found.least_percent.tolist() == [pytest.approx(100 * np.exp(-0.011 * 125)), 31]
    assert found.greatest_percent.tolist() == [pytest.approx(100 * np.exp(-0.011 * 75)), 31]
    cold = cold_treated_austenite(
        before_least_percent=20,
        before_greatest_percent=28,
        **COLD,
        delay_h=24,
        tempered_before=False,
        measured_percent=14,
    )
    assert (cold.least_percent, cold.greatest_percent) == (14, 14)
    assert not cold.notices


@pytest.mark.parametrize(
    ("delay", "tempered", "least", "words"),
    [
        (1.0, False, 28 * np.exp(-0.011 * 109), ""),
        (1.1, False, 28, "a delay of 1.1 h, more than 1 h, makes"),
        (0.2, True, 28, "the temper before it makes"),
        (None, False, 28 * np.exp(-0.011 * 109), ""),
    ],
)
def test_delay_or_temper_take_the_benefit_away(delay, tempered, least, words):
    found = cold_treated_austenite(
        before_least_percent=28, before_greatest_percent=30, **COLD, delay_h=delay, tempered_before=tempered
    )
    assert found.least_percent == pytest.approx(least)
    assert found.greatest_percent == 30
    assert len(found.notices) == bool(words)
    assert words in "".join(notice.text for notice in found.notices)


def test_a_warm_cold_treatment_changes_nothing():
    found = cold_treated_austenite(
        before_least_percent=10,
        before_greatest_percent=12,
        quench_temperature_C=25,
        cold_temperature_C=60,
        delay_h=0,
        tempered_before=False,
    )
    assert (found.least_percent, found.greatest_percent) == (10, 12)


@given(core=st.floats(24, 46), austenite=st.floats(0, 60), carbon=st.floats(0.18, 1.0))
def test_austenite_softens_and_core_and_carbon_harden(core, austenite, carbon):
    def hardness(carbon, core, austenite):
        return quenched_hardness(
            carbon_percent=carbon,
            core_carbon_percent=0.18,
            core_hardness_HRC=core,
            austenite_percent=austenite,
        ).hardness_HV

    base = hardness(carbon, core, austenite)
    assert np.isfinite(base)
    assert hardness(carbon, core, min(austenite + 5, 100)) < base + 1e-9
    assert hardness(carbon, core + 1, austenite) >= base
    assert hardness(min(carbon + 0.01, 1), core, austenite) >= base
    assert hardness(carbon + 1e-9, core, austenite) == pytest.approx(base, abs=1e-3)


def test_the_core_keeps_its_hardness_and_the_rich_surface_dips():
    start = martensite_start(carbon_percent=CARBON, composition=steel_composition(grade="18CrNiMo7-6"))
    austenite = retained_austenite(
        start_least_C=start.least_C, start_greatest_C=start.greatest_C, quench_temperature_C=60
    )
    case = quenched_case(
        depth_mm=DEPTH,
        carbon_percent=CARBON,
        core_carbon_percent=0.18,
        core_least_HRC=34,
        core_greatest_HRC=44,
        austenite_least_percent=austenite.least_percent,
        austenite_greatest_percent=austenite.greatest_percent,
    )
    for hardness in (case.softest_HV, case.hardest_HV):
        assert 0 < hardness.argmax() < 30
        assert hardness[0] < hardness.max() - 30
    assert (case.softest_HV < case.hardest_HV).all()
    assert case.softest_HV[-1] == pytest.approx(336, abs=5)
    depths = effective_case_depths(
        depth_mm=DEPTH, hardness_HV=[case.softest_HV, case.hardest_HV], criteria_HV=[610, 550, 513]
    )
    assert depths.case_depth_mm.shape == (2, 3)
    assert (np.diff(depths.case_depth_mm, axis=1) > 0).all()
    assert (np.diff(depths.case_depth_mm, axis=0) > 0).all()
    assert "case.effective_depths.soft_skin" in [notice.key for notice in depths.notices]


def test_a_soft_skin_does_not_end_the_case():
    profile = {"depth_mm": [0, 0.2, 1, 1.2, 3], "hardness_HV": [500, 700, 600, 540, 350]}
    found = effective_case_depths(**profile, criteria_HV=[550, 710])
    assert found.case_depth_mm[0] == pytest.approx(1 + 0.2 * 50 / 60)
    assert np.isnan(found.case_depth_mm[1])
    skin = [notice.text for notice in found.notices if notice.level is Level.CAUTION]
    assert "The surface with 500 HV is softer than the limit hardness of 550 HV" in skin[0]
    assert [notice.key for notice in found.stops] == ["iso18203.traverse.soft_surface"]


def test_samples_stand_before_the_depths():
    case = quenched_case(
        depth_mm=DEPTH,
        carbon_percent=CARBON + np.array([[0.0], [0.05]]),
        core_carbon_percent=[0.18, 0.2],
        core_least_HRC=[30, 34],
        core_greatest_HRC=[40, 44],
        austenite_least_percent=5,
        austenite_greatest_percent=8,
    )
    assert case.softest_HV.shape == (2, DEPTH.size)
    one = quenched_hardness(
        carbon_percent=CARBON + 0.05, core_carbon_percent=0.2, core_hardness_HRC=34, austenite_percent=8
    )
    assert case.softest_HV[1] == pytest.approx(one.hardness_HV)


def test_a_core_without_value_leaves_no_depth():
    found = effective_case_depths(
        depth_mm=[0, 1, 2], hardness_HV=[[700, 600, 500], [np.nan] * 3], criteria_HV=[550]
    )
    assert np.isnan(found.case_depth_mm).tolist() == [[False], [True]]
    assert [notice.key for notice in found.notices] == [
        "iso18203.traverse.missing",
        "iso18203.traverse.hard_core",
    ]


def test_a_criterion_that_is_not_met_is_the_one_that_is_named():
    found = traverse_case_depth(depth_mm=[0, 1, 2], hardness_HV=[600, 560, 400], criterion_HV=[513, 550, 610])
    assert np.isnan(found.case_depth_mm).tolist() == [False, False, True]
    assert found.stops[0].text == "The first indent lies below 610 HV: the traverse gives no case depth."


@pytest.mark.parametrize(
    ("criterion", "said"), [(550, False), (575, False), (610, False), (513, False), (560, True)]
)
def test_an_unusual_limit_hardness_is_said(criterion, said):
    found = effective_case_depths(depth_mm=[0, 1, 3], hardness_HV=[700, 600, 300], criteria_HV=criterion)
    assert ("case.effective_depths.unusual" in [notice.key for notice in found.notices]) == said


def test_fifty_rockwell_is_its_conversion():
    row = table("case_criteria").row("50 HRC")
    assert row["HV"] == HV_from_HRC(hardness_HRC=50).hardness_HV


@pytest.mark.parametrize(
    ("changes", "needed"),
    [
        ({"carbon_percent": -0.1}, "carbon_percent"),
        ({"austenite_percent": 101}, "austenite_percent"),
    ],
)
def test_what_cannot_be_is_refused(changes, needed):
    steel = {
        "carbon_percent": 0.8,
        "core_carbon_percent": 0.2,
        "core_hardness_HRC": 35,
        "austenite_percent": 20,
    }
    with pytest.raises(InputError, match=needed):
        quenched_hardness(**{**steel, **changes})


def test_ranges_upside_down_are_refused():
    with pytest.raises(InputError, match="start_greatest_C"):
        retained_austenite(start_least_C=200, start_greatest_C=150, quench_temperature_C=25)
    with pytest.raises(InputError, match=r"before_greatest_percent.*\n.*delay_h"):
        cold_treated_austenite(
            before_least_percent=30, before_greatest_percent=20, **COLD, delay_h=-1, tempered_before=False
        )
    with pytest.raises(InputError, match=r"core_greatest_HRC.*\n.*austenite_greatest_percent"):
        quenched_case(
            depth_mm=[0, 1],
            carbon_percent=[0.8, 0.2],
            core_carbon_percent=0.2,
            core_least_HRC=40,
            core_greatest_HRC=35,
            austenite_least_percent=20,
            austenite_greatest_percent=10,
        )
