"""The report as PDF, to be filed: printed from the notebook, the charts as drawings, every page named."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import typst
import vl_convert

from gearcheck.figures import tones
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.printed import printed, running_title
from gearcheck.report.tree import text_of, tree

_TEMPLATE = Path(__file__).parent / "template.typ"
_SHORT, _WIDEST = 14, 60  # letters
_FULL_PX = 760  # a drawing of this width takes the width of the page
_WIDTH = re.compile(r'<svg[^>]* width="([0-9.]+)"')


def pdf_report(notebook: Mapping[str, Any]) -> bytes:
    """Print a report notebook as PDF.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` gives it.

    Returns
    -------
    bytes
        The whole file; the same notebook gives the same bytes. All text is handed over as data, never as
        markup.
    """
    with tempfile.TemporaryDirectory(prefix="gearcheck_", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        (folder / "report.typ").write_bytes(_TEMPLATE.read_bytes())
        content = _content(notebook, folder)
        (folder / "content.json").write_text(json.dumps(content), encoding="utf-8")
        made = typst.compile(str(folder / "report.typ"), root=str(folder), ignore_system_fonts=True)
    assert isinstance(made, bytes)
    return made


def _content(notebook: Mapping[str, Any], folder: Path) -> dict[str, Any]:
    chapters, drawings = [], 0
    for chapter in printed(notebook):
        inside: list[dict[str, Any]] = []
        for kind, words, text in chapter.pieces:
            if kind == "text/html":
                inside += [_laid_out(node) for node in tree(text)]
                continue
            drawings += 1
            file = f"drawing-{drawings}.pdf"
            (folder / file).write_bytes(vl_convert.svg_to_pdf(text))
            inside.append({"tag": "figure", "file": file, "words": words, "width": _share(text)})
        chapters.append({"title": chapter.title, "inside": inside})
    title = running_title(notebook)
    return {
        "title": f"{title.partition(',')[0]}: review report",
        "running": title,
        "caution": CAUTIONS[0],
        "chapters": chapters,
        "tones": {name.replace(" ", "-"): tone for name, tone in tones.WORDS.items()},
        "quiet": tones.QUIET,
        "rule": tones.RULE,
    }


def _share(svg: str) -> float:
    """How much of the width of the page a drawing takes, so that all have letters of one size."""
    found = _WIDTH.search(svg)
    return min(1.0, float(found[1]) / _FULL_PX) if found else 1.0


def _laid_out(node: dict[str, Any]) -> dict[str, Any]:
    """Give each table its columns: as wide as what stands in them asks for."""
    if node["tag"] == "text":
        return node
    inside = [_laid_out(item) for item in node["inside"]]
    if node["tag"] != "table":
        return {**node, "inside": inside}
    head: list[list[dict[str, Any]]] = []
    body: list[list[dict[str, Any]]] = []
    for part in inside:
        rows = [[{**cell} for cell in row["inside"]] for row in part["inside"]]
        (head if part["tag"] == "thead" else body).extend(rows)
    return {
        "tag": "table",
        "name": node["name"],
        "head": head,
        "body": body,
        "columns": _columns(head + body),
    }


def _columns(rows: list[list[dict[str, Any]]]) -> list[dict[str, float]]:
    """A column of short texts takes what they need; the others share the rest by how long their texts are."""
    count = max(map(len, rows), default=1)
    columns: list[dict[str, float]] = []
    for place in range(count):
        texts = [text_of(row[place]) for row in rows if place < len(row)]
        word = max((len(word) for text in texts for word in text.split()), default=0)
        below = max((len(text_of(row[place])) for row in rows[1:] if place < len(row)), default=0)
        if max(word, below) <= _SHORT:
            columns.append({"letters": max(word, below, 3)})
            continue
        lengths = sorted(map(len, texts))
        columns.append({"share": max(min(word, 16), min(lengths[int(0.8 * (len(lengths) - 1))], _WIDEST))})
    if all("letters" in column for column in columns):
        columns[-1] = {"share": 1}
    return columns
