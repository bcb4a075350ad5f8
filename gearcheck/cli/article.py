"""Tables on the command line: ``gearcheck export WHAT --to FILE.xlsx --as9102 B`` or ``--deviations``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from gearcheck.basics.errors import Fault, InputError

if TYPE_CHECKING:
    from gearcheck.record.book import Book
    from gearcheck.review.results import Review

_ENDINGS = (".xlsx", ".csv")
_OF_A_REPORT = (".ipynb", ".html", ".pdf", ".zip")
_REVISIONS = ("B", "C")


def add_option(command: argparse.ArgumentParser) -> None:
    """Add the options to the command that exports."""
    command.add_argument(
        "--as9102",
        choices=_REVISIONS,
        help="with --to FILE.xlsx or FILE.csv: the first article report in this revision of AS9102",
    )
    command.add_argument(
        "--deviations",
        action="store_true",
        help="with --to FILE.xlsx or FILE.csv: every measured deviation of the teeth against its limit",
    )


def is_asked(given: argparse.Namespace) -> bool:
    """Return whether a table is asked for: the first article report, or the measured deviations.

    Parameters
    ----------
    given : Namespace
        The command line.

    Returns
    -------
    bool
        By the ending of the file to write.

    Raises
    ------
    InputError
        A file without a revision, a revision without a file, or both with the input; a file of the report,
        which is written in every format at once.
    """
    names_file = given.to.suffix.lower() in _ENDINGS and not given.to.is_dir()
    if given.deviations and (given.as9102 is not None or not names_file):
        needed = "--to with a file that ends in .xlsx or .csv, and no --as9102 beside it"
        raise InputError([Fault("export --deviations", str(given.to), needed)])
    if names_file and given.as9102 is None and not given.deviations:
        needed = (
            f"the revision of AS9102 that the order asks for: {' or '.join(_REVISIONS)}; or --deviations for "
            "the measured deviations of the teeth"
        )
        raise InputError([Fault("export --as9102", "", needed)])
    if given.as9102 is not None and not names_file:
        needed = "--to with a file that ends in .xlsx, for all three forms, or in .csv, for Form 3"
        raise InputError([Fault("export --as9102", given.as9102, needed)])
    if given.to.suffix.lower() in _OF_A_REPORT and not given.to.is_dir():
        needed = "a folder: the report is written there in every format, named after its record"
        raise InputError([Fault("export --to", str(given.to), needed)])
    if names_file and given.input:
        needed = "a folder: the input is more than one file"
        raise InputError([Fault("export --input --to", str(given.to), needed)])
    return names_file


def written(given: argparse.Namespace, whole: Review, book: Book | None) -> tuple[Path, ...]:
    """Write the table, never over something else; takes the review, and the record where there is one."""
    from gearcheck.report.deviations import deviation_table
    from gearcheck.report.files import write_all
    from gearcheck.report.first_article import first_article

    ending = given.to.suffix.lower().removeprefix(".")
    if given.deviations:
        data = deviation_table(whole, ending)
    else:
        data = first_article(whole, book, given.as9102, ending)
    return write_all({given.to.name: data}, given.to.parent).paths
