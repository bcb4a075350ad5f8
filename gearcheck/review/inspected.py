"""The inspection plan of a record with what the evidence says of each characteristic and each requirement."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gearcheck.basics.digits import decimals_text
from gearcheck.inspection.coverage import Gap, GapKind, gaps
from gearcheck.inspection.plan import Characteristic, InspectionPlan
from gearcheck.inspection.rules import plain_rules
from gearcheck.requirements.types import Evidence, Finding, Stage
from gearcheck.review.evidence import finding, why_stale, window_text
from gearcheck.review.inputs import Record, ResultEvidence
from gearcheck.review.results import Held, Inspected, Line
from gearcheck.review.stations.inspection import is_of_plan

_WORST = (Evidence.CONTRADICTED, Evidence.STALE, Evidence.OPEN, Evidence.NOT_NEEDED_YET, Evidence.SHOWN)


def answer_of(found: tuple[Finding, ...], stage: Stage, *, wanted: bool = True) -> Evidence:
    """Return the answer by evidence: contradicted before stale, stale before open, open before shown.

    A stale finding neither shows nor contradicts: it was taken on another revision. A value within its
    uncertainty of the limit leaves the answer open.

    Parameters
    ----------
    found : tuple of Finding
        Of one characteristic, or of one requirement.
    stage : Stage
        Only a release needs evidence.
    wanted : bool
        Whether evidence is asked for at all.

    Returns
    -------
    Evidence
        The answer.
    """
    if any(item.contradicts for item in found):
        return Evidence.CONTRADICTED
    current = [item for item in found if not item.stale]
    if any(item.within for item in current):
        return Evidence.OPEN
    if current:
        return Evidence.SHOWN
    if found:
        return Evidence.STALE
    return Evidence.OPEN if wanted and stage is Stage.RELEASE else Evidence.NOT_NEEDED_YET


def inspected(
    record: Record, plan: InspectionPlan | None, lines: tuple[Line, ...], held: tuple[Held, ...]
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
        gaps=tuple(_open_gaps(plan, lines)),
        loose=tuple(_loose(record, plan, held)),
    )


def _open_gaps(plan: InspectionPlan, lines: tuple[Line, ...]) -> Iterator[Gap]:
    """What is not assessed is told as such, not as a gap of the plan."""
    unknown = {line.key for line in lines if line.reason}
    for gap in gaps(plan, {line.key: line.title for line in lines}):
        if gap.kind is not GapKind.UNCOVERED or gap.about not in unknown:
            yield gap


def of_results(record: Record, plan: InspectionPlan | None) -> Iterator[Held]:
    """Yield what the results of a record say of the characteristics of its plan."""
    if plan is None:
        return
    for result in record.result:
        item = plan.find(result.characteristic)
        if item is not None:
            yield Held(item.key, _of_result(record, item, result))


def _of_result(record: Record, item: Characteristic, result: ResultEvidence) -> Finding:
    if item.wants_number and result.value is not None:
        unit = item.unit if item.unit != "1" else ""
        measured = decimals_text(result.value, item.digits, unit)
        text = f"{item.title}: {measured} measured, {window_text(item.limit, item.digits, item.unit)} asked."
        return finding(record, result.head, item.key, text, result.value, item.limit, unit)
    conforms = bool(result.conforms)
    said = "conforms" if conforms else "does not conform"
    head, why = result.head, why_stale(record, result.head)
    return Finding(
        text=f"{item.title}: {result.found.rstrip('.')}; {said} to: {item.limit.words.rstrip('.')}.",
        source=head.source,
        applies_to=head.applies_to,
        by=head.by,
        date=head.date,
        value=float(conforms),
        limit=1.0,
        ok=conforms,
        stale=bool(why),
        why_stale=why,
        characteristic=item.key,
        evidence=head.key,
        instrument=head.instrument,
        document=head.document,
    )


def _loose(record: Record, plan: InspectionPlan, held: tuple[Held, ...]) -> Iterator[str]:
    """Say which evidence nothing in the plan takes."""
    for result in record.result:
        if plan.find(result.characteristic) is None:
            yield f"{result.head.source}: the plan has no characteristic {result.characteristic}"
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
    kinds = dict(_kinds(key, plan))
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


def _kinds(key: str, plan: InspectionPlan | None) -> Iterator[tuple[str, str]]:
    if plan is not None:
        yield from ((item.key, item.kind) for item in plan.serving(key))
    else:
        yield from ((rule.key, rule.kind) for rule in plain_rules() if rule.key == key)


def characteristics_of(whole: Inspected | None, key: str) -> Mapping[str, Evidence]:
    """Return the answers of the characteristics that serve a requirement, by their titles."""
    if whole is None:
        return {}
    return {item.title: whole.answers[item.key] for item in whole.plan.serving(key)}
