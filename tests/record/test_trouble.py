"""What goes wrong with the file of a workspace, made to happen: told in plain words, and nothing is lost."""

import os
import sqlite3
import sys
from contextlib import closing

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record import workspace as module
from gearcheck.record.workspace import Workspace
from tests.record.writer import asking, opening

AT = "2026-03-02T09:30:00Z"
FERN = module.Person(name="A. Fern", role="design")
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="this system keeps an open file where it is")


@pytest.fixture
def workspace(tmp_path, monkeypatch):
    monkeypatch.setattr(module, "WAIT_MS", 20)
    workspace = Workspace(tmp_path / "workspace.sqlite", now=lambda: AT)
    workspace.append("R", [opening(FERN), asking(FERN)], seen=0, contents=[b"x" * 20_000])
    return workspace


def refused(use):
    """The only fault of what is refused."""
    with pytest.raises(InputError) as error:
        use()
    (fault,) = error.value.faults
    assert fault.field == "workspace"
    assert "Error" not in str(fault)
    assert "SQL" not in str(fault)
    return fault


def write(workspace, contents=()):
    return lambda: workspace.append("R", [asking(FERN)], seen=2, contents=contents)


def test_a_file_that_another_program_writes_to(workspace):
    with closing(sqlite3.connect(workspace.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        fault = refused(write(workspace))
        assert fault.why == "in use by another program; nothing was written"
        assert fault.needed == "wait a moment, and try again"
        assert workspace.book("R").last == 2  # reading goes on
        other.execute("ROLLBACK")
        other.execute("BEGIN EXCLUSIVE")
        assert "in use" in refused(lambda: workspace.events("R")).why
        assert "in use" in refused(lambda: Workspace(workspace.path)).why
    assert write(workspace)().last == 3


def test_a_reader_that_does_not_end_stops_a_write_and_nothing_of_it_stays(workspace):
    with closing(sqlite3.connect(workspace.path, isolation_level=None)) as other:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM events").fetchone()
        assert "in use by another program; nothing was written" in refused(write(workspace)).why
    assert workspace.book("R").last == 2
    assert write(workspace)().last == 3


def test_a_full_disk(workspace, monkeypatch):
    connect, pages = sqlite3.connect, workspace.path.stat().st_size // 4096 + 2

    def narrow(*given, **named):
        made = connect(*given, **named)
        made.execute(f"PRAGMA max_page_count = {pages}")
        return made

    monkeypatch.setattr(sqlite3, "connect", narrow)
    fault = refused(write(workspace, contents=[b"y" * 100_000]))
    assert fault.why == "its disk is full; nothing was written"
    assert "free some space" in fault.needed
    monkeypatch.undo()
    assert Workspace(workspace.path).book("R").last == 2
    assert write(workspace)().last == 3


@POSIX
def test_a_disk_that_breaks_off(workspace):
    import resource

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (workspace.path.stat().st_size + 5000, before[1]))
    try:
        fault = refused(write(workspace, contents=[b"y" * 100_000]))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert "the disk does not answer as it should; nothing was written" in fault.why
    assert workspace.book("R").last == 2
    assert write(workspace)().last == 3


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="this user may write anywhere")
def test_a_file_and_a_folder_that_may_not_be_written_to(workspace):
    workspace.path.chmod(0o444)
    assert "may not be written to; nothing was written" in refused(write(workspace)).why
    assert Workspace(workspace.path).book("R").last == 2
    workspace.path.chmod(0o644)
    workspace.path.parent.chmod(0o555)
    try:
        assert "nothing was written" in refused(write(workspace)).why
        refused(lambda: Workspace(workspace.path.parent / "other.sqlite"))
    finally:
        workspace.path.parent.chmod(0o755)
    assert write(workspace)().last == 3


def test_a_file_that_is_gone_is_not_made_anew(workspace):
    workspace.path.rename(workspace.path.with_name("aside"))
    for use in (
        write(workspace),
        workspace.records,
        lambda: workspace.book("R"),
        lambda: workspace.drafts("R"),
    ):
        fault = refused(use)
        assert "it is gone or cannot be opened" in fault.why
        assert "put the file back" in fault.needed
        assert not workspace.path.exists()
    workspace.path.with_name("aside").rename(workspace.path)
    assert write(workspace)().last == 3


