"""Ranges of size: the tolerances of older editions count the geometric mean of the ends."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array, Number, array


def range_mean(value: Number, ends: Number) -> Array:
    """Return the geometric mean of the ends of the range that a size falls into.

    √(low high)

    Parameters
    ----------
    value : float or array
        The size.
    ends : array_like
        The ends of the ranges, one after the other, shape (ranges + 1,).

    Returns
    -------
    ndarray of float
        In the unit of the size; a size on an end belongs to the lower range; NaN outside all ranges.

    Examples
    --------
    >>> range_mean([110.0, 125.0, 4.0], [5, 20, 50, 125, 280]).round(2).tolist()
    [79.06, 79.06, nan]
    """
    size, edges = array(value), array(ends)
    place = np.clip(np.searchsorted(edges, size, side="left"), 1, edges.size - 1)
    outside = ~((size >= edges[0]) & (size <= edges[-1]))
    return np.where(outside, np.nan, np.sqrt(edges[place - 1] * edges[place]))
