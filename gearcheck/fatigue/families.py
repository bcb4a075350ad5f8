"""The distributions of a scatter with mean 0 and scale 1, and what a test says of one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr, ndtri

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.inputs import Distribution

_LN_ROOT_2PI = 0.5 * np.log(2.0 * np.pi)
_TINY = 1e-300


@dataclass(frozen=True)
class Points:
    """Tests as a model reads them; arrays of shape (..., n), the specimens last.

    Parameters
    ----------
    x, y : ndarray
        Natural logarithms of stress in MPa and of cycles.
    failed : ndarray of bool
        Whether it failed.
    sound : ndarray or None
        Logarithm of the cycles at which it was last seen sound, -inf where never; NaN where the life is
        known. None where all are known.
    """

    x: Array
    y: Array
    failed: NDArray[np.bool_]
    sound: Array | None = None

    def rows(self, wanted: NDArray[np.intp]) -> Points:
        """Return some sets of specimens, where each set has its own."""
        if self.y.ndim < 2 or self.y.shape[0] == 1:  # all sets are one
            return self
        sound = None if self.sound is None else self.sound[wanted]
        x = self.x if self.x.shape[0] == 1 else self.x[wanted]
        return Points(x=x, y=self.y[wanted], failed=self.failed[wanted], sound=sound)


class Scored(NamedTuple):
    """The logarithm of the likelihood of each specimen, and its derivatives by parameter, those last."""

    log_likelihood: Array
    scores: Array


def density(z: Array, of: Distribution) -> tuple[Array, Array]:
    """Return the logarithm of the density at z, and its derivative."""
    if of is Distribution.LOGNORMAL:
        return -0.5 * z**2 - _LN_ROOT_2PI, -z
    grown = np.exp(np.minimum(z, 700.0))
    return z - grown, 1.0 - grown


def survival(z: Array, of: Distribution) -> tuple[Array, Array]:
    """Return the logarithm of the share beyond z, and its derivative."""
    if of is Distribution.LOGNORMAL:
        log_share = log_ndtr(-z)
        return log_share, -np.exp(np.minimum(density(z, of)[0] - log_share, 700.0))
    grown = np.exp(np.minimum(z, 700.0))
    return -grown, -grown


def share(z: Array, of: Distribution) -> Array:
    """Return the share up to z."""
    return ndtr(z) if of is Distribution.LOGNORMAL else -np.expm1(-np.exp(np.minimum(z, 700.0)))


def quantile(failed_share: Array, of: Distribution) -> Array:
    """Return the z up to which a share lies."""
    if of is Distribution.LOGNORMAL:
        return ndtri(failed_share)
    with np.errstate(divide="ignore"):
        return np.log(-np.log1p(-failed_share))


def of_life(points: Points, middle: Array, log_scale: Array, of: Distribution) -> tuple[Array, Array, Array]:
    """Return what each test says of a life that scatters about a middle.

    Parameters
    ----------
    points : Points
        The tests.
    middle, log_scale : ndarray
        Location of the logarithm of life, and logarithm of its scale; of shape (..., n).
    of : Distribution
        The scatter.

    Returns
    -------
    log_likelihood, by_middle, by_log_scale : tuple of ndarray
        Per cycle of life where the life is known, and both derivatives.
    """
    scale = np.exp(log_scale)
    z = (points.y - middle) / scale
    log_pdf, pdf_z = density(z, of)
    log_sf, sf_z = survival(z, of)
    value = np.where(points.failed, log_pdf - log_scale - points.y, log_sf)
    by_z = np.where(points.failed, pdf_z, sf_z)
    by_scale = -z * by_z - points.failed
    if points.sound is None:
        return value, -by_z / scale, by_scale
    return _between(points, middle, scale, of, (value, -by_z / scale, by_scale))


def _between(
    points: Points, middle: Array, scale: Array, of: Distribution, exact: tuple[Array, Array, Array]
) -> tuple[Array, Array, Array]:
    """Put in the failures that lie between two inspections."""
    assert points.sound is not None
    seen = points.failed & ~np.isnan(points.sound)
    first = np.where(seen, points.sound, -np.inf)
    z_low, z_high = (first - middle) / scale, (points.y - middle) / scale
    inside = np.maximum(share(z_high, of) - share(z_low, of), _TINY)
    low = np.where(np.isfinite(z_low), z_low, 0.0)
    pdf_low = np.where(np.isfinite(z_low), np.exp(density(low, of)[0]), 0.0)
    pdf_high = np.exp(density(z_high, of)[0])
    by_middle = -(pdf_high - pdf_low) / (scale * inside)
    by_scale = -(z_high * pdf_high - low * pdf_low) / inside
    pairs = zip((np.log(inside), by_middle, by_scale), exact, strict=True)
    value, middle_, scale_ = (np.where(seen, new, old) for new, old in pairs)
    return value, middle_, scale_
