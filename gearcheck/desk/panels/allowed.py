"""What each class allows on this gear: all parameters over all classes, the class drawn marked."""

from __future__ import annotations

from gearcheck.accuracy.tolerance_table import tolerance_table
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.desk.panels.numbers import marked, notices, source, value
from gearcheck.desk.words import text
from gearcheck.review.chain import toothing
from gearcheck.review.results import Review

NO_CLASS = "The record names no accuracy class: section [gear.accuracy] is missing."


def allowed_html(shown: Review) -> str:
    """Return the tolerances of the gear over all classes of the edition drawn.

    Parameters
    ----------
    shown : Review
        Of a record without arrays.

    Returns
    -------
    str
        HTML; the cells of the class drawn are bold, each parameter by the class that its group has.
    """
    accuracy = shown.record.gear.accuracy
    if accuracy is None:
        return f"<p>{NO_CLASS}</p>"
    gear = {name: _one(number) for name, number in toothing(shown.record, shown.record.gear).items()}
    found = tolerance_table(**gear, edition=accuracy.edition)
    grades = "".join(f'<th scope="col" class="num">{value(one, 0)}</th>' for one in found.classes)
    rows = "".join(
        f'<tr><th scope="row"><span class="gc-words">{text(label)} </span>{marked(symbol)}</th>'
        f"{_cells(values, found.classes, _one(accuracy.class_of(_group(label))))}</tr>"
        for label, symbol, values in found.rows()
    )
    if not rows:
        return notices(found.limits.stops)
    head = f'<tr><th scope="col">Allowed, µm, class</th>{grades}</tr>'
    method = found.limits.method
    return (
        f'<table class="gc-table gc-allowed"><thead>{head}</thead><tbody>{rows}</tbody></table>'
        f"{source(method.cite, method.status)}"
    )


def _cells(values: Array, classes: Array, drawn: float) -> str:
    return "".join(
        f'<td class="num">{f"<b>{cell}</b>" if grade == drawn else cell}</td>'
        for grade, cell in (
            (one, value(number, _decimals(number))) for one, number in zip(classes, values, strict=True)
        )
    )


def _decimals(number: float) -> int:
    """Above 10 µm the standard rounds to whole ones."""
    return 0 if number >= 10 else 1


def _group(label: str) -> str:
    """Which class a parameter is drawn by."""
    first = label.split()[0].lower()
    return first if first in ("profile", "helix", "runout") else "pitch"


def _one(number: Number) -> float:
    return float(array(number))
