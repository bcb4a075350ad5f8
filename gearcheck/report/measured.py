"""What was measured of a characteristic: where a number is due, a number with its uncertainty, never OK."""

from __future__ import annotations

from gearcheck.basics.digits import NO_BREAK, decimals_text, number_text, with_unit
from gearcheck.inspection.plan import Characteristic
from gearcheck.requirements.compare import decimals_apart
from gearcheck.requirements.types import Finding
from gearcheck.review.findings import window_text
from gearcheck.review.inputs import Record
from gearcheck.review.results import Review

NO_RESULT = "no result yet"


def digits_of(item: Characteristic, findings: tuple[Finding, ...]) -> int:
    """Return how many decimals tell a value from a limit that it does not reach.

    Parameters
    ----------
    item : Characteristic
        As planned.
    findings : tuple of Finding
        Of it.

    Returns
    -------
    int
        Those of the characteristic, and up to four more.
    """
    ends = [end for end in (item.limit.least, item.limit.most) if end is not None]
    apart = (decimals_apart(one.value, end, item.digits) for one in findings for end in ends)
    return max(apart, default=item.digits)


def limit_text(item: Characteristic, digits: int) -> str:
    """Return what is asked of a characteristic: a window with its unit and source, or what is accepted."""
    if not item.wants_number:
        return item.limit.words
    source = f" ({item.limit.words})" if item.limit.words else ""
    return f"{window_text(item.limit, digits, item.unit)}{source}"


def results_text(whole: Review, item: Characteristic) -> str:
    """Return all results of a characteristic.

    Parameters
    ----------
    whole : Review
        With an inspection plan.
    item : Characteristic
        Of that plan.

    Returns
    -------
    str
        Those that hold; where none does, those that are stale, and said to be.
    """
    assert whole.inspected is not None
    findings = whole.inspected.findings[item.key]
    digits = digits_of(item, findings)
    current = [one for one in findings if not one.stale]
    if current:
        named = len(current) > 1
        return "; ".join(_result(whole.record, item, one, digits, named=named) for one in current)
    stale = (f"stale: {_value(whole.record, item, one, digits)}, {one.why_stale}" for one in findings)
    return "; ".join(("no result that holds", *stale)) if findings else NO_RESULT


def _result(record: Record, item: Characteristic, finding: Finding, digits: int, *, named: bool) -> str:
    value = _value(record, item, finding, digits)
    if not item.wants_number:
        said = f"{'conforms' if finding.ok else 'does not conform'}: {value}"
    elif finding.within:
        said = f"{value}, {finding.undecided}"
    else:
        said = value if finding.ok else f"{value}, does not conform"
    return f"{said} ({finding.applies_to})" if named else said


def _value(record: Record, item: Characteristic, finding: Finding, digits: int) -> str:
    if not item.wants_number:
        return _found(record, finding)
    unit = "" if item.unit == "1" else item.unit
    more = "more than " if finding.is_deeper else ""
    if finding.uncertainty is None:
        return f"{more}{decimals_text(finding.value, digits, unit)}, no uncertainty stated"
    sure = with_unit(_uncertainty(finding.uncertainty, digits), unit)
    return f"{more}{decimals_text(finding.value, digits)}{NO_BREAK}±{NO_BREAK}{sure}"


def _uncertainty(value: float, digits: int) -> str:
    """With the digits of what it stands beside, and more where it has more."""
    padded = decimals_text(value, digits)
    return padded if float(padded) == value else number_text(value)


def _found(record: Record, finding: Finding) -> str:
    """What was written of an attribute."""
    results = (one for one in record.result if one.head.key == finding.evidence)
    return next((one.found.strip().rstrip(".") for one in results), "")
