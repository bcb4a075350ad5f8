"""What the evidence says: each measured value held against the limit that the drawing specifies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from gearcheck.accuracy.grade import AccuracyClass
from gearcheck.accuracy.inputs import Group
from gearcheck.accuracy.pitch import PitchDeviations, pitch_deviations
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.numbers import Number, plain
from gearcheck.hardening.inputs import CaseSpecification
from gearcheck.inspection.decide import Limit
from gearcheck.requirements.compare import decimals_apart, reaches
from gearcheck.review.criterion import deepest_depth, needed_depth
from gearcheck.review.evidence_inputs import EvidenceHead
from gearcheck.review.findings import End, finding, window_text
from gearcheck.review.inputs import (
    CaseDepthEvidence,
    HardnessEvidence,
    HardnessPlace,
    Record,
    State,
    TraversePlace,
)
from gearcheck.review.limits import limits_of
from gearcheck.review.measured_stress import held_stress
from gearcheck.review.results import Chain, Held
from gearcheck.review.traced import ReadTraces
from gearcheck.review.traced_findings import held_traces
from gearcheck.review.traverses import ReadTraverse, below_skin, read_traverse
from gearcheck.review.turned import class_by_pitch, half_tooth_deg


def evaluated_pitch(record: Record, chain: Chain) -> tuple[PitchDeviations, ...]:
    """Evaluate every set of measured pitch of the record."""
    angle = chain.meshes[0].pair.transverse_pressure_angle_deg
    half = half_tooth_deg(record)
    return tuple(
        pitch_deviations(
            left_um=item.left_um,
            right_um=item.right_um,
            transverse_pressure_angle_deg=angle,
            tooth_half_angle_deg=half,
        )
        for item in record.pitch
    )


def reached_classes(record: Record, pitch: tuple[PitchDeviations, ...]) -> tuple[AccuracyClass, ...]:
    """Return the class that each set of measured pitch reaches, the coarser flank of each parameter."""
    found = (class_by_pitch(record, item) for item in pitch)
    return tuple(one for one in found if one is not None)


def held(
    record: Record, chain: Chain, pitch: tuple[PitchDeviations, ...], traces: tuple[ReadTraces, ...] = ()
) -> Iterator[Held]:
    """Hold what feeds the calculation against the limits drawn: pitch, traces, case, hardness, stress.

    Parameters
    ----------
    record : Record
        With the evidence.
    chain : Chain
        Of the record as it stands, without arrays.
    pitch : tuple of PitchDeviations
        Evaluated pitch, in the order of ``record.pitch``.
    traces : tuple of ReadTraces
        Evaluated traces.

    Yields
    ------
    Held
        Each finding with its characteristic.
    """
    yield from _of_pitch(record, chain, pitch)
    yield from held_traces(record, chain, traces)
    yield from _of_case(record, chain)
    yield from _of_traverses(record, chain)
    yield from _of_hardness(record, chain)
    yield from held_stress(record)


def _of_pitch(record: Record, chain: Chain, pitch: tuple[PitchDeviations, ...]) -> Iterator[Held]:
    drawn = chain.drawn
    if drawn is None or record.gear.accuracy is None:
        return
    for item, result in zip(record.pitch, pitch, strict=True):
        for key, words, value, limit in _pitch_values(result, drawn):
            if value is None or limit is None:
                continue
            said = f"within {limit:.1f} µm" if reaches(limit, value) else f"over {limit:.1f} µm"
            group = Group.RUNOUT if key == "runout" else Group.PITCH
            drawn_class = float(record.gear.accuracy.class_of(group))
            measured = f"{value:.{decimals_apart(value, limit, 1)}f} µm measured"
            text = f"{words}: {measured}, {said} of class {drawn_class:g}."
            key = f"accuracy.{key}"
            yield Held(key, finding(record, item.head, key, text, value, Limit(most=limit), "µm"))


def _pitch_values(
    result: PitchDeviations, drawn: Tolerances
) -> Iterator[tuple[str, str, float | None, float | None]]:
    for flank in ("left", "right"):
        tooth = getattr(result, f"{flank}_spoiling_tooth")
        single = getattr(result, f"{flank}_single_pitch_um")
        yield f"single.{flank}", f"Single pitch, {flank} flank, tooth {tooth}", single, drawn.single_pitch_um
        total = getattr(result, f"{flank}_cumulative_pitch_um")
        yield f"total.{flank}", f"Cumulative pitch, {flank} flank", total, drawn.cumulative_pitch_um
    yield "runout", "Runout from pitch", result.runout_um, drawn.runout_um


def _of_case(record: Record, chain: Chain) -> Iterator[Held]:
    if record.gear.case is None:
        return
    for item in record.case_depth:
        left = item.as_treated_mm - item.stock_removed_mm
        yield from _left(record, chain, item.head, item.flank, left, _how(item, record.gear.case))


def _left(
    record: Record,
    chain: Chain,
    head: EvidenceHead,
    flank: str,
    left: float,
    how: str,
    end: End = End.CROSSES,
) -> Iterator[Held]:
    """The case left on a flank against the drawing, and against what the drawing was made for."""
    case = record.gear.case
    assert case is not None
    least, most = float(case.finished_min_mm), float(case.finished_max_mm)
    name = f"Case after grinding, {flank} flank"
    key = f"case.left.{flank}"
    text = f"{name}: {left:.2f} mm left where {least:.2f} mm is specified ({how})."
    yield Held(key, finding(record, head, key, text, left, Limit(least=least), "mm", end), key)
    for mesh in chain.meshes:
        needed = plain(needed_depth(record, mesh))
        if needed is not None:
            most_of = plain(deepest_depth(mesh))
            over = "" if most_of is None else f", and {most_of:.2f} mm is too deep,"
            text = f"{name}: {left:.2f} mm left where {needed:.2f} mm is needed{over} against {mesh.name}."
            need = Limit(least=float(needed), most=None if most_of is None else float(most_of))
            found = finding(record, head, key, text, left, need, "mm", end, of_plan=False)
            yield Held(key, found, f"case.needed.{mesh.name}")
    key = f"case.most.{flank}"
    text = f"{name}: {left:.2f} mm left, at most {most:.2f} mm specified ({how})."
    yield Held(key, finding(record, head, key, text, left, Limit(most=most), "mm", end), key)
    largest = plain(chain.case_limits.largest_mm)
    if largest is not None:
        text = f"{name}: {left:.2f} mm left, at most {largest:.2f} mm allowed."
        found = finding(record, head, key, text, left, Limit(most=float(largest)), "mm", end, of_plan=False)
        yield Held(key, found, "case.largest")


def left_of_result(record: Record, chain: Chain, key: str, head: EvidenceHead, left: float) -> Iterator[Held]:
    """Hold a result of the case left against what its limit was drawn for; nothing for other results."""
    start, _, flank = key.rpartition(".")
    if start not in ("case.left", "case.most") or record.gear.case is None:
        return
    for one in _left(record, chain, head, flank, left, "as measured"):
        if one.characteristic == key and one.about != key:
            yield one


def _how(item: CaseDepthEvidence, case: CaseSpecification) -> str:
    """Say how much case there was, how much was ground off, and what the drawing allows where it does not."""
    treated = _drawn_range(item.as_treated_mm, case.as_treated_min_mm, case.as_treated_max_mm)
    stock = _drawn_range(item.stock_removed_mm, *case.stock_mm(item.flank))
    return (
        f"{item.as_treated_mm:.2f} mm as treated{treated}, {item.stock_removed_mm:.2f} mm ground off{stock}"
    )


def _drawn_range(value: float, least: Number, most: Number) -> str:
    if value < float(least):
        return f", at least {float(least):.2f} mm drawn"
    return f", at most {float(most):.2f} mm drawn" if value > float(most) else ""


def _of_traverses(record: Record, chain: Chain) -> Iterator[Held]:
    if not record.traverse:
        return
    limits = limits_of(record, chain)
    for item in record.traverse:
        found = read_traverse(item)
        if item.place is TraversePlace.PITCH_LINE and record.gear.case is not None and item.flank is not None:
            yield from _at_pitch_line(record, chain, found, limits)
        elif item.place is not TraversePlace.PITCH_LINE:
            yield from _in_window(record, found, limits, f"case.{item.place}")


def _at_pitch_line(
    record: Record, chain: Chain, found: ReadTraverse, limits: Mapping[str, Limit]
) -> Iterator[Held]:
    item, case = found.item, record.gear.case
    assert item.flank is not None and case is not None
    head = _head(found)
    if item.state is State.FINISHED:
        words = f"traverse of the finished tooth{found.words}"
        yield from _left(record, chain, head, item.flank, found.depth_mm, words, found.end)
        return
    yield from _in_window(record, found, limits, "case.as_treated")
    if item.stock_removed_mm is None:
        return
    depth, end = _through_skin(found, item.stock_removed_mm)
    treated = CaseDepthEvidence(
        head=head, flank=item.flank, as_treated_mm=depth, stock_removed_mm=item.stock_removed_mm
    )
    left, words = max(depth - item.stock_removed_mm, 0.0), _how(treated, case) + found.words
    yield from _left(record, chain, head, item.flank, left, words, end)


def _through_skin(found: ReadTraverse, stock_mm: float) -> tuple[float, End]:
    """The depth that counts for what is left: a soft skin that was ground off does not end the case."""
    if found.end is not End.SOFT or found.skin_mm > stock_mm:
        return found.depth_mm, found.end
    at = below_skin(found.item)
    return (float(found.item.depth_mm[-1]), End.DEEPER) if at is None else (at, End.CROSSES)


def _head(found: ReadTraverse) -> EvidenceHead:
    """The head of a traverse, its uncertainty with that of the straight line between two indents."""
    return replace(found.item.head, uncertainty=found.uncertainty_mm)


def _in_window(record: Record, found: ReadTraverse, limits: Mapping[str, Limit], key: str) -> Iterator[Held]:
    limit = limits.get(key)
    if limit is None:
        return
    depth = found.depth_mm
    places = {"case.as_treated": "as treated", "case.root": "at the root", "case.tip": "at the tip"}
    state = ", finished" if found.item.state is State.FINISHED else ""
    asked = window_text(limit, 2, "mm")
    text = f"Case depth {places[key]}{state}: {depth:.2f} mm at 550 HV{found.words}, {asked} asked."
    yield Held(key, finding(record, _head(found), key, text, depth, limit, "mm", found.end))


def _of_hardness(record: Record, chain: Chain) -> Iterator[Held]:
    if record.gear.steel is None or chain.limits is None:
        return
    for item in record.hardness:
        least = float(getattr(record.gear.steel, f"{item.place}_hardness_HV"))
        most = chain.limits.surface_hardness_max_HV if item.place is HardnessPlace.SURFACE else None
        yield _hardness_held(record, item, Limit(least=least, most=most))


def _hardness_held(record: Record, item: HardnessEvidence, limit: Limit) -> Held:
    key = f"hardness.{item.place}"
    measured = f"{item.place.capitalize()} hardness: {item.hardness_HV:.0f} HV measured"
    if limit.most is not None and item.hardness_HV > limit.most:
        text = f"{measured}, over the {limit.most:.0f} HV that the material quality allows."
    elif limit.most is not None and limit.most - item.hardness_HV < (item.head.uncertainty or 0.0):
        text = f"{measured}, at most {limit.most:.0f} HV that the material quality allows."
    else:
        text = f"{measured} where {limit.least:.0f} HV is specified."
    return Held(key, finding(record, item.head, key, text, item.hardness_HV, limit, "HV"))
