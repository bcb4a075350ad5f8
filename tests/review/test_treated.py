"""The prediction of furnace and grind: against the parts that it is made of, and what a change does to it."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.hardening.carbon import carbon_profile
from gearcheck.hardening.cycle import CarbonCriterion, GasStep
from gearcheck.hardening.diffusivity import Alloy, DiffusivityModel, alloyed_m2_s
from gearcheck.hardening.inputs import StepKind
from gearcheck.review.carburised import carbon_steel, furnace_cycle
from gearcheck.review.carried import carried_record
from gearcheck.review.changes import changed
from gearcheck.review.draft import draft_from_query
from gearcheck.review.furnace_guesses import FURNACE_QUESTIONS
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.process_changes import PROCESS_CHANGES
from gearcheck.review.rewrite import evidence_texts
from gearcheck.review.treated import criteria, predicted
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


def read(record, old, new):
    assert old in record.source_text
    return carried_record(record.source_text.replace(old, new, 1), evidence_texts(record))


def fault(record, old, new):
    with pytest.raises(InputError) as found:
        read(record, old, new)
    (one,) = found.value.faults
    return one.field, one.needed


def test_the_cycle_of_the_gear_file_is_that_of_the_diffusion(tram):
    first, second, last = furnace_cycle(tram.furnace)
    assert isinstance(first, GasStep)
    assert (first.hours, first.temperature_C, first.carbon_potential_wt) == (3.5, 930, 1.05)
    assert (second.transfer_m_s, last.end_temperature_C) == (1.5e-7, 840)
    alone = carbon_profile(
        cycle=furnace_cycle(tram.furnace),
        steel=carbon_steel(tram.furnace, tram.gear.steel.grade),
        criterion=CarbonCriterion.EN_10052,
        depth_mm=[0.5],
    )
    treated = predicted(tram).treated
    assert treated.carbon.surface_carbon_wt == pytest.approx(alone.surface_carbon_wt)
    at = np.interp(0.5, treated.depth_mm, treated.carbon.carbon_wt)
    assert at == pytest.approx(alone.carbon_wt[0], abs=1e-3)


def test_each_depth_lies_between_the_softest_and_the_hardest_and_names_its_criterion(tram):
    treated = predicted(tram).treated
    soft, hard = (np.asarray(one.case_depth_mm) for one in treated.depths)
    assert [name for name, _ in criteria()] == ["550 HV", "50 HRC", "610 HV"]
    assert np.all(soft < hard)
    assert soft[1] > soft[0] > soft[2]  # the softer the criterion the deeper
    assert np.all(treated.softest_HV <= treated.hardest_HV)
    # the core stays that of the quench
    assert treated.softest_HV[-1] == pytest.approx(treated.core.least_HV, abs=2)
    assert treated.softest_HV[-1] < treated.hardest_HV[-1] <= treated.core.greatest_HV


def test_a_measured_austenite_replaces_the_range_and_a_cold_treatment_lowers_its_end(tram):
    def surface(**given):
        found = predicted(replace(tram, furnace=replace(tram.furnace, **given))).treated.austenite
        return float(np.ravel(found.least_percent)[0]), float(np.ravel(found.greatest_percent)[0])

    low, high = surface()
    assert low < high
    assert surface(austenite_percent=18.0) == (18.0, 18.0)
    cold_low, cold_high = surface(cold_temperature_C=-80.0, cold_delay_h=0.5)
    assert cold_low < low
    assert cold_high == pytest.approx(high)
    assert surface(cold_temperature_C=-80.0, cold_delay_h=0.5, tempered_before_cold=True)[0] == pytest.approx(
        low
    )


def test_austenite_measured_at_the_surface_does_not_stand_in_the_core(tram):
    def austenite(**given):
        return predicted(replace(tram, furnace=replace(tram.furnace, **given))).treated.austenite

    plain = np.asarray(austenite().greatest_percent)
    for cold in ({}, {"cold_temperature_C": -80.0, "cold_delay_h": 0.5}):
        found = austenite(austenite_percent=30.0, **cold)
        assert np.asarray(found.least_percent) == pytest.approx(30.0 * plain / plain[0])
        assert found.greatest_percent[-1] < 3


def test_more_carbon_than_steel_holds_is_said_and_nothing_is_predicted(tram):
    furnace = replace(tram.furnace, saturation_factor=2.0)
    boost = replace(
        furnace.steps[0], kind=StepKind.SATURATED, carbon_potential_wt=None, transfer_m_s=None, hours=2.0
    )
    found = predicted(replace(tram, furnace=replace(furnace, steps=(boost,))))
    assert found.treated is None
    assert "% of carbon, more than 2 %" in found.no_treated
    assert found.ground.softening is None


def test_a_stock_as_deep_as_the_profile_leaves_something_to_look_at(tram):
    case = replace(tram.gear.case, left_stock_max_mm=4.0)
    found = predicted(replace(tram, gear=replace(tram.gear, case=case))).ground.softening
    assert found.depth_mm[-1] > 1
    assert np.isfinite(found.hardness_HV).all()


def test_no_slider_draft_or_guess_reaches_a_furnace_that_no_gear_file_may_hold(tram):
    (change,) = (one for one in PROCESS_CHANGES if one.key == "furnace_time")
    steps = tuple(
        replace(step, hours=hours) for step, hours in zip(tram.furnace.steps, (900, 5, 1), strict=True)
    )
    long = replace(tram, furnace=replace(tram.furnace, steps=steps))
    low, high = change.bounds(long)
    assert high == 1000
    for value in (low, high):
        assert predicted(changed(long, {"furnace_time": value})).no_treated == ""
    assert draft_from_query("furnace_time=1810", long)[1]
    (time,) = (one for one in FURNACE_QUESTIONS if one.key == "time")
    assert time.work(long) is None


def test_the_end_of_a_slider_is_taken_though_it_is_rounded(tram):
    (change,) = (one for one in PROCESS_CHANGES if one.key == "furnace_time")
    steps = tuple(
        replace(step, hours=hours)
        for step, hours in zip(tram.furnace.steps, (1 / 3, 2 / 3, 0.7), strict=True)
    )
    record = replace(tram, furnace=replace(tram.furnace, steps=steps))
    for end in change.bounds(record):
        for shown in (f"{end:.2f}", f"{end - 0.004:.10g}", f"{end + 0.004:.10g}"):
            draft, refused = draft_from_query(f"furnace_time={shown}", record)
            assert refused == ()
            assert change.bounds(record)[0] <= draft["furnace_time"] <= change.bounds(record)[1]
    beyond = change.bounds(record)[1] + 0.02
    assert draft_from_query(f"furnace_time={beyond}", record)[1]


def test_the_fit_by_composition_takes_that_of_the_steel(tram):
    lee = DiffusivityModel.LEE
    by_name = read(tram, 'diffusivity = "Collin, Gunnarson and Thulin 1972"', f'diffusivity = "{lee}"')
    steel = carbon_steel(by_name.furnace, by_name.gear.steel.grade)
    alone = Alloy(manganese_wt=0.7, silicon_wt=0.25, nickel_wt=1.55, chromium_wt=1.65, molybdenum_wt=0.3)
    assert steel.alloy == alone
    at = np.array([0.5]), np.array([930.0])
    assert steel.diffusivity_mm2_s(*at) == pytest.approx(0.9e6 * alloyed_m2_s(alone, *at))
    depth = predicted(by_name).treated.carbon.case_depth_mm
    assert depth != pytest.approx(float(predicted(tram).treated.carbon.case_depth_mm), abs=0.005)
    other = changed(by_name, {})
    other = replace(other, gear=replace(other.gear, steel=replace(other.gear.steel, grade="17CrNi6-6")))
    assert predicted(other).treated.carbon.case_depth_mm != pytest.approx(float(depth), abs=0.005)


def test_the_fit_by_composition_is_refused_where_no_composition_is_known(tram):
    lee = read(
        tram, 'diffusivity = "Collin, Gunnarson and Thulin 1972"', f'diffusivity = "{DiffusivityModel.LEE}"'
    )
    with pytest.raises(InputError) as found:
        read(lee, 'grade = "18CrNiMo7-6"', 'grade = "14NiCrMo13-4"')
    (one,) = found.value.faults
    assert one.field.startswith("gear.furnace.diffusivity")
    assert "14NiCrMo13-4" in one.why
    assert "18CrNiMo7-6" in one.needed
    constant = f'diffusivity = "{DiffusivityModel.CONSTANT}"'
    where, needed = fault(tram, 'diffusivity = "Collin, Gunnarson and Thulin 1972"', constant)
    assert where.startswith("gear.furnace.diffusivity")
    assert str(DiffusivityModel.LEE) in needed


@pytest.mark.parametrize("key", ["depth_of_cut", "grind_energy"])
def test_no_what_if_of_the_grind_leaves_what_a_gear_file_may_say(tram, key):
    (change,) = (one for one in PROCESS_CHANGES if one.key == key)
    for value in (change.least, change.most, 5.0 if key == "grind_energy" else 0.01):
        record = change.write(tram, value)
        low, high = change.bounds(record)
        assert low <= value <= high
        assert min(change.least, value) <= low <= high <= change.most


@pytest.mark.parametrize(
    ("key", "value", "deeper", "harder"),
    [("furnace_time", 10.0, True, None), ("temper", 220.0, None, False)],
)
def test_a_change_moves_the_prediction_the_right_way(tram, key, value, deeper, harder):
    before, after = (predicted(one).treated for one in (tram, changed(tram, {key: value})))
    if deeper is not None:
        assert (after.carbon.case_depth_mm > before.carbon.case_depth_mm) == deeper
    if harder is not None:
        assert (after.softest_HV[0] > before.softest_HV[0]) == harder


def test_a_hotter_grind_softens_and_the_limit_of_the_cut_keeps_it_from_it(tram):
    hot = changed(tram, {"grind_energy": 80.0})
    before, after = predicted(tram).ground, predicted(hot).ground
    assert before.softening.softened_depth_mm == 0
    assert after.softening.softened_depth_mm > 0
    assert after.softening.hardness_HV[0] < before.softening.hardness_HV[0]
    cut = float(after.limit.largest)
    assert cut < float(hot.grinding.depth_of_cut_mm)
    kept = predicted(changed(hot, {"depth_of_cut": 0.999 * cut})).ground.softening
    assert float(kept.greatest_loss_HV[0]) <= 20.0


def test_it_stands_among_the_workings_and_is_slower_work(tram):
    whole = review(tram)
    titles = [step.title for step in whole.workings]
    assert "Carbon over depth" in titles
    assert "Heat of the grind" in titles
    assert review(tram, with_settled=False).predicted is None
    assert review(replace(tram, furnace=None, grinding=None)).predicted is None


def test_what_is_missing_is_named(tram):
    bare = predicted(replace(tram, furnace=None))
    assert bare.no_treated == "[gear.furnace] missing"
    assert bare.ground.softening is None
    assert predicted(replace(tram, grinding=None)).no_ground == "[gear.grinding] missing"
    steel = replace(tram.gear.steel, grade="14NiCrMo13-4")
    other = predicted(replace(tram, gear=replace(tram.gear, steel=steel)))
    assert other.treated is None
    assert "no composition of 14NiCrMo13-4 is known" in other.no_treated


@pytest.mark.parametrize(
    ("old", "new", "field", "needed"),
    [
        (
            'carbon_potential = "1.05 %"\n',
            "",
            "gear.furnace.step[1].carbon_potential",
            "a value: the step is gas",
        ),
        ('kind = "gas"\n', f'kind = "{StepKind.SEALED}"\n', None, None),
        ('temperature = "930 °C"', 'temperature = "600 °C"', "gear.furnace.step[1].temperature", "727"),
        ('band = "18CrNiMo7-6 +H"', 'band = "unknown"', "gear.furnace.band", "18CrNiMo7-6 +HH"),
        (
            'temper_time = "2 h"',
            'temper_time = "2 h"\ncold = "-80 °C"',
            "gear.furnace.cold_delay",
            "both cold",
        ),
        ('specific_energy = "35 J/mm³"', 'specific_energy = "35"', "gear.grinding.specific_energy", "unit"),
    ],
)
def test_what_is_wrong_in_the_gear_file_is_named(tram, old, new, field, needed):
    if field is None:
        with pytest.raises(InputError) as found:
            read(tram, old, new)
        assert {one.needed for one in found.value.faults} == {"nothing: the step is no carbon"}
        return
    where, asked = fault(tram, old, new)
    assert where.startswith(field)
    assert needed in asked


@pytest.mark.parametrize("question", FURNACE_QUESTIONS, ids=lambda one: one.key)
def test_each_answer_is_that_of_the_calculation(tram, question):
    answer = question.work(tram)
    assert 0 <= answer.right < len(question.guesses)
    assert question.work(replace(tram, furnace=None, grinding=None)) is None
    first = predicted(tram)
    numbers = (
        f"{first.treated.carbon.case_depth_mm:.2f}",
        f"{(first.treated.softest_HV[0] + first.treated.hardest_HV[0]) / 2:.0f}",
        f"{first.ground.heat.rise_K:.0f}",
    )
    assert any(number in answer.tried[0].said for number in numbers)
