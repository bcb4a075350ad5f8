"""What a measured residual stress says: of which surface, to which depth, and by which characteristic."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.digits import decimals_text, value_text
from gearcheck.basics.numbers import Array
from gearcheck.hardening.residual import ResidualProfile, measured_residual_stress
from gearcheck.inspection.rules import rule_of
from gearcheck.review.findings import finding, why_stale
from gearcheck.review.inputs import Record, ResidualStressEvidence, StressPlace, StressState
from gearcheck.review.results import Held


@dataclass(frozen=True, kw_only=True)
class MeasuredStress:
    """The residual stress measured below a finished flank, at the depths of a case and at its own points.

    `name` tells it from the others; `limits` says how it was measured, how deep, and what is not taken below.
    """

    name: str
    depth_mm: Array
    profile: ResidualProfile
    limits: str


def stress_name(item: ResidualStressEvidence) -> str:
    """Say where a residual stress was measured and in which state: ``root, peened``."""
    on = "" if item.flank is None else f"{item.flank} flank at the "
    return f"{on}{item.place}, {item.state}"


def is_of_flank(item: ResidualStressEvidence) -> bool:
    """Whether it is that of a flank as it runs; the grind takes what stood in a flank as treated."""
    return item.place is StressPlace.PITCH_LINE and item.state is not StressState.AS_TREATED


def stress_characteristic(item: ResidualStressEvidence) -> str:
    """Return the key of the characteristic that it is held by; empty where none takes it.

    A flank as it runs is held by its own; a root where it is peened, as evidence of the peening.
    """
    if is_of_flank(item):
        return f"residual_stress.{item.flank}"
    peened_root = item.place is StressPlace.ROOT and item.state is StressState.PEENED
    return "residual_stress.root" if peened_root else ""


def measured_characteristics(record: Record) -> frozenset[str]:
    """Return the keys of the characteristics of which a record holds a result, a residual stress, a trace."""
    results = {item.characteristic for item in record.result}
    traced = {
        f"accuracy.{item.kind}{part}.{flank}"
        for item in (*record.profile, *record.helix)
        for flank in item.flank
        for part in ("", "_slope", "_form")
    }
    stresses = {stress_characteristic(item) for item in record.residual_stress} - {""}
    return frozenset(results | traced | stresses)


def held_stress(record: Record) -> Iterator[Held]:
    """Hold each residual stress by the sign of its outermost point; nothing else of it has a limit.

    Parameters
    ----------
    record : Record
        With its evidence.

    Yields
    ------
    Held
        Of those that a characteristic takes.
    """
    for item in record.residual_stress:
        rule = rule_of(stress_characteristic(item))
        if rule is None:
            continue
        surface, depth = float(item.stress_MPa[0]), float(item.depth_mm[0])
        where = "at the surface" if depth == 0 else f"at {decimals_text(depth, 3, 'mm')}, nearest the surface"
        low, high = (_rounded(float(one)) for one in (item.stress_MPa.min(), item.stress_MPa.max()))
        text = (
            f"Residual stress, {stress_name(item)}: {_rounded(surface, 'MPa')} {where}, {low} to {high} "
            f"down to {decimals_text(float(item.depth_mm[-1]), 2, 'mm')}, by {item.technique}; compression "
            "asked at the surface."
        )
        yield Held(rule.key, finding(record, item.head, rule.key, text, surface, rule.limit, "MPa"))


def loose_stress(record: Record) -> Iterator[str]:
    """Say of each residual stress that no characteristic takes why not."""
    for item in record.residual_stress:
        if not stress_characteristic(item):
            yield f"{item.head.source}: nothing in a plan takes the residual stress of a {stress_name(item)}"


def measured_stresses(record: Record, depth_mm: Array) -> Iterator[MeasuredStress]:
    """Return the residual stress measured below each finished flank.

    Parameters
    ----------
    record : Record
        With its evidence.
    depth_mm : ndarray
        Depths from 0, rising, at which it is wanted.

    Yields
    ------
    MeasuredStress
        At those depths and at its own points between them; below its last point there is no value.
    """
    items = [item for item in record.residual_stress if is_of_flank(item)]
    names = [_short(item) for item in items]
    for item, name in zip(items, names, strict=True):
        own = item.depth_mm[item.depth_mm < depth_mm[-1]]
        depth = np.union1d(depth_mm, own)
        profile = measured_residual_stress(
            depth_mm=depth, measured_depth_mm=item.depth_mm, measured_MPa=item.stress_MPa
        )
        told = name if names.count(name) == 1 else f"{name}, {item.head.applies_to}"
        yield MeasuredStress(name=told, depth_mm=depth, profile=profile, limits=_limits(record, item))


def _short(item: ResidualStressEvidence) -> str:
    peened = ", peened" if item.state is StressState.PEENED else ""
    return f"{item.flank} flank{peened}"


def _limits(record: Record, item: ResidualStressEvidence) -> str:
    """How it was measured, how deep, and what is not known of it."""
    deepest = decimals_text(float(item.depth_mm[-1]), 2, "mm")
    widest = value_text(float(np.diff(item.depth_mm).max()), "mm", 2)
    said = [
        f"{item.technique}{_sure(item)} at {item.depth_mm.size} depths to {deepest}, at most {widest} apart, "
        f"{_corrected(item)}",
        "by Dang Van assessed that deep alone: nothing is taken below",
    ]
    if item.state is StressState.PEENED:
        said.append("what the peening brings is shown, not credited")
    if why := why_stale(record, item.head):
        said.append(f"stale: {why}")
    return "; ".join(said)


def _sure(item: ResidualStressEvidence) -> str:
    spread = item.head.uncertainty
    return "" if spread is None else f", ±{value_text(spread, 'MPa')} (k = 2),"


def _corrected(item: ResidualStressEvidence) -> str:
    return {
        True: "corrected for the layers taken off",
        False: "not corrected for the layers taken off",
        None: "whether it is corrected for the layers taken off is not said",
    }[item.is_corrected]


def _rounded(stress: float, unit: str = "") -> str:
    return decimals_text(stress, 0, unit)
