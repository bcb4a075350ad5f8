"""Stress: the flank and the root of both gears of each mesh, at the safety agreed for the contract."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.results import Result
from gearcheck.requirements.types import Scale
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line, MemberChain, MeshChain, stop_words
from gearcheck.stress.flank_limit import FlankSafety
from gearcheck.stress.root_limit import RootSafety

NAME = "stress"


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield flank and root stress of the gear and of the mate in each mesh."""
    for mesh in chain.meshes:
        for role, member in (("gear", mesh.gear), ("mate", mesh.mate)):
            subject = f"the gear against {mesh.name}" if role == "gear" else mesh.name
            yield _flank(record, mesh, member, role, subject)
            yield _root(record, mesh, member, role, subject)


def _flank(record: Record, mesh: MeshChain, member: MemberChain, role: str, subject: str) -> Line:
    result = member.flank
    least = None if record.required is None else record.required.flank_safety
    value = None if result is None else result.safety
    return Line(
        key=f"stress.flank.{mesh.name}.{role}",
        station=NAME,
        title=f"Flank stress, {subject}",
        sentence=f"The contact stress on {subject} keeps the agreed safety for the required life.",
        demand=None if result is None else result.stress_MPa,
        capacity=None if result is None else result.permissible_stress_MPa,
        demand_words="contact stress σ_H",
        capacity_words="permissible contact stress σ_HP",
        unit="MPa",
        method=FlankSafety.method,
        scale=Scale.TORQUE,
        native=("S_H", value, least),
        reason=_reason(mesh, member.missing_flank, mesh.flank, member.limits, result),
    )


def _root(record: Record, mesh: MeshChain, member: MemberChain, role: str, subject: str) -> Line:
    result = member.root_safety
    least = None if record.required is None else record.required.root_safety
    value = None if result is None else result.safety
    return Line(
        key=f"stress.root.{mesh.name}.{role}",
        station=NAME,
        title=f"Root stress, {subject}",
        sentence=f"The tooth root stress of {subject} keeps the agreed safety for the required life.",
        demand=None if result is None else result.stress_MPa,
        capacity=None if result is None else result.permissible_stress_MPa,
        demand_words="tooth root stress σ_F",
        capacity_words="permissible tooth root stress σ_FP",
        unit="MPa",
        method=RootSafety.method,
        scale=Scale.TORQUE,
        native=("S_F", value, least),
        reason=_reason(mesh, member.missing_root, member.limits, member.root, result),
    )


def _reason(mesh: MeshChain, missing: str, *steps: Result | None) -> str:
    """Say why there is no value: a section is missing, or a stop on the way."""
    return mesh.missing or missing or stop_words(mesh.pair, mesh.factors, *steps)
