"""What cannot work or should not be built, each with the number that says so."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.tables import table

Mask: TypeAlias = NDArray[np.bool_]


def limit(name: str) -> float:
    """Return one limit of the table of gear limits, in normal modules."""
    return table("gear_limits").value(name)


def flagged(wrong: Mask, level: Level, key: str, text: str, **values: Number) -> Iterator[Notice]:
    """Yield one notice with the numbers of the first sample for which `wrong` is true, or nothing."""
    if not np.any(wrong):
        return
    shape = np.broadcast_shapes(np.shape(wrong), *(np.shape(value) for value in values.values()))
    first = int(np.argmax(np.broadcast_to(wrong, shape)))
    numbers = {
        name: float(np.broadcast_to(array(value), shape).flat[first]) for name, value in values.items()
    }
    yield Notice(level, key, text.format(**numbers))


def any_of(*masks: Mask) -> Mask:
    """Return where at least one mask is true."""
    return np.asarray(np.logical_or.reduce(np.broadcast_arrays(*masks)), dtype=np.bool_)
