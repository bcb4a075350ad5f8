"""The first article inspection report of a record: a workbook of three forms, and Form 3 as a table."""

from __future__ import annotations

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.names import file_stem
from gearcheck.record.book import Book
from gearcheck.report.as9102 import form_revision
from gearcheck.report.forms import Form, forms
from gearcheck.report.separated import csv_table
from gearcheck.review.results import Review

ENDINGS = ("xlsx", "csv")


def first_article_xlsx(whole: Review, book: Book | None, revision: str) -> bytes:
    """Return the three forms as a workbook.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    book : Book or None
        Of the record; None for a plain gear file.
    revision : str
        Of AS9102: ``B`` or ``C``.

    Returns
    -------
    bytes
        The same record gives the same bytes.

    Raises
    ------
    InputError
        Another revision, or no section [inspection] in the gear file.
    """
    from gearcheck.report.spreadsheet import xlsx  # it takes a while to load

    return xlsx(_forms(whole, book, revision))


def first_article_csv(whole: Review, book: Book | None, revision: str) -> bytes:
    """Return Form 3 as comma separated values; takes and raises what `first_article_xlsx` does."""
    return csv_table(_forms(whole, book, revision)[-1])


def first_article(whole: Review, book: Book | None, revision: str, ending: str) -> bytes:
    """Return the file of one of `ENDINGS`; takes and raises what `first_article_xlsx` does besides."""
    write = first_article_xlsx if ending == ENDINGS[0] else first_article_csv
    return write(whole, book, revision)


def first_article_name(book: Book, revision: str, ending: str) -> str:
    """Return the name of a file, which says of what and in which form it is."""
    return f"{file_stem(book.record)}_r{book.revision.revision}_first-article_{revision}.{ending}"


def _forms(whole: Review, book: Book | None, revision: str) -> tuple[Form, ...]:
    wanted = form_revision(revision)
    if whole.inspected is None:
        needed = "a section [inspection] in the gear file: the report lists the characteristics of its plan"
        raise InputError([Fault("first article", "", needed)])
    return forms(whole, book, wanted)
