"""What the events of a record say: revisions, decisions, confirmations, signatures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.record.events import Event, Kind, Person

ROLES = ("design", "metallurgy", "quality")
"""The roles that sign a record for which nothing else was agreed."""


@dataclass(frozen=True, kw_only=True)
class Written:
    """What every entry says of itself.

    Parameters
    ----------
    number : int
        Of its event: the number by which people speak of it.
    by : Person
        Who wrote it.
    at : str
        When, UTC, by the clock of the machine that wrote it.
    revision : int
        The revision of the record that it was written on.
    """

    number: int
    by: Person
    at: str
    revision: int


@dataclass(frozen=True, kw_only=True)
class Revision(Written):
    """Exact inputs and evidence; `revision` is its own number.

    Parameters
    ----------
    inputs : str
        SHA-256 of the gear file.
    digest : str
        The digest of the inputs, however they were written down.
    files : mapping of str to str
        SHA-256 of each evidence file, by the name that the gear file gives it.
    evidence : tuple of mapping
        For each piece of evidence ``key``, the revision in which it ``came_in``, and why it is ``stale``
        (empty where it is not).
    reason, source : str
        Why, and where from: gear file, draft, fork.
    changes : tuple of str
        The inputs that changed, in words.
    moved : tuple of mapping
        The requirements that moved: ``key``, ``title``, ``before`` and ``after`` in words.
    """

    inputs: str
    digest: str
    files: Mapping[str, str]
    evidence: tuple[Mapping[str, Any], ...]
    reason: str
    source: str
    changes: tuple[str, ...]
    moved: tuple[Mapping[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class Question(Written):
    """A question and its answer; `about` is the key of a requirement, or empty."""

    about: str
    text: str
    answer: str = ""
    answered: Written | None = None


@dataclass(frozen=True, kw_only=True)
class Action(Written):
    """What someone has to do until a day; `note` says what came of it."""

    about: str
    text: str
    owner: str
    due: str
    note: str = ""
    done: Written | None = None


@dataclass(frozen=True, kw_only=True)
class Concession(Written):
    """A departure that was agreed; it hides nothing, and ends where its requirement moves.

    Parameters
    ----------
    about : str
        The key of the requirement.
    title, reason : str
        Its title, and why the departure is accepted.
    limit : str
        How far it reaches: serial numbers, hours, a number of parts.
    standing : mapping
        How the requirement stood then, see ``record.standing``.
    withdrawn : Written or None
        Who took it back, and when.
    why_withdrawn : str
        Why.
    """

    about: str
    title: str
    reason: str
    limit: str
    standing: Mapping[str, Any]
    withdrawn: Written | None = None
    why_withdrawn: str = ""


@dataclass(frozen=True, kw_only=True)
class Confirmation(Written):
    """Someone held the document: the value stands there as it stands here.

    Parameters
    ----------
    what : str
        ``method:`` or ``table:`` and a key.
    content : str
        SHA-256 of what was confirmed; another content is not confirmed.
    edition, clause, date : str
        Where it was seen, and on which day.
    """

    what: str
    content: str
    edition: str
    clause: str
    date: str


@dataclass(frozen=True, kw_only=True)
class Prepared(Written):
    """The report that lies before the signers.

    Parameters
    ----------
    digest : str
        What they sign.
    report : str
        SHA-256 of the notebook without signatures.
    roles : tuple of str
        Who has to sign.
    unconfirmed : int
        How many values it rests on were not confirmed.
    """

    digest: str
    report: str
    roles: tuple[str, ...]
    unconfirmed: int


@dataclass(frozen=True, kw_only=True)
class Signed(Written):
    """A signature that came back, as it stands in the signature block."""

    signature: Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Book:
    """One record as its events tell it.

    Parameters
    ----------
    record : str
        Its name in the workspace and in addresses.
    part_number, drawing_revision, title : str
        What it is the record of.
    follows : str
        The record of the drawing revision before, or that it was forked from; empty where there is none.
    fork : str
        The record that it was forked from; empty where it is the record of its drawing revision.
    revisions, questions, actions, concessions, confirmations : tuple
        In the order in which they were written.
    roles : tuple of str
        Who has to sign.
    prepared : Prepared or None
        What lies before the signers; None where nothing does, or the record went on since.
    signatures : tuple of Signed
        Those on `prepared`.
    signed_revision : int
        The revision that all who had to signed last; 0 where none was.
    signed_entry : int
        The number of the signature that completed it; 0 where none did.
    events : tuple of Event
        All of it.
    """

    record: str = ""
    part_number: str = ""
    drawing_revision: str = ""
    title: str = ""
    follows: str = ""
    fork: str = ""
    revisions: tuple[Revision, ...] = ()
    questions: tuple[Question, ...] = ()
    actions: tuple[Action, ...] = ()
    concessions: tuple[Concession, ...] = ()
    confirmations: tuple[Confirmation, ...] = ()
    roles: tuple[str, ...] = ROLES
    prepared: Prepared | None = None
    signatures: tuple[Signed, ...] = ()
    signed_revision: int = 0
    signed_entry: int = 0
    events: tuple[Event, ...] = field(default=(), repr=False)

    @property
    def last(self) -> int:
        """The number of the last event: who writes on has seen it."""
        return self.events[-1].number if self.events else 0

    @property
    def revision(self) -> Revision:
        """The revision that holds."""
        return self.revisions[-1]

    @property
    def is_signed(self) -> bool:
        """Whether all who have to sign have signed what was prepared."""
        return self.prepared is not None and not self.missing_roles

    @property
    def missing_roles(self) -> tuple[str, ...]:
        """The roles that have not signed yet."""
        roles = self.roles if self.prepared is None else self.prepared.roles
        there = {item.signature["role"] for item in self.signatures}
        return tuple(role for role in roles if role not in there)


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
    Kind.CONFIRMED: _confirmed,
    Kind.ROLES_SET: _roles_set,
    Kind.PREPARED: _prepared,
    Kind.SIGNED: _signed,
}


def _change(items: dict[int, Any], number: int, changes: Mapping[str, Any]) -> None:
    """Change the item of a number, where there is one."""
    if number in items:
        items[number] = replace(items[number], **changes)
