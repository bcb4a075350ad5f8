"""A requirement and its two answers: the one by calculation and the one by evidence, never mixed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

AGAIN = "again (disposition"
"""What the reason says of evidence whose part was sent through operations again."""
CONFIRMED = "confirmed"
"""The status of values that someone of this site compared with the document."""


class Calculation(StrEnum):
    """What the calculation says."""

    MEETS = "meets"
    FAILS = "fails"
    NOT_ASSESSED = "not assessed"


class Evidence(StrEnum):
    """What the evidence says."""

    SHOWN = "shown"
    OPEN = "open"
    STALE = "stale"
    CONTRADICTED = "contradicted"
    NOT_NEEDED_YET = "not needed yet"


class Stage(StrEnum):
    """The stage of the review; only a release needs evidence."""

    CONCEPT = "concept"
    DETAIL = "detail"
    RELEASE = "release"


class Scale(StrEnum):
    """The scale on which a requirement can be compared with others."""

    TORQUE = "torque reserve"
    SHARE = "share of tolerance"
    WORDS = "words"


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One piece of evidence held against a requirement.

    Parameters
    ----------
    text : str
        A sentence with the measured value, the limit and the unit.
    source : str
        The file or entry it comes from.
    applies_to : str
        Design, heat, furnace load or serial number.
    by, date : str
        Who measured, and when.
    value, limit : float
        As measured, and what it is held against, in the requirement's unit.
    ok : bool
        Whether the value keeps the limit.
    stale : bool
        Whether the revision moved under it.
    why_stale : str
        What moved; empty where nothing did.
    within : bool
        Whether it neither shows nor contradicts: the value lies within its uncertainty of the limit, or
        it is known from one side only.
    one_sided : bool
        Whether what was looked for lies beyond the value, as where a traverse ends inside the case.
    is_deeper : bool
        Whether it is the end of such a traverse: the case is deeper than the value.
    uncertainty : float or None
        Expanded (k = 2), in the same unit; None where none is stated.
    characteristic : str
        The key of the characteristic that it is a result of.
    evidence : str
        The key of the piece of evidence.
    instrument, document : str
        With what it was measured, and the paper behind it.
    """

    text: str
    source: str
    applies_to: str
    by: str
    date: str
    value: float
    limit: float
    ok: bool
    stale: bool
    why_stale: str = ""
    within: bool = False
    uncertainty: float | None = None
    characteristic: str = ""
    evidence: str = ""
    instrument: str = ""
    document: str = ""
    one_sided: bool = False
    is_deeper: bool = False

    @property
    def waits_again(self) -> bool:
        """Whether its part was reworked: until that is measured again, no other part speaks for it."""
        return self.stale and AGAIN in self.why_stale

    @property
    def undecided(self) -> str:
        """Why it neither shows nor contradicts, in words; empty where it does one of both."""
        if not self.within:
            return ""
        return "known from one side only" if self.one_sided else "within its uncertainty of the limit"

    @property
    def contradicts(self) -> bool:
        """Whether it says that the limit is not kept, and still holds."""
        return not (self.ok or self.within or self.stale)


@dataclass(frozen=True, kw_only=True)
class Reserve:
    """The torque reserve: the factor on torque nearest to 1 at which the requirement turns.

    Parameters
    ----------
    factor : float or None
        The factor; None where none lies between 0.05 and 20.
    words : str
        ``over 20``, ``no torque fixes it``, ``no value beyond 1.45``, or empty where there
        is a factor.
    ends_at : float or None
        The torque factor from which on there is no value, where that keeps a turn from being seen.
    """

    factor: float | None
    words: str = ""
    ends_at: float | None = None


@dataclass(frozen=True, kw_only=True)
class Requirement:
    """One sentence that can be shown true: the capacity is not less than the demand.

    Parameters
    ----------
    key : str
        Stable name, unique in a review: ``root.wheel.gear``.
    station : str
        Where it is read: geometry, stress, case depth, accuracy.
    title : str
        Two to five words for the ladder: ``Root stress``.
    sentence : str
        The requirement in words.
    demand, capacity : float or None
        Both in `unit`; None where not assessed.
    demand_words, capacity_words : str
        What the two numbers are, with symbol.
    unit : str
        Their unit.
    native : str
        The margin in the trade's own measure: ``S_F = 1.62, at least 1.50``.
    cite : str
        The governing method as it is printed.
    method : str
        The key of the governing method.
    status : str
        The weakest status among the values it rests on.
    by_calculation : Calculation
        Meets, fails, or not assessed.
    reason : str
        Why it is not assessed; empty otherwise.
    scale : Scale
        How it is compared with others.
    reserve : Reserve or None
        On the torque scale only.
    share : float or None
        Demand over capacity, on the scale of shares only.
    kind_of_evidence : str
        What would show it.
    by_evidence : Evidence
        What the evidence says.
    findings : tuple of Finding
        The evidence held against it.
    beside : str
        What has to be read with the margin, in a few words; it ends `native` too.
    """

    key: str
    station: str
    title: str
    sentence: str
    demand: float | None
    capacity: float | None
    demand_words: str
    capacity_words: str
    unit: str
    native: str
    cite: str
    method: str
    status: str
    by_calculation: Calculation
    reason: str
    scale: Scale
    reserve: Reserve | None
    share: float | None
    kind_of_evidence: str
    by_evidence: Evidence
    findings: tuple[Finding, ...] = ()
    beside: str = ""

    @property
    def stopped(self) -> bool:
        """Whether a stop leaves it without an answer, not a section that is missing."""
        return bool(self.reason) and not self.reason.endswith(" missing")

    @property
    def troubled(self) -> bool:
        """Whether it fails by calculation, is not assessed, or is contradicted or stale by evidence."""
        return self.by_calculation is not Calculation.MEETS or self.by_evidence in (
            Evidence.CONTRADICTED,
            Evidence.STALE,
        )
