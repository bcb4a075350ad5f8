"""The workspace: only added to, its chain checked, refused to whoever has not read the last of it."""

import hashlib
import os
import shutil
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path, PurePosixPath, PureWindowsPath
from threading import Barrier

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.record import workspace as module
from gearcheck.record.events import Entry, Kind, Person, chain_faults
from gearcheck.record.place import workspace_path
from gearcheck.record.workspace import StaleWrite, Workspace
from tests.record.writer import asking, opening

AT = "2026-03-02T09:30:00Z"
FERN = Person(name="A. Fern", role="design")
HALE = Person(name="D. Hale", role="chair")
OLD = Path(__file__).with_name("old") / "schema_1.sqlite"
OLD_SHA = "ef1eba19906cf79e891c258f0401598cbcfb01fa87075cd4c6f75312085686d0"
HOSTILE = (
    "'; DROP TABLE events; --",
    "<script>alert(1)</script>",
    "../../../etc/passwd",
    "C:\\Windows\\con",
    "%00%2e%2e/?record=x&y#z",
    "a\x00b",
    "x" * 3000,
)


@pytest.fixture
def workspace(tmp_path):
    return Workspace(tmp_path / "new" / "folder" / "workspace.sqlite", now=lambda: AT)


@pytest.fixture
def record(workspace):
    workspace.append("TF-118_C", [opening(FERN), asking(FERN), asking(HALE)], seen=0)
    workspace.append("OTHER", [opening(FERN)], seen=0)
    return workspace


def from_outside(workspace, *commands):
    """What someone does who goes around the program."""
    with closing(sqlite3.connect(workspace.path)) as other:
        for name in ("events", "contents"):
            for change in ("update", "delete"):
                other.execute(f"DROP TRIGGER IF EXISTS {name}_no_{change}")
        for command in commands:
            other.execute(*([command] if isinstance(command, str) else command))
        other.commit()


def rows(workspace):
    with closing(sqlite3.connect(workspace.path)) as other:
        other.text_factory = lambda data: data.decode("utf-8", "replace")
        return other.execute("SELECT record, number, text, hash FROM events ORDER BY 1, 2").fetchall()


# a new file


def test_a_new_workspace_is_made_with_its_folder_and_is_empty(workspace):
    assert workspace.path.stat().st_size
    assert workspace.records() == ()
    assert workspace.last("TF-118_C") == 0
    assert workspace.drafts("TF-118_C") == ()
    with closing(sqlite3.connect(workspace.path)) as other:
        assert other.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert other.execute("SELECT value FROM meta WHERE name = 'schema'").fetchone() == ("2",)


def test_an_empty_file_becomes_a_workspace_and_a_second_look_changes_nothing(tmp_path):
    file = tmp_path / "empty.sqlite"
    file.touch()
    Workspace(file).append("R", [opening(FERN)], seen=0)
    before = file.read_bytes()
    assert Workspace(file).last("R") == 1
    assert file.read_bytes() == before


def test_where_the_workspace_lies(monkeypatch, tmp_path):
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(tmp_path / "a.sqlite"))
    assert workspace_path() == tmp_path / "a.sqlite"
    assert workspace_path(tmp_path / "b.sqlite") == tmp_path / "b.sqlite"
    monkeypatch.delenv("GEARCHECK_WORKSPACE")
    assert workspace_path() == Path.home() / "gearcheck" / "workspace.sqlite"
    assert workspace_path(Path("c.sqlite")).is_absolute()


@pytest.mark.parametrize("name", ["50 % of it.sqlite", "a?mode=memory", "Größe #5.sqlite", "a&b=c;d"])
def test_any_file_name_can_be_a_workspace(tmp_path, name):
    if os.name == "nt" and "?" in name:
        pytest.skip("this system takes no question mark in a name")
    Workspace(tmp_path / name).append("R", [opening(FERN)], seen=0)
    assert [path.name for path in tmp_path.iterdir()] == [name]
    assert Workspace(tmp_path / name).last("R") == 1


