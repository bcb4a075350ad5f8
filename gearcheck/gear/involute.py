"""The involute function and its inverse, and roots that have no value where there is no circle to meet."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Array

STEPS = 8


def involute(angle: Array) -> Array:
    """Return inv α = tan α - α.

    Parameters
    ----------
    angle : array
        α in radians, any shape.

    Returns
    -------
    array
        In radians; NaN stays NaN.

    Examples
    --------
    >>> round(float(involute(np.radians(20.0))), 6)
    0.014904
    """
    return np.asarray(np.tan(angle) - angle)


def involute_angle(value: Array) -> Array:
    """Return the angle whose involute is `value`.

    Newton's rule for tan α - α from a start near the answer.

    Parameters
    ----------
    value : array
        inv α in radians, any shape.

    Returns
    -------
    array
        α in radians; NaN where `value` is negative.

    Notes
    -----
    Checked: round trip with `involute` from 1° to 75°.

    Examples
    --------
    >>> round(float(np.degrees(involute_angle(np.asarray(0.014904)))), 3)
    20.0
    """
    wanted = np.where(value >= 0.0, value, np.nan)
    cube = np.cbrt(3.0 * wanted)
    # exact to the third term for small angles; bounded below a right angle for large ones
    angle = np.arctan(cube * (1.0 + cube**2 / 5.0) + wanted / (1.0 + wanted))
    for _ in range(STEPS):
        slope = np.maximum(np.tan(angle) ** 2, 1e-12)
        angle = np.clip(angle - (involute(angle) - wanted) / slope, 1e-9, np.pi / 2.0 - 1e-9)
    return np.asarray(angle)


def root(value: Array) -> Array:
    """Return the square root where there is one.

    Parameters
    ----------
    value : array
        Any shape.

    Returns
    -------
    array
        NaN, without a warning, where `value` is negative.
    """
    return np.sqrt(np.where(value >= 0.0, value, np.nan))


def arc_cosine(value: Array) -> Array:
    """Return the arc cosine where there is one.

    Parameters
    ----------
    value : array
        Any shape.

    Returns
    -------
    array
        In radians; NaN, without a warning, where `value` lies outside -1 to 1.
    """
    return np.arccos(np.where(np.abs(value) <= 1.0, value, np.nan))
