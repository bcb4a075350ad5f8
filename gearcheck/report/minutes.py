"""Agenda and minutes: what is open, and what was written to the record day by day."""

from __future__ import annotations

from gearcheck.record.blocks import blocks
from gearcheck.record.book import Book
from gearcheck.record.events import Event, Kind
from gearcheck.record.words import did_words
from gearcheck.report.sections import Section, piece
from gearcheck.review.results import Review

_TEXTS = ("text", "reason", "note")


def agenda(whole: Review, book: Book) -> Section:
    """Return what has to be talked about: what blocks, open questions, open actions by their day.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    book : Book
        Of the record.

    Returns
    -------
    Section
        Ready to be displayed.
    """
    actions = sorted((item for item in book.actions if item.done is None), key=lambda item: item.due)
    return piece(
        "record.html.j2",
        "agenda",
        "Open points",
        blocks=[one.text for one in blocks(whole, book)],
        questions=[item for item in book.questions if item.answered is None],
        actions=actions,
        titles={item.key: item.title for item in whole.requirements},
    )


def minutes(whole: Review, book: Book) -> Section:
    """Return what was written to the record, in its order.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    book : Book
        Of the record.

    Returns
    -------
    Section
        Ready to be displayed.
    """
    titles = {item.key: item.title for item in whole.requirements}
    days: dict[str, list[str]] = {}
    for event in book.events:
        days.setdefault(event.at[:10], []).append(
            _sentence(f"{event.at[11:16]} UTC, {did_words(event)}", _said(event, titles))
        )
    return piece("record.html.j2", "minutes", "Minutes", days=days)


def _said(event: Event, titles: dict[str, str]) -> list[str]:
    """The sentences of an entry: where it stands, what was typed, and who, until when, how far."""
    body = event.body
    about = titles.get(str(body.get("about", "")), "")
    typed = next((str(body[name]) for name in _TEXTS if body.get(name)), "")
    more = {
        Kind.ACTION_SET: f"{body.get('owner')}, until {body.get('due')}",
        Kind.CONCEDED: f"Limited to {body.get('limit')}",
        Kind.DISPOSED: f"{body.get('title')}: {body.get('verdict')}",
        Kind.CONFIRMED: f"{len(body.get('items', ()))} values, {body.get('clause')}",
        Kind.ROLES_SET: ", ".join(body.get("roles", ())),
    }.get(event.kind, "")
    return [part for part in (about, typed, more) if part]


def _sentence(did: str, said: list[str]) -> str:
    return f"{did}: {' '.join(map(_ended, said))}" if said else _ended(did)


def _ended(text: str) -> str:
    """A text with the mark at its end that it has, or else a full stop."""
    return text if text.rstrip().endswith((".", "?", "!", "…", ":")) else f"{text}."
