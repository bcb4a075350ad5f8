"""What the gear bears over the life required, and what the tests of specimens support of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.fatigue.draws import LikelihoodDraws
from gearcheck.fatigue.endurance import EnduranceTest, endurance_test
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Place
from gearcheck.fatigue.service import Service
from gearcheck.fatigue.supported import (
    SUPPORTED,
    DrawnCurves,
    SupportedStress,
    drawn_curves,
    supported_stress,
)
from gearcheck.requirements.types import Reserve
from gearcheck.review.inputs import Mesh, Record
from gearcheck.review.part_service import PartService
from gearcheck.review.rating import At, bent_at, contact_at, contacts_of, factors_at
from gearcheck.review.remembered import remembered
from gearcheck.review.reserves import reserve, torque_turns
from gearcheck.review.results import MeshChain
from gearcheck.review.spectrum import loads_in_life

MOST_DRAWS = 200
_ROUNDS = 6
_CLOSE = 1e-5
"""So many draws carry what is not sure of a supported stress; rounds and closeness of its reserve."""


@dataclass(frozen=True, kw_only=True)
class Supported:
    """What root or flank of the gear bears in one mesh and direction, and what the tests support of it.

    Parameters
    ----------
    mesh : str
        The mate.
    service : Service
        Stresses by the rating, without the safety agreed, and their cycles in the life required, with teeth,
        gears of a set, transfers, and the damage rule beyond the run-out life.
    stress : SupportedStress
        The largest stress of it, and how far it may go.
    reserve : Reserve or None
        The torque factor at which the tests no longer support the life required; None where it is not asked.
    """

    mesh: str
    service: Service
    stress: SupportedStress
    reserve: Reserve | None


def supported_of(
    part: PartService, fit: FatigueFit, draws: LikelihoodDraws, *, with_reserves: bool = True
) -> Iterator[Supported]:
    """Yield what the gear bears and what the tests support of it, mesh by mesh.

    Parameters
    ----------
    part : PartService
        Of a record with a life required.
    fit : FatigueFit
        The curve that governs.
    draws : LikelihoodDraws
        What is not sure of it.
    with_reserves : bool
        Whether the torque reserves are found too.

    Yields
    ------
    Supported
        Of two directions the worse; none where the rating of a mesh lacks something.
    """
    for mesh, rated in zip(part.record.meshes, part.chain.meshes, strict=True):
        if rated.missing:
            continue
        ways = [
            _Way(part, fit, draws, mesh, rated, at, cycles)
            for at, cycles in loads_in_life(part.record, mesh, rated)
        ]
        # where the rating of the part stops, nothing is known of what it bears
        if ways and all(np.isfinite(way.stress()).all() for way in ways):
            yield min(ways, key=_Way.rank).supported(with_reserve=with_reserves)


@dataclass(frozen=True)
class _Way:
    """One direction of one mesh."""

    part: PartService
    fit: FatigueFit
    draws: LikelihoodDraws
    mesh: Mesh
    rated: MeshChain
    at: At
    cycles: Array

    def stress(self, torque_factor: Number = 1.0) -> Array:
        """Stress of each step at another torque."""
        return stress_at(
            self.part.record, self.mesh, self.rated, self.part.tests.place, self.at, torque_factor
        )

    def service(self, torque_factor: float) -> Service:
        """The service at another torque."""
        return self.part.required(self.stress(torque_factor), self.cycles)

    def at_torque(self, torque_factor: float) -> SupportedStress:
        """What is supported at another torque."""
        required = self.part.record.required
        assert required is not None
        service = self.service(torque_factor)
        # any stress stands for all: the curves do not hang on it
        alike = replace(service, stress_MPa=np.ones(1), cycles=np.ones(1), life_h=1.0, log_factor=0.0)
        curves = _drawn(self.fit, self.draws, replace(alike, log_deviation=0.0), required.reliability)
        return supported_stress(curves=curves, service=service, confidence=self.part.tests.confidence)

    @cached_property
    def now(self) -> SupportedStress:
        """What is supported at the torque of the record."""
        return self.at_torque(1.0)

    def rank(self) -> float:
        """How far the stresses may grow: what has no value stands first, what bears over 20 times last."""
        found = self.now
        if any(notice.key == f"{SUPPORTED.key}.over" for notice in found.stops):
            return np.inf
        return -1.0 if found.factor is None else float(array(found.factor))

    def supported(self, *, with_reserve: bool) -> Supported:
        """What it bears, what is supported, and its reserve."""
        return Supported(
            mesh=self.mesh.name,
            service=self.service(1.0),
            stress=self.now,
            reserve=self._reserve() if with_reserve and not self.now.stops else None,
        )

    def _reserve(self) -> Reserve:
        """The torque at which the largest stress is the one that is supported.

        Load factors move with the torque, so that the steps of a duty do not grow alike, and what is
        supported of their largest moves a little: a few rounds settle it.
        """
        meets = bool(array(self.now.factor) >= 1.0)
        wanted, turns = float(array(self.now.supported_MPa)), None
        for _ in range(_ROUNDS):
            turns = torque_turns(partial(self._margin, wanted), 1)
            factor = turns.factor.item()
            if np.isnan(factor) or self.cycles.size == 1:
                break
            found = self.at_torque(factor)
            if abs(float(array(found.factor)) - 1.0) < _CLOSE:
                break
            wanted = float(array(found.supported_MPa))
        assert turns is not None
        return reserve(turns.factor.item(), meets=meets, ends=turns.ends.item())

    def _margin(self, wanted: float, factors: Array) -> Array:
        stress = self.stress(factors.reshape(-1, 1)).max(axis=-1)
        return array(wanted - stress).reshape(1, *factors.shape)


def _curves(fit: FatigueFit, draws: LikelihoodDraws, alike: Service, reliability: float) -> DrawnCurves:
    return drawn_curves(
        fit=fit,
        parameters=draws.parameters,
        weights=draws.weights,
        service=alike,
        reliability=reliability,
        most_draws=MOST_DRAWS,
    )


_drawn = remembered(_curves)
"""They are worked out once, whatever the stresses."""


def endurance_of(part: PartService) -> Service | None:
    """Return the long test that is planned, as one of its gears bears it; None where none is.

    Parameters
    ----------
    part : PartService
        Of a record with a life required.

    Returns
    -------
    Service or None
        In the mesh where the stress is largest.
    """
    record, fatigue = part.record, part.record.fatigue
    planned = None if fatigue is None else fatigue.endurance
    if planned is None or fatigue is None:
        return None
    first, found = record.meshes[0], []
    for mesh, rated in zip(record.meshes, part.chain.meshes, strict=True):
        if rated.missing:
            continue
        speed = mesh.speed_rpm if planned.speed_rpm is None else planned.speed_rpm
        share = array(mesh.torque_Nm) / array(first.torque_Nm)
        at = At(
            torque_Nm=(array(planned.torque_Nm) * share).reshape(1),
            speed_rpm=array(speed),
            application_factor=1.0,
        )
        stress = stress_at(record, mesh, rated, part.tests.place, at)
        if not np.isfinite(stress).all():
            continue
        cycles = array(speed) * 60.0 * array(planned.hours) * contacts_of(record, mesh)
        hours = float(array(planned.hours))
        # what few gears leave open, at the strength that half the gears on test would have
        found.append(part.of(stress, cycles.reshape(1), hours=hours, gears=1, failed_share=0.5))
    return max(found, key=lambda one: float(array(one.stress_MPa).max()), default=None)


def _pass(fit: FatigueFit, draws: LikelihoodDraws, service: Service, gears: int) -> EnduranceTest:
    return endurance_test(
        fit=fit,
        parameters=draws.parameters,
        weights=draws.weights,
        service=service,
        gears=gears,
    )


passing = remembered(_pass)
"""How likely so many gears pass a test; done once for the same tests and service. It leaves the count of the
draws to `endurance_test`, as everybody has to who tells the same chance again."""


def stress_at(
    record: Record, mesh: Mesh, rated: MeshChain, place: Place, at: At, torque_factor: Number = 1.0
) -> Array:
    """Return the stress of root or flank of the gear at some loads, by the rating.

    Parameters
    ----------
    record : Record
        Without samples.
    mesh : Mesh
        One of its meshes.
    rated : MeshChain
        Rated at the nominal load.
    place : Place
        Root or flank.
    at : At
        The loads, of shape (steps,) or (1,).
    torque_factor : float or ndarray
        Factors on the torque; an array of shape (factors, 1) puts them before the steps.

    Returns
    -------
    ndarray
        In MPa, without the safety agreed.
    """
    torque = array(at.torque_Nm) * array(torque_factor)
    factors = factors_at(record, mesh, rated, replace(at, torque_Nm=torque))
    if place is Place.ROOT:
        return array(bent_at(record, rated, rated.gear, factors).stress_MPa)
    return array(contact_at(record, rated, factors).stress_MPa(rated.gear.member))