def test_a_share_on_the_network_has_no_host_in_its_address():
    assert module._address(PureWindowsPath(r"\\site\gears\w.sqlite")) == "file:////site/gears/w.sqlite"
    assert module._address(PureWindowsPath(r"C:\my gears\w.sqlite")) == "file:///C:/my%20gears/w.sqlite"
    assert module._address(PurePosixPath("/srv/w?.sqlite")) == "file:///srv/w%3F.sqlite"


# what is written stays


def test_entries_are_numbered_chained_and_read_back(record):
    found = record.events("TF-118_C")
    assert [event.number for event in found] == [1, 2, 3]
    assert [event.by for event in found] == [FERN, FERN, HALE]
    assert {event.at for event in found} == {AT}
    assert not chain_faults(found, record="TF-118_C")
    book = record.append("TF-118_C", [asking(HALE)], seen=3)
    assert book == record.book("TF-118_C")
    assert book.last == record.last("TF-118_C") == 4


def test_nothing_added_changes_nothing(record):
    before = rows(record)
    assert record.append("TF-118_C", [], seen=3).last == 3
    assert rows(record) == before


@pytest.mark.parametrize(
    "command",
    [
        "UPDATE events SET text = '{}'",
        "DELETE FROM events",
        "UPDATE contents SET data = x'00'",
        "DELETE FROM contents",
        "INSERT OR REPLACE INTO events SELECT record, number, text, 'x' FROM events",
    ],
)
def test_the_file_itself_refuses_to_change_what_was_written(record, command):
    record.append("TF-118_C", [asking(FERN)], seen=3, contents=[b"file"])
    before = rows(record)
    with closing(sqlite3.connect(record.path)) as other:
        other.execute("PRAGMA recursive_triggers = ON")
        with pytest.raises(sqlite3.IntegrityError, match="what was written stays"):
            other.execute(command)
    assert rows(record) == before


@pytest.mark.parametrize(
    "bad",
    [
        asking(FERN, float("nan")),
        asking(FERN, "\ud800"),
        Entry(kind=Kind.ASKED, by=FERN, body={"wrong": "content"}),
        Entry(kind=Kind.REVISED, by=FERN, body={}),
    ],
    ids=["no number", "no letter", "other content", "no content"],
)
def test_all_of_it_or_nothing(record, bad):
    before = rows(record)
    with pytest.raises(InputError):
        record.append("TF-118_C", [asking(FERN), bad], seen=3, contents=[b"of the two"])
    assert rows(record) == before
    with pytest.raises(InputError, match="missing"):
        record.content(hashlib.sha256(b"of the two").hexdigest())


def test_a_file_is_kept_once_and_checked_when_read(record):
    data = b"\x00a file\xff" * 1000
    sha256 = hashlib.sha256(data).hexdigest()
    record.append("TF-118_C", [asking(FERN)], seen=3, contents=[data, data])
    record.append("OTHER", [asking(FERN)], seen=1, contents=[data, b""])
    assert record.content(sha256) == data
    assert record.content(hashlib.sha256(b"").hexdigest()) == b""
    for unknown in ("0" * 64, "", "'", *HOSTILE):
        with pytest.raises(InputError, match="missing"):
            record.content(unknown)
    from_outside(record, ("UPDATE contents SET data = ? WHERE sha256 = ?", (data[:-1], sha256)))
    with pytest.raises(InputError, match="changed from outside"):
        record.content(sha256)


