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
        of = theta[..., None, :]
        median, steep, beyond, t = self._at(of, points.y)
        scale, steeper = np.exp(of[..., 2]), np.exp(of[..., 1])
        z = (points.x - self.centre - median) / scale
        log_pdf, pdf_z = density(z, self.distribution)
        log_sf, sf_z = survival(z, self.distribution)
        with np.errstate(divide="ignore", invalid="ignore"):
            of_failure = log_pdf - of[..., 2] + np.log(steep) - points.y
            bends = np.where(points.failed, 1.0 / steep, 0.0)
        by_z = np.where(points.failed, pdf_z, sf_z)
        by_steeper = -t + ROUNDING * np.logaddexp(0.0, t / ROUNDING)  # of the median
        columns = [
            -by_z / scale,
            -by_z / scale * steeper * by_steeper + bends * steeper * (1.0 - beyond),
            -z * by_z - points.failed,
            -by_z / scale * steep + bends * steeper * beyond * (1.0 - beyond) / ROUNDING,
        ]
        scores = np.stack(columns[: len(self.names)], axis=-1)
        return Scored(np.where(points.failed, of_failure, log_sf), scores)

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
