"""What changed since the last review: the first view of a later one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from gearcheck.basics.errors import InputError
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import text
from gearcheck.record.book import Revision
from gearcheck.record.difference import difference
from gearcheck.record.events import Kind
from gearcheck.record.keeping import record_of, review_of
from gearcheck.record.words import event_words, moment_words
from gearcheck.review.whole import has_slower_lines

_SHOWN = 5


def since_html(kept: Kept, folds: Folds) -> str:
    """Return what changed since the last signed revision, else since the one before or the old drawing.

    Parameters
    ----------
    kept : Kept
        The record.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML; empty where nothing did.
    """
    book = kept.book
    last = book.revision.revision
    base = book.signed_revision or last - 1
    if base >= last:
        return ""
    if base == 0:
        return _since_drawing(kept, folds)
    signed = ", which was signed" if base == book.signed_revision else ""
    later = book.revisions[base:]
    said = "".join(_revision(item, folds) for item in reversed(later))
    return (
        f'<section id="since"><h2>Since revision {base} of the record{signed}</h2>{said}'
        f"{_written(kept, book.revisions[base - 1].number, folds)}</section>"
    )


def _revision(item: Revision, folds: Folds) -> str:
    changes = "".join(f"<li>{marked(one)}</li>" for one in item.changes)
    inputs = f'<ul class="gc-list">{changes}</ul>' if changes else "<p>No input changed, only its words.</p>"
    return (
        f"<p><b>Revision {item.revision}: {text(item.reason)}</b> "
        f'<span class="gc-quiet">{text(item.by)}, {text(moment_words(item.at))}</span></p>'
        f"{inputs}{_moved(item.moved, folds, str(item.revision))}{_stale(item)}"
    )


def _moved(moved: Iterable[Mapping[str, Any]], folds: Folds, key: str) -> str:
    lines = [
        f"<li>{text(one['title'])}: {marked(one['before'])}; now {marked(one['after'])}"
        f"{' (' + text(one['by']) + ')' if one['by'] else ''}</li>"
        for one in moved
    ]
    if not lines:
        return "<p>No margin moved.</p>"
    more = lines[_SHOWN:]
    rest = (
        folds.fold(
            f"moved:{key}", f"{len(more)} more moved", lambda: f'<ul class="gc-list">{"".join(more)}</ul>'
        )
        if more
        else ""
    )
    return f'<p>Moved, the worse first:</p><ul class="gc-list">{"".join(lines[:_SHOWN])}</ul>{rest}'


def _stale(item: Revision) -> str:
    why = dict.fromkeys(str(one["stale"]) for one in item.evidence if one["stale"])
    count = sum(bool(one["stale"]) for one in item.evidence)
    if not count:
        return ""
    pieces = "one piece of evidence is" if count == 1 else f"{count} pieces of evidence are"
    return f"<p>With it {pieces} stale: {marked('; '.join(why))}.</p>"


def _written(kept: Kept, number: int, folds: Folds) -> str:
    since = [one for one in kept.book.events[number:] if one.kind is not Kind.REVISED]
    if not since:
        return ""
    lines = "".join(f"<li>{text(event_words(one))}</li>" for one in since)
    count = "one more entry" if len(since) == 1 else f"{len(since)} more entries"
    return folds.fold("written", f"{count} in the record", lambda: f'<ul class="gc-list">{lines}</ul>')


def _since_drawing(kept: Kept, folds: Folds) -> str:
    """The first revision of a record that follows another one: what changed from drawing to drawing."""
    book = kept.book
    if not book.follows:
        return ""
    try:
        before = kept.workspace.book(book.follows)
        both = [record_of(kept.workspace, one) for one in (before, book)]
        slower = any(has_slower_lines(one) for one in both)
        found = difference(*(review_of(kept.workspace, one, with_settled=slower) for one in (before, book)))
    except InputError as error:
        return f"<p>The record {text(book.follows)} cannot be read: {text(error)}</p>"
    if not found.inputs and not found.moved:
        return ""
    changes = "".join(f"<li>{marked(str(one))}</li>" for one in found.inputs)
    moved = [
        {"title": one.title, "before": one.before, "after": one.after, "by": one.by} for one in found.moved
    ]
    return (
        f'<section id="since"><h2>Since record {text(book.follows)}, drawing revision '
        f'{text(before.drawing_revision)}</h2><ul class="gc-list">{changes}</ul>'
        f"{_moved(moved, folds, 'drawing')}</section>"
    )
