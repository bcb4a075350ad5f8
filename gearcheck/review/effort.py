"""The relative effort of a tolerance class, and the process that reaches it: a rule of thumb."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.basics.tables import table

TABLE = "class_effort"
_FINER, _COARSER = "each class finer, down from 7", "each class coarser, up from 7"
_REFERENCE = 7.0


@dataclass(frozen=True, kw_only=True)
class ClassEffort:
    """Effort of each class in multiples of that of one class, from least to most, and its processes.

    Parameters
    ----------
    classes : ndarray
        Shape (classes,).
    low, high : ndarray
        The effort, shape (classes,); both 1 at the class that it is told from.
    processes : tuple of tuple of str
        What reaches each class, the least effort first; empty where the table has none.
    """

    classes: Array
    low: Array
    high: Array
    processes: tuple[tuple[str, ...], ...]


def class_effort(classes: Any, told_from: float) -> ClassEffort:
    """Return the effort of classes by the table of common practice.

    Parameters
    ----------
    classes : array
        Tolerance classes.
    told_from : float
        The class whose effort is 1.

    Returns
    -------
    ClassEffort
        Bounds of a rule of thumb: it says which way and about how far, it is no price.

    Examples
    --------
    >>> found = class_effort([5, 6, 7, 8], told_from=6)
    >>> found.low.round(2).tolist(), found.high.round(2).tolist()
    ([1.3, 1.0, 0.67, 0.53], [1.5, 1.0, 0.77, 0.73])
    """
    known, rules = array(classes), table(TABLE)

    finer = _beyond(_REFERENCE - known) - _beyond(_REFERENCE - array(told_from))
    coarser = _beyond(known - _REFERENCE) - _beyond(array(told_from) - _REFERENCE)
    ends = [
        np.stack([float(rules.row(name)[end]) ** steps for end in ("low", "high")])
        for name, steps in ((_FINER, finer), (_COARSER, coarser))
    ]
    named = [row for row in rules.rows if "finest" in row]
    processes = tuple(
        tuple(row["name"] for row in named if row["finest"] <= one <= row["coarsest"]) for one in known
    )
    return ClassEffort(
        classes=known,
        low=ends[0].min(axis=0) * ends[1].min(axis=0),
        high=ends[0].max(axis=0) * ends[1].max(axis=0),
        processes=processes,
    )


def _beyond(steps: Array) -> Array:
    return np.maximum(steps, 0.0)
