"""The history that a report carries, held against itself before anything is believed of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from gearcheck.basics.errors import InputError
from gearcheck.record.book import Book
from gearcheck.record.events import Event, Kind, chain_faults, read_event
from gearcheck.record.reading import book_of
from gearcheck.record.signatures import signature_faults
from gearcheck.record.strict import canonical, strict_json

LARGEST_EVENT = 2_000_000
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")


def book_from(history: Sequence[str]) -> tuple[Book | None, tuple[str, ...]]:
    """Read a history.

    Parameters
    ----------
    history : sequence of str
        Canonical texts of events.

    Returns
    -------
    book : Book or None
        What it says; None where it cannot be read.
    faults : tuple of str
        What is wrong with it, in sentences.
    """
    events: list[Event] = []
    for number, text in enumerate(history, start=1):
        try:
            content = strict_json(text, what=f"entry {number}", largest=LARGEST_EVENT)
            if canonical(content) != text.encode("utf-8"):
                return None, (f"Entry {number} of the history is not written as entries are.",)
            event = read_event(text)
        except InputError as error:
            return None, (f"The history cannot be read: {error.faults[0]}.",)
        wrong = _wrong(event)
        if wrong:
            return None, (f"Entry {number} of the history does not say what it should: {wrong}.",)
        events.append(event)
    faults = chain_faults(events)
    try:
        book = book_of(events)
    except InputError as error:
        return None, (*faults, f"The history cannot be read: {error.faults[0]}.")
    if not book.revisions:
        return None, (*faults, "The history holds no revision.")
    return book, (*faults, *_signature_faults(events))


def _signature_faults(events: Sequence[Event]) -> Iterator[str]:
    """Signatures that a history tells of hold for the report that it says they are over."""
    digest = ""
    for event in events:
        if event.kind is Kind.PREPARED:
            digest = str(event.body["digest"])
        elif event.kind is Kind.SIGNED and signature_faults(event.body["signature"], digest=digest):
            yield f"Entry {event.number} of the history tells of a signature that does not hold."


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _list_of(holds: Callable[[Any], bool]) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, list) and all(holds(item) for item in value)


def _texts_by_name(value: Any) -> bool:
    return isinstance(value, dict) and all(_text(item) for item in value.values())


def _with_texts(*names: str) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, dict) and all(_text(value.get(name)) for name in names)


_SHAPES: Mapping[Kind, Mapping[str, Callable[[Any], bool]]] = {
    Kind.OPENED: {name: _text for name in ("part_number", "drawing_revision", "title", "follows")},
    Kind.REVISED: {
        **{name: _text for name in ("inputs", "digest", "reason", "source")},
        "files": _texts_by_name,
        "evidence": _list_of(_with_texts("key", "stale")),
        "changes": _list_of(_text),
    },
    Kind.DISPOSED: {
        **{name: _text for name in ("characteristic", "title", "evidence", "finding", "verdict", "reason")},
        "stale": _texts_by_name,
        "requirements": _list_of(_text),
        "operations": _list_of(_text),
    },
    Kind.CONFIRMED: {
        **{name: _text for name in ("edition", "clause", "date")},
        "items": _list_of(_with_texts("what", "content")),
    },
    Kind.ROLES_SET: {"roles": _list_of(_text)},
    Kind.PREPARED: {"digest": _text, "report": _text, "roles": _list_of(_text)},
    Kind.SIGNED: {"signature": lambda value: isinstance(value, dict)},
}
"""What verification reads of each kind; the rest is shown by the report and covered by its digest."""


def _wrong(event: Event) -> str:
    shape = _SHAPES.get(event.kind, {})
    if not _MOMENT.fullmatch(event.at):
        return "its time"
    return next((name for name, holds in shape.items() if not holds(event.body.get(name))), "")
