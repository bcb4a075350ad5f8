"""What the stress sheet works out for a draft at rest: readings, failure maps, advice, AGMA beside."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.review.agma import AgmaBeside, agma_beside
from gearcheck.review.alternatives import Alternative, alternatives
from gearcheck.review.chain import calculate
from gearcheck.review.failure_map import Against, FailureMap, failure_map
from gearcheck.review.inputs import Record
from gearcheck.review.shift_advice import ShiftAdvice, shift_advice


@dataclass(frozen=True, kw_only=True)
class Found:
    """What was worked out for one draft.

    Parameters
    ----------
    readings : tuple of Alternative
        The other reading of each clause.
    maps : tuple of FailureMap
        Over speed, and over life.
    advice : tuple of ShiftAdvice
        The balance of shifts.
    agma : tuple of AgmaBeside
        Each mesh by the other standard.
    now : tuple of float or None
        Speed and life of the gear itself.
    """

    readings: tuple[Alternative, ...]
    maps: tuple[FailureMap, ...]
    advice: tuple[ShiftAdvice, ...]
    agma: tuple[AgmaBeside, ...]
    now: tuple[float | None, ...]


def found_for(record: Record) -> Found:
    """Work out all of it for one record."""
    life = None if record.required is None else float(record.required.life_h)
    return Found(
        readings=alternatives(record),
        maps=tuple(failure_map(record, against) for against in Against),
        advice=shift_advice(record),
        agma=agma_beside(record, calculate(record)),
        now=(float(record.meshes[0].speed_rpm), life),
    )
