"""Two slopes with scatter in load direction: a specimen keeps its share of strength at every life."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import expit, ndtr, ndtri

from gearcheck.basics.numbers import Array
from gearcheck.fatigue.families import Points, Scored, density, survival
from gearcheck.fatigue.inputs import Curve, Distribution

ROUNDING = 0.2
"""The knee is rounded over so much of ln N, so that the likelihood has no corner where a specimen broke."""


@dataclass(frozen=True)
class TwoSlopes:
    """ln S_50(N) = ln S_D - a_1 t - (a_2 - a_1) ω ln(1 + e^(t/ω)), t = ln(N/N_D); z = ln(S/S_50)/σ_S.

    Parameters
    ----------
    centre : float
        ln S_c.
    long_slope : float
        k_2 beyond the knee, as it was agreed; a_2 = 1/k_2.
    knee : float or None
        ln N_D where it is given; None where it is fitted.
    """

    centre: float
    long_slope: float
    knee: float | None = None
    curve: ClassVar[Curve] = Curve.TWO_SLOPES
    distribution: ClassVar[Distribution] = Distribution.LOGNORMAL

    @property
    def names(self) -> tuple[str, ...]:
        """The parameters in their order."""
        return ("ln(S_D/S_c)", "ln(1/k_1 - 1/k_2)", "ln σ_S", "ln N_D")[: 4 if self.knee is None else 3]

    def starts(self, points: Points) -> Array:
        """Return where to begin: several knees, several slopes."""
        lives = points.y[points.failed]
        low = points.x[points.failed].min() - self.centre
        knees = np.quantile(lives, [0.5, 0.75, 0.95]) if self.knee is None else [self.knee]
        ending = 4 if self.knee is None else 3
        return np.array(
            [
                [low, np.log(steep), np.log(0.05), knee][:ending]
                for knee in knees
                for steep in (0.05, 0.1, 0.2)
            ]
        )

    def _at(self, theta: Array, y: Array) -> tuple[Array, Array, Array, Array]:
        """Logarithm of the median strength, steepness there, share of the long branch, t."""
        t = y - (theta[..., 3] if self.knee is None else self.knee)
        steeper, beyond = np.exp(theta[..., 1]), expit(t / ROUNDING)
        rounded = ROUNDING * np.logaddexp(0.0, t / ROUNDING)
        long = 1.0 / self.long_slope
        median = theta[..., 0] - (long + steeper) * t + steeper * rounded
        return median, long + steeper * (1.0 - beyond), beyond, t

    def scored(self, theta: Array, points: Points) -> Scored:
        """Return log-likelihood and derivatives of each specimen."""
        z, by = self._standard(theta, points.x, points.y)
        of = theta[..., None, :]
        _, steep, beyond, _ = self._at(of, points.y)
        steeper = np.exp(of[..., 1])
        log_pdf, pdf_z = density(z, self.distribution)
        log_sf, sf_z = survival(z, self.distribution)
        bends = np.where(points.failed, 1.0 / steep, 0.0)
        columns = [
            0.0 * z,
            bends * steeper * (1.0 - beyond),
            -1.0 * np.broadcast_to(points.failed, z.shape),
            bends * steeper * beyond * (1.0 - beyond) / ROUNDING,
        ]
        by_z = np.where(points.failed, pdf_z, sf_z)
        value = np.where(points.failed, log_pdf - of[..., 2] + np.log(steep) - points.y, log_sf)
        scores = by_z[..., None] * by + np.stack(columns[: len(self.names)], axis=-1)
        return self._between(theta, points, Scored(value, scores))

    def _standard(self, theta: Array, x: Array, y: Array) -> tuple[Array, Array]:
        """The standard strength of each specimen at y, and its derivatives by parameter."""
        of = theta[..., None, :]
        median, steep, _, t = self._at(of, y)
        scale, steeper = np.exp(of[..., 2]), np.exp(of[..., 1])
        z = (x - self.centre - median) / scale
        by_steeper = steeper * (ROUNDING * np.logaddexp(0.0, t / ROUNDING) - t)  # of the median
        columns = [np.broadcast_to(-1.0 / scale, z.shape), -by_steeper / scale, -z, -steep / scale]
        return z, np.stack(columns[: len(self.names)], axis=-1)

    def _between(self, theta: Array, points: Points, exact: Scored) -> Scored:
        """Put in the failures that lie between two inspections."""
        if points.sound is None:
            return exact
        seen = points.failed & ~np.isnan(points.sound)
        begun = seen & np.isfinite(points.sound)
        (high, by_high), (low, by_low) = (
            self._standard(theta, points.x, y) for y in (points.y, np.where(begun, points.sound, 0.0))
        )
        inside = np.maximum(ndtr(high) - np.where(begun, ndtr(low), 0.0), 1e-300)
        tall = [np.exp(density(z, self.distribution)[0]) for z in (high, low)]
        moved = tall[0][..., None] * by_high - np.where(begun, tall[1], 0.0)[..., None] * by_low
        return Scored(
            np.where(seen, np.log(inside), exact.log_likelihood),
            np.where(seen[..., None], moved / inside[..., None], exact.scores),
        )

    def failed_share(self, theta: Array, *, stress_MPa: Array, cycles: Array) -> Array:
        """Return the share that has failed by so many cycles."""
        return ndtr(
            (np.log(stress_MPa) - self.centre - self._at(theta, np.log(cycles))[0]) / np.exp(theta[..., 2])
        )

    def strength_MPa(  # noqa: N802 - carries its unit
        self, theta: Array, *, cycles: Array, failed_share: Array
    ) -> Array:
        """Return the stress at which a share has failed by so many cycles."""
        return np.exp(
            self.centre + self._at(theta, np.log(cycles))[0] + np.exp(theta[..., 2]) * ndtri(failed_share)
        )

    def life_cycles(self, theta: Array, *, stress_MPa: Array, failed_share: Array) -> Array:
        """Return the cycles by which a share has failed, by Newton from the branch that rules."""
        needed = np.log(stress_MPa) - self.centre - np.exp(theta[..., 2]) * ndtri(failed_share)
        steeper, long = np.exp(theta[..., 1]), 1.0 / self.long_slope
        knee = theta[..., 3] if self.knee is None else self.knee
        over = theta[..., 0] - needed  # how far below the knee's strength
        with np.errstate(divide="ignore"):
            y = knee + np.where(over < 0, over / (long + steeper), np.divide(over, long) if long else np.inf)
        for _ in range(30):
            median, steep, *_ = self._at(theta, np.minimum(y, 1e6))
            with np.errstate(divide="ignore", invalid="ignore"):
                y = np.where(np.isfinite(y), y + (median - needed) / steep, y)
        return np.exp(np.where(np.isnan(y), np.inf, np.minimum(y, 700.0)))
