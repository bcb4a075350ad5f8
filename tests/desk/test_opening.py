"""What a sheet opens, and what it says where the gear file and the record differ."""

import html
import re
import shutil
import sqlite3

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.opening import kept_record, opened
from gearcheck.desk.panels.differs import differs_html, take_file
from gearcheck.desk.panels.head import head_html
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.panels.since import since_html
from gearcheck.desk.sheet import open_sheet
from gearcheck.record.decisions import ask
from gearcheck.record.events import Person
from gearcheck.record.steps import adopt_draft, adopt_file
from gearcheck.record.workspace import Workspace
from gearcheck.review.gear_file import read_gear_file

FERN = Person(name="A. Fern", role="design")
OTHER_LOAD = ('torque = "15.2 kN·m"', 'torque = "14.0 kN·m"')


@pytest.fixture
def workspace(tmp_path, monkeypatch):
    path = tmp_path / "kept" / "workspace.sqlite"
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(path))
    return path


@pytest.fixture
def file(tmp_path):
    return shutil.copytree(scenarios() / "ship_lift", tmp_path / "lift") / "gear.toml"


def edit(file, old, new):
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def words(page):
    return " ".join(
        html.unescape(re.sub(r"<[^>]+>", " ", page)).split()
    )  # a space that does not break is one


def test_a_new_gear_is_imported_once(workspace, file):
    first, again = opened("", file), opened("", file)
    assert first.kept.book.record == again.kept.book.record == "SL-040_E"
    assert again.kept.book.last == first.kept.book.last
    assert (first.other, first.trouble) == (None, ())
    assert [item.record for item in Workspace(workspace).records()] == ["SL-040_E"]


def test_an_address_opens_any_record_whatever_the_file_of_the_desk(workspace, file):
    opened("", file)
    fan = scenarios() / "tunnel_fan" / "gear.toml"
    found = opened("record=SL-040_E", fan)
    assert found.record.part.number == "SL-040"
    assert found.other is None
    with pytest.raises(InputError, match="record: given nothing"):
        opened("record=nothing", fan)


def test_a_record_needs_its_gear_file_no_more(workspace, file):
    opened("", file)
    file.write_text("no gear file", encoding="utf-8")
    assert opened("record=SL-040_E", file).record.part.number == "SL-040"


def broken(path):
    path.write_bytes(b"no database" * 100)


def changed_from_outside(path):
    with sqlite3.connect(path) as connection:
        guards = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for (guard,) in guards:
            connection.execute(f'DROP TRIGGER "{guard}"')
        connection.execute("UPDATE events SET text = replace(text, '15', '16') WHERE number = 2")
    connection.close()


@pytest.mark.parametrize("spoil", [broken, changed_from_outside])
def test_a_workspace_that_cannot_be_used_is_told_and_nothing_is_written(workspace, file, spoil):
    opened("", file)
    spoil(workspace)
    before = workspace.read_bytes()
    found = opened("", file)
    assert found.kept is None
    assert found.record.part.number == "SL-040"
    assert found.trouble[0] == "Nothing can be written to a record."
    assert len(found.trouble) > 1
    sheet = open_sheet("torque=14000", file)
    assert "Nothing can be written" in sheet._trouble.value
    sheet.state.move("torque", 14_600.0)
    assert sheet._page.query == "torque=14600"
    assert workspace.read_bytes() == before
    with pytest.raises(InputError, match="a workspace that can be written to"):
        kept_record("", file)


def test_a_folder_that_cannot_be_made_is_told(tmp_path, file, monkeypatch):
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(tmp_path / "taken" / "workspace.sqlite"))
    assert opened("", file).kept is None


# a file that says something else


@pytest.fixture
def differing(workspace, file):
    opened("", file)
    edit(file, *OTHER_LOAD)
    return opened("", file)


def bar(found):
    folds = Folds()
    folds.opened |= {"adopt-file", "fork-file"}
    return differs_html(found.kept, found.other, found.file, folds)


def test_the_record_is_shown_and_the_bar_says_what_the_file_says_otherwise(differing):
    assert "15.2" in differing.record.source_text
    said = words(bar(differing))
    assert "The gear file says something else than revision 1 of the record, which is shown." in said
    assert "torque: 15200 N·m to 14000 N·m" in said
    assert "Adopt the file as the next revision" in said
    assert "Begin a record of its own with it" in said


