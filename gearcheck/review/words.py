"""The phrases that every print of a review shares: both answers, the share of a limit, the reserve."""

from __future__ import annotations

from gearcheck.basics.digits import decimals_text
from gearcheck.requirements.types import Requirement, Reserve

_RANKS = {"no torque fixes it": 0.0, "over 20": 99.0}
_OF_A_TOLERANCE = ("case.left.", "case.most.", "accuracy.")


def evidence_word(item: Requirement) -> str:
    """Return the answer by evidence; empty where none is ever asked for, since other requirements carry it.

    Parameters
    ----------
    item : Requirement
        Any.

    Returns
    -------
    str
        ``open``, ``not needed yet`` and so on.
    """
    return str(item.by_evidence) if item.kind_of_evidence or item.findings else ""


def answers_text(item: Requirement) -> str:
    """Return both answers in a phrase: ``meets by calculation, open by evidence``."""
    shown = evidence_word(item)
    return f"{item.by_calculation} by calculation" + (f", {shown} by evidence" if shown else "")


def share_text(item: Requirement) -> str:
    """Return how much of its tolerance, or of another limit, a requirement uses; empty off that scale.

    Parameters
    ----------
    item : Requirement
        Any.

    Returns
    -------
    str
        ``82% of the limit used``.
    """
    if item.share is None:
        return ""
    of = "tolerance" if item.key.startswith(_OF_A_TOLERANCE) else "limit"
    return f"{decimals_text(100 * item.share, 0, '%')} of the {of} used"


def reserve_rank(reserve: Reserve | None) -> float | None:
    """Return what sorts torque reserves, worst first: where no torque fixes it, nothing is worse."""
    if reserve is None:
        return None
    if reserve.factor is not None:
        return reserve.factor
    return reserve.ends_at if reserve.ends_at is not None else _RANKS.get(reserve.words)


def reserve_text(reserve: Reserve | None) -> str:
    """Return a torque reserve as text: the factor, or why there is none."""
    if reserve is None:
        return ""
    return reserve.words if reserve.factor is None else decimals_text(reserve.factor, 2)


def lower_first(words: str) -> str:
    """Return a title for the middle of a sentence."""
    return words[:1].lower() + words[1:]
