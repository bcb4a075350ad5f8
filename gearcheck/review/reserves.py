"""The torque reserve: the factor on torque nearest to 1 at which a requirement turns, really calculated."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from gearcheck.basics.numbers import Array, array, taken
from gearcheck.requirements.compare import reaches
from gearcheck.requirements.types import Reserve, Scale
from gearcheck.review.chain import calculate
from gearcheck.review.inputs import Record
from gearcheck.review.moves import with_torque
from gearcheck.review.results import Chain, Line
from gearcheck.review.stations import calculated, lines

LOWEST, HIGHEST = 0.05, 20.0
# 5 % steps find each turn; cuts close to where a straight line puts it narrow it in two or three rounds
_GRID = np.unique(np.append(np.geomspace(LOWEST, HIGHEST, 123), 1.0))
_CUTS = np.linspace(0.0, 1.0, 5)
_NEAR = np.outer([-1, 1], [0.12, 0.05, 0.02, 6e-3, 2e-3, 5e-4, 1e-4]).ravel()
_CLOSE = 2e-6
_ROUNDS = 12


def on_torque_scale(line: Line) -> bool:
    """Whether a line is compared by its torque reserve and can be assessed."""
    return line.scale is Scale.TORQUE and not line.reason


def reserve_factors(
    record: Record, known: tuple[Line, ...] | None = None, chain: Chain | None = None
) -> dict[str, Array]:
    """Find the torque reserve of every line on the torque scale.

    Parameters
    ----------
    record : Record
        Its numbers may be arrays of shape (samples, 1): the last axis carries the torque.
    known : tuple of Line, optional
        The lines of the record, where they are at hand.
    chain : Chain, optional
        Its chain, where it is at hand.

    Returns
    -------
    dict of str to ndarray
        By the key of the line, shape (samples,) or (); NaN where it does not turn between 0.05 and 20.
    """
    chain = calculate(record) if chain is None else chain
    known = lines(record, chain) if known is None else known
    found = [line for line in known if on_torque_scale(line)]
    keys = [line.key for line in found]
    sides = (side for line in found for side in (line.demand, line.capacity))
    samples = np.broadcast_shapes((1,), *(array(side).shape for side in sides))[:-1]
    if not keys:
        return {}

    def margins(factors: Array) -> Array:
        changed = with_torque(record, factors)
        judged = {line.key: line for line in calculated(changed, calculate(changed, at_other_load=chain))}
        shape = np.broadcast_shapes(factors.shape, (*samples, 1))
        return np.stack([np.broadcast_to(_margin(judged[key]), shape) for key in keys])

    factors = turning_factors(margins, len(keys), samples)
    return dict(zip(keys, factors, strict=True))


def _margin(line: Line) -> Array:
    margin = array(line.capacity) - array(line.demand)
    # what reaches its demand but for rounding has no negative margin
    found: Array = np.where(reaches(line.capacity, line.demand), np.maximum(margin, 0.0), margin)
    return found


def turning_factors(margins: Callable[[Array], Array], count: int, samples: tuple[int, ...] = ()) -> Array:
    """Find for each margin the torque factor nearest to 1 at which its sign turns.

    Parameters
    ----------
    margins : callable
        Takes factors of shape (..., n), returns margins of shape (count, ..., n); NaN where there is none.
    count : int
        Number of margins.
    samples : tuple of int
        The sample axes between.

    Returns
    -------
    ndarray, shape (count, *samples)
        NaN where the sign does not turn between 0.05 and 20.
    """
    found = margins(np.broadcast_to(_GRID, (*samples, _GRID.size)))
    meets = _signs(found)
    turns = meets[..., 1:] * meets[..., :-1] < 0
    # the side of each step that lies nearer to 1 says how far away the turn is
    away = np.minimum(np.abs(np.log(_GRID[1:])), np.abs(np.log(_GRID[:-1])))
    nearest = np.argmin(np.where(turns, away, np.inf), axis=-1)
    low, high = _GRID[nearest], _GRID[nearest + 1]
    at_low, at_high = (taken(found, place) for place in (nearest, nearest + 1))
    own = np.arange(count).reshape((count, *(1 for _ in samples), 1))
    for _ in range(_ROUNDS):
        if not (turns.any(axis=-1) & (high > low * (1 + _CLOSE))).any():
            break
        trial = low[..., None] * (high / low)[..., None] ** _cuts(at_low, at_high)
        seen = np.take_along_axis(margins(trial), own[None], axis=0)[0]
        signs = _signs(seen)
        step = np.argmax(signs[..., 1:] * signs[..., :-1] < 0, axis=-1)
        (low, at_low), (high, at_high) = (
            (taken(trial, place), taken(seen, place)) for place in (step, step + 1)
        )
    turning: Array = np.where(turns.any(axis=-1), np.sqrt(low * high), np.nan)
    return turning


def _cuts(at_low: Array, at_high: Array) -> Array:
    """Where to look between both ends, 0 to 1: evenly, and about where a straight line turns."""
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = np.nan_to_num(at_low / (at_low - at_high), nan=0.5)[..., None]
    near = np.clip(turn + _NEAR, 0.0, 1.0)
    return np.sort(np.concatenate((np.broadcast_to(_CUTS, (*turn.shape[:-1], _CUTS.size)), near), axis=-1))


def _signs(margins: Array) -> Array:
    """1 where met, -1 where not, 0 where there is no value: a stop is no turn."""
    signs: Array = np.where(np.isnan(margins), 0.0, np.where(margins >= 0, 1.0, -1.0))
    return signs


def reserve(factor: float, *, meets: bool) -> Reserve:
    """Put a turning factor into words.

    Parameters
    ----------
    factor : float
        NaN where the requirement does not turn.
    meets : bool
        Whether it is met at the torque of the record.

    Returns
    -------
    Reserve
        The factor, or the words that stand for it.

    Examples
    --------
    >>> reserve(float("nan"), meets=True).words
    'over 20'
    """
    if np.isnan(factor):
        return Reserve(factor=None, words="over 20" if meets else "no torque fixes it")
    return Reserve(factor=float(factor))
