"""Decisions: each stands on one revision and beside one requirement; what is refused is written nowhere."""

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.decisions import answer, ask, concede, finish, may_be_conceded, set_action, withdraw
from gearcheck.record.events import Person
from gearcheck.record.steps import adopt_draft
from gearcheck.record.workspace import StaleWrite
from gearcheck.requirements.types import Stage
from tests.record.opened import AT, CASE_LEFT, FERN, HALE, PITCH, ROOT, edited, opened

ACT = {"about": ROOT, "text": "Ask the mill.", "owner": "B. Moss", "due": "2026-04-01"}
GRANT = {"about": ROOT, "reason": "The trough is lighter.", "limit": "serial number 0007"}


@pytest.fixture
def lift(tmp_path):
    return opened(tmp_path)


def refused(desk, step, *given, by=FERN, **named):
    """The fields that a refusal names; nothing may have been written."""
    with pytest.raises(InputError) as error:
        step(desk.workspace, desk.book, *given, by=by, **named)
    assert desk.workspace.last(desk.book.record) == desk.book.last
    return [fault.field for fault in error.value.faults]


def test_a_question_and_its_answer_stand_on_their_revisions(lift):
    lift.do(ask, about=ROOT, text=" Which lot? ")
    lift.do(ask, about="", text="Who files this?")
    lift.do(adopt_draft, {"torque": 14600.0}, reason="the trough is lighter")
    lift.do(answer, number=3, text="Lot 7.\nAs before.", by=HALE)
    first, second = lift.book.questions
    assert (first.number, first.about, first.text, first.by, first.at) == (3, ROOT, "Which lot?", FERN, AT)
    assert (first.revision, first.answer) == (1, "Lot 7.\nAs before.")
    assert (first.answered.revision, first.answered.by) == (2, HALE)
    assert (second.number, second.about, second.answered) == (4, "", None)


@pytest.mark.parametrize(
    ("given", "fields"),
    [
        ({"about": ROOT, "text": ""}, ["question"]),
        ({"about": "stress.root.none", "text": "Which lot?"}, ["requirement"]),
        ({"about": "", "text": "Which lot?", "by": Person(name="")}, ["written by"]),
        (
            {"about": "none", "text": "", "by": Person(name="", role="\n")},
            ["written by", "role", "requirement", "question"],
        ),
    ],
    ids=range(4),
)
def test_what_is_no_question_is_refused(lift, given, fields):
    assert refused(lift, ask, **given) == fields


def test_only_an_open_question_is_answered(lift):
    lift.do(ask, about="", text="Which lot?")
    assert refused(lift, answer, number=2, text="Lot 7.") == ["question"]
    assert refused(lift, answer, number=99, text="Lot 7.") == ["question"]
    assert refused(lift, answer, number=3, text="") == ["answer"]
    lift.do(answer, number=3, text="Lot 7.")
    assert refused(lift, answer, number=3, text="Lot 8.") == ["question"]
    assert lift.book.questions[0].answer == "Lot 7."


def test_an_action_has_an_owner_and_a_day_and_comes_to_an_end(lift):
    lift.do(set_action, **ACT)
    assert refused(lift, finish, number=3, note="") == ["note"]
    lift.do(finish, number=3, note="The mill agreed.", by=HALE)
    (action,) = lift.book.actions
    assert (action.owner, action.due, action.about) == ("B. Moss", "2026-04-01", ROOT)
    assert (action.note, action.done.by) == ("The mill agreed.", HALE)
    assert refused(lift, finish, number=3, note="Once more.") == ["action"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"text": " "}, "action"),
        ({"owner": ""}, "owner"),
        ({"owner": "B. Moss\nC. Reed"}, "owner"),
        ({"due": "2026-02-30"}, "due"),
        ({"due": "soon"}, "due"),
        ({"about": "none"}, "requirement"),
    ],
    ids=range(6),
)
def test_what_is_no_action_is_refused(lift, change, field):
    assert refused(lift, set_action, **{**ACT, **change}) == [field]


