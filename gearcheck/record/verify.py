"""Verification of a report: altered? signed by whom? the same numbers? Nothing in it is ever run."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.record.altered import altered, answered, inputs_faults
from gearcheck.record.answers import Answer
from gearcheck.record.archive import beside_faults, is_archive, notebook_in
from gearcheck.record.blocks import blocks
from gearcheck.record.book import Book
from gearcheck.record.inside import Carried, about_record, carried_in
from gearcheck.record.keeping import stale_of
from gearcheck.record.ledger import with_confirmed
from gearcheck.record.past import book_from
from gearcheck.record.same_numbers import same_numbers
from gearcheck.record.sealed import document_digest, read_notebook
from gearcheck.record.signatures import shape_faults
from gearcheck.record.signed_by import signed_by
from gearcheck.record.signers import Signer
from gearcheck.review.carried import carried_record
from gearcheck.review.inputs import Record
from gearcheck.review.results import Review
from gearcheck.review.whole import review

PRINTED = "Printed anew, every sentence and every table is the same; charts are not compared."
HOLDS, ALTERED, NOT_SIGNED, OTHER_NUMBERS = 0, 1, 4, 5

PRINTS = (
    "The signatures are over the notebook; gear file, evidence, history and signatures beside it were held "
    "against it. HTML and PDF are prints: they were held against the list of fingerprints only, and anyone "
    "could write that list anew."
)


@dataclass(frozen=True, kw_only=True)
class Verification:
    """Three answers, each for itself.

    Parameters
    ----------
    part_number, drawing_revision, revision, digest : str
        What the file says it is, and the digest of what it is.
    altered : Answer
        It holds where nothing was altered since it was signed.
    signed : Answer
        It holds where all who have to sign have, with keys that are known.
    numbers : Answer
        It holds where this version gets the same numbers.
    """

    part_number: str
    drawing_revision: str
    revision: str
    digest: str
    altered: Answer
    signed: Answer
    numbers: Answer

    @property
    def exit_code(self) -> int:
        """0 where all three hold; else the first of 1 altered, 4 not signed as required, 5 other numbers."""
        if self.altered.ok is False:
            return ALTERED
        if not self.signed.ok:
            return NOT_SIGNED
        return HOLDS if self.altered.ok and self.numbers.ok else OTHER_NUMBERS


Reprint = Callable[[Mapping[str, Any], Review, Book | None], Sequence[str]]
"""Says where a notebook does not print what a review says."""


def verify(
    data: bytes,
    *,
    signers: Sequence[Signer] = (),
    with_numbers: bool = True,
    reprint: Reprint | None = None,
) -> Verification:
    """Verify a report.

    Parameters
    ----------
    data : bytes
        A notebook, or the archive of an export.
    signers : sequence of Signer
        Whose keys the reader knows.
    with_numbers : bool
        Whether the numbers are worked out anew too.
    reprint : callable, optional
        Looks whether the notebook prints what comes out: given by who can print one.

    Returns
    -------
    Verification
        Its answers.

    Raises
    ------
    InputError
        If it cannot be read as a report at all.
    """
    if not is_archive(data) and not data.lstrip().startswith(b"{"):
        needed = (
            "the signed notebook (.ipynb) or the archive (.zip): a print, HTML or PDF, cannot be verified"
        )
        raise InputError([Fault("file", "something else", needed)])
    faults: tuple[str, ...] = ()
    files: dict[str, bytes] = {}
    if is_archive(data):
        data, faults, files = notebook_in(data)
    beside = (PRINTS,) if files else ()
    notebook = read_notebook(data)
    about, digest = about_record(notebook), document_digest(notebook)
    carried, book, said = _read(notebook)
    if files and carried is not None:
        faults += beside_faults(files, carried, [one for one in about["signatures"] if not shape_faults(one)])
    record, why = _record(carried, book)
    faults += (*said, *altered(notebook, about, carried, book))
    if record is not None:
        faults += inputs_faults(about, record, book)
    held = answered(faults, why, about)
    roles = () if book is None else book.roles
    whole = _whole(record, book) if record is not None and with_numbers else None
    signed = signed_by(about, roles, signers, digest=digest)
    if whole is not None and book is not None:
        signed = _unblocked(signed, whole, book)
    return Verification(
        part_number=about["part_number"],
        drawing_revision=about["drawing_revision"],
        revision=str(about["revision"]),
        digest=digest,
        altered=replace(held, words=(*held.words, *beside)),
        signed=signed,
        numbers=_numbers(notebook, whole, book, why, reprint),
    )


def _whole(record: Record, book: Book | None) -> Review:
    whole = review(record)
    return whole if book is None else with_confirmed(whole, book)


def _unblocked(signed: Answer, whole: Review, book: Book) -> Answer:
    """What blocks signing by the record's own rules is said, whoever signed."""
    found = blocks(whole, book)
    if not found:
        return signed
    said = (f"By the rules of the record it could not be signed: {one.text}" for one in found[:5])
    return Answer(ok=False, words=(*signed.words, *said))


def carried_review(data: bytes) -> tuple[dict[str, Any], Review, Book]:
    """Return a report of a record with the review of what it carries, nothing in it run.

    Parameters
    ----------
    data : bytes
        A notebook, or the archive of an export.

    Returns
    -------
    notebook : dict
        As JSON has it.
    whole : Review
        Worked out anew.
    book : Book
        What its history says.

    Raises
    ------
    InputError
        If it cannot be read, or is no report of a record.
    """
    notebook = read_notebook(notebook_in(data)[0] if is_archive(data) else data)
    carried, book, said = _read(notebook)
    record, why = _record(carried, book)
    if record is None or book is None:
        raise InputError([Fault("report", "", "the report of a record", " ".join((*said, *why)))])
    return notebook, _whole(record, book), book


def _read(notebook: Mapping[str, Any]) -> tuple[Carried | None, Book | None, tuple[str, ...]]:
    try:
        carried = carried_in(notebook)
    except InputError as error:
        return None, None, tuple(f"It was altered: {fault}." for fault in error.faults)
    if not carried.history:
        return carried, None, ()
    book, faults = book_from(carried.history)
    return carried, book, faults


def _record(carried: Carried | None, book: Book | None) -> tuple[Record | None, tuple[str, ...]]:
    if carried is None:
        return None, ("The inputs that it carries cannot be read.",)
    stale = {} if book is None else stale_of(book.revision)
    try:
        return carried_record(carried.gear_file, carried.evidence, stale), ()
    except InputError as error:
        said = [
            f"This version cannot read the inputs that it carries: {fault}." for fault in error.faults[:5]
        ]
        return None, tuple(said)


def _numbers(
    notebook: Mapping[str, Any],
    whole: Review | None,
    book: Book | None,
    why: tuple[str, ...],
    reprint: Reprint | None,
) -> Answer:
    if whole is None:
        return Answer(ok=None, words=why or ("The numbers were not worked out anew.",))
    contents = notebook["metadata"]["gearcheck"]["contents"]
    found = same_numbers(contents, whole)
    if not found.ok or reprint is None or contents.get("versions") != dict(whole.versions):
        return found
    faults = tuple(reprint(notebook, whole, book))
    return Answer(ok=not faults, words=faults or (*found.words, PRINTED))
