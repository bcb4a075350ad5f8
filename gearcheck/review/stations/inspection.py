"""Inspection: the metal is what the strength values rest on, and every requirement is inspected in time."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from gearcheck.basics.digits import decimals_text
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import array
from gearcheck.inspection.acceptance import ITEMS, METALLURGY, Allowed, by_case_depth
from gearcheck.inspection.coverage import HARMLESS, Gap, GapKind, gaps
from gearcheck.inspection.decide import Limit
from gearcheck.inspection.plan import DRAWING, InspectionPlan, inspection_plan
from gearcheck.inspection.route import Operation, Route, route
from gearcheck.inspection.rules import rule_of
from gearcheck.requirements.types import Scale, Stage
from gearcheck.review.inputs import NO_CASE, NO_STEEL, Inspection, Record
from gearcheck.review.limits import accepted, asked, limits_of
from gearcheck.review.measured_stress import measured_characteristics
from gearcheck.review.results import Chain, Line

NAME = "inspection"

PLAN = Method(
    key="inspection.plan",
    title="Inspection plan",
    source="rules of this program",
    edition="",
    clause="tables of characteristics and of the order of operations",
    status=Status.COMMON_PRACTICE,
    implements=(
        "each requirement has a characteristic, at an operation where it can be seen and is not lost again",
        "operations in an order in which each inspection finds what it looks for",
    ),
    leaves_out=("how many gears a sample holds", "capability of a process"),
)

NO_PLAN = "[inspection] missing"
_ACCEPTED = "What the gear is accepted by is no wider than what its material quality asks for."
_UNIT = {"retained_austenite": "%", "oxidation": "µm", "surface_temper": "%"}
_SHARE_OF = {"surface_temper": " of a flank tempered"}
_TITLE = {
    "retained_austenite": "Retained austenite",
    "oxidation": "Oxidation of the grain boundaries",
    "carbides": "Carbides in the case",
    "cleanliness": "Cleanliness of the steel",
    "cracks": "Freedom from cracks",
    "surface_temper": "No burn from grinding",
}
# key, operation, title, what the sentence says of it
_PROCESSES = (
    ("process.mask", "mask", "Soft places masked", "What has to stay soft is masked"),
    ("process.furnace", "carburise", "Furnace as agreed", "Each load is carburised"),
    ("process.peening", "peen", "Peening", "The roots are peened"),
)
_GROUPS = (
    (
        "inspection.covered",
        "Every requirement inspected",
        "Each requirement has a characteristic in the inspection plan, with no wider a limit than is asked.",
        (GapKind.UNCOVERED, GapKind.WIDER, GapKind.TAKEN_OFF),
    ),
    (
        "inspection.timely",
        "Inspected in time",
        "Each characteristic stands where it can be seen, and no later operation loses it again.",
        (GapKind.TOO_EARLY, GapKind.TOO_LATE, GapKind.LOST_AFTER, GapKind.NO_PLACE),
    ),
    (
        "inspection.order",
        "Order of the operations",
        "The operations come in an order in which each inspection finds what it looks for.",
        (GapKind.ORDER, GapKind.TEMPERATURE, GapKind.MISSING),
    ),
)


def lines(record: Record, chain: Chain, others: tuple[Line, ...]) -> Iterator[Line]:
    """Yield the metal, the processes that need proof of their own, and what the plan leaves open.

    Parameters
    ----------
    record : Record
        It may hold arrays.
    chain : Chain
        Of it.
    others : tuple of Line
        Those of the other stations, which the plan has to cover.

    Yields
    ------
    Line
        Without a section [inspection]: nothing, at release one that is not assessed.
    """
    if record.inspection is None:
        if record.part.stage is Stage.RELEASE:
            yield _line("inspection.covered", _GROUPS[0][1], _GROUPS[0][2], 0, reason=NO_PLAN)
        return
    steps = _route(record.inspection)
    own = [*_metal(record), *_processes(steps, has_case=record.gear.case is not None)]
    own += _of_drawing(record.inspection)
    yield from own
    # what is not assessed is told as such, and often has no limit yet
    named = tuple((line.key, line.title) for line in (*others, *own) if not line.reason)
    limits = limits_of(record, chain)
    edits = record.inspection.characteristics
    edited = tuple((one.key, limits[one.key]) for one in edits if one.key in limits)
    measured = measured_characteristics(record)
    found = _gaps(record.inspection, named, frozenset(limits), edited, measured)
    for key, title, sentence, kinds in _GROUPS:
        told = [gap for gap in found if gap.kind in kinds]
        said = told[0].text if len(told) == 1 else f"{len(told)} findings" if told else "nothing is amiss"
        yield _line(key, title, sentence, len(told), said=said)


def _of_drawing(given: Inspection) -> Iterator[Line]:
    """What only the drawing asks for is a need too: it blocks a release like any other."""
    struck = {one.key for one in given.strikes}
    asked = [
        one.title or one.key
        for one in given.characteristics
        if rule_of(one.key) is None and one.key not in struck
    ]
    if asked:
        sentence = "What only the drawing asks for is inspected."
        yield _line(DRAWING, "Asked by the drawing alone", sentence, 0, said="; ".join(asked))


def plan_of(
    record: Record, chain: Chain, requirements: tuple[str, ...], kept: frozenset[str] = frozenset()
) -> InspectionPlan | None:
    """Return the inspection plan of a record; None without a section [inspection].

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Of it.
    requirements : tuple of str
        The keys of all requirements; those of the plan itself need no inspection.
    kept : frozenset of str
        As `inspection_plan` takes it.

    Returns
    -------
    InspectionPlan or None
        With the limits of the record.
    """
    if record.inspection is None:
        return None
    limits = tuple(limits_of(record, chain).items())
    return _plan(record.inspection, requirements, limits, kept, measured_characteristics(record))


def is_of_plan(key: str) -> bool:
    """Whether a requirement is one of the plan itself, which nothing has to inspect."""
    return any(key == group[0] for group in _GROUPS)


@lru_cache(maxsize=64)
def gaps_of(plan: InspectionPlan, named: tuple[tuple[str, str], ...]) -> tuple[Gap, ...]:
    """Return what a plan leaves open; a slider that moves no limit asks for it again and again.

    Parameters
    ----------
    plan : InspectionPlan
        As made.
    named : tuple of tuple of str
        Key and title of each requirement.

    Returns
    -------
    tuple of Gap
        As `coverage.gaps` gives it.
    """
    return gaps(plan, dict(named))


@lru_cache(maxsize=64)
def _plan(
    given: Inspection,
    requirements: tuple[str, ...],
    limits: tuple[tuple[str, Limit], ...],
    kept: frozenset[str] = frozenset(),
    measured: frozenset[str] = frozenset(),
) -> InspectionPlan:
    return inspection_plan(
        _route(given),
        tuple(key for key in requirements if not is_of_plan(key)),
        dict(limits),
        edits=given.characteristics,
        strikes=given.strikes,
        kept=kept,
        measured=measured,
    )


@lru_cache(maxsize=64)
def _route(given: Inspection) -> Route:
    return route(given.route, given.operations)


@lru_cache(maxsize=64)
def _gaps(
    given: Inspection,
    named: tuple[tuple[str, str], ...],
    limited: frozenset[str],
    edited: tuple[tuple[str, Limit], ...],
    measured: frozenset[str],
) -> tuple[Gap, ...]:
    """What a plan leaves open depends on which limits there are, and on those that the gear file changes."""
    there = {key: Limit(least=0.0, words="given") for key in limited} | dict(edited)
    plan = _plan(given, tuple(key for key, _ in named), tuple(there.items()), measured=measured)
    return tuple(gap for gap in gaps_of(plan, named) if gap.kind not in HARMLESS)


def _metal(record: Record) -> Iterator[Line]:
    steel = record.gear.steel
    yield _line(
        "quality.chemistry",
        "Heat analysis",
        "The steel is ordered to the standard of its grade, and the heat keeps it.",
        0,
        said="" if steel is None else f"{steel.grade}, certificate of the heat",
        reason=NO_STEEL if steel is None else "",
    )
    for item in ITEMS:
        drawn, limit = accepted(record, item), asked(record, item)
        if drawn is not None and limit is not None:
            yield _of_item(item, drawn, limit)
        elif drawn is not None:  # the material quality asks nothing; the acceptance document still does
            yield _of_item(item, drawn, drawn)
        elif steel is None or by_case_depth(item, f"ISO 6336-5 {steel.quality}"):
            reason = NO_STEEL if steel is None else NO_CASE
            yield _line(f"quality.{item}", _TITLE[item], _ACCEPTED, 0, reason=reason)


def _of_item(item: str, drawn: Allowed, limit: Allowed) -> Line:
    same, unit = drawn.document == limit.document, _UNIT.get(item, "")
    said = ""
    if drawn.is_rank:
        said = drawn.words if same else f"{drawn.words} ({drawn.document}); {limit.document}: {limit.words}"
    elif same and array(drawn.value).ndim == 0:
        most = decimals_text(float(drawn.value), 0, unit)
        said = f"at most {most}{_SHARE_OF.get(item, '')} by {drawn.document}"
    return Line(
        key=f"quality.{item}",
        station=NAME,
        title=_TITLE[item],
        sentence=_ACCEPTED,
        demand=drawn.value,
        capacity=limit.value,
        demand_words=f"allowed by {drawn.document}",
        capacity_words=f"allowed by {limit.document}",
        unit=unit,
        method=METALLURGY,
        brief=(f"by {drawn.document}", f"by {limit.document}"),
        scale=Scale.WORDS if drawn.is_rank or same else Scale.SHARE,
        said=said,
    )


def _processes(steps: Route, *, has_case: bool) -> Iterator[Line]:
    for key, operation, title, words in _PROCESSES:
        found, sentence = steps.find(operation), f"{words} by a process that a document governs."
        if found is not None:
            yield _process(key, title, sentence, found)
        elif operation == "carburise" and has_case:
            yield _line(key, title, sentence, 1, said="the route has no operation 'carburise'")
    marked = any("marking" in item.changes for item in steps.operations)
    yield _line(
        "inspection.traced",
        "Traced to heat and load",
        "Each gear can be traced to its heat and its furnace load.",
        0 if marked else 1,
        said="marked" if marked else "no operation marks the gear",
    )


def _process(key: str, title: str, sentence: str, found: Operation) -> Line:
    return _line(key, title, sentence, 0 if found.document else 1, said=found.document or "no document named")


def _line(key: str, title: str, sentence: str, wrong: int, *, said: str = "", reason: str = "") -> Line:
    """A requirement in words: it is met where nothing is wrong."""
    return Line(
        key=key,
        station=NAME,
        title=title,
        sentence=sentence,
        demand=array(wrong),
        capacity=array(0),
        demand_words="what is wrong",
        capacity_words="what may be wrong",
        unit="",
        method=PLAN,
        scale=Scale.WORDS,
        reason=reason,
        said=said,
    )
