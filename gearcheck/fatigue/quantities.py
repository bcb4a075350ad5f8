"""What of a curve can be bounded: strength at a life, life at a stress, anything of its parameters."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.families import Points
from gearcheck.fatigue.model import FatigueModel

_DIFFERENCE = 1e-5


@dataclass(frozen=True)
class OfParameters:
    """Anything that follows from the parameters.

    Parameters
    ----------
    function : callable
        Takes parameters of shape (rows, p), gives (rows,).
    count : int
        One value.
    """

    function: Callable[[Array], Array]
    count: int = 1

    def values(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return the value of each row."""
        return self.function(theta)

    def slopes(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return its derivatives, by central differences."""
        columns = []
        for place in range(theta.shape[-1]):
            by = np.zeros(theta.shape[-1])
            by[place] = _DIFFERENCE
            ahead, back = self.values(theta + by, which), self.values(theta - by, which)
            columns.append((ahead - back) / (2.0 * _DIFFERENCE))
        return np.stack(columns, axis=-1)


@dataclass(frozen=True)
class LogStrength:
    """ln S at which a share has failed by so many cycles.

    Parameters
    ----------
    model : FatigueModel
        The curve.
    cycles, failed_share : ndarray of shape (k,)
        An entry for each place.
    """

    model: FatigueModel
    cycles: Array
    failed_share: Array

    @property
    def count(self) -> int:
        """How many places."""
        return self.cycles.size

    def values(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return the value of each row."""
        cycles, share = self.cycles[which], self.failed_share[which]
        return np.log(self.model.strength_MPa(theta, cycles=cycles, failed_share=share))

    def slopes(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return its derivatives: what holds the share where it is."""
        return _held(self.model, theta, self.values(theta, which), np.log(self.cycles[which]), by_stress=True)


@dataclass(frozen=True)
class LogLife:
    """ln N by which a share has failed at a stress.

    Parameters
    ----------
    model : FatigueModel
        The curve.
    stress_MPa, failed_share : ndarray of shape (k,)
        An entry for each place.
    """

    model: FatigueModel
    stress_MPa: Array
    failed_share: Array

    @property
    def count(self) -> int:
        """How many places."""
        return self.stress_MPa.size

    def values(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return the value of each row."""
        stress, share = self.stress_MPa[which], self.failed_share[which]
        return np.log(self.model.life_cycles(theta, stress_MPa=stress, failed_share=share))

    def slopes(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return its derivatives: what holds the share where it is."""
        stress = np.log(self.stress_MPa[which])
        return _held(self.model, theta, stress, self.values(theta, which), by_stress=False)


def _held(model: FatigueModel, theta: Array, x: Array, y: Array, *, by_stress: bool) -> Array:
    """Derivatives of x, or y, along which F(x, y; θ) stays; a run-out there has the likelihood 1 - F."""
    h = _DIFFERENCE
    ways = ((x + h, y), (x - h, y)) if by_stress else ((x, y + h), (x, y - h))
    ahead, back = (model.failed_share(theta, stress_MPa=np.exp(of[0]), cycles=np.exp(of[1])) for of in ways)
    there = Points(x=x[:, None], y=y[:, None], failed=np.zeros((x.size, 1), dtype=bool))
    found = model.scored(theta, there)
    by_theta = -found.scores[:, 0] * np.exp(found.log_likelihood)
    with np.errstate(divide="ignore", invalid="ignore"):
        return -by_theta / ((ahead - back) / (2.0 * h))[:, None]
