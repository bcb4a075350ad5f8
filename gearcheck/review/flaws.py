"""The flaws that root and flank of the gear under review tolerate, against what an inspection can find."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.numbers import Number, array
from gearcheck.basics.tables import table
from gearcheck.duty.damage import DamageSum
from gearcheck.hardening.profile import CRITERION_HV
from gearcheck.inspection.coverage import Gap, GapKind
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, MeshChain
from gearcheck.stress.flaws import Detection, Driving, FlawPlace, ToleratedFlaw, detections, tolerated_flaw
from gearcheck.stress.inputs import Bending

ABOUT = "cracks"
"""The characteristic that a flaw is inspected by."""
ORTHOGONAL = 0.25
"""Amplitude of the orthogonal shear stress over the largest contact pressure, line contact."""


@dataclass(frozen=True, kw_only=True)
class FlawNeed:
    """One place of the gear: the flaw that it tolerates, and the method that finds the smallest there.

    Parameters
    ----------
    title : str
        Where, and against which mate.
    result : ToleratedFlaw
        The largest flaw that does not grow.
    finest : Detection
        The method of the table that finds the smallest flaw at such a place.
    """

    title: str
    result: ToleratedFlaw
    finest: Detection

    @property
    def is_found(self) -> bool:
        """Whether that method can be expected to find every flaw that grows."""
        return bool(array(self.finest.root_area_um) <= array(self.result.root_area_um))


def flaw_needs(record: Record, chain: Chain) -> tuple[FlawNeed, ...]:
    """Work out the flaw that root and flank tolerate, at the nominal load or the highest of the duty.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Of it.

    Returns
    -------
    tuple of FlawNeed
        Root surface and interior, flank surface and interior, by mesh; empty where the stress is not known.
        No residual stress is credited: that of the case closes a flaw at the surface. Inside the hardness is
        the least that there can be: that of the core below the root, that at the end of the case below the
        flank.
    """
    return tuple(need for mesh in chain.meshes for need in _of_mesh(record, mesh))


def _of_mesh(record: Record, mesh: MeshChain) -> Iterator[FlawNeed]:
    gear, agreed, steel = mesh.gear, record.required, record.gear.steel
    if agreed is None or steel is None:
        return
    hardness = array(steel.surface_hardness_HV)
    bent = _highest(gear.root_damage, gear.root and gear.root.stress_MPa, agreed.root_safety)
    if bent is not None:
        both_ways = gear.bending is not Bending.ONE_WAY
        amplitude, mean = (bent, 0.0) if both_ways else (bent / 2, bent / 2)
        there = {FlawPlace.SURFACE: hardness, FlawPlace.INTERIOR: array(steel.core_hardness_HV)}
        for place in FlawPlace:
            yield _need(f"root {place} against {mesh.name}", place, amplitude, mean, there[place])
    pressure = _highest(gear.flank_damage, gear.flank and gear.flank.stress_MPa, agreed.flank_safety)
    if pressure is not None:
        pulled = table("flaw_model").value("friction of the flanks") * pressure
        # behind the contact friction pulls with twice its share of the pressure, once in a pass
        yield _need(f"flank surface against {mesh.name}", FlawPlace.SURFACE, pulled, pulled, hardness)
        shear, title = ORTHOGONAL * pressure, f"flank below the surface against {mesh.name}"
        inside = np.minimum(hardness, CRITERION_HV)
        yield _need(title, FlawPlace.INTERIOR, shear, 0.0, inside, Driving.SHEAR)


def _highest(sums: tuple[DamageSum, ...], nominal: Number, safety: float) -> float | None:
    """The stress times its safety, the largest of the steps under a duty; None where it is not known."""
    stresses = [array(one.stress_MPa).max() for one in sums] or [array(nominal) * safety]
    highest = float(np.max(stresses))
    return None if np.isnan(highest) else highest


def _need(
    title: str,
    place: FlawPlace,
    amplitude: Number,
    mean: Number,
    hardness: Number,
    driving: Driving = Driving.TENSION,
) -> FlawNeed:
    result = tolerated_flaw(
        amplitude_MPa=amplitude, mean_MPa=mean, hardness_HV=hardness, place=place, driving=driving
    )
    told = tuple(replace(one, text=f"Flaw tolerated, {title}: {one.text}") for one in result.notices)
    return FlawNeed(title=title, result=replace(result, notices=told), finest=detections(place)[0])


def flaw_gaps(needs: tuple[FlawNeed, ...]) -> Iterator[Gap]:
    """Say where a flaw can grow that no inspection is sure to find: the least of each place."""
    for place in FlawPlace:
        there = [need for need in needs if need.finest.place is place]
        if not there:
            continue
        least = min(there, key=lambda need: float(need.result.root_area_um))
        if not least.is_found:
            yield Gap(kind=GapKind.NOT_SEEN, about=ABOUT, text=_words(least), source="common practice")


def _words(need: FlawNeed) -> str:
    carried = "the cleanliness of the steel" if need.finest.place is FlawPlace.INTERIOR else "process control"
    size = float(need.result.root_area_um)
    found = f"{need.finest.root_area_um:.0f} µm ({need.finest.length_mm:g} mm long)"
    return (
        f"A flaw above {size:.0f} µm (root of its area, no residual stress counted) "
        f"can grow at the {need.title}; {need.finest.method} is expected to find {found}. "
        f"Inspection alone does not show that no flaw grows: {carried} has to."
    )
