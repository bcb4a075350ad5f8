"""The report from front to back: one order of chapters for the notebook and for the one-file page."""

from __future__ import annotations

from collections.abc import Callable

from gearcheck.report import sections
from gearcheck.report.pictures import Picture, pictures
from gearcheck.report.sections import Section
from gearcheck.review.results import Review

Piece = Section | Picture

HEAD = "Part and outcome"
_BEFORE: dict[str, Callable[[Review], tuple[Piece, ...]]] = {
    HEAD: lambda whole: (
        sections.heading(whole),
        sections.cautions(),
        sections.outcome_section(whole),
    ),
    "Requirements": lambda whole: (sections.requirements(whole),),
    "Evidence": lambda whole: (sections.evidence(whole),),
}
_AFTER: dict[str, Callable[[Review], tuple[Piece, ...]]] = {
    "Methods": lambda whole: (sections.methods(whole),),
    "Sources and what rests on them": lambda whole: (sections.sources(whole),),
    "Governing methods and readings": lambda whole: (sections.readings(whole),),
    "Inputs": lambda whole: (sections.inputs(whole),),
}


def chapter_titles(whole: Review) -> tuple[str, ...]:
    """Return the titles of the chapters that a review has.

    Parameters
    ----------
    whole : Review
        Complete.

    Returns
    -------
    tuple of str
        In their order: outcome, requirements and evidence, the stations, then what everything rests on.
    """
    stations = (name.capitalize() for name in sections.station_names(whole))
    return (*_BEFORE, *stations, *_AFTER)


def chapter(whole: Review, title: str) -> tuple[Piece, ...]:
    """Return the pieces of one chapter, ready to be displayed.

    Parameters
    ----------
    whole : Review
        Complete.
    title : str
        One of `chapter_titles`.

    Returns
    -------
    tuple of Section or Picture
        In reading order.
    """
    fixed = _BEFORE | _AFTER
    return fixed[title](whole) if title in fixed else _station(whole, title.lower())


def _station(whole: Review, name: str) -> tuple[Piece, ...]:
    solved = (sections.beside(whole),) if name == "case depth" and whole.settled else ()
    return (sections.station(whole, name), *pictures(whole, name), *solved, sections.workings(whole, name))
