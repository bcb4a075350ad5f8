"""What a report says of its record: what changed, what was decided, and what was compared with documents."""

from __future__ import annotations

from gearcheck.record.book import Book
from gearcheck.record.ledger import confirmables
from gearcheck.record.standing import plain_concession
from gearcheck.report.sections import Section, piece
from gearcheck.review.results import Review


def changed(book: Book) -> Section:
    """What changed since the last signed revision, or from the first one on."""
    since = [item for item in book.revisions if item.revision > max(book.signed_revision, 1)]
    return piece("record.html.j2", "changed", "What changed", revisions=since, signed=book.signed_revision)


def decisions(whole: Review, book: Book) -> Section:
    """Concessions with what has become of them, questions with their answers, actions."""
    titles = {item.key: item.title for item in whole.requirements}
    return piece(
        "record.html.j2",
        "decisions",
        "Decisions",
        concessions=[(item, plain_concession(item, whole)) for item in book.concessions],
        questions=book.questions,
        actions=book.actions,
        titles=titles,
    )


def revisions(book: Book) -> Section:
    """Every revision of the record: who wrote it, when, why, and the digest of its inputs."""
    return piece("record.html.j2", "revisions", "Revisions", revisions=book.revisions, book=book)


def confirmations(whole: Review, book: Book) -> Section:
    """What was compared with the document itself, by whom, and what nobody has compared yet."""
    items = confirmables(whole, book)
    return piece(
        "record.html.j2",
        "confirmations",
        "Compared with the documents",
        confirmed=[item for item in items if item.confirmation is not None],
        waiting=[item for item in items if item.confirmation is None],
    )
