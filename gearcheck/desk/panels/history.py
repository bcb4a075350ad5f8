"""The revisions of a record, and what changed between any two."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import ipywidgets as widgets

from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Say, Trouble, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.entries import choice, form
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.words import text
from gearcheck.record.book import Book, Revision
from gearcheck.record.difference import Difference, InputChange, Moved, difference
from gearcheck.record.words import moment_words

Pair = tuple[int, int]

AT_WORK = "Both revisions are being worked out; it takes some seconds."


def revisions_html(book: Book, last: Pair | None = None) -> str:
    """Return the revisions of a record, the newest first, and the form that compares two.

    Parameters
    ----------
    book : Book
        Of the record.
    last : tuple of int, optional
        The two that were compared last.

    Returns
    -------
    str
        HTML.
    """
    heads = "".join(
        f'<th scope="col">{name}</th>'
        for name in ("Revision", "Reason", "By", "Digest of its inputs", "Signed")
    )
    rows = "".join(_row(item, book) for item in reversed(book.revisions))
    table = f'<table class="gc-table"><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>'
    return f'<section><h2 id="history">History</h2>{table}{_compare(book, last)}</section>'


def _row(item: Revision, book: Book) -> str:
    signed = "by all" if item.revision == book.signed_revision else ""
    return (
        f'<tr><th scope="row">{item.revision}</th><td>{text(item.reason)} ({text(item.source)})</td>'
        f"<td>{text(item.by)}, {text(moment_words(item.at))}</td>"
        f"<td><code>{text(item.digest[:12])}</code></td><td>{signed}</td></tr>"
    )


def _compare(book: Book, last: Pair | None) -> str:
    if len(book.revisions) < 2:
        return "<p>There is one revision so far: nothing to compare it with.</p>"
    options = [(str(item.revision), f"revision {item.revision}") for item in book.revisions]
    before, after = last or (book.revision.revision - 1, book.revision.revision)
    inside = choice("before", "From", options, value=str(before)) + choice(
        "after", "To", options, value=str(after)
    )
    return form("compare", inside, "Show what changed")


def difference_html(pair: Pair, found: Difference) -> str:
    """Return what changed between two revisions.

    Parameters
    ----------
    pair : tuple of int
        Their numbers.
    found : Difference
        Between them.

    Returns
    -------
    str
        HTML.
    """
    title = f"<h3>From revision {pair[0]} to revision {pair[1]}</h3>"
    if not found.inputs and not found.moved:
        return f"{title}<p>They say the same.</p>"
    return title + _inputs(found.inputs) + _moved(found.moved)


def _inputs(found: tuple[InputChange, ...]) -> str:
    if not found:
        return "<p>No input changed.</p>"
    rows = [(item.label, item.before, item.after) for item in found]
    return _table(("Input", "Before", "After"), rows)


def _moved(found: tuple[Moved, ...]) -> str:
    if not found:
        return "<p>No margin moved.</p>"
    rows = [(item.title, item.before, f"{item.after}{f' ({item.by})' if item.by else ''}") for item in found]
    return _table(("Requirement that moved, what got worse first", "Before", "After"), rows)


def _table(heads: tuple[str, ...], rows: list[tuple[str, str, str]]) -> str:
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    body = "".join(
        f'<tr><th scope="row">{marked(first)}</th>{"".join(f"<td>{marked(one)}</td>" for one in rest)}</tr>'
        for first, *rest in rows
    )
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'


class History:
    """The panel: the revisions, and on request the difference of two.

    Parameters
    ----------
    kept : Kept
        The record.
    form_say : Say
        Where the trouble of a form is told a second time: it stands beside the form already.
    """

    def __init__(self, kept: Kept, form_say: Say) -> None:
        self.kept, self.trouble = kept, Trouble()
        say = self.trouble.say
        self._beside, self._said = Beside(say), ""
        self._pair: Pair | None = None
        self.revisions = Piece(lambda _: revisions_html(kept.book, self._pair), form_say, form=self._form)
        self.found = Piece(lambda _: self._said, say)
        kept.observe(guarded(lambda _: self.revisions.refresh(), say), "book")

    def widget(self) -> widgets.Widget:
        """Return the panel."""
        return widgets.VBox([self.revisions, self.trouble, self.found])

    def _form(self, _: str, values: Mapping[str, str]) -> None:
        pair = self._pair = (int(values["before"]), int(values["after"]))
        self._show(f'<p role="status">{text(AT_WORK)}</p>')
        kept = self.kept
        self._beside.start(
            lambda: difference_html(pair, difference(kept.whole(pair[0]), kept.whole(pair[1]))), self._worked
        )

    def _worked(self, result: Callable[[], str]) -> None:
        self._show("")
        self._show(result())

    def _show(self, said: str) -> None:
        self._said = said
        self.found.refresh()
