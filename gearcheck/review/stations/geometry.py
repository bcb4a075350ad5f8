"""Geometry: the active flank must end where clean involute still stands, over the whole range of stock."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.gear.form import InternalFormClearance
from gearcheck.requirements.types import Scale
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line, MemberChain, MeshChain, stop_words

NAME = "geometry"


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield the root form clearance of both gears of each mesh."""
    for mesh in chain.meshes:
        yield _clearance(mesh, mesh.gear, "gear", f"the gear against {mesh.name}")
        yield _clearance(mesh, mesh.mate, "mate", mesh.name)


def _clearance(mesh: MeshChain, member: MemberChain, role: str, subject: str) -> Line:
    result = member.clearance
    if isinstance(result, InternalFormClearance):
        return _internal(mesh, result, role, subject)
    return Line(
        key=f"geometry.form.{mesh.name}.{role}",
        station=NAME,
        title=f"Root form clearance, {subject}",
        sentence=(
            f"The active profile of {subject} starts above the root form circle "
            "for the smallest and the largest grinding stock."
        ),
        demand=result.form_diameter_mm,
        capacity=result.start_of_active_profile_mm,
        demand_words="largest root form diameter d_Ff",
        capacity_words="start of active profile d_Nf",
        unit="mm",
        method=result.method,
        scale=Scale.WORDS,
        reason=stop_words(mesh.pair, result),
    )


def _internal(mesh: MeshChain, result: InternalFormClearance, role: str, subject: str) -> Line:
    """The root of an internal gear lies outside: its active profile must end below the form circle."""
    return Line(
        key=f"geometry.form.{mesh.name}.{role}",
        station=NAME,
        title=f"Root form clearance, {subject}",
        sentence=(
            f"The active profile of {subject} ends inside the root form circle that its pinion cutter leaves."
        ),
        demand=result.start_of_active_profile_mm,
        capacity=result.form_diameter_mm,
        demand_words="end of active profile d_Nf",
        capacity_words="root form diameter d_Ff",
        unit="mm",
        method=result.method,
        scale=Scale.WORDS,
        reason=stop_words(mesh.pair, result),
    )
