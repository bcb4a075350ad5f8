"""Mean and scatter of the strength from failures and run-outs at any levels, by maximum likelihood."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import chdtri, log_ndtr

from gearcheck.basics.digits import number_text, with_unit
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import marked, need_measured, need_shares

PROBIT = Method(
    key="staircase_likelihood",
    title="Strength from failures and run-outs",
    source="maximum likelihood of failures and run-outs (probit)",
    edition="",
    clause="normal strength; intervals by likelihood ratio",
    status=Status.COMMON_PRACTICE,
    implements=("mean and deviation together; profile-likelihood limits of each",),
    leaves_out=("the cycles at which specimens failed", "shared scatter of the teeth of one gear"),
    departures=("From few specimens the deviation comes out too small on the average: read its limits.",),
)


UPSIDE_DOWN = "Failures did not become more frequent with the stress: neither mean nor deviation can be told."
"""What specimens tell of which the stronger loaded ones survived."""


@dataclass(frozen=True, kw_only=True)
class StaircaseLikelihood(Result):
    """Mean and deviation of the strength at the run-out life, with their limits."""

    method: ClassVar[Method] = PROBIT
    specimens: Number = term("Specimens", "n")
    failures: Number = term("Failures", "n_f")
    confidence: Number = term("Confidence", "C")
    mean_MPa: Number = term("Mean strength", "μ", "MPa", words="of the greatest likelihood", digits=5)
    deviation_MPa: Number = term("Standard deviation", "σ", "MPa", words="of the greatest likelihood")
    log_likelihood: Number = term(
        "Log likelihood", "L", words="Σ ln Φ((S_i - μ)/σ) of failures and ln(1 - Φ) of run-outs", digits=6
    )
    limit: Number = term("Fall of 2L at the limits", "Χ", words="quantile C of χ² with one degree of freedom")
    mean_low_MPa: Number = term(
        "Mean, lower limit", "μ_u", "MPa", words="2L of the best σ is Χ below its peak"
    )
    mean_high_MPa: Number = term(
        "Mean, upper limit", "μ_o", "MPa", words="2L of the best σ is Χ below its peak"
    )
    deviation_low_MPa: Number = term(
        "Deviation, lower limit", "σ_u", "MPa", words="2L of the best μ is Χ below its peak"
    )
    deviation_high_MPa: Number = term(
        "Deviation, upper limit", "σ_o", "MPa", words="2L of the best μ is Χ below its peak"
    )
    iterations: int = 0
    converged: bool = False


def staircase_likelihood(*, stress_MPa: Number, failed: Any, confidence: float) -> StaircaseLikelihood:
    """Return mean and deviation of a normal strength from failures and run-outs.

    L = Σ ln Φ((S_i - μ)/σ) over failures + Σ ln(1 - Φ((S_i - μ)/σ)) over run-outs, greatest

    Parameters
    ----------
    stress_MPa : array
        S_i, in any order and at any levels.
    failed : array of bool
        Whether each failed before the run-out life.
    confidence : float
        C of the limits.

    Returns
    -------
    StaircaseLikelihood
        A stop where the specimens tell no scatter, with what they do tell; a caution where a limit is open.

    Raises
    ------
    InputError
        Stresses not above 0, arrays that do not go together, a confidence not between 0 and 1.

    Notes
    -----
    Source: maximum likelihood; limits by the likelihood ratio.
    Valid for: one run-out life; normal strength of independent specimens.
    Departures: see the method.
    Checked: DM-03, DM-02-LIKELIHOOD.

    Examples
    --------
    >>> found = staircase_likelihood(stress_MPa=[420, 440, 460, 440, 460, 480, 460, 440, 420, 440],
    ...                              failed=[0, 0, 1, 0, 0, 1, 1, 1, 0, 0], confidence=0.9)
    >>> round(found.mean_MPa, 1), round(found.deviation_MPa, 1)
    (451.7, 14.9)
    """
    stress, faults = array(stress_MPa), Faults()
    faults.need(stress.ndim == 1 and stress.size > 0, "stress_MPa", stress, "one specimen or more")
    need_measured(faults, stress_MPa=stress)
    broke = marked(faults, failed, stress)
    need_shares(faults, confidence=confidence)
    faults.check()
    given = {"specimens": stress.size, "failures": int(broke.sum()), "confidence": confidence}
    stop = told_instead(stress, broke)
    if stop:
        return _without(given, stop)
    centre, spread = float(stress.mean()), float(np.ptp(stress))
    of = _Probit((stress - centre) / spread, np.where(broke, 1.0, -1.0))
    (a, b), peak, iterations, converged = of.best(np.stack([np.ones_like(of.x), of.x], axis=1))
    if b <= 0:
        return _without(given, UPSIDE_DOWN)
    limit = float(chdtri(1, 1 - confidence))
    mean, deviation = -a / b, 1 / b
    ends = (*_mean_limits(of, mean, deviation, peak, limit), *_deviation_limits(of, deviation, peak, limit))
    low, high, narrow, wide = ends
    return StaircaseLikelihood(
        **given,
        mean_MPa=centre + spread * mean,
        deviation_MPa=spread * deviation,
        log_likelihood=peak,
        limit=limit,
        mean_low_MPa=centre + spread * low,
        mean_high_MPa=centre + spread * high,
        deviation_low_MPa=spread * narrow,
        deviation_high_MPa=spread * wide,
        iterations=iterations,
        converged=converged,
        notices=_open(ends, confidence) + _unsettled(converged, iterations),
    )


def told_instead(stress: Array, failed: NDArray[np.bool_]) -> str:
    """Return what specimens tell that show no scatter; empty where they show it.

    Parameters
    ----------
    stress, failed : ndarray
        One entry a specimen.

    Returns
    -------
    str
        Sentences that end with what can be said.
    """
    if failed.all() or not failed.any():
        kind, side = ("failures", "at or below") if failed.any() else ("run-outs", "at or above")
        edge = stress.min() if failed.any() else stress.max()
        return (
            f"There are only {kind}, {stress.size} in number: neither mean nor deviation can be told, but "
            f"that the mean is likelier {side} {number_text(edge)} MPa. Levels that see both are needed."
        )
    top, bottom = stress[~failed].max(), stress[failed].min()
    if top > bottom:
        return UPSIDE_DOWN if stress[failed].max() <= stress[~failed].min() else ""
    if top < bottom:
        seen = (
            f"No level saw both: all survived up to {number_text(top)} MPa and all failed from "
            f"{number_text(bottom)} MPa up. "
            "The mean lies between"
        )
    else:
        at = failed[stress == top]
        seen = (
            f"Only {number_text(top)} MPa saw both, {at.sum()} failures of {at.size}; all survived below, "
            "all failed "
            "above. The mean lies near it"
        )
    return f"{seen}, the deviation cannot be told: at least two levels have to see both."


def _without(given: dict[str, Any], text: str) -> StaircaseLikelihood:
    names = ("mean", "deviation", "mean_low", "mean_high", "deviation_low", "deviation_high")
    nothing: dict[str, Any] = {f"{name}_MPa": None for name in names} | {
        "log_likelihood": None,
        "limit": None,
    }
    stop = Notice(Level.STOP, f"{PROBIT.key}.no_scatter", text)
    return StaircaseLikelihood(**given, **nothing, notices=(stop,))


@dataclass(frozen=True)
class _Probit:
    """Specimens at levels x, sign 1 for a failure and -1 for a run-out: P(failure) = Φ(a + b·x)."""

    x: Array
    sign: Array

    def best(self, design: Array, offset: Array | float = 0.0) -> tuple[Array, float, int, bool]:
        """Parameters of the greatest log likelihood, by Newton with halved steps: it is concave."""
        at = np.zeros(design.shape[1])
        value, iteration = self.value(design @ at + offset), 0
        for iteration in range(1, 101):
            u = self.sign * (design @ at + offset)
            ratio = np.exp(-(u**2) / 2 - log_ndtr(u)) / np.sqrt(2 * np.pi)
            weight = np.maximum(ratio * (ratio + u), 1e-300)
            step = np.linalg.solve((design.T * weight) @ design, design.T @ (self.sign * ratio))
            while (found := self.value(design @ (at + step) + offset)) < value - 1e-12 * abs(value):
                step = step / 2
            at, value = at + step, found
            if np.abs(step).max() <= 1e-9 * (1 + np.abs(at).max()):
                return at, value, iteration, True
        return at, value, iteration, False

    def value(self, u: Array) -> float:
        return float(log_ndtr(self.sign * u).sum())

    def best_at_mean(self, mean: float) -> float:
        """Greatest log likelihood at a mean, over all deviations."""
        (b,), value, *_ = self.best((self.x - mean)[:, None])
        return value if b > 0 else self.x.size * float(np.log(0.5))

    def best_at_deviation(self, deviation: float) -> float:
        """Greatest log likelihood at a deviation, over all means."""
        return self.best(np.ones((self.x.size, 1)), self.x / deviation)[1]

    def level(self, side: float = 0.0) -> float:
        """Log likelihood where stress has no effect: of any mean, or of one far up (1) or far down (-1)."""
        share = float((self.sign > 0).mean())
        far = (side > 0 and share > 0.5) or (side < 0 and share < 0.5)
        q = 0.5 if far else share
        return self.x.size * float(share * np.log(q) + (1 - share) * np.log(1 - q))


def _mean_limits(
    of: _Probit, mean: float, deviation: float, peak: float, limit: float
) -> tuple[float, float]:
    def fall(at: float) -> float:
        return 2 * (peak - of.best_at_mean(at)) - limit

    def end(side: float) -> float:
        if 2 * (peak - of.level(side)) <= limit:
            return float("nan")
        return _root(fall, mean, lambda k: mean + side * deviation * k)

    return end(-1.0), end(1.0)


def _deviation_limits(of: _Probit, deviation: float, peak: float, limit: float) -> tuple[float, float]:
    def fall(at: float) -> float:
        return 2 * (peak - of.best_at_deviation(at)) - limit

    low = _root(fall, deviation, lambda k: deviation / (1 + k))
    if 2 * (peak - of.level()) <= limit:
        return low, float("nan")
    return low, _root(fall, deviation, lambda k: deviation * (1 + k))


def _root(fall: Callable[[float], float], start: float, at: Callable[[float], float]) -> float:
    """Where 2L has fallen by the limit, beyond the start: the place is looked for ever farther away."""
    inside, step = start, 0.5
    while fall(at(step)) < 0:
        inside, step = at(step), 2 * step
    return float(brentq(fall, inside, at(step), xtol=1e-12, rtol=1e-12))


def _open(ends: tuple[float, ...], confidence: float) -> tuple[Notice, ...]:
    names = ("a lower limit of the mean", "an upper limit of the mean", "", "an upper limit of the deviation")
    missing = [name for name, end in zip(names, ends, strict=True) if np.isnan(end)]
    if not missing:
        return ()
    text = (
        f"At {with_unit(number_text(100 * confidence), '%')} confidence the specimens do not give "
        f"{' nor '.join(missing)}: more are needed."
    )
    return (Notice(Level.CAUTION, f"{PROBIT.key}.open", text),)


def _unsettled(converged: bool, iterations: int) -> tuple[Notice, ...]:
    if converged:
        return ()
    text = f"The greatest likelihood was not settled within {iterations} iterations."
    return (Notice(Level.CAUTION, f"{PROBIT.key}.not_converged", text),)
