"""The events of a record: each holds the hash of the one before, so that a change within them shows.

That they were not cut off or written anew as a whole is shown by a signature only.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import rfc8785

from gearcheck.basics.errors import Fault, InputError, shown

FORMAT = 1
START = ""  # what the first event of a record says of the one before


class Kind(StrEnum):
    """What happened."""

    OPENED = "opened"
    REVISED = "revised"
    ASKED = "asked"
    ANSWERED = "answered"
    ACTION_SET = "action set"
    ACTION_DONE = "action done"
    CONCEDED = "conceded"
    WITHDRAWN = "withdrawn"
    DISPOSED = "disposed"
    CONFIRMED = "confirmed"
    ROLES_SET = "roles set"
    PREPARED = "prepared"
    SIGNED = "signed"


@dataclass(frozen=True, kw_only=True)
class Person:
    """Who writes: a name, and the role in which it is written; nobody checks it before a signature does."""

    name: str
    role: str = ""

    def __str__(self) -> str:
        return f"{self.name}, {self.role}" if self.role else self.name


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What is to be appended: a kind, who writes it, and its content as plain JSON."""

    kind: Kind
    by: Person
    body: Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class Event:
    """One event as it stands.

    Parameters
    ----------
    record : str
        The record that it belongs to.
    number : int
        From 1, without a gap.
    at : str
        Clock of the machine that wrote it, UTC: ``2026-03-02T09:30:00Z``.
    by : Person
        Who.
    kind : Kind
        What.
    body : mapping
        Content, plain JSON.
    before : str
        Hash of the event before; empty for the first.
    text : str
        All of the above as canonical JSON (RFC 8785).
    hash : str
        SHA-256 of `text`.
    """

    record: str
    number: int
    at: str
    by: Person
    kind: Kind
    body: Mapping[str, Any]
    before: str
    text: str
    hash: str


def sealed(entry: Entry, *, record: str, number: int, at: str, before: str) -> Event:
    """Return an entry as the event that it becomes.

    Parameters
    ----------
    entry : Entry
        What is to be appended.
    record : str
        The record.
    number : int
        Its place.
    at : str
        When, UTC.
    before : str
        Hash of the event before it.

    Returns
    -------
    Event
        With its canonical text and its hash.

    Raises
    ------
    InputError
        If the content has no canonical form.

    Examples
    --------
    >>> entry = Entry(kind=Kind.ASKED, by=Person(name="A. Fern"), body={"text": "Which lot?"})
    >>> sealed(entry, record="TF-118_C", number=1, at="2026-03-02T09:30:00Z", before=START).hash[:12]
    '6e2c95f70a86'
    """
    content: dict[str, Any] = {
        "format": FORMAT,
        "record": record,
        "number": number,
        "at": at,
        "by": {"name": entry.by.name, "role": entry.by.role},
        "kind": entry.kind.value,
        "body": dict(entry.body),
        "before": before,
    }
    try:
        text = rfc8785.dumps(content).decode("utf-8")
    except (rfc8785.CanonicalizationError, UnicodeEncodeError) as error:
        raise InputError([Fault("entry", "", "text and numbers that JSON can carry", str(error))]) from None
    return read_event(text)


def read_event(text: str) -> Event:
    """Return the event that a canonical text describes.

    Parameters
    ----------
    text : str
        As `Event.text`.

    Returns
    -------
    Event
        With the hash of this very text.

    Raises
    ------
    InputError
        If it is no event of a format that this version reads.
    """
    try:
        content = json.loads(text)
        _check_format(content["format"])
        return Event(
            record=str(content["record"]),
            number=int(content["number"]),
            at=str(content["at"]),
            by=Person(name=str(content["by"]["name"]), role=str(content["by"]["role"])),
            kind=Kind(content["kind"]),
            body=dict(content["body"]),
            before=str(content["before"]),
            text=text,
            hash=hashlib.sha256(text.encode("utf-8")).hexdigest(),
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        why = f"{type(error).__name__}: {error}"
        raise InputError([Fault("event", shown(text), "an event of format 1", why)]) from None


def _check_format(given: object) -> None:
    if given != FORMAT:
        raise ValueError(f"format {given}")


def chain_faults(events: Iterable[Event], *, record: str = "", last: str = "") -> tuple[str, ...]:
    """Say where a chain of events is broken.

    Parameters
    ----------
    events : iterable of Event
        In their order.
    record : str, optional
        The record that all of them must name.
    last : str, optional
        The hash that the last one must have, where it is known from elsewhere.

    Returns
    -------
    tuple of str
        A sentence for each break; none where the chain holds.
    """
    found, before, number = [], START, 0
    for number, event in enumerate(events, start=1):
        record = record or event.record
        if event.number != number:
            found.append(f"Entry {number} is missing: entry {event.number} stands in its place.")
        elif event.before != before:
            found.append(f"Entry {number} does not follow the entry before it: one of the two was changed.")
        if event.record != record:
            found.append(f"Entry {number} belongs to another record, {shown(event.record)}.")
        before = event.hash
    if last and before != last:
        found.append(f"The last of {number} entries is not the one that it should be.")
    return tuple(found)
