"""The torque reserve: the factor on torque nearest to 1 at which a requirement turns, really calculated."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.digits import decimals_text
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
_FAR = 1e3  # an end of the values comes after every turn
_ROUNDS = 12


def on_torque_scale(line: Line) -> bool:
    """Whether a line is compared by its torque reserve and can be assessed."""
    return line.scale is Scale.TORQUE and not line.reason


def _moves_with_torque(line: Line) -> bool:
    """Whether its reserve is found on the closed forms."""
    return on_torque_scale(line) and line.reserve is None


@dataclass(frozen=True, kw_only=True)
class Turns:
    """Where margins turn, and where they have no value any more.

    Parameters
    ----------
    factor : ndarray
        The torque factor nearest to 1 at which the sign turns; NaN where it does not.
    ends : ndarray
        Where it does not, and there is no value from some torque on, that torque factor: over 1 where the
        margin is met, else whichever keeps a turn from being seen. NaN otherwise.
    """

    factor: Array
    ends: Array


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
    return {key: found.factor for key, found in reserve_turns(record, known, chain).items()}


def reserve_turns(
    record: Record, known: tuple[Line, ...] | None = None, chain: Chain | None = None
) -> dict[str, Turns]:
    """Find the torque reserve of every line as `reserve_factors`, and where a line has no value any more."""
    chain = calculate(record) if chain is None else chain
    known = lines(record, chain) if known is None else known
    found = [line for line in known if _moves_with_torque(line)]
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

    turns = torque_turns(margins, len(keys), samples)
    pairs = zip(keys, turns.factor, turns.ends, strict=True)
    return {key: Turns(factor=factor, ends=ends) for key, factor, ends in pairs}


def _margin(line: Line) -> Array:
    margin = array(line.capacity) - array(line.demand)
    # what reaches its demand but for rounding has no negative margin
    found: Array = np.where(reaches(line.capacity, line.demand), np.maximum(margin, 0.0), margin)
    return found


def torque_turns(
    margins: Callable[[Array], Array],
    count: int,
    samples: tuple[int, ...] = (),
    *,
    grid: Array = _GRID,
    near: Array = _NEAR,
    close: float = _CLOSE,
) -> Turns:
    """Find for each margin the torque factor nearest to 1 at which its sign turns, or its value ends.

    Parameters
    ----------
    margins : callable
        Takes factors of shape (..., n), returns margins of shape (count, ..., n); NaN where there is none.
    count : int
        Number of margins.
    samples : tuple of int
        The sample axes between.
    grid : ndarray
        Where turns are looked for first, 1 among them.
    near : ndarray
        How far from where a straight line turns it is looked for next, in the share of a step.
    close : float
        How narrow a turn is enclosed, over its factor.

    Returns
    -------
    Turns
        Arrays of shape (count, *samples), between 0.05 and 20. A turn beyond a torque without a value is
        none: what lies between is not known.
    """
    found = margins(np.broadcast_to(grid, (*samples, grid.size)))
    changes, upward = _nearest(_signs(found), grid)
    low, high = grid[changes], grid[changes + 1]
    at_low, at_high = (taken(found, place) for place in (changes, changes + 1))
    high = np.where(_signs(at_low) == _signs(at_high), low, high)  # nothing to look for
    own = np.arange(count).reshape((count, *(1 for _ in samples), 1))
    for _ in range(_ROUNDS):
        open_still = _signs(at_low) != _signs(at_high)
        if not (open_still & (high > low * (1 + close))).any():
            break
        trial = low[..., None] * (high / low)[..., None] ** _cuts(at_low, at_high, near)
        seen = np.take_along_axis(margins(trial), own[None], axis=0)[0]
        changed = np.diff(_signs(seen)) != 0
        last = changed.shape[-1] - 1 - np.argmax(changed[..., ::-1], axis=-1)
        step = np.where(upward, np.argmax(changed, axis=-1), last)  # the first on the way from 1
        (low, at_low), (high, at_high) = (
            (taken(trial, place), taken(seen, place)) for place in (step, step + 1)
        )
    place, both = np.sqrt(low * high), _signs(at_low) * _signs(at_high)
    ended = (both == 0) & (_signs(at_low) != _signs(at_high))
    # what is met and has no value at less torque is still met up to 20
    told = ended & (upward | (_signs(at_high) < 0))
    return Turns(factor=np.where(both < 0, place, np.nan), ends=np.where(told, place, np.nan))


def _nearest(signs: Array, grid: Array) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
    """The step of the grid to look into, and whether it lies above 1: where there is none, any level one.

    The nearest turn that is reached with values all the way from 1; else where the values end, upwards
    first for what is met, downwards first for what is not.
    """
    one = int(np.searchsorted(grid, 1.0))
    changes = np.diff(signs) != 0
    above, below = changes[..., one:], changes[..., one - 1 :: -1]
    up, down = one + np.argmax(above, axis=-1), one - 1 - np.argmax(below, axis=-1)
    products = signs[..., 1:] * signs[..., :-1]
    away = np.log(grid[up]), -np.log(grid[down + 1])
    meets = taken(signs, np.full(up.shape, one)) > 0
    rank = [
        np.where(~any_change.any(axis=-1), np.inf, np.where(taken(products, step) < 0, far, _FAR + last))
        for any_change, step, far, last in ((above, up, away[0], ~meets), (below, down, away[1], meets))
    ]
    upward = rank[0] <= rank[1]
    return np.where(upward, up, down), upward


def _cuts(at_low: Array, at_high: Array, near_turn: Array) -> Array:
    """Where to look between both ends, 0 to 1: evenly, and about where a straight line turns."""
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = np.nan_to_num(at_low / (at_low - at_high), nan=0.5)[..., None]
    near = np.clip(turn + near_turn, 0.0, 1.0)
    return np.sort(np.concatenate((np.broadcast_to(_CUTS, (*turn.shape[:-1], _CUTS.size)), near), axis=-1))


def _signs(margins: Array) -> Array:
    """1 where met, -1 where not, 0 where there is no value: a stop is no turn."""
    signs: Array = np.where(np.isnan(margins), 0.0, np.where(margins >= 0, 1.0, -1.0))
    return signs


def reserve(factor: float, *, meets: bool, ends: float = np.nan) -> Reserve:
    """Put a turning factor into words.

    Parameters
    ----------
    factor : float
        NaN where the requirement does not turn.
    meets : bool
        Whether it is met at the torque of the record.
    ends : float
        The torque factor from which on there is no value; NaN where there is one up to 20, or down to 0.05.

    Returns
    -------
    Reserve
        The factor, or the words that stand for it.

    Examples
    --------
    >>> reserve(float("nan"), meets=True).words
    'over 20'
    """
    if np.isnan(factor) and not np.isnan(ends):
        side = "beyond" if ends > 1 else "below"
        return Reserve(factor=None, words=f"no value {side} {decimals_text(ends, 2)}", ends_at=ends)
    if np.isnan(factor):
        return Reserve(factor=None, words="over 20" if meets else "no torque fixes it")
    return Reserve(factor=float(factor))