@POSIX
@pytest.mark.parametrize("instead", [None, b"", b"something else"], ids=["nothing", "empty", "other"])
@pytest.mark.parametrize("late", [False, True])
def test_a_file_taken_away_while_it_is_written_to_swallows_nothing(workspace, instead, late):
    aside = workspace.path.with_name("aside")

    def take_away(given):
        workspace.path.rename(aside)
        if instead is not None:
            workspace.path.write_bytes(instead)
        return given

    if late:  # after the first of it was written
        workspace._now = lambda: take_away(AT)
        fault = refused(write(workspace, contents=[b"file"]))
    else:
        fault = refused(write(workspace, contents=(take_away(data) for data in [b"file"])))
    assert fault.why.endswith("; nothing was written")
    assert "moved away" in fault.why or "replaced" in fault.why or "No such file" in fault.why
    assert (workspace.path.read_bytes() if workspace.path.exists() else None) == instead


def test_a_file_that_was_emptied_is_no_workspace(workspace):
    workspace.path.write_bytes(b"")
    refused(workspace.records)
    refused(write(workspace))
    assert not workspace.path.stat().st_size


def test_a_damaged_file(workspace):
    whole = workspace.path.read_bytes()
    for data in (whole[: len(whole) // 2], whole[:4096] + b"\xff" * (len(whole) - 4096)):
        workspace.path.write_bytes(data)
        fault = refused(lambda: workspace.events("R"))
        assert fault.why == "it is damaged; nothing was written"
        assert "a copy of the file from before" in fault.needed
        assert workspace.path.read_bytes() == data
    workspace.path.write_bytes(whole)
    assert write(workspace)().last == 3


@pytest.mark.parametrize(
    "data",
    [
        b"part_number = 'TF-118'\n" * 100,
        b"\x00",
        b"SQLite format 3\x00",
        b"SQLite format 3\x00" + b"\xff" * 5000,
    ],
    ids=["text", "a byte", "a head", "a head and noise"],
)
def test_a_file_that_is_no_workspace_is_left_alone(tmp_path, data):
    file = tmp_path / "gear.toml"
    file.write_bytes(data)
    fault = refused(lambda: Workspace(file))
    assert fault.given == str(file)
    assert file.read_bytes() == data


@pytest.mark.parametrize(
    "commands",
    [
        ["CREATE TABLE parts (number)"],
        ["CREATE TABLE meta (other)"],
        ["CREATE TABLE meta (name, value)"],
        ["CREATE TABLE meta (name, value)", "INSERT INTO meta VALUES ('schema', 'two')"],
        ["CREATE TABLE meta (name, value)", "INSERT INTO meta VALUES ('schema', '²')"],
        ["CREATE TABLE meta (name, value)", "INSERT INTO meta VALUES ('schema', '0')"],
        ["CREATE TABLE meta (name, value)", "INSERT INTO meta VALUES ('schema', NULL)"],
        ["CREATE TABLE meta (name, value)", *["INSERT INTO meta VALUES ('schema', '2')"] * 2],
    ],
)
def test_a_database_of_something_else_is_left_alone(tmp_path, commands):
    file = tmp_path / "other.sqlite"
    with closing(sqlite3.connect(file)) as other:
        for command in commands:
            other.execute(command)
        other.commit()
    before = file.read_bytes()
    assert "a file that gearcheck made" in refused(lambda: Workspace(file)).needed
    assert file.read_bytes() == before


def test_a_folder_is_no_file(tmp_path):
    assert refused(lambda: Workspace(tmp_path)).needed == "a file, not a folder"


def test_a_file_is_no_folder(tmp_path):
    (tmp_path / "file").write_bytes(b"x")
    fault = refused(lambda: Workspace(tmp_path / "file" / "workspace.sqlite"))
    assert "in a folder that can be read and written" in fault.needed
