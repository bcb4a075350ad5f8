"""What the life panel works out beside the page: lives of sets and of gears, their scatter, other loads."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.desk.panels.fatigue_view import Wanted
from gearcheck.fatigue.curve_band import wider
from gearcheck.fatigue.endurance import EnduranceTest, endurance_test
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.life_scatter import LifeScatter, life_scatter
from gearcheck.fatigue.life_spectrum import LifeDistribution, life_distribution
from gearcheck.fatigue.service import Service
from gearcheck.figures.fatigue_life import FURTHEST
from gearcheck.review.fatigue import FatigueLife

LOST = np.array([1e-6, 1e-5, 1e-4, 3e-4, 1e-3, 3e-3, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9])
"""Shares that are lost, over which a life is drawn."""
_DRAWS = 300
_LOADS = tuple(np.geomspace(1.0, 3.0, 10))  # factors on the load at which it is told what is lost


@dataclass(frozen=True, kw_only=True)
class LifeOf:
    """The life as asked: of the set, of one gear, its scatter; other loads where a life says little."""

    wanted: Wanted
    service: Service
    at: LifeDistribution
    of_set: LifeDistribution
    of_gear: LifeDistribution
    scatter: LifeScatter
    over_load: tuple[EnduranceTest, ...]


@dataclass(frozen=True, kw_only=True)
class Widened:
    """A fit with its draws, of another scatter than was fitted."""

    fit: FatigueFit
    parameters: Array
    weights: Array


def can_live(life: FatigueLife) -> bool:
    """Whether a life under a duty follows from the tests: their curve has a slope and a summit."""
    return life.draws is not None and life.fit is not None and life.fit.curve is not Curve.ONE_LEVEL


def life_of(life: FatigueLife, service: Service, wanted: Wanted) -> LifeOf:
    """Work out the life as asked.

    Parameters
    ----------
    life : FatigueLife
        Tests with a fit and its draws.
    service : Service
        What the gear bears.
    wanted : Wanted
        What is asked.

    Returns
    -------
    LifeOf
        Of the set, and of one gear.
    """
    of, service = widened(life, wanted.scatter), moved(service, wanted.transfer)

    def distribution(service: Service, reliability: Number) -> LifeDistribution:
        return life_distribution(
            fit=of.fit,
            parameters=of.parameters,
            weights=of.weights,
            service=service,
            reliability=reliability,
            confidence=wanted.confidence,
            most_draws=_DRAWS,
        )

    at = distribution(service, wanted.reliability)
    over = _LOADS if float(array(at.life_h)) > FURTHEST * service.life_h else ()
    return LifeOf(
        wanted=wanted,
        service=service,
        at=at,
        over_load=tuple(_at_load(of, service, float(factor)) for factor in over),
        of_set=distribution(service, 1.0 - LOST),
        of_gear=distribution(replace(service, gears=1), 1.0 - LOST),
        scatter=life_scatter(fit=of.fit, parameters=of.parameters, weights=of.weights, service=service),
    )


def _at_load(of: Widened, service: Service, factor: float) -> EnduranceTest:
    """Whether a set outlives the life wanted at another load is an endurance test of one set."""
    return endurance_test(
        fit=of.fit,
        parameters=of.parameters,
        weights=of.weights,
        service=service,
        gears=1,
        overload=factor,
        most_draws=_DRAWS,
    )


def widened(life: FatigueLife, scatter: float) -> Widened:
    """Return the fit of tests with so many times its scatter.

    Parameters
    ----------
    life : FatigueLife
        Tests with a fit and its draws.
    scatter : float
        The factor.
    """
    fit, draws = life.fit, life.draws
    assert fit is not None
    assert draws is not None
    return Widened(
        fit=replace(fit, parameters=wider(fit.model, fit.parameters, scatter)),
        parameters=wider(fit.model, draws.parameters, scatter),
        weights=draws.weights,
    )


def moved(service: Service, transfer: float) -> Service:
    """Return a service with one more factor on the strength.

    Parameters
    ----------
    service : Service
        What the gear bears.
    transfer : float
        The factor.
    """
    return replace(service, log_factor=service.log_factor + float(np.log(transfer)))
