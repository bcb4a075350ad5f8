"""What parameters are drawn from: kernels where weight was found, and one wide bell behind them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import gammaln, logsumexp

from gearcheck.basics.numbers import Array

_FREEDOM = 5.0  # of the t distribution of every bell
_KERNELS = 60
_NARROW = 0.7  # width of a kernel, of the spread of all
_BROADER = 1.2  # kernels are drawn so much wider than they stand for
_WIDE = 2.0
_BEHIND = 0.3  # share of the draws from the wide bell


@dataclass(frozen=True)
class Bells:
    """Bells of one shape and equal weight, each a t distribution.

    Parameters
    ----------
    centres : ndarray of shape (bells, p)
        Where they stand.
    spread : ndarray of shape (p, p)
        The square of their width.
    share : float
        Of all draws.
    """

    centres: Array
    spread: Array
    share: float = 1.0

    def draws(self, generator: np.random.Generator, count: int) -> Array:
        """Return so many draws, of shape (count, p)."""
        normal = generator.standard_normal((count, self.centres.shape[1]))
        freed = np.sqrt(_FREEDOM / generator.chisquare(_FREEDOM, count))
        which = generator.integers(len(self.centres), size=count)
        away = normal * freed[:, None] @ np.linalg.cholesky(self.spread).T
        return np.asarray(self.centres[which] + away)

    def log_density(self, theta: Array) -> Array:
        """Return the logarithm of their share of the density at each of the draws."""
        root = np.linalg.inv(np.linalg.cholesky(self.spread))
        square = (((theta[:, None] - self.centres) @ root.T) ** 2).sum(axis=-1)
        width = theta.shape[1]
        fixed = gammaln(0.5 * (_FREEDOM + width)) - gammaln(0.5 * _FREEDOM) + np.log(np.diag(root)).sum()
        fixed += np.log(self.share / len(self.centres)) - 0.5 * width * np.log(_FREEDOM * np.pi)
        each = -0.5 * (_FREEDOM + width) * np.log1p(square / _FREEDOM)
        return np.asarray(fixed + logsumexp(each, axis=-1))


Proposal = tuple[Bells, ...]


def drawn(generator: np.random.Generator, proposal: Proposal, count: int) -> tuple[Array, Array]:
    """Return so many draws of a proposal, with the logarithm of its density there."""
    counts = [round(count * bells.share) for bells in proposal[:-1]]
    counts.append(count - sum(counts))
    theta = np.concatenate(
        [bells.draws(generator, some) for bells, some in zip(proposal, counts, strict=True)]
    )
    return theta, np.asarray(logsumexp([bells.log_density(theta) for bells in proposal], axis=0))


def followed(generator: np.random.Generator, theta: Array, weights: Array) -> Proposal:
    """Return a proposal that follows draws by their weight.

    Kernels stand about draws picked by weight, drawn in so that the spread of all stays (West, 1993).

    Parameters
    ----------
    generator : Generator
        Of random numbers.
    theta : ndarray of shape (draws, p)
        What was drawn.
    weights : ndarray of shape (draws,)
        Adding to 1.

    Returns
    -------
    tuple of Bells
        Kernels, and a wide bell that leaves no tail out.
    """
    held = np.minimum(weights, 1.0 / np.sqrt(len(weights)))  # so that no draw alone tells where
    held = held / held.sum()
    centre = held @ theta
    away = theta - centre
    spread = (held[:, None] * away).T @ away
    spread += np.diag(1e-9 * np.diag(spread) + 1e-300)
    steps = (np.arange(_KERNELS) + generator.uniform(size=_KERNELS)) / _KERNELS
    picked = np.minimum(np.searchsorted(np.cumsum(held), steps), len(held) - 1)
    kernels = centre + np.sqrt(1.0 - _NARROW**2) * away[picked]
    return (
        Bells(kernels, spread * (_NARROW * _BROADER) ** 2, 1.0 - _BEHIND),
        Bells(centre[None], spread * _WIDE**2, _BEHIND),
    )
