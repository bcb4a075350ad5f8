"""What a workspace keeps comes back as it was read, with what was found out since."""

import sqlite3

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record import keeping
from gearcheck.record.keeping import evidence_files, find, record_of, review_of, stale_of
from gearcheck.record.steps import adopt_draft, adopt_file, fork, open_record
from gearcheck.review.as_json import as_plain
from gearcheck.review.rewrite import evidence_texts
from gearcheck.review.whole import review
from tests.record.opened import CASE_LEFT, FERN, edited, gear, opened


@pytest.mark.parametrize("scenario", ["ship_lift", "tunnel_fan", "harvester"])
def test_a_review_from_the_workspace_is_that_of_the_file(tmp_path, scenario):
    desk = opened(tmp_path, scenario)
    kept = record_of(desk.workspace, desk.book)
    assert (kept.digest, kept.source_text) == (gear(scenario).digest, gear(scenario).source_text)
    whole = review_of(desk.workspace, desk.book, with_settled=False)
    assert as_plain(whole) == as_plain(review(gear(scenario), with_settled=False))
    assert bool(desk.whole.settled) == bool(review(gear(scenario)).settled)


def test_each_revision_comes_back_with_its_own_evidence(tmp_path):
    lift = opened(tmp_path)
    lift.do(adopt_draft, {"case_depth": 1.5}, reason="less case is enough")
    lift.do(adopt_draft, {"case_depth": 1.6}, reason="back again")
    answers, stale = [], []
    for number in (1, 2, 3):
        whole = review_of(lift.workspace, lift.book, number, with_settled=False)
        answers.append(next(item for item in whole.requirements if item.key == CASE_LEFT).by_evidence)
        stale.append(len(stale_of(lift.book.revisions[number - 1])))
    assert answers == ["contradicted", "stale", "contradicted"]
    assert stale == [0, 18, 0]
    assert record_of(lift.workspace, lift.book, 3).digest == record_of(lift.workspace, lift.book, 1).digest
    files = evidence_files(lift.workspace, lift.book.revision)
    assert files == evidence_texts(gear("ship_lift"))
    assert files["pitch.csv"] == gear("ship_lift").pitch[0].source_text


def test_a_review_is_worked_out_once(tmp_path, monkeypatch):
    lift = opened(tmp_path)
    worked = []
    monkeypatch.setattr(
        keeping, "review", lambda *given, **named: worked.append(1) or review(*given, **named)
    )
    monkeypatch.setattr(keeping, "_KEPT", {})
    first = review_of(lift.workspace, lift.book, with_settled=False)
    assert review_of(lift.workspace, lift.book, with_settled=False) is first
    assert review_of(lift.workspace, lift.book, 1, with_settled=False) is first
    assert len(worked) == 1


def test_only_the_latest_reviews_are_remembered(tmp_path, monkeypatch):
    kept = {}
    monkeypatch.setattr(keeping, "_KEPT", kept)
    monkeypatch.setattr(keeping, "review", lambda record, with_settled: record)
    records = [edited("harvester", ("Our own", f"{number} Our own")) for number in range(40)]
    assert all(keeping._review(record, True) is record for record in records)
    assert len(kept) == 16
    assert [item[0] for item in kept.values()] == records[-16:]


def test_a_record_is_found_by_part_and_drawing_and_never_a_fork(tmp_path):
    lift = opened(tmp_path)
    part = gear("ship_lift").part
    assert find(lift.workspace, part) == "SL-040_E"
    assert find(lift.workspace, gear("tunnel_fan").part) is None
    lighter = edited("ship_lift", ("15.2 kN·m", "15.0 kN·m"))
    assert fork(lift.workspace, lighter, by=FERN, reason="lighter", follows="SL-040_E").record == "SL-040_E-2"
    assert find(lift.workspace, part) == "SL-040_E"
    later = edited("ship_lift", ('revision = "E"', 'revision = "F"'))
    assert find(lift.workspace, later.part) is None
    open_record(lift.workspace, later, by=FERN)
    assert find(lift.workspace, later.part) == "SL-040_F"
    # names that addresses take may be alike; parts are told apart all the same
    spaced = edited("ship_lift", ('number = "SL-040"', 'number = "SL 040"'))
    assert find(lift.workspace, spaced.part) is None
    named = open_record(lift.workspace, spaced, by=FERN).record
    assert find(lift.workspace, spaced.part) == named != find(lift.workspace, part)


def test_a_lost_or_changed_file_is_named(tmp_path):
    lift = opened(tmp_path)
    lift.do(adopt_file, edited("ship_lift", ("15.2 kN·m", "15.0 kN·m")), reason="less torque")
    inputs, pitch = lift.book.revisions[0].inputs, lift.book.revision.files["pitch.csv"]
    with sqlite3.connect(lift.workspace.path) as connection:
        for trigger in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {trigger[0]}")
        connection.execute("DELETE FROM contents WHERE sha256 = ?", (inputs,))
        connection.execute("UPDATE contents SET data = ? WHERE sha256 = ?", (b"1", pitch))
    connection.close()
    with pytest.raises(InputError, match=rf"file {inputs[:12]}.*it is missing"):
        record_of(lift.workspace, lift.book, 1)
    with pytest.raises(InputError, match=rf"file {pitch[:12]}.*it was changed from outside"):
        review_of(lift.workspace, lift.book)
