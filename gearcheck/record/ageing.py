"""How evidence ages in a record: by what it rests on, and by what was decided of its part."""

from __future__ import annotations

from typing import Any

from gearcheck.inspection.scopes import is_of_piece, piece, scopes
from gearcheck.record.affected import Moved, inputs_moved, why_stale
from gearcheck.record.book import Book, Disposition, Verdict
from gearcheck.record.keeping import record_of
from gearcheck.record.workspace import Workspace
from gearcheck.review.inputs import KINDS, Record


def aged(workspace: Workspace, book: Book, record: Record) -> list[dict[str, Any]]:
    """Say of each piece of evidence when it came in, and whether it still holds.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    record : Record
        The inputs that are to hold.

    Returns
    -------
    list of dict
        Its key, the revision that it came in with, and why it is stale: a disposition took it away, its
        part was rejected, or what it rests on moved. Empty where none did.
    """
    came_in, first = _came_in(book), _first_seen(workspace, book)
    made = _dispositions(workspace, book)
    disposed = {key: why for one in made for key, why in one.stale.items()}
    rejected = tuple(one for one in made if one.verdict == Verdict.REJECT and one.applies_to)
    found: list[dict[str, Any]] = []
    seen: dict[tuple[str, int], tuple[Record, Moved]] = {}  # a revision is read once, not for each piece
    for kind, key, name, applies_to in _evidence(record):
        why = disposed.get(key, "") or _why_rejected(applies_to, rejected)
        if not why and key in first:
            left, number = first[key]
            at = (left.record, number)
            if at not in seen:
                then = record_of(workspace, left, number)
                seen[at] = then, inputs_moved(then, record)
            then, moved = seen[at]
            why = why_stale(then, record, kind, name, inputs=moved)
        found.append({"key": key, "came_in": came_in.get(key, len(book.revisions) + 1), "stale": why})
    return found


def _evidence(record: Record) -> list[tuple[str, str, str, str]]:
    """Kind, key, characteristic and part of each piece of evidence; what stands twice is one piece."""
    return list(
        dict.fromkeys(
            (kind, item.head.key, getattr(item, "characteristic", ""), item.head.applies_to)
            for kind in KINDS
            for item in getattr(record, kind)
        )
    )


def _dispositions(workspace: Workspace, book: Book) -> tuple[Disposition, ...]:
    """What was decided of parts, also in the record that a fork left: that holds here too."""
    before = _dispositions(workspace, workspace.book(book.fork)) if book.fork else ()
    return (*before, *book.dispositions)


def _why_rejected(applies_to: str, rejected: tuple[Disposition, ...]) -> str:
    for one in rejected:
        kind, name = piece(one.applies_to)
        if not is_of_piece(applies_to, one.applies_to):
            continue
        if not kind or (kind, name) in scopes(applies_to):
            return f"the part was rejected (disposition {one.number})"
        return f"{kind} {name} was rejected (disposition {one.number}), and this does not say of which it is"
    return ""


def _came_in(book: Book) -> dict[str, int]:
    return {item["key"]: int(item["came_in"]) for kept in book.revisions for item in kept.evidence}


def _first_seen(workspace: Workspace, book: Book) -> dict[str, tuple[Book, int]]:
    """The record and the revision that evidence came in on: what a fork brought along came in before it."""
    own = {key: (book, number) for key, number in _came_in(book).items()}
    before = _first_seen(workspace, workspace.book(book.fork)) if book.fork else {}
    return own | {key: at for key, at in before.items() if key not in own or own[key][1] == 1}
