"""The report from front to back: one order of chapters for the notebook and what is printed from it."""

from __future__ import annotations

from collections.abc import Callable

from gearcheck.record.book import Book
from gearcheck.record.standing import conceded
from gearcheck.report import inspection, record, sections
from gearcheck.report.fatigue import fatigue
from gearcheck.report.minutes import agenda, minutes
from gearcheck.report.pictures import Picture, ladder_picture, pictures
from gearcheck.report.sections import Section
from gearcheck.review.results import Review

Piece = Section | Picture

HEAD = "Part and outcome"
_BEFORE: dict[str, Callable[[Review], tuple[Piece, ...]]] = {
    "Job and inputs": lambda whole: (sections.job(whole),),
    "Requirements": lambda whole: (*ladder_picture(whole), sections.requirements(whole)),
    "Evidence": lambda whole: (sections.evidence(whole),),
    "Inspection plan": lambda whole: (inspection.plan(whole),),
    "Coverage": lambda whole: (inspection.coverage(whole),),
    "Drawing callouts": lambda whole: (inspection.drawing_callouts(whole),),
}
_OF_RECORD: dict[str, Callable[[Review, Book], tuple[Piece, ...]]] = {
    "What changed": lambda _, book: (record.changed(book),),
    "Open points": lambda whole, book: (agenda(whole, book),),
    "Dispositions": lambda whole, book: (inspection.dispositions(whole, book),),
    "Decisions": lambda whole, book: (record.decisions(whole, book), minutes(whole, book)),
    "Revisions of the record": lambda _, book: (record.revisions(book),),
}
_AFTER: dict[str, Callable[[Review], tuple[Piece, ...]]] = {
    "Methods": lambda whole: (sections.methods(whole),),
    "Sources and what rests on them": lambda whole: (sections.sources(whole),),
    "Governing methods and readings": lambda whole: (sections.readings(whole),),
    "Gear file": lambda whole: (sections.inputs(whole),),
}
_CONFIRMED = "Compared with the documents"


def chapter_titles(whole: Review, book: Book | None) -> tuple[str, ...]:
    """Return the titles of the chapters that a review has.

    Parameters
    ----------
    whole : Review
        Complete.
    book : Book or None
        Of the record; None for a plain gear file.

    Returns
    -------
    tuple of str
        In their order: outcome, requirements, evidence and inspection, decisions, the stations, then what all
        rests on.
    """
    stations = (name.capitalize() for name in sections.station_names(whole))
    of_record = () if book is None else tuple(_OF_RECORD)
    confirmed = () if book is None else (_CONFIRMED,)
    return (HEAD, *_BEFORE, *of_record, *stations, *confirmed, *_AFTER)


def chapter(whole: Review, book: Book | None, title: str) -> tuple[Piece, ...]:
    """Return the pieces of one chapter, ready to be displayed.

    Parameters
    ----------
    whole : Review
        Complete.
    book : Book or None
        Of the record; None for a plain gear file.
    title : str
        One of `chapter_titles`.

    Returns
    -------
    tuple of Section or Picture
        In reading order.
    """
    if title == HEAD:
        heading = sections.heading(whole, 0 if book is None else book.revision.revision)
        granted = frozenset() if book is None else conceded(whole, book)
        return heading, sections.cautions(), sections.outcome_section(whole, granted)
    if book is not None and title in _OF_RECORD:
        return _OF_RECORD[title](whole, book)
    if book is not None and title == _CONFIRMED:
        return (record.confirmations(whole, book),)
    fixed = _BEFORE | _AFTER
    return fixed[title](whole) if title in fixed else _station(whole, title.lower())


def _station(whole: Review, name: str) -> tuple[Piece, ...]:
    solved = (sections.beside(whole),) if name == "case depth" and whole.settled else ()
    tested = (fatigue(whole),) if name == "fatigue" and whole.fatigue else ()
    head = sections.station(whole, name), *pictures(whole, name)
    return (*head, *solved, *tested, sections.workings(whole, name))