# changed from outside


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("UPDATE events SET text = replace(text, 'Which', 'What') WHERE number = 2", "entry 2"),
        ("UPDATE events SET text = '[]' WHERE number = 2", "entry 2"),
        ("UPDATE events SET text = x'00ff' WHERE number = 2", "entry 2"),
        ("UPDATE events SET text = CAST(x'c3' AS TEXT) WHERE number = 2", "entry 2"),
        ("UPDATE events SET text = CAST(text AS BLOB) WHERE number = 2", "entry 2"),
        ("UPDATE events SET text = 5 WHERE number = 2", "entry 2"),
        ("UPDATE events SET hash = upper(hash) WHERE number = 3", "entry 3"),
        ("DELETE FROM events WHERE record = 'TF-118_C' AND number = 1", "1 is missing"),
        ("DELETE FROM events WHERE number = 2", "2 is missing"),
        ("UPDATE events SET number = 9 WHERE number = 2", "2 is missing"),
        ("INSERT INTO events SELECT 'TF-118_C', 4, text, hash FROM events WHERE record = 'OTHER'", "4"),
    ],
)
def test_a_record_changed_from_outside_says_where_and_takes_nothing_more(record, change, said):
    from_outside(record, change)
    with pytest.raises(InputError, match="changed from outside") as error:
        record.events("TF-118_C")
    (fault,) = error.value.faults
    assert fault.field == "record TF-118_C"
    assert fault.given == str(record.path)
    assert said in fault.why
    before = rows(record)
    with pytest.raises(InputError, match="changed from outside"):
        record.append("TF-118_C", [asking(FERN)], seen=3)
    assert rows(record) == before
    # the others open
    assert record.book("OTHER").last == 1
    assert {head.record for head in record.records()} == {"TF-118_C", "OTHER"}


def test_an_entry_that_was_changed_with_its_hash_breaks_the_chain(record):
    text = rows(record)[2][2].replace("A. Fern", "B. Ash")
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    from_outside(
        record,
        ("UPDATE events SET text = ?, hash = ? WHERE number = 2 AND record = 'TF-118_C'", (text, sha256)),
    )
    with pytest.raises(InputError, match="Entry 3 does not follow"):
        record.events("TF-118_C")


@pytest.mark.parametrize("text", ["'{}'", "'no JSON'", "x'ff'", "CAST(x'ff' AS TEXT)", "7"])
@pytest.mark.parametrize("number", [1, 3])
def test_one_broken_record_does_not_hide_the_others(record, text, number):
    from_outside(record, f"UPDATE events SET text = {text} WHERE record = 'TF-118_C' AND number = {number}")
    heads = {head.record: head for head in record.records()}
    assert heads["TF-118_C"].fault == "it was changed from outside"
    assert not heads["OTHER"].fault
    assert heads["OTHER"].title == "Pinion"


def test_an_unknown_record_is_named(record):
    with pytest.raises(InputError, match="TF-999"):
        record.book("TF-999")


# two at once


def test_who_has_not_read_the_last_of_it_is_told_who_wrote_what_and_when(record):
    other = Workspace(record.path, now=lambda: "2026-03-02T09:31:00Z")
    other.append("TF-118_C", [Entry(kind=Kind.ANSWERED, by=HALE, body={"to": 2, "text": "Lot 7."})], seen=3)
    with pytest.raises(StaleWrite) as error:
        record.append("TF-118_C", [asking(FERN, "mine")], seen=3)
    assert [event.number for event in error.value.events] == [4]
    (fault,) = error.value.faults
    assert "D. Hale (chair) answered question 2 on 2 March 2026 at 09:31 UTC" in fault.given
    assert "what you typed is kept" in fault.needed
    assert record.append("TF-118_C", [asking(FERN, "mine")], seen=4).questions[-1].text == "mine"


def test_a_long_absence_is_told_by_its_last_five(record):
    for seen in range(3, 10):
        record.append("TF-118_C", [asking(HALE)], seen=seen)
    with pytest.raises(StaleWrite) as error:
        record.append("TF-118_C", [asking(FERN)], seen=3)
    assert len(error.value.faults) == 5
    assert len(error.value.events) == 7


@pytest.mark.parametrize("seen", [1, 7, -1])
def test_what_was_never_there_was_not_read(workspace, seen):
    with pytest.raises(StaleWrite):
        workspace.append("TF-118_C", [opening(FERN)], seen=seen)
    assert workspace.records() == ()


def test_a_new_record_never_goes_onto_one_that_is_there(record):
    with pytest.raises(StaleWrite, match="opened the record"):
        record.append("OTHER", [opening(HALE)], seen=0)
    assert record.last("OTHER") == 1


