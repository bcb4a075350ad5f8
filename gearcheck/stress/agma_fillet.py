"""The fillet that a rack cuts, and where the parabola of the bending stress touches it."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array

STEPS = 12
CLOSE = 1e-9


def fillet(
    *, theta: Array, radius: Array, depth: Array, offset: Array, edge: Array
) -> tuple[Array, Array, Array]:
    """Return the point of the fillet whose normal stands at an angle to the radius of the rolling point.

    Parameters
    ----------
    theta : array
        Angle between the normal and the radius of the rolling point, in radians.
    radius, depth, offset, edge : array
        Reference radius, depth of the centre of the tool's edge below the pitch line, its distance from the
        tooth centre line, and radius of the edge, in modules.

    Returns
    -------
    rolled, half, height : tuple of array
        Rolling angle in radians, distance from the tooth centre line and from the gear centre.
    """
    rolled = (offset + depth * np.tan(theta)) / radius
    reach = depth / np.cos(theta) + edge
    half = radius * np.sin(rolled) - reach * np.sin(rolled + theta)
    return rolled, half, radius * np.cos(rolled) - reach * np.cos(rolled + theta)


def critical_angle(*, load_radius: Array, radius: Array, depth: Array, offset: Array, edge: Array) -> Array:
    """Return the angle at which the parabola with its vertex at the load radius touches the fillet.

    2 h cos(γ + θ) = s/2 sin(γ + θ), by a fixed number of Newton steps; NaN where they do not meet.

    Parameters
    ----------
    load_radius : array
        Where the load meets the tooth centre line, in modules.
    radius, depth, offset, edge : array
        As for the fillet.

    Returns
    -------
    array
        θ in radians.
    """
    shape = {"radius": radius, "depth": depth, "offset": offset, "edge": edge}
    theta = np.pi / 3 - offset / radius
    with np.errstate(all="ignore"):
        for _ in range(STEPS):
            rolled, half, height = fillet(theta=theta, **shape)
            arm, turned = load_radius - height, rolled + theta
            gap = 2 * arm * np.cos(turned) - half * np.sin(turned)
            # along the fillet both move in the direction of its tangent
            turn = depth / np.cos(theta) ** 2 / radius
            reach, reach_slope = depth / np.cos(theta) + edge, depth * np.sin(theta) / np.cos(theta) ** 2
            half_slope = (
                radius * np.cos(rolled) * turn
                - reach_slope * np.sin(turned)
                - reach * np.cos(turned) * (turn + 1)
            )
            height_slope = (
                -radius * np.sin(rolled) * turn
                - reach_slope * np.cos(turned)
                + reach * np.sin(turned) * (turn + 1)
            )
            slope = (
                -2 * height_slope * np.cos(turned)
                - 2 * arm * np.sin(turned) * (turn + 1)
                - half_slope * np.sin(turned)
                - half * np.cos(turned) * (turn + 1)
            )
            theta = np.clip(theta - gap / slope, -0.2, 1.5)
        _, half, height = fillet(theta=theta, **shape)
        rolled = (offset + depth * np.tan(theta)) / radius
        left = 2 * (load_radius - height) * np.cos(rolled + theta) - half * np.sin(rolled + theta)
        found: Array = np.where(np.abs(left) < CLOSE, theta, np.nan)
    return found
