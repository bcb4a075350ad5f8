"""Which gear, load or heat nothing is entered for, though evidence names it and each one is inspected."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gearcheck.inspection.coverage import Gap, GapKind
from gearcheck.inspection.plan import InspectionPlan
from gearcheck.inspection.scopes import scopes
from gearcheck.requirements.types import Finding

_EACH = {"every gear": "serial number", "each load": "furnace load", "each heat": "heat"}
"""What the sample of a characteristic says, and of which kind every one that is named needs a result."""


def unseen(plan: InspectionPlan, findings: Mapping[str, tuple[Finding, ...]]) -> Iterator[Gap]:
    """Yield what is shown on one part and not on another that evidence names.

    Parameters
    ----------
    plan : InspectionPlan
        With the samples.
    findings : mapping of str to tuple of Finding
        By the key of the characteristic.

    Yields
    ------
    Gap
        Where a characteristic is inspected on each one, has a result of one, and none of another.
    """
    said = [scopes(one.applies_to) for found in findings.values() for one in found if not one.stale]
    of_gear: dict[str, dict[str, str]] = {}
    for parts in said:
        of_gear.setdefault(dict(parts).get("serial number", ""), {}).update(parts)
    for item in plan.characteristics:
        kind = next((kind for words, kind in _EACH.items() if item.sample.startswith(words)), "")
        current = [dict(scopes(one.applies_to)) for one in findings[item.key] if not one.stale]
        if not kind or not current:
            continue
        # a result of a gear is one of its load, where evidence says which load that is
        whole = [of_gear.get(parts.get("serial number", "none"), {}) | parts for parts in current]
        seen = {parts.get(kind, "") for parts in whole}
        named = dict.fromkeys(name for parts in said for what, name in parts if what == kind)
        missing = [name for name in named if name not in seen]
        if missing:
            text = f"{item.title}: {item.sample.partition(',')[0]}, and nothing is entered for {kind} "
            yield Gap(kind=GapKind.OTHER_PIECE, about=item.key, text=f"{text}{', '.join(missing)}.")
