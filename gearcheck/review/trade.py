"""The trade table: one realistic step of each input against the reserve of each requirement, in one pass."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.requirements.types import Scale
from gearcheck.review.chain import calculate
from gearcheck.review.change import Change
from gearcheck.review.changes import changed, traded_changes
from gearcheck.review.inputs import Record
from gearcheck.review.reserves import reserve_factors
from gearcheck.review.results import Line
from gearcheck.review.stations import lines


@dataclass(frozen=True, kw_only=True)
class Trade:
    """What one step of each input does.

    Parameters
    ----------
    changes : tuple of Change
        The rows.
    before, after : tuple of float
        The value of each input in the record and one step further.
    reserves : dict of str to ndarray
        By requirement: the reserve of the record first, then after each step; shape (rows + 1,).
        NaN where it does not turn.
    shares : dict of str to ndarray
        By requirement that does not depend on torque: the share of its tolerance used, in the same order.
    """

    changes: tuple[Change, ...]
    before: tuple[float, ...]
    after: tuple[float, ...]
    reserves: dict[str, Array]
    shares: dict[str, Array]


def trade(record: Record) -> Trade:
    """Move each input by one realistic step and find every reserve, in one broadcast pass.

    Parameters
    ----------
    record : Record
        The record, without arrays.

    Returns
    -------
    Trade
        With the record itself as the first sample.
    """
    rows = traded_changes(record)
    before = tuple(float(change.read(record)) for change in rows)
    after = tuple(change.stepped(record) for change in rows)
    samples = {}
    for place, change in enumerate(rows):
        values = np.full((len(rows) + 1, 1), before[place])
        values[place + 1] = after[place]
        samples[change.key] = values
    moved = changed(record, samples)
    chain = calculate(moved)
    known = lines(moved, chain)
    size = len(rows) + 1
    reserves = reserve_factors(moved, known, chain)
    return Trade(
        changes=rows,
        before=before,
        after=after,
        reserves={key: np.broadcast_to(value, size) for key, value in reserves.items()},
        shares=_shares(known, size),
    )


def _shares(known: tuple[Line, ...], size: int) -> dict[str, Array]:
    return {
        line.key: np.broadcast_to(np.ravel(array(line.demand) / array(line.capacity)), size)
        for line in known
        if line.scale is Scale.SHARE and not line.reason
    }
