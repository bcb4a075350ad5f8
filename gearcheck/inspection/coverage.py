"""What a plan leaves uncovered or inspects at the wrong time, and what a route has in the wrong order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.tables import table
from gearcheck.hardening.tempering import BakeAgainstTemper, bake_against_temper
from gearcheck.inspection.plan import Characteristic, InspectionPlan
from gearcheck.inspection.route import Operation, Route
from gearcheck.inspection.rules import rule_of
from gearcheck.requirements.compare import SLACK


class GapKind(StrEnum):
    """What kind of gap a finding is about."""

    UNCOVERED = "a need that nothing inspects"
    NO_NEED = "a characteristic without a need"
    NO_LIMIT = "a characteristic without a limit"
    WIDER = "a limit wider than what is asked"
    OTHER_WORDS = "accepted by other words than what is asked"
    TAKEN_OFF = "taken off a need that it is inspected for"
    STAYS = "struck, and contradicted by evidence"
    OTHER_PIECE = "shown on one part, and not on another"
    NO_PLACE = "a characteristic without an operation"
    TOO_EARLY = "inspected before it can be seen"
    TOO_LATE = "inspected after the last moment"
    LOST_AFTER = "can be lost after it is inspected"
    ORDER = "operations in the wrong order"
    MISSING = "an operation that another one needs"
    TEMPERATURE = "tempers more than the temper"
    NOT_SEEN = "a flaw that grows and is not sure to be found"


@dataclass(frozen=True, kw_only=True)
class Gap:
    """One finding.

    Parameters
    ----------
    kind : GapKind
        Its kind.
    about : str
        The key of the requirement, the characteristic, or the operation.
    text : str
        One sentence with its reason.
    source : str
        The document or practice that the rule comes from; empty where it follows from the plan itself.
    """

    kind: GapKind
    about: str
    text: str
    source: str = ""


_ANY = "*"
HARMLESS = (
    GapKind.NO_NEED,
    GapKind.NO_LIMIT,
    GapKind.OTHER_WORDS,
    GapKind.OTHER_PIECE,
    GapKind.NOT_SEEN,
)
"""What is told, and holds nothing up: a drawing may ask for more than this review does."""


def gaps(plan: InspectionPlan, titles: dict[str, str] | None = None) -> tuple[Gap, ...]:
    """Return everything that is wrong with a plan.

    Parameters
    ----------
    plan : InspectionPlan
        As made.
    titles : dict of str to str, optional
        What to call the requirements, by key.

    Returns
    -------
    tuple of Gap
        Needs first, then characteristics in the order of the plan, then the route.
    """
    named = titles or {}
    return (
        *_uncovered(plan, named),
        *(found for item in plan.characteristics for found in _of_characteristic(plan, item)),
        *_unlimited(plan),
        *order_gaps(plan.route),
        *missing_operations(plan.route),
    )


def _uncovered(plan: InspectionPlan, titles: dict[str, str]) -> Iterator[Gap]:
    for key in plan.requirements:
        if plan.serving(key):
            continue
        text = f"Nothing is inspected for {titles.get(key, key)}: {_why_uncovered(plan, key)}."
        yield Gap(kind=GapKind.UNCOVERED, about=key, text=text)


def _why_uncovered(plan: InspectionPlan, key: str) -> str:
    struck = [item for item in plan.struck if key in item.needs]
    unlimited = [item.title for item in plan.unlimited if key in item.needs]
    if struck:
        told = (f"{item.title} was struck by {item.strike.by}: {item.strike.reason}" for item in struck)
        return "; ".join(one.rstrip(".") for one in told)
    if unlimited:
        return f"neither drawing nor material quality names a limit for {', '.join(unlimited)}"
    return "the route has no operation that can show it"


def _unlimited(plan: InspectionPlan) -> Iterator[Gap]:
    for item in plan.unlimited:
        text = f"{item.title} is not inspected: neither drawing nor material quality names a limit."
        yield Gap(kind=GapKind.NO_LIMIT, about="", text=text)


def _of_characteristic(plan: InspectionPlan, item: Characteristic) -> Iterator[Gap]:
    if not item.needs:
        text = f"{item.title} serves no requirement of this review; the drawing asks for it."
        yield Gap(kind=GapKind.NO_NEED, about=item.key, text=text)
    if not item.has_limit:
        text = f"{item.title} has no limit to hold a result against: the gear file has to name one."
        yield Gap(kind=GapKind.NO_LIMIT, about=item.key, text=text)
    yield from _other_limit(item)
    yield from _taken_off(plan, item)
    if item.operation is None:
        text = f"{item.title} stands at an operation that the route does not have."
        yield Gap(kind=GapKind.NO_PLACE, about=item.key, text=text)
        return
    yield from _of_place(plan.route, item)


def _taken_off(plan: InspectionPlan, item: Characteristic) -> Iterator[Gap]:
    """An edit may add needs to a characteristic; what it takes off does not go unseen."""
    rule = rule_of(item.key)
    if rule is None or item.edit is None:
        return
    gone = [key for key in plan.requirements if rule.serves(key) and key not in item.needs]
    if gone:
        text = f"{item.title} is no longer inspected for {', '.join(gone)}: {item.edit.reason.rstrip('.')}."
        yield Gap(kind=GapKind.TAKEN_OFF, about=item.key, text=text)


def _other_limit(item: Characteristic) -> Iterator[Gap]:
    """Nothing is loosened without being seen: what drawing or material quality ask stands beside it."""
    if item.asked is None or item.edit is None:
        return
    why = f"{item.edit.reason.rstrip('.')} ({item.edit.by})"
    if not item.wants_number:
        text = f'{item.title} is accepted by "{item.limit.words}" instead of "{item.asked.words}": {why}.'
        yield Gap(kind=GapKind.OTHER_WORDS, about=item.key, text=text)
        return
    ends = (
        ("at least", item.asked.least, item.limit.least, 1.0),
        ("at most", item.asked.most, item.limit.most, -1.0),
    )
    for words, asked, given, sign in ends:
        if asked is not None and given is not None and sign * (asked - given) > SLACK * abs(asked):
            where = f"where {asked:.4g} {item.unit} is asked ({item.asked.words})"
            text = f"{item.title}: {words} {given:.4g} {item.unit} in the gear file, {where}: {why}."
            yield Gap(kind=GapKind.WIDER, about=item.key, text=text)


def _of_place(route: Route, item: Characteristic) -> Iterator[Gap]:
    assert item.operation is not None
    place = route.operations.index(item.operation)
    if item.seen_from is not None and place < route.operations.index(item.seen_from):
        text = f"{item.title} is inspected at {item.operation}, but can be seen from {item.seen_from} on."
        yield Gap(kind=GapKind.TOO_EARLY, about=item.key, text=text)
    if item.before is not None and place >= route.operations.index(item.before):
        text = f"{item.title} is inspected at {item.operation}, but has to be seen before {item.before}."
        yield Gap(kind=GapKind.TOO_LATE, about=item.key, text=text)
    if item.lost_at is not None and place < route.operations.index(item.lost_at):
        text = (
            f"{item.title} is inspected at {item.operation}, but {item.lost_at} can still change or spoil it."
        )
        yield Gap(kind=GapKind.LOST_AFTER, about=item.key, text=text)


def order_gaps(route: Route) -> tuple[Gap, ...]:
    """Return what a route has in the wrong order, or tempers more than its temper.

    Parameters
    ----------
    route : Route
        The operations.

    Returns
    -------
    tuple of Gap
        In the order of the rules.
    """
    found: list[Gap] = []
    for row in table("order_rules").rows:
        first, source = route.find(row["first"]), row.get("source", "common practice")
        if first is None:
            continue
        if row.get("kind") == "cooler":
            for later in _to_stay_cool(route, first, row["later"]):
                if said := _out_tempered(first, later):
                    text = f"{said}: {row['why']}."
                    found.append(Gap(kind=GapKind.TEMPERATURE, about=later.key, text=text, source=source))
        elif (second := route.find(row["later"])) is not None and _is_after(route, first, second):
            text = f"{first} comes after {second}: {row['why']}."
            found.append(Gap(kind=GapKind.ORDER, about=first.key, text=text, source=source))
    return tuple(found)


def _is_after(route: Route, one: Operation, other: Operation) -> bool:
    return route.operations.index(one) > route.operations.index(other)


def _to_stay_cool(route: Route, first: Operation, key: str) -> tuple[Operation, ...]:
    """What must not temper more than the first operation: one that is named, or any other after it."""
    if key != _ANY:
        return tuple(one for one in route.operations if one.key == key)
    rows = table("order_rules").rows
    named = {row["later"] for row in rows if row.get("kind") == "cooler" and row["later"] != _ANY}
    return tuple(one for one in route.operations if _is_after(route, one, first) and one.key not in named)


def _out_tempered(first: Operation, later: Operation) -> str:
    """Say that an operation tempers more than the temper, and what it may cost; empty where it does not.

    Temperature and time count together; where one of the times is not said the temperatures alone.
    """
    if first.temperature_C is None or later.temperature_C is None:
        return ""
    if first.hours is None or later.hours is None:
        if later.temperature_C <= first.temperature_C:
            return ""
        both = f"{later} at {later.temperature_C:g} °C is hotter than {first} at {first.temperature_C:g} °C"
        return f"{both}, compared by temperature alone, for a time is not given"
    found = bake_against_temper(
        temper_temperature_C=first.temperature_C,
        temper_time_h=first.hours,
        bake_temperature_C=later.temperature_C,
        bake_time_h=later.hours,
    )
    if not found.bake_parameter > found.temper_parameter:
        return ""
    parameters = f"P = {found.bake_parameter:.0f} against {found.temper_parameter:.0f}"
    return f"{_hold(later)} tempers more than {_hold(first)}, {parameters}, {_cost(found)}"


def _hold(step: Operation) -> str:
    return f"{step} ({step.temperature_C:g} °C, {step.hours:g} h)"


def _cost(found: BakeAgainstTemper) -> str:
    if found.greatest_loss_HV is None:
        return "and softens the case by more than is known"
    return f"and may cost {found.least_loss_HV:.0f} to {found.greatest_loss_HV:.0f} HV"


def missing_operations(route: Route) -> tuple[Gap, ...]:
    """Return which operations a route lacks though others in it need them.

    Parameters
    ----------
    route : Route
        The operations.

    Returns
    -------
    tuple of Gap
        In the order of the rules.
    """
    found = []
    for row in table("route_needs").rows:
        first = route.find(row["first"])
        if first is not None and route.find(row["needs"]) is None:
            text = f"The route has {first}, and no operation '{row['needs']}': {row['why']}."
            source = row.get("source", "common practice")
            found.append(Gap(kind=GapKind.MISSING, about=first.key, text=text, source=source))
    return tuple(found)
