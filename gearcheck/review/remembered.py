"""Slow work that is done once for the same inputs, whatever else of a record moves."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, fields, is_dataclass
from functools import lru_cache
from typing import Any, TypeVar

import numpy as np

from gearcheck.basics.numbers import array

Found = TypeVar("Found")
KEPT = 64
"""So many results of each work are remembered."""


@dataclass(frozen=True)
class _Given:
    """The inputs of one piece of work, told apart by their exact values."""

    key: Hashable
    values: tuple[Any, ...] = field(compare=False)


def remembered(work: Callable[..., Found], kept: int = KEPT) -> Callable[..., Found]:
    """Return slow work that is done once for the same inputs.

    Parameters
    ----------
    work : callable
        Of numbers, arrays of samples, names, and frozen dataclasses or tuples of these, given by place.
    kept : int
        So many results are remembered.

    Returns
    -------
    callable
        The same.
    """

    @lru_cache(maxsize=kept)
    def known(given: _Given) -> Found:
        return work(*given.values)

    return lambda *values: known(_Given(_key(values), values))


def _key(value: Any) -> Hashable:
    if isinstance(value, tuple):
        return tuple(_key(part) for part in value)
    if is_dataclass(value):
        return type(value), *(_key(getattr(value, item.name)) for item in fields(value))
    if isinstance(value, int | float | np.ndarray | np.generic):
        numbers = array(value)
        return numbers.shape, numbers.tobytes()
    return value  # type: ignore[no-any-return]
