"""The one comparison of every requirement: the capacity reaches the demand."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Number, array

SLACK = 1e-9
"""Share of the demand that counts as rounding: 1.90 mm less 0.30 mm reaches 1.60 mm."""

_MORE_DECIMALS = 4


def reaches(capacity: Number, demand: Number) -> NDArray[np.bool_]:
    """Say whether a capacity reaches a demand; equality is enough, and binary rounding does not count.

    Parameters
    ----------
    capacity, demand : float or array
        In the same unit; they broadcast. None and NaN reach nothing.

    Returns
    -------
    ndarray of bool
        Of the common shape.

    Examples
    --------
    >>> bool(reaches(1.90 - 0.30, 1.60)), bool(reaches(1.59, 1.60))
    (True, False)
    """
    able, asked = array(capacity), array(demand)
    found: NDArray[np.bool_] = able >= asked - SLACK * np.abs(asked)
    return found


def decimals_apart(value: float, end: float, least: int) -> int:
    """Return how many decimals tell a value from a limit that it is not equal to.

    Parameters
    ----------
    value, end : float
        In the same unit.
    least : int
        The decimals that are usual.

    Returns
    -------
    int
        Those, and up to four more.

    Examples
    --------
    >>> decimals_apart(19.02, 19.0, 1), decimals_apart(18.4, 19.0, 1)
    (2, 1)
    """
    same = abs(value - end) <= SLACK * max(abs(value), abs(end))
    for decimals in range(least, least + _MORE_DECIMALS):
        if same == (round(value, decimals) == round(end, decimals)):
            return decimals
    return least + _MORE_DECIMALS
