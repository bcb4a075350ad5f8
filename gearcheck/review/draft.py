"""A draft: the inputs that a what-if moves, as they stand in the address of the page."""

from __future__ import annotations

import math
from collections.abc import Mapping
from urllib.parse import parse_qsl, urlencode

from gearcheck.basics.errors import Faults
from gearcheck.review.change import Change
from gearcheck.review.changes import changed, open_changes
from gearcheck.review.inputs import Record


def draft_from_query(query: str, record: Record) -> tuple[dict[str, float], tuple[str, ...]]:
    """Read a draft from the query of an address; what cannot be used is said, not guessed.

    Parameters
    ----------
    query : str
        Such as ``torque=980&class=7``; names that are no change are left to others.
    record : Record
        The record that the draft changes.

    Returns
    -------
    draft : dict of str to float
        The values that differ from the record.
    refused : tuple of str
        A sentence for each value that was not taken.
    """
    draft, faults = {}, Faults()
    given = dict(parse_qsl(query, max_num_fields=50)) if len(query) < 2000 else {}
    for change in open_changes(record):
        if change.key not in given:
            continue
        low, high = change.bounds(record)
        value = _at_its_end(_number(given[change.key]), low, high, change)
        if value is None or not low <= value <= high or (change.whole and value != round(value)):
            kind = "a whole number" if change.whole else "a number"
            needed = f"{kind} from {low:.{change.digits}f} to {high:.{change.digits}f} {change.unit}"
            faults.add(change.label, given[change.key], needed.rstrip())
        elif differs(change, record, value):
            draft[change.key] = value
    return draft, tuple(str(fault) for fault in faults.found)


def draft_to_query(draft: Mapping[str, float]) -> str:
    """Write a draft as the query of an address."""
    return urlencode({key: f"{value:.10g}" for key, value in draft.items()})


def differs(change: Change, record: Record, value: float) -> bool:
    """Whether a value is another than the record's, at the digits shown."""
    before = float(change.read(record))
    return value != before and abs(value - before) >= 0.4 * 10.0**-change.digits


def draft_words(draft: Mapping[str, float], record: Record) -> str:
    """Say a draft in words: ``torque 850 to 901 N·m, accuracy class 6 to 7``.

    Of an input that another one of the draft moves too, such as the time of all steps of the furnace where
    that of one of them is drafted as well, the words give the value that is reckoned with.
    """
    said, drafted = [], changed(record, draft)
    for change in open_changes(record):
        if change.key in draft:
            before, after = float(change.read(record)), _reckoned(change, drafted, draft[change.key])
            values = f"{before:.{change.digits}f} to {after:.{change.digits}f} {change.unit}"
            said.append(f"{change.label.lower()} {values}".rstrip())
    return ", ".join(said)


def _reckoned(change: Change, drafted: Record, asked: float) -> float:
    found = change.read(drafted)
    return asked if found is None else float(found)


def _at_its_end(value: float | None, low: float, high: float, change: Change) -> float | None:
    """A value that lies beyond an end by rounding alone is that end."""
    if value is None or change.whole:
        return value
    end = min(max(value, low), high)
    return end if abs(value - end) <= 0.5 * 10.0**-change.digits else value


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
