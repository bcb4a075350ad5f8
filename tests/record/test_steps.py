"""Revisions: opened, adopted, forked; what is refused is written nowhere."""

import hashlib
from dataclasses import replace

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.events import Kind, Person
from gearcheck.record.keeping import record_of
from gearcheck.record.steps import adopt_draft, adopt_file, drafted, fork, gear_files, open_record, says
from gearcheck.record.workspace import StaleWrite, Workspace
from tests.record.opened import AT, CASE_LEFT, FERN, HALE, edited, folder_of, gear, opened, workspace_in

THINNER = {"case_depth": 1.5}


@pytest.fixture
def lift(tmp_path):
    return opened(tmp_path)


def fields(error):
    return [fault.field for fault in error.value.faults]


def stale(book):
    return [item["stale"] for item in book.revision.evidence if item["stale"]]


def test_a_record_begins_with_its_file_and_all_its_evidence(lift):
    book, folder = lift.book, folder_of("ship_lift")
    assert [event.kind for event in book.events] == [Kind.OPENED, Kind.REVISED]
    assert (book.record, book.part_number, book.drawing_revision) == ("SL-040_E", "SL-040", "E")
    assert (book.follows, book.fork, book.title) == ("", "", "Ship-lift hoist pinion")
    assert (book.revision.revision, book.revision.source, book.revision.at) == (1, "gear file", AT)
    assert book.revision.digest == gear("ship_lift").digest
    assert book.revision.inputs == hashlib.sha256((folder / "gear.toml").read_bytes()).hexdigest()
    assert len(book.revision.evidence) == 36  # 7 of its own, 3 traverses, 26 results
    assert all(item["came_in"] == 1 and not item["stale"] for item in book.revision.evidence)
    names = ("gear.toml", *(path.name for path in folder.glob("*.csv")))
    assert len(names) == 8
    assert gear_files(lift.workspace, book) == {name: (folder / name).read_bytes() for name in names}


def test_nobody_opens_a_record_without_a_name(tmp_path):
    workspace = workspace_in(tmp_path)
    for name in ("", "  ", "A\nFern", "x" * 201):
        with pytest.raises(InputError) as error:
            open_record(workspace, gear("tunnel_fan"), by=Person(name=name))
        assert fields(error) == ["written by"]
    assert workspace.records() == ()


def test_another_drawing_revision_follows_the_record_before(tmp_path):
    ticks = iter(range(60))
    workspace = Workspace(tmp_path / "w.sqlite", now=lambda: f"2026-03-20T09:30:{next(ticks):02}Z")
    drawings = {drawn: edited("ship_lift", ('revision = "E"', f'revision = "{drawn}"')) for drawn in "EFG"}
    first = open_record(workspace, drawings["E"], by=FERN)
    second = open_record(workspace, drawings["F"], by=FERN)
    assert (second.record, second.follows, second.fork) == ("SL-040_F", "SL-040_E", "")
    # a fork is a side branch: the next drawing does not follow it, though it was written to last
    fork(workspace, drawings["E"], by=FERN, reason="a lighter trough", follows=first.record)
    assert open_record(workspace, drawings["G"], by=FERN).follows == "SL-040_F"
    assert open_record(workspace, gear("harvester"), by=FERN).follows == ""


def test_an_adopted_file_says_what_changed_and_what_moved(lift):
    lighter = edited("ship_lift", ("15.2 kN·m", "14.6 kN·m"))
    book = lift.do(adopt_file, lighter, reason="The trough is lighter.", by=HALE)
    revision = book.revision
    assert (revision.revision, revision.by, revision.reason) == (2, HALE, "The trough is lighter.")
    assert revision.digest == lighter.digest != book.revisions[0].digest
    assert len(revision.changes) == 1
    assert revision.changes[0].replace("\xa0", " ") == "torque: 15200 N·m to 14600 N·m"
    root = next(one for one in revision.moved if one["key"] == "stress.root.drum.gear")
    assert "1.91" in root["before"]
    assert "1.99" in root["after"]
    assert record_of(lift.workspace, book).digest == lighter.digest
    assert record_of(lift.workspace, book, 1).digest == gear("ship_lift").digest


def test_another_comment_is_a_revision_without_a_change(lift):
    other = edited("ship_lift", ("Our own invention, see story.md.", "Ours, see story.md."))
    assert other.digest == lift.book.revision.digest
    assert says(lift.book.revision, other)
    book = lift.do(adopt_file, other, reason="a clearer comment")
    assert (book.revision.revision, book.revision.changes, book.revision.moved) == (2, (), ())
    assert not stale(book)


@pytest.mark.parametrize(
    ("record", "reason", "field"),
    [
        (gear("ship_lift"), "why not", "revision"),
        (gear("tunnel_fan"), "why not", "gear file"),
        (edited("ship_lift", ('revision = "E"', 'revision = "F"')), "why not", "gear file"),
        (edited("ship_lift", ("15.2 kN·m", "15.0 kN·m")), " ", "reason"),
        (edited("ship_lift", ("15.2 kN·m", "15.0 kN·m")), "x" * 4001, "reason"),
        (edited("ship_lift", ("15.2 kN·m", "15.0 kN·m")), "the\x00torque", "reason"),
    ],
    ids=["nothing changed", "another part", "another drawing", "no reason", "too long", "control"],
)
def test_what_is_no_next_revision_is_refused(lift, record, reason, field):
    with pytest.raises(InputError) as error:
        adopt_file(lift.workspace, lift.book, record, by=FERN, reason=reason)
    assert fields(error) == [field]
    assert lift.workspace.last("SL-040_E") == lift.book.last


