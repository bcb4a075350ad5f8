"""A disposition lifts what was decided of one part and nothing else; what was rejected stays so."""

from dataclasses import replace

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.altered import _history
from gearcheck.record.blocks import blocks
from gearcheck.record.decisions import concede
from gearcheck.record.dispositions import contradictions, dispose, due
from gearcheck.record.events import Person
from gearcheck.record.inside import Carried
from gearcheck.record.inspecting import add_result
from gearcheck.record.standing import conceded
from gearcheck.record.steps import adopt_file, fork
from tests.record.opened import CASE_LEFT, FERN, PITCH, ROOT, edited, opened

QUALITY = Person(name="M. Teal", role="quality")
FLANK = "stress.flank.drum.gear"
HEAD = {"revision": "E", "by": "x", "date": "2026-03-08", "instrument": "y"}


@pytest.fixture
def lift(tmp_path):
    return opened(tmp_path)


def enter(lift, characteristic, value, serial="0007"):
    values = {"applies_to": f"serial number {serial}", "characteristic": characteristic, "value": value}
    lift.do(add_result, values=HEAD | values)


def waiting(lift, characteristic):
    found = [one for one in due(lift.whole, lift.book) if one.characteristic.key == characteristic]
    return {one.finding.applies_to.rpartition(" ")[2]: one for one in found}


def decide(lift, item, verdict, **given):
    words = {"reason": "decided", "limit": item.finding.applies_to, **given}
    lift.do(dispose, lift.whole, by=QUALITY, about=item.key, verdict=verdict, **words)


def blocking(lift):
    return {one.about for one in blocks(lift.whole, lift.book)}


def answer(lift, key):
    return lift.whole.inspected.answers[key]


def test_a_concession_of_a_finding_leaves_a_failure_by_calculation_where_it_is(lift):
    enter(lift, "root.roughness", "30 µm")  # 16 µm drawn; the root fails by calculation too
    decide(lift, waiting(lift, "root.roughness")["0007"], "concession")
    assert waiting(lift, "root.roughness") == {}
    assert ROOT not in conceded(lift.whole, lift.book)
    assert ROOT in blocking(lift)
    whole = lift.whole
    lift.do(concede, whole, about=ROOT, reason="the authority agreed", limit="0007", by=QUALITY)
    assert ROOT not in blocking(lift)


def test_a_concession_of_one_gear_says_nothing_of_another(lift):
    for serial in ("0008", "0009"):
        enter(lift, "flank.roughness", "9 µm", serial)
    decide(lift, waiting(lift, "flank.roughness")["0009"], "concession")
    assert FLANK in conceded(lift.whole, lift.book)
    assert list(waiting(lift, "flank.roughness")) == ["0008"]
    assert FLANK in blocking(lift)
    decide(lift, waiting(lift, "flank.roughness")["0008"], "concession")
    assert waiting(lift, "flank.roughness") == {}
    assert FLANK not in blocking(lift)


def test_a_concession_of_the_requirement_itself_covers_every_part(lift):
    for serial in ("0008", "0009"):
        enter(lift, "flank.roughness", "9 µm", serial)
    lift.do(concede, lift.whole, about=FLANK, reason="the oil film is thick", limit="the lot", by=QUALITY)
    assert waiting(lift, "flank.roughness") == {}
    assert FLANK not in blocking(lift)


def test_nothing_is_conceded_with_what_nobody_measured(lift):
    missing = edited("ship_lift", ('characteristic = "barkhausen"', 'characteristic = "accuracy.runout"'))
    lift.do(adopt_file, missing, reason="the probe is there; its result is not")
    enter(lift, "surface_temper", "60 %")
    (item,) = waiting(lift, "surface_temper").values()
    with pytest.raises(InputError) as error:
        decide(lift, item, "concession")
    assert "it would cover what nothing shows yet: Barkhausen noise" in str(error.value)
    enter(lift, "barkhausen", "1.1")
    decide(lift, waiting(lift, "surface_temper")["0007"], "concession")
    assert "quality.surface_temper" not in blocking(lift)


def test_a_concession_of_a_gear_is_none_of_another_one_that_measures_the_same(lift):
    decide(lift, waiting(lift, PITCH)["0007"], "concession")
    assert PITCH in conceded(lift.whole, lift.book)
    old = 'file = "pitch.csv"\nrevision = "E"\napplies_to = "serial number 000'
    lift.do(adopt_file, edited("ship_lift", (f"{old}7", f"{old}8")), reason="another gear")
    assert PITCH not in conceded(lift.whole, lift.book)
    assert list(waiting(lift, PITCH)) == ["0008"]


def test_what_contradicts_the_need_behind_a_limit_waits_too_and_is_not_accepted(tmp_path):
    lift = opened(tmp_path)
    window, following = 'finished = ["{} mm", "2.30 mm"]', "\n\n[gear.accuracy]"
    less = (window.format("1.60") + following, window.format("1.00") + following)
    shallow = edited("ship_lift", less, ('as_treated = "1.93 mm"', 'as_treated = "1.43 mm"'))
    lift.do(adopt_file, shallow, reason="1.05 mm left: enough for the drawing, 1.15 mm are needed")
    assert answer(lift, CASE_LEFT) == "shown"
    (item,) = waiting(lift, CASE_LEFT).values()
    assert [one.key for one in item.requirements] == ["case.needed.drum"]
    assert not item.may_be_accepted


def test_a_good_gear_does_not_speak_for_a_reworked_one(lift):
    enter(lift, PITCH, "9 µm", "0008")
    decide(lift, waiting(lift, PITCH)["0007"], "rework", first="grind", last="final")
    assert answer(lift, PITCH) == "stale"
    enter(lift, PITCH, "8 µm", "0009")
    assert answer(lift, PITCH) == "stale"
    enter(lift, PITCH, "8 µm", "0007")
    assert answer(lift, PITCH) == "shown"


def test_a_good_gear_speaks_for_the_need_once_the_bad_one_is_gone(lift):
    enter(lift, PITCH, "9 µm", "0008")
    decide(lift, waiting(lift, PITCH)["0007"], "reject")
    assert answer(lift, PITCH) == "shown"


def test_nothing_measured_on_a_rejected_gear_shows_anything_ever(lift):
    decide(lift, waiting(lift, PITCH)["0007"], "reject")
    assert answer(lift, "cracks") == "stale"
    enter(lift, PITCH, "9 µm")  # measured once more
    assert answer(lift, PITCH) == "stale"
    assert "rejected" in lift.whole.inspected.findings[PITCH][-1].why_stale
    other = edited("ship_lift", ('torque = "15.2 kN·m"', 'torque = "15.0 kN·m"'))
    lift.book = fork(lift.workspace, other, by=FERN, reason="another way", follows="SL-040_E")
    enter(lift, PITCH, "8 µm")
    assert answer(lift, PITCH) == "stale"
    assert contradictions(lift.whole) == ()


def test_a_history_that_gives_back_what_a_disposition_took_away_was_altered(lift):
    decide(lift, waiting(lift, PITCH)["0007"], "reject")
    book, last = lift.book, lift.book.revision
    fresh = replace(last, evidence=tuple({**one, "stale": ""} for one in last.evidence))
    forged = replace(book, revisions=(*book.revisions[:-1], fresh))
    carried = Carried(gear_file="", evidence={}, history=())
    about = {"part_number": "", "drawing_revision": "", "revision": 0, "roles": [], "contents": {}}
    said = "Evidence that disposition 3 took away holds again"
    assert not any(said in one for one in _history(about, carried, book))
    assert any(said in one for one in _history(about, carried, forged))
