"""The inspection plan: each requirement becomes characteristics at the operations of a route."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from gearcheck.basics.methods import Status
from gearcheck.inspection.decide import Limit
from gearcheck.inspection.route import Operation, Route
from gearcheck.inspection.rules import Rule, rules

DRAWING = "inspection.drawing"
"""The requirement that a characteristic serves which only the drawing asks for."""


@dataclass(frozen=True, kw_only=True)
class CharacteristicEdit:
    """What a gear file adds to the plan or changes in it; what is None stays as the rule has it.

    `operation` is the key of an operation, `needs` keys of requirements; `reason` and `by` say why and who.
    """

    key: str
    reason: str
    by: str
    title: str | None = None
    operation: str | None = None
    needs: tuple[str, ...] | None = None
    place: str | None = None
    unit: str | None = None
    least: float | None = None
    most: float | None = None
    accept: str | None = None
    method: str | None = None
    sample: str | None = None
    document: str | None = None


@dataclass(frozen=True, kw_only=True)
class Strike:
    """A characteristic that is not inspected, why, and who said so."""

    key: str
    reason: str
    by: str


@dataclass(frozen=True, kw_only=True)
class Characteristic:
    """One thing that is inspected.

    Parameters
    ----------
    key, title, kind : str
        Its name, in the trade's words, and the kind of evidence that it takes.
    needs : tuple of str
        Keys of the requirements that it serves; none for one of the drawing alone.
    looks_at : str
        The property that later operations can change; empty where they are another characteristic.
    operation : Operation or None
        Where it is planned; None where the route has no such operation.
    seen_from : Operation or None
        The earliest at which it can be seen.
    before : Operation or None
        The one before which it has to be inspected; None where it stays visible.
    lost_at : Operation or None
        The last that can still change or spoil it.
    place, unit, method, finds, uncertainty, sample, document : str
        As in Rule.
    digits : int
        Decimals shown.
    limit : Limit
        What it has to keep.
    status : Status
        How well method and document are known.
    rests : tuple of str
        As in Rule.
    edit : CharacteristicEdit or None
        What the gear file added or changed, with its reason.
    asked : Limit or None
        What drawing or material quality say where the edit names another limit; None where it does not.
    """

    key: str
    title: str
    kind: str
    needs: tuple[str, ...]
    looks_at: str
    operation: Operation | None
    seen_from: Operation | None
    before: Operation | None
    lost_at: Operation | None
    place: str
    unit: str
    digits: int
    limit: Limit
    method: str
    finds: str
    uncertainty: str
    sample: str
    document: str
    status: Status
    rests: tuple[str, ...]
    edit: CharacteristicEdit | None = None
    asked: Limit | None = None

    @property
    def wants_number(self) -> bool:
        """Whether its result is a number with a unit, not words."""
        return bool(self.unit)

    @property
    def has_limit(self) -> bool:
        """Whether there is something to hold a result against."""
        return self.limit.is_number if self.wants_number else bool(self.limit.words)


@dataclass(frozen=True, kw_only=True)
class Struck:
    """A characteristic that was taken out, with the requirements that it would have served."""

    title: str
    needs: tuple[str, ...]
    strike: Strike


@dataclass(frozen=True, kw_only=True)
class Unlimited:
    """A characteristic that nothing names a limit for, with the requirements that it would serve."""

    title: str
    needs: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class InspectionPlan:
    """What is inspected where.

    Parameters
    ----------
    route : Route
        The operations.
    requirements : tuple of str
        The keys of what it was made for.
    characteristics : tuple of Characteristic
        In the order of the route; those without a place in it last.
    struck : tuple of Struck
        Those taken out.
    unlimited : tuple of Unlimited
        What a rule would inspect, and nothing names a limit for.
    """

    route: Route
    requirements: tuple[str, ...]
    characteristics: tuple[Characteristic, ...]
    struck: tuple[Struck, ...]
    unlimited: tuple[Unlimited, ...] = ()

    def serving(self, requirement: str) -> tuple[Characteristic, ...]:
        """Return what is inspected for a requirement."""
        return tuple(item for item in self.characteristics if requirement in item.needs)

    def at(self, operation: Operation) -> tuple[Characteristic, ...]:
        """Return what is inspected at an operation."""
        return tuple(item for item in self.characteristics if item.operation == operation)

    def find(self, key: str) -> Characteristic | None:
        """Return the characteristic of a key; None where the plan has none."""
        return next((item for item in self.characteristics if item.key == key), None)


def inspection_plan(
    route: Route,
    requirements: tuple[str, ...],
    limits: Mapping[str, Limit],
    *,
    edits: tuple[CharacteristicEdit, ...] = (),
    strikes: tuple[Strike, ...] = (),
    kept: frozenset[str] = frozenset(),
    measured: frozenset[str] = frozenset(),
) -> InspectionPlan:
    """Make the plan of a route for a set of requirements.

    Parameters
    ----------
    route : Route
        The operations.
    requirements : tuple of str
        Their keys.
    limits : mapping of str to Limit
        What drawing and material quality say, by the key of the characteristic.
    edits : tuple of CharacteristicEdit
        What is added or changed.
    strikes : tuple of Strike
        What is taken out.
    kept : frozenset of str
        Keys of what stays, whatever was struck or has no operation: evidence of it contradicts its limit.
    measured : frozenset of str
        Keys of what there is evidence of: a rule that holds on request alone is followed for it.

    Returns
    -------
    InspectionPlan
        A rule is followed where it serves one of the requirements, has a limit, and the route has an
        operation to inspect at; what stays uncovered then is reported by `coverage.gaps`.
    """
    struck_keys = {item.key: item for item in strikes if item.key not in kept}
    edit_of = {item.key: item for item in edits}
    served = _served(requirements)
    found, struck, unlimited = [], [], []
    for rule in rules():
        needs = served[rule.key]
        edit = edit_of.pop(rule.key, None)
        moved = edit is not None and edit.operation is not None
        asked = not rule.on_request or edit is not None or rule.key in measured
        if not (needs and asked) or not (moved or route.preferred(rule.at) or rule.key in kept):
            continue
        if rule.key in struck_keys:
            struck.append(Struck(title=rule.title, needs=needs, strike=struck_keys[rule.key]))
            continue
        item = _characteristic(rule, route, needs, limits.get(rule.key, rule.limit))
        if edit is not None:
            item = _edited(item, edit, route, requirements, limits.get(rule.key))
        if item.has_limit:
            found.append(item)
        else:
            unlimited.append(Unlimited(title=item.title, needs=item.needs))
    for edit in edit_of.values():
        if edit.title is None:  # another limit of a rule that is not followed here
            continue
        item = _edited(_of_drawing(edit), edit, route, requirements)
        if not item.needs and DRAWING in requirements:
            item = replace(item, needs=(DRAWING,))
        if edit.key in struck_keys:
            struck.append(Struck(title=item.title, needs=item.needs, strike=struck_keys[edit.key]))
        else:
            found.append(item)
    last = len(route.operations)
    found.sort(key=lambda item: last if item.operation is None else route.operations.index(item.operation))
    return InspectionPlan(
        route=route,
        requirements=requirements,
        characteristics=tuple(found),
        struck=tuple(struck),
        unlimited=tuple(unlimited),
    )


@lru_cache(maxsize=64)
def _served(requirements: tuple[str, ...]) -> Mapping[str, tuple[str, ...]]:
    """The requirements that each rule serves: they seldom change, and the plan is made anew at each move."""
    return {rule.key: tuple(key for key in requirements if rule.serves(key)) for rule in rules()}


def _characteristic(rule: Rule, route: Route, needs: tuple[str, ...], limit: Limit) -> Characteristic:
    return Characteristic(
        key=rule.key,
        title=rule.title,
        kind=rule.kind,
        needs=needs,
        looks_at=rule.looks_at,
        operation=route.preferred(rule.at),
        seen_from=route.first(rule.seen_from),
        before=route.first(rule.before),
        lost_at=_last_loser(route, rule.looks_at),
        place=rule.place,
        unit=rule.unit,
        digits=rule.digits,
        limit=limit,
        method=rule.method,
        finds=rule.finds,
        uncertainty=rule.uncertainty,
        sample=rule.sample,
        document=rule.document,
        status=rule.status,
        rests=rule.rests,
    )


def edited_limit(limit: Limit, edit: CharacteristicEdit) -> Limit:
    """Return a limit as an edit names it anew; of two ends the one that it does not name stays."""
    if edit.least is None and edit.most is None and edit.accept is None:
        return limit
    return Limit(
        least=limit.least if edit.least is None else edit.least,
        most=limit.most if edit.most is None else edit.most,
        words=edit.accept or "as the gear file says",
    )


def _last_loser(route: Route, what: str) -> Operation | None:
    losers = [item for item in route.operations if what in (*item.changes, *item.spoils)]
    return losers[-1] if losers else None


def _of_drawing(edit: CharacteristicEdit) -> Characteristic:
    """A characteristic that no rule knows: all it is stands in the gear file."""
    return Characteristic(
        key=edit.key,
        title=edit.title or edit.key,
        kind="characteristic of the drawing",
        needs=(),
        looks_at="",
        operation=None,
        seen_from=None,
        before=None,
        lost_at=None,
        place="",
        unit="",
        digits=3,
        limit=Limit(),
        method="",
        finds="",
        uncertainty="",
        sample="",
        document="drawing",
        status=Status.COMMON_PRACTICE,
        rests=("teeth", "steel", "treated", "ground"),
    )


def _edited(
    item: Characteristic,
    edit: CharacteristicEdit,
    route: Route,
    requirements: tuple[str, ...],
    asked: Limit | None = None,
) -> Characteristic:
    names = ("title", "place", "unit", "method", "sample", "document")
    given = {name: value for name in names if (value := getattr(edit, name)) is not None}
    if (limit := edited_limit(item.limit, edit)) != item.limit:
        given |= {"limit": limit, "asked": asked}
    if edit.operation is not None:
        given["operation"] = route.find(edit.operation)
    if edit.needs is not None:
        given["needs"] = tuple(key for key in requirements if key in edit.needs)
    return replace(item, **given, edit=edit)
