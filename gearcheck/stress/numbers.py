"""Guards against what a formula cannot take, shared by the files of this room."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array


def checked_above_zero(**values: Number) -> None:
    """Raise one InputError that names every value not above 0; NaN passes: it is a stop from before."""
    faults = Faults()
    for name, value in values.items():
        faults.need(not np.any(array(value) <= 0), name, value, "a number above 0")
    faults.check()


def by_range(value: Array, edges: tuple[float, ...], parts: tuple[Number, ...]) -> Array:
    """Return the part of the first edge that `value` does not exceed, the last part beyond; NaN stays NaN."""
    chosen = array(parts[-1])
    for edge, part in zip(reversed(edges), reversed(parts[:-1]), strict=True):
        chosen = np.where(value <= edge, part, chosen)
    return np.where(np.isnan(value), np.nan, chosen)
