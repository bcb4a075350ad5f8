"""Was it altered? Everything in a report that says something of the rest is held against it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from typing import Any

from gearcheck.record.answers import Answer, answer
from gearcheck.record.book import Book
from gearcheck.record.inside import Carried
from gearcheck.record.sealed import document_digest, signatures_markdown, signatures_source
from gearcheck.record.signatures import shape_faults, signature_faults
from gearcheck.review.inputs import Record

UNSIGNED = "It is not signed, so anyone could have changed it and its digest alike."
WELL = "It was not altered since it was signed."


def altered(
    notebook: Mapping[str, Any], about: Mapping[str, Any], carried: Carried | None, book: Book | None
) -> tuple[str, ...]:
    """Say what shows that a report was altered.

    Parameters
    ----------
    notebook, about : mapping
        The report, and what it says of itself.
    carried : Carried or None
        What it carries; None where that cannot be read.
    book : Book or None
        What its history says; None where there is none.

    Returns
    -------
    tuple of str
        Sentences; none where all fits together.
    """
    found = [*_digests(notebook, about), *_cell(notebook, about)]
    if carried is not None and book is not None:
        found += _history(about, carried, book)
    return tuple(found)


def inputs_faults(about: Mapping[str, Any], record: Record, book: Book | None) -> tuple[str, ...]:
    """Say what in a report does not fit the inputs that it carries.

    Parameters
    ----------
    about : mapping
        What the report says of itself.
    record : Record
        Read anew from the texts that it carries.
    book : Book or None
        What its history says.

    Returns
    -------
    tuple of str
        Sentences.
    """
    part = record.part
    said = (
        (about["contents"].get("inputs"), record.digest, "digest of the inputs"),
        (about["part_number"], part.number, "part number"),
        (about["drawing_revision"], part.revision, "drawing revision"),
        (about["stage"], str(part.stage), "stage"),
    )
    found = [f"The {what} stated is not that of the gear file it carries." for a, b, what in said if a != b]
    if book is not None and book.revision.digest != record.digest:
        found.append("The history ends with other inputs than those it carries.")
    return tuple(found)


def answered(faults: tuple[str, ...], unknown: tuple[str, ...], about: Mapping[str, Any]) -> Answer:
    """Return the answer; nothing shows of a report that nobody signed whether it is as it was."""
    if not about["signatures"]:
        unknown = (UNSIGNED, *unknown)
    return answer(faults, unknown, well=WELL)


def _digests(notebook: Mapping[str, Any], about: Mapping[str, Any]) -> Iterator[str]:
    digest = document_digest(notebook)
    if about["digest"] != digest:
        yield "It was altered: its text, numbers or pictures are not those that its digest stands for."
    wanted = (about["part_number"], about["drawing_revision"], str(about["revision"]))
    for signature in about["signatures"]:
        faults = signature_faults(signature, digest=digest)
        yield from faults
        if faults or shape_faults(signature):
            continue
        if (signature["part_number"], signature["drawing_revision"], signature["revision"]) != wanted:
            yield f"The signature of {signature['name']} names another part or another revision."


def _cell(notebook: Mapping[str, Any], about: Mapping[str, Any]) -> Iterator[str]:
    readable = not any(shape_faults(item) for item in about["signatures"])
    if not readable or signatures_source(notebook) != signatures_markdown(about):
        yield "What it prints of its signatures is not what they say: one was removed, added or changed."


def _history(about: Mapping[str, Any], carried: Carried, book: Book) -> Iterator[str]:
    last = book.revision
    if _sha(carried.gear_file) != last.inputs:
        yield "The gear file that it carries is not that of the last revision of its history."
    if {name: _sha(text) for name, text in carried.evidence.items()} != dict(last.files):
        yield "The evidence that it carries is not that of the last revision of its history."
    if (book.part_number, book.drawing_revision) != (about["part_number"], about["drawing_revision"]):
        yield "Its history is that of another part or of another drawing revision."
    if str(last.revision) != str(about["revision"]):
        yield f"Its history ends with revision {last.revision}, but it says revision {about['revision']}."
    if list(book.roles) != about["roles"]:
        yield "The roles that have to sign are not those of its history."
    taken = {key: one.number for one in book.dispositions for key in one.stale}
    again = sorted(
        {taken[item["key"]] for item in last.evidence if not item["stale"] and item["key"] in taken}
    )
    for number in again:
        yield f"Evidence that disposition {number} took away holds again in the last revision of its history."
    stated = about["contents"].get("evidence")
    if isinstance(stated, dict) and stated != dict(last.files):
        yield "The evidence that it states is not that of its history."


def _sha(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
