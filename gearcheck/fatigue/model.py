"""What every model of a stress-cycle curve answers, and which there are."""

from __future__ import annotations

from typing import Protocol

import numpy as np

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.families import Points, Scored
from gearcheck.fatigue.fixed_limit import FixedLimit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.life_line import LifeLine
from gearcheck.fatigue.random_limit import RandomLimit
from gearcheck.fatigue.two_slopes import TwoSlopes

LONG_SLOPE = 49.9125
"""Slope of the long-life factor, 0.85 at 1e10 from 1 at 3e6 load cycles: ISO 6336-3, from memory."""


class FatigueModel(Protocol):
    """A model of parameters θ of shape (..., p): without that last axis they broadcast with what is asked."""

    @property
    def curve(self) -> Curve:
        """Which it is."""

    @property
    def distribution(self) -> Distribution:
        """How it scatters."""

    @property
    def names(self) -> tuple[str, ...]:
        """Its parameters in their order."""

    def starts(self, points: Points) -> Array:
        """Return parameters to begin with, of shape (starts, p)."""

    def scored(self, theta: Array, points: Points) -> Scored:
        """Return log-likelihood and derivatives of each specimen."""

    def failed_share(self, theta: Array, *, stress_MPa: Array, cycles: Array) -> Array:
        """Return the share that has failed by so many cycles."""

    def life_cycles(self, theta: Array, *, stress_MPa: Array, failed_share: Array) -> Array:
        """Return the cycles by which a share has failed; inf below a limit."""

    def strength_MPa(  # noqa: N802 - carries its unit
        self, theta: Array, *, cycles: Array, failed_share: Array
    ) -> Array:
        """Return the stress at which a share has failed by so many cycles."""


def points_of(data: FatigueData) -> Points:
    """Return tests as a model reads them."""
    sound = data.sound_cycles
    with np.errstate(divide="ignore"):
        last = None if sound is None or np.isnan(sound).all() else np.log(sound)
    return Points(x=np.log(data.stress_MPa), y=np.log(data.cycles), failed=data.failed, sound=last)


def model_of(
    curve: Curve,
    *,
    distribution: Distribution,
    centre: float,
    knee_cycles: float | None = None,
    long_slope: float = LONG_SLOPE,
) -> FatigueModel:
    """Return a model.

    Parameters
    ----------
    curve : Curve
        Its form.
    distribution : Distribution
        Of lives; random limit and two slopes are lognormal.
    centre : float
        Logarithm of a stress amid the tests.
    knee_cycles, long_slope : float
        Of two slopes: the knee where it is given, and k_2 beyond it.

    Returns
    -------
    FatigueModel
        Without parameters.
    """
    if curve is Curve.RANDOM_LIMIT:
        return RandomLimit(centre)
    if curve is Curve.FIXED_LIMIT:
        return FixedLimit(distribution, centre)
    if curve is Curve.TWO_SLOPES:
        knee = None if knee_cycles is None else float(np.log(knee_cycles))
        return TwoSlopes(centre, long_slope, knee)
    return LifeLine(curve, distribution, centre)
