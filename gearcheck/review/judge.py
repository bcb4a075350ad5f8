"""Judging: lines become requirements with their two answers and their reserve."""

from __future__ import annotations

import numpy as np

from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.basics.numbers import array, plain
from gearcheck.requirements.compare import reaches
from gearcheck.requirements.types import Calculation, Finding, Requirement, Scale, Stage
from gearcheck.review.chain import calculate
from gearcheck.review.evidence import answer, evaluated_pitch, findings
from gearcheck.review.inputs import Record
from gearcheck.review.reserves import on_torque_scale, reserve, reserve_factors
from gearcheck.review.results import Chain, Line
from gearcheck.review.stations import lines


def judged(
    record: Record, chain: Chain | None = None, pitch: tuple[PitchDeviations, ...] | None = None
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

    Returns
    -------
    tuple of Requirement
        In the order of the stations.
    """
    chain = calculate(record) if chain is None else chain
    found = findings(record, chain, evaluated_pitch(record, chain) if pitch is None else pitch)
    judged_lines = lines(record, chain)
    factors = reserve_factors(record, judged_lines)
    return tuple(
        _requirement(line, record.part.stage, found.get(line.key, []), factors.get(line.key))
        for line in judged_lines
    )


def _requirement(line: Line, stage: Stage, found: list[Finding], factor: object) -> Requirement:
    demand, capacity = plain(line.demand), plain(line.capacity)
    assessed = not line.reason and demand is not None and capacity is not None
    meets = assessed and bool(reaches(capacity, demand))
    if assessed:
        by_calculation = Calculation.MEETS if meets else Calculation.FAILS
    else:
        by_calculation = Calculation.NOT_ASSESSED
    factor_here = array(factor).item() if factor is not None else np.nan
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
        native=native_margin(line) if assessed else "",
        cite=line.method.cite,
        method=line.method.key,
        status=str(line.method.status),
        by_calculation=by_calculation,
        reason="" if assessed else line.reason or "no value: see the notices of this station",
        scale=line.scale,
        reserve=reserve(factor_here, meets=meets) if assessed and on_torque_scale(line) else None,
        share=demand / capacity if assessed and line.scale is Scale.SHARE and capacity > 0 else None,
        kind_of_evidence=line.evidence,
        by_evidence=answer(line, stage, found),
        findings=tuple(found),
    )


DECIMALS = {"mm": 2, "MPa": 0, "HV": 0, "µm": 1}


def native_margin(line: Line) -> str:
    """Say the margin in the trade's own measure: a safety factor, a clearance, or demand and capacity."""
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
    asked, able = line.brief
    return f"{demand:.{digits}f} {unit} {asked}, {capacity:.{digits}f} {unit} {able}"
