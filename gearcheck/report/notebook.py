"""Writes the report of a record: notebook and one-file page, under a name made from the part number."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.names import file_stem
from gearcheck.report.cells import notebook_report
from gearcheck.report.html import html_report
from gearcheck.review.inputs import Record
from gearcheck.review.whole import review


@dataclass(frozen=True, kw_only=True)
class Exported:
    """What was written.

    Parameters
    ----------
    paths : tuple of Path
        The notebook, then the page.
    """

    paths: tuple[Path, ...]


def export(record: Record, folder: str | Path, *, name: str | None = None) -> Exported:
    """Review a record and write its report as an executed notebook and as one HTML file.

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
    whole = review(record)
    stem = file_stem(name or f"{record.part.number}_{record.part.revision}")
    home = Path(folder)
    page, notebook = home / f"{stem}.html", home / f"{stem}.ipynb"
    texts = {notebook: notebook_report(whole), page: html_report(whole)}
    try:
        home.mkdir(parents=True, exist_ok=True)
        _check_free(texts)
        for path, text in texts.items():
            _write(path, text.encode("utf-8"))
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError([Fault("folder", str(home), "a folder that can be written to", why)]) from None
    return Exported(paths=tuple(texts))


def _check_free(texts: dict[Path, str]) -> None:
    """Never overwrite what says something else."""
    needed = "a folder without it, or another name: a report is not overwritten"
    faults = [
        Fault("report", str(path), needed, "a file with other content is there")
        for path, text in texts.items()
        if path.exists() and not _same(path, text)
    ]
    if faults:
        raise InputError(faults)


def _same(path: Path, text: str) -> bool:
    return path.is_file() and path.read_bytes() == text.encode("utf-8")


def _write(path: Path, data: bytes) -> None:
    """Write beside it and rename, so that nobody ever reads half a report."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".gearcheck_")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    finally:
        Path(name).unlink(missing_ok=True)
