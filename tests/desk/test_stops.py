"""What the sheet says where a stop or a missing section leaves requirements without an answer."""

import html
import re
from dataclasses import replace

import pytest

from gearcheck.basics.digits import NO_BREAK
from gearcheck.basics.places import scenarios
from gearcheck.desk.panels import head
from gearcheck.desk.panels.ladder import ladder_html
from gearcheck.desk.panels.numbers import reasons
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.panels.sentences import argument_html
from gearcheck.desk.state import Sheet
from gearcheck.duty.damage import BelowKnee
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file

LOST = "The transverse contact ratio ε α = 0.762 is below 1: contact is lost between the teeth."


@pytest.fixture(scope="module")
def stopped():
    """A gear whose teeth lose contact and are pointed."""
    record = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    return Sheet(changed(record, {"profile_shift": 2.0}))


def read(page):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_a_reason_that_many_share_is_said_once_and_not_on_a_scale(stopped):
    page = ladder_html(stopped.shown, stopped.ghost, Folds())
    assert read(page).count(LOST) == 1
    assert f"ε<sub>α</sub>{NO_BREAK}={NO_BREAK}0.762" in page
    group = page.split("<h2>Not assessed</h2>")[1]
    assert "gc-tick" not in group
    unknown = [item.key for item in stopped.shown.requirements if item.reason]
    assert len(unknown) == 9  # among them that its size can be measured
    # those that share a reason follow one another
    assert sorted(re.findall(r'data-key="([^"]+)"', group)) == sorted(unknown)


def test_what_shows_as_not_assessed_stands_under_a_head_of_its_own():
    sheet = Sheet(read_gear_file(scenarios() / "harvester" / "gear.toml"))
    said = read(ladder_html(sheet.shown, sheet.ghost, Folds()))
    assert said.count("[gear.case] missing") == 1
    assert "Not on the torque scale" not in said


def test_the_head_names_each_stop_once(stopped):
    said = read(head.outcome_html(stopped.shown))
    assert said.count(f"Stopped: {LOST}") == 1
    assert said.count("Stopped: Pinion: pointed tooth") == 1


def test_a_missing_section_is_no_stop():
    sheet = Sheet(read_gear_file(scenarios() / "harvester" / "gear.toml"))
    assert "Stopped" not in head.outcome_html(sheet.shown)


def test_what_has_no_value_is_not_spoken_of(stopped):
    said = "".join(argument_html(stopped, name) for name in ("geometry", "stress", "case depth", "accuracy"))
    assert "no value" not in said
    assert "active flank begins" not in said


def test_a_reason_that_is_given_twice_is_read_once(stopped):
    item = next(item for item in stopped.shown.requirements if item.reason)
    assert len(reasons(item)) == 2


def test_a_stress_that_has_no_value_is_told_in_words():
    """A duty of one light step, which the tests bear over twenty times."""
    record = read_gear_file(scenarios() / "harvester" / "gear.toml")
    step = Bin(torque_Nm=10.0, speed_rpm=300.0, hours=50.0)
    sheet = Sheet(replace(record, duty=Duty(bins=(step,), below_knee=BelowKnee.SAME_SLOPE)))
    said = read(argument_html(sheet, "fatigue"))
    assert "Against wheel: With confidence over 20 times the stresses" in said
    assert said.count("are supported") == 1  # those of the flank
