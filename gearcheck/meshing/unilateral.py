"""Unilateral contact solved exactly: no tension, no penetration, the forces in balance with the load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array, array
from gearcheck.meshing.approach import LocalApproach

_ROUNDS = 60
_AT_ONCE = 25  # after so many rounds one contact at a time comes or goes: slower, and it cannot cycle
_SAME = 1e-11
_NOTHING = 1e-13  # mm: no overlap, only rounding
_STIFFEST = 1e-9  # mm/N: stiffer than any tooth
_CHUNK_BYTES = 4e7  # of the equations solved together: what stays in the cache is fast


@dataclass(frozen=True)
class Bed:
    """The elastic bed on which separations are closed: places on the first axis, contacts on the last.

    Parameters
    ----------
    flexibility : ndarray
        Approach at one contact for a force at another, mm/N, shape (places, contacts, contacts).
    local : LocalApproach
        The contact itself, shape (places, contacts).
    length_mm : ndarray
        Length of the contact line of each contact, mm, shape (places, contacts).
    usable : ndarray of bool
        Which contacts there are; the rest fills up.
    """

    flexibility: Array
    local: LocalApproach
    length_mm: Array
    usable: NDArray[np.bool_]


@dataclass(frozen=True)
class Pressed:
    """The solution of each problem.

    Parameters
    ----------
    force_N : ndarray
        Shape (problems, contacts), 0 or more.
    approach_mm : ndarray
        How far both bodies approach one another, shape (problems,).
    solved : ndarray of bool
        Whether it came to an end.
    rounds : int
        Of the slowest problem.
    """

    force_N: Array
    approach_mm: Array
    solved: NDArray[np.bool_]
    rounds: int


def pressed(
    bed: Bed, separation_mm: Array, force_N: Array, place: NDArray[np.intp], start: Array | None = None
) -> Pressed:
    """Press bodies together with a force each.

    C·F + h(F) + e - δ ≥ 0, F ≥ 0, one of both 0 at each contact; ΣF = force

    Parameters
    ----------
    bed : Bed
        With the places.
    separation_mm : ndarray
        e, shape (problems, contacts).
    force_N : ndarray
        Above 0, shape (problems,).
    place : ndarray of int
        The place of each problem, shape (problems,).
    start : ndarray, optional
        Forces to start from, shape (problems, contacts).

    Returns
    -------
    Pressed
        Newton's method on forces, approach and the set of contacts together.
    """
    problems, contacts = separation_mm.shape
    size = max(int(_CHUNK_BYTES / (8.0 * contacts**2)), 1)
    parts = [
        _pressed(bed, separation_mm[rows], force_N[rows], place[rows], None if start is None else start[rows])
        for rows in (slice(at, at + size) for at in range(0, problems, size))
    ]
    return Pressed(
        force_N=np.concatenate([one.force_N for one in parts]),
        approach_mm=np.concatenate([one.approach_mm for one in parts]),
        solved=np.concatenate([one.solved for one in parts]),
        rounds=max(one.rounds for one in parts),
    )


def _pressed(
    bed: Bed, separation: Array, force: Array, place: NDArray[np.intp], start: Array | None
) -> Pressed:
    usable = bed.usable[place]
    length, local = bed.length_mm[place], bed.local.at((place,))
    if start is None:
        near = usable & (separation <= separation.min(axis=-1, where=usable, initial=np.inf)[:, None] + 0.02)
        start = np.where(near, force[:, None] / near.sum(axis=-1)[:, None], 0.0)
    forces, approach = start.copy(), np.zeros(len(force))
    active, left = usable & (start > 0), np.arange(len(force))
    same = _SAME * force + _rounding(bed, separation, place)
    rounds = 0
    for rounds in range(1, _ROUNDS + 1):
        on = (left,)
        step, delta = _newton(
            bed.flexibility, place[left], local.at(on), length[on], separation[on], force[on], forces[on],
            active[on],
        )  # fmt: skip
        given_way = np.matmul(bed.flexibility[place[left]], step[..., None])[..., 0]
        gap = given_way + separation[on] - delta[:, None]
        wanted = _wanted(active[on], usable[on], step, gap, force[on], one_by_one=rounds > _AT_ONCE)
        moved = np.abs(step - forces[on]).max(axis=-1) > same[on]
        done = (wanted == active[on]).all(axis=-1) & ~moved
        forces[left], approach[left], active[left] = np.maximum(step, 0.0), delta, wanted
        left = left[~done]
        if not left.size:
            break
    solved = np.ones(len(force), dtype=np.bool_)
    solved[left] = False
    return Pressed(force_N=forces, approach_mm=approach, solved=solved, rounds=rounds)


def _rounding(bed: Bed, separation: Array, place: NDArray[np.intp]) -> Array:
    """What rounding of the separations alone does to a force: much of a tiny one."""
    usable = bed.usable[place]
    widest = np.abs(separation).max(axis=-1, where=usable, initial=0.0)
    own = np.diagonal(bed.flexibility, axis1=-2, axis2=-1)[place]
    softness = np.maximum(own.min(axis=-1, where=usable, initial=np.inf), _STIFFEST)
    return array(4.0 * np.finfo(np.float64).eps * widest / softness)


def _newton(
    flexibility: Array,
    place: NDArray[np.intp],
    local: LocalApproach,
    length: Array,
    separation: Array,
    force: Array,
    forces: Array,
    active: NDArray[np.bool_],
) -> tuple[Array, Array]:
    """One step: the forces of the active contacts, their approach taken straight from where they stand."""
    count = int(active.sum(axis=-1).max())
    first = np.argsort(~active, axis=-1, kind="stable")[:, :count]
    among = np.take_along_axis(active, first, axis=-1)
    rows = np.arange(len(place))[:, None]
    approach, slope = local.at((rows, first)).of(forces[rows, first] / length[rows, first])
    slope = slope / length[rows, first]
    matrix = flexibility[place[:, None, None], first[:, :, None], first[:, None, :]]
    matrix *= among[:, :, None] & among[:, None, :]
    inner = np.arange(count)
    matrix[:, inner, inner] = np.where(among, matrix[:, inner, inner] + slope, 1.0)
    known = np.where(among, slope * forces[rows, first] - approach - separation[rows, first], 0.0)
    found = np.linalg.solve(matrix, np.stack([known, among.astype(np.float64)], axis=-1))
    delta = (force - found[..., 0].sum(axis=-1)) / found[..., 1].sum(axis=-1)
    step = np.zeros_like(forces)
    step[rows, first] = np.where(among, found[..., 0] + delta[:, None] * found[..., 1], 0.0)
    return step, delta


def _wanted(
    active: NDArray[np.bool_],
    usable: NDArray[np.bool_],
    forces: Array,
    gap: Array,
    force: Array,
    *,
    one_by_one: bool,
) -> NDArray[np.bool_]:
    """The contacts of the next round: those that press, and those that would overlap."""
    pulling = np.asarray(active & (forces < 0.0))
    overlapping = np.asarray(usable & ~active & (gap < -_NOTHING))
    if one_by_one:
        worst = np.where(pulling, -forces / force[:, None], 0.0)
        pulled = pulling & (worst == worst.max(axis=-1, keepdims=True))
        deepest = overlapping & (gap == gap.min(axis=-1, where=overlapping, initial=0.0)[:, None])
        overlapping = deepest & ~pulling.any(axis=-1, keepdims=True)
        pulling = pulled
    wanted: NDArray[np.bool_] = (active & ~pulling) | overlapping
    return wanted
