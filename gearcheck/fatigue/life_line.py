"""Life that scatters about a line in the logarithm of stress: level, straight, curved, scatter by stress."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.families import Points, Scored, of_life, quantile, share
from gearcheck.fatigue.inputs import Curve, Distribution

_TERMS = {Curve.ONE_LEVEL: 1, Curve.STRAIGHT: 2, Curve.CURVED: 3, Curve.SPREADING: 3}


@dataclass(frozen=True)
class LifeLine:
    """ln N = b_0 + b_1 t + b_2 t² + σ Z, ln σ = g_0 + g_1 t, t = ln(S/S_c).

    Parameters
    ----------
    curve : Curve
        Which of the terms there are.
    distribution : Distribution
        Of Z.
    centre : float
        ln S_c, so that the terms do not hang together more than they must.
    """

    curve: Curve
    distribution: Distribution
    centre: float

    @property
    def names(self) -> tuple[str, ...]:
        """The parameters in their order."""
        scatter = ("g_0", "g_1") if self.curve is Curve.SPREADING else ("ln σ",)
        return (*(f"b_{place}" for place in range(_TERMS[self.curve])), *scatter)

    def starts(self, points: Points) -> Array:
        """Return where to begin, by least squares on all lives as if all had failed."""
        t = points.x - self.centre
        terms = _TERMS[self.curve]
        lines = np.stack([t**power for power in range(terms)], axis=-1)
        found, *_ = np.linalg.lstsq(lines, points.y, rcond=None)
        left = max(float(np.std(points.y - lines @ found)), 0.05)
        scatter = [np.log(left), 0.0][: 2 if self.curve is Curve.SPREADING else 1]
        return np.array([[*found, *scatter]])

    def scored(self, theta: Array, points: Points) -> Scored:
        """Return log-likelihood and derivatives of each specimen."""
        t = points.x - self.centre
        middle, log_scale = self._at(theta[..., None, :], t)
        value, by_middle, by_scale = of_life(points, middle, log_scale, self.distribution)
        columns = [by_middle * t**power for power in range(_TERMS[self.curve])]
        columns += [by_scale, by_scale * t][: len(self.names) - _TERMS[self.curve]]
        return Scored(value, np.stack(columns, axis=-1))

    def _at(self, theta: Array, t: Array) -> tuple[Array, Array]:
        """Middle and log scale; parameters last, and broadcast before."""
        terms = _TERMS[self.curve]
        middle = sum((theta[..., power] * t**power for power in range(terms)), np.zeros_like(t))
        slope = theta[..., -1] * t if self.curve is Curve.SPREADING else 0.0 * t
        return np.asarray(middle), np.asarray(theta[..., terms] + slope)

    def falls(self, theta: Array, stress_MPa: Array) -> NDArray[np.bool_]:
        """Return whether the median life falls with stress from the lowest to the highest stress given."""
        if self.curve is Curve.ONE_LEVEL:
            return np.full(theta.shape[:-1], True)
        ends = np.log([stress_MPa.min(), stress_MPa.max()]) - self.centre
        bend = theta[..., 2, None] if _TERMS[self.curve] > 2 else 0.0
        return np.asarray((theta[..., 1, None] + 2.0 * bend * ends < 0).all(axis=-1))

    def failed_share(self, theta: Array, *, stress_MPa: Array, cycles: Array) -> Array:
        """Return the share that has failed by so many cycles."""
        middle, log_scale = self._at(theta, np.log(stress_MPa) - self.centre)
        return share((np.log(cycles) - middle) / np.exp(log_scale), self.distribution)

    def life_cycles(self, theta: Array, *, stress_MPa: Array, failed_share: Array) -> Array:
        """Return the cycles by which a share has failed."""
        middle, log_scale = self._at(theta, np.log(stress_MPa) - self.centre)
        return np.exp(
            np.minimum(middle + np.exp(log_scale) * quantile(failed_share, self.distribution), 700.0)
        )

    def strength_MPa(  # noqa: N802 - carries its unit
        self, theta: Array, *, cycles: Array, failed_share: Array
    ) -> Array:
        """Return the stress at which a share has failed by so many cycles; NaN where no stress is."""
        if self.curve is Curve.ONE_LEVEL:
            return np.full(
                np.broadcast_shapes(np.shape(cycles), np.shape(failed_share), theta.shape[:-1]), np.nan
            )
        z = quantile(failed_share, self.distribution)
        if self.curve is Curve.SPREADING:
            return self._searched(theta, np.log(cycles), z)
        level = theta[..., 0] + np.exp(theta[..., -1]) * z - np.log(cycles)
        if self.curve is Curve.STRAIGHT:
            return np.exp(self.centre - level / theta[..., 1])
        inside = theta[..., 1] ** 2 - 4.0 * theta[..., 2] * level
        with np.errstate(invalid="ignore"):  # no stress gives a life beyond the top of the parabola
            falling = -2.0 * level / (theta[..., 1] - np.sqrt(inside))  # the branch on which life falls
        return np.exp(self.centre + falling)

    def _searched(self, theta: Array, y: Array, z: Array) -> Array:
        """Newton on ln S: life falls with stress where the tests were."""
        t = np.zeros(np.broadcast_shapes(theta.shape[:-1], y.shape, z.shape))
        for _ in range(40):
            middle, log_scale = self._at(theta, t)
            miss = middle + np.exp(log_scale) * z - y
            rate = theta[..., 1] + 2.0 * theta[..., 2] * t + theta[..., -1] * np.exp(log_scale) * z
            t = t - np.clip(miss / rate, -0.5, 0.5)
        # where life rises again with stress, or its scatter turns it round, the curve says nothing
        return np.where((np.abs(miss) < 1e-6) & (rate < 0), np.exp(self.centre + t), np.nan)