def test_of_many_at_the_same_moment_exactly_one_writes(record):
    count = 8
    ready = Barrier(count)

    def write(number):
        mine = Workspace(record.path)
        ready.wait()
        try:
            mine.append("TF-118_C", [asking(FERN, f"of {number}")], seen=3, contents=[b"%d" % number])
        except StaleWrite as error:
            return error
        return number

    with ThreadPoolExecutor(count) as pool:
        outcomes = list(pool.map(write, range(count)))
    (winner,) = (one for one in outcomes if isinstance(one, int))
    refused = [one for one in outcomes if isinstance(one, StaleWrite)]
    assert len(refused) == count - 1
    assert all(error.events[0].body["text"] == f"of {winner}" for error in refused)
    assert record.book("TF-118_C").questions[-1].text == f"of {winner}"
    assert record.last("TF-118_C") == 4


# drafts


def test_a_draft_is_saved_moved_and_dropped(record):
    saved = record.save_draft("OTHER", "torque +6 %", {"torque": 1.5}, by=FERN, version=0, revision=1)
    assert (saved.version, saved.by, saved.at, saved.revision) == (1, FERN, AT, 1)
    assert saved == record.drafts("OTHER")[0]
    moved = record.save_draft("OTHER", "torque +6 %", {"torque": 1.6}, by=HALE, version=1, revision=2)
    assert (moved.version, moved.values) == (2, {"torque": 1.6})
    assert record.drafts("OTHER") == (moved,)
    assert record.drafts("TF-118_C") == ()
    assert record.last("OTHER") == 1
    record.drop_draft("OTHER", "torque +6 %")
    record.drop_draft("OTHER", "torque +6 %")
    assert record.drafts("OTHER") == ()


@pytest.mark.parametrize("version", [0, 2])
def test_a_draft_that_another_moved_is_not_lost(record, version):
    record.save_draft("OTHER", "wider", {"face_width": 40.0}, by=HALE, version=0, revision=1)
    with pytest.raises(StaleWrite, match=r"D\. Hale, chair moved it on 2 March 2026 at 09:30 UTC"):
        record.save_draft("OTHER", "wider", {"face_width": 50.0}, by=FERN, version=version, revision=1)
    (kept,) = record.drafts("OTHER")
    assert (kept.values, kept.by) == ({"face_width": 40.0}, HALE)


def test_of_many_drafts_at_the_same_moment_exactly_one_moves_it(record):
    ready = Barrier(6)

    def move(number):
        mine = Workspace(record.path)
        ready.wait()
        try:
            return mine.save_draft("OTHER", "d", {"torque": number}, by=FERN, version=0, revision=1).values
        except StaleWrite:
            return None

    with ThreadPoolExecutor(6) as pool:
        outcomes = list(pool.map(move, range(6)))
    assert [values for values in outcomes if values] == [record.drafts("OTHER")[0].values]


# text is only text


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_kept_as_it_is_and_does_nothing(record, text):
    by = Person(name=text, role=text)
    record.append(text, [opening(by), asking(by, text)], seen=0)
    record.save_draft(text, text, {text: 1.0}, by=by, version=0, revision=1)
    assert record.book(text).questions[0].text == text
    assert record.events(text)[0].by == by
    assert record.drafts(text)[0].name == text
    assert record.last("TF-118_C") == 3
    assert {head.record for head in record.records()} == {"TF-118_C", "OTHER", text}
    assert [path.name for path in record.path.parent.iterdir()] == [record.path.name]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.text(), said=st.text())
def test_any_text_is_kept_as_it_is(record, name, said):
    seen = record.last(name)
    by = Person(name=said, role=name)
    book = record.append(name, [asking(by, said)] if seen else [opening(by), asking(by, said)], seen=seen)
    assert book.questions[-1].text == said
    assert record.events(name)[-1].by == by


