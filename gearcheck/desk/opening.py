"""What a sheet opens: a record of the workspace, or the one that the gear file of the desk begins."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import parse_qs

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.kept import Kept, login_name
from gearcheck.record.book import Book
from gearcheck.record.events import Person
from gearcheck.record.keeping import find, record_of
from gearcheck.record.place import workspace_path
from gearcheck.record.steps import open_record, says
from gearcheck.record.workspace import StaleWrite, Workspace
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import Record

DEMO = "tunnel_fan"
_NOBODY = "whoever opened the desk"


@dataclass(frozen=True, kw_only=True)
class Opened:
    """What there is to show.

    Parameters
    ----------
    record : Record
        The inputs that hold.
    kept : Kept or None
        The record in the workspace; None where that cannot be used.
    file : Path
        The gear file that the desk was opened with.
    other : Record or None
        What that file says, where it says something else than the record.
    trouble : tuple of str
        Why there is no workspace.
    """

    record: Record
    kept: Kept | None
    file: Path
    other: Record | None = None
    trouble: tuple[str, ...] = ()


def gear_file() -> Path:
    """Return the gear file that the desk was opened with; a demo gear where there is none."""
    given = os.environ.get("GEARCHECK_FILE")
    return Path(given) if given else scenarios() / DEMO / "gear.toml"


def opened(query: str = "", file: Path | None = None) -> Opened:
    """Open what an address names.

    Parameters
    ----------
    query : str
        With the name of a record, or without; then it is that of the gear file, begun where it is new.
    file : Path, optional
        Another gear file than the desk was opened with.

    Returns
    -------
    Opened
        Without a workspace that can be used: what the gear file says, and why nothing can be written.

    Raises
    ------
    InputError
        If neither a record nor the gear file can be read.
    """
    file = file or gear_file()
    name = parse_qs(query).get("record", [""])[0]
    if name:
        workspace = Workspace(workspace_path())
        return _of_record(workspace, workspace.book(name), file)
    record = read_gear_file(file)
    try:
        workspace = Workspace(workspace_path())
        book = _book_of(workspace, record)
        shown = record_of(workspace, book)
    except InputError as error:
        told = [str(fault) for fault in error.faults]
        trouble = ("Nothing can be written to a record.", *told)
        return Opened(record=record, kept=None, file=file, trouble=trouble)
    other = None if says(book.revision, record) else record
    trouble = _read_only(workspace)
    return Opened(record=shown, kept=Kept(workspace, book), file=file, other=other, trouble=trouble)


def kept_record(query: str = "", file: Path | None = None) -> Kept:
    """Open the record that an address names; takes what `opened` takes.

    Raises
    ------
    InputError
        If there is none, or the workspace cannot be used.
    """
    found = opened(query, file)
    if found.kept is None:
        needed = "a workspace that can be written to"
        raise InputError([Fault("record", found.record.part.number, needed, " ".join(found.trouble))])
    return found.kept


def _of_record(workspace: Workspace, book: Book, file: Path) -> Opened:
    """A record by its name; whether the gear file says something else is looked at where it is its own."""
    other = None
    try:
        record = read_gear_file(file)
        if find(workspace, record.part) == book.record and not says(book.revision, record):
            other = record
    except InputError:
        pass  # the record does not need the file
    shown, trouble = record_of(workspace, book), _read_only(workspace)
    return Opened(record=shown, kept=Kept(workspace, book), file=file, other=other, trouble=trouble)


def _read_only(workspace: Workspace) -> tuple[str, ...]:
    said = f"This workspace can be read only: nothing can be written to its records. {workspace.path}"
    return (said,) if workspace.read_only else ()


def _book_of(workspace: Workspace, record: Record) -> Book:
    name = find(workspace, record.part)
    if name is None:
        try:
            return open_record(workspace, record, by=Person(name=login_name() or _NOBODY))
        except StaleWrite:  # another sheet began it at the same moment
            name = find(workspace, record.part)
            if name is None:
                raise
    return workspace.book(name)
