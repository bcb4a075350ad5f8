"""Fatigue tests: whether what specimens stood supports the life required, at the reliability agreed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import array
from gearcheck.fatigue.supported import SUPPORTED
from gearcheck.requirements.types import Scale
from gearcheck.review.fatigue_inputs import FatigueTests
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line, MeshChain, stop_words
from gearcheck.review.stations.contact import LATER

if TYPE_CHECKING:  # they are found with the lines
    from gearcheck.review.fatigue import FatigueLife
    from gearcheck.review.supported import Supported

NAME = "fatigue"
KEYS = "fatigue."
"""How the keys of its requirements begin."""


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield for each place that was tested and each mesh whether the tests support the life required."""
    if record.fatigue is None:
        return
    for number, tests in enumerate(record.fatigue.tests):
        found = chain.fatigue[number] if chain.fatigue else None
        for mesh in chain.meshes:
            yield _line(record, tests, found, mesh)


def _line(record: Record, tests: FatigueTests, found: FatigueLife | None, mesh: MeshChain) -> Line:
    own = None if found is None else next((one for one in found.supported if one.mesh == mesh.name), None)
    agreed, fatigue = record.required, record.fatigue
    share = "" if agreed is None else f"{number_text(100 * agreed.reliability, 10)} % "
    gears = "the gears" if fatigue is None or fatigue.gears_in_set == 1 else "the sets of gears"
    return Line(
        key=f"{KEYS}{tests.place}.{mesh.name}",
        station=NAME,
        title=f"{tests.place.capitalize()} by specimen tests, the gear with {mesh.name}",
        sentence=f"The specimens support, with a confidence of {number_text(100 * tests.confidence)} %, that "
        f"{share}of {gears} outlive the life required at the {tests.place}.",
        demand=None if own is None else own.stress.stress_MPa,
        capacity=None if own is None else own.stress.supported_MPa,
        demand_words=f"largest {tests.place} stress in the life required",
        capacity_words=f"{tests.place} stress that the tests support",
        unit="MPa",
        method=SUPPORTED,
        scale=Scale.TORQUE,
        brief=("reached", "supported"),
        reason=_reason(record, found, own, mesh),
        evidence="endurance test of whole gears",
        beside="" if found is None else _open(found),
        reserve=None if own is None else own.reserve,
    )


def _open(found: FatigueLife) -> str:
    """How many differences nothing answers for: what meets, meets but for them."""
    count = int(array(found.pedigree.open))
    if not count:
        return ""
    return f"{count} {'difference' if count == 1 else 'differences'} between specimen and part open"


def _reason(record: Record, found: FatigueLife | None, own: Supported | None, mesh: MeshChain) -> str:
    """Why nothing is said of it: what is missing, what stops it, or that it follows."""
    if mesh.missing or stop_words(mesh.pair):
        return mesh.missing or stop_words(mesh.pair)
    if record.required is None:
        return "[required] missing"
    if found is None:
        return LATER
    if found.reason or own is None:
        rated = stop_words(mesh.factors, mesh.flank, mesh.gear.root)
        return found.reason or rated or "no step of the duty carries a load"
    return stop_words(own.stress)
