"""The process route as a line: its operations downwards, and under each what is inspected there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from gearcheck.basics.digits import NO_BREAK, decimals_text, number_text, with_unit
from gearcheck.desk.panels.numbers import AS_ABOVE, source, whole
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import answer, text
from gearcheck.inspection.plan import Characteristic
from gearcheck.inspection.route import Operation, Route
from gearcheck.requirements.types import Evidence, Finding
from gearcheck.review.findings import window_text
from gearcheck.review.results import Inspected

Body = Callable[[Characteristic], str]
"""What a characteristic shows when it is opened."""

TROUBLED = (Evidence.CONTRADICTED, Evidence.STALE)


@dataclass
class _Line:
    """The line while it is drawn: what it shows, and the source that stood last in the margin."""

    found: Inspected
    folds: Folds
    body: Body
    above: str = ""


def route_html(found: Inspected, folds: Folds, body: Body) -> str:
    """Return the operations with their characteristics.

    Parameters
    ----------
    found : Inspected
        The plan with what the evidence says of it.
    folds : Folds
        Of this piece.
    body : callable
        Gives the HTML of an opened characteristic.

    Returns
    -------
    str
        HTML.
    """
    line = _Line(found, folds, body)
    steps = "".join(_operation(line, item) for item in found.plan.route.operations)
    lost = [item for item in found.plan.characteristics if item.operation is None]
    nowhere = "".join(_characteristic(line, item) for item in lost)
    title = f'<p class="gc-nowhere">At no operation of this route:</p>{nowhere}' if lost else ""
    return f'<section class="gc-route" aria-label="Process route">{steps}{title}</section>'


def lead_html(found: Inspected) -> str:
    """Return the route in two sentences: where it comes from, and what is shown of it."""
    route, items = found.plan.route, found.plan.characteristics
    used = sum(bool(found.plan.at(item)) for item in route.operations)
    left = "".join(
        f"<p>Left out: {text(_left_out(route, edit.key, edit.reason))}</p>" for edit in route.left_out
    )
    return (
        f"<p>{text(route.title)}. {len(items)} characteristics at {used} of its {len(route.operations)} "
        f"operations: {text(found.counts)}.</p>{left}"
    )


def _left_out(route: Route, key: str, reason: str) -> str:
    return f"operation {key}. {reason}"


def _operation(line: _Line, item: Operation) -> str:
    rows = "".join(_characteristic(line, one) for one in line.found.plan.at(item))
    line_class = "gc-step" if rows else "gc-step gc-passed"
    edited = f"<p>Differs from the route it comes from: {text(item.reason)}</p>" if item.reason else ""
    caution = f'<p class="gc-caution">{text(item.caution)}</p>' if item.caution else ""
    line.above = ""
    return (
        f'<div class="gc-row {line_class}" id="operation-{text(item.key)}" data-key="{text(item.key)}">'
        f'<div class="gc-main"><span class="gc-number">{item.number}</span>'
        f'<div><h3>{text(item.title)}</h3><p class="gc-quiet">{text(_does(item))}</p></div></div>'
        f'<div class="gc-margin">{source(item.document, item.status) if item.document else ""}'
        f"{edited}{caution}</div></div>{rows}"
    )


def _does(item: Operation) -> str:
    """What an operation changes and can spoil, and how hot it is."""
    said = [f"Changes {', '.join(item.changes)}." if item.changes else "Changes nothing."]
    said += [f"Can spoil {', '.join(item.spoils)}."] if item.spoils else []
    if item.temperature_C is not None:
        hours = f", {item.hours:g}{NO_BREAK}h" if item.hours is not None else ""
        said.append(f"{item.temperature_C:g}{NO_BREAK}°C{hours}.")
    return " ".join(said)


def _characteristic(line: _Line, item: Characteristic) -> str:
    word = line.found.answers[item.key]
    findings = line.found.findings[item.key]
    trouble = " data-trouble" if word in TROUBLED else ""
    summary = (
        f'{answer(word)}<span class="gc-name">{text(item.title)}</span>'
        f'<span class="gc-asked">{asked(item)}</span><span class="gc-got">{got(item, findings)}</span>'
        f'{_accepted(item)}<span class="gc-how">{text(_how(item))}</span>'
    )
    opened = line.folds.fold(f"char:{item.key}", summary, lambda: line.body(item))
    return (
        f'<div class="gc-row gc-char" id="{text(place_of(item.key))}" data-key="{text(item.key)}"{trouble}>'
        f'<div class="gc-main">{opened}</div>'
        f'<div class="gc-margin">{_where(line, item, findings)}</div></div>'
    )


def place_of(key: str) -> str:
    """Return the name of the place where a characteristic is read in full."""
    return f"char-{key}"


def asked(item: Characteristic) -> str:
    """Return the limit with its unit once; empty where words say it."""
    if not item.wants_number:
        return ""
    return text(with_unit(window_text(item.limit, item.digits, ""), "" if item.unit == "1" else item.unit))


def _accepted(item: Characteristic) -> str:
    return "" if item.wants_number else f'<span class="gc-accepted">{text(item.limit.words)}</span>'


def _how(item: Characteristic) -> str:
    return "; ".join(filter(None, (item.sample, item.method)))


def got(item: Characteristic, findings: tuple[Finding, ...]) -> str:
    """Return what was found; of several findings the one that decides the answer, and how many there are."""
    if not findings:
        return ""
    first = min(findings, key=_weight)
    beside = [first.undecided] if first.within and not first.stale else []
    beside += [f"one of {len(findings)} results"] if len(findings) > 1 else []
    more = f' <span class="gc-quiet">{", ".join(beside)}</span>' if beside else ""
    return f"{text(measured(item, first))}{more}"


def _weight(finding: Finding) -> tuple[bool, bool, bool]:
    return finding.stale, not finding.contradicts, not finding.within


def measured(item: Characteristic, finding: Finding) -> str:
    """Return what was measured with its uncertainty, or whether what was found conforms."""
    if not item.wants_number:
        return "conforms" if finding.ok else "does not conform"
    unit = "" if item.unit == "1" else item.unit
    more = "more than " if finding.is_deeper else ""
    if finding.uncertainty is None:
        return more + decimals_text(finding.value, item.digits, unit)
    sure = decimals_text(finding.uncertainty, item.digits)
    if not float(sure):  # smaller than the last digit shown
        sure = number_text(finding.uncertainty, 2)
    return more + with_unit(f"{decimals_text(finding.value, item.digits)} ±{NO_BREAK}{sure}", unit)


def _where(line: _Line, item: Characteristic, findings: tuple[Finding, ...]) -> str:
    said = source(item.document, item.status) if item.document else ""
    shown = AS_ABOVE if said and said == line.above else said
    line.above = said
    if not findings:
        return shown
    first = min(findings, key=_weight)
    return f"{shown}<p>{text(first.applies_to)}; {text(first.by)}, {whole(first.date)}</p>"
