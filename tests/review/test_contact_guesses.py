"""The questions of the contact sheet: their answers are those of the calculation."""

from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.contact_guesses import CONTACT_QUESTIONS
from gearcheck.review.contact_of import at_torques, contact_of
from gearcheck.review.gear_file import read_gear_file

QUESTION = {one.key: one for one in CONTACT_QUESTIONS}


@pytest.fixture(scope="module")
def fan():
    return read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")


def nominal(record):
    of = contact_of(record, calculate(record), 0)
    return at_torques(of, of.torque_Nm)


def test_one_misplaced_tooth_fills_the_low_orders_and_leaves_the_tone_of_the_mesh(fan):
    answer = QUESTION["misplaced"].work(fan)
    assert answer.right == 1
    before, after = (
        float(word) for word in answer.tried[1].said.replace(" µm", "").split() if word[0].isdigit()
    )
    assert after == pytest.approx(before, rel=0.02)


def test_half_the_torque_is_that_of_a_draft_that_halves_it(fan):
    answer = QUESTION["half"].work(fan)
    drafted = nominal(changed(fan, answer.tried[1].values))
    assert answer.tried[1].said == f"{float(drafted.peak_to_peak_um):.2f} µm from peak to peak"
    assert answer.right == (0 if drafted.peak_to_peak_um < nominal(fan).peak_to_peak_um else 1)


def test_crowning_under_a_lean_is_answered_by_the_larger_of_both_pressures(fan):
    answer = QUESTION["crowned"].work(fan)
    before, after = (float(one.said.split(" MPa")[0]) for one in answer.tried)
    assert answer.right == (2 if abs(after / before - 1) < 0.05 else 0 if after < before else 1)


def test_a_record_without_a_loaded_contact_has_no_answer():
    lift = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    hollow = replace(lift, gear=replace(lift.gear, tip_relief_um=9000.0))
    assert "tip_relief" in contact_of(hollow, calculate(hollow), 0)
    assert all(one.work(hollow) is None for one in CONTACT_QUESTIONS)
