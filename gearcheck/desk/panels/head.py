"""The head of a sheet: part, revision and stage; the outcome in one sentence; the draft."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from urllib.parse import urlencode

from gearcheck.desk.drafts import Drafts
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.blocked import sheets_html
from gearcheck.desk.panels.numbers import margin_of, marked, moved_from, reasons
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.record.book import Book
from gearcheck.record.words import moment_words
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.sections import conceded_words
from gearcheck.requirements.types import Calculation, Evidence, Requirement
from gearcheck.review.inputs import Part
from gearcheck.review.results import Review
from gearcheck.review.stations import NAMES
from gearcheck.review.stations.contact import LATER
from gearcheck.review.whole import blocking_words, outcome
from gearcheck.review.words import lower_first
from gearcheck.review.worst_step import worst_step

PLACES = (("trades", "Trades"), ("sources", "Sources"), ("report", "Report"))

_TOLD = 4  # margins in the line at the foot
_MANY = 5  # requirements of one class: one line says them
_BRACKETS = re.compile(r" \([^)]*\)")

KEYS = '<p class="gc-keys"><kbd>n</kbd> next in trouble · <kbd>p</kbd> present</p>'


def head_html(part: Part, kept: Kept | None, folds: Folds) -> str:
    """Return the part line: which record, its state, and the links to sheets and stations.

    Parameters
    ----------
    part : Part
        Under review.
    kept : Kept or None
        Its record; None where there is no workspace.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    stations = "".join(
        f'<a href="#{name.replace(" ", "-")}" data-act="open:{name}">{name.capitalize()}</a>'
        for name in NAMES
    )
    places = "".join(f'<a href="#{key}">{label}</a>' for key, label in PLACES)
    where = f"drawing revision {text(part.revision)}, {text(part.stage)} review"
    if kept is not None:
        where += f", revision {kept.book.revision.revision} of the record, {text(_signed(kept.book))}"
    sheets = "" if kept is None else sheets_html("review.ipynb")
    return (
        f'<header class="gc-head"><p><b>{text(part.number)}</b>{text(part.title)}'
        f'<span class="gc-where">{where}</span></p>{sheets}'
        f'<nav aria-label="Stations">{stations}{places}</nav>{KEYS}'
        f"{'' if kept is None else _records(kept, folds)}</header>"
    )


def _signed(book: Book) -> str:
    if book.is_signed:
        return "signed"
    if book.signatures:
        there = ", ".join(item.signature["role"] for item in book.signatures)
        return f"signed by {there}; missing: {', '.join(book.missing_roles)}"
    return "before the signers" if book.prepared is not None else "not signed"


def _records(kept: Kept, folds: Folds) -> str:
    """The other records of the workspace, and where it lies."""

    def body() -> str:
        each = "".join(
            f'<li><a href="review.ipynb?{text(urlencode({"record": item.record}))}">{text(item.record)}</a> '
            f"{text(item.title)}, drawing revision {text(item.drawing_revision)} "
            f'<span class="gc-quiet">{text(item.by)}, {text(moment_words(item.at))}</span></li>'
            if not item.fault
            else f"<li>{text(item.record)}: {text(item.fault)}</li>"
            for item in kept.workspace.records()
        )
        return f'<ul class="gc-list">{each}</ul><p class="gc-quiet">Kept in {text(kept.workspace.path)}</p>'

    return folds.fold("records", "Records of this workspace", body)


def report_html(kept: Kept | None, file: Path) -> str:
    """Return where the report is made."""
    if kept is None:
        said = f"<p>Without a workspace <code>gearcheck export {text(file.name)}</code> writes a report.</p>"
    else:
        said = (
            '<p>The <a href="sign_off.ipynb">sign-off sheet</a> writes the report of the record, puts it '
            "before the signers, and takes their signatures in. It says what the record says, never a "
            "draft.</p>"
        )
    return f'<h2 id="report">Report</h2>{said}'


def outcome_html(shown: Review, conceded: frozenset[str] = frozenset()) -> str:
    """Return the outcome sentence, what fails or is contradicted, what blocks, and what is conceded."""
    covers = conceded_words(shown, conceded)
    said = f"<p>{text(covers)}</p>" if covers else ""
    main = f'<p class="gc-outcome" role="status">{text(outcome(shown))}</p>'
    return f"{main}{trouble_html(shown, shown.requirements)}{_blocks(shown)}{said}"


def trouble_html(shown: Review, items: Sequence[Requirement]) -> str:
    """Return a line for each requirement that fails, is stopped, contradicted, stale or open."""
    said = [*_failing(shown, items), *_stopped(items), *_by_evidence(items)]
    return f'<ul class="gc-list gc-said">{"".join(f"<li>{line}</li>" for line in said)}</ul>' if said else ""


def _failing(shown: Review, items: Iterable[Requirement]) -> list[str]:
    failing = [item for item in items if item.by_calculation is Calculation.FAILS]
    classes = [item for item in failing if item.key.startswith("accuracy.")]
    alike = dict.fromkeys(_BRACKETS.sub("", item.native) for item in classes)
    if len(classes) < _MANY or len(alike) > 1:  # else a class that is too coarse fails them all
        classes = []
    said = [
        f"<b>Fails:</b> {text(lower_first(item.title))}: {marked(item.native.rstrip('.'))}"
        f"{_where(worst_step(shown, item.key))}."
        for item in failing
        if item not in classes
    ]
    if classes:
        said.append(f"<b>Fails:</b> {len(classes)} tolerances are wider than agreed: {marked(*alike)}.")
    return said


