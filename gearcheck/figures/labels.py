"""Labels that stand in the drawing: kept apart where what they name lies close together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gearcheck.basics.numbers import Array


def spread(places: Sequence[float], least: float) -> Array:
    """Move places apart until each two lie at least `least` from one another, close to where they were.

    Parameters
    ----------
    places : sequence of float
        Along one axis, in any order.
    least : float
        The gap wanted, in the measure of the axis.

    Returns
    -------
    ndarray of float
        In the order given.

    Examples
    --------
    >>> print(spread([3.0, 3.0, 9.0], 1.0))
    [2.5 3.5 9. ]
    """
    wanted = np.asarray(places, dtype=np.float64)
    order = np.argsort(wanted, kind="stable")
    groups: list[list[float]] = []  # of neighbours that touch: where the group is wanted, and how many
    for place in wanted[order]:
        groups.append([float(place), 1.0])
        while len(groups) > 1 and _touch(groups[-2], groups[-1], least):
            (low, few), (high, more) = groups[-2:]
            groups[-2:] = [[(low * few + high * more) / (few + more), few + more]]
    moved = [
        middle + (number - (count - 1) / 2) * least
        for middle, count in groups
        for number in range(int(count))
    ]
    apart = np.empty_like(wanted)
    apart[order] = moved
    return apart


def spread_within(places: Sequence[float], least: float, low: float, high: float) -> Array:
    """Move places apart as `spread` does, and keep all of them between two ends.

    Parameters
    ----------
    places : sequence of float
        Along one axis, in any order.
    least : float
        The gap wanted; less where there is no room for so many.
    low, high : float
        The ends of the axis.

    Returns
    -------
    ndarray of float
        In the order given.

    Examples
    --------
    >>> print(spread_within([3.0, 3.0, 9.0], 1.0, 3.0, 9.0))
    [3. 4. 9.]
    """
    apart = spread(places, least)
    gap = min(least, (high - low) / max(len(apart) - 1, 1))
    order = np.argsort(apart, kind="stable")
    steps = gap * np.arange(len(apart))
    # no lower than what stands below it, then no higher than what stands above it leaves
    up = np.maximum.accumulate(np.maximum(apart[order], low) - steps) + steps
    down = np.minimum.accumulate((np.minimum(up, high) - steps)[::-1])[::-1] + steps
    kept = np.empty_like(apart)
    kept[order] = down
    return kept


def free_within(places: Sequence[float], least: float, taken: Sequence[tuple[float, float]]) -> Array:
    """Move places of an axis from 0 to 1 to the nearest that are free: apart, and off what is taken.

    Parameters
    ----------
    places : sequence of float
        In any order; the highest chooses first.
    least : float
        The gap wanted between them; half of it to what is taken.
    taken : sequence of tuple of float
        Low and high end of each stretch that is to stay free.

    Returns
    -------
    ndarray of float
        In the order given; where nothing is free a place stays where it was wanted.

    Examples
    --------
    >>> print(free_within([0.5, 0.5], 0.1, [(0.48, 0.52)]).round(2))
    [0.43 0.57]
    """
    grid = np.arange(least / 2, 1.0 - least / 2, least / 20)
    for low, high in taken:
        grid = grid[(grid < low - least / 2) | (grid > high + least / 2)]
    found = np.array(places, dtype=np.float64)
    for place in np.argsort(-found, kind="stable"):
        if grid.size:
            found[place] = grid[np.argmin(np.abs(grid - found[place]))]
            grid = grid[np.abs(grid - found[place]) >= least]
    return found


def _touch(one: list[float], other: list[float], least: float) -> bool:
    return other[0] - (other[1] - 1) / 2 * least < one[0] + (one[1] - 1) / 2 * least + least
