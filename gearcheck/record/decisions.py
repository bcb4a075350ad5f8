"""Decisions: questions and answers, actions, and concessions, each on one revision."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gearcheck.basics.errors import Faults
from gearcheck.record import checks
from gearcheck.record.book import Book
from gearcheck.record.events import Entry, Kind, Person
from gearcheck.record.keeping import review_of
from gearcheck.record.standing import concession_of
from gearcheck.record.workspace import Workspace
from gearcheck.requirements.types import Evidence, Requirement, Stage
from gearcheck.review.results import Review


def ask(workspace: Workspace, book: Book, *, by: Person, about: str, text: str) -> Book:
    """Write a question beside a requirement, or to the whole record.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    by : Person
        Who asks.
    about : str
        The key of the requirement; empty for the whole record.
    text : str
        The question.

    Returns
    -------
    Book
        With the question.

    Raises
    ------
    InputError
        What is missing; then nothing is written.
    """
    faults = _begun(by)
    _about(workspace, book, about, faults)
    body = {"about": about, "text": checks.words(text, "question", "a question", faults)}
    return _write(workspace, book, by, Kind.ASKED, body, faults)


def answer(workspace: Workspace, book: Book, *, by: Person, number: int, text: str) -> Book:
    """Answer an open question, named by its number; else as `ask`."""
    faults = _begun(by)
    is_open = any(item.number == number and item.answered is None for item in book.questions)
    faults.need(is_open, "question", number, "the number of an open question")
    body = {"to": number, "text": checks.words(text, "answer", "an answer", faults)}
    return _write(workspace, book, by, Kind.ANSWERED, body, faults)


def set_action(
    workspace: Workspace, book: Book, *, by: Person, about: str, text: str, owner: str, due: str
) -> Book:
    """Write down what `owner` has to do until the day `due`; else as `ask`."""
    faults = _begun(by)
    _about(workspace, book, about, faults)
    body = {
        "about": about,
        "text": checks.words(text, "action", "what is to be done", faults),
        "owner": checks.line(owner, "owner", "who does it", faults),
        "due": checks.day(due, "due", faults),
    }
    return _write(workspace, book, by, Kind.ACTION_SET, body, faults)


def finish(workspace: Workspace, book: Book, *, by: Person, number: int, note: str) -> Book:
    """Close an open action, named by its number, with what came of it; else as `ask`."""
    faults = _begun(by)
    is_open = any(item.number == number and item.done is None for item in book.actions)
    faults.need(is_open, "action", number, "the number of an open action")
    body = {"to": number, "note": checks.words(note, "note", "what came of it", faults)}
    return _write(workspace, book, by, Kind.ACTION_DONE, body, faults)


def may_be_conceded(item: Requirement, stage: Stage) -> bool:
    """Whether a requirement is in trouble: a departure from what is met cannot be conceded."""
    waits = stage is Stage.RELEASE and item.by_evidence is Evidence.OPEN
    return item.troubled or waits


def concede(
    workspace: Workspace, book: Book, whole: Review, *, by: Person, about: str, reason: str, limit: str
) -> Book:
    """Write down that a departure is accepted, as the requirement stands now.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    whole : Review
        Of the revision that holds.
    by : Person
        Who accepts it, with the role in which.
    about : str
        The key of a requirement in trouble.
    reason : str
        Why.
    limit : str
        How far it reaches: serial numbers, hours, a number of parts.

    Returns
    -------
    Book
        With the concession.

    Raises
    ------
    InputError
        A requirement that is met or that there is not, no reason, no limit, no role.
    """
    faults = _begun(by)
    checks.line(by.role, "role", "the role in which it is conceded", faults)
    item = next((one for one in whole.requirements if one.key == about), None)
    fine = item is not None and may_be_conceded(item, whole.record.part.stage)
    faults.need(fine, "requirement", about, "one that fails, is not assessed, or lacks its evidence")
    reason = checks.words(reason, "reason", "why the departure is accepted", faults)
    limit = checks.words(limit, "limit", "how far it reaches, such as serial numbers or hours", faults)
    body = {} if item is None else concession_of(item, reason=reason, limit=limit)
    return _write(workspace, book, by, Kind.CONCEDED, body, faults)


def withdraw(workspace: Workspace, book: Book, *, by: Person, number: int, reason: str) -> Book:
    """Take a concession back, named by its number; else as `ask`."""
    faults = _begun(by)
    stands = any(item.number == number and item.withdrawn is None for item in book.concessions)
    faults.need(stands, "concession", number, "the number of a concession that stands")
    body = {"to": number, "reason": checks.words(reason, "reason", "why it is withdrawn", faults)}
    return _write(workspace, book, by, Kind.WITHDRAWN, body, faults)


def _begun(by: Person) -> Faults:
    faults = Faults()
    checks.person(by, faults)
    return faults


def _about(workspace: Workspace, book: Book, key: str, faults: Faults) -> None:
    known = not key or any(item.key == key for item in review_of(workspace, book).requirements)
    faults.need(known, "requirement", key, "one of this revision, or none for the whole record")


def _write(
    workspace: Workspace, book: Book, by: Person, kind: Kind, body: Mapping[str, Any], faults: Faults
) -> Book:
    faults.check()
    return workspace.append(book.record, [Entry(kind=kind, by=by, body=body)], seen=book.last)