def test_a_concession_keeps_how_its_requirement_stood(lift):
    lift.do(concede, lift.whole, **GRANT)
    (granted,) = lift.book.concessions
    item = lift.requirement(ROOT)
    assert (granted.number, granted.revision, granted.by, granted.limit) == (3, 1, FERN, "serial number 0007")
    assert (granted.title, granted.standing["native"]) == (item.title, "S_F = 1.91, at least 2.00")
    assert granted.standing["demand"] == item.demand
    assert granted.standing["by_calculation"] == "fails"


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"about": "stress.flank.drum.gear"}, ["requirement"]),  # it meets
        ({"about": "case.left.right"}, ["requirement"]),  # it meets, and is shown
        ({"about": "none"}, ["requirement"]),
        ({"about": ""}, ["requirement"]),
        ({"reason": ""}, ["reason"]),
        ({"limit": " "}, ["limit"]),
        ({"by": Person(name="A. Fern")}, ["role"]),
        ({"by": Person(name=""), "reason": "", "limit": ""}, ["written by", "role", "reason", "limit"]),
    ],
    ids=range(8),
)
def test_what_is_no_concession_is_refused(lift, change, fields):
    assert refused(lift, concede, lift.whole, **{**GRANT, **change}) == fields


def test_what_blocks_a_stage_may_be_conceded_and_nothing_else(tmp_path):
    whole = opened(tmp_path / "1").whole
    keys = {item.key for item in whole.requirements if may_be_conceded(item, whole.record.part.stage)}
    assert keys == {ROOT, CASE_LEFT, PITCH}
    # without a traverse the evidence is open: that blocks a release, and no stage before it
    bare = opened(tmp_path / "2", "tunnel_fan").whole
    waiting = next(item for item in bare.requirements if item.key == CASE_LEFT)
    assert not may_be_conceded(waiting, bare.record.part.stage)


def test_open_evidence_is_conceded_at_a_release_only(tmp_path):
    from gearcheck.review.whole import review

    fan = review(edited("tunnel_fan", ('stage = "detail"', 'stage = "release"')), with_settled=False)
    waiting = next(item for item in fan.requirements if item.key == CASE_LEFT)
    assert waiting.by_evidence == "open"
    assert may_be_conceded(waiting, Stage.RELEASE)
    assert not may_be_conceded(waiting, Stage.DETAIL)


def test_only_a_standing_concession_is_withdrawn(lift):
    lift.do(concede, lift.whole, **GRANT)
    assert refused(lift, withdraw, number=2, reason="The owner took it back.") == ["concession"]
    assert refused(lift, withdraw, number=3, reason="") == ["reason"]
    lift.do(withdraw, number=3, reason="The owner took it back.", by=HALE)
    (granted,) = lift.book.concessions
    assert (granted.why_withdrawn, granted.withdrawn.by) == ("The owner took it back.", HALE)
    assert refused(lift, withdraw, number=3, reason="Once more.") == ["concession"]


def test_each_step_refuses_who_saw_an_older_state(lift):
    lift.do(ask, about="", text="Which lot?")
    lift.do(set_action, **ACT)
    lift.do(concede, lift.whole, **GRANT)
    seen = lift.book
    lift.do(ask, about="", text="Who files this?", by=HALE)
    tries = [
        (ask, (), {"about": "", "text": "Which lot?"}),
        (answer, (), {"number": 3, "text": "Lot 7."}),
        (set_action, (), ACT),
        (finish, (), {"number": 4, "note": "The mill agreed."}),
        (concede, (lift.whole,), GRANT),
        (withdraw, (), {"number": 5, "reason": "The owner took it back."}),
    ]
    for step, given, named in tries:
        with pytest.raises(StaleWrite, match=r"Hale \(chair\) asked question 6") as error:
            step(lift.workspace, seen, *given, by=FERN, **named)
        assert [event.number for event in error.value.events] == [6]
    assert lift.workspace.book("SL-040_E") == lift.book