def test_text_that_no_file_can_hold_is_refused(record):
    before = rows(record)
    broken = "\ud800"
    for use in (
        lambda: record.events(broken),
        lambda: record.append(broken, [opening(FERN)], seen=0),
        lambda: record.save_draft("OTHER", broken, {}, by=FERN, version=0, revision=1),
        lambda: record.drafts(broken),
        lambda: record.content(broken),
    ):
        with pytest.raises(InputError, match="letters"):
            use()
    assert rows(record) == before


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text() | st.sampled_from(["con", "NUL.txt", "..", "", "aux.", "tf-118_c", "TF-118_C"]))
def test_a_free_name_is_safe_and_of_no_other_record(record, wanted):
    taken = {head.record.lower() for head in record.records()}
    name = record.free_name(wanted)
    assert name
    assert set(name) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_.-")
    assert name.lower() not in taken
    assert name[0] not in ".-"
    assert name.partition(".")[0].lower() not in {"con", "prn", "aux", "nul", "com1", "lpt1"}


def test_free_names_count_on(record):
    assert record.free_name("TF-118_C") == "TF-118_C-2"
    assert record.free_name("tf-118_c") == "tf-118_c-2"
    record.append("TF-118_c-2", [opening(FERN)], seen=0)
    assert record.free_name("TF-118_C") == "TF-118_C-3"
    assert record.free_name("TF-118_D") == "TF-118_D"


# older and newer files


@pytest.fixture
def old(tmp_path):
    return Path(shutil.copy(OLD, tmp_path / "old.sqlite"))


def test_a_file_of_the_first_tables_is_brought_up_to_date_with_all_it_holds(old):
    with closing(sqlite3.connect(old)) as other:
        before = other.execute("SELECT record, number, text, hash FROM events").fetchall()
        assert other.execute("SELECT value FROM meta").fetchall() == [("1",)]
    workspace = Workspace(old)
    assert rows(workspace) == before
    book = workspace.book("TF-118_C")
    assert (book.last, book.part_number, book.questions[0].answer) == (3, "TF-118", "Lot 7.")
    assert not chain_faults(book.events, record="TF-118_C")
    assert book.events[-1].hash == "88baf642eccb4a3b7116006e9c3b4da3a8e43d5483c8a90928d6a15f9879627d"
    assert workspace.content(OLD_SHA) == b"kept before there were drafts\n"
    workspace.save_draft("TF-118_C", "wider", {"face_width": 40.0}, by=FERN, version=0, revision=1)
    assert workspace.append("TF-118_C", [asking(FERN)], seen=3).last == 4
    again = Workspace(old)
    assert [draft.name for draft in again.drafts("TF-118_C")] == ["wider"]


def test_a_move_to_new_tables_that_breaks_off_leaves_the_old_ones(old, monkeypatch):
    before = old.read_bytes()

    def broken(connection, file):
        up_to_date(connection, file)
        raise KeyboardInterrupt

    up_to_date = module.bring_up_to_date
    monkeypatch.setattr(module, "bring_up_to_date", broken)
    with pytest.raises(KeyboardInterrupt):
        Workspace(old)
    monkeypatch.undo()
    assert old.read_bytes() == before
    assert Workspace(old).book("TF-118_C").last == 3


def test_an_old_file_that_may_not_be_written_to_says_so(old, monkeypatch):
    before, plain = old.read_bytes(), module._address
    monkeypatch.setattr(module, "_address", lambda path: f"{plain(path)}?mode=ro&instead=")
    with pytest.raises(InputError, match="may not be written to"):
        Workspace(old)
    assert old.read_bytes() == before


def test_a_file_of_todays_tables_can_be_read_without_writing(record, monkeypatch):
    plain = module._address
    monkeypatch.setattr(module, "_address", lambda path: f"{plain(path)}?mode=ro&instead=")
    only_read = Workspace(record.path)
    assert only_read.book("TF-118_C").last == 3
    with pytest.raises(InputError, match="may not be written to; nothing was written"):
        only_read.append("TF-118_C", [asking(FERN)], seen=3)


def test_a_file_of_a_newer_version_is_left_alone(record):
    from_outside(record, "UPDATE meta SET value = '3'")
    before = record.path.read_bytes()
    with pytest.raises(InputError, match="a newer version of gearcheck: it wrote this file") as error:
        Workspace(record.path)
    assert error.value.faults[0].given == str(record.path)
    assert record.path.read_bytes() == before
