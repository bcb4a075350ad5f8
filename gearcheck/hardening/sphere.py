"""The smallest sphere that holds a path of points in space, for many paths at once."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from gearcheck.basics.numbers import Array, array

_ROUNDS = 40
_SLACK = 1e-12
_OTHERS = 4  # a sphere in space rests on at most four points
_SUBSETS = tuple(chosen for size in (1, 2, 3) for chosen in combinations(range(_OTHERS), size))


def smallest_sphere(points: Array) -> tuple[Array, Array]:
    """Return centre and radius of the smallest sphere that holds all points of each path.

    Parameters
    ----------
    points : ndarray
        Shape (..., points, 3).

    Returns
    -------
    centre, radius : tuple of ndarray
        Shapes (..., 3) and (...).

    Notes
    -----
    Exact for the points given. The sphere rests on a few of them: the farthest point outside is taken in,
    the smallest sphere through it and some of those that carried the last one is found by trying them all,
    and so on until no point lies outside. The radius grows at every round, so that it ends.
    """
    support = np.repeat(points[..., :1, :], _OTHERS, axis=-2)
    centre, squared = points[..., 0, :], np.zeros(points.shape[:-2])
    for _ in range(_ROUNDS):
        away = _squared(points - centre[..., None, :])
        farthest = away.argmax(axis=-1)
        outside = (
            np.take_along_axis(away, farthest[..., None], axis=-1)[..., 0] > squared * (1 + 1e-9) + _SLACK
        )
        if not outside.any():
            break
        new = np.take_along_axis(points, farthest[..., None, None], axis=-2)
        step, squared_new, kept = _through(new, support)
        centre = np.where(outside[..., None], new[..., 0, :] + step, centre)
        squared = np.where(outside, squared_new, squared)
        support = np.where(outside[..., None, None], kept, support)
    return centre, np.sqrt(squared)


def _through(new: Array, support: Array) -> tuple[Array, Array, Array]:
    """The smallest sphere through `new` and some of `support` that holds all: step from new, r², support."""
    arms = support - new
    steps = np.stack([_circumcentre(*(arms[..., i, :] for i in chosen)) for chosen in _SUBSETS], axis=-2)
    # points on one line or circle leave centres at no place or too far away: those hold nothing
    with np.errstate(invalid="ignore", over="ignore"):
        squared = _squared(steps)
        apart = _squared(steps[..., :, None, :] - arms[..., None, :, :])
        holds = (apart <= squared[..., None] * (1 + 1e-9) + _SLACK).all(axis=-1) & np.isfinite(squared)
    best = np.where(holds, squared, np.inf).argmin(axis=-1)
    on = np.array([[i in chosen for i in range(_OTHERS)] for chosen in _SUBSETS])[best]
    # who does not carry it makes room: the new point stands in its place
    kept = np.where(on[..., None], support, new)
    return (
        np.take_along_axis(steps, best[..., None, None], axis=-2)[..., 0, :],
        np.take_along_axis(squared, best[..., None], axis=-1)[..., 0],
        kept,
    )


def _squared(vectors: Array) -> Array:
    return array(np.einsum("...i,...i", vectors, vectors))


def _circumcentre(*arms: Array) -> Array:
    """The centre of the smallest sphere through the origin and the ends of one, two or three arms."""
    if len(arms) == 1:
        return array(arms[0] / 2)
    squares = [(arm**2).sum(axis=-1, keepdims=True) for arm in arms]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        if len(arms) == 2:
            normal = np.cross(*arms)
            across = np.cross(squares[0] * arms[1] - squares[1] * arms[0], normal)
            return array(across / (2 * (normal**2).sum(axis=-1, keepdims=True)))
        turned = [np.cross(arms[1], arms[2]), np.cross(arms[2], arms[0]), np.cross(arms[0], arms[1])]
        volume = (arms[0] * turned[0]).sum(axis=-1, keepdims=True)
        return array(sum(s * t for s, t in zip(squares, turned, strict=True)) / (2 * volume))
