"""The release of the ship lift, from its first revision to a report that three people have signed."""

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.blocks import blocks, open_points
from gearcheck.record.closing import confirm, require_roles, take_signature
from gearcheck.record.decisions import answer, ask, concede, finish, set_action
from gearcheck.record.events import Person
from gearcheck.record.ledger import unconfirmed
from gearcheck.record.requests import read_request, request_text
from gearcheck.record.sealed import document_digest, read_notebook
from gearcheck.record.signatures import sign, signature_text
from gearcheck.record.steps import adopt_draft, adopt_file
from gearcheck.record.verify import verify
from gearcheck.record.words import event_words
from gearcheck.report.release import prepare, signed_notebook
from tests.record import signed as demo
from tests.record.opened import AT, CASE_LEFT, HALE, PITCH, ROOT, edited, gear, opened

MOSS = Person(name="B. Moss", role="metallurgy")
REED = Person(name="C. Reed", role="quality")


def states(desk):
    """What the requirements that matter here say, by calculation and by evidence."""
    return {
        key: (str(desk.requirement(key).by_calculation), str(desk.requirement(key).by_evidence))
        for key in (ROOT, CASE_LEFT, PITCH)
    }


def blocked(desk):
    return [one.about for one in blocks(desk.whole, desk.book)]


@pytest.fixture(scope="module")
def lift(tmp_path_factory):
    """The story itself; the tests below look at how it went and how it ended."""
    lift = opened(tmp_path_factory.mktemp("story"))
    lift.seen = []

    def note(what):
        lift.seen.append((what, blocked(lift), states(lift)))

    note("opened")
    lift.do(ask, about=CASE_LEFT, text="Can gear 0007 be used on the outer drums?", by=REED)
    lift.do(concede, lift.whole, about=CASE_LEFT, reason="0.05 mm less case stands the duty.", limit="0007")
    lift.do(concede, lift.whole, about=PITCH, reason="One tooth, and slow.", limit="0007", by=REED)
    lift.do(concede, lift.whole, about=ROOT, reason="Until the trough is weighed.", limit="500 h", by=HALE)
    note("conceded")
    lift.do(adopt_draft, {"torque": 14600.0}, reason="The trough was weighed: it is lighter.")
    note("lighter")
    lift.do(adopt_draft, {"case_depth": 1.5}, reason="Less case is enough.", by=MOSS)
    note("thinner")
    lift.do(adopt_draft, {"case_depth": 1.6}, reason="The customer wants the case as it was.", by=MOSS)
    note("back")
    lift.do(adopt_draft, {"torque": 14000.0}, reason="Counterweights are added.")
    note("meets")
    lift.do(answer, number=3, text="Yes, under the concession.", by=MOSS)
    lift.do(set_action, about="", text="Weigh the trough again.", owner="D. Hale", due="2026-06-01")
    lift.do(finish, number=lift.book.last, note="Weighed.", by=HALE)
    every = [item.what for item in unconfirmed(lift.whole, lift.book)]
    lift.every = len(every)
    for edition in ("ISO 6336-3:2019", "ISO 6336-2:2019"):
        mine = [what for what in every if edition[4:10].replace("-", "_") in what]
        lift.do(confirm, lift.whole, items=mine, edition=edition, clause="whole", date="2026-03-19", by=MOSS)
    lift.do(require_roles, roles=["design", "metallurgy", "quality"], by=HALE)
    note("ready")
    lift.book = prepare(lift.workspace, lift.book, by=HALE)
    note("prepared")
    for role in ("quality", "design", "metallurgy"):
        request = read_request(request_text(lift.book, role, lift.whole))
        made = sign(request, demo.KEYS[role], name=demo.WHO[role], at=AT)
        lift.do(take_signature, text=signature_text(made), by=HALE)
    note("signed")
    return lift


def told(lift, what):
    return next((blocks_then, states_then) for name, blocks_then, states_then in lift.seen if name == what)


def test_three_faults_block_at_first_and_concessions_lift_them_without_hiding_them(lift):
    assert told(lift, "opened")[0] == [ROOT, CASE_LEFT, PITCH]
    assert told(lift, "conceded")[0] == []
    assert told(lift, "opened")[1] == told(lift, "conceded")[1]


def test_another_torque_moves_the_root_and_takes_its_concession_away(lift):
    blocked_then, states_then = told(lift, "lighter")
    assert blocked_then == [ROOT]
    assert states_then[ROOT][0] == "fails"


def test_another_case_makes_evidence_stale_and_the_way_back_makes_it_hold(lift):
    blocked_then, states_then = told(lift, "thinner")
    assert states_then[CASE_LEFT] == ("meets", "stale")
    assert states_then[PITCH] == ("meets", "contradicted")
    # the concession was for gear 0007 as measured, not for no evidence at all
    assert CASE_LEFT in blocked_then
    assert PITCH not in blocked_then
    assert told(lift, "back") == told(lift, "lighter")
    assert [revision.source for revision in lift.book.revisions] == ["gear file"] + ["draft"] * 4


def test_with_less_torque_nothing_blocks(lift):
    blocked_then, states_then = told(lift, "meets")
    assert blocked_then == []
    assert states_then[ROOT][0] == "meets"
    assert told(lift, "signed") == told(lift, "ready")
    assert open_points(lift.book) == "No question and no action is open."


def test_what_was_confirmed_is_counted_and_its_mark_is_gone(lift):
    confirmed = len(lift.book.confirmations)
    assert 0 < confirmed < lift.every
    assert lift.book.prepared.unconfirmed == lift.every - confirmed


def test_the_report_is_signed_by_three_and_holds(lift):
    assert lift.book.is_signed
    assert lift.book.signed_revision == 5
    data = signed_notebook(lift.workspace, lift.book)
    assert document_digest(read_notebook(data)) == lift.book.prepared.digest
    found = verify(data, signers=demo.SIGNERS)
    assert found.exit_code == 0, found
    # a stranger's list says so: the signatures hold, and are of nobody known
    assert verify(data).exit_code != 0


def test_the_minutes_of_it_name_who_did_what(lift):
    said = [event_words(event) for event in lift.book.events]
    when = " on 20 March 2026 at 09:30 UTC"
    assert said[0] == f"A. Fern (design) opened the record{when}"
    assert said[2] == f"C. Reed (quality) asked question 3{when}"
    assert said[-1] == f"D. Hale (chair) took in a signature{when}"
    assert len(said) == lift.book.last
    assert lift.workspace.book("SL-040_E") == lift.book


def test_a_new_measurement_after_all_of_it_is_another_revision_that_nobody_signed(lift):
    text = lift.workspace.content(lift.book.revision.inputs).decode("utf-8")
    measured = edited("ship_lift", (gear("ship_lift").source_text, text), ('"1.93 mm"', '"1.99 mm"'))
    after = adopt_file(lift.workspace, lift.book, measured, by=MOSS, reason="The traverse was read again.")
    assert (after.prepared, after.is_signed, after.signed_revision) == (None, False, 5)
    assert after.revision.evidence[1]["came_in"] == 6
    late = signature_text(lift.book.signatures[0].signature)
    with pytest.raises(InputError, match="the record went on since"):
        take_signature(lift.workspace, after, by=HALE, text=late)
