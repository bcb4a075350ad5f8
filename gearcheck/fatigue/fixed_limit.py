"""Life that grows without end towards one fatigue limit, with a scatter that changes with stress."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.families import Points, Scored, of_life, quantile, share
from gearcheck.fatigue.inputs import Curve, Distribution

_BELOW = (0.4, 0.7, 0.9, 0.98)


@dataclass(frozen=True)
class FixedLimit:
    """ln N = b_0 + b_1 ln((S - γ)/S_c) + σ Z, ln σ = s_0 + s_1 ln(S/S_c); no failure at or below γ.

    Parameters
    ----------
    distribution : Distribution
        Of Z.
    centre : float
        ln S_c.
    """

    distribution: Distribution
    centre: float
    curve: ClassVar[Curve] = Curve.FIXED_LIMIT
    names: ClassVar[tuple[str, ...]] = ("b_0", "b_1", "s_0", "s_1", "ln(γ/S_c)")

    def starts(self, points: Points) -> Array:
        """Return where to begin: limits below the lowest stress that failed."""
        lowest = np.exp(points.x[points.failed].min() - self.centre)
        found = []
        for below in _BELOW:
            t = np.log(np.exp(points.x[points.failed] - self.centre) - below * lowest)
            line = np.stack([np.ones_like(t), t], axis=-1)
            at, *_ = np.linalg.lstsq(line, points.y[points.failed], rcond=None)
            left = max(float(np.std(points.y[points.failed] - line @ at)), 0.05)
            found.append([*at, np.log(left), 0.0, np.log(below * lowest)])
        return np.array(found)

    def _at(self, theta: Array, t: Array) -> tuple[Array, Array, Array]:
        """Middle, log scale, and stress above the limit; the middle without end at or below it."""
        over = np.exp(t) - np.exp(theta[..., 4])
        with np.errstate(divide="ignore", invalid="ignore"):
            middle = np.where(
                over > 0, theta[..., 0] + theta[..., 1] * np.log(np.maximum(over, 1e-300)), np.inf
            )
        return middle, theta[..., 2] + theta[..., 3] * t, over

    def scored(self, theta: Array, points: Points) -> Scored:
        """Return log-likelihood and derivatives of each specimen; NaN where one failed below the limit."""
        of, t = theta[..., None, :], points.x - self.centre
        middle, log_scale, over = self._at(of, t)
        above = over > 0
        gap = np.where(above, over, 1.0)
        value, by_middle, by_scale = of_life(
            points, np.where(above, middle, 0.0), log_scale, self.distribution
        )
        columns = (
            by_middle,
            by_middle * np.log(gap),
            by_scale,
            by_scale * t,
            by_middle * of[..., 1] * -np.exp(of[..., 4]) / gap,
        )
        never = np.where(points.failed, np.nan, 0.0)  # at or below the limit nothing fails
        scores = np.where(above[..., None], np.stack(columns, axis=-1), 0.0)
        falls = of[..., 1] < 0
        return Scored(np.where(falls, np.where(above, value, never), np.nan), scores)

    def failed_share(self, theta: Array, *, stress_MPa: Array, cycles: Array) -> Array:
        """Return the share that has failed by so many cycles."""
        middle, log_scale, over = self._at(theta, np.log(stress_MPa) - self.centre)
        z = (np.log(cycles) - np.where(over > 0, middle, 0.0)) / np.exp(log_scale)
        return np.where(over > 0, share(z, self.distribution), 0.0)

    def life_cycles(self, theta: Array, *, stress_MPa: Array, failed_share: Array) -> Array:
        """Return the cycles by which a share has failed; inf at or below the limit."""
        middle, log_scale, over = self._at(theta, np.log(stress_MPa) - self.centre)
        y = np.where(over > 0, middle, 0.0) + np.exp(log_scale) * quantile(failed_share, self.distribution)
        return np.where(over > 0, np.exp(np.minimum(y, 700.0)), np.inf)

    def strength_MPa(  # noqa: N802 - carries its unit
        self, theta: Array, *, cycles: Array, failed_share: Array
    ) -> Array:
        """Return the stress at which a share has failed by so many cycles, by halving above the limit."""
        z, y = quantile(failed_share, self.distribution), np.log(cycles)
        whole = np.broadcast_shapes(theta.shape[:-1], y.shape, z.shape)
        low = np.full(whole, -40.0)  # logarithm of the stress above the limit
        high = np.full(whole, 5.0)
        for _ in range(70):
            half = 0.5 * (low + high)
            t = np.log(np.exp(theta[..., 4]) + np.exp(half))
            life = theta[..., 0] + theta[..., 1] * half + np.exp(theta[..., 2] + theta[..., 3] * t) * z
            longer = life > y
            low, high = np.where(longer, half, low), np.where(longer, high, half)
        return np.asarray(np.exp(self.centre) * (np.exp(theta[..., 4]) + np.exp(0.5 * (low + high))))
