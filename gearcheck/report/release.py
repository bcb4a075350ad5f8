"""The report of a record: put before the signers, signed, printed, and packed for the archive."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from gearcheck.basics.errors import Faults
from gearcheck.basics.names import file_stem
from gearcheck.record import closing
from gearcheck.record.archive import SUMS, copies, signature_files
from gearcheck.record.blocks import add_blocks
from gearcheck.record.book import Book
from gearcheck.record.events import Person
from gearcheck.record.keeping import evidence_files, review_of
from gearcheck.record.reading import book_of
from gearcheck.record.sealed import notebook_text, read_notebook, with_signatures
from gearcheck.record.workspace import Workspace
from gearcheck.report.cells import history, notebook_report
from gearcheck.report.files import Exported, packed, write_all
from gearcheck.report.notebook import prints


def prepare(workspace: Workspace, book: Book, *, by: Person) -> Book:
    """Print the report of the revision that holds, and put it before the signers.

    Parameters
    ----------
    workspace : Workspace
        That keeps the record.
    book : Book
        Of the record.
    by : Person
        Who.

    Returns
    -------
    Book
        With the report prepared.

    Raises
    ------
    InputError
        What blocks, in sentences.
    """
    whole = review_of(workspace, book)
    faults = Faults()
    add_blocks(faults, whole, book)
    faults.check()  # before the work of printing it
    report = notebook_report(whole, book).encode("utf-8")
    return closing.prepare(workspace, book, whole, by=by, notebook=report)


def signed_notebook(workspace: Workspace, book: Book) -> bytes:
    """Return the report with the signatures that came back; nothing prepared, a report that nobody signed.

    Parameters
    ----------
    workspace : Workspace
        That keeps the record.
    book : Book
        Of the record.

    Returns
    -------
    bytes
        A notebook.
    """
    if book.prepared is None:
        return notebook_report(review_of(workspace, book), book).encode("utf-8")
    notebook = read_notebook(workspace.content(book.prepared.report))
    signed = with_signatures(notebook, [item.signature for item in book.signatures])
    return notebook_text(signed).encode("utf-8")


def last_signed(book: Book) -> Book | None:
    """Return a record as it stood when all had signed last; None where that never was."""
    return book_of(book.events[: book.signed_entry]) if book.signed_entry else None


def file_name(book: Book) -> str:
    """Return the name of the files of a report, which says how far it is signed."""
    state = "_unsigned"
    if book.prepared is not None:
        there, all_of_them = len(book.signatures), len(book.prepared.roles)
        state = "_signed" if book.is_signed else f"_signed-{there}-of-{all_of_them}"
        state += f"_{book.prepared.digest[:8]}"
    else:
        state += f"_{book.last}"
    return f"{file_stem(book.record)}_r{book.revision.revision}{state}"


def export(workspace: Workspace, book: Book, folder: str | Path) -> Exported:
    """Write the report of a record: notebook, HTML, PDF, and one archive of all of it.

    Parameters
    ----------
    workspace : Workspace
        That keeps the record.
    book : Book
        Of the record.
    folder : str or Path
        Where to write; made where it is missing.

    Returns
    -------
    Exported
        The paths.

    Raises
    ------
    InputError
        A file of that name with other content, or a folder that cannot be written to.
    """
    stem = file_name(book)
    files = prints(signed_notebook(workspace, book), stem)
    files[f"{stem}.zip"] = archive({**files, **_kept(workspace, book)})
    return write_all(files, folder)


def _kept(workspace: Workspace, book: Book) -> dict[str, bytes]:
    """Gear file, evidence, history and signatures, as files of their own."""
    gear_file = workspace.content(book.revision.inputs).decode("utf-8")
    told = [event.text for event in history(book)]
    beside = copies(gear_file, evidence_files(workspace, book.revision), told)
    return {**beside, **signature_files([item.signature for item in book.signatures])}


def archive(files: Mapping[str, bytes]) -> bytes:
    """Pack files into one archive with their fingerprints.

    Parameters
    ----------
    files : mapping of str to bytes
        By name.

    Returns
    -------
    bytes
        A ZIP file with a list ``SHA256SUMS``; the same files give the same bytes.
    """
    sums = "".join(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files))
    return packed({**files, SUMS: sums.encode("utf-8")})
