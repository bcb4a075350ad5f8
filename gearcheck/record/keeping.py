"""From what a workspace keeps back to records and reviews."""

from __future__ import annotations

from functools import lru_cache

from gearcheck.record.book import Book, Revision
from gearcheck.record.ledger import with_confirmed
from gearcheck.record.workspace import Workspace
from gearcheck.review.carried import carried_record
from gearcheck.review.inputs import Part, Record
from gearcheck.review.results import Review
from gearcheck.review.whole import review


def record_of(workspace: Workspace, book: Book, revision: int | None = None) -> Record:
    """Return the inputs of one revision, each piece of evidence saying whether it still holds.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    revision : int, optional
        Its number; else the one that holds.

    Returns
    -------
    Record
        As it was read when the revision was written.

    Raises
    ------
    InputError
        If a file is missing or was changed from outside.
    """
    kept = book.revision if revision is None else book.revisions[revision - 1]
    return _record(
        workspace.content(kept.inputs).decode("utf-8"),
        tuple(sorted(evidence_files(workspace, kept).items())),
        tuple(sorted(stale_of(kept).items())),
    )


def evidence_files(workspace: Workspace, revision: Revision) -> dict[str, str]:
    """Return the text of each evidence file of a revision by its name."""
    return {name: workspace.content(sha).decode("utf-8") for name, sha in revision.files.items()}


def stale_of(revision: Revision) -> dict[str, str]:
    """Return why evidence no longer holds in a revision, by its key; what holds is not in it."""
    return {item["key"]: item["stale"] for item in revision.evidence if item["stale"]}


def review_of(
    workspace: Workspace, book: Book, revision: int | None = None, *, with_settled: bool = True
) -> Review:
    """Review one revision; what was confirmed carries no mark.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    revision : int, optional
        Its number; else the one that holds.
    with_settled : bool
        Whether the slower work is done too.

    Returns
    -------
    Review
        Worked out by this version of the program.
    """
    whole = _review(record_of(workspace, book, revision), with_settled)
    return with_confirmed(whole, book)


def find(workspace: Workspace, part: Part) -> str | None:
    """Return the record of a part number at a drawing revision.

    Parameters
    ----------
    workspace : Workspace
        Where to look.
    part : Part
        Number and drawing revision count.

    Returns
    -------
    str or None
        Its name; a fork is a record of its own and is not found, so the first one is.
    """
    found = [
        head.record
        for head in workspace.records()
        if (head.part_number, head.drawing_revision) == (part.number, part.revision) and not head.fork
    ]
    return min(found, key=lambda name: (len(name), name)) if found else None


@lru_cache(maxsize=16)
def _record(text: str, files: tuple[tuple[str, str], ...], stale: tuple[tuple[str, str], ...]) -> Record:
    return carried_record(text, dict(files), dict(stale))


_KEPT: dict[tuple[int, bool], tuple[Record, Review]] = {}


def _review(record: Record, with_settled: bool) -> Review:
    """Records hold arrays and have no hash: a review is remembered by the very record that is kept."""
    key = (id(record), with_settled)
    if key not in _KEPT or _KEPT[key][0] is not record:
        while len(_KEPT) >= 16:
            _KEPT.pop(next(iter(_KEPT)))
        _KEPT[key] = (record, review(record, with_settled=with_settled))
    return _KEPT[key][1]
