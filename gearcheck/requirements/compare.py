"""The one comparison of every requirement: the capacity reaches the demand."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Number, array

SLACK = 1e-9
"""Share of the demand that counts as rounding: 1.90 mm less 0.30 mm reaches 1.60 mm."""


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
