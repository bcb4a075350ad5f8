"""Which record a sheet shows: the one that its address names, else that of the gear file."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import parse_qs

from gearcheck.desk.kept import Kept, login_name
from gearcheck.record.events import Person
from gearcheck.record.keeping import find
from gearcheck.record.place import workspace_path
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.gear_file import read_gear_file


def kept_record(query: str, file: Path) -> Kept:
    """Find the record of a sheet in the workspace; one that is not there yet is opened from the gear file.

    Parameters
    ----------
    query : str
        The query of the address, with the name of the record in it, or without.
    file : Path
        The gear file that the desk was opened with.

    Returns
    -------
    Kept
        The record.

    Raises
    ------
    InputError
        If there is no record of that name, or the gear file or the workspace cannot be used.
    """
    workspace = Workspace(workspace_path())
    name = parse_qs(query).get("record", [""])[0]
    if not name:
        record = read_gear_file(file)
        name = find(workspace, record.part) or ""
        if not name:
            return Kept(workspace, open_record(workspace, record, by=Person(name=login_name())))
    return Kept(workspace, workspace.book(name))
