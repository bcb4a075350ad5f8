"""Do the numbers come out the same? The review is worked out anew and held against what the report states."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from math import isclose
from typing import Any

from gearcheck.basics.errors import shown
from gearcheck.record.answers import Answer
from gearcheck.review.as_json import as_plain
from gearcheck.review.results import Review

RELATIVE = 1e-6
NEAR_ZERO = 1e-9
MOST = 20
_WELL = (
    "Worked out anew, every word comes out the same, and every number to a millionth of its value, "
    "or to 10⁻⁹ where it is nearly nothing."
)


def same_numbers(contents: Mapping[str, Any], whole: Review) -> Answer:
    """Compare what a report states with a review of the inputs that it carries.

    Parameters
    ----------
    contents : mapping
        What the report states: results, answers and versions.
    whole : Review
        Of the inputs that it carries, with what its history says of stale evidence and confirmed values.

    Returns
    -------
    Answer
        Words are compared to the letter, numbers to a millionth of their value.
    """
    now = json.loads(json.dumps(as_plain(whole)))
    stated = contents.get("results")
    if not isinstance(stated, dict):
        return Answer(ok=False, words=("It states no results.",))
    versions = _versions(stated.get("versions"), now.pop("versions"))
    before = {name: value for name, value in stated.items() if name != "versions"}
    found = [*differences(before, now), *differences(contents.get("answers"), answers_of(whole), "answers")]
    if not found:
        return Answer(ok=True, words=(_WELL, *versions))
    more = [f"{len(found) - MOST} more differ."] if len(found) > MOST else []
    return Answer(ok=False, words=(*found[:MOST], *more, *versions))


def answers_of(whole: Review) -> list[dict[str, str]]:
    """Return both answers of each requirement, as a report states them."""
    return [
        {"key": item.key, "calculation": str(item.by_calculation), "evidence": str(item.by_evidence)}
        for item in whole.requirements
    ]


def differences(before: Any, now: Any, place: str = "results") -> Iterator[str]:
    """Say where two reviews differ.

    Parameters
    ----------
    before, now : Any
        Plain data: as stated, and as worked out.
    place : str
        Where they stand.

    Yields
    ------
    str
        One sentence for each difference.

    Examples
    --------
    >>> list(differences({"a": 1.0, "b": "yes"}, {"a": 1.0 + 1e-9, "b": "no"}))
    ['results, b: yes as stated, no as worked out.']
    """
    if isinstance(before, dict) and isinstance(now, dict):
        for name in dict.fromkeys((*before, *now)):
            if name not in before or name not in now:
                yield f"{place}, {shown(name)}: {'not worked out' if name in before else 'not stated'}."
            else:
                yield from differences(before[name], now[name], f"{place}, {shown(name)}")
    elif isinstance(before, list) and isinstance(now, list):
        if len(before) != len(now):
            yield f"{place}: {len(before)} as stated, {len(now)} as worked out."
        for number, (old, new) in enumerate(zip(before, now, strict=False), start=1):
            yield from differences(old, new, f"{place}, {_name(new) or number}")
    elif not _alike(before, now):
        yield f"{place}: {_said(before)} as stated, {_said(now)} as worked out."


def _name(item: Any) -> str:
    if not isinstance(item, dict):
        return ""
    return next((shown(item[name]) for name in ("key", "title", "name") if item.get(name)), "")


def _said(value: Any) -> str:
    return f"{value:.9g}" if isinstance(value, float) else shown(value)


def _alike(before: Any, now: Any) -> bool:
    numbers = (int, float)
    if isinstance(before, bool) or isinstance(now, bool):
        return before is now
    if isinstance(before, numbers) and isinstance(now, numbers):
        return isclose(before, now, rel_tol=RELATIVE, abs_tol=NEAR_ZERO)
    return bool(before == now)


def _versions(before: Any, now: Mapping[str, str]) -> list[str]:
    if before == now:
        return []
    stated = (
        ", ".join(f"{shown(name)} {shown(text)}" for name, text in before.items())
        if isinstance(before, dict)
        else ""
    )
    here = ", ".join(f"{name} {text}" for name, text in now.items())
    return [f"It was worked out with {stated or 'versions that it does not state'}; here with {here}."]
