"""One gear reviewed: the chain, the requirements, the notices, and the outcome in one sentence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from types import MappingProxyType

from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.basics.methods import Notice
from gearcheck.basics.results import Result
from gearcheck.gear.pair import PairGeometry
from gearcheck.requirements.types import Calculation, Evidence, Requirement, Stage
from gearcheck.review.agma import agma_beside
from gearcheck.review.balance import Balance, balance
from gearcheck.review.chain import calculate
from gearcheck.review.contact import MeshContact, is_wanted, mesh_contacts
from gearcheck.review.evidence import evaluated_pitch, reached_classes
from gearcheck.review.fatigue import FatigueLife, fatigue_lives
from gearcheck.review.flaws import flaw_needs
from gearcheck.review.inputs import Record
from gearcheck.review.judge import judged_and_inspected
from gearcheck.review.masked import masked
from gearcheck.review.pairing import mixed_editions, other_governing_edition
from gearcheck.review.reached import ReachedClass, reached_by_part
from gearcheck.review.results import Chain, MemberChain, MeshChain, Review, Settled, Working
from gearcheck.review.settled import settled
from gearcheck.review.size import backlash_results, size_results
from gearcheck.review.stations.contact import LATER
from gearcheck.review.traced import ReadTraces, read_all_traces
from gearcheck.review.traverses import read_traverse
from gearcheck.review.treated import Predicted, predicted
from gearcheck.review.turned import TurnedPitch, turned_pitch

_LIBRARIES = ("gearcheck", "numpy", "scipy")


def review(record: Record, *, with_settled: bool = True) -> Review:
    """Review one gear.

    Parameters
    ----------
    record : Record
        The inputs, without arrays.
    with_settled : bool
        Whether the slower work, the solved case depth, is done too.

    Returns
    -------
    Review
        Complete, or without the slower work.

    Examples
    --------
    >>> from gearcheck.basics.places import scenarios
    >>> from gearcheck.review.gear_file import read_gear_file
    >>> outcome(review(read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")))[:26]
    'None of 37 requirements fa'
    """
    chain = calculate(record)
    slower = settled(record, chain) if with_settled else ()
    foretold = predicted(record, chain) if with_settled and _is_made(record) else None
    balanced = balance(record, chain, foretold) if with_settled else None
    pitch = evaluated_pitch(record, chain)
    traces = read_all_traces(record, chain)
    classes = reached_classes(record, pitch)
    reached = reached_by_part(record, pitch, traces)
    turned = turned_pitch(record, pitch)
    slow = _with_slower(record, chain) if with_settled else chain
    requirements, plan = judged_and_inspected(record, slow, pitch, traces)
    steps = (
        *_with_parts(_workings(record, chain, slower)),
        *_in_contact(slow.contact),
        *_with_parts(_by_specimens(slow.fatigue)),
        *_foretold(foretold, balanced),
        *_flaws(record, chain),
        *(_beside(record, chain) if with_settled else ()),
        *_measured(record, pitch, turned),
        *_traced(traces, reached),
    )
    return Review(
        record=record,
        chain=chain,
        requirements=requirements,
        workings=steps,
        notices=_each_once([step.result for step in steps]),
        pitch=pitch,
        classes=classes,
        settled=slower,
        versions=_versions(),
        inspected=plan,
        predicted=foretold,
        balance=balanced,
        traces=traces,
        reached=reached,
        turned=turned,
        contact=slow.contact,
        fatigue=slow.fatigue,
    )


def _with_slower(record: Record, chain: Chain) -> Chain:
    """The chain with what slower work adds to its lines."""
    return replace(chain, contact=mesh_contacts(record, chain), fatigue=fatigue_lives(record, chain))


def has_slower_lines(record: Record) -> bool:
    """Whether a requirement rests on slower work: on the loaded contact, or on tests of specimens."""
    return is_wanted(record) or record.fatigue is not None


def _in_contact(contacts: tuple[MeshContact, ...]) -> Iterator[Working]:
    for one in contacts:
        if one.nominal is not None:
            title = f"Loaded contact at the nominal torque, the gear with {one.mesh}"
            yield Working(station="contact", title=title, result=one.nominal)


def _by_specimens(lives: tuple[FatigueLife, ...]) -> Iterator[Working]:
    for one in lives:
        for title, found in one.results():
            yield Working(station="fatigue", title=title, result=found)


def _traced(traces: tuple[ReadTraces, ...], reached: tuple[ReachedClass, ...]) -> Iterator[Working]:
    for read in traces:
        for title, one in read.results():
            yield Working(station="accuracy", title=title, result=one)
    for part in reached:
        found = part.as_measured
        for words, of in (
            ("Class of the left flanks", found.left),
            ("Class of the right flanks", found.right),
            ("Class of the runout", found.both),
        ):
            if of is not None:
                yield Working(station="accuracy", title=f"{words}, {part.part}", result=of)
        yield Working(station="accuracy", title=f"Class of the gear, {part.part}", result=found)


def _is_made(record: Record) -> bool:
    """Whether the gear file says how the gear is carburised or ground."""
    return record.furnace is not None or record.grinding is not None


def _foretold(found: Predicted | None, balanced: Balance | None) -> Iterator[Working]:
    parts = (None, None) if found is None else (found.treated, found.ground)
    if found is not None and found.wanted is not None and found.wanted.times is not None:
        yield Working(station="case depth", title="Boost and diffuse times", result=found.wanted.times)
    curved = () if found is None else found.places[1:]
    for part in (*parts, *curved, balanced):
        for title, result in () if part is None else part.results():
            yield Working(station="case depth", title=title, result=result)


@cache
def _versions() -> MappingProxyType[str, str]:
    found = {}
    for name in _LIBRARIES:
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            found[name] = "not installed"
    return MappingProxyType(found)


def _each_once(results: list[Result]) -> tuple[Notice, ...]:
    return tuple(dict.fromkeys(notice for result in results for notice in result.notices))


def _workings(record: Record, chain: Chain, slower: tuple[Settled, ...]) -> Iterator[Working]:
    for mesh in chain.meshes:
        yield from _of_geometry(mesh)
    for mesh in chain.meshes:
        yield from _of_stress(mesh)
    yield from _of_case(record, chain, slower)
    for mesh_name, pairing in mixed_editions(record, chain):
        title = f"Editions of rating and tolerances, {mesh_name}"
        yield Working(station="stress", title=title, result=pairing)
    if chain.drawn is not None:
        drawn = replace(chain.drawn, notices=(*chain.drawn.notices, *other_governing_edition(record)))
        yield Working(station="accuracy", title="Tolerances of the class drawn", result=drawn)


def _measured(
    record: Record,
    pitch: tuple[PitchDeviations, ...],
    turned: tuple[TurnedPitch, ...],
) -> Iterator[Working]:
    for item, result in zip(record.pitch, pitch, strict=True):
        yield Working(station="accuracy", title=f"Measured pitch, {item.head.applies_to}", result=result)
    for traverse in record.traverse:
        for title, found in read_traverse(traverse).results():
            yield Working(station="case depth", title=title, result=found)
    for item, turn in zip(record.pitch, turned, strict=True):
        title = f"Once and twice a turn, {item.head.applies_to}"
        yield Working(station="accuracy", title=title, result=turn.harmonics)


def _beside(record: Record, chain: Chain) -> Iterator[Working]:
    for item in agma_beside(record, chain):
        if item.result is not None:
            title = f"Beside it by ANSI/AGMA 2101, the gear with {item.mesh}"
            yield from _with_parts(iter([Working(station="stress", title=title, result=item.result)]))


def _flaws(record: Record, chain: Chain) -> Iterator[Working]:
    for need in flaw_needs(record, chain):
        yield Working(station="stress", title=f"Flaw tolerated, {need.title}", result=need.result)


def _with_parts(steps: Iterator[Working]) -> Iterator[Working]:
    """Put the results that a result is made of before it."""
    for step in steps:
        for item in fields(step.result):
            part = getattr(step.result, item.name)
            if isinstance(part, Result) and not isinstance(step.result, PairGeometry):
                label = item.name.replace("_", " ")
                yield Working(station=step.station, title=f"{step.title}: {label}", result=part)
        yield step


def _both(mesh: MeshChain) -> tuple[tuple[str, MemberChain], ...]:
    return (f"the gear against {mesh.name}", mesh.gear), (mesh.name, mesh.mate)


def _of_geometry(mesh: MeshChain) -> Iterator[Working]:
    yield Working(station="geometry", title=f"Pair, the gear with {mesh.name}", result=mesh.pair)
    for subject, member in _both(mesh):
        yield Working(station="geometry", title=f"Dimensions, {subject}", result=member.geometry)
        yield Working(station="geometry", title=f"Root form clearance, {subject}", result=member.clearance)
        for title, size in () if member.size is None else size_results(member.size):
            yield Working(station="geometry", title=f"{title}, {subject}", result=size)
    for title, found in () if mesh.backlash is None else backlash_results(mesh.backlash):
        yield Working(station="geometry", title=f"{title}, the gear with {mesh.name}", result=found)


def _of_stress(mesh: MeshChain) -> Iterator[Working]:
    if mesh.sharing is not None:
        yield Working(station="stress", title=f"Mates of {mesh.name} that share", result=mesh.sharing)
    if mesh.factors is not None:
        yield Working(station="stress", title=f"Load factors, the gear with {mesh.name}", result=mesh.factors)
    if mesh.flank is not None:
        yield Working(station="stress", title=f"Contact stress, the gear with {mesh.name}", result=mesh.flank)
    for title, found in (
        ("Flash temperature", mesh.flash),
        ("Integral temperature", mesh.integral),
        ("Specific oil film", mesh.micropitting),
    ):
        if found is not None:
            yield Working(station="stress", title=f"{title}, the gear with {mesh.name}", result=found)
    for subject, member in _both(mesh):
        named = (
            ("Load cycles", member.cycles),
            ("Strength limits", member.limits),
            ("Flank safety", member.flank),
            ("Root stress", member.root),
            ("Root safety", member.root_safety),
            *_under_duty(member),
        )
        for title, result in named:
            if result is not None:
                yield Working(station="stress", title=f"{title}, {subject}", result=result)


def _under_duty(member: MemberChain) -> Iterator[tuple[str, Result | None]]:
    for mode, sums in (("Flank", member.flank_damage), ("Root", member.root_damage)):
        for place, found in enumerate(sums):
            direction = "" if len(sums) == 1 else (", forward", ", reverse")[place]
            yield f"{mode} damage under the duty{direction}", found
    yield "Flank at the highest torque", member.flank_static
    yield "Root at the highest torque", member.root_static


def _of_case(record: Record, chain: Chain, slower: tuple[Settled, ...]) -> Iterator[Working]:
    for mesh in chain.meshes:
        if mesh.figures is not None:
            title = f"Depth by the standards, against {mesh.name}"
            yield Working(station="case depth", title=title, result=mesh.figures)
    if all(mesh.figures is None for mesh in chain.meshes):
        yield Working(station="case depth", title="Largest depth allowed", result=chain.case_limits)
    for item in slower:
        solved = ((item.required, ""), (item.single_contact, ", single contact alone"))
        for result, where in solved:
            if result is not None:
                title = f"Depth solved against yielding{where}, against {item.mesh}"
                yield Working(station="case depth", title=title, result=result)
    for item in slower:
        beside = {} if item.side_by_side is None else item.side_by_side.fatigue
        for criterion, found in beside.items():
            title = f"Depth by {criterion}, against {item.mesh}"
            yield Working(station="case depth", title=title, result=found)
    for flank, left in (("left", chain.left), ("right", chain.right)):
        if left is not None:
            yield Working(station="case depth", title=f"Case left, {flank} flank", result=left)
    mask = masked(record)
    for title, of_mask in () if mask is None else mask.results():
        yield Working(station="case depth", title=title, result=of_mask)


def outcome(whole: Review) -> str:
    """Say in one sentence how many requirements fail, and what the evidence leaves open."""
    requirements = whole.requirements
    fails = sum(item.by_calculation is Calculation.FAILS for item in requirements)
    later = sum(item.reason == LATER for item in requirements)
    unknown = sum(item.by_calculation is Calculation.NOT_ASSESSED for item in requirements) - later
    count = "None" if fails == 0 else str(fails)
    sentence = (
        f"{count} of {len(requirements)} requirements {'fails' if fails < 2 else 'fail'} by calculation"
    )
    if unknown:
        sentence += f", {unknown} {'is' if unknown == 1 else 'are'} not assessed"
        sentence += _stopped_words([item.stopped for item in requirements].count(True), unknown)
    if later:
        sentence += f", {later} {'follows' if later == 1 else 'follow'}"
    return f"{sentence}; {_evidence_words(requirements, whole.record.part.stage)}."


def _stopped_words(stopped: int, unknown: int) -> str:
    """Say where it is a stop that leaves requirements without an answer, not a missing section."""
    if not stopped:
        return ""
    return " because of a stop" if stopped == unknown else f", {stopped} of them because of a stop"


def _evidence_words(requirements: tuple[Requirement, ...], stage: Stage) -> str:
    counts = {
        word: sum(item.by_evidence is kind for item in requirements)
        for word, kind in (
            ("contradicted by evidence", Evidence.CONTRADICTED),
            ("open", Evidence.OPEN),
            ("stale", Evidence.STALE),
        )
    }
    said = [f"{count} {'is' if count == 1 else 'are'} {word}" for word, count in counts.items() if count]
    if said:
        return ", ".join(said)
    return "all evidence is in" if stage is Stage.RELEASE else "evidence is not needed before release"


def blocking(whole: Review) -> tuple[Requirement, ...]:
    """Return what blocks this stage: failures at any, and at release what the evidence leaves open."""
    return tuple(item for item in whole.requirements if _blocks(item, whole.record.part.stage))


def blocking_words(whole: Review) -> str:
    """Say in one sentence whether the review is held up, and never that all is well behind a stop."""
    count, stage = len(blocking(whole)), whole.record.part.stage
    if count:
        who = "One requirement blocks" if count == 1 else f"{count} requirements block"
        return f"{who} the {stage} review."
    stopped = sum(item.stopped for item in whole.requirements)
    if stopped:
        left = "one requirement" if stopped == 1 else f"{stopped} requirements"
        return f"Nothing blocks the {stage} review yet, but a stop leaves {left} without an answer."
    return f"Nothing blocks the {stage} review."


def _blocks(item: Requirement, stage: Stage) -> bool:
    if item.by_calculation is Calculation.FAILS:
        return True
    unshown = item.by_evidence in (Evidence.OPEN, Evidence.STALE, Evidence.CONTRADICTED)
    return stage is Stage.RELEASE and (unshown or item.by_calculation is Calculation.NOT_ASSESSED)
