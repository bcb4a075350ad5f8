"""What stands between a record and its signatures is said in sentences that name what lifts it."""

from dataclasses import replace

import pytest

from gearcheck.record.blocks import Block, blocks, open_points
from gearcheck.record.decisions import answer, ask, concede, finish, set_action, withdraw
from gearcheck.record.dispositions import dispose, due
from gearcheck.record.events import Person
from gearcheck.record.inspecting import add_result, strike
from gearcheck.record.steps import adopt_draft, open_record
from gearcheck.requirements.types import Calculation, Evidence, Stage
from gearcheck.review.whole import blocking, outcome, review
from tests.record.opened import CASE_LEFT, FERN, PITCH, ROOT, Desk, edited, opened, workspace_in

GRANT = {"reason": "agreed with the owner", "limit": "serial number 0007"}


@pytest.fixture
def lift(tmp_path):
    return opened(tmp_path)


def said(desk):
    return [str(one).replace("\xa0", " ") for one in blocks(desk.whole, desk.book)]


def test_three_things_block_the_lift_and_each_says_why_and_what_lifts_it(lift):
    assert said(lift) == [
        "Root stress, the gear against drum fails by calculation: S_F = 1.91, at least 2.00. "
        "A change that meets it, or a concession, lifts this.",
        "Case left after grinding, left flank is contradicted by evidence: stock ground off, left flank: "
        "0.380 mm measured, 0.150 mm to 0.250 mm asked, uncertainty 0.01 mm; Case after grinding, left "
        "flank: 1.55 mm left where 1.60 mm is specified (1.93 mm as treated, 0.38 mm ground off, at most "
        "0.25 mm drawn), uncertainty 0.03 mm. Evidence that shows it, or a concession, lifts this.",
        "Single pitch, right flank is contradicted by evidence: single pitch, right flank, tooth 12: 14.2 µm "
        "measured, over 13.0 µm of class 6, uncertainty 1 µm. "
        "Evidence that shows it, or a concession, lifts this.",
    ]
    assert [one.about for one in blocks(lift.whole, lift.book)] == [ROOT, CASE_LEFT, PITCH]


def test_a_concession_lifts_its_own_requirement_until_it_is_withdrawn(lift):
    for count, key in enumerate((ROOT, CASE_LEFT, PITCH), start=1):
        lift.do(concede, lift.whole, about=key, **GRANT)
        assert len(said(lift)) == 3 - count
    lift.do(withdraw, number=lift.book.concessions[1].number, reason="taken back")
    assert [one.about for one in blocks(lift.whole, lift.book)] == [CASE_LEFT]
    assert "no longer covers it" not in said(lift)[0]


def test_a_stale_concession_says_what_moved_and_still_what_lifts_it(lift):
    lift.do(concede, lift.whole, about=ROOT, **GRANT)
    number = lift.book.last
    lift.do(adopt_draft, {"torque": 14600.0}, reason="the trough is lighter")
    assert said(lift)[0] == (
        "Root stress, the gear against drum fails by calculation: S_F = 1.99, at least 2.00. "
        f"Concession {number} no longer covers it: Root stress, the gear against drum stood at "
        "S_F = 1.91, at least 2.00; it is now S_F = 1.99, at least 2.00. "
        "A change that meets it, or a concession, lifts this."
    )
    lift.do(concede, lift.whole, about=ROOT, **GRANT)
    assert len(said(lift)) == 2
    # where nothing blocks any more there is nothing to say of the concession
    lift.do(adopt_draft, {"torque": 14000.0}, reason="lighter still")
    assert lift.requirement(ROOT).by_calculation == "meets"
    assert len(said(lift)) == 2


def test_stale_evidence_says_what_moved(lift):
    lift.do(adopt_draft, {"class": 5}, reason="for the noise")
    lift.do(adopt_draft, {"stock": 0.2}, reason="less to grind")
    found = {one.about: str(one).replace("\xa0", " ") for one in blocks(lift.whole, lift.book)}
    assert found["accuracy.runout"].startswith(
        "Runout has stale evidence: least stock, left flank of the gear changed from 0.15 mm to 0.1 mm, "
    )
    assert found["accuracy.runout"].endswith("Evidence that shows it, or a concession, lifts this.")


def test_the_worst_stands_first(lift):
    answers = (
        (Calculation.MEETS, Evidence.OPEN),
        (Calculation.MEETS, Evidence.STALE),
        (Calculation.MEETS, Evidence.CONTRADICTED),
        (Calculation.NOT_ASSESSED, Evidence.SHOWN),
        (Calculation.FAILS, Evidence.SHOWN),
        (Calculation.FAILS, Evidence.CONTRADICTED),
    )
    items = tuple(
        replace(item, by_calculation=calculated, by_evidence=shown, reason="no value.")
        for item, (calculated, shown) in zip(lift.whole.requirements, answers, strict=False)
    )
    found = blocks(replace(lift.whole, requirements=items), lift.book)
    keys = [item.key for item in items]
    named = [one.about for one in found if one.about in keys]
    assert named == [keys[5], keys[4], keys[3], keys[2], keys[1], keys[0]]
    assert ".." not in "".join(map(str, found))


