"""What a number may be: a float, an array of samples, or None after a stop."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Number: TypeAlias = Any
"""A float; a numpy array, one entry a sample; or None where a stop notice says why there is no value."""

Array: TypeAlias = NDArray[np.float64]


def array(value: Number) -> Array:
    """Return a number as a float array; None becomes NaN, so that a stop travels through a formula.

    Parameters
    ----------
    value : float, array_like or None
        Any number of the package.

    Returns
    -------
    ndarray of float
        Of the shape of `value`; 0-d for a plain number.

    Examples
    --------
    >>> array(None)
    array(nan)
    """
    return np.asarray(value, dtype=np.float64)


def plain(value: Number) -> Number:
    """Return a 0-d array as a float, and NaN as None; leave longer arrays as they are.

    Parameters
    ----------
    value : float, array_like or None
        Any number of the package.

    Returns
    -------
    float, ndarray or None
        What a result shows.

    Examples
    --------
    >>> plain(np.float64(2.5)), plain(float("nan"))
    (2.5, None)
    """
    if isinstance(value, float):
        return None if value != value else float(value)  # NaN is what is not itself
    if isinstance(value, np.ndarray) and value.ndim and value.dtype == np.float64:
        return value
    values = array(value)
    if values.ndim:
        return values
    return None if np.isnan(values) else float(values)


def taken(values: Array, place: NDArray[np.intp]) -> Array:
    """Return of each sample the value at a place of its own on the last axis.

    Parameters
    ----------
    values : ndarray
        Shape (..., places).
    place : ndarray of int
        Shape (...).

    Returns
    -------
    ndarray of float
        Shape (...).

    Examples
    --------
    >>> print(taken(np.array([[1.0, 2.0], [3.0, 4.0]]), np.array([1, 0])))
    [2. 3.]
    """
    return array(np.take_along_axis(values, place[..., None], axis=-1)[..., 0])
