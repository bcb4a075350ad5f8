"""Many contact problems on one bed, with one load: those with the same contacts are solved together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.meshing.unilateral import Bed, Pressed, pressed

_ROUNDS = 15
_SAME = 1e-8
_NOTHING = 1e-10  # mm: no overlap


def pressed_alike(bed: Bed, place: int, separation_mm: Array, force_N: float, start: Array) -> Pressed:
    """Press bodies together on the same bed with the same force, their separations a little different.

    C·F + h(F) + e - δ ≥ 0, F ≥ 0, one of both 0 at each contact; ΣF = force

    Problems whose contacts are the same share one factorisation, with the mean slope of h; what changes from
    one to the other is left to the rounds. The few that do not come to an end go to `pressed`.

    Parameters
    ----------
    bed : Bed
        With the place.
    place : int
        The place of all problems.
    separation_mm : ndarray
        e, shape (problems, contacts).
    force_N : float
        Above 0.
    start : ndarray
        Forces to start from, shape (contacts,).

    Returns
    -------
    Pressed
        To a hundred-millionth of the force.
    """
    usable = np.flatnonzero(bed.usable[place])
    softness = bed.flexibility[place][np.ix_(usable, usable)]
    length, local = bed.length_mm[place, usable], bed.local.at((np.array(place), usable))
    separation = separation_mm[:, usable]
    forces = np.tile(start[usable], (len(separation), 1))
    active, delta = forces > 0.0, np.zeros(len(separation))
    left, rounds = np.arange(len(separation)), 0
    while left.size and rounds < _ROUNDS:
        rounds += 1
        was, held = forces[left], active[left]
        approach, slope = local.of(was / length)
        other = approach + separation[left]
        step, delta[left] = _step(softness, slope / length, was, other, force_N, held)
        gap = step @ softness + separation[left] - delta[left][:, None]
        wanted = (held & (step >= 0.0)) | (~held & (gap < -_NOTHING))
        moved = np.abs(step - was).max(axis=-1) > _SAME * force_N
        forces[left], active[left] = np.maximum(step, 0.0), wanted
        left = left[moved | (wanted != held).any(axis=-1)]
    return _ended(bed, place, separation_mm, force_N, usable, forces, delta, left, rounds)


def _step(
    softness: Array, slope: Array, forces: Array, other: Array, force: float, active: NDArray[np.bool_]
) -> tuple[Array, Array]:
    """Forces and approach with the slopes of each set of contacts, h taken straight from where it stands."""
    order, begin, ends = _sets(active)
    among = active[order[begin]]
    counts = (ends - begin)[:, None]
    mean = np.add.reduceat(slope[order], begin, axis=0) / counts
    matrix = softness * (among[:, :, None] & among[:, None, :])
    inner = np.arange(among.shape[-1])
    matrix[:, inner, inner] += np.where(among, mean, 1.0)
    inverse = np.linalg.inv(matrix) * among[:, None, :] * among[:, :, None]
    ones = inverse.sum(axis=-1)
    whole = ones.sum(axis=-1)
    sorted_step, sorted_delta = np.empty_like(forces), np.empty(len(forces))
    forces, other = forces[order], other[order]
    for one, (first, last) in enumerate(zip(begin, ends, strict=True)):
        known = mean[one] * forces[first:last] - other[first:last]
        delta = (force - known @ ones[one]) / whole[one]
        sorted_delta[first:last] = delta
        sorted_step[first:last] = known @ inverse[one] + delta[:, None] * ones[one]
    step, approach = np.empty_like(forces), np.empty(len(forces))
    step[order], approach[order] = sorted_step, sorted_delta
    return step, approach


def _sets(active: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
    """An order in which problems with the same contacts stand together, and where they begin and end."""
    bits = np.packbits(active, axis=-1)
    bits = np.pad(bits, ((0, 0), (0, -bits.shape[-1] % 8)))
    keys = np.ascontiguousarray(bits).view(np.uint64)
    order = np.lexsort(keys.T)
    sorted_keys = keys[order]
    new = np.append(True, (sorted_keys[1:] != sorted_keys[:-1]).any(axis=-1))
    begin = np.flatnonzero(new)
    return order, begin, np.append(begin[1:], len(active))


def _ended(
    bed: Bed,
    place: int,
    separation: Array,
    force: float,
    usable: NDArray[np.intp],
    found: Array,
    delta: Array,
    left: NDArray[np.intp],
    rounds: int,
) -> Pressed:
    """The forces of all contacts; what is left is solved one by one."""
    forces = np.zeros(separation.shape)
    forces[:, usable] = found
    solved = np.ones(len(separation), dtype=np.bool_)
    if left.size:
        rest = pressed(bed, separation[left], np.full(left.size, force), np.full(left.size, place))
        forces[left], delta[left], solved[left] = rest.force_N, rest.approach_mm, rest.solved
    return Pressed(force_N=forces, approach_mm=delta, solved=solved, rounds=rounds)
