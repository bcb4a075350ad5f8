"""The report as a notebook: it carries its inputs, and runs from top to bottom with the package alone."""

from __future__ import annotations

import ast
import re

import nbformat
from nbformat import NotebookNode
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from gearcheck.basics.names import markdown_text
from gearcheck.report.chapters import HEAD, chapter_titles
from gearcheck.report.kernel import run
from gearcheck.review.inputs import Record
from gearcheck.review.results import Review


def notebook_report(whole: Review) -> str:
    """Print a review as an executed notebook.

    Parameters
    ----------
    whole : Review
        Complete.

    Returns
    -------
    str
        The whole file; the same record gives the same text.
    """
    notebook = report_cells(whole)
    run(notebook)
    # what the kernel says of itself belongs to the machine, not to the report
    notebook.metadata = NotebookNode(_metadata())
    return f"{nbformat.writes(notebook, version=4)}\n"


def report_cells(whole: Review) -> NotebookNode:
    """Return the notebook before it has run: thin cells, each one chapter."""
    part = whole.record.part
    cells = [
        new_markdown_cell(f"# Review report: {markdown_text(f'{part.number}, revision {part.revision}')}"),
        new_code_cell(_inputs_source(whole.record), metadata=_folded()),
        new_code_cell(_SET_UP),
    ]
    for title in chapter_titles(whole):
        if title != HEAD:
            cells.append(new_markdown_cell(f"## {title}"))
        cells.append(new_code_cell(f"display(*chapter(whole, {title!r}))"))
    for number, cell in enumerate(cells, start=1):
        cell.id = f"cell-{number:02d}"
    return new_notebook(cells=cells, metadata=_metadata())


_SET_UP = """\
from gearcheck.report.chapters import chapter
from gearcheck.review.carried import carried_record
from gearcheck.review.whole import review

whole = review(carried_record(GEAR_FILE, EVIDENCE))"""


def _inputs_source(record: Record) -> str:
    """The cell that carries the gear file and its evidence, as they were read."""
    lines = ["# The gear file and its evidence, as they were read."]
    lines += [f"GEAR_FILE = {literal(record.source_text)}", "EVIDENCE = {"]
    lines += [f"{item.head.source!r}: {literal(item.source_text)}," for item in record.pitch]
    return "\n".join([*lines, "}"])


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


def _metadata() -> dict[str, dict[str, str]]:
    return {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }


def _folded() -> dict[str, object]:
    return {"jupyter": {"source_hidden": True}, "tags": ["hide-input"]}
