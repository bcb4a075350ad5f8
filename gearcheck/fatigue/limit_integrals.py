"""The integrals of the random fatigue limit over the scatter of life, with their derivatives.

Given ε, a specimen that breaks at y = ln N has the limit γ = s - e^u, u = (b_0 + σ ε - y)/b, of stress s.
So the share that fails by y is ∫ φ(ε) Φ(ζ) dε, ζ = (ln γ - μ_γ)/σ_γ.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from gearcheck.basics.numbers import Array

_FAR = 9.0  # beyond so many standard deviations of ε nothing counts
_SHOULDER = 7.5  # so many widths of a summit are integrated on each side
_STEP_CUTS = (-7.0, -2.5, 0.0, 2.5)  # in widths of the step: it is longer before than behind
_BELL_CUTS = (-3.0, 3.0)
_PANEL = np.polynomial.legendre.leggauss(12)
_BUMP = np.polynomial.legendre.leggauss(32)
_MODE_STEPS = 12
_LEAST_WIDTH = 1e-4


_FAR_OUT = np.errstate(over="ignore", under="ignore", divide="ignore", invalid="ignore")


class Integrals(NamedTuple):
    """An integral of each specimen, its derivatives by parameter (last), and by ln N and ln S."""

    value: Array
    by: Array
    by_y: Array = np.zeros(())
    by_x: Array = np.zeros(())


class _At(NamedTuple):
    """At ε: logarithm u of the stress above the limit, its ratio to the limit, ζ, if there is a limit."""

    u: Array
    ratio: Array
    zeta: Array
    exists: NDArray[np.bool_]


def _at(theta: Array, x: Array, y: Array, epsilon: Array) -> _At:
    u = (theta[..., 0] + np.exp(theta[..., 2]) * epsilon - y) / np.exp(theta[..., 1])
    share = np.exp(np.minimum(u - x, 1.0))  # of the stress that is above the limit
    exists = share < 1.0
    left = np.where(exists, 1.0 - share, 0.5)
    zeta = (x + np.log(left) - theta[..., 3]) / np.exp(theta[..., 4])
    return _At(u, share / left, np.where(exists, zeta, -np.inf), exists)


def _step(theta: Array, x: Array, y: Array) -> tuple[Array, Array, Array]:
    """Where Φ(ζ) steps down over ε, how wide the step is, and the last ε for which there is a limit."""
    b, sigma, scatter = np.exp(theta[..., 1]), np.exp(theta[..., 2]), np.exp(theta[..., 4])
    limit = np.minimum(theta[..., 3], x - scatter)
    over = np.log(-np.expm1(limit - x)) + x
    middle = (b * over + y - theta[..., 0]) / sigma
    width = scatter * b / sigma * np.exp(limit - over)
    last = (b * x + y - theta[..., 0]) / sigma
    return middle, np.maximum(width, _LEAST_WIDTH), last


def _panels(theta: Array, x: Array, y: Array) -> tuple[Array, Array]:
    """Nodes and weights between the edges of what changes: the step of Φ(ζ), and the bell of ε."""
    middle, width, last = _step(theta, x, y)
    end = np.clip(last, -_FAR, _FAR)
    cuts = [middle + share * width for share in _STEP_CUTS] + [0.0 * middle + cut for cut in _BELL_CUTS]
    edges = np.sort(np.stack([np.clip(cut, -_FAR, end) for cut in (*cuts, -_FAR + 0.0 * end, end)]), axis=0)
    half, centre = 0.5 * np.diff(edges, axis=0), 0.5 * (edges[1:] + edges[:-1])
    places = centre[..., None] + half[..., None] * _PANEL[0]
    weights = half[..., None] * _PANEL[1]
    return _last(places), _last(weights)


def _last(by_panel: Array) -> Array:
    """Panels and nodes as one last axis."""
    moved = np.moveaxis(by_panel, 0, -2)
    return moved.reshape(*moved.shape[:-2], -1)


@_FAR_OUT
def failed_by(theta: Array, x: Array, y: Array) -> Integrals:
    """Return the share that has failed by y; shapes broadcast, parameters last."""
    epsilon, weight = _panels(theta, x, y)
    of = _expanded(theta)
    at = _at(of, x[..., None], y[..., None], epsilon)
    base = weight * np.exp(-0.5 * epsilon**2) / np.sqrt(2.0 * np.pi)
    value = (base * ndtr(at.zeta)).sum(axis=-1)
    return _with_slopes(of, at, epsilon, base, value)


@_FAR_OUT
def still_sound(theta: Array, x: Array, y: Array) -> Integrals:
    """Return the share that is sound after y."""
    epsilon, weight = _panels(theta, x, y)
    of = _expanded(theta)
    at = _at(of, x[..., None], y[..., None], epsilon)
    base = weight * np.exp(-0.5 * epsilon**2) / np.sqrt(2.0 * np.pi)
    *_, last = _step(theta, x, y)
    value = (base * ndtr(-at.zeta)).sum(axis=-1) + ndtr(-np.clip(last, -_FAR, _FAR))
    found = _with_slopes(of, at, epsilon, base, value)
    return Integrals(value, -found.by, -found.by_y, -found.by_x)


def _expanded(theta: Array) -> Array:
    """Parameters with an axis for the nodes before them."""
    return theta[..., None, :]


def _with_slopes(theta: Array, at: _At, epsilon: Array, base: Array, value: Array) -> Integrals:
    b, sigma, scatter = np.exp(theta[..., 1]), np.exp(theta[..., 2]), np.exp(theta[..., 4])
    zeta = np.where(at.exists, at.zeta, 0.0)
    ratio = np.where(at.exists, at.ratio, 0.0)
    height = np.where(at.exists, base * np.exp(-0.5 * zeta**2) / np.sqrt(2.0 * np.pi), 0.0)
    moved = height * ratio / scatter  # minus the derivative by u
    columns = (
        -(moved).sum(axis=-1) / b[..., 0],
        (moved * at.u).sum(axis=-1),
        -(moved * epsilon).sum(axis=-1) * (sigma / b)[..., 0],
        -height.sum(axis=-1) / scatter[..., 0],
        -(height * zeta).sum(axis=-1),
    )
    by_x = (height * (1.0 + ratio)).sum(axis=-1) / scatter[..., 0]
    return Integrals(value, np.stack(np.broadcast_arrays(*columns), axis=-1), -columns[0], by_x)


@_FAR_OUT
def lives_at(theta: Array, x: Array, y: Array) -> Integrals:
    """Return the density of y = ln N, nodes about where its integrand is highest."""
    mode, spread = _summit(theta, x, y)
    epsilon = mode[..., None] + spread[..., None] * _SHOULDER * _BUMP[0]
    weight = spread[..., None] * _SHOULDER * _BUMP[1]
    of = _expanded(theta)
    at = _at(of, x[..., None], y[..., None], epsilon)
    b, sigma, scatter = np.exp(of[..., 1]), np.exp(of[..., 2]), np.exp(of[..., 4])
    zeta, ratio = np.where(at.exists, at.zeta, 0.0), np.where(at.exists, at.ratio, 1.0)
    height = weight * np.exp(-0.5 * epsilon**2 - 0.5 * zeta**2) / (2.0 * np.pi) * ratio / (b * scatter)
    height = np.where(at.exists, height, 0.0)
    by_u = zeta * ratio / scatter + 1.0 + ratio
    columns = (
        height * by_u / b,
        -height * (by_u * at.u + 1.0),
        height * by_u * sigma * epsilon / b,
        height * zeta / scatter,
        height * (zeta**2 - 1.0),
    )
    return Integrals(height.sum(axis=-1), np.stack([one.sum(axis=-1) for one in columns], axis=-1))


def _summit(theta: Array, x: Array, y: Array) -> tuple[Array, Array]:
    """Where ε² + ζ² is least, by Gauss-Newton, and the width of the summit there."""
    middle, width, last = _step(theta, x, y)
    sigma_b = np.exp(theta[..., 2] - theta[..., 1])
    scatter = np.exp(theta[..., 4])
    end = last - 1e-3 * np.minimum(width, 1.0)
    epsilon = np.minimum(middle / (1.0 + width**2), end)
    for _ in range(_MODE_STEPS):
        at = _at(theta, x, y, epsilon)
        rate = -at.ratio * sigma_b / scatter  # of ζ by ε
        step = -(epsilon + at.zeta * rate) / (1.0 + rate**2)
        epsilon = np.minimum(epsilon + np.clip(step, -3.0, 3.0), 0.5 * (epsilon + end))
    at = _at(theta, x, y, epsilon)
    rate = at.ratio * sigma_b / scatter
    return epsilon, 1.0 / np.sqrt(1.0 + rate**2)
