"""The stations of the review: each turns its part of the chain into lines that can be judged."""

from __future__ import annotations

from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line
from gearcheck.review.stations import (
    accuracy,
    case_depth,
    contact,
    fatigue,
    geometry,
    inspection,
    stress,
)

STATIONS = (geometry, stress, contact, case_depth, accuracy, fatigue)
NAMES = (*(station.NAME for station in STATIONS), inspection.NAME)


def lines(record: Record, chain: Chain) -> tuple[Line, ...]:
    """Return every line of the record in the order of the stations; demand and capacity keep the arrays."""
    found = calculated(record, chain)
    return (*found, *inspection.lines(record, chain, found))


def calculated(record: Record, chain: Chain) -> tuple[Line, ...]:
    """Return the lines that rest on the calculation, and so on torque; what is inspected is left out."""
    return tuple(line for station in STATIONS for line in station.lines(record, chain))
