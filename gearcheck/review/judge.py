"""Judging: lines become requirements with their two answers and their reserve."""

from __future__ import annotations

import numpy as np

from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.basics.numbers import plain
from gearcheck.requirements.compare import reaches
from gearcheck.requirements.types import Calculation, Evidence, Finding, Requirement, Reserve, Scale
from gearcheck.review.chain import calculate
from gearcheck.review.evidence import evaluated_pitch, held
from gearcheck.review.flaws import flaw_gaps, flaw_needs
from gearcheck.review.inputs import Record
from gearcheck.review.inspected import evidence_of, inspected, planned
from gearcheck.review.reserves import Turns, on_torque_scale, reserve, reserve_turns
from gearcheck.review.results import Chain, Inspected, Line
from gearcheck.review.stations import lines
from gearcheck.review.traced import ReadTraces, read_all_traces


def judged(
    record: Record,
    chain: Chain | None = None,
    pitch: tuple[PitchDeviations, ...] | None = None,
    traces: tuple[ReadTraces, ...] | None = None,
) -> tuple[Requirement, ...]:
    """Judge every requirement of a record by calculation and by evidence.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain, optional
        Its closed forms, where they are at hand.
    pitch : tuple of PitchDeviations, optional
        Its evaluated pitch, where it is at hand.
    traces : tuple of ReadTraces, optional
        Its evaluated traces, where they are at hand.

    Returns
    -------
    tuple of Requirement
        In the order of the stations.
    """
    return judged_and_inspected(record, chain, pitch, traces)[0]


def judged_and_inspected(
    record: Record,
    chain: Chain | None = None,
    pitch: tuple[PitchDeviations, ...] | None = None,
    traces: tuple[ReadTraces, ...] | None = None,
) -> tuple[tuple[Requirement, ...], Inspected | None]:
    """Judge as `judged` does, and return the inspection plan with its evidence too."""
    chain = calculate(record) if chain is None else chain
    judged_lines = lines(record, chain)
    pitch = evaluated_pitch(record, chain) if pitch is None else pitch
    fed = tuple(held(record, chain, pitch, read_all_traces(record, chain) if traces is None else traces))
    plan, found = planned(record, chain, tuple(line.key for line in judged_lines), fed)
    turns = reserve_turns(record, judged_lines, chain)
    requirements = tuple(
        _requirement(line, evidence_of(line, found, plan, record.part.stage), turns.get(line.key))
        for line in judged_lines
    )
    flaws = tuple(flaw_gaps(flaw_needs(record, chain)))
    return requirements, inspected(record, plan, judged_lines, found, flaws)


def _requirement(
    line: Line, evidence: tuple[Evidence, tuple[Finding, ...], str], turns: Turns | None
) -> Requirement:
    by_evidence, findings, kinds = evidence
    demand, capacity = plain(line.demand), plain(line.capacity)
    assessed = not line.reason and demand is not None and capacity is not None
    meets = assessed and bool(reaches(capacity, demand))
    if assessed:
        by_calculation = Calculation.MEETS if meets else Calculation.FAILS
    else:
        by_calculation = Calculation.NOT_ASSESSED
    return Requirement(
        key=line.key,
        station=line.station,
        title=line.title,
        sentence=line.sentence,
        demand=demand if assessed else None,
        capacity=capacity if assessed else None,
        demand_words=line.demand_words,
        capacity_words=line.capacity_words,
        unit=line.unit,
        native="; ".join(filter(None, (native_margin(line), line.beside))) if assessed else "",
        cite=line.method.cite,
        method=line.method.key,
        status=str(line.method.status),
        by_calculation=by_calculation,
        reason="" if assessed else line.reason or "no value: see the notices of this station",
        scale=line.scale,
        reserve=line.reserve
        or (_reserve(turns, meets=meets) if assessed and on_torque_scale(line) else None),
        share=demand / capacity if assessed and line.scale is Scale.SHARE and capacity > 0 else None,
        kind_of_evidence=kinds,
        by_evidence=by_evidence,
        findings=findings,
        beside=line.beside if assessed else "",
    )


def _reserve(turns: Turns | None, *, meets: bool) -> Reserve:
    if turns is None:
        return reserve(np.nan, meets=meets)
    return reserve(turns.factor.item(), meets=meets, ends=turns.ends.item())


DECIMALS = {"mm": 2, "MPa": 0, "HV": 0, "µm": 1, "%": 0}


def native_margin(line: Line) -> str:
    """Say the margin in the trade's own measure: a safety factor, a clearance, or demand and capacity."""
    if line.said:
        return line.said
    if line.native is not None:
        symbol, value, least = line.native
        return f"{symbol} = {float(value):.2f}, at least {float(least):.2f}"
    digits, unit = DECIMALS.get(line.unit, 2), line.unit
    demand, capacity = float(line.demand), float(line.capacity)
    if line.scale is Scale.WORDS:
        clear = capacity - demand
        return f"{abs(clear):.{digits}f} {unit} of diameter {'clear' if clear >= 0 else 'short'}"
    if line.classes is not None:
        pairs = zip(line.classes, line.brief, (demand, capacity), strict=True)
        said = (
            f"class {float(number):g} {word} ({value:.{digits}f} {unit})" for number, word, value in pairs
        )
        return ", ".join(said)
    sides = zip((demand, capacity), line.brief, strict=True)
    # a damage sum has no unit; one too small for its digits is not none
    smallest = 10.0**-digits
    shown = (
        (
            f"under {smallest:.{digits}f}" if 0.0 < value < smallest / 2.0 else f"{value:.{digits}f}",
            unit,
            word,
        )
        for value, word in sides
    )
    return ", ".join(" ".join(filter(None, parts)) for parts in shown)
