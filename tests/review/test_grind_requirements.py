"""What the heat of the grind must not do: where it turns, and what mends it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.places import scenarios
from gearcheck.hardening.grind_softening import tempered_loss_HV
from gearcheck.requirements.types import Calculation, Evidence
from gearcheck.review.callouts import callouts
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed, mending_changes, open_changes
from gearcheck.review.evidence_inputs import EvidenceHead
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.grinding import cut_limit, pass_heat
from gearcheck.review.inputs import ResultEvidence
from gearcheck.review.judge import judged
from gearcheck.review.remedies import remedies
from gearcheck.review.stations import case_depth
from gearcheck.review.whole import review

TRAM = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
CHAIN = calculate(TRAM)
SOFT, NEW = "grind.softening", "grind.rehardening"


def ground(**values):
    return replace(TRAM, grinding=replace(TRAM.grinding, **values))


def line(record, key=SOFT):
    return next(one for one in case_depth.lines(record, CHAIN) if one.key == key)


def answers(record):
    return {one.key: one for one in judged(record) if one.key.startswith("grind.")}


def loss(record):
    heat = pass_heat(record)
    return tempered_loss_HV(
        temperature_C=heat.surface_temperature_C,
        time_h=np.asarray(heat.contact_time_s) / 3600,
        temper_temperature_C=record.furnace.temper_temperature_C,
        temper_time_h=record.furnace.temper_time_h,
    )[1]


@settings(deadline=None, max_examples=40)
@given(
    energy=st.floats(15, 200),
    diameter=st.floats(20, 500),
    speed=st.floats(0.5, 2000),
    temper=st.floats(140, 250),
)
def test_it_turns_where_the_skin_loses_what_a_test_does_not_see(energy, diameter, speed, temper):
    record = replace(
        ground(specific_energy_J_mm3=energy, equivalent_diameter_mm=diameter, work_speed_mm_s=speed),
        furnace=replace(TRAM.furnace, temper_temperature_C=temper),
    )
    deepest = float(cut_limit(record).largest)
    assert deepest > 0
    below = replace(record, grinding=replace(record.grinding, depth_of_cut_mm=0.999 * deepest))
    above = replace(record, grinding=replace(record.grinding, depth_of_cut_mm=1.001 * deepest))
    assert line(below).demand < line(below).capacity
    assert loss(below) <= 20
    if deepest < 1:  # nothing deeper is looked at
        assert line(above).demand > line(above).capacity
        assert loss(above) > 20


def test_the_demo_meets_both_and_a_deeper_cut_fails_the_first_before_the_second():
    here = answers(TRAM)
    assert here[SOFT].by_calculation is Calculation.MEETS
    assert here[SOFT].share == pytest.approx(10 / 15.34, abs=1e-3)
    assert here[NEW].by_calculation is Calculation.MEETS
    tempered, burnt = answers(ground(depth_of_cut_mm=0.02)), answers(ground(depth_of_cut_mm=0.06))
    assert tempered[SOFT].by_calculation is Calculation.FAILS
    assert tempered[NEW].by_calculation is Calculation.MEETS
    assert burnt[NEW].by_calculation is Calculation.FAILS


def test_samples_in_one_pass_answer_as_one_by_one():
    energy = np.array([[20.0], [35.0], [80.0]])
    depth = np.array([0.005, 0.01, 0.03])
    many = line(ground(specific_energy_J_mm3=energy, depth_of_cut_mm=depth))
    met = np.asarray(many.demand <= many.capacity)
    assert met.shape == (3, 3)
    assert 0 < met.sum() < 9
    for row, column in np.ndindex(3, 3):
        one = line(ground(specific_energy_J_mm3=energy[row, 0], depth_of_cut_mm=depth[column]))
        assert (one.demand <= one.capacity) == met[row, column]


def test_the_limit_is_solved_once_for_the_same_pass_and_temper():
    assert cut_limit(TRAM) is cut_limit(changed(TRAM, {"torque": 900.0, "depth_of_cut": 0.02}))
    assert cut_limit(TRAM) is not cut_limit(changed(TRAM, {"temper": 200.0}))
    assert cut_limit(changed(TRAM, {"temper": 200.0})).largest > cut_limit(TRAM).largest


def test_what_is_missing_leaves_it_without_an_answer_and_without_a_grind_it_is_not_asked():
    bare = answers(replace(TRAM, furnace=None))
    assert bare[SOFT].by_calculation is Calculation.NOT_ASSESSED
    assert bare[SOFT].reason == "[gear.furnace] missing"
    assert bare[NEW].by_calculation is Calculation.MEETS
    assert answers(replace(TRAM, grinding=None)) == {}
    cold = answers(ground(specific_energy_J_mm3=5.0))
    assert {one.by_calculation for one in cold.values()} == {Calculation.NOT_ASSESSED}
    assert all("carries off" in one.reason for one in cold.values())


def test_a_creep_feed_has_a_limit_too():
    slow = ground(work_speed_mm_s=0.05, depth_of_cut_mm=0.9)
    found = line(slow)
    assert not found.reason
    assert np.isfinite(found.capacity)


def test_only_the_grind_itself_mends_it_and_it_mends_nothing_else():
    hot = ground(depth_of_cut_mm=0.02)
    found = {one.change.key: one.after for one in remedies(hot, SOFT)}
    assert set(found) == {"depth_of_cut", "grind_energy"}
    assert found["depth_of_cut"] == pytest.approx(0.0153)
    for key, value in found.items():
        assert answers(changed(hot, {key: value}))[SOFT].by_calculation is Calculation.MEETS
    others = {one.key for one in mending_changes(TRAM, "case.left.left")}
    assert "torque" in others
    assert others.isdisjoint(found)
    assert others < {one.key for one in open_changes(TRAM)}


def test_etch_and_noise_serve_it_and_a_burnt_flank_contradicts_it():
    whole = review(TRAM)
    serving = {item.key for item in whole.inspected.plan.serving(SOFT)}
    assert serving == {"surface_temper", "surface_temper.class", "barkhausen", "residual_stress.left"}
    callout = next(one for one in callouts(whole) if one.key == "burn")
    assert {SOFT, NEW} <= {one.key for one in callout.set_by}
    head = EvidenceHead(
        source="results.csv, line 2",
        sha256="0" * 64,
        revision="A",
        applies_to="serial number 0001",
        by="invented",
        date="2026-01-01",
        instrument="etch line",
        uncertainty=5.0,
    )
    burnt = ResultEvidence(head=head, characteristic="surface_temper", value=80.0)
    assert answers(replace(TRAM, result=(burnt,)))[SOFT].by_evidence is Evidence.CONTRADICTED
