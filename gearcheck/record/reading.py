"""From the events of a record to what they say."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.record.book import (
    ROLES,
    Action,
    Book,
    Concession,
    Confirmation,
    Disposition,
    Prepared,
    Question,
    Revision,
    Signed,
    Written,
)
from gearcheck.record.events import Event, Kind


def book_of(events: Iterable[Event]) -> Book:
    """Read the events of one record.

    Parameters
    ----------
    events : iterable of Event
        Of one record, in their order; that the chain holds is looked at elsewhere.

    Returns
    -------
    Book
        What they say.

    Raises
    ------
    InputError
        If the content of an event is not what its kind asks for.
    """
    book, seen = _Growing(), []
    for event in events:
        seen.append(event)
        try:
            _WHAT[event.kind](book, event)
        except (KeyError, TypeError, IndexError) as error:
            why = f"{type(error).__name__}: {error}"
            needed = f"what an entry '{event.kind}' holds"
            raise InputError([Fault(f"entry {event.number}", "", needed, why)]) from None
        if event.kind not in (Kind.PREPARED, Kind.SIGNED):
            book.prepared, book.signatures = None, []  # the record went on
    return book.closed(tuple(seen))


@dataclass
class _Growing:
    """A book while it is read: what grows is not copied for each event, so a long record takes no longer."""

    named: dict[str, str] = field(default_factory=dict)
    revisions: list[Revision] = field(default_factory=list)
    questions: dict[int, Question] = field(default_factory=dict)
    actions: dict[int, Action] = field(default_factory=dict)
    concessions: dict[int, Concession] = field(default_factory=dict)
    dispositions: list[Disposition] = field(default_factory=list)
    confirmations: list[Confirmation] = field(default_factory=list)
    roles: tuple[str, ...] = ROLES
    prepared: Prepared | None = None
    signatures: list[Signed] = field(default_factory=list)
    signed_revision: int = 0
    signed_entry: int = 0

    def closed(self, events: tuple[Event, ...]) -> Book:
        return Book(
            **self.named,
            revisions=tuple(self.revisions),
            questions=tuple(self.questions.values()),
            actions=tuple(self.actions.values()),
            concessions=tuple(self.concessions.values()),
            dispositions=tuple(self.dispositions),
            confirmations=tuple(self.confirmations),
            roles=self.roles,
            prepared=self.prepared,
            signatures=tuple(self.signatures),
            signed_revision=self.signed_revision,
            signed_entry=self.signed_entry,
            events=events,
        )


def _written(book: _Growing, event: Event) -> dict[str, Any]:
    revision = book.revisions[-1].revision if book.revisions else 0
    return {"number": event.number, "by": event.by, "at": event.at, "revision": revision}


def _opened(book: _Growing, event: Event) -> None:
    told = ("part_number", "drawing_revision", "title", "follows", "fork")
    book.named = {"record": event.record} | {name: event.body[name] for name in told}


def _revised(book: _Growing, event: Event) -> None:
    body = {**event.body}
    for name in ("evidence", "changes", "moved"):
        body[name] = tuple(body[name])
    book.revisions.append(Revision(**_written(book, event) | body))


def _asked(book: _Growing, event: Event) -> None:
    book.questions[event.number] = Question(**_written(book, event), **event.body)


def _answered(book: _Growing, event: Event) -> None:
    answer = {"answer": event.body["text"], "answered": Written(**_written(book, event))}
    _change(book.questions, event.body["to"], answer)


def _action_set(book: _Growing, event: Event) -> None:
    book.actions[event.number] = Action(**_written(book, event), **event.body)


def _action_done(book: _Growing, event: Event) -> None:
    done = {"note": event.body["note"], "done": Written(**_written(book, event))}
    _change(book.actions, event.body["to"], done)


def _conceded(book: _Growing, event: Event) -> None:
    book.concessions[event.number] = Concession(**_written(book, event), **event.body)


def _withdrawn(book: _Growing, event: Event) -> None:
    back = {"why_withdrawn": event.body["reason"], "withdrawn": Written(**_written(book, event))}
    _change(book.concessions, event.body["to"], back)


def _disposed(book: _Growing, event: Event) -> None:
    body = {**event.body}
    for name in ("operations", "requirements"):
        body[name] = tuple(body[name])
    book.dispositions.append(Disposition(**_written(book, event) | body))


def _confirmed(book: _Growing, event: Event) -> None:
    shared = {name: event.body[name] for name in ("edition", "clause", "date")}
    for item in event.body["items"]:
        book.confirmations.append(Confirmation(**_written(book, event), **item, **shared))


def _roles_set(book: _Growing, event: Event) -> None:
    book.roles = tuple(event.body["roles"])


def _prepared(book: _Growing, event: Event) -> None:
    body = {**event.body, "roles": tuple(event.body["roles"])}
    book.prepared, book.signatures = Prepared(**_written(book, event), **body), []


def _signed(book: _Growing, event: Event) -> None:
    signed = Signed(**_written(book, event), signature=event.body["signature"])
    book.signatures.append(signed)
    if Book(prepared=book.prepared, signatures=tuple(book.signatures)).is_signed:
        book.signed_revision, book.signed_entry = signed.revision, event.number


_WHAT: dict[Kind, Callable[[_Growing, Event], None]] = {
    Kind.OPENED: _opened,
    Kind.REVISED: _revised,
    Kind.ASKED: _asked,
    Kind.ANSWERED: _answered,
    Kind.ACTION_SET: _action_set,
    Kind.ACTION_DONE: _action_done,
    Kind.CONCEDED: _conceded,
    Kind.WITHDRAWN: _withdrawn,
    Kind.DISPOSED: _disposed,
    Kind.CONFIRMED: _confirmed,
    Kind.ROLES_SET: _roles_set,
    Kind.PREPARED: _prepared,
    Kind.SIGNED: _signed,
}


def _change(items: dict[int, Any], number: int, changes: Mapping[str, Any]) -> None:
    """Change the item of a number, where there is one."""
    if number in items:
        items[number] = replace(items[number], **changes)
