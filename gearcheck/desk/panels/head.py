"""The head of a sheet: part, revision and stage; the outcome in one sentence; the draft."""

from __future__ import annotations

from collections.abc import Iterable

from gearcheck.desk.panels.numbers import marked, reasons
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.report.cautions import CAUTIONS
from gearcheck.requirements.types import Calculation, Evidence, Requirement
from gearcheck.review.inputs import Part
from gearcheck.review.results import Review
from gearcheck.review.stations import NAMES
from gearcheck.review.whole import blocking_words, outcome
from gearcheck.review.words import lower_first

PLACES = (("trades", "Trades"), ("sources", "Sources"), ("report", "Report"))

KEYS = '<p class="gc-keys"><kbd>n</kbd> next in trouble · <kbd>p</kbd> present</p>'


def head_html(part: Part) -> str:
    """Return the part line with the links to the stations."""
    stations = "".join(
        f'<a href="#{name.replace(" ", "-")}" data-act="open:{name}">{name.capitalize()}</a>'
        for name in NAMES
    )
    places = "".join(f'<a href="#{key}">{label}</a>' for key, label in PLACES)
    return (
        f'<header class="gc-head"><p><b>{text(part.number)}</b>{text(part.title)}'
        f'<span class="gc-where">revision {text(part.revision)}, {text(part.stage)} review</span></p>'
        f'<nav aria-label="Stations">{stations}{places}</nav>{KEYS}</header>'
    )


def outcome_html(shown: Review) -> str:
    """Return the outcome sentence, what fails or is contradicted, and what blocks."""
    return f'<p class="gc-outcome" role="status">{text(outcome(shown))}</p>{_trouble(shown)}{_blocks(shown)}'


def _trouble(shown: Review) -> str:
    said = [*_failing(shown.requirements), *_stopped(shown.requirements), *_by_evidence(shown.requirements)]
    return f'<ul class="gc-list gc-said">{"".join(f"<li>{line}</li>" for line in said)}</ul>' if said else ""


def _failing(items: Iterable[Requirement]) -> list[str]:
    return [
        f"<b>Fails:</b> {text(lower_first(item.title))}: {marked(item.native)}."
        for item in items
        if item.by_calculation is Calculation.FAILS
    ]


def _stopped(items: Iterable[Requirement]) -> list[str]:
    """Each stop once, whatever the number of requirements that it leaves without an answer."""
    found = dict.fromkeys(reason for item in items if item.stopped for reason in reasons(item))
    return [f"<b>Stopped:</b> {marked(reason)}" for reason in found]


def _by_evidence(items: Iterable[Requirement]) -> list[str]:
    said = []
    for item in items:
        wrong = [finding for finding in item.findings if not finding.ok and not finding.stale]
        if item.by_evidence is Evidence.CONTRADICTED:
            said += [f"<b>Contradicted:</b> {marked(lower_first(finding.text))}" for finding in wrong]
        elif item.by_evidence is Evidence.STALE:
            said.append(f"<b>Stale:</b> {text(lower_first(item.title))}: {text(_why(item))}.")
    waiting = [item for item in items if item.by_evidence is Evidence.OPEN]
    if waiting:
        names = "; ".join(lower_first(item.title) for item in waiting)
        said.append(f"<b>Open:</b> {text(names)}.")
    return said


def _why(item: Requirement) -> str:
    return "; ".join(dict.fromkeys(finding.why_stale for finding in item.findings if finding.stale))


def _blocks(shown: Review) -> str:
    return f"<p>{text(blocking_words(shown))}</p>"


def aside_html(state: Sheet) -> str:
    """Return the margin beside the outcome: the draft and what the record says, or the note of the record."""
    if state.words:
        return (
            f'<p class="gc-draft"><b>Draft:</b> {text(state.words)}.</p>'
            f"<p>Record: {text(outcome(state.ghost))}</p>"
        )
    note = state.record.part.note
    cautions = f"<p>{text(CAUTIONS[0])}</p>"
    return (f"<p>{text(note)}</p>" if note else "") + cautions


def draft_bar_html(state: Sheet) -> str:
    """Return the line at the foot of the window while there is a draft; nothing without one."""
    if not state.words:
        return ""
    waits = "" if state.settled else '<span class="gc-waits">slower numbers follow</span>'
    return (
        f'<div class="gc-foot" role="status"><span><b>Draft:</b> {text(state.words)}</span>'
        f"<span>{text(_short(state.shown))}; record: {text(_short(state.ghost))}</span>{waits}"
        '<button type="button" class="gc-do" data-act="drop">drop the draft</button></div>'
    )


def _short(whole: Review) -> str:
    fails = sum(item.by_calculation is Calculation.FAILS for item in whole.requirements)
    return "none fails" if fails == 0 else f"{fails} {'fails' if fails == 1 else 'fail'}"
