"""What the events of a record say: revisions, decisions, confirmations, signatures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from gearcheck.record.events import Event, Person

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


class Verdict(StrEnum):
    """What is decided of a part."""

    ACCEPT = "accept"
    REWORK = "rework"
    REJECT = "reject"
    CONCESSION = "concession"
    SET_ASIDE = "set aside"


@dataclass(frozen=True, kw_only=True)
class Disposition(Written):
    """What becomes of a part whose evidence contradicts a limit; the finding itself stays.

    Parameters
    ----------
    characteristic, title : str
        Key and title of what was measured.
    evidence, finding : str
        The key of the piece of evidence, and what it says.
    verdict : str
        Accept, rework, reject, concession or set aside.
    reason : str
        Why.
    limit : str
        How far it reaches, for accept and concession; empty otherwise.
    operations : tuple of str
        The keys of the operations that run again, for rework.
    stale : mapping of str to str
        Why evidence no longer holds, by its key, for rework and reject.
    requirements : tuple of str
        The keys of the requirements that the finding contradicts.
    applies_to : str
        What the finding was made on; empty where it was not written down.
    """

    characteristic: str
    title: str
    evidence: str
    finding: str
    verdict: str
    reason: str
    limit: str
    operations: tuple[str, ...]
    stale: Mapping[str, str]
    requirements: tuple[str, ...]
    applies_to: str = ""


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
    revisions, questions, actions, concessions, dispositions, confirmations : tuple
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
    dispositions: tuple[Disposition, ...] = ()
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
