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
    """Return one limit of a sound gear pair.

    Parameters
    ----------
    name : str
        A row of the table of gear limits.

    Returns
    -------
    float
        In normal modules.

    Examples
    --------
    >>> limit("least tip thickness")
    0.2
    """
    return table("gear_limits").value(name)


def flagged(wrong: Mask, level: Level, key: str, text: str, **values: Number) -> Iterator[Notice]:
    """Yield one notice with the numbers of the first sample for which `wrong` is true, or nothing.

    Parameters
    ----------
    wrong : array of bool
        Where the notice applies.
    level : Level
        Note, caution or stop.
    key : str
        Stable name.
    text : str
        The sentence, with a place for each value.
    **values : float or array
        Broadcast against `wrong`.

    Yields
    ------
    Notice
        At most one.
    """
    if not np.any(wrong):
        return
    shape = np.broadcast_shapes(np.shape(wrong), *(np.shape(value) for value in values.values()))
    first = int(np.argmax(np.broadcast_to(wrong, shape)))
    numbers = {
        name: float(np.broadcast_to(array(value), shape).flat[first]) for name, value in values.items()
    }
    yield Notice(level, key, text.format(**numbers))


def any_of(*masks: Mask) -> Mask:
    """Return where at least one mask is true.

    Parameters
    ----------
    *masks : array of bool
        Broadcast against one another.

    Returns
    -------
    array of bool
        Of the common shape.
    """
    return np.asarray(np.logical_or.reduce(np.broadcast_arrays(*masks)), dtype=np.bool_)
