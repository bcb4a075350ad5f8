"""The decision rule: whether a measured value shows, with its uncertainty, that a limit is kept."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.tables import table
from gearcheck.requirements.compare import SLACK

DECISION = Method(
    key="iso14253_1.decision",
    title="Does a measured value show that a limit is kept?",
    source="ISO 14253-1",
    edition="2013 or 2017, as the gear file says",
    clause="decision rules for verifying conformity",
    status=Status.FROM_MEMORY,
    implements=(
        "conformity is shown inside the limits less a guard band, nonconformity outside the limits plus it",
        "2013: guard band = U, the expanded uncertainty with k = 2",
        "2017: guard band = 1.65 u = 0.825 U, for 95 % of conformance at one limit",
    ),
    leaves_out=("other agreed conformance probabilities", "two limits nearer to one another than four u"),
    departures=("A value without a stated uncertainty is compared as it is.",),
)


class DecisionRule(StrEnum):
    """The edition whose guard band counts."""

    WHOLE = "ISO 14253-1:2013"
    PROBABLE = "ISO 14253-1:2017"


class Decision(StrEnum):
    """What a measured value says of a limit."""

    CONFORMS = "conforms"
    DOES_NOT = "does not conform"
    WITHIN = "within the uncertainty"


@dataclass(frozen=True, kw_only=True)
class Limit:
    """What a characteristic has to keep: a least and a largest value, or words alone.

    Parameters
    ----------
    least, most : float or None
        In the unit of the characteristic; None where there is none.
    words : str
        What is accepted, for attributes; else where the limit comes from.
    """

    least: float | None = None
    most: float | None = None
    words: str = ""

    @property
    def is_number(self) -> bool:
        """Whether a number is held against it."""
        return self.least is not None or self.most is not None


def guard_band(uncertainty: float | None, rule: DecisionRule) -> float:
    """Return the guard band that a decision rule makes of an expanded uncertainty.

    Parameters
    ----------
    uncertainty : float or None
        Expanded uncertainty U (k = 2); None where none is stated: then it counts as 0.
    rule : DecisionRule
        The edition.

    Returns
    -------
    float
        In the unit of the uncertainty.

    Examples
    --------
    >>> guard_band(2.0, DecisionRule.WHOLE), guard_band(2.0, DecisionRule.PROBABLE)
    (2.0, 1.65)
    """
    return float(table("decision_rules").value(rule) * (uncertainty or 0.0))


def decision(value: float, limit: Limit, uncertainty: float | None, rule: DecisionRule) -> Decision:
    """Hold a measured value against a limit.

    Parameters
    ----------
    value : float
        As measured, in the unit of the limit.
    limit : Limit
        With a least value, a largest one, or both.
    uncertainty : float or None
        Expanded uncertainty U (k = 2) in the same unit; None where none is stated: then it counts as 0.
    rule : DecisionRule
        The edition.

    Returns
    -------
    Decision
        Of the limit that is kept worse. A value on the inner edge of a guard band shows conformity, one on
        the outer edge does not show nonconformity yet. Binary rounding does not count.

    Notes
    -----
    Source: ISO 14253-1, from memory.

    Checked: ISO14253-01 to ISO14253-04.

    Examples
    --------
    >>> least = Limit(least=1.60)
    >>> decision(1.63, least, 0.04, DecisionRule.WHOLE), decision(1.65, least, 0.04, DecisionRule.WHOLE)
    (<Decision.WITHIN: 'within the uncertainty'>, <Decision.CONFORMS: 'conforms'>)
    """
    guard = guard_band(uncertainty, rule)
    said = [
        _of_end(sign * (value - end), guard, SLACK * max(abs(value), abs(end)))
        for sign, end in ((1, limit.least), (-1, limit.most))
        if end is not None
    ]
    if Decision.DOES_NOT in said:
        return Decision.DOES_NOT
    return Decision.WITHIN if Decision.WITHIN in said or not said else Decision.CONFORMS


def _of_end(room: float, guard: float, slack: float) -> Decision:
    if room >= guard - slack:
        return Decision.CONFORMS
    return Decision.DOES_NOT if room < -guard - slack else Decision.WITHIN
