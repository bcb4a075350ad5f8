"""What the evidence says: each measured value held against the limit that the drawing specifies."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.accuracy.pitch import PitchDeviations, pitch_deviations
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.requirements.types import Evidence, Finding, Stage
from gearcheck.review.inputs import CaseDepthEvidence, EvidenceHead, HardnessEvidence, Record
from gearcheck.review.results import Chain, Line


def evaluated_pitch(record: Record, chain: Chain) -> tuple[PitchDeviations, ...]:
    """Evaluate every set of measured pitch of the record."""
    angle = chain.meshes[0].pair.transverse_pressure_angle_deg
    return tuple(
        pitch_deviations(left_um=item.left_um, right_um=item.right_um, transverse_pressure_angle_deg=angle)
        for item in record.pitch
    )


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
    for key, finding in (*_of_pitch(record, chain, pitch), *_of_case(record), *_of_hardness(record)):
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
        ok=value >= limit if at_least else value <= limit,
        stale=head.revision != record.part.revision,
    )


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
            said = f"within {limit:.1f} µm" if value <= limit else f"over {limit:.1f} µm"
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
        yield (
            f"case.left.{item.flank}",
            _finding(record, item.head, _case_text(item, left, least), left, least, at_least=True),
        )
        text = (
            f"Case after grinding, {item.flank} flank: {left:.2f} mm left, at most {most:.2f} mm specified."
        )
        yield f"case.most.{item.flank}", _finding(record, item.head, text, left, most, at_least=False)


def _case_text(item: CaseDepthEvidence, left: float, least: float) -> str:
    return (
        f"Case after grinding, {item.flank} flank: {left:.2f} mm left where {least:.2f} mm is specified "
        f"({item.as_treated_mm:.2f} mm as treated, {item.stock_removed_mm:.2f} mm ground off)."
    )


def _of_hardness(record: Record) -> Iterator[tuple[str, Finding]]:
    if record.gear.steel is None:
        return
    for item in record.hardness:
        yield f"hardness.{item.place}", _hardness_finding(record, item, _specified(record, item))


def _specified(record: Record, item: HardnessEvidence) -> float:
    return float(getattr(record.gear.steel, f"{item.place}_hardness_HV"))


def _hardness_finding(record: Record, item: HardnessEvidence, least: float) -> Finding:
    name = item.place.capitalize()
    text = f"{name} hardness: {item.hardness_HV:.0f} HV measured where {least:.0f} HV is specified."
    return _finding(record, item.head, text, item.hardness_HV, least, at_least=True)
