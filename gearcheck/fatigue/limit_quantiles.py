"""Quantiles of strength about a random limit, of many parameters at once: its strength is a sum of two.

A specimen that breaks at ln N = y has the strength γ + S_c e^((b_0 + σ ε - y)/b): a limit and a part above
it, both lognormal and independent.
"""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr, ndtri

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.newton import quietly

_STEP = 0.5
_NODES = np.arange(-10.0, 8.0 + _STEP, _STEP)
_WEIGHTS = np.exp(-0.5 * _NODES**2) / np.sqrt(2.0 * np.pi) * _STEP
_ALONG = np.arange(-8.0, 5.0, 0.5)
_TINY = 1e-300
_AT_ONCE = 16


@quietly()
def log_strengths(theta: Array, centre: float, y: Array, z: Array) -> Array:
    """Return ln S of quantiles z at lives y.

    Parameters
    ----------
    theta : ndarray of shape (draws, 5)
        Parameters of the random limit.
    centre : float
        ln S_c.
    y, z : ndarray of shape (lives,) and (quantiles,)
        Logarithms of lives; normal quantiles from -8 to 4.

    Returns
    -------
    ndarray of float
        Of shape (draws, quantiles, lives); good to 5e-4.
    """
    parts = [_of_some(theta[first : first + _AT_ONCE], y, z) for first in range(0, len(theta), _AT_ONCE)]
    return np.asarray(centre + np.concatenate(parts))


def _of_some(theta: Array, y: Array, z: Array) -> Array:
    b, sigma, scatter = (np.exp(theta[:, place, None]) for place in (1, 2, 4))
    limit, over = theta[:, 3, None], (theta[:, 0, None] - y) / b
    spread = sigma / b
    # both parts at one quantile: the sum of independent parts spreads less, so these places reach as far out
    places = np.logaddexp(
        limit[..., None] + scatter[..., None] * _ALONG, over[..., None] + spread[..., None] * _ALONG
    )
    shares = _share_below(places, (limit, scatter), (over, spread))
    found = ndtri(np.clip(shares, _TINY, 1.0 - 1e-16))
    return np.swapaxes(_read(found, places, z), 1, 2)


def _share_below(places: Array, limit: tuple[Array, Array], over: tuple[Array, Array]) -> Array:
    """Share of sums below each place: the part that scatters less is summed over, so that equal steps do."""
    shape = places.shape[:2]
    m_1, s_1, m_2, s_2 = (np.broadcast_to(of, shape)[..., None, None] for of in (*limit, *over))
    less = np.exp(m_1) * s_1 <= np.exp(m_2) * s_2
    at, by = np.where(less, m_1, m_2), np.where(less, s_1, s_2)
    rest_at, rest_by = np.where(less, m_2, m_1), np.where(less, s_2, s_1)
    left = -np.expm1(
        at + by * _NODES - places[..., None]
    )  # share of the place that is left for the other part
    there = left > 0
    zeta = (places[..., None] + np.log(np.where(there, left, 1.0)) - rest_at) / rest_by
    return np.asarray(np.where(there, ndtr(zeta), 0.0) @ _WEIGHTS)


def _read(found: Array, places: Array, z: Array) -> Array:
    """Places at which the quantiles wanted stand, between those that were found: straight lines between."""
    last = found.shape[-1] - 2
    before = np.clip((found[..., None, :] <= z[:, None]).sum(axis=-1) - 1, 0, last)
    low, high = (np.take_along_axis(found, before + step, axis=-1) for step in (0, 1))
    from_, to = (np.take_along_axis(places, before + step, axis=-1) for step in (0, 1))
    return np.asarray(from_ + (to - from_) * (z - low) / np.maximum(high - low, 1e-12))
