"""The stress cycle that a contact rolls over a point below it, for a largest pressure of 1."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.contact.field import stress_field
from gearcheck.hardening.sphere import smallest_sphere
from gearcheck.materials.fatigue import hydrostatic_weight

POISSON = 0.3
"""Poisson's ratio of the steel."""
LARGEST_FRICTION = 0.5
"""Of either sign; dry sliding of steel on steel."""
DEEPEST = 60.0
"""ζ from which on the stress is taken to fall no further: the safe side."""

_NODES = 500
_SCALE = 0.1
_LAST = np.arcsinh(np.sqrt(DEEPEST / _SCALE))
_FRICTION_STEP = 0.005
_HAIR = 1e-9
_BELOW = np.concatenate(
    (np.linspace(-1.3, 1.3, 53), np.geomspace(1.5, 1000, 14), -np.geomspace(1.5, 1000, 14))
)
_AT_EDGE = np.linspace(-0.8, 1.2, 101)


@dataclass(frozen=True)
class UnitCycle:
    """Stresses at one depth while the contact rolls from afar to afar, in parts of p_0; positions last.

    Parameters
    ----------
    x_over_b : ndarray
        Position of the point against the load line.
    sigma_x, sigma_y, sigma_z, tau_xz : ndarray
        Stresses along the flank, along the contact line, normal to the flank, and orthogonal shear.
    """

    x_over_b: Array
    sigma_x: Array
    sigma_y: Array
    sigma_z: Array
    tau_xz: Array

    @property
    def amplitude(self) -> Array:
        """Amplitude of the orthogonal shear: half its range."""
        return array(np.ptp(self.tau_xz, axis=-1) / 2)

    @property
    def hydrostatic(self) -> Array:
        """Mean of the three normal stresses."""
        return (self.sigma_x + self.sigma_y + self.sigma_z) / 3

    def shear_about_centre(self) -> tuple[Array, Array]:
        """Return the radius of the smallest sphere about the path, and the shear about its centre.

        The path is that of the stress deviator in plane strain, in the norm √J_2: three coordinates
        (σ_x - σ_z)/2, τ_xz and √3/2 s_y. The shear is the largest over all planes of the deviator less the
        centre.
        """
        s_y = self.sigma_y - self.hydrostatic
        path = np.stack(((self.sigma_x - self.sigma_z) / 2, self.tau_xz, np.sqrt(0.75) * s_y), axis=-1)
        centre, radius = smallest_sphere(path)
        half, shear, along = np.moveaxis(path - centre[..., None, :], -1, 0)
        in_plane = np.hypot(half, shear)
        return radius, np.maximum(in_plane, in_plane / 2 + np.sqrt(0.75) * np.abs(along))


def unit_cycle(*, z_over_b: Array, friction: Array) -> UnitCycle:
    """Return the stress cycle at each depth for a largest pressure of 1.

    Parameters
    ----------
    z_over_b, friction : ndarray
        ζ and μ, broadcast against one another.

    Returns
    -------
    UnitCycle
        Positions on a last axis; they lie close where the edges of the contact pass.
    """
    zeta = z_over_b[..., None]
    parts = (_BELOW * (1 + zeta), 1 + zeta * _AT_EDGE, -1 - zeta * _AT_EDGE)
    x = np.sort(np.concatenate(parts, axis=-1), axis=-1)
    field = stress_field(x_over_b=x, z_over_b=zeta, friction=friction[..., None], poisson=POISSON)
    return UnitCycle(
        x, *(array(part) for part in (field.sigma_x, field.sigma_y, field.sigma_z, field.tau_xz))
    )


@dataclass(frozen=True)
class Measures:
    """What a fatigue criterion reads of the cycle, in parts of p_0.

    Parameters
    ----------
    amplitude : ndarray
        Amplitude of the orthogonal shear.
    dang_van : ndarray
        Largest τ + a σ_h over the cycle, by Dang Van, without residual stress.
    """

    amplitude: Array
    dang_van: Array


def measures(*, z_over_b: Array, friction: Array) -> Measures:
    """Return what the fatigue criteria read of the cycle, from a table that is worked out once.

    Parameters
    ----------
    z_over_b, friction : ndarray
        ζ and μ, broadcast against one another; the sign of μ mirrors the cycle and changes neither measure.

    Returns
    -------
    Measures
        In straight lines between the nodes of the table: both are good to 3e-4 of p_0 from a tenth of a
        half-width down; above it the amplitude to 4e-4 and the criterion to 1e-3.
    """
    place = np.arcsinh(np.sqrt(np.clip(z_over_b, 0, DEEPEST) / _SCALE)) * (_NODES - 1) / _LAST
    rubbing = np.minimum(np.abs(friction), LARGEST_FRICTION) / _FRICTION_STEP
    there = np.isfinite(place) & np.isfinite(rubbing)
    place, rubbing = np.where(there, place, 0.0), np.where(there, rubbing, 0.0)
    # a friction that rounding alone keeps off a node needs no second row
    rubbing = np.where(np.abs(rubbing - np.round(rubbing)) < _HAIR, np.round(rubbing), rubbing)
    left, low, high = (
        fix(at).astype(int) for fix, at in ((np.floor, place), (np.floor, rubbing), (np.ceil, rubbing))
    )
    left = np.minimum(left, _NODES - 2)
    first, last = (int(low.min()), int(high.max())) if low.size else (0, 0)
    rows = np.stack([_row(number) for number in range(first, last + 1)], axis=1)
    across, along = rubbing - low, place - left

    def between(table: Array) -> Array:
        lower, upper = (
            table[row, left] * (1 - along) + table[row, left + 1] * along
            for row in (low - first, high - first)
        )
        return array(np.where(there, lower * (1 - across) + upper * across, np.nan))

    return Measures(amplitude=between(rows[0]), dang_van=between(rows[1]))


@cache
def _row(number: int) -> Array:
    """Both measures over the nodes of ζ for one node of the friction."""
    zeta = _SCALE * np.sinh(np.linspace(0, _LAST, _NODES)) ** 2
    cycle = unit_cycle(z_over_b=zeta, friction=array(number * _FRICTION_STEP))
    _, shear = cycle.shear_about_centre()
    dang_van = (shear + hydrostatic_weight() * cycle.hydrostatic).max(axis=-1)
    return np.stack((cycle.amplitude, dang_van))
