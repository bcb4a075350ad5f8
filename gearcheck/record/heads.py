"""What a workspace lists: its records, and the drafts of one."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gearcheck.basics.errors import InputError
from gearcheck.record.events import Person, read_event


@dataclass(frozen=True, kw_only=True)
class RecordHead:
    """A record as a list shows it; `fork` names the record it left, `fault` says why it cannot be opened."""

    record: str
    part_number: str
    drawing_revision: str
    title: str
    last: int
    at: str
    by: Person
    fork: str = ""
    fault: str = ""


@dataclass(frozen=True, kw_only=True)
class SavedDraft:
    """A what-if under its name; `revision` is that of the record which it moves."""

    name: str
    values: Mapping[str, float]
    by: Person
    at: str
    version: int
    revision: int


def head_of(record: str, first: str | None, last: str) -> RecordHead:
    """Return the line of a record from the texts of its first and its last entry."""
    try:
        begun, ended = read_event(first or ""), read_event(last)
        told = {name: str(begun.body[name]) for name in ("part_number", "drawing_revision", "title", "fork")}
    except (InputError, KeyError):
        nobody = Person(name="")
        return RecordHead(
            record=record,
            part_number="",
            drawing_revision="",
            title="",
            last=0,
            at="",
            by=nobody,
            fault="it was changed from outside",
        )
    return RecordHead(record=record, **told, last=ended.number, at=ended.at, by=ended.by)


def draft_of(row: Mapping[Any, Any]) -> SavedDraft:
    """Return a draft from its row."""
    said = json.loads(row["text"])
    return SavedDraft(
        name=row["name"],
        values=said["values"],
        by=Person(name=said["by"], role=said["role"]),
        at=said["at"],
        version=row["version"],
        revision=row["revision"],
    )
