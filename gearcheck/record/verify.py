"""Verification of a report: altered? signed by whom? the same numbers? Nothing in it is ever run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gearcheck.basics.errors import InputError
from gearcheck.record.altered import altered, answered, inputs_faults
from gearcheck.record.answers import Answer
from gearcheck.record.archive import is_archive, notebook_in
from gearcheck.record.book import Book
from gearcheck.record.inside import Carried, about_record, carried_in
from gearcheck.record.keeping import stale_of
from gearcheck.record.past import book_from
from gearcheck.record.same_numbers import same_numbers
from gearcheck.record.sealed import document_digest, read_notebook
from gearcheck.record.signed_by import signed_by
from gearcheck.record.signers import Signer
from gearcheck.review.carried import carried_record
from gearcheck.review.inputs import Record

HOLDS, ALTERED, NOT_SIGNED, OTHER_NUMBERS = 0, 1, 4, 5

PRINTS = (
    "The signatures are over the notebook. The other files of the archive are prints of it: they fit the "
    "list of fingerprints in it, or it says which do not, but anyone could write that list anew."
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


def verify(data: bytes, *, signers: Sequence[Signer] = (), with_numbers: bool = True) -> Verification:
    """Verify a report.

    Parameters
    ----------
    data : bytes
        A notebook, or the archive of an export.
    signers : sequence of Signer
        Whose keys the reader knows.
    with_numbers : bool
        Whether the numbers are worked out anew too.

    Returns
    -------
    Verification
        Its answers.

    Raises
    ------
    InputError
        If it cannot be read as a report at all.
    """
    faults: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    if is_archive(data):
        data, faults = notebook_in(data)
        beside = (PRINTS,)
    notebook = read_notebook(data)
    about, digest = about_record(notebook), document_digest(notebook)
    carried, book, said = _read(notebook)
    record, why = _record(carried, book)
    faults += (*said, *altered(notebook, about, carried, book))
    if record is not None:
        faults += inputs_faults(about, record, book)
    held = answered(faults, why, about)
    roles = () if book is None else book.roles
    return Verification(
        part_number=about["part_number"],
        drawing_revision=about["drawing_revision"],
        revision=str(about["revision"]),
        digest=digest,
        altered=replace(held, words=(*held.words, *beside)),
        signed=signed_by(about, roles, signers, digest=digest),
        numbers=_numbers(about, record, book, why, with_numbers=with_numbers),
    )


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
    about: Mapping[str, Any],
    record: Record | None,
    book: Book | None,
    why: tuple[str, ...],
    *,
    with_numbers: bool,
) -> Answer:
    if record is None:
        return Answer(ok=None, words=why)
    if not with_numbers:
        return Answer(ok=None, words=("The numbers were not worked out anew.",))
    return same_numbers(about["contents"].get("results"), record, book)
