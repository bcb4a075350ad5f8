"""One characteristic, opened: where, when and how it is inspected, for what, and what was found."""

from __future__ import annotations

from gearcheck.desk.panels.numbers import anchor, marked, whole
from gearcheck.desk.words import answer, text
from gearcheck.inspection.plan import Characteristic
from gearcheck.requirements.types import Evidence, Finding
from gearcheck.review.findings import window_text
from gearcheck.review.results import Review


def facts_html(shown: Review, item: Characteristic) -> str:
    """Return what is known of a characteristic before anyone measures it.

    Parameters
    ----------
    shown : Review
        Of the revision that holds.
    item : Characteristic
        Of its plan.

    Returns
    -------
    str
        HTML.
    """
    lines = (
        ("Place", text(item.place)),
        ("Asked", _asked(item)),
        ("Visible", text(_window(item))),
        ("Method", text(item.method)),
        ("Finds", text(item.finds)),
        ("Usual uncertainty", text(item.uncertainty)),
        ("Sample", text(item.sample)),
        ("Serves", serves_html(shown, item.needs)),
        ("In the gear file", "" if item.edit is None else _edit(item.edit.by, item.edit.reason)),
    )
    each = "".join(f"<dt>{name}</dt><dd>{said}</dd>" for name, said in lines if said)
    return f'<dl class="gc-facts">{each}</dl>'


def _asked(item: Characteristic) -> str:
    if not item.wants_number:
        return text(item.limit.words)
    source = f" ({text(item.limit.words)})" if item.limit.words else ""
    return f"{marked(window_text(item.limit, item.digits, item.unit))}{source}"


def _window(item: Characteristic) -> str:
    """From when it can be seen, and until when."""
    said = [f"from {item.seen_from} on"] if item.seen_from is not None else []
    said += [f"before {item.before}"] if item.before is not None else []
    if item.lost_at is not None:
        said.append(f"{item.lost_at} is the last that can still change or spoil it")
    return "; ".join(said)


def _edit(by: str, reason: str) -> str:
    return f"{text(by)}: {text(reason)}"


def serves_html(shown: Review, needs: tuple[str, ...], *, answered: bool = True) -> str:
    """Return links to the requirements of these keys in the review, with their answers by evidence."""
    links = (
        f'<a href="review.ipynb#{anchor(place)}">{text(item.title)}</a>'
        f"{f' ({text(item.by_evidence)})' if answered else ''}"
        for place, item in enumerate(shown.requirements)
        if item.key in needs
    )
    return "; ".join(links) or "no requirement of this review"


def findings_html(findings: tuple[Finding, ...]) -> str:
    """Return every finding with who, when, with what, and of which part."""
    if not findings:
        return "<p>Nothing was entered yet.</p>"
    return f'<ul class="gc-list gc-findings">{"".join(f"<li>{_finding(one)}</li>" for one in findings)}</ul>'


def _finding(one: Finding) -> str:
    stale = f" <i>{text(one.why_stale)}.</i>" if one.stale else ""
    paper = f"; {text(one.document)}" if one.document else ""
    said = f"{text(one.applies_to)}; {text(one.by)}, {whole(one.date)}; {text(one.instrument)}"
    return (
        f"{answer(word_of(one))} {marked(one.text)}{stale} "
        f'<span class="gc-quiet">{said}{paper}; {whole(one.source)}</span>'
    )


def word_of(one: Finding) -> Evidence:
    """Return the answer that a finding gives by itself."""
    if one.stale:
        return Evidence.STALE
    if one.within:
        return Evidence.OPEN
    return Evidence.SHOWN if one.ok else Evidence.CONTRADICTED
