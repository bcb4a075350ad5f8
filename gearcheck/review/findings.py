"""A finding: what one piece of evidence says of one limit, in a sentence and by the decision rule."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from gearcheck.basics.digits import decimals_text
from gearcheck.inspection.decide import Decision, DecisionRule, Limit, decision
from gearcheck.inspection.plan import edited_limit
from gearcheck.inspection.rules import rule_of
from gearcheck.requirements.types import Finding
from gearcheck.review.evidence_inputs import EvidenceHead
from gearcheck.review.inputs import Record


class End(StrEnum):
    """What a traverse says of the depth where it does not come below the criterion."""

    CROSSES = "the depth is known"
    DEEPER = "the case is deeper than it reaches"
    SOFT = "its first indent is softer: no depth can be read"


def finding(
    record: Record,
    head: EvidenceHead,
    key: str,
    text: str,
    value: float,
    limit: Limit,
    unit: str,
    end: End = End.CROSSES,
    *,
    of_plan: bool = True,
) -> Finding:
    """Return what a measured value says of a limit, by the decision rule of the record.

    Parameters
    ----------
    record : Record
        With its drawing revision and its decision rule.
    head : EvidenceHead
        Of the evidence.
    key : str
        The characteristic.
    text : str
        The sentence, with a full stop; the uncertainty is added.
    value : float
        As measured.
    limit : Limit
        With at least one number, in the same unit.
    unit : str
        For the sentence.
    end : End
        Whether the value is the depth itself.
    of_plan : bool
        Whether it is the limit of the characteristic, which the gear file may name anew.

    Returns
    -------
    Finding
        With the nearer limit.
    """
    if of_plan and (named := named_anew(record, key, limit)) != limit:
        text = f"{text.rstrip('.')}, {window_text(named, _digits_of(key), unit)} asked by the gear file."
        limit = named
    said = _decided(record, head, value, limit, end)
    within = said is Decision.WITHIN
    if head.uncertainty is not None:
        sure = f"uncertainty {decimals_text(head.uncertainty, _digits(head.uncertainty), unit)}"
        near = within and end is End.CROSSES and limit.is_number
        text = f"{text.rstrip('.')}, {sure}{': within it of the limit' if near else ''}."
    return Finding(
        **_told_by(record, head, key),
        text=text,
        value=value,
        limit=_nearer(value, limit, head.uncertainty or 0.0),
        ok=said is Decision.CONFORMS,
        within=within,
        uncertainty=head.uncertainty,
        one_sided=end is not End.CROSSES,
        is_deeper=end is End.DEEPER,
    )


def finding_in_words(record: Record, head: EvidenceHead, key: str, text: str, *, conforms: bool) -> Finding:
    """Return what was found of an attribute; takes else what `finding` takes."""
    return Finding(**_told_by(record, head, key), text=text, value=float(conforms), limit=1.0, ok=conforms)


def _told_by(record: Record, head: EvidenceHead, key: str) -> dict[str, Any]:
    """What every finding says of the evidence that it comes from."""
    why = why_stale(record, head)
    return {
        "source": head.source,
        "applies_to": head.applies_to,
        "by": head.by,
        "date": head.date,
        "stale": bool(why),
        "why_stale": why,
        "characteristic": key,
        "evidence": head.key,
        "instrument": head.instrument,
        "document": head.document,
    }


def _decided(record: Record, head: EvidenceHead, value: float, limit: Limit, end: End) -> Decision:
    """What a value says; of a depth that is only known from one side, what that side can say."""
    rule = decision_rule_of(record)
    said = decision(value, limit, head.uncertainty, rule)
    if end is End.SOFT:  # no case at the surface keeps no least depth, and says nothing of a largest one
        return Decision.WITHIN if limit.least is None else said
    if end is End.DEEPER and limit.most is not None:
        passed = decision(value, Limit(most=limit.most), head.uncertainty, rule) is Decision.DOES_NOT
        return Decision.DOES_NOT if passed else Decision.WITHIN
    if end is End.DEEPER:
        return said if said is Decision.CONFORMS else Decision.WITHIN
    return said


def named_anew(record: Record, key: str, limit: Limit) -> Limit:
    """Return the limit of a characteristic as the gear file names it anew; as given where it does not."""
    edits = () if record.inspection is None else record.inspection.characteristics
    edit = next((one for one in edits if one.key == key), None)
    return limit if edit is None else edited_limit(limit, edit)


def _digits_of(key: str) -> int:
    rule = rule_of(key)
    return 3 if rule is None else rule.digits


def decision_rule_of(record: Record) -> DecisionRule:
    """Return the decision rule of a record; the stricter one where its gear file names none."""
    return DecisionRule.WHOLE if record.inspection is None else record.inspection.decision_rule


def why_stale(record: Record, head: EvidenceHead) -> str:
    """Say why a piece of evidence no longer holds; empty where it does."""
    return "taken on another revision" if head.revision != record.part.revision else head.stale


def _digits(value: float) -> int:
    """As many decimals as it was written with, at most six."""
    return next((digits for digits in range(6) if abs(round(value, digits) - value) < 1e-9), 6)


def _nearer(value: float, limit: Limit, spread: float) -> float:
    """The limit that is passed; of two that are kept the least value, unless the other one is close."""
    if limit.least is None or limit.most is None:
        return limit.most if limit.least is None else limit.least  # type: ignore[return-value]
    return limit.most if limit.most - value < min(spread, value - limit.least) else limit.least


def window_text(limit: Limit, digits: int, unit: str) -> str:
    """Say a limit: at least, at most, or both."""
    shown = unit if unit != "1" else ""
    least, most = (
        None if end is None else decimals_text(end, digits, shown) for end in (limit.least, limit.most)
    )
    if least is not None and most is not None:
        return f"{least} to {most}"
    if least is not None:
        return f"at least {least}"
    return f"at most {most}" if most is not None else limit.words
