"""Stress: flank and root of both gears of each mesh, at the safety agreed, for the life or duty required."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result
from gearcheck.duty.damage import DamageSum
from gearcheck.requirements.types import Scale
from gearcheck.review.inputs import Record
from gearcheck.review.rating import too_reliable
from gearcheck.review.results import Chain, Line, MemberChain, MeshChain, stop_words
from gearcheck.review.spectrum import NO_LOAD, governing
from gearcheck.review.stations import surface
from gearcheck.stress.flank_limit import FlankSafety
from gearcheck.stress.flank_static import FlankStaticSafety
from gearcheck.stress.root_limit import RootSafety
from gearcheck.stress.root_static import RootStaticSafety

NAME = "stress"
NO_SUM = "[required] damage_sum missing"


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield flank and root of the gear and of the mate in each mesh, then scuffing and micropitting."""
    for mesh in chain.meshes:
        for role, member in (("gear", mesh.gear), ("mate", mesh.mate)):
            subject = f"the gear against {mesh.name}" if role == "gear" else mesh.name
            yield _flank(record, mesh, member, role, subject)
            yield _root(record, mesh, member, role, subject)
            yield from _static(record, mesh, member, role, subject)
        yield from surface.lines(record, mesh)


def _flank(record: Record, mesh: MeshChain, member: MemberChain, role: str, subject: str) -> Line:
    result = member.flank
    key, title = f"stress.flank.{mesh.name}.{role}", f"Flank stress, {subject}"
    reason = _reason(mesh, member.missing_flank, mesh.flank, member.limits, result)
    agreed, sums = record.required, member.flank_damage
    least = None if agreed is None else agreed.flank_safety
    if record.duty is not None:
        if agreed is not None and agreed.static_flank_safety is None:
            reason = reason or _above_static(sums, agreed.flank_safety, "static_flank_safety")
        return _damage(record, key, f"Flank life, {subject}", sums, "pitting", subject, reason)
    value = None if result is None else result.safety
    return Line(
        key=key,
        station=NAME,
        title=title,
        sentence=f"The contact stress on {subject} keeps the agreed safety for the required life.",
        demand=None if result is None else result.stress_MPa,
        capacity=None if result is None else result.permissible_stress_MPa,
        demand_words="contact stress σ_H",
        capacity_words="permissible contact stress σ_HP",
        unit="MPa",
        method=FlankSafety.method if result is None else result.method,
        scale=Scale.TORQUE,
        native=("S_H", value, least),
        reason=reason,
    )


def _root(record: Record, mesh: MeshChain, member: MemberChain, role: str, subject: str) -> Line:
    result = member.root_safety
    key, title = f"stress.root.{mesh.name}.{role}", f"Root stress, {subject}"
    reason = _reason(mesh, member.missing_root, member.limits, member.root, result)
    agreed, sums = record.required, member.root_damage
    least = None if agreed is None else agreed.root_safety
    if record.duty is not None:
        if agreed is not None and agreed.static_root_safety is None:
            reason = reason or _above_static(sums, agreed.root_safety, "static_root_safety")
        return _damage(record, key, f"Root life, {subject}", sums, "tooth breakage", subject, reason)
    value = None if result is None else result.safety
    return Line(
        key=key,
        station=NAME,
        title=title,
        sentence=f"The tooth root stress of {subject} keeps the agreed safety for the required life.",
        demand=None if result is None else result.stress_MPa,
        capacity=None if result is None else result.permissible_stress_MPa,
        demand_words="tooth root stress σ_F",
        capacity_words="permissible tooth root stress σ_FP",
        unit="MPa",
        method=RootSafety.method if result is None else result.method,
        scale=Scale.TORQUE,
        native=("S_F", value, least),
        reason=reason,
    )


def _above_static(sums: tuple[DamageSum, ...], safety: float, wanted: str) -> str:
    """A damage sum does not answer for a step that breaks the tooth at once: its line goes on above that."""
    for one in sums:
        above = array(one.stress_MPa) / safety > array(one.static_limit_MPa)
        if bool(np.all(np.any(above, axis=0))):
            return f"a step exceeds the static strength, and [required] {wanted} is missing"
    return ""


def _damage(
    record: Record, key: str, title: str, sums: tuple[DamageSum, ...], mode: str, subject: str, reason: str
) -> Line:
    """Under a duty the damage sum answers, with each stress times the safety agreed."""
    allowed = None if record.required is None else record.required.damage_sum
    return Line(
        key=key,
        station=NAME,
        title=title,
        sentence=f"The duty of the required life, at the agreed safety, spends no more than the agreed "
        f"damage sum on {mode} of {subject}.",
        demand=governing(sums),
        capacity=allowed,
        demand_words="damage sum D of the duty, each stress times the safety agreed",
        capacity_words="damage sum agreed",
        unit="",
        method=DamageSum.method,
        brief=("damage sum", "agreed"),
        scale=Scale.TORQUE,
        reason=reason or stop_words(*sums) or (NO_SUM if allowed is None else "" if sums else NO_LOAD),
    )


def _static(record: Record, mesh: MeshChain, member: MemberChain, role: str, subject: str) -> Iterator[Line]:
    agreed = record.required
    if agreed is None:
        return
    if agreed.static_flank_safety is not None:
        flank = member.flank_static
        yield _at_highest(
            key=f"stress.static_flank.{mesh.name}.{role}",
            title=f"Flank at the highest torque, {subject}",
            symbol="S_Hst",
            words=("contact stress at the highest torque", "permissible contact stress, static"),
            stress=None if flank is None else flank.stress_MPa,
            result=flank,
            least=agreed.static_flank_safety,
            kind=FlankStaticSafety,
            subject=subject,
            reason=_reason(mesh, too_reliable(agreed), mesh.flank, member.limits, flank),
        )
    if agreed.static_root_safety is not None:
        root = member.root_static
        yield _at_highest(
            key=f"stress.static_root.{mesh.name}.{role}",
            title=f"Root at the highest torque, {subject}",
            symbol="S_Fst",
            words=("root stress at the highest torque", "permissible root stress, static"),
            stress=None if root is None else root.stress_MPa,
            result=root,
            least=agreed.static_root_safety,
            kind=RootStaticSafety,
            subject=subject,
            reason=_reason(mesh, too_reliable(agreed), member.limits, member.root, root),
        )


def _at_highest(
    *,
    key: str,
    title: str,
    symbol: str,
    words: tuple[str, str],
    stress: Number,
    result: FlankStaticSafety | RootStaticSafety | None,
    least: float,
    kind: type[FlankStaticSafety | RootStaticSafety],
    subject: str,
    reason: str,
) -> Line:
    return Line(
        key=key,
        station=NAME,
        title=title,
        sentence=f"The highest torque, a few times in a life, does not break or mark the teeth of {subject} "
        "at the agreed static safety.",
        demand=stress,
        capacity=None if result is None else result.permissible_stress_MPa,
        demand_words=words[0],
        capacity_words=words[1],
        unit="MPa",
        method=kind.method if result is None else result.method,
        scale=Scale.TORQUE,
        native=(symbol, None if result is None else result.safety, least),
        reason=reason,
    )


def _reason(mesh: MeshChain, missing: str, *steps: Result | None) -> str:
    """Say why there is no value: a section is missing, or a stop on the way."""
    return mesh.missing or missing or stop_words(mesh.pair, mesh.factors, *steps)
