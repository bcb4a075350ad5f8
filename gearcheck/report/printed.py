"""What is printed from a report notebook: its chapters with their pieces, and its signatures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from gearcheck.record.sealed import joined
from gearcheck.report.sections import piece

_HTML, _SVG = "text/html", "image/svg+xml"


@dataclass(frozen=True, kw_only=True)
class Printed:
    """One chapter.

    Parameters
    ----------
    title : str
        Empty for the first one.
    pieces : tuple of tuple
        ``text/html`` or ``image/svg+xml``, the words of a picture, and the piece itself.
    """

    title: str
    pieces: tuple[tuple[str, str, str], ...]


def printed(notebook: Mapping[str, Any]) -> tuple[Printed, ...]:
    """Return the chapters of a report notebook, exactly as its outputs have them.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` gives it.

    Returns
    -------
    tuple of Printed
        The signatures last.
    """
    chapters: list[Printed] = []
    title = ""
    for cell in notebook["cells"]:
        source = joined(cell["source"])
        if cell["cell_type"] == "markdown":
            title = source.removeprefix("## ") if source.startswith("## ") else ""
        elif cell["cell_type"] == "code":
            pieces = tuple(_pieces(cell))
            if pieces:
                chapters.append(Printed(title=title, pieces=pieces))
    about = notebook["metadata"]["gearcheck"]
    signed = piece("record.html.j2", "signatures", "Signatures", about=about, missing=_missing(about))
    return (*chapters, Printed(title="Signatures", pieces=((_HTML, "", signed.html),)))


def _pieces(cell: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    for output in cell["outputs"]:
        data = output.get("data", {})
        for kind in (_HTML, _SVG):
            if kind in data:
                yield kind, joined(data.get("text/plain", "")), joined(data[kind])


def _signed(about: Mapping[str, Any]) -> str:
    count, wanted = len(about["signatures"]), len(about["roles"])
    if not count:
        return "not signed"
    return "signed" if count >= wanted else f"signed by {count} of {wanted}"


def _missing(about: Mapping[str, Any]) -> list[str]:
    there = {item["role"] for item in about["signatures"]}
    return [role for role in about["roles"] if role not in there]


def running_title(notebook: Mapping[str, Any]) -> str:
    """Return the line that stands on every page: part, both revisions, and the beginning of the digest."""
    about = notebook["metadata"]["gearcheck"]
    of_record = f", revision {about['revision']} of the record" if about["revision"] else ""
    return (
        f"{about['part_number']}, drawing revision {about['drawing_revision']}{of_record}, "
        f"{about['stage']} review, {_signed(about)}, digest {about['digest'][:12]}"
    )
