"""The same gear by ANSI/AGMA 2101 beside ISO 6336, and why the two differ; it never decides."""

from __future__ import annotations

from collections.abc import Iterable

from gearcheck.basics.digits import value_text
from gearcheck.basics.numbers import Number, array
from gearcheck.desk.panels.numbers import marked, notices
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import text
from gearcheck.review.agma import AgmaBeside, Compared
from gearcheck.stress.agma_differences import agma_differences

_SAFETIES = ("S_H", "S_F")


def agma_html(found: Iterable[AgmaBeside], folds: Folds) -> str:
    """Return a table for each mesh, and on request why the two standards differ.

    Parameters
    ----------
    found : iterable of AgmaBeside
        As `agma_beside` gives them.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML; a sentence where a mesh cannot be rated so.
    """
    tables = "".join(_mesh(one) for one in found)
    why = folds.fold("differ", "Why the two differ", _differences)
    return f"<h3>By ANSI/AGMA 2101 beside it</h3>{tables}{why}"


def _differences() -> str:
    rows = "".join(
        f'<tr><th scope="row">{marked(one.quantity)}</th><td>{marked(one.iso)}</td>'
        f"<td>{marked(one.agma)}</td><td>{marked(one.effect)}</td></tr>"
        for one in agma_differences()
    )
    heads = "".join(f'<th scope="col">{name}</th>' for name in ("", "ISO 6336", "AGMA 2101", "What it does"))
    return f'<table class="gc-table gc-differ"><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>'


def _mesh(one: AgmaBeside) -> str:
    if one.result is None or one.reason:
        return f"<p>Against {text(one.mesh)} it is not rated: {marked(one.reason)}.</p>"
    rows = "".join(_row(row) for row in one.rows)
    heads = "".join(f'<th scope="col" class="num">{name}</th>' for name in ("ISO 6336", "AGMA 2101", "AGMA"))
    return (
        f'<table class="gc-table gc-agma"><thead><tr><th scope="col">Against {text(one.mesh)}</th>{heads}'
        f"</tr></thead><tbody>{rows}</tbody></table>{notices(one.result.notices)}"
    )


def _row(row: Compared) -> str:
    safety = row.symbols[0] in _SAFETIES
    title = f"<b>{text(row.title)}</b>" if safety else text(row.title)
    pairs = zip(row.symbols, (row.iso, row.agma), strict=True)
    cells = "".join(
        f'<td class="num">{marked(symbol)} = {text(value_text(value, row.unit, 3))}</td>'
        for symbol, value in pairs
    )
    return f'<tr><th scope="row">{title}</th>{cells}<td class="num">{_ratio(row.iso, row.agma)}</td></tr>'


def _ratio(iso: Number, agma: Number) -> str:
    """How much of the one the other is."""
    if iso is None or agma is None or not float(array(iso)):
        return ""
    return f"{float(array(agma)) / float(array(iso)):.2f} of ISO"
