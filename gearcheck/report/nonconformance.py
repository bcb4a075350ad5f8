"""What became of a contradiction, by its number: dispositions and concessions of each characteristic."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gearcheck.record.book import Book
from gearcheck.record.dispositions import Due, contradictions, due
from gearcheck.record.standing import conceded
from gearcheck.review.results import Review


def nonconformances(whole: Review, book: Book | None) -> Mapping[str, str]:
    """Return what became of each contradiction.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    book : Book or None
        Of the record; None for a plain gear file, in which nothing is decided.

    Returns
    -------
    mapping of str to str
        By the key of the characteristic; without those that nothing contradicts and nobody disposed of.
    """
    said: dict[str, list[str]] = {}
    for key, words in _all(whole, book):
        if words not in said.setdefault(key, []):
            said[key].append(words)
    return {key: "; ".join(words) for key, words in said.items()}


def _all(whole: Review, book: Book | None) -> Iterator[tuple[str, str]]:
    found = contradictions(whole)
    if book is None:
        yield from ((one.characteristic.key, "disposition due") for one in found)
        return
    for made in book.dispositions:
        yield made.characteristic, f"disposition {made.number}: {made.verdict}"
    yield from _concessions(whole, book, found)
    yield from ((one.characteristic.key, "disposition due") for one in due(whole, book))


def _concessions(whole: Review, book: Book, found: tuple[Due, ...]) -> Iterator[tuple[str, str]]:
    granted = conceded(whole, book)
    for one in found:
        wrong = {item.key for item in one.requirements} & granted
        last = {made.about: made.number for made in book.concessions if made.about in wrong}
        for number in sorted(last.values()):
            yield one.characteristic.key, f"concession {number}"
