"""Few places between which a smooth quantity is interpolated closely."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array


def places_between(low: float, high: float, count: int) -> Array:
    """Return places from `low` to `high`, both among them, denser towards the ends.

    Parameters
    ----------
    low, high : float
        Ends.
    count : int
        Number of places, 2 or more.

    Returns
    -------
    ndarray of float
        Shape (count,).

    Examples
    --------
    >>> places_between(0.0, 2.0, 3).round(12).tolist()
    [0.0, 1.0, 2.0]
    """
    share = (1.0 - np.cos(np.pi * np.arange(count) / (count - 1))) / 2.0
    return low + (high - low) * share


def weights_between(places: Array, at: Array) -> Array:
    """Return the weights of values at `places_between`, by which the polynomial through them is found.

    Parameters
    ----------
    places : array
        As `places_between` gives them, shape (count,).
    at : array
        Where it is asked for, shape (...).

    Returns
    -------
    ndarray of float
        Shape (..., count); their sum is 1.

    Examples
    --------
    >>> places = places_between(0.0, 2.0, 3)
    >>> round(float(weights_between(places, np.array(0.5)) @ places**2), 12)
    0.25
    """
    sign = (-1.0) ** np.arange(len(places))
    sign[[0, -1]] /= 2.0
    way = at[..., None] - places
    met = way == 0.0
    shares = sign / np.where(met, 1.0, way)
    shares = np.where(met.any(axis=-1, keepdims=True), met, shares)
    return np.asarray(shares / shares.sum(axis=-1, keepdims=True))
