"""Stiffness of plane elements whose displacement goes as a cosine along the tooth."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array, array

CORNERS = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1], [0, -1], [1, 0], [0, 1], [-1, 0]], dtype=np.float64)
"""Where the eight nodes of an element stand: its corners, then the middles of its sides."""


def quadratic(place: Array) -> Array:
    """Return the three quadratic shape functions of a side, from -1 to 1.

    Parameters
    ----------
    place : array
        Shape (...).

    Returns
    -------
    ndarray of float
        At the beginning, the middle and the end of the side, shape (..., 3).

    Examples
    --------
    >>> quadratic(np.array(0.5)).tolist()
    [-0.125, 0.75, 0.375]
    """
    s = array(place)
    return np.stack([s * (s - 1) / 2, 1 - s**2, s * (s + 1) / 2], axis=-1)


@cache
def _at_points() -> tuple[Array, Array, Array]:
    """Shape functions (9, 8), their slopes (9, 2, 8), and weights at the nine Gauss points."""
    place, weight = np.polynomial.legendre.leggauss(3)
    s, t = (part.ravel()[:, None] for part in np.meshgrid(place, place, indexing="ij"))
    a, b = CORNERS[:, 0], CORNERS[:, 1]
    p, q = 1 + a * s, 1 + b * t
    corner = np.abs(a * b) == 1
    flat = np.where(a == 0, (1 - s**2) * q / 2, (1 - t**2) * p / 2)
    values = np.where(corner, p * q * (a * s + b * t - 1) / 4, flat)
    by_s = np.where(corner, a * q * (2 * a * s + b * t) / 4, np.where(a == 0, -s * q, a * (1 - t**2) / 2))
    by_t = np.where(corner, b * p * (a * s + 2 * b * t) / 4, np.where(a == 0, b * (1 - s**2) / 2, -t * p))
    return values, np.stack([by_s, by_t], axis=1), np.outer(weight, weight).ravel()


def wave_stiffness(
    *, corners_mm: Array, share: Array, modulus_MPa: float, poisson: float
) -> tuple[Array, Array, Array]:
    """Return the stiffness of elements for displacements that go as a wave along the tooth.

    u_x, u_y ~ cos kζ, u_z ~ sin kζ; K(k) = K_0 + k K_1 + k² K_2

    Parameters
    ----------
    corners_mm : array
        Nodes of each element in the order of `CORNERS`, mm, shape (elements, 8, 2).
    share : array
        Share of the stiffness that each element has, shape (elements,).
    modulus_MPa, poisson : float
        E and ν.

    Returns
    -------
    K_0, K_1, K_2 : tuple of array
        Shape (elements, 24, 24), u_x, u_y, u_z of each node; per mm of the tooth's length, mean of cos².
    """
    values, slopes, weights = _at_points()
    tangent = slopes[None] @ corners_mm[:, None]
    slope = np.linalg.solve(tangent, np.broadcast_to(slopes, (len(corners_mm), *slopes.shape)))
    size = weights * np.abs(np.linalg.det(tangent)) * share[:, None]
    plain = np.zeros((*size.shape, 6, 8, 3))  # εx, εy, εz, γxy, γyz, γzx
    plain[..., 0, :, 0] = plain[..., 3, :, 1] = plain[..., 5, :, 2] = slope[..., 0, :]
    plain[..., 1, :, 1] = plain[..., 3, :, 0] = plain[..., 4, :, 2] = slope[..., 1, :]
    waved = np.zeros((len(weights), 6, 8, 3))
    waved[:, 2, :, 2] = values
    waved[:, 4, :, 1] = waved[:, 5, :, 0] = -values
    plain = plain.reshape((len(corners_mm), -1, 24))
    waved = waved.reshape((-1, 24))
    stress = np.einsum("eg,ij->egij", size, elasticity(modulus_MPa, poisson))
    pushed, pushed_wave = (
        (stress @ part.reshape((-1, len(weights), 6, 24))).reshape((len(corners_mm), -1, 24))
        for part in (plain, waved)
    )
    across = plain.swapaxes(-1, -2)
    mixed = across @ pushed_wave
    return across @ pushed, mixed + mixed.swapaxes(-1, -2), waved.T @ pushed_wave


def elasticity(modulus_MPa: float, poisson: float) -> Array:
    """Return Hooke's law of an isotropic body for εx, εy, εz, γxy, γyz, γzx.

    Parameters
    ----------
    modulus_MPa, poisson : float
        E in MPa and ν.

    Returns
    -------
    ndarray of float
        Shape (6, 6), MPa.
    """
    shear = modulus_MPa / (2 * (1 + poisson))
    law = np.diag([2 * shear] * 3 + [shear] * 3)
    law[:3, :3] += 2 * shear * poisson / (1 - 2 * poisson)
    return law


def degrees_of_freedom(elements: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the numbers of u_x, u_y, u_z at the nodes of each element.

    Parameters
    ----------
    elements : ndarray of int
        Shape (elements, nodes).

    Returns
    -------
    ndarray of int
        Shape (elements, 3 · nodes).
    """
    return (3 * elements[..., None] + np.arange(3)).reshape((len(elements), -1))
