"""The inspection plan of a record with what the evidence says of each characteristic and each requirement."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.digits import decimals_text
from gearcheck.inspection.coverage import Gap, GapKind
from gearcheck.inspection.plan import Characteristic, InspectionPlan
from gearcheck.inspection.rules import plain_rules
from gearcheck.inspection.scopes import is_of_piece
from gearcheck.requirements.types import Evidence, Finding, Requirement, Stage
from gearcheck.review.evidence import left_of_result
from gearcheck.review.findings import finding, finding_in_words, window_text
from gearcheck.review.inputs import Record, ResultEvidence
from gearcheck.review.measured_stress import loose_stress
from gearcheck.review.pieces import unseen
from gearcheck.review.results import Chain, Held, Inspected, Line
from gearcheck.review.size import SIZE, thickness_words
from gearcheck.review.stations.inspection import gaps_of, is_of_plan, plan_of
from gearcheck.review.words import lower_first

_WORST = (Evidence.CONTRADICTED, Evidence.STALE, Evidence.OPEN, Evidence.NOT_NEEDED_YET, Evidence.SHOWN)


def answer_of(found: tuple[Finding, ...], stage: Stage) -> Evidence:
    """Return the answer by evidence: contradicted before stale, stale before open, open before shown.

    A stale finding neither shows nor contradicts: it was taken on another revision. A value within its
    uncertainty of the limit leaves the answer open. What was reworked stays stale until it is measured again,
    whatever other parts show.

    Parameters
    ----------
    found : tuple of Finding
        Of one characteristic, or of one requirement.
    stage : Stage
        Only a release needs evidence.

    Returns
    -------
    Evidence
        The answer.
    """
    if any(item.contradicts for item in found):
        return Evidence.CONTRADICTED
    current = [item for item in found if not item.stale]
    for item in found:
        if item.waits_again and not any(is_of_piece(one.applies_to, item.applies_to) for one in current):
            return Evidence.STALE
    if any(item.within for item in current):
        return Evidence.OPEN
    if current:
        return Evidence.SHOWN
    if found:
        return Evidence.STALE
    return Evidence.OPEN if stage is Stage.RELEASE else Evidence.NOT_NEEDED_YET


def inspected(
    record: Record,
    plan: InspectionPlan | None,
    lines: tuple[Line, ...],
    held: tuple[Held, ...],
    flaws: tuple[Gap, ...] = (),
) -> Inspected | None:
    """Hold all evidence of a record against its inspection plan.

    Parameters
    ----------
    record : Record
        With its evidence, without arrays.
    plan : InspectionPlan or None
        Its plan.
    lines : tuple of Line
        All requirements.
    held : tuple of Held
        All findings.
    flaws : tuple of Gap
        Flaws that grow and are not sure to be found; told where cracks are inspected for.

    Returns
    -------
    Inspected or None
        None where the gear file has no section [inspection].
    """
    if plan is None:
        return None
    found = {
        item.key: tuple(
            one.finding for one in held if one.characteristic == item.key and one.about in ("", item.key)
        )
        for item in plan.characteristics
    }
    return Inspected(
        plan=plan,
        findings=found,
        answers={key: answer_of(items, record.part.stage) for key, items in found.items()},
        gaps=(*_open_gaps(record, plan, lines), *unseen(plan, found), *_where_inspected(plan, flaws)),
        loose=tuple(_loose(record, plan, held)),
    )


def _where_inspected(plan: InspectionPlan, flaws: tuple[Gap, ...]) -> Iterator[Gap]:
    return (gap for gap in flaws if plan.find(gap.about) is not None)


def _open_gaps(record: Record, plan: InspectionPlan, lines: tuple[Line, ...]) -> Iterator[Gap]:
    """What is not assessed is told as such, not as a gap of the plan."""
    for one in () if record.inspection is None else record.inspection.strikes:
        if (item := plan.find(one.key)) is not None:
            text = f"{item.title} was struck by {one.by}, and stays: what was found contradicts its limit."
            yield Gap(kind=GapKind.STAYS, about=one.key, text=text)
    unknown = {line.key for line in lines if line.reason}
    for gap in gaps_of(plan, tuple((line.key, line.title) for line in lines)):
        if gap.kind is not GapKind.UNCOVERED or gap.about not in unknown:
            yield gap


def planned(
    record: Record, chain: Chain, requirements: tuple[str, ...], fed: tuple[Held, ...]
) -> tuple[InspectionPlan | None, tuple[Held, ...]]:
    """Return the inspection plan of a record and all findings; nothing that is struck hides a contradiction.

    Parameters
    ----------
    record : Record
        With its evidence, without arrays.
    chain : Chain
        Of it.
    requirements : tuple of str
        The keys of all requirements.
    fed : tuple of Held
        The findings of what feeds the calculation.

    Returns
    -------
    plan : InspectionPlan or None
        With what was struck, or has no operation in the route, and is contradicted by evidence.
    held : tuple of Held
        The findings given, and those of the results.
    """
    plan = plan_of(record, chain, requirements)
    found = (*fed, *of_results(record, chain, plan))
    if plan is None:
        return None, found
    there = {item.key for item in plan.characteristics}
    named = (*(one.characteristic for one in fed), *(one.characteristic for one in record.result))
    left_out = frozenset(named) - there
    if not left_out:
        return plan, found
    whole = (*fed, *of_results(record, chain, plan_of(record, chain, requirements, left_out)))
    wrong = (one.characteristic for one in whole if one.finding.contradicts)
    kept = left_out.intersection(wrong)
    if not kept:
        return plan, found
    plan = plan_of(record, chain, requirements, kept)
    return plan, (*fed, *of_results(record, chain, plan))


def of_results(record: Record, chain: Chain, plan: InspectionPlan | None) -> Iterator[Held]:
    """Yield what the results of a record say of the characteristics of its plan."""
    if plan is None:
        return
    by_key = {item.key: item for item in plan.characteristics}
    for result in record.result:
        item = by_key.get(result.characteristic)
        if item is None:
            continue
        found, value = _of_result(record, item, result), result.value
        needed = () if value is None else tuple(left_of_result(record, chain, item.key, result.head, value))
        # what its limit was drawn for is another limit, and another requirement
        yield Held(item.key, found, item.key if needed else "")
        yield from needed


def _of_result(record: Record, item: Characteristic, result: ResultEvidence) -> Finding:
    if item.wants_number and result.value is not None:
        unit = item.unit if item.unit != "1" else ""
        measured = decimals_text(result.value, item.digits, unit)
        beside = f" ({result.found.rstrip('.')})" if result.found else ""
        window = window_text(item.limit, item.digits, item.unit)
        asked = f"{window} asked" if item.limit.is_number else "and no limit is named to hold it against"
        thickness = thickness_words(record, result.value) if item.key == SIZE else ""
        text = f"{item.title}: {measured} measured{beside}{thickness}, {asked}."
        return finding(record, result.head, item.key, text, result.value, item.limit, unit)
    conforms = bool(result.conforms)
    said = "conforms" if conforms else "does not conform"
    text = f"{item.title}: {result.found.rstrip('.')}; {said} to: {item.limit.words.rstrip('.')}."
    return finding_in_words(record, result.head, item.key, text, conforms=conforms)


def _loose(record: Record, plan: InspectionPlan, held: tuple[Held, ...]) -> Iterator[str]:
    """Say which evidence nothing in the plan takes."""
    for result in record.result:
        if plan.find(result.characteristic) is None:
            yield f"{result.head.source}: the plan has no characteristic {result.characteristic}"
    yield from loose_stress(record)
    missing = dict.fromkeys(
        (one.finding.source, one.characteristic) for one in held if plan.find(one.characteristic) is None
    )
    for source, key in missing:
        yield f"{source}: the plan has no characteristic {key}"


def evidence_of(
    line: Line, held: tuple[Held, ...], plan: InspectionPlan | None, stage: Stage
) -> tuple[Evidence, tuple[Finding, ...], str]:
    """Return what the evidence says of a requirement: the worst of its characteristics.

    Parameters
    ----------
    line : Line
        The requirement.
    held : tuple of Held
        All findings.
    plan : InspectionPlan or None
        Without one, only what feeds the calculation is asked for.
    stage : Stage
        Of the review.

    Returns
    -------
    answer : Evidence
        The worst of its characteristics; open at release where it has none.
    findings : tuple of Finding
        All of them.
    kinds : str
        The kinds of evidence that would show it; empty where none is asked for.
    """
    key = line.key
    if is_of_plan(key):
        return Evidence.NOT_NEEDED_YET, (), ""
    kinds = dict(_kinds(key, plan, {one.characteristic for one in held}))
    found = {
        name: tuple(one.finding for one in held if one.characteristic == name and one.speaks_of(key))
        for name in kinds
    }
    answers = [answer_of(items, stage) for items in found.values()]
    if not answers:
        uncovered = plan is not None and stage is Stage.RELEASE
        missing = "a characteristic in the plan" if plan is not None else ""
        return (Evidence.OPEN if uncovered else Evidence.NOT_NEEDED_YET), (), missing
    findings = tuple(item for items in found.values() for item in items)
    said = line.evidence if plan is None else ", ".join(dict.fromkeys(kinds.values()))
    return min(answers, key=_WORST.index), findings, said


def _kinds(key: str, plan: InspectionPlan | None, measured: set[str]) -> Iterator[tuple[str, str]]:
    if plan is not None:
        yield from ((item.key, item.kind) for item in plan.serving(key))
        return
    for rule in plain_rules():
        # what is measured on request of the same parameter, such as its slope, counts beside its total
        if rule.key == key or (rule.on_request and rule.key in measured and key in rule.needs):
            yield rule.key, rule.kind


def waits_for(found: Inspected | None, item: Requirement) -> str:
    """Say what an open requirement waits for: what is not measured yet, and what a measurement left open.

    Parameters
    ----------
    found : Inspected or None
        The plan with what the evidence says; None without one.
    item : Requirement
        Open by evidence.

    Returns
    -------
    str
        In words, without a point.
    """
    current = [one for one in item.findings if one.within and not one.stale]
    said = [lower_first(one.text.rstrip(".")) for one in current]
    seen = {one.characteristic for one in item.findings}
    serving = () if found is None else found.plan.serving(item.key)
    missing = [lower_first(one.title) for one in serving if one.key not in seen]
    if not said and not missing:
        missing = [item.kind_of_evidence]
    return "; ".join((*said, *([f"needs evidence: {', '.join(missing)}"] if missing else [])))
