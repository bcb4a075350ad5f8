"""What the evidence says: each measured value held against the limit that the drawing specifies."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.accuracy.grade import AccuracyClass, accuracy_class
from gearcheck.accuracy.pitch import PitchDeviations, pitch_deviations
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.numbers import Number
from gearcheck.hardening.inputs import CaseSpecification
from gearcheck.requirements.compare import reaches
from gearcheck.requirements.types import Evidence, Finding, Stage
from gearcheck.review.chain import toothing
from gearcheck.review.inputs import CaseDepthEvidence, EvidenceHead, HardnessEvidence, HardnessPlace, Record
from gearcheck.review.results import Chain, Line


def evaluated_pitch(record: Record, chain: Chain) -> tuple[PitchDeviations, ...]:
    """Evaluate every set of measured pitch of the record."""
    angle = chain.meshes[0].pair.transverse_pressure_angle_deg
    return tuple(
        pitch_deviations(left_um=item.left_um, right_um=item.right_um, transverse_pressure_angle_deg=angle)
        for item in record.pitch
    )


def reached_classes(record: Record, pitch: tuple[PitchDeviations, ...]) -> tuple[AccuracyClass, ...]:
    """Return the class that each set of measured pitch reaches, the coarser flank of each parameter."""
    if record.gear.accuracy is None:
        return ()
    return tuple(
        accuracy_class(
            **toothing(record, record.gear),
            edition=record.gear.accuracy.edition,
            single_pitch_um=_coarser(item.left_single_pitch_um, item.right_single_pitch_um),
            cumulative_pitch_um=_coarser(item.left_cumulative_pitch_um, item.right_cumulative_pitch_um),
            runout_um=item.runout_um,
        )
        for item in pitch
    )


def _coarser(left: Number, right: Number) -> Number:
    return None if left is None or right is None else max(left, right)


def findings(record: Record, chain: Chain, pitch: tuple[PitchDeviations, ...]) -> dict[str, list[Finding]]:
    """Hold all evidence of a record against the limits drawn.

    Parameters
    ----------
    record : Record
        With the evidence.
    chain : Chain
        Of the record as it stands, without arrays.
    pitch : tuple of PitchDeviations
        Evaluated pitch, in the order of ``record.pitch``.

    Returns
    -------
    dict of str to list of Finding
        By the key of the requirement.
    """
    found: dict[str, list[Finding]] = {}
    for key, finding in (*_of_pitch(record, chain, pitch), *_of_case(record), *_of_hardness(record, chain)):
        found.setdefault(key, []).append(finding)
    return found


def answer(line: Line, stage: Stage, found: list[Finding]) -> Evidence:
    """Return the answer by evidence: contradicted before stale, stale before shown.

    A stale finding neither shows nor contradicts: it was taken on another revision.
    """
    current = [item for item in found if not item.stale]
    if any(not item.ok for item in current):
        return Evidence.CONTRADICTED
    if current:
        return Evidence.SHOWN
    if found:
        return Evidence.STALE
    return Evidence.OPEN if line.evidence and stage is Stage.RELEASE else Evidence.NOT_NEEDED_YET


def _finding(
    record: Record, head: EvidenceHead, text: str, value: float, limit: float, *, at_least: bool
) -> Finding:
    return Finding(
        text=text,
        source=head.source,
        applies_to=head.applies_to,
        by=head.by,
        date=head.date,
        value=value,
        limit=limit,
        ok=bool(reaches(value, limit) if at_least else reaches(limit, value)),
        stale=bool(why := _why_stale(record, head)),
        why_stale=why,
    )


def _why_stale(record: Record, head: EvidenceHead) -> str:
    return "taken on another revision" if head.revision != record.part.revision else head.stale


def _of_pitch(
    record: Record, chain: Chain, pitch: tuple[PitchDeviations, ...]
) -> Iterator[tuple[str, Finding]]:
    drawn = chain.drawn
    if drawn is None or record.gear.accuracy is None:
        return
    for item, result in zip(record.pitch, pitch, strict=True):
        for key, words, value, limit in _pitch_values(result, drawn):
            if value is None or limit is None:
                continue
            said = f"within {limit:.1f} µm" if reaches(limit, value) else f"over {limit:.1f} µm"
            drawn_class = float(record.gear.accuracy.tolerance_class)
            text = f"{words}: {value:.1f} µm measured, {said} of class {drawn_class:g}."
            yield f"accuracy.{key}", _finding(record, item.head, text, value, limit, at_least=False)


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


def _of_case(record: Record) -> Iterator[tuple[str, Finding]]:
    case = record.gear.case
    if case is None:
        return
    for item in record.case_depth:
        left = item.as_treated_mm - item.stock_removed_mm
        least, most = float(case.finished_min_mm), float(case.finished_max_mm)
        name, how = f"Case after grinding, {item.flank} flank", _how(item, case)
        text = f"{name}: {left:.2f} mm left where {least:.2f} mm is specified ({how})."
        yield f"case.left.{item.flank}", _finding(record, item.head, text, left, least, at_least=True)
        text = f"{name}: {left:.2f} mm left, at most {most:.2f} mm specified ({how})."
        yield f"case.most.{item.flank}", _finding(record, item.head, text, left, most, at_least=False)


def _how(item: CaseDepthEvidence, case: CaseSpecification) -> str:
    """Say how much case there was, how much was ground off, and what the drawing allows where it does not."""
    treated = _drawn_range(item.as_treated_mm, case.as_treated_min_mm, case.as_treated_max_mm)
    smallest, largest = (getattr(case, f"{item.flank}_stock_{end}_mm") for end in ("min", "max"))
    stock = _drawn_range(item.stock_removed_mm, smallest, largest)
    return (
        f"{item.as_treated_mm:.2f} mm as treated{treated}, {item.stock_removed_mm:.2f} mm ground off{stock}"
    )


def _drawn_range(value: float, least: Number, most: Number) -> str:
    if value < float(least):
        return f", at least {float(least):.2f} mm drawn"
    return f", at most {float(most):.2f} mm drawn" if value > float(most) else ""


def _of_hardness(record: Record, chain: Chain) -> Iterator[tuple[str, Finding]]:
    if record.gear.steel is None or chain.limits is None:
        return
    for item in record.hardness:
        least = float(getattr(record.gear.steel, f"{item.place}_hardness_HV"))
        most = chain.limits.surface_hardness_max_HV if item.place is HardnessPlace.SURFACE else None
        yield f"hardness.{item.place}", _hardness_finding(record, item, least, most)


def _hardness_finding(record: Record, item: HardnessEvidence, least: float, most: float | None) -> Finding:
    measured = f"{item.place.capitalize()} hardness: {item.hardness_HV:.0f} HV measured"
    if most is not None and item.hardness_HV > most:
        text = f"{measured}, over the {most:.0f} HV that the material quality allows."
        return _finding(record, item.head, text, item.hardness_HV, most, at_least=False)
    text = f"{measured} where {least:.0f} HV is specified."
    return _finding(record, item.head, text, item.hardness_HV, least, at_least=True)
