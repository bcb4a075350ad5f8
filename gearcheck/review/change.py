"""One input that a what-if may move: how it is called, how far it goes, how it is read and written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Number
from gearcheck.review.inputs import Record


@dataclass(frozen=True, kw_only=True)
class Change:
    """One input that a review may move.

    Parameters
    ----------
    key : str
        Its name in the address of a draft.
    label, symbol, unit : str
        As read on the screen.
    digits : int
        Decimals shown.
    step : float
        One realistic step for the trade table, in `unit`; relative to the value where `relative`.
    reach : tuple of float
        How far below and above the record's value it may go, in the same measure as `step`.
    whole : bool
        Whether only whole numbers make sense.
    relative : bool
        Whether step and reach are shares of the record's value.
    least, most : float
        What no what-if goes beyond.
    goes_with : str
        What moves along with it; empty where everything else is held.
    mends_alone : str
        How the keys of the requirements begin that it moves, and that nothing else moves; empty where it may
        move any.
    traded, mends : bool
        Whether it stands in the trade table, and whether it is looked at among the remedies; its slider is on
        the stress sheet in any case.
    apart : tuple of str
        Other changes that say the same in another way: moved, it takes them out of a draft.
    read : callable
        The value of a record; None where the record lacks it.
    write : callable
        The record with another value; the value may be an array.
    """

    key: str
    label: str
    symbol: str
    unit: str
    digits: int
    step: float
    reach: tuple[float, float]
    read: Callable[[Record], Number]
    write: Callable[[Record, Number], Record]
    goes_with: str = ""
    apart: tuple[str, ...] = ()
    traded: bool = True
    mends: bool = True
    mends_alone: str = ""
    whole: bool = False
    relative: bool = False
    least: float = -np.inf
    most: float = np.inf

    def stepped(self, record: Record) -> float:
        """The record's value one realistic step further."""
        value = float(self.read(record))
        return value * (1 + self.step) if self.relative else value + self.step

    def bounds(self, record: Record) -> tuple[float, float]:
        """The least and the largest value of a what-if."""
        value = float(self.read(record))
        scale = abs(value) if self.relative else 1.0
        below, above = self.reach
        low, high = max(value - below * scale, self.least), min(value + above * scale, self.most)
        # what the record holds is no what-if
        return min(low, value), max(high, value)
