"""Soft places: the mask far enough from what must stay soft, and thick enough to keep carbon out."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.hardening.masking import MaskCreep
from gearcheck.hardening.stop_off import StopOffPlating
from gearcheck.requirements.types import Scale
from gearcheck.review.inputs import Record
from gearcheck.review.masked import masked
from gearcheck.review.results import Line, stop_words


def mask_lines(record: Record, station: str) -> Iterator[Line]:
    """Yield the distance and the plate of the mask; nothing where the gear file has no section [gear.mask].

    Parameters
    ----------
    record : Record
        It may hold arrays.
    station : str
        The name of the station that they stand in.

    Yields
    ------
    Line
        Not assessed where the furnace is not known.
    """
    mask, found = record.mask, masked(record)
    if mask is None or found is None:
        return
    creep, plate = found.creep, found.plate
    yield Line(
        key="case.mask.distance",
        station=station,
        title="Mask far enough from what must stay soft",
        sentence=(
            "The edge of the mask is drawn so far from what must stay soft that the carbon below it, and the "
            "tolerance of the edge, do not reach that place."
        ),
        demand=None if creep is None else creep.least_distance_mm,
        capacity=mask.distance_mm,
        demand_words="least distance: creep of the carbon and tolerance of the edge",
        capacity_words="distance drawn",
        unit="mm",
        method=MaskCreep.method,
        brief=("needed", "drawn"),
        scale=Scale.SHARE,
        reason=found.no_creep or stop_words(creep),
    )
    yield Line(
        key="case.mask.plate",
        station=station,
        title="Mask thick enough",
        sentence=f"The plate is drawn at least as thick as asked for against carbon: {mask.practice}.",
        demand=None if plate is None else plate.least_um,
        capacity=mask.plate_um,
        demand_words="least thickness of the plate",
        capacity_words="least thickness drawn",
        unit="µm",
        method=StopOffPlating.method,
        brief=("needed", "drawn"),
        scale=Scale.SHARE,
        reason=found.no_plate,
    )
