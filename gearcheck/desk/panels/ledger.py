"""Values from memory or practice: what stands here, to be compared with the document, and who has done so."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from gearcheck.basics.methods import Method
from gearcheck.basics.tables import Table
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.entries import entry, form
from gearcheck.desk.panels.numbers import marked, whole
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import text
from gearcheck.record.closing import confirm
from gearcheck.record.ledger import Confirmable, confirmables
from gearcheck.record.words import moment_words
from gearcheck.review.results import Review
from gearcheck.review.sources import resting_on

_SAID_OF = {
    "implements": "Built",
    "leaves_out": "Left out",
    "departures": "Departs from the text",
}


@dataclass(frozen=True, kw_only=True)
class _Known:
    """A method or table, and the document in which it should stand."""

    document: str
    item: Method | Table

    def words(self) -> str:
        """What there is to compare."""
        return _rows(self.item.rows, self.item.note) if isinstance(self.item, Table) else _method(self.item)


def ledger_html(kept: Kept, folds: Folds) -> str:
    """Return the values that this record rests on without their having been seen in print.

    Parameters
    ----------
    kept : Kept
        The record.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    shown = kept.whole()
    items = confirmables(shown, kept.book)
    known = {
        f"{kind}:{item.key}": _Known(document=source.cite, item=item)
        for source in resting_on(shown)
        for kind, found in (("method", source.methods), ("table", source.tables))
        for item in found
    }
    waiting = [item for item in items if item.confirmation is None]
    done = [item for item in items if item.confirmation is not None]
    return (
        f'<section><h2 id="confirm">Confirm against the document</h2>{_count(items, waiting)}'
        f"{_confirmed(done)}{_to_confirm(waiting, known, folds)}</section>"
    )


def _count(items: Iterable[Confirmable], waiting: list[Confirmable]) -> str:
    total = len(list(items))
    if not waiting:
        return f'<p id="unconfirmed">All {total} values were confirmed.</p>'
    return (
        f'<p id="unconfirmed">{len(waiting)} of {total} methods and tables that this record rests on are '
        "known from memory or practice only. That does not block signing; the signed report lists them. "
        "Whoever holds the document compares, ticks what agrees, and says where it stands.</p>"
    )


def _confirmed(done: list[Confirmable]) -> str:
    if not done:
        return ""
    rows = "".join(_confirmed_row(item) for item in done)
    heads = "".join(f'<th scope="col">{name}</th>' for name in ("Confirmed", "Seen in", "By"))
    return f'<table class="gc-table"><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>'


def _confirmed_row(item: Confirmable) -> str:
    seen = item.confirmation
    assert seen is not None
    return (
        f'<tr data-key="{text(item.what)}"><th scope="row">{marked(item.title)}</th>'
        f"<td>{whole(seen.edition)}, {whole(seen.clause)}, on {whole(seen.date)}</td>"
        f"<td>{text(seen.by)}, {text(moment_words(seen.at))}</td></tr>"
    )


def _to_confirm(waiting: list[Confirmable], known: Mapping[str, _Known], folds: Folds) -> str:
    if not waiting:
        return ""
    parts = []
    for document, found in groupby(waiting, key=lambda item: known[item.what].document):
        each = list(found)
        same = len({item.status for item in each}) == 1
        inside = "".join(_tick(item, known[item.what], folds, with_status=not same) for item in each)
        legend = f"<legend>{whole(document)}{_mark(each[0]) if same else ''}</legend>"
        parts.append(f'<fieldset data-key="{text(document)}">{legend}{inside}</fieldset>')
    where = (
        entry("edition", "Document and edition", hint="as printed on its cover"),
        entry("clause", "Clause, table or page"),
        entry("date", "Day on which it was compared", kind="date"),
    )
    return form("confirm", "".join((*parts, *where)), "Confirm what is ticked")


def _mark(item: Confirmable) -> str:
    return f' <span class="gc-memory">{text(item.status)}</span>'


def _tick(item: Confirmable, known: _Known, folds: Folds, *, with_status: bool) -> str:
    clause = known.item.clause
    where = f' <span class="gc-quiet">{marked(clause)}</span>' if clause else ""
    mark = _mark(item) if with_status else ""
    box = f'<input type="checkbox" name="items" value="{text(item.what)}">'
    label = f"<label>{box} {marked(item.title)}{where}{mark}</label>"

    is_table = isinstance(known.item, Table)
    summary = "what stands here" if is_table else "what is built"
    return f'<div class="gc-tick-line">{label}{folds.fold(item.what, summary, known.words)}</div>'


def _rows(rows: tuple[Mapping[str, Any], ...], note: str) -> str:
    names = [name for name in dict.fromkeys(key for row in rows for key in row) if name != "status"]
    heads = "".join(f'<th scope="col">{marked(name.replace("_", " "))}</th>' for name in names)
    lines = "".join(
        f"<tr>{''.join(f'<td>{marked(_value(row.get(name)))}</td>' for name in names)}</tr>" for row in rows
    )
    said = f"<p>{marked(note)}</p>" if note else ""
    table_html = f'<table class="gc-table"><thead><tr>{heads}</tr></thead><tbody>{lines}</tbody></table>'
    return f'{said}<div class="gc-workings">{table_html}</div>'


def _value(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, list):
        return ", ".join(_value(item) for item in value)
    return "" if value is None else str(value)


def _method(method: Method) -> str:
    said = [
        f"<p>{word}: {marked('; '.join(getattr(method, name)))}.</p>"
        for name, word in _SAID_OF.items()
        if getattr(method, name)
    ]
    said += [f"<p>Holds for {marked('; '.join(map(str, method.valid)))}.</p>"] if method.valid else []
    return (
        "".join(said)
        + "<p>Its formulas stand, with these numbers in them, in the workings of the review.</p>"
    )


def confirm_ticked(kept: Kept, values: Mapping[str, str]) -> None:
    """Write down that what was ticked was compared with the document.

    Parameters
    ----------
    kept : Kept
        The record.
    values : mapping of str to str
        Of the form.

    Raises
    ------
    InputError
        What is missing; then nothing is written.
    """
    ticked = values.get("items", "").split()
    where = {name: values.get(name, "") for name in ("edition", "clause", "date")}
    shown: Review = kept.whole()
    kept.do(lambda workspace, book, *, by: confirm(workspace, book, shown, by=by, items=ticked, **where))