def test_the_file_becomes_the_next_revision_with_a_reason(differing):
    with pytest.raises(InputError, match="reason: missing"):
        take_file(differing.kept, differing.other, "adopt-file", {})
    name = take_file(differing.kept, differing.other, "adopt-file", {"reason": "Load agreed."})
    assert name == "SL-040_E"
    assert differing.kept.book.revision.reason == "Load agreed."
    assert opened(f"record={name}", differing.file).other is None


def test_the_file_becomes_a_record_of_its_own(differing):
    name = take_file(differing.kept, differing.other, "fork-file", {"reason": "A second customer."})
    assert name == "SL-040_E-2"
    assert opened(f"record={name}", differing.file).kept.book.fork == "SL-040_E"
    # the file is still held against the first: a fork does not take its place
    assert opened("", differing.file).kept.book.record == "SL-040_E"


def test_a_file_left_behind_by_an_adopted_draft_is_named_as_that(workspace, file):
    found = opened("", file)
    found.kept.do(adopt_draft, values={"torque": 14_000.0}, reason="Load agreed.")
    said = words(bar(opened("", file)))
    assert "says what revision 1 of the record says; revision 2 is shown" in said
    assert "sign-off sheet gives the gear file" in said


def test_evidence_alone_may_differ(workspace, file):
    opened("", file)
    pitch = file.parent / "pitch.csv"
    edit(pitch, "1,left,3.9", "1,left,4.1")
    said = words(bar(opened("", file)))
    assert (
        "measured pitch: pitch.csv, serial number 0007, 2026-03-02 to other entries under the same name"
        in said
    )
    assert "to nothing" not in said


# what changed since the last review


def test_a_first_revision_has_nothing_behind_it(workspace, file):
    assert since_html(opened("", file).kept, Folds()) == ""


def test_the_later_review_begins_with_what_changed(workspace, file):
    kept = opened("", file).kept
    kept.person = FERN
    kept.do(ask, about="", text="Which load?")
    kept.do(adopt_draft, values={"torque": 14_000.0}, reason="Load <agreed>.")
    page = since_html(kept, Folds())
    said = words(page)
    assert said.startswith("Since revision 1 of the record")
    assert "which was signed" not in said
    assert "Revision 2: Load <agreed>. A. Fern, design" in said
    assert "torque: 15200 N·m to 14000 N·m" in said
    assert "Moved, the worse first" in said
    assert page.count("<li>") >= 6
    assert "more moved" in said
    assert "one more entry in the record" in said
    assert "<agreed>" not in page


def test_a_record_that_follows_a_drawing_revision_begins_with_what_the_drawing_changed(workspace, file):
    opened("", file)
    edit(file, 'revision = "E"', 'revision = "F"')
    edit(file, *OTHER_LOAD)
    said = words(since_html(opened("", file).kept, Folds()))
    assert said.startswith("Since record SL-040_E, drawing revision E")
    assert "drawing revision: E to F torque: 15200 N·m to 14000 N·m" in said
    assert "Moved, the worse first" in said


# the head


def test_the_head_names_the_revision_its_signatures_and_the_other_records(workspace, file):
    opened("", scenarios() / "tunnel_fan" / "gear.toml")
    found = opened("", file)
    folds = Folds()
    page = head_html(found.record.part, found.kept, folds)
    assert "drawing revision E" in words(page)
    assert "revision 1 of the record, not signed" in words(page)
    assert 'href="sign_off.ipynb"' in page
    assert "TF-118_C" not in page
    folds.opened.add("records")
    page = head_html(found.record.part, found.kept, folds)
    assert 'href="review.ipynb?record=TF-118_C"' in page
    assert str(workspace) in words(page)


def test_a_file_adopted_elsewhere_is_not_offered_again(workspace, file):
    one, two = opened("", file), opened("", file)
    edit(file, *OTHER_LOAD)
    one.kept.do(adopt_file, record=read_gear_file(file), reason="Load agreed.")
    assert opened("", file).other is None
    two.kept.look()
    assert len(two.kept.others) == 1
