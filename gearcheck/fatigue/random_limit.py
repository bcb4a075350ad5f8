"""The random fatigue limit: every specimen has its own limit, and a life by the stress above it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import ndtri

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.families import Points, Scored
from gearcheck.fatigue.inputs import Curve, Distribution
from gearcheck.fatigue.limit_integrals import Integrals, failed_by, lives_at, still_sound

_BELOW = (0.6, 0.85, 0.97)
_SCATTERS = (0.03, 0.12)
_TINY = 1e-300
_SEARCH = 60


@dataclass(frozen=True)
class RandomLimit:
    """ln N = b_0 - b ln((S - γ)/S_c) + σ ε, ln(γ/S_c) = μ_γ + σ_γ δ; ε, δ normal; no failure at or below γ.

    Parameters
    ----------
    centre : float
        ln S_c.
    """

    centre: float
    curve: ClassVar[Curve] = Curve.RANDOM_LIMIT
    distribution: ClassVar[Distribution] = Distribution.LOGNORMAL
    names: ClassVar[tuple[str, ...]] = ("b_0", "ln b", "ln σ", "μ_γ", "ln σ_γ")

    def starts(self, points: Points) -> Array:
        """Return where to begin: limits below the lowest stress that failed, little and much scatter."""
        lives, x = points.y[points.failed], points.x[points.failed] - self.centre
        lowest = np.exp(x.min())
        found = []
        for below in _BELOW:
            t = np.log(np.exp(x) - below * lowest)
            line = np.stack([np.ones_like(t), t], axis=-1)
            at, *_ = np.linalg.lstsq(line, lives, rcond=None)
            left = max(float(np.std(lives - line @ at)), 0.05)
            steep = np.log(max(-float(at[1]), 0.2))
            found += [[at[0], steep, np.log(left), np.log(below * lowest), np.log(s)] for s in _SCATTERS]
        return np.array(found)

    def scored(self, theta: Array, points: Points) -> Scored:
        """Return log-likelihood and derivatives of each specimen.

        Failures and run-outs are integrated apart where all sets share them, so that neither is done in vain.
        """
        if points.y.ndim > 1 or points.sound is not None:
            return self._all(theta, points)
        failed = points.failed
        shape = (*theta.shape[:-1], points.y.size)
        value, scores = np.empty(shape), np.empty((*shape, 5))
        of = theta[..., None, :]
        for rows, integral in ((failed, lives_at), (~failed, still_sound)):
            if rows.any():
                found = integral(of, points.x[rows] - self.centre, points.y[rows])
                value[..., rows], scores[..., rows, :] = self._logarithm(found)
        return Scored(value - np.where(failed, points.y, 0.0), scores)

    def _all(self, theta: Array, points: Points) -> Scored:
        of, x = theta[..., None, :], points.x - self.centre
        failed = points.failed
        beyond = self._logarithm(still_sound(of, x, points.y))
        at = self._logarithm(lives_at(of, x, points.y)) if failed.any() else beyond
        value = np.where(failed, at[0] - points.y, beyond[0])
        scores = np.where(failed[..., None], at[1], beyond[1])
        if points.sound is None:
            return Scored(value, scores)
        seen = failed & ~np.isnan(points.sound)
        high = failed_by(of, x, points.y)
        low = failed_by(of, x, np.where(seen & np.isfinite(points.sound), points.sound, -50.0))
        inside = self._logarithm(Integrals(high.value - low.value, high.by - low.by))
        return Scored(np.where(seen, inside[0], value), np.where(seen[..., None], inside[1], scores))

    @staticmethod
    def _logarithm(found: Integrals) -> tuple[Array, Array]:
        value = np.maximum(found.value, _TINY)
        return np.log(value), found.by / value[..., None]

    def failed_share(self, theta: Array, *, stress_MPa: Array, cycles: Array) -> Array:
        """Return the share that has failed by so many cycles."""
        return failed_by(theta, np.log(stress_MPa) - self.centre, np.log(cycles)).value

    def life_cycles(self, theta: Array, *, stress_MPa: Array, failed_share: Array) -> Array:
        """Return the cycles by which a share has failed; inf where fewer have a limit below the stress."""
        x, z = np.log(stress_MPa) - self.centre, ndtri(failed_share)
        ever = (x - theta[..., 3]) / np.exp(theta[..., 4])

        def miss(y: Array) -> tuple[Array, Array]:
            found = failed_by(theta, x, y)
            return _probit(found.value, found.by_y, z)

        start = theta[..., 0] - np.exp(theta[..., 1]) * np.log(
            np.maximum(np.exp(x) - np.exp(theta[..., 3]), 0.02 * np.exp(x))
        )
        found = _root(miss, start, np.broadcast_shapes(theta.shape[:-1], x.shape, z.shape), widest=60.0)
        return np.where(ever > z, np.exp(np.minimum(found, 700.0)), np.inf)

    def strength_MPa(  # noqa: N802 - carries its unit
        self, theta: Array, *, cycles: Array, failed_share: Array
    ) -> Array:
        """Return the stress at which a share has failed by so many cycles."""
        y, z = np.log(cycles), ndtri(failed_share)

        def miss(x: Array) -> tuple[Array, Array]:
            found = failed_by(theta, x, y)
            return _probit(found.value, found.by_x, z)

        limit = np.exp(theta[..., 3] + np.exp(theta[..., 4]) * z)
        start = np.log(limit + np.exp(np.minimum((theta[..., 0] - y) / np.exp(theta[..., 1]), 50.0)))
        whole = np.broadcast_shapes(theta.shape[:-1], y.shape, z.shape)
        return np.exp(self.centre + _root(miss, start, whole, widest=8.0))


def _probit(value: Array, rate: Array, wanted: Array) -> tuple[Array, Array]:
    """Miss and rate on the scale of the normal quantile, on which shares are nearly straight."""
    inside = np.clip(value, 1e-280, 1.0 - 1e-16)
    z = ndtri(inside)
    density = np.exp(-0.5 * z**2) / np.sqrt(2.0 * np.pi)
    return z - wanted, rate / np.maximum(density, _TINY)


def _root(miss: object, start: Array, shape: tuple[int, ...], *, widest: float) -> Array:
    """Newton between two sides that close in; the share grows with what is looked for."""
    assert callable(miss)
    at = np.broadcast_to(start, shape).astype(float)
    low, high = at - widest, at + widest
    for _ in range(_SEARCH):
        gap, rate = miss(at)
        low, high = np.where(gap < 0, at, low), np.where(gap < 0, high, at)
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = at - gap / rate
        inside = (newton > low) & (newton < high)
        ahead = np.where(inside, newton, 0.5 * (low + high))
        done = np.abs(ahead - at).max(initial=0.0) < 1e-10
        at = ahead
        if done:
            break
    return at
