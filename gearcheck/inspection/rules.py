"""The rules by which requirements become characteristics: rows of a table, not a list kept by hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from typing import Any

from gearcheck.basics.methods import Status
from gearcheck.basics.tables import table
from gearcheck.inspection.decide import Limit

_FLANK = "{flank}"


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One characteristic as the table describes it.

    Parameters
    ----------
    key, title, kind : str
        Its name, in the trade's words, and the kind of evidence that it takes.
    needs : tuple of str
        Patterns of the keys of the requirements that it serves.
    looks_at : str
        The property that an operation can change; one that changes or spoils it can lose what was inspected.
    place : str
        Where on the gear.
    unit : str
        Of the number that is due; empty where words are.
    digits : int
        Decimals shown.
    limit : Limit
        What the table itself says; empty where the drawing or the material quality does.
    seen_from, before, at : tuple of str
        Keys of operations: from which on it can be seen, before which it has to be, and where it is planned.
    method, finds, uncertainty, sample, document : str
        How it is inspected, what that can and cannot find, how sure it is, how many, and by which document.
    status : Status
        How well that is known.
    rests : tuple of str
        What the measured part is made to: ``teeth``, ``steel``, ``treated``, ``ground``, ``masked``,
        ``modified``; and by what a size is taken: ``measure``.
    plain : bool
        Whether it is asked for without a route too, since the calculation is fed by it.
    on_request : bool
        Whether it is inspected only where the gear file asks for it, or evidence of it is there.
    """

    key: str
    title: str
    kind: str
    needs: tuple[str, ...]
    looks_at: str
    place: str
    unit: str
    digits: int
    limit: Limit
    seen_from: tuple[str, ...]
    before: tuple[str, ...]
    at: tuple[str, ...]
    method: str
    finds: str
    uncertainty: str
    sample: str
    document: str
    status: Status
    rests: tuple[str, ...]
    plain: bool
    on_request: bool

    def serves(self, requirement: str) -> bool:
        """Whether it is inspected for the requirement of a key."""
        return any(fnmatchcase(requirement, pattern) for pattern in self.needs)


@cache
def rules() -> tuple[Rule, ...]:
    """Return every rule; a row with ``{flank}`` is one for each flank.

    Returns
    -------
    tuple of Rule
        In the order of the table.

    Examples
    --------
    >>> next(item.title for item in rules() if item.key == "ground_off.right")
    'Stock ground off, right flank'
    """
    return tuple(_rule(row) for row in _rows())


def rule_of(key: str) -> Rule | None:
    """Return the rule of a characteristic; None where it is one of the drawing only."""
    return next((item for item in rules() if item.key == key), None)


def plain_rules() -> tuple[Rule, ...]:
    """Return the rules that hold without a route: those whose measurements feed the calculation."""
    return tuple(item for item in rules() if item.plain)


def _rows() -> Iterator[Mapping[str, Any]]:
    for row in table("characteristics").rows:
        if _FLANK not in row["name"]:
            yield row
            continue
        for flank in ("left", "right"):
            yield {name: _on(value, flank) for name, value in row.items()}


def _on(value: Any, flank: str) -> Any:
    if isinstance(value, list):
        return [_on(item, flank) for item in value]
    is_text = isinstance(value, str) and not isinstance(value, Status)
    return value.replace(_FLANK, flank) if is_text else value


def _rule(row: Mapping[str, Any]) -> Rule:
    return Rule(
        key=row["name"],
        title=row["title"],
        kind=row["kind"],
        needs=tuple(row["needs"]),
        looks_at=row["looks_at"],
        place=row["place"],
        unit=row.get("unit", ""),
        digits=row.get("digits", 0),
        limit=Limit(least=row.get("least"), most=row.get("most"), words=row.get("accept", "")),
        seen_from=tuple(row["seen_from"]),
        before=tuple(row["before"]),
        at=tuple(row["at"]),
        method=row["method"],
        finds=row["finds"],
        uncertainty=row["uncertainty"],
        sample=row["sample"],
        document=row["document"],
        status=row["status"],
        rests=tuple(row["rests"]),
        plain=row.get("plain", False),
        on_request=row.get("on_request", False),
    )
