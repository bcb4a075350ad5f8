"""Contact: how evenly the loaded gear turns, and where the load sits, at the nominal torque where agreed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.numbers import Number
from gearcheck.meshing.loaded import LOADED
from gearcheck.requirements.types import Reserve, Scale
from gearcheck.review.inputs import Record, Required
from gearcheck.review.results import Chain, Line, MeshChain, stop_words

NAME = "contact"
LATER = "worked out when the slider rests"
"""Why there is no answer yet: this is slower work."""


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield transmission error, contact pattern and tip contact of each mesh, each where it is agreed."""
    agreed = record.required
    if agreed is None:
        return
    for place, mesh in enumerate(chain.meshes):
        if agreed.transmission_error_um is not None:
            yield _error(chain, place, mesh, agreed.transmission_error_um)
        if agreed.pattern_margin_mm is not None:
            yield from _pattern(chain, place, mesh, agreed)


def _error(chain: Chain, place: int, mesh: MeshChain, most: float) -> Line:
    return _line(
        chain,
        place,
        mesh,
        key="error",
        title="Transmission error",
        sentence="Under the nominal torque the gear turns as evenly as agreed: the static transmission error "
        f"against {mesh.name} keeps its peak to peak.",
        demand="peak_to_peak_um",
        capacity=most,
        words=("peak to peak of the transmission error", "peak to peak agreed"),
        unit="µm",
        brief=("peak to peak", "agreed"),
        evidence="transmission error on a single-flank rig",
    )


def _pattern(chain: Chain, place: int, mesh: MeshChain, agreed: Required) -> Iterator[Line]:
    """The pattern keeps away from both ends of the face, and from the tips off the path of contact."""
    yield _line(
        chain,
        place,
        mesh,
        key="pattern",
        title="Contact pattern",
        sentence=f"Under the nominal torque the contact pattern against {mesh.name} keeps the distance "
        "agreed from both ends of the face.",
        demand=agreed.pattern_margin_mm,
        capacity="pattern_margin_mm",
        words=("distance from the ends of the face agreed", "distance of the pattern from the nearer end"),
        unit="mm",
        brief=("agreed", "kept"),
        evidence="contact pattern",
    )
    yield _line(
        chain,
        place,
        mesh,
        key="tip",
        title="Tip corners",
        sentence=f"Under the nominal torque no tip corner presses on its mate off the path of contact with "
        f"{mesh.name}.",
        demand="corner_share",
        capacity=0.0,
        words=("largest share of the load on tip corners", "share allowed"),
        unit="%",
        brief=("of the load on tip corners", "allowed"),
        evidence="contact pattern",
    )


def _line(
    chain: Chain,
    place: int,
    mesh: MeshChain,
    *,
    key: str,
    title: str,
    sentence: str,
    demand: str | Number,
    capacity: str | Number,
    words: tuple[str, str],
    unit: str,
    brief: tuple[str, str],
    evidence: str,
) -> Line:
    """One line; a text among demand and capacity is the value of that name of the loaded contact."""
    found = chain.contact[place] if chain.contact else None
    reason = stop_words(mesh.pair) or (LATER if found is None else found.reason)
    reserves: dict[str, Reserve | None] = {}
    if found is not None:
        reserves = {
            "error": found.error_reserve,
            "pattern": found.pattern_reserve,
            "tip": found.corner_reserve,
        }

    def value(of: str | Number) -> Number:
        if not isinstance(of, str):
            return of
        if found is None or found.nominal is None:
            return None
        share = 100.0 if unit == "%" else 1.0
        return share * np.asarray(getattr(found.nominal, of))

    return Line(
        key=f"contact.{key}.{mesh.name}",
        station=NAME,
        title=f"{title}, the gear with {mesh.name}",
        sentence=sentence,
        demand=value(demand),
        capacity=value(capacity),
        demand_words=words[0],
        capacity_words=words[1],
        unit=unit,
        method=LOADED,
        scale=Scale.TORQUE,
        brief=brief,
        reason=reason,
        evidence=evidence,
        reserve=None if reason else reserves.get(key),
    )
