"""What a report says of the inspection plan: the plan with its results, coverage, dispositions, callouts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gearcheck.inspection.coverage import HARMLESS
from gearcheck.inspection.route import Operation, Route
from gearcheck.record.book import Book, Disposition
from gearcheck.record.dispositions import due
from gearcheck.report.measured import digits_of, limit_text, results_text
from gearcheck.report.sections import Section, piece
from gearcheck.review.callouts import callouts
from gearcheck.review.results import Inspected, Review

_FILE = "inspection.html.j2"


def plan(whole: Review) -> Section:
    """Every characteristic at its operation: limit, method, sample, answer and result."""
    found = whole.inspected
    if found is None:
        return _without("Inspection plan")
    rows = _rows(whole, found)
    used = {row["operation"] for row in rows}
    return piece(
        _FILE,
        "plan",
        "Inspection plan",
        route=found.plan.route,
        rules=whole.record.inspection,
        counts=found.counts,
        rows=rows,
        passed=[item for item in found.plan.route.operations if str(item) not in used],
        cautions=[item for item in found.plan.route.operations if item.caution],
        edited=[item for item in found.plan.route.operations if item.reason],
        edits=[item for item in found.plan.characteristics if item.edit is not None],
        struck=found.plan.struck,
        loose=found.loose,
    )


def _without(title: str) -> Section:
    return piece(_FILE, "without", title)


def _rows(whole: Review, found: Inspected) -> list[dict[str, Any]]:
    """The numbers are those of the first article report."""
    rows: list[dict[str, Any]] = []
    for number, item in enumerate(found.plan.characteristics, start=1):
        operation = str(item.operation or "at no operation of this route")
        rows.append(
            {
                "number": number,
                "operation": operation,
                "is_first": not rows or rows[-1]["operation"] != operation,
                "title": item.title,
                "place": item.place,
                "limit": limit_text(item, digits_of(item, found.findings[item.key])),
                "method": item.method,
                "sample": item.sample,
                "answer": found.answers[item.key],
                "result": results_text(whole, item),
            }
        )
    return rows


def coverage(whole: Review) -> Section:
    """What the plan leaves uncovered or inspects at the wrong time, and what serves each requirement."""
    found = whole.inspected
    if found is None:
        return _without("Coverage")
    numbers = {item.key: number for number, item in enumerate(found.plan.characteristics, start=1)}
    return piece(
        _FILE,
        "coverage",
        "Coverage",
        wrong=[gap for gap in found.gaps if gap.kind not in HARMLESS],
        told=[gap for gap in found.gaps if gap.kind in HARMLESS],
        served=[
            (item, ", ".join(str(numbers[one.key]) for one in found.plan.serving(item.key)))
            for item in whole.requirements
            if item.key in found.plan.requirements
        ],
    )


def dispositions(whole: Review, book: Book) -> Section:
    """What became of each contradiction, and which of them wait."""
    found = whole.inspected
    if found is None and not book.dispositions:
        return _without("Dispositions")
    route = None if found is None else found.plan.route
    titles = {} if found is None else _titles(found)
    return piece(
        _FILE,
        "dispositions",
        "Dispositions",
        waiting=due(whole, book),
        made=[(item, _again(item, route), _lost(item, titles)) for item in book.dispositions],
        titles={item.key: item.title for item in whole.requirements},
    )


def _again(item: Disposition, route: Route | None) -> str:
    """The operations that run again, by their names where the route still has them."""
    steps: list[Operation | str] = [
        key if route is None else (route.find(key) or key) for key in item.operations
    ]
    return "; ".join(map(str, steps))


def _titles(found: Inspected) -> Mapping[str, str]:
    """What each piece of evidence is about, and of which part."""
    said: dict[str, list[str]] = {}
    for item in found.plan.characteristics:
        for one in found.findings[item.key]:
            said.setdefault(one.evidence, []).append(f"{item.title}, {one.applies_to}")
    return {key: "; ".join(dict.fromkeys(words)) for key, words in said.items()}


def _lost(item: Disposition, titles: Mapping[str, str]) -> str:
    """Which evidence it made stale; what was taken out of the record since has no title here."""
    return "; ".join(dict.fromkeys(titles[key] for key in item.stale if key in titles))


def drawing_callouts(whole: Review) -> Section:
    """What goes on the drawing, which requirements set it, and what happens if it is relaxed."""
    if whole.inspected is None:
        return _without("Drawing callouts")
    return piece(_FILE, "callouts", "Drawing callouts", items=callouts(whole))