def test_all_that_is_missing_is_said_at_once(lift):
    with pytest.raises(InputError) as error:
        adopt_file(lift.workspace, lift.book, gear("ship_lift"), by=Person(name=""), reason="")
    assert fields(error) == ["written by", "reason", "revision"]


def test_a_draft_becomes_a_revision_and_keeps_the_comments(lift):
    book = lift.do(adopt_draft, {"torque": 14600.0}, reason="as agreed")
    text = lift.workspace.content(book.revision.inputs).decode("utf-8")
    assert 'torque = "14.6 kN·m"' in text
    assert text.startswith("# Hoist pinion of a ship lift at its release.")
    assert (book.revision.source, len(book.revision.changes)) == ("draft", 1)


@pytest.mark.parametrize("values", [{}, {"torque": 15200.0}, {"no such input": 3.0}], ids=str)
def test_a_draft_that_moves_nothing_is_no_revision(lift, values):
    with pytest.raises(InputError) as error:
        adopt_draft(lift.workspace, lift.book, values, by=FERN, reason="as agreed")
    assert fields(error) == ["revision"]


def test_evidence_ages_with_what_it_rests_on_and_holds_again_on_the_way_back(lift):
    assert lift.requirement(CASE_LEFT).by_evidence == "contradicted"
    lift.do(adopt_draft, THINNER, reason="less case is enough")
    # the depth and the hardness of the case moved, not the teeth: the pitch still holds
    assert len(stale(lift.book)) == 18
    assert all("as treated" in why for why in stale(lift.book))
    assert lift.requirement(CASE_LEFT).by_evidence == "stale"
    assert lift.requirement("accuracy.runout").by_evidence == "shown"
    lift.do(adopt_draft, {"torque": 15000.0}, reason="another change leaves it so")
    assert len(stale(lift.book)) == 18
    lift.do(adopt_draft, {"case_depth": 1.6}, reason="back again")
    assert not stale(lift.book)
    assert all(item["came_in"] == 1 for item in lift.book.revision.evidence)
    assert lift.requirement(CASE_LEFT).by_evidence == "contradicted"


def test_new_evidence_comes_in_on_its_own_revision(lift):
    lift.do(adopt_draft, THINNER, reason="less case is enough")
    text = record_of(lift.workspace, lift.book).source_text
    measured = edited("ship_lift", (gear("ship_lift").source_text, text), ("712 HV", "720 HV"))
    lift.do(adopt_file, measured, reason="measured anew")
    came_in = {item["came_in"]: item["stale"] for item in lift.book.revision.evidence}
    assert came_in[3] == ""
    assert [item["came_in"] for item in lift.book.revision.evidence].count(3) == 1
    assert len(stale(lift.book)) == 17
    assert lift.requirement("hardness.surface").by_evidence == "shown"
    assert lift.requirement("hardness.core").by_evidence == "stale"


def test_a_draft_shows_what_it_would_make_stale(lift):
    marked = drafted(lift.workspace, lift.book, THINNER)
    assert [item.head.stale for item in marked.pitch] == [""]
    assert all(item.head.stale for item in (*marked.case_depth, *marked.hardness))
    assert lift.workspace.last("SL-040_E") == lift.book.last
    book = lift.do(adopt_draft, THINNER, reason="less case is enough")
    assert record_of(lift.workspace, book).digest == marked.digest


def test_a_fork_takes_along_what_its_evidence_was_taken_on(lift):
    thinner = drafted(lift.workspace, lift.book, THINNER)
    plain = edited("ship_lift", (gear("ship_lift").source_text, thinner.source_text))
    lift.book = fork(lift.workspace, plain, by=FERN, reason="another way", follows="SL-040_E")
    assert (lift.book.record, lift.book.fork, lift.book.follows) == ("SL-040_E-2", "SL-040_E", "SL-040_E")
    assert (lift.book.revision.source, lift.book.revision.revision) == ("fork", 1)
    # a fork does not make old evidence new, not even after its next revision
    assert len(stale(lift.book)) == 18
    lift.do(adopt_draft, {"torque": 15000.0}, reason="and with less torque")
    assert len(stale(lift.book)) == 18
    lift.do(adopt_draft, {"case_depth": 1.6}, reason="back again")
    assert not stale(lift.book)
    assert {item["came_in"] for item in lift.book.revision.evidence} == {1}


def test_a_fork_is_of_the_same_part_and_says_why(lift):
    with pytest.raises(InputError) as error:
        fork(lift.workspace, gear("tunnel_fan"), by=FERN, reason="another way", follows="SL-040_E")
    assert fields(error) == ["gear file"]
    with pytest.raises(InputError) as error:
        fork(lift.workspace, gear("ship_lift"), by=Person(name=""), reason="", follows="SL-040_E")
    assert fields(error) == ["written by", "reason"]
    with pytest.raises(InputError, match="no such"):
        fork(lift.workspace, gear("ship_lift"), by=FERN, reason="another way", follows="no such")
    assert len(lift.workspace.records()) == 1


def test_who_saw_an_older_state_writes_nothing(lift):
    seen = lift.book
    lift.do(adopt_draft, {"torque": 15000.0}, reason="less torque", by=HALE)
    with pytest.raises(StaleWrite, match=r"Hale \(chair\) wrote revision 2"):
        adopt_draft(lift.workspace, seen, {"torque": 14900.0}, by=FERN, reason="still less")
    assert lift.workspace.book("SL-040_E") == lift.book


def test_a_file_says_what_a_revision_says_only_with_the_same_evidence(lift):
    same = gear("ship_lift")
    assert says(lift.book.revision, same)
    shorter = replace(same.pitch[0], source_text=same.pitch[0].source_text + "\n")
    assert not says(lift.book.revision, replace(same, pitch=(shorter,)))
    assert not says(lift.book.revision, edited("ship_lift", ("712 HV", "720 HV")))
