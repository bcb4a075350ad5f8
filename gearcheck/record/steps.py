"""Revisions: a record is opened from a gear file, and goes on by files and drafts that are adopted."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from gearcheck.basics.errors import Fault, Faults, InputError
from gearcheck.basics.names import file_stem
from gearcheck.record import checks
from gearcheck.record.ageing import aged
from gearcheck.record.book import Book, Revision
from gearcheck.record.difference import difference
from gearcheck.record.events import Entry, Kind, Person
from gearcheck.record.keeping import evidence_files, find, record_of, review_of
from gearcheck.record.workspace import Workspace
from gearcheck.review.carried import carried_record, with_stale
from gearcheck.review.inputs import Record
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.whole import review


def open_record(workspace: Workspace, record: Record, *, by: Person, reason: str = "") -> Book:
    """Begin a record with a gear file as its first revision.

    Parameters
    ----------
    workspace : Workspace
        Where it is kept.
    record : Record
        As read from the file.
    by : Person
        Who.
    reason : str
        Why; may be empty.

    Returns
    -------
    Book
        Of the new record.

    Raises
    ------
    InputError
        If who writes has no name, or the workspace cannot be written to.
    """
    part = record.part
    earlier = [
        head.record
        for head in workspace.records()
        if head.part_number == part.number and head.drawing_revision != part.revision and not head.fork
    ]
    return _begin(workspace, record, by, reason or "opened", "gear file", earlier[0] if earlier else "", "")


def fork(workspace: Workspace, record: Record, *, by: Person, reason: str, follows: str) -> Book:
    """Begin a record of its own beside another one of the same part and drawing revision.

    Parameters
    ----------
    workspace : Workspace
        Where it is kept.
    record : Record
        Its inputs; of the same part number and drawing revision.
    by : Person
        Who.
    reason : str
        Why.
    follows : str
        The record that it leaves; evidence that came in on that one is held against its inputs.

    Returns
    -------
    Book
        Of the new record.

    Raises
    ------
    InputError
        Another part, no name, no reason.
    """
    _same_part(workspace.book(follows), record)
    return _begin(workspace, record, by, reason, "fork", follows, follows)


def _begin(
    workspace: Workspace, record: Record, by: Person, reason: str, source: str, follows: str, left: str
) -> Book:
    faults = Faults()
    checks.person(by, faults)
    reason = checks.words(reason, "reason", "why", faults)
    faults.check()
    part = record.part
    opened = {
        "part_number": part.number,
        "drawing_revision": part.revision,
        "title": part.title,
        "follows": follows,
        "fork": left,
    }
    entries = [
        Entry(kind=Kind.OPENED, by=by, body=opened),
        Entry(
            kind=Kind.REVISED,
            by=by,
            body={
                **_inputs(record),
                "revision": 1,
                "evidence": aged(workspace, Book(fork=left), record),
                "reason": reason,
                "source": source,
                "changes": [],
                "moved": [],
            },
        ),
    ]
    # what cannot be read back would lie in the record for ever
    carried_record(record.source_text, evidence_texts(record))
    wanted = f"{part.number}_{part.revision}"
    name = workspace.free_name(wanted)
    if not left and name != file_stem(wanted) and find(workspace, part) is not None:
        name = file_stem(wanted)  # someone began it at the same moment: to append to it is refused
    return workspace.append(name, entries, seen=0, contents=_contents(record))


def adopt_file(workspace: Workspace, book: Book, record: Record, *, by: Person, reason: str) -> Book:
    """Make a gear file the next revision of a record.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    record : Record
        As read from the file; of the same part number and drawing revision.
    by : Person
        Who.
    reason : str
        Why.

    Returns
    -------
    Book
        With one more revision.

    Raises
    ------
    InputError
        Another part, nothing that changed, no reason.
    """
    _same_part(book, record)
    return adopt_record(workspace, book, record, by=by, reason=reason, source="gear file")


def _same_part(book: Book, record: Record) -> None:
    if (record.part.number, record.part.revision) != (book.part_number, book.drawing_revision):
        given = f"{record.part.number}, drawing revision {record.part.revision}"
        needed = f"{book.part_number}, drawing revision {book.drawing_revision}"
        why = "another part or drawing revision is another record: open the file as one"
        raise InputError([Fault("gear file", given, needed, why)])


def adopt_draft(
    workspace: Workspace, book: Book, values: Mapping[str, float], *, by: Person, reason: str
) -> Book:
    """Make a draft the next revision of a record.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    values : mapping of str to float
        The draft, by the keys of the changes.
    by : Person
        Who.
    reason : str
        Why.

    Returns
    -------
    Book
        With one more revision.

    Raises
    ------
    InputError
        Nothing that changed, no reason.
    """
    record = drafted(workspace, book, values)
    return adopt_record(workspace, book, record, by=by, reason=reason, source="draft")


def drafted(workspace: Workspace, book: Book, values: Mapping[str, float]) -> Record:
    """Return the record that adopting a draft would make, with the evidence that it makes stale.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    values : mapping of str to float
        The draft.

    Returns
    -------
    Record
        As it would be read.
    """
    now = record_of(workspace, book)
    record = carried_record(rewritten(now, values), evidence_texts(now))
    stale = {item["key"]: item["stale"] for item in aged(workspace, book, record)}
    return with_stale(record, stale)


def adopt_record(
    workspace: Workspace, book: Book, record: Record, *, by: Person, reason: str, source: str
) -> Book:
    """Make inputs the next revision of a record; `source` says what they come from. Else as `adopt_file`."""
    faults = Faults()
    checks.person(by, faults)
    reason = checks.words(reason, "reason", "why the revision is adopted", faults)
    now, kept = _inputs(record), book.revision
    if now["inputs"] == kept.inputs and now["files"] == dict(kept.files):
        faults.add("revision", source, "a change", f"it says what revision {kept.revision} says")
    faults.check()
    evidence = aged(workspace, book, record)
    # what cannot be read back would lie in the record for ever
    read = carried_record(record.source_text, evidence_texts(record))
    entry = _revised(workspace, book, read, evidence, by=by, reason=reason, source=source)
    return workspace.append(book.record, [entry], seen=book.last, contents=_contents(record))


def _revised(
    workspace: Workspace,
    book: Book,
    record: Record,
    evidence: list[dict[str, Any]],
    *,
    by: Person,
    reason: str,
    source: str,
) -> Entry:
    """The entry of a revision: its inputs, what its evidence is worth, and what moved by it."""
    marked = with_stale(record, {item["key"]: item["stale"] for item in evidence})
    found = difference(review_of(workspace, book), review(marked))
    body = {
        **_inputs(record),
        "revision": book.revision.revision + 1,
        "evidence": evidence,
        "reason": reason,
        "source": source,
        "changes": [str(item) for item in found.inputs],
        "moved": [
            {"key": item.key, "title": item.title, "before": item.before, "after": item.after, "by": item.by}
            for item in found.moved
        ],
    }
    return Entry(kind=Kind.REVISED, by=by, body=body)


def says(revision: Revision, record: Record) -> bool:
    """Whether a revision says what a gear file says: the same inputs and the same evidence."""
    now = _inputs(record)
    return bool(now["digest"] == revision.digest and now["files"] == dict(revision.files))


def _inputs(record: Record) -> dict[str, Any]:
    files = {name: _sha(text.encode("utf-8")) for name, text in evidence_texts(record).items()}
    return {"inputs": _sha(record.source_text.encode("utf-8")), "digest": record.digest, "files": files}


def _contents(record: Record) -> list[bytes]:
    return [text.encode("utf-8") for text in (record.source_text, *evidence_texts(record).values())]


def aged_entry(
    workspace: Workspace, book: Book, *, by: Person, reason: str, source: str, stale: Mapping[str, str]
) -> Entry:
    """Return a revision of the same inputs in which evidence no longer holds.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    by : Person
        Who.
    reason, source : str
        Why, and what made it so.
    stale : mapping of str to str
        Why, by the key of the evidence; else what earlier revisions say stays.

    Returns
    -------
    Entry
        To be appended.
    """
    kept = book.revision.evidence
    evidence = [{**item, "stale": stale.get(item["key"], item["stale"])} for item in kept]
    now = record_of(workspace, book)
    return _revised(workspace, book, now, evidence, by=by, reason=reason, source=source)


def gear_files(workspace: Workspace, book: Book) -> dict[str, bytes]:
    """Return the gear file and the evidence files of the revision that holds, by their names.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.

    Returns
    -------
    dict of str to bytes
        As they were read; ``gear.toml`` is the gear file.
    """
    texts = evidence_files(workspace, book.revision)
    return {
        "gear.toml": workspace.content(book.revision.inputs),
        **{name: text.encode("utf-8") for name, text in texts.items()},
    }


def _sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
