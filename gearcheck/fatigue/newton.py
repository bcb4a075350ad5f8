"""The largest likelihood, of many sets of specimens at once: Newton's method with a guard."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.families import Points, Scored

STEPS = 60
_HALVINGS = 12
SUMMIT = 1e-10
"""Twice what a Newton step may still gain of the log-likelihood where it ends."""
_DIFFERENCE = 1e-5
FEW_STEPS, ENOUGH = 30, 1e-6
"""For fits of many sets that begin near their summit."""
_RIDGE = 1e-3
_ROUNDING = 1e-4  # of a gain: the integrals of a limit are no closer
_BEYOND = 1e100  # larger derivatives are none
_FLAT = 1e-10  # a curvature below this share of the largest is none


class Likely(Protocol):
    """Whatever gives a likelihood with its derivatives."""

    def scored(self, theta: Array, points: Points) -> Scored:
        """Return logarithm and derivatives for parameters of shape (..., p)."""


def quietly() -> np.errstate:
    """Return a context for numbers far from the summit, which may overflow: such a step is not taken."""
    return np.errstate(over="ignore", under="ignore", divide="ignore", invalid="ignore")


@dataclass(frozen=True)
class Largest:
    """Where the likelihood is largest; sets of specimens on the first axis.

    Parameters
    ----------
    parameters : ndarray of shape (sets, p)
        Where it is.
    log_likelihood : ndarray of shape (sets,)
        Its logarithm there.
    converged : ndarray of bool
        Whether it is a summit: no gain left, and curved downwards in every direction.
    curvature : ndarray of shape (sets, p, p)
        Minus the second derivatives there.
    decrement : ndarray of shape (sets,)
        Twice what the last step could gain.
    steps : int
        Newton steps of the slowest set.
    """

    parameters: Array
    log_likelihood: Array
    converged: NDArray[np.bool_]
    curvature: Array
    decrement: Array
    steps: int

    @property
    def ended(self) -> NDArray[np.bool_]:
        """Whether hardly anything was left to gain: a summit, or a ridge where a scatter vanishes."""
        return np.asarray(self.decrement < _RIDGE)


@quietly()
def largest_likelihood(
    likely: Likely,
    points: Points,
    start: Array,
    weights: Array | None = None,
    *,
    most_steps: int = STEPS,
    enough: float = SUMMIT,
) -> Largest:
    """Return where the weighted likelihood is largest.

    Parameters
    ----------
    likely : Likely
        The model.
    points : Points
        The tests: of shape (n,), or (sets, n).
    start : ndarray of shape (sets, p)
        Where each set begins.
    weights : ndarray of shape (sets, n), optional
        How often each specimen counts.
    most_steps : int
        After so many it ends, summit or not.
    enough : float
        Where a step gains less than half of it, it ends.

    Returns
    -------
    Largest
        Not converged where the likelihood has no summit, or is not defined at the start.
    """
    theta = np.array(start, dtype=float)
    sets, width = theta.shape
    value = _sum(likely.scored(theta, points).log_likelihood, weights)
    curvature, decrement = np.full((sets, width, width), np.nan), np.full(sets, np.inf)
    summit = np.zeros(sets, dtype=bool)
    at_work = np.isfinite(value)
    steps = 0
    while at_work.any() and steps < most_steps:
        rows = np.flatnonzero(at_work)
        some, heavy = points.rows(rows), None if weights is None else weights[rows]
        slope, bent = slope_and_curvature(likely, some, theta[rows], heavy)
        step, gain, downwards = _step(slope, bent)
        curvature[rows], decrement[rows] = bent, gain
        there = gain < enough
        summit[rows] = there & downwards
        moved = _guarded(likely, some, theta[rows], value[rows], step, heavy)
        theta[rows], value[rows] = moved.theta, moved.value
        at_work[rows] = ~there & moved.moved
        summit[rows] |= ~moved.moved & downwards & (gain < _ROUNDING)  # rounding leaves nothing to gain
        steps += 1
    return Largest(theta, value, summit, curvature, decrement, steps)


def slope_and_curvature(
    likely: Likely, points: Points, theta: Array, weights: Array | None
) -> tuple[Array, Array]:
    """Return first derivatives of the log-likelihood, and minus the second by central differences."""
    width = theta.shape[-1]
    slope = _sum(likely.scored(theta, points).scores, weights, last=2)
    columns = []
    for place in range(width):
        by = np.zeros(width)
        by[place] = 1.0
        h = _DIFFERENCE * (1.0 + np.abs(theta[..., place : place + 1]))
        ahead, back = (
            _sum(likely.scored(theta + way * h * by, points).scores, weights, last=2) for way in (1.0, -1.0)
        )
        columns.append(-(ahead - back) / (2.0 * h))
    bent = np.stack(columns, axis=-1)
    return slope, 0.5 * (bent + np.swapaxes(bent, -1, -2))


def _sum(values: Array, weights: Array | None, last: int = 1) -> Array:
    if weights is None:
        return np.asarray(values.sum(axis=-last))
    heavy = weights if last == 1 else weights[..., None]
    # who was not drawn says nothing, not even that a limit cannot be where it is
    return np.asarray(np.where(heavy > 0, values * heavy, 0.0).sum(axis=-last))


def _step(slope: Array, curvature: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
    """A Newton step that climbs also where the likelihood is not curved downwards."""
    known = np.asarray(
        (np.abs(curvature) < _BEYOND).all(axis=(-1, -2)) & (np.abs(slope) < _BEYOND).all(axis=-1)
    )
    bent = np.where(known[:, None, None], curvature, np.eye(curvature.shape[-1]))
    roots, ways = np.linalg.eigh(bent)
    largest = np.abs(roots).max(axis=-1, keepdims=True)
    along = np.einsum("bij,bi->bj", ways, np.where(known[:, None], slope, 0.0))
    step_along = along / np.maximum(np.abs(roots), _FLAT * largest)
    step = np.einsum("bij,bj->bi", ways, step_along)
    gain = np.where(known, (along * step_along).sum(axis=-1), np.inf)
    return step, gain, known & (roots.min(axis=-1) > _FLAT * largest[:, 0])


@dataclass(frozen=True)
class _Moved:
    theta: Array
    value: Array
    moved: NDArray[np.bool_]


def _guarded(
    likely: Likely, points: Points, theta: Array, value: Array, step: Array, weights: Array | None
) -> _Moved:
    """As much of each step as does not lose."""
    share = np.ones(len(value))
    best, found = theta.copy(), value.copy()
    open_ = np.ones(len(value), dtype=bool)
    for _ in range(_HALVINGS):
        rows = np.flatnonzero(open_)
        if not rows.size:
            break
        tried = theta[rows] + share[rows, None] * step[rows]
        heavy = None if weights is None else weights[rows]
        reached = _sum(likely.scored(tried, points.rows(rows)).log_likelihood, heavy)
        better = reached > value[rows]
        best[rows[better]], found[rows[better]] = tried[better], reached[better]
        open_[rows[better]] = False
        share[rows[~better]] *= 0.5
    return _Moved(best, found, ~open_)
