"""Where below one contact the case must be deepest: the search behind the solved case depth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.contact.field import axis_shear
from gearcheck.hardening.profile import model_depth

PEAK = 0.7861513777574233
"""z/b_H of the largest shear stress, the root of ζ⁴ + ζ² = 1."""

_NODES = 33
_GOLDEN = (np.sqrt(5) - 1) / 2
_STEPS = 18


@dataclass(frozen=True)
class Need:
    """How much hardness a shear stress asks for: its rise above the core is r = slope · τ - offset.

    Parameters
    ----------
    slope, offset : ndarray
        By sample, with two axes of length 1 at the end for points and places.
    """

    slope: Array
    offset: Array

    def case(self, zeta: Array, pressure: Array) -> Array:
        """Return the case that depth ζ asks for, in half-widths and before scaling to 550 HV: ζ/X(r)."""
        rise = self.slope * pressure * axis_shear(z_over_b=zeta) - self.offset
        with np.errstate(divide="ignore", invalid="ignore"):
            return array(np.where(rise > 0, zeta / model_depth(np.clip(rise, 0, 1)), 0.0))


def deepest(need: Need, pressure: Array, farthest: Array) -> Array:
    """Return the depth at which each contact asks for the deepest case.

    Parameters
    ----------
    need : Need
        How much hardness a shear stress asks for.
    pressure : ndarray
        p_0 in MPa, shape (..., points).
    farthest : ndarray
        ζ from which on the core alone suffices, same shape.

    Returns
    -------
    ndarray of float
        ζ = z/b_H, same shape.

    Notes
    -----
    Two places can ask: near the peak of the stress, and far below it where the core takes over. So a scan
    finds the first and the last local maximum, and both are refined. Above the peak of the stress no place
    asks for more than the peak itself.
    """
    span = np.log(np.maximum(farthest / PEAK, 1.0001))[..., None]
    place = np.linspace(0, 1, _NODES)

    def case(at: Array) -> Array:
        return need.case(PEAK * np.exp(at * span), pressure[..., None])

    asked = case(place)
    outside = np.full((*asked.shape[:-1], 1), -1.0)
    step = np.diff(asked, axis=-1, prepend=outside, append=outside)
    top = (step[..., :-1] >= 0) & (step[..., 1:] <= 0) & (asked > 0)
    modes = np.stack((top.argmax(axis=-1), _NODES - 1 - top[..., ::-1].argmax(axis=-1)), axis=-1)
    low, high = place[np.maximum(modes - 1, 0)], place[np.minimum(modes + 1, _NODES - 1)]
    best = _maximum(case, low, high)
    best = np.where(case(best) >= case(place[modes]), best, place[modes])
    values = case(best)
    chosen = np.take_along_axis(best, values.argmax(axis=-1)[..., None], axis=-1)
    return array(PEAK * np.exp(chosen * span))[..., 0]


def _maximum(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Golden section on arrays; a plateau counts as lying to the right of the maximum."""
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = function(left), function(right)
    for _ in range(_STEPS):
        keep_left = at_left >= at_right
        low, high = np.where(keep_left, low, left), np.where(keep_left, right, high)
        fresh = np.where(keep_left, high - _GOLDEN * (high - low), low + _GOLDEN * (high - low))
        at_fresh = function(fresh)
        left, right = np.where(keep_left, fresh, right), np.where(keep_left, left, fresh)
        at_left, at_right = (
            np.where(keep_left, at_fresh, at_right),
            np.where(keep_left, at_left, at_fresh),
        )
    return array((low + high) / 2)
