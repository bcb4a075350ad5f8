"""The bar over a sheet whose gear file says something else than its record."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.entries import form, lines
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import text
from gearcheck.record.book import Book
from gearcheck.record.difference import input_changes
from gearcheck.record.keeping import record_of
from gearcheck.record.steps import adopt_file, fork, says
from gearcheck.review.inputs import Record


def differs_html(kept: Kept, other: Record, file: Path, folds: Folds) -> str:
    """Return what the gear file says differently, and the two ways on.

    Parameters
    ----------
    kept : Kept
        The record.
    other : Record
        What the file says.
    file : Path
        Where it lies.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    number = kept.book.revision.revision
    adopts = form("adopt-file", lines("reason", f"Why it becomes revision {number + 1}"), "Adopt the file")
    forks = form("fork-file", lines("reason", "Why it becomes a record of its own"), "Begin a record")
    ways = folds.fold("adopt-file", "Adopt the file as the next revision", lambda: adopts) + folds.fold(
        "fork-file", "Begin a record of its own with it", lambda: forks
    )
    earlier = [item.revision for item in kept.book.revisions if says(item, other)]
    if earlier:
        return (
            f'<section class="gc-differs" role="status"><p>The gear file {text(file.name)} says what '
            f"revision {earlier[-1]} of the record says; revision {number} is shown. "
            'The <a href="sign_off.ipynb#files">sign-off sheet</a> gives the gear file of that revision.</p>'
            f"{ways}</section>"
        )
    changes = input_changes(record_of(kept.workspace, kept.book), other)
    each = "".join(f"<li>{marked(str(item))}</li>" for item in changes)
    said = (
        f'<p>From the record to the file:</p><ul class="gc-list">{each}</ul>'
        if each
        else "<p>Its inputs are the same; evidence differs.</p>"
    )
    return (
        f'<section class="gc-differs" role="status"><p><b>The gear file says something else than revision '
        f"{number} of the record, which is shown.</b> {text(file)}</p>{said}{ways}</section>"
    )


def take_file(kept: Kept, other: Record, key: str, values: Mapping[str, str]) -> str:
    """Do what a form of this bar asks for.

    Parameters
    ----------
    kept : Kept
        The record.
    other : Record
        What the file says.
    key : str
        Of the form.
    values : mapping of str to str
        What was typed.

    Returns
    -------
    str
        The name of the record to go on with.

    Raises
    ------
    InputError
        What is missing; then nothing is written.
    """
    reason = values.get("reason", "")
    if key == "adopt-file":
        kept.do(adopt_file, record=other, reason=reason)
        name: str = kept.book.record
        return name
    begun: Book = fork(kept.workspace, other, by=kept.person, reason=reason, follows=kept.book.record)
    return begun.record
