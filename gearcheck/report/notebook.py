"""The report of a plain gear file: notebook, page and PDF, under a name made from the part number."""

from __future__ import annotations

from pathlib import Path

from gearcheck.basics.names import file_stem
from gearcheck.record.sealed import read_notebook
from gearcheck.report.cells import notebook_report
from gearcheck.report.files import Exported, write_all
from gearcheck.report.html import html_report
from gearcheck.report.pdf import pdf_report
from gearcheck.review.inputs import Record
from gearcheck.review.whole import review


def export(record: Record, folder: str | Path, *, name: str | None = None) -> Exported:
    """Review a record and write its report as an executed notebook, as one HTML file and as PDF.

    Parameters
    ----------
    record : Record
        As read, without arrays.
    folder : str or Path
        Where to write; made where it is missing.
    name : str, optional
        The file name without its ending; else part number and revision.

    Returns
    -------
    Exported
        The paths. A file that is there already with the same content stays.

    Raises
    ------
    InputError
        A file of that name with other content, or a folder that cannot be written to.
    """
    stem = file_stem(name or f"{record.part.number}_{record.part.revision}")
    return write_all(prints(notebook_report(review(record)).encode("utf-8"), stem), folder)


def prints(data: bytes, stem: str) -> dict[str, bytes]:
    """Return a report notebook with what is printed from it.

    Parameters
    ----------
    data : bytes
        The notebook.
    stem : str
        The name of the files without its ending.

    Returns
    -------
    dict of str to bytes
        Notebook, HTML and PDF by their names.
    """
    notebook = read_notebook(data)
    return {
        f"{stem}.ipynb": data,
        f"{stem}.html": html_report(notebook).encode("utf-8"),
        f"{stem}.pdf": pdf_report(notebook),
    }