def _where(step: str) -> str:
    return f"; worst at {text(step)}" if step else ""


def _stopped(items: Iterable[Requirement]) -> list[str]:
    """Each stop once, whatever the number of requirements that it leaves without an answer."""
    found = dict.fromkeys(reason for item in items if item.stopped for reason in reasons(item))
    found.pop(LATER, None)  # what follows by itself is no stop
    return [f"<b>Stopped:</b> {marked(reason)}" for reason in found]


def _by_evidence(items: Iterable[Requirement]) -> list[str]:
    said = []
    for item in items:
        wrong = [finding for finding in item.findings if finding.contradicts]
        if item.by_evidence is Evidence.CONTRADICTED:
            said += [f"<b>Contradicted:</b> {marked(lower_first(finding.text))}" for finding in wrong]
    said += _stale(items)
    waiting = [item for item in items if item.by_evidence is Evidence.OPEN]
    if waiting:
        names = "; ".join(lower_first(item.title) for item in waiting)
        said.append(f"<b>Open:</b> {text(names)}.")
    return said


def _stale(items: Iterable[Requirement]) -> list[str]:
    """What is stale, under the reason that it shares with others."""
    by_reason: dict[str, list[str]] = {}
    for item in items:
        if item.by_evidence is Evidence.STALE:
            by_reason.setdefault(_why(item), []).append(lower_first(item.title))
    return [f"<b>Stale:</b> {text('; '.join(names))}: {text(why)}." for why, names in by_reason.items()]


def _why(item: Requirement) -> str:
    return "; ".join(dict.fromkeys(finding.why_stale for finding in item.findings if finding.stale))


def _blocks(shown: Review) -> str:
    return f"<p>{text(blocking_words(shown))}</p>"


def aside_html(state: Sheet, drafts: Drafts | None = None) -> str:
    """Return the margin beside the outcome: the draft and what the record says, or the note of the record."""
    if state.words:
        name = f" {text(drafts.name)}" if drafts is not None and drafts.name else ""
        return (
            f'<p class="gc-draft"><b>Draft{name}:</b> {text(state.words)}.</p>'
            f"<p>Record: {text(outcome(state.ghost))}</p>"
        )
    note = state.record.part.note
    cautions = f"<p>{text(CAUTIONS[0])}</p>"
    return (f"<p>{text(note)}</p>" if note else "") + cautions


def draft_bar_html(state: Sheet, station: str = "") -> str:
    """Return the line at the foot of the window while there is a draft; nothing without one.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    station : str
        Whose margins follow; empty where it says how many requirements fail.
    """
    if not state.words:
        return ""
    waits = "" if state.settled else '<span class="gc-waits">slower numbers follow</span>'
    return (
        f'<div class="gc-foot" role="status"><span><b>Draft:</b> {text(state.words)}</span>'
        f"<span>{text(_short(state.shown))}; record: {text(_short(state.ghost))}{_newly(state)}</span>"
        f"{_margins(state, station)}"
        # what goes away stands behind the button: one that moves under a finger is not pressed
        f'<button type="button" class="gc-do" data-act="drop">drop the draft</button>{waits}</div>'
    )


def _margins(state: Sheet, station: str) -> str:
    """The tightest margins of one station that the draft moved, as drafted and in the record."""
    before = {item.key: item for item in state.ghost.requirements}
    here = [
        item
        for item in state.shown.requirements
        if item.station == station and item.key in before and item.reason != LATER
    ]
    moved = [(item, moved_from(item, before[item.key])) for item in here]
    told = sorted((pair for pair in moved if pair[1]), key=lambda pair: _size(pair[0]))[:_TOLD]
    return "".join(
        f"<span>{text(lower_first(item.title))} <b>{text(margin_of(item))}</b>, {text(was)}</span>"
        for item, was in told
    )


def _size(item: Requirement) -> float:
    """Its torque reserve; what has none comes last."""
    reserve = item.reserve
    return math.inf if reserve is None or reserve.factor is None else reserve.factor


def _newly(state: Sheet) -> str:
    """Name what the draft makes fail, for it may stand at another station; the first two."""
    failed = {item.key for item in state.ghost.requirements if item.by_calculation is Calculation.FAILS}
    fails = [item for item in state.shown.requirements if item.by_calculation is Calculation.FAILS]
    new = [lower_first(item.title) for item in fails if item.key not in failed]
    more = f" and {len(new) - 2} more" if len(new) > 2 else ""
    return f" (now fails: <b>{text('; '.join(new[:2]))}{more}</b>)" if new else ""


def _short(whole: Review) -> str:
    fails = sum(item.by_calculation is Calculation.FAILS for item in whole.requirements)
    return "none fails" if fails == 0 else f"{fails} {'fails' if fails == 1 else 'fail'}"
