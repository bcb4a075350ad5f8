"""Which operation inspects what for which requirement, and what is left uncovered."""

from __future__ import annotations

from gearcheck.desk.panels.numbers import anchor, marked, whole
from gearcheck.desk.panels.route_line import place_of
from gearcheck.desk.words import answer, text, tone
from gearcheck.inspection.coverage import HARMLESS, Gap
from gearcheck.inspection.plan import Characteristic
from gearcheck.inspection.route import Operation
from gearcheck.requirements.types import Evidence, Requirement, Stage
from gearcheck.review.inspected import answer_of
from gearcheck.review.results import Inspected, Review

_MARKS = (
    Evidence.SHOWN,
    Evidence.OPEN,
    Evidence.STALE,
    Evidence.CONTRADICTED,
    Evidence.NOT_NEEDED_YET,
)

_ABREAST = 3  # marks beside one another in a cell


def gaps_html(found: Inspected) -> str:
    """Return what is not covered, not in time or in the wrong order, then what is only told."""
    wrong = [gap for gap in found.gaps if gap.kind not in HARMLESS]
    told = [gap for gap in found.gaps if gap.kind in HARMLESS]
    said = (
        f'<ul class="gc-list gc-blocks">{"".join(f"<li data-trouble>{_gap(gap)}</li>" for gap in wrong)}</ul>'
        if wrong
        else "<p>Every requirement that is assessed is inspected in time, and the operations stand in their "
        "order.</p>"
    )
    notes = [_gap(gap) for gap in told] + [f"Not taken by this plan: {text(one)}." for one in found.loose]
    more = "".join(f"<li>{one}</li>" for one in notes)
    return said + (f'<ul class="gc-list gc-told">{more}</ul>' if more else "")


def _gap(gap: Gap) -> str:
    source = f' <span class="gc-quiet">{whole(gap.source)}</span>' if gap.source else ""
    return f"{marked(gap.text)}{source}"


def matrix_html(shown: Review, found: Inspected) -> str:
    """Return the requirements by the operations that inspect something.

    Parameters
    ----------
    shown : Review
        Of the revision that holds.
    found : Inspected
        Its plan.

    Returns
    -------
    str
        A table; on a narrow page its rows stand under one another.
    """
    steps = [item for item in found.plan.route.operations if found.plan.at(item)]
    heads = "".join(f'<th scope="col"><span>{text(str(item))}</span></th>' for item in steps)
    rows = "".join(
        _row(place, item, steps, found, shown.record.part.stage)
        for place, item in enumerate(shown.requirements)
        if item.key in found.plan.requirements
    )
    key = " ".join(f'<span class="gc-whole">{answer(word)}</span>' for word in _MARKS)
    return (
        f'<p class="gc-key">Each mark: what one characteristic says of the requirement. {key}</p>'
        '<table class="gc-table gc-matrix"><thead><tr><th scope="col">Requirement</th>'
        f'{heads}<th scope="col">By evidence</th></tr></thead><tbody>{rows}</tbody></table>'
    )


def _row(place: int, item: Requirement, steps: list[Operation], found: Inspected, stage: Stage) -> str:
    serving = found.plan.serving(item.key)
    cells = "".join(f"<td>{_cell(item, serving, step, stage)}</td>" for step in steps)
    uncovered = not serving and not item.reason
    trouble = ' class="gc-uncovered"' if uncovered else ""
    last = "nothing inspected" if uncovered else answer(item.by_evidence if serving else item.by_calculation)
    return (
        f'<tr data-key="{text(item.key)}"{trouble}><th scope="row"><a href="review.ipynb#{anchor(place)}">'
        f"{text(item.title)}</a></th>{cells}<td>{last}</td></tr>"
    )


def _cell(need: Requirement, serving: tuple[Characteristic, ...], step: Operation, stage: Stage) -> str:
    marks = [_mark(need, item, step, stage) for item in serving if item.operation == step]
    return "<br>".join("".join(marks[start : start + _ABREAST]) for start in range(0, len(marks), _ABREAST))


def _mark(need: Requirement, item: Characteristic, step: Operation, stage: Stage) -> str:
    """What the evidence of a characteristic says of this requirement: its own limit may be another one."""
    word = answer_of(tuple(one for one in need.findings if one.characteristic == item.key), stage)
    said = f"{item.title}, at {step}: {word}"
    return (
        f'<a class="gc-mark" href="#{text(place_of(item.key))}" data-act="open:{text(item.key)}" '
        f'title="{text(said)}"><span class="gc-answer {text(tone(word))}">'
        f'<span class="gc-long">{text(word)}</span></span>'
        f'<span class="gc-long">{text(item.title)}, at {text(str(step))}</span></a>'
    )
