"""The requirements of a station: each with both answers, its margin, its evidence and what would fix it."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.digits import NO_BREAK
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.beside import beside_html
from gearcheck.desk.panels.characteristic import word_of
from gearcheck.desk.panels.ladder import answers
from gearcheck.desk.panels.numbers import (
    AS_ABOVE,
    anchor,
    margin_of,
    marked,
    moved_from,
    reasons,
    source,
    value,
    whole,
)
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import answer, text
from gearcheck.duty.damage import DamageSum
from gearcheck.figures.ladder import wants_a_look
from gearcheck.requirements.types import Calculation, Evidence, Finding, Requirement
from gearcheck.review.change import Change
from gearcheck.review.inspected import waits_for
from gearcheck.review.remedies import Remedy
from gearcheck.review.words import share_text
from gearcheck.review.worst_step import worst_step
from gearcheck.stress.micropitting import Micropitting


def needs_html(state: Sheet, station: str, folds: Folds, kept: Kept | None = None) -> str:
    """Return the requirements of one station.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    station : str
        Its name.
    folds : Folds
        Of this piece.
    kept : Kept, optional
        The record, for what was written beside each.

    Returns
    -------
    str
        HTML.
    """
    before = {item.key: item for item in state.ghost.requirements}
    parts, above = [], ""
    for place, item in enumerate(state.shown.requirements):
        if item.station == station:
            measured = "".join(dict.fromkeys(_measured(finding) for finding in item.findings))
            where = source(item.cite, item.status) + measured
            said = AS_ABOVE if where == above else where
            above = where
            written = "" if kept is None else beside_html(kept, before[item.key], folds)
            parts.append(_need(state, item, before[item.key], place, (said, written), folds))
    return f'<section class="gc-needs"><h3>Requirements</h3>{"".join(parts)}</section>'


def _need(
    state: Sheet, item: Requirement, before: Requirement, place: int, beside: tuple[str, str], folds: Folds
) -> str:
    where, written = beside
    trouble = " data-trouble" if wants_a_look(item) else ""
    evidence = "".join(_finding(finding, alone=len(item.findings) == 1) for finding in item.findings)
    told = "".join(f"<p>{text(said)}</p>" for said in _told(state, item))
    reason = "".join(f"<p>Not assessed: {marked(one)}</p>" for one in reasons(item))
    open_ = (
        f"<p>{answer(Evidence.OPEN)} {marked(waits_for(state.shown.inspected, item))}.</p>"
        if item.by_evidence is Evidence.OPEN
        else ""
    )
    fix = _fix(state, item, folds) if item.by_calculation is Calculation.FAILS else ""
    return (
        f'<div class="gc-row gc-need" id="{anchor(place)}" data-key="{text(item.key)}"{trouble}>'
        f'<div class="gc-main">{answers(item)}<div><b>{text(item.title)}</b><p>{marked(item.sentence)}</p>'
        f"{told}{reason}{evidence}{open_}{fix}{written}</div>"
        f'<div class="gc-native">{_margin(item, before)}</div></div>'
        f'<div class="gc-margin">{where}</div></div>'
    )


def _told(state: Sheet, item: Requirement) -> Iterator[str]:
    """Which step of a duty decides; and why margin and torque reserve of some do not go in step."""
    if item.by_calculation is Calculation.NOT_ASSESSED:
        return
    step = worst_step(state.shown, item.key)
    if step:
        yield f"Worst at {step}; the numbers are those there."
    reserve = item.reserve
    if item.method == DamageSum.method.key and reserve is not None and reserve.factor is not None:
        yield (
            f"At {value(reserve.factor, 2)} times the torque the sum comes to what is agreed: damage grows "
            "with a high power of torque."
        )
    if item.method == Micropitting.method.key and item.by_calculation is Calculation.FAILS:
        yield "The film hangs on speed, oil, its temperature and roughness far more than on torque."


def _margin(item: Requirement, before: Requirement) -> str:
    margin, was = margin_of(item), moved_from(item, before)
    said = f"<span>{marked(item.native)}</span>" if item.native else ""
    if margin:
        margin = share_text(item) if item.reserve is None else f"torque reserve {margin}"
        said += f"<span>{margin}</span>"
    return said + (f'<small class="gc-was">{text(was)}</small>' if was else "")


def _finding(finding: Finding, *, alone: bool) -> str:
    """Where there are several, each says for itself what the answer beside them sums up."""
    if alone:
        return f"<p>{marked(finding.text)}</p>"
    return f"<p>{answer(word_of(finding))} {marked(finding.text)}</p>"


def _measured(finding: Finding) -> str:
    return f"<p>Measured by {text(finding.by)}, {whole(finding.date)}, on {text(finding.applies_to)}.</p>"


def _fix(state: Sheet, item: Requirement, folds: Folds) -> str:
    def body() -> str:
        if state.slower is None or not state.settled:
            return '<p class="gc-settling">The smallest changes are being worked out</p>'
        found = state.slower.remedies.get(item.key, ())
        return f'<ul class="gc-list">{"".join(_remedies(found))}</ul>'

    return folds.fold(f"fix:{item.key}", "What would fix it", body)


def _remedies(found: tuple[Remedy, ...]) -> Iterator[str]:
    for remedy in found:
        if remedy.after is not None:
            yield f"<li>{_remedy(remedy, remedy.after)}</li>"
    vain = [_reach(remedy) for remedy in found if remedy.after is None]
    if vain:
        yield f"<li>No help within reach: {'; '.join(vain)}.</li>"


def _remedy(remedy: Remedy, after: float) -> str:
    change = remedy.change
    low, high = (value(number, change.digits) for number in (remedy.before, after))
    costs = "; ".join(text(cost) for cost in remedy.costs)
    said = f"It costs: {costs}." if costs else "No other reserve falls."
    button = (
        f'<button type="button" class="gc-do" data-act="try:{text(change.key)}={after!r}">try it</button>'
    )
    goes = f" ({text(change.goes_with)})" if change.goes_with else ""
    return f"<b>{text(change.label)} {low} to {high}{_unit(change)}</b>{goes}. {said} {button}"


def _reach(remedy: Remedy) -> str:
    low, high = (value(end, remedy.change.digits) for end in remedy.reach)
    return f"{text(remedy.change.label.lower())}, {low} to {high}{_unit(remedy.change)}"


def _unit(change: Change) -> str:
    return f"{NO_BREAK}{change.unit}" if change.unit else ""


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
