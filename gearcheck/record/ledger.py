"""Values that were not seen in print, and who has compared them with the document since."""

from __future__ import annotations

import hashlib
from dataclasses import asdict, dataclass, replace
from functools import cache
from typing import Any

import rfc8785

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.results import Result
from gearcheck.basics.tables import Table
from gearcheck.record.book import Book, Confirmation
from gearcheck.requirements.types import CONFIRMED
from gearcheck.review.results import Review
from gearcheck.review.sources import all_results, resting_on, tables_behind, tables_of, weakest


@dataclass(frozen=True, kw_only=True)
class Confirmable:
    """A method or a table that rests on memory or practice.

    Parameters
    ----------
    what : str
        ``method:`` or ``table:`` and its key.
    title, cite : str
        What it is, and where it should stand.
    status : Status
        The weakest of its values.
    content : str
        SHA-256 of what there is to confirm.
    confirmation : Confirmation or None
        Of exactly this content.
    """

    what: str
    title: str
    cite: str
    status: Status
    content: str
    confirmation: Confirmation | None = None


def confirmables(whole: Review, book: Book) -> tuple[Confirmable, ...]:
    """Return every value from memory or practice that a review rests on.

    Parameters
    ----------
    whole : Review
        Complete.
    book : Book
        With what was confirmed.

    Returns
    -------
    tuple of Confirmable
        By document. A value that the program changed since has to be confirmed anew.
    """
    confirmed = {(item.what, item.content): item for item in book.confirmations}
    found = []
    for entry in resting_on(whole):
        for item in (*map(_of_method, entry.methods), *map(_of_table, entry.tables)):
            if item.status is not Status.PUBLISHED:
                found.append(replace(item, confirmation=confirmed.get((item.what, item.content))))
    return tuple(found)


def unconfirmed(whole: Review, book: Book) -> tuple[Confirmable, ...]:
    """Return what nobody has compared with the document yet; takes what `confirmables` takes."""
    return tuple(item for item in confirmables(whole, book) if item.confirmation is None)


def with_confirmed(whole: Review, book: Book) -> Review:
    """Return a review in which a requirement says that all it rests on was confirmed.

    Parameters
    ----------
    whole : Review
        Complete.
    book : Book
        With what was confirmed.

    Returns
    -------
    Review
        The status of a requirement is that of its governing method: it is confirmed where the method and
        every table behind it were, or were seen in print at once.
    """
    if not book.confirmations:
        return whole
    open_ones = {item.what for item in unconfirmed(whole, book)}
    known = _behind(whole)
    items = tuple(
        replace(item, status=CONFIRMED)
        if item.status != Status.PUBLISHED and not known[item.method] & open_ones
        else item
        for item in whole.requirements
    )
    return replace(whole, requirements=items)


def _behind(whole: Review) -> dict[str, set[str]]:
    """What each method rests on: itself, and the tables behind its results."""
    found: dict[str, set[str]] = {
        item.method: {f"method:{item.method}", *(f"table:{key}" for key in tables_of(item.method))}
        for item in whole.requirements
    }
    results: tuple[Result, ...] = all_results(whole)
    for result in results:
        own = found.setdefault(result.method.key, {f"method:{result.method.key}"})
        own |= {f"table:{key}" for key in tables_behind(result)}
    return found


@cache
def _of_method(item: Method) -> Confirmable:
    return Confirmable(
        what=f"method:{item.key}",
        title=item.title,
        cite=item.cite,
        status=item.status,
        content=_hash(asdict(item)),
    )


_KNOWN: dict[str, tuple[Table, Confirmable]] = {}


def _of_table(item: Table) -> Confirmable:
    """Tables hold rows and have no hash: one is known by the very table that was read."""
    if item.key not in _KNOWN or _KNOWN[item.key][0] is not item:
        _KNOWN[item.key] = item, _read_table(item)
    return _KNOWN[item.key][1]


def _read_table(item: Table) -> Confirmable:
    return Confirmable(
        what=f"table:{item.key}",
        title=item.title,
        cite=item.cite,
        status=weakest(row["status"] for row in item.rows),
        content=_hash({"cite": item.cite, "rows": [dict(row) for row in item.rows]}),
    )


def _hash(value: Any) -> str:
    return hashlib.sha256(rfc8785.dumps(_plain(value))).hexdigest()


def _plain(value: Any) -> Any:
    """JSON of what a method or a row holds; an open end of a range has no number there."""
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float):
        return value if abs(value) < float("inf") else str(value)
    return value if isinstance(value, int | bool | None) else str(value)
