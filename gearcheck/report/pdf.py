"""The report as PDF, to be filed: printed from the notebook, the charts as drawings, every page named."""

from __future__ import annotations

import json
import math
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import typst
import vl_convert

from gearcheck.figures import tones
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.letters import EXPLAINED, in_numbers, missing_letters
from gearcheck.report.printed import printed, running_title
from gearcheck.report.tree import text_of, tree, width_of, words_of

_TEMPLATE = Path(__file__).parent / "template.typ"
_PAGE, _SIZE, _SMALL = (
    493.0,
    9.0,
    8.3,
)  # points: the width between the margins, letters of a table, of a wide one
_LETTER, _WIDE, _BESIDE = (
    0.5,
    0.56,
    0.8,
)  # em: a letter, one of a word that has to fit, the room beside a column
_SHORT = 16  # letters: a text that is not broken
_LONGEST_CELL = 600  # letters: a cell that stays on one page
_LONG = 140  # letters: a text that asks for no more width, however long it is
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
    chapters: list[dict[str, Any]] = []
    drawings, all_of_it = 0, printed(notebook)
    title = running_title(notebook)
    texts = [text for chapter in all_of_it for kind, _, text in chapter.pieces if kind == "text/html"]
    missing = missing_letters("".join([title, *texts]))
    for chapter in all_of_it:
        inside: list[dict[str, Any]] = []
        for kind, words, text in chapter.pieces:
            if kind == "text/html":
                inside += [_laid_out(node) for node in tree(in_numbers(text, missing))]
                continue
            drawings += 1
            file = f"drawing-{drawings}.pdf"
            (folder / file).write_bytes(vl_convert.svg_to_pdf(text))
            inside.append({"tag": "figure", "file": file, "words": words, "width": _share(text)})
        chapters.append({"title": chapter.title, "inside": inside})
    if missing:
        chapters[-1]["inside"] += tree(f"<p>{EXPLAINED}</p>")
    title = in_numbers(title, missing)
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


def _laid_out(node: dict[str, Any], within: str = "") -> dict[str, Any]:
    """Give each table its columns; a line that leads to what follows stays with it."""
    if node["tag"] == "text":
        return node
    inside = [_laid_out(item, node["name"]) for item in node["inside"]]
    leads = node["name"] == "sentence" or text_of(node).rstrip().endswith(":")
    if node["tag"] == "p" and leads:
        return {**node, "name": "leads", "inside": inside}
    if node["tag"] != "table":
        return {**node, "inside": inside}
    head: list[list[dict[str, Any]]] = []
    body: list[list[dict[str, Any]]] = []
    for part in inside:
        rows = [
            [{**cell, "long": len(text_of(cell)) > _LONGEST_CELL} for cell in row["inside"]]
            for row in part["inside"]
        ]
        (head if part["tag"] == "thead" else body).extend(rows)
    size, columns = _columns(head, body)
    if within == "workings":  # one under the other, all of them alike
        columns = [{"share": 1}, {"share": 2}]
    return {
        "tag": "table",
        "name": node["name"],
        "head": head,
        "body": body,
        "size": size,
        "columns": columns,
    }


def _columns(
    head: list[list[dict[str, Any]]], body: list[list[dict[str, Any]]]
) -> tuple[float, list[dict[str, float]]]:
    """The size of the letters of a table, and columns that hold their longest word at least."""
    count = max(map(len, head + body), default=1)
    size = _SIZE if count <= 4 else _SMALL
    total = _PAGE / size
    least, full, wanted = [], [], []
    for place in range(count):
        under = [len(text_of(row[place])) for row in body if place < len(row)]
        over = [len(text_of(row[place])) for row in head if place < len(row)]
        words = [width_of(word) for row in head + body if place < len(row) for word in words_of(row[place])]
        long = max([*under, *(0.5 * length for length in over), 1])
        short = _LETTER * long if long <= _SHORT else 0.0  # "from memory" stays on one line
        least.append(_BESIDE + max(_WIDE * max(words, default=1), short))
        full.append(max(least[-1], _BESIDE + _LETTER * long))
        usual = math.sqrt(sum(length**2 for length in under) / max(len(under), 1))
        wanted.append(max(_BESIDE + _LETTER * min(usual, _LONG) - least[-1], 0.05 * (full[-1] - least[-1])))
    if sum(full) <= total:
        return size, [*({"em": width} for width in full[:-1]), {"share": 1}]
    return size, [{"share": width} for width in _shared(least, wanted, full, total)]


def _shared(least: list[float], wanted: list[float], full: list[float], total: float) -> list[float]:
    """Share a width: each column its least, then by what it wants, and none more than it needs."""
    columns = list(zip(least, wanted, full, strict=True))
    low, high = 0.0, 1e3
    for _ in range(60):
        part = (low + high) / 2
        widths = [min(most, first + part * more) for first, more, most in columns]
        low, high = (part, high) if sum(widths) < total else (low, part)
    return widths
