"""What becomes of a part whose evidence contradicts a limit: accept, rework, reject, or a concession."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from gearcheck.basics.errors import Faults
from gearcheck.inspection.plan import Characteristic
from gearcheck.inspection.route import Operation, Route
from gearcheck.inspection.scopes import is_of_piece, may_speak_of, piece
from gearcheck.record import checks
from gearcheck.record.affected import touched_by
from gearcheck.record.book import Book, Disposition, Verdict
from gearcheck.record.events import Entry, Kind, Person
from gearcheck.record.standing import conceded_by, concession_of
from gearcheck.record.steps import aged_entry
from gearcheck.record.workspace import Workspace
from gearcheck.requirements.types import AGAIN, Calculation, Evidence, Finding, Requirement
from gearcheck.review.results import Inspected, Review

_TAKE_AWAY = (Verdict.REWORK, Verdict.REJECT, Verdict.SET_ASIDE)
"""The verdicts that make evidence stale."""


@dataclass(frozen=True, kw_only=True)
class Due:
    """A finding that contradicts a limit, and what it contradicts.

    Parameters
    ----------
    characteristic : Characteristic
        What was measured.
    finding : Finding
        What it says.
    requirements : tuple of Requirement
        Those that it contradicts.
    kept : tuple of str
        Titles of requirements behind the limit that the same evidence still shows.
    """

    characteristic: Characteristic
    finding: Finding
    requirements: tuple[Requirement, ...]
    kept: tuple[str, ...]

    @property
    def key(self) -> str:
        """By which it is named: characteristic and evidence."""
        return f"{self.characteristic.key}:{self.finding.evidence}"

    @property
    def may_be_accepted(self) -> bool:
        """Whether what the limit was drawn for is still shown: only then it can be accepted as it is."""
        limit_alone = all(one.key == self.characteristic.key for one in self.requirements)
        return bool(self.kept) and limit_alone


def due(whole: Review, book: Book) -> tuple[Due, ...]:
    """Return the contradictions that nobody has disposed of, or whose concession no longer holds.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    book : Book
        Of the record.

    Returns
    -------
    tuple of Due
        In the order of the inspection plan.
    """
    closed = {(item.characteristic, item.evidence): item for item in book.dispositions}
    pieces = _pieces_conceded(whole, book)
    found = ((item, _granted(item, pieces)) for item in contradictions(whole))
    return tuple(item for item, granted in found if not _is_closed(item, closed, granted))


def _pieces_conceded(whole: Review, book: Book) -> Mapping[str, frozenset[tuple[str, str] | None]]:
    """The pieces that each requirement is conceded for, where a disposition did it; None for any piece."""
    found: dict[str, frozenset[tuple[str, str] | None]] = {}
    for key, numbers in conceded_by(whole, book).items():
        made = {number: _made_by(number, key, book) for number in numbers}
        found[key] = frozenset(
            None if one is None or not one.applies_to else piece(one.applies_to) for one in made.values()
        )
    return found


def _made_by(number: int, about: str, book: Book) -> Disposition | None:
    """The disposition that a concession was written with: its entries follow one another."""
    for one in book.dispositions:
        if about in one.requirements and one.number < number <= one.number + len(one.requirements):
            return one
    return None


def _granted(item: Due, pieces: Mapping[str, frozenset[tuple[str, str] | None]]) -> frozenset[str]:
    """The requirements that are conceded for the very piece of a finding."""
    here = piece(item.finding.applies_to)
    return frozenset(key for key, found in pieces.items() if found & {None, here})


def _is_closed(item: Due, closed: Mapping[tuple[str, str], Disposition], granted: frozenset[str]) -> bool:
    """By a concession that holds for all it contradicts, or by rework or reject of what it was found on."""
    if all(one.key in granted for one in item.requirements) and item.requirements:
        return True
    found = closed.get((item.characteristic.key, item.finding.evidence))
    if found is None or found.verdict in _TAKE_AWAY:
        return found is not None
    # what fails by calculation too needs a concession of its own, and goes on blocking until then
    return all(one.key in granted or not _meets(one) for one in item.requirements)


def _meets(item: Requirement) -> bool:
    return item.by_calculation is Calculation.MEETS


def contradictions(whole: Review) -> tuple[Due, ...]:
    """Return every finding that contradicts the limit of its characteristic, or what that was drawn for."""
    if whole.inspected is None:
        return ()
    needs = [one for item in whole.requirements for one in item.findings]
    found = []
    for item in whole.inspected.plan.characteristics:
        of_item = (
            *whole.inspected.findings[item.key],
            *(one for one in needs if one.characteristic == item.key),
        )
        first = {one.evidence: one for one in reversed(of_item) if one.contradicts}
        order = dict.fromkeys(one.evidence for one in of_item if one.evidence in first)
        found += [_due(whole, item, first[key]) for key in order]
    return tuple(found)


def _due(whole: Review, item: Characteristic, finding: Finding) -> Due:
    wrong, kept = [], []
    for one in whole.requirements:
        said = [
            found
            for found in one.findings
            if (found.characteristic, found.evidence) == (item.key, finding.evidence)
        ]
        if any(found.contradicts for found in said):
            wrong.append(one)
        elif said and all(found.ok for found in said):
            kept.append(one.title)
    return Due(characteristic=item, finding=finding, requirements=tuple(wrong), kept=tuple(kept))


def dispose(
    workspace: Workspace,
    book: Book,
    whole: Review,
    *,
    by: Person,
    about: str,
    verdict: str,
    reason: str,
    limit: str = "",
    first: str = "",
    last: str = "",
) -> Book:
    """Dispose of a finding.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    whole : Review
        Of the revision that holds.
    by : Person
        Who decides, with the role in which.
    about : str
        The `key` of the contradiction.
    verdict : str
        One of `Verdict`. Accept and concession write a concession for each requirement that is contradicted
        and meets by calculation; accept only where what the limit was drawn for is still shown. Rework and
        reject make evidence of the same piece stale, in a revision of its own; set aside is for what was
        measured or written down wrongly, and makes that alone stale.
    reason : str
        Why.
    limit : str
        How far it reaches, for accept and concession.
    first, last : str
        Keys of the operations that run again, for rework.

    Returns
    -------
    Book
        With the disposition.

    Raises
    ------
    InputError
        What is missing; then nothing is written.
    """
    faults = Faults()
    checks.person(by, faults)
    checks.line(by.role, "role", "the role in which it is decided", faults)
    reason = checks.words(reason, "reason", "why", faults)
    item = next((one for one in due(whole, book) if one.key == about), None)
    faults.need(item is not None, "finding", about, "one that waits for a disposition")
    known = verdict in [str(one) for one in Verdict]
    faults.need(known, "verdict", verdict, f"one of {', '.join(Verdict)}")
    faults.check()
    assert item is not None
    assert whole.inspected is not None
    wanted = Verdict(verdict)
    grants = wanted in (Verdict.ACCEPT, Verdict.CONCESSION)
    if grants:
        limit = checks.words(limit, "limit", "how far it reaches, such as serial numbers or hours", faults)
        why = "nothing shows that what the limit was drawn for is kept; a concession is needed"
        may = wanted is Verdict.CONCESSION or item.may_be_accepted
        faults.need(may, "verdict", verdict, "rework, reject or concession", why)
        waits = _not_shown(whole, item)
        why = f"it would cover what nothing shows yet: {', '.join(waits)}"
        needed = "rework or reject until that is measured, or a concession of the requirement itself"
        faults.need(not waits, "verdict", verdict, needed, why)
    again = _again(whole.inspected.plan.route, first, last, faults) if wanted is Verdict.REWORK else ()
    faults.check()
    stale = stale_after(whole, item, wanted, again, book.last + 1)
    body = _body(item, wanted, reason, limit if grants else "", again, stale)
    entries = [Entry(kind=Kind.DISPOSED, by=by, body=body)]
    if grants:
        entries += _concessions(item, by, reason, limit)
    if stale:
        why = f"disposition {book.last + 1}: {wanted}"
        entries.append(aged_entry(workspace, book, by=by, reason=why, source="disposition", stale=stale))
    return workspace.append(book.record, entries, seen=book.last)


def _not_shown(whole: Review, item: Due) -> tuple[str, ...]:
    """What else is inspected for the requirements that a concession would lift, and is open or stale."""
    assert whole.inspected is not None
    lifted = {one.key for one in item.requirements if _meets(one)}
    answers = whole.inspected.answers
    return tuple(
        one.title
        for one in whole.inspected.plan.characteristics
        if lifted & {*one.needs} and answers[one.key] in (Evidence.OPEN, Evidence.STALE)
    )


def _again(route: Route, first: str, last: str, faults: Faults) -> tuple[Operation, ...]:
    """The operations that run again, from the first to the last named."""
    found = (route.find(first), route.find(last))
    for name, given, step in zip(("first operation", "last operation"), (first, last), found, strict=True):
        faults.need(step is not None, name, given, "the key of an operation of the route")
    if None in found:
        return ()
    places = [route.operations.index(step) for step in found if step is not None]
    faults.need(places[0] <= places[1], "last operation", last, "one that does not come before the first")
    return route.operations[places[0] : places[1] + 1]


def stale_after(
    whole: Review, item: Due, verdict: Verdict, again: tuple[Operation, ...], number: int
) -> dict[str, str]:
    """Return why which evidence no longer holds after a disposition, by its key.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    item : Due
        The contradiction.
    verdict : Verdict
        Rework, reject and set aside make evidence stale.
    again : tuple of Operation
        What runs again, for rework.
    number : int
        Of the disposition.

    Returns
    -------
    dict of str to str
        Evidence of the same piece that says something of what the operations change or can spoil; all of the
        same piece where it is rejected; the finding alone where it is set aside.
    """
    if whole.inspected is None or verdict not in _TAKE_AWAY:
        return {}
    if verdict is Verdict.SET_ASIDE:  # until the piece is measured again, no other one speaks for it
        return {item.finding.evidence: f"set aside, to be measured {AGAIN} {number})"}
    why = f"the part was rejected (disposition {number})"
    if verdict is Verdict.REWORK:
        first, last = again[0].number, again[-1].number
        ran = f"operation {first} runs" if first == last else f"operations {first} to {last} run"
        why = f"{ran} {AGAIN} {number})"
    return {
        finding.evidence: why
        for one, finding in _all(whole.inspected)
        if _is_lost(item, one, finding, verdict, again)
    }


def _is_lost(
    item: Due, one: Characteristic, finding: Finding, verdict: Verdict, again: tuple[Operation, ...]
) -> bool:
    if finding.evidence == item.finding.evidence:
        return True
    there, here = finding.applies_to, item.finding.applies_to
    if verdict is Verdict.REJECT:
        return is_of_piece(there, here)
    # what its load or heat showed no longer speaks of a gear that is made again in that
    return may_speak_of(there, here) and (one.operation in again or touched_by(one, again))


def _all(found: Inspected) -> Iterator[tuple[Characteristic, Finding]]:
    for item in found.plan.characteristics:
        for finding in found.findings[item.key]:
            yield item, finding


def _body(
    item: Due,
    verdict: Verdict,
    reason: str,
    limit: str,
    again: tuple[Operation, ...],
    stale: Mapping[str, str],
) -> dict[str, Any]:
    return {
        "characteristic": item.characteristic.key,
        "title": item.characteristic.title,
        "evidence": item.finding.evidence,
        "finding": item.finding.text,
        "verdict": str(verdict),
        "reason": reason,
        "limit": limit,
        "operations": [one.key for one in again],
        "stale": dict(stale),
        "requirements": [one.key for one in item.requirements],
        "applies_to": item.finding.applies_to,
    }


def _concessions(item: Due, by: Person, reason: str, limit: str) -> Iterator[Entry]:
    """What fails by calculation is no matter of one part: it is conceded on its own, or not at all."""
    for one in filter(_meets, item.requirements):
        yield Entry(kind=Kind.CONCEDED, by=by, body=concession_of(one, reason=reason, limit=limit))
