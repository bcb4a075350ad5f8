"""What becomes of a part whose evidence contradicts a limit: what is due, its form, and what was decided."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.characteristic import serves_html
from gearcheck.desk.panels.entries import choice, entry, form, lines
from gearcheck.desk.panels.numbers import marked, whole
from gearcheck.desk.panels.route_line import place_of
from gearcheck.desk.words import answer, text
from gearcheck.inspection.route import Operation, Route
from gearcheck.record.book import Disposition, Verdict
from gearcheck.record.dispositions import Due, dispose, due, stale_after
from gearcheck.record.words import moment_words
from gearcheck.requirements.types import Evidence
from gearcheck.review.results import Inspected, Review

Chosen = Mapping[str, Mapping[str, str]]
"""What stands in each form, by its key: what follows from it is shown before it is decided."""

_MEANS = {
    Verdict.ACCEPT: "accept as it is",
    Verdict.REWORK: "rework: operations run again",
    Verdict.REJECT: "reject the part",
    Verdict.CONCESSION: "concession: a departure is conceded",
    Verdict.SET_ASIDE: "set aside: measured or written down wrongly",
}


def dispositions_html(kept: Kept, chosen: Chosen) -> str:
    """Return every contradiction that waits for a disposition with its form, then what was decided.

    Parameters
    ----------
    kept : Kept
        The record.
    chosen : mapping
        What stands in the forms.

    Returns
    -------
    str
        HTML.
    """
    shown = kept.whole()
    assert shown.inspected is not None
    waiting = due(shown, kept.book)
    said = "".join(_due(kept, shown, item, chosen.get(_key(item), {})) for item in waiting)
    if not said:
        said = f"<p>{_nothing_due(shown.inspected)}</p>"
    return f"{said}{_made(kept, shown.inspected)}"


def _nothing_due(found: Inspected) -> str:
    contradicted = any(word is Evidence.CONTRADICTED for word in found.answers.values())
    return "Every contradiction has its disposition." if contradicted else "No evidence contradicts a limit."


def _key(item: Due) -> str:
    return f"dispose:{item.key}"


def _due(kept: Kept, shown: Review, item: Due, chosen: Mapping[str, str]) -> str:
    one = item.finding
    title = item.characteristic.title
    wrong = tuple(need.key for need in item.requirements)
    contradicts = f"<p>Contradicts {serves_html(shown, wrong, answered=False)}.</p>" if wrong else ""
    behind = f"<p>Still shown: {text('; '.join(item.kept))}.</p>" if item.kept else ""
    return (
        f'<article class="gc-due" data-trouble data-key="{text(item.key)}">'
        f"<h3>{text(title)}: disposition due</h3><p>{answer(Evidence.CONTRADICTED)} {marked(one.text)} "
        f'<span class="gc-quiet">{text(one.applies_to)}; {text(one.by)}, {whole(one.date)}</span> '
        f'<a href="#{text(place_of(item.characteristic.key))}" '
        f'data-act="open:{text(item.characteristic.key)}">in the route</a></p>'
        f"{contradicts}{behind}{_form(kept, shown, item, chosen)}</article>"
    )


def _form(kept: Kept, shown: Review, item: Due, chosen: Mapping[str, str]) -> str:
    assert shown.inspected is not None
    verdict = chosen.get("verdict", "")
    grants, again = verdict in (Verdict.ACCEPT, Verdict.CONCESSION), verdict == Verdict.REWORK
    steps = [("", "choose"), *((one.key, str(one)) for one in shown.inspected.plan.route.operations)]
    limit = entry("limit", "How far it reaches", hint="serial numbers, hours, a number of parts")
    runs = choice("first", "First operation that runs again", steps)
    runs += choice("last", "Last operation that runs again", steps)
    follows = _follows(kept, shown, item, chosen)
    inside = (
        choice("verdict", "Verdict", _verdicts(item))
        + lines("reason", "Reason")
        + _only(grants, limit)
        + _only(again, f'<div class="gc-two">{runs}</div>')
        + (f'<div class="gc-follows" role="status">{follows}</div>' if follows else "")
    )
    return form(_key(item), inside, "Write the disposition", live=True)


def _only(shows: bool, inside: str) -> str:
    """What is typed stays where it is out of sight."""
    return f"<div{'' if shows else ' hidden'}>{inside}</div>"


def _verdicts(item: Due) -> Iterator[tuple[str, str]]:
    yield "", "choose"
    for one, words in _MEANS.items():
        if one is not Verdict.ACCEPT or item.may_be_accepted:
            yield str(one), words


def _follows(kept: Kept, shown: Review, item: Due, chosen: Mapping[str, str]) -> str:
    """What a verdict brings with it, before it is written."""
    assert shown.inspected is not None
    verdict = chosen.get("verdict", "")
    if verdict in (Verdict.ACCEPT, Verdict.CONCESSION):
        titles = "; ".join(one.title for one in item.requirements)
        said = f"A concession is written beside {titles}." if titles else "No requirement is conceded."
        return f"<p>{text(said)} The finding stays as it is.</p>"
    if verdict == Verdict.REJECT:
        lost = _lost(shown, item, Verdict.REJECT, (), kept.book.last + 1)
        return _stale("Rejecting the part makes stale", lost)
    if verdict == Verdict.SET_ASIDE:
        lost = _lost(shown, item, Verdict.SET_ASIDE, (), kept.book.last + 1)
        return _stale("The piece has to be measured again; until then this is stale", lost)
    again = _again(shown.inspected.plan.route, chosen)
    if verdict != Verdict.REWORK or not again:
        return ""
    lost = _lost(shown, item, Verdict.REWORK, again, kept.book.last + 1)
    runs = str(again[0]) if len(again) == 1 else f"{again[0]} to {again[-1]}"
    return _stale(f"Running {runs} again makes stale", lost)


def _again(route: Route, chosen: Mapping[str, str]) -> tuple[Operation, ...]:
    first, last = route.find(chosen.get("first", "")), route.find(chosen.get("last", ""))
    if first is None or last is None:
        return ()
    return route.operations[route.operations.index(first) : route.operations.index(last) + 1]


def _lost(
    shown: Review, item: Due, verdict: Verdict, again: tuple[Operation, ...], number: int
) -> tuple[str, ...]:
    """What becomes stale, by the titles of the characteristics that lose it."""
    assert shown.inspected is not None
    return _titles(shown.inspected, stale_after(shown, item, verdict, again, number))


def _titles(found: Inspected, evidence: Mapping[str, str]) -> tuple[str, ...]:
    titles = (
        f"{item.title}, {one.applies_to}"
        for item in found.plan.characteristics
        for one in found.findings[item.key]
        if one.evidence in evidence
    )
    return tuple(dict.fromkeys(titles))


def _stale(head: str, titles: tuple[str, ...]) -> str:
    if not titles:
        return f"<p>{text(head)}: nothing that was measured.</p>"
    each = "".join(f"<li>{answer(Evidence.STALE)} {text(one)}</li>" for one in titles)
    return f'<p>{text(head)}:</p><ul class="gc-list">{each}</ul>'


def _made(kept: Kept, found: Inspected) -> str:
    if not kept.book.dispositions:
        return ""
    each = "".join(f"<li>{_disposition(item, found)}</li>" for item in reversed(kept.book.dispositions))
    return f'<h3>Dispositions made</h3><ol class="gc-decided">{each}</ol>'


def _disposition(item: Disposition, found: Inspected) -> str:
    limit = f" Limited to: {text(item.limit.rstrip('.'))}." if item.limit else ""
    steps = [str(found.plan.route.find(key) or key) for key in item.operations]
    runs = f"<p>Runs again: {text('; '.join(steps))}.</p>" if steps else ""
    titles = _titles(found, item.stale)
    lost = f"<p>Made stale: {text('; '.join(titles))}.</p>" if titles else ""
    said = f"{item.by}, {moment_words(item.at)}, on revision {item.revision} of the record"
    return (
        f"<p><b>{item.number}. {text(item.title)}: {text(item.verdict)}</b></p><p>{marked(item.finding)}</p>"
        f'<p>{text(item.reason)}{limit} <span class="gc-quiet">{text(said)}</span></p>{runs}{lost}'
    )


def decide(kept: Kept, key: str, values: Mapping[str, str]) -> None:
    """Write a disposition as its form says; an InputError says what is missing."""
    given = {name: values.get(name, "") for name in ("verdict", "reason", "limit", "first", "last")}
    kept.do(dispose, whole=kept.whole(), about=key.partition(":")[2], **given)
