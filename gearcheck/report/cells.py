"""The report as a notebook: it carries its inputs, and runs from top to bottom with the package alone."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from gearcheck.basics.names import markdown_text
from gearcheck.record.book import Book
from gearcheck.record.events import read_event
from gearcheck.record.keeping import stale_of
from gearcheck.record.ledger import with_confirmed
from gearcheck.record.reading import book_of
from gearcheck.record.same_numbers import answers_of
from gearcheck.record.sealed import SIGNATURES_CELL, joined, notebook_text, with_signatures
from gearcheck.report.chapters import HEAD, Piece, chapter, chapter_titles
from gearcheck.review.as_json import as_plain
from gearcheck.review.carried import carried_record
from gearcheck.review.inputs import Record
from gearcheck.review.results import Review
from gearcheck.review.rewrite import evidence_hashes, evidence_texts
from gearcheck.review.whole import review

FORMAT = 1
_SET_UP = """\
from gearcheck.report.cells import carried
from gearcheck.report.chapters import chapter

whole, book = carried(GEAR_FILE, EVIDENCE, HISTORY)"""


def notebook_report(whole: Review, book: Book | None = None) -> str:
    """Print a review as an executed notebook that nobody has signed.

    Parameters
    ----------
    whole : Review
        Complete; of a record with its stale evidence and its confirmed values.
    book : Book, optional
        Of the record; without one it is the report of a plain gear file.

    Returns
    -------
    str
        The whole file; the same record gives the same text. Its outputs are those that running it gives.
    """
    told = None if book is None else book_of(history(book))
    cells: list[dict[str, Any]] = [
        _markdown(f"# Review report: {markdown_text(_job(whole, told))}"),
        _code(_inputs_source(whole.record, told), folded=True),
        _code(_SET_UP),
    ]
    for title in chapter_titles(whole, told):
        if title != HEAD:
            cells.append(_markdown(f"## {title}"))
        cells.append(_code(f"display(*chapter(whole, book, {title!r}))", chapter(whole, told, title)))
    cells.append({**_markdown(""), "id": SIGNATURES_CELL})
    _number(cells)
    notebook = {"cells": cells, "metadata": _metadata(whole, told), "nbformat": 4, "nbformat_minor": 5}
    return notebook_text(with_signatures(notebook, ()))


def history(book: Book) -> tuple[Any, ...]:
    """Return the events that a report tells of: all up to where it was put before the signers."""
    return book.events if book.prepared is None else book.events[: book.prepared.number - 1]


def carried(gear_file: str, evidence: dict[str, str], events: Sequence[str]) -> tuple[Review, Book | None]:
    """Review what a report notebook carries.

    Parameters
    ----------
    gear_file : str
        The text of the gear file.
    evidence : dict of str to str
        The text of each evidence file, by the name that the gear file gives it.
    events : sequence of str
        All that was written to the record; none for a plain gear file.

    Returns
    -------
    whole : Review
        Worked out anew.
    book : Book or None
        What was written.

    Raises
    ------
    InputError
        Whatever is wrong with them.
    """
    book = book_of(map(read_event, events)) if events else None
    stale = {} if book is None else stale_of(book.revision)
    whole = review(carried_record(gear_file, evidence, stale))
    return (whole, None) if book is None else (with_confirmed(whole, book), book)


def misprints(notebook: Mapping[str, Any], whole: Review, book: Book | None) -> tuple[str, ...]:
    """Say where a notebook does not print what a review says; for the version that printed it.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` gives it.
    whole : Review
        Of what it carries.
    book : Book or None
        What its history says.

    Returns
    -------
    tuple of str
        Sentences. Charts are left out: another machine may draw them with other letters.
    """
    made = json.loads(notebook_report(whole, book))
    old, new = notebook["cells"], made["cells"]
    if len(old) != len(new):
        return (f"It has {len(old)} cells where a report of what it carries has {len(new)}.",)
    found, title = [], HEAD
    for one, other in zip(old[:-1], new[:-1], strict=True):
        heading = joined(other["source"])
        if other["cell_type"] == "markdown" and heading.startswith("## "):
            title = heading.removeprefix("## ")
        if _read(one) != _read(other):
            found.append(f"What it prints under {title} is not what comes out of what it carries.")
    return tuple(dict.fromkeys(found))


def _read(cell: Mapping[str, Any]) -> list[str]:
    """What a reader takes from a cell, but for its charts."""
    outputs = [output.get("data", {}) for output in cell.get("outputs", ())]
    texts = [joined(data[kind]) for data in outputs for kind in ("text/html", "text/plain") if kind in data]
    return [str(cell["cell_type"]), joined(cell["source"]), *texts]


def _job(whole: Review, book: Book | None) -> str:
    part = whole.record.part
    of_record = "" if book is None else f", revision {book.revision.revision} of the record"
    return f"{part.number}, drawing revision {part.revision}{of_record}"


def _metadata(whole: Review, book: Book | None) -> dict[str, Any]:
    part, results = whole.record.part, as_plain(whole)
    decisions = (
        () if book is None else (*book.concessions, *book.dispositions, *book.questions, *book.actions)
    )
    contents = {
        "inputs": whole.record.digest,
        "evidence": evidence_hashes(whole.record),
        "results": results,
        "answers": answers_of(whole),
        "decisions": [{"kind": type(item).__name__.lower(), **asdict(item)} for item in decisions],
        "versions": dict(whole.versions),
    }
    about = {
        "format": FORMAT,
        "part_number": part.number,
        "drawing_revision": part.revision,
        "revision": 0 if book is None else book.revision.revision,
        "stage": str(part.stage),
        "roles": [] if book is None else list(book.roles),
        # a notebook is JSON: what is kept of a result is what JSON can say of it
        "contents": json.loads(json.dumps(contents, ensure_ascii=False, allow_nan=False)),
    }
    return {
        "gearcheck": about,
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }


def _markdown(text: str) -> dict[str, Any]:
    return {"cell_type": "markdown", "metadata": {}, "source": _lines(text)}


def _code(source: str, pieces: Sequence[Piece] = (), *, folded: bool = False) -> dict[str, Any]:
    hidden = {"jupyter": {"source_hidden": True}, "tags": ["hide-input"]} if folded else {}
    outputs = [_output(piece) for piece in pieces]
    return {"cell_type": "code", "metadata": hidden, "outputs": outputs, "source": _lines(source)}


def _output(piece: Piece) -> dict[str, Any]:
    """What displaying a piece leaves in a notebook; that running the cell gives the same is tested."""
    data = {name: _lines(text) for name, text in piece.bundle.items()}
    return {"data": data, "metadata": {}, "output_type": "display_data"}


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True)


def _number(cells: list[dict[str, Any]]) -> None:
    count = 0
    for number, cell in enumerate(cells, start=1):
        cell.setdefault("id", f"cell-{number:02d}")
        if cell["cell_type"] == "code":
            count += 1
            cell["execution_count"] = count


def _inputs_source(record: Record, book: Book | None) -> str:
    """The cell that carries the gear file, its evidence, and all that was written to the record."""
    lines = ["# The gear file, its evidence, and what was written to the record, as they were read."]
    lines += [f"GEAR_FILE = {literal(record.source_text)}", "EVIDENCE = {"]
    lines += [f"{name!r}: {literal(text)}," for name, text in evidence_texts(record).items()]
    lines += ["}", "HISTORY = ["]
    lines += [f"{literal(event.text)}," for event in (() if book is None else book.events)]
    return "\n".join([*lines, "]"])


def literal(text: str) -> str:
    r"""Write a text as a Python literal over several lines.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str
        Python that gives `text` back, and nothing else.

    Examples
    --------
    >>> literal("teeth = 23")[3:-3]
    '\\\nteeth = 23'
    """
    # a quote that another one follows, or the end, would close the text
    body = re.sub(r'"(?="|\Z)', r'\\"', text.replace("\\", "\\\\"))
    body = "".join(_escaped(letter) for letter in body)
    written = f'"""\\\n{body}"""'
    if ast.literal_eval(written) != text:
        raise AssertionError("a text was not carried as it is")
    return written


def _escaped(letter: str) -> str:
    shown = letter.isprintable() or letter in "\n\t"
    return letter if shown else letter.encode("unicode_escape").decode("ascii")
