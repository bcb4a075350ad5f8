"""The workings of a station on request: symbol = expression = numbers = value, one fold for each result."""

from __future__ import annotations

from functools import partial

from gearcheck.basics.results import Result
from gearcheck.desk.panels.numbers import marked, notices, source
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import capital, text
from gearcheck.report.workings import WorkingLine, working_lines
from gearcheck.review.results import Review


def workings_html(shown: Review, station: str, folds: Folds) -> str:
    """Return the folds of the workings of one station.

    Parameters
    ----------
    shown : Review
        As drafted.
    station : str
        Its name.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    steps = [step for step in shown.workings if step.station == station]
    if not steps:
        return ""

    def sheets() -> str:
        parts = (
            folds.fold(f"work:{step.title}", text(step.title), partial(_sheet, step.result)) for step in steps
        )
        return f'<div class="gc-works">{"".join(parts)}</div>'

    count = "1 sheet" if len(steps) == 1 else f"{len(steps)} sheets"
    return folds.fold("workings", f"Workings, {count}", sheets)


def _sheet(result: Result) -> str:
    lines = working_lines(result)
    given = "; ".join(
        f'<span title="{text(line.label)}">{marked(line.symbol)} = {text(line.value)}</span>'
        for line in lines
        if line.given
    )
    rows = "".join(_row(line) for line in lines if not line.given)
    said = f"<p>Given: {given}.</p>" if given else ""
    method = result.method
    limits = [f"holds for {limits}" for limits in method.valid]
    notes = "; ".join([*limits, *(f"leaves out {item}" for item in method.leaves_out)])
    table = f'<table class="gc-table"><tbody>{rows}</tbody></table>' if rows else ""
    return (
        f'<div class="gc-row"><div class="gc-main gc-workings">{said}{table}{notices(result.notices)}</div>'
        f'<div class="gc-margin">{source(method.cite, method.status)}<p>{marked(notes)}</p></div></div>'
    )


def _row(line: WorkingLine) -> str:
    label = capital(line.label)
    return f"<tr><td>{marked(label)}</td><td>{marked(line.text)}</td></tr>"