def test_every_requirement_that_blocks_is_named_and_no_other(tmp_path):
    for place, scenario in enumerate(("ship_lift", "tunnel_fan", "harvester")):
        desk = opened(tmp_path / str(place), scenario)
        assert {one.about for one in blocks(desk.whole, desk.book)} == {
            item.key for item in blocking(desk.whole)
        }


def test_missing_sections_and_evidence_block_a_release(tmp_path):
    workspace = workspace_in(tmp_path)
    record = edited("harvester", ('stage = "concept"', 'stage = "release"'))
    desk = Desk(workspace, open_record(workspace, record, by=FERN))
    found = {one.about: str(one) for one in blocks(desk.whole, desk.book)}
    assert found["case.tip"] == (
        "Case not too deep, tip is not assessed: [gear.case] missing. "
        "The missing input, or a concession, lifts this."
    )
    assert found["accuracy.runout"].startswith("Runout is open by evidence: needs evidence: runout")
    assert found["accuracy.runout"].endswith(". Evidence that shows it, or a concession, lifts this.")
    assert not blocks(review(edited("harvester"), with_settled=False), desk.book)


def test_what_the_drawing_alone_asks_for_blocks_like_any_need(lift):
    head = {"applies_to": "serial number 0007", "by": "T. Quill", "instrument": "gauge 8", "revision": "E"}
    values = {"characteristic": "lifting_eye", "found": "gauge sticks", "conforms": "no"}
    assert lift.requirement("inspection.drawing").by_evidence == "shown"
    lift.do(add_result, values={**values, **head, "date": "2026-03-06"})
    (found,) = [one for one in said(lift) if "lifting eye" in one]
    assert found.startswith("Asked by the drawing alone is contradicted by evidence: thread of")
    assert "3 are contradicted" in outcome(lift.whole)
    (waits,) = [one for one in due(lift.whole, lift.book) if one.characteristic.key == "lifting_eye"]
    quality = Person(name="M. Teal", role="quality")
    lift.do(dispose, lift.whole, by=quality, about=waits.key, verdict="reject", reason="the thread is torn")
    (found,) = [one for one in said(lift) if one.startswith("Asked by the drawing alone")]
    assert "has stale evidence" in found
    lift.do(strike, characteristic="lifting_eye", reason="it is lifted by a sling")
    assert "Asked by the drawing" not in " ".join(said(lift))


def test_what_the_drawing_alone_asks_for_holds_up_no_earlier_stage(tmp_path):
    lift = opened(tmp_path)
    head = {"applies_to": "serial number 0007", "by": "T. Quill", "instrument": "gauge 8", "revision": "E"}
    values = {"characteristic": "lifting_eye", "found": "gauge sticks", "conforms": "no"}
    lift.do(add_result, values={**values, **head, "date": "2026-03-06"})
    earlier = replace(lift.whole.record, part=replace(lift.whole.record.part, stage=Stage.DETAIL))
    assert "drawing alone" not in " ".join(str(one) for one in blocks(review(earlier), lift.book))


def test_a_value_within_its_uncertainty_is_said_to_be_so_and_not_to_be_missing(lift):
    head = {"applies_to": "furnace load 3117", "by": "N. Farrow", "instrument": "tester 1", "revision": "E"}
    values = {"characteristic": "retained_austenite", "value": "24 %", "uncertainty": "3 %"}
    lift.do(add_result, values={**values, **head, "date": "2026-03-06"})
    (found,) = [one for one in said(lift) if one.startswith("Retained austenite is open by evidence: ")]
    assert "24 % measured, at most 25 % asked" in found
    assert "needs evidence" not in found


def test_a_record_that_nobody_has_to_sign_is_not_signed(lift):
    found = blocks(lift.whole, replace(lift.book, roles=()))
    assert found[-1] == Block(about="", text="Nobody is named to sign: set the roles that have to.")


def test_open_points_are_counted_and_do_not_block(lift):
    assert open_points(lift.book) == "No question and no action is open."
    before = said(lift)
    lift.do(ask, about="", text="Which lot?")
    assert open_points(lift.book) == "1 question is open; that does not block signing."
    lift.do(set_action, about="", text="Ask the mill.", owner="B. Moss", due="2026-04-01")
    assert open_points(lift.book) == "1 question and 1 action are open; that does not block signing."
    lift.do(ask, about="", text="Who files this?")
    lift.do(finish, number=4, note="The mill agreed.")
    assert open_points(lift.book) == "2 questions are open; that does not block signing."
    assert said(lift) == before
    lift.do(answer, number=3, text="Lot 7.")
    lift.do(answer, number=5, text="C. Reed.")
    assert open_points(lift.book) == "No question and no action is open."
