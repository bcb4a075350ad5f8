"""How a requirement stood when a departure from it was conceded, and whether it still stands so."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from gearcheck.record.book import Book, Concession
from gearcheck.requirements.types import Requirement
from gearcheck.review.results import Review

_NUMBERS = ("demand", "capacity")
_SAME = 1e-9


class State(StrEnum):
    """What has become of a concession."""

    HOLDS = "holds"
    STALE = "stale"
    WITHDRAWN = "withdrawn"


def standing(item: Requirement) -> dict[str, Any]:
    """Return how a requirement stands, as plain JSON.

    Parameters
    ----------
    item : Requirement
        As judged.

    Returns
    -------
    dict
        Both answers, both numbers, the margin in words, and what the evidence says.
    """
    return {
        "by_calculation": str(item.by_calculation),
        "by_evidence": str(item.by_evidence),
        "demand": None if item.demand is None else float(item.demand),
        "capacity": None if item.capacity is None else float(item.capacity),
        "unit": item.unit,
        "native": item.native or item.reason,
        "findings": [f"{one.text} {one.why_stale}".strip() for one in item.findings],
        "found_on": [one.applies_to for one in item.findings],
    }


def concession_of(item: Requirement, *, reason: str, limit: str) -> dict[str, Any]:
    """Return what an entry holds that concedes a departure from a requirement, as it stands now."""
    return {
        "about": item.key,
        "reason": reason,
        "limit": limit,
        "title": item.title,
        "standing": standing(item),
    }


def why_moved(concession: Concession, whole: Review) -> str:
    """Say why a concession no longer fits its requirement; empty where it does.

    Parameters
    ----------
    concession : Concession
        As it was written.
    whole : Review
        Of the revision that holds.

    Returns
    -------
    str
        How it stood, and how it stands now.
    """
    item = next((one for one in whole.requirements if one.key == concession.about), None)
    if item is None:
        return f"{concession.title} is no longer required"
    then, now = concession.standing, standing(item)
    for name in ("by_calculation", "by_evidence"):
        if then.get(name) != now[name]:
            answer = name.replace("_", " ")
            return f"{concession.title} stood at '{then.get(name)}' {answer}; it is now '{now[name]}'"
    is_unknown = now["demand"] is None  # then it is the reason that says how it stands
    if is_unknown and then.get("native") != now["native"]:
        return f"{concession.title} stood at: {then.get('native')}; it is now: {now['native']}"
    if any(not _alike(then.get(name), now[name]) for name in _NUMBERS) or then.get("unit") != now["unit"]:
        was, is_now = then.get("native"), now["native"]
        words = f"{was}; it is now {is_now}" if was != is_now else f"{was}, and moved in the digits not shown"
        return f"{concession.title} stood at {words}"
    if then.get("findings") != now["findings"] or then.get("found_on", now["found_on"]) != now["found_on"]:
        return f"the evidence of {concession.title} changed"
    return ""


def state_of(concession: Concession, whole: Review) -> State:
    """Return what has become of a concession.

    Parameters
    ----------
    concession : Concession
        As it was written.
    whole : Review
        Of the revision that holds.

    Returns
    -------
    State
        It holds, or is stale since its requirement moved, or was withdrawn.
    """
    if concession.withdrawn is not None:
        return State.WITHDRAWN
    return State.STALE if why_moved(concession, whole) else State.HOLDS


def departure(concession: Concession) -> str:
    """Say what a concession departs from, as its requirement stood.

    Parameters
    ----------
    concession : Concession
        As it was written.

    Returns
    -------
    str
        Its margin; what was measured, where the trouble is by evidence.
    """
    then = concession.standing
    by_evidence = str(then.get("by_evidence", ""))
    measured = " ".join(str(one) for one in then.get("findings", ()))
    if then.get("by_calculation") == "meets" and measured:
        return f"{by_evidence} by evidence: {measured}"
    if then.get("by_calculation") == "meets":
        return f"{by_evidence} by evidence"
    return f"{then.get('by_calculation')} by calculation: {then.get('native')}"


def conceded(whole: Review, book: Book) -> frozenset[str]:
    """Return the keys of the requirements from which a departure is conceded, by a concession that holds.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    book : Book
        Of the record.

    Returns
    -------
    frozenset of str
        Of requirements.
    """
    return frozenset(conceded_by(whole, book))


def conceded_by(whole: Review, book: Book) -> Mapping[str, tuple[int, ...]]:
    """Return the numbers of the concessions that hold, by the keys of the requirements that they lift."""
    found: dict[str, tuple[int, ...]] = {}
    for item in book.concessions:
        if state_of(item, whole) is State.HOLDS:
            found[item.about] = (*found.get(item.about, ()), item.number)
    return found


def _alike(then: Any, now: float | None) -> bool:
    if not isinstance(then, int | float) or now is None:
        return then is None and now is None
    return abs(then - now) <= _SAME * max(abs(then), abs(now))


def plain_concession(item: Concession, whole: Review) -> Mapping[str, str]:
    """Return a concession in words, for a list: what, how far, why, who, and what has become of it."""
    state = state_of(item, whole)
    why = {State.STALE: why_moved(item, whole), State.WITHDRAWN: item.why_withdrawn, State.HOLDS: ""}
    return {
        "title": item.title,
        "limit": item.limit,
        "reason": item.reason,
        "by": str(item.by),
        "departure": departure(item),
        "state": str(state),
        "why": why[state],
    }
