"""The requirements of a station: each with both answers, its margin, its evidence and what would fix it."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.desk.panels.ladder import answers
from gearcheck.desk.panels.numbers import anchor, margin_of, marked, moved_from, source, value
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import answer, text
from gearcheck.figures.ladder import wants_a_look
from gearcheck.report.digits import NO_BREAK
from gearcheck.requirements.types import Calculation, Evidence, Finding, Requirement
from gearcheck.review.remedies import Remedy


def needs_html(state: Sheet, station: str, folds: Folds) -> str:
    """Return the requirements of one station.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    station : str
        Its name.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    before = {item.key: item for item in state.ghost.requirements}
    parts, cited = [], ""
    for place, item in enumerate(state.shown.requirements):
        if item.station == station:
            where = "" if item.cite == cited else source(item.cite, item.status)
            cited = item.cite
            parts.append(_need(state, item, before[item.key], place, where, folds))
    return f'<section class="gc-needs"><h3>Requirements</h3>{"".join(parts)}</section>'


def _need(state: Sheet, item: Requirement, before: Requirement, place: int, where: str, folds: Folds) -> str:
    trouble = " data-trouble" if wants_a_look(item) else ""
    evidence = "".join(_finding(finding) for finding in item.findings)
    reason = f"<p>Not assessed: {marked(item.reason)}</p>" if item.reason else ""
    open_ = (
        f"<p>{answer(Evidence.OPEN)} needs {text(item.kind_of_evidence)}.</p>"
        if item.by_evidence is Evidence.OPEN
        else ""
    )
    fix = _fix(state, item, folds) if item.by_calculation is Calculation.FAILS else ""
    measured = "".join(dict.fromkeys(_measured(finding) for finding in item.findings))
    return (
        f'<div class="gc-row gc-need" id="{anchor(place)}" data-key="{text(item.key)}"{trouble}>'
        f'<div class="gc-main">{answers(item)}<div><b>{text(item.title)}</b><p>{marked(item.sentence)}</p>'
        f"{reason}{evidence}{open_}{fix}</div>"
        f'<div class="gc-native">{_margin(item, before)}</div></div>'
        f'<div class="gc-margin">{where}{measured}</div></div>'
    )


def _margin(item: Requirement, before: Requirement) -> str:
    margin, was = margin_of(item), moved_from(item, before)
    kind = "torque reserve" if item.reserve is not None else "of the tolerance used"
    said = f"<span>{marked(item.native)}</span>" if item.native else ""
    if margin:
        said += (
            f"<span>{kind} {margin}</span>" if item.reserve is not None else f"<span>{margin} {kind}</span>"
        )
    return said + (f'<small class="gc-was">{text(was)}</small>' if was else "")


def _finding(finding: Finding) -> str:
    word = Evidence.STALE if finding.stale else Evidence.SHOWN if finding.ok else Evidence.CONTRADICTED
    return f"<p>{answer(word)} {text(finding.text)}</p>"


def _measured(finding: Finding) -> str:
    return f"<p>Measured by {text(finding.by)}, {text(finding.date)}, on {text(finding.applies_to)}.</p>"


def _fix(state: Sheet, item: Requirement, folds: Folds) -> str:
    def body() -> str:
        if state.slower is None or not state.settled:
            return '<p class="gc-settling">The smallest changes are being worked out</p>'
        found = state.slower.remedies.get(item.key, ())
        return f'<ul class="gc-list">{"".join(_remedies(found))}</ul>'

    return folds.fold(f"fix:{item.key}", "What would fix it", body)


def _remedies(found: tuple[Remedy, ...]) -> Iterator[str]:
    for remedy in found:
        change, digits = remedy.change, remedy.change.digits
        name, unit = text(change.label), f"{NO_BREAK}{change.unit}" if change.unit else ""
        if remedy.after is None:
            low, high = (value(end, digits) for end in remedy.reach)
            yield f"<li>{name}: nothing from {low} to {high}{unit} fixes it.</li>"
            continue
        before, after = value(remedy.before, digits), value(remedy.after, digits)
        costs = "; ".join(text(cost) for cost in remedy.costs) or "no other reserve falls"
        button = f'<button type="button" class="gc-do" data-act="try:{text(change.key)}={remedy.after!r}">'
        said = f"{name} {before} to {after}{unit} fixes it, all else held. It costs: {costs}."
        yield f"<li>{said} {button}try it</button></li>"


def tried(act: str) -> tuple[str, float]:
    """Read the input and the value of a remedy that is to be tried.

    Parameters
    ----------
    act : str
        What the button says: ``torque=980.0``.

    Returns
    -------
    tuple of str and float
        The key of the change, and its value.
    """
    key, _, number = act.partition("=")
    return key, float(number)
