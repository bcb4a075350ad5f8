"""A line through median ranks on probability paper: quick, and no substitute for the likelihood."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.families import quantile
from gearcheck.fatigue.inputs import Distribution
from gearcheck.fatigue.ranks import adjusted_ranks

REGRESSION = Method(
    key="rank_regression",
    title="Line through median ranks",
    source="Kececioglu, Reliability & Life Testing Handbook, volume 2",
    edition="1994",
    clause="least squares on probability paper",
    status=Status.FROM_MEMORY,
    implements=("Weibull and lognormal lives, least squares of the ranks or of the lives",),
    leaves_out=("intervals: the ranks are not independent, so that those of a straight line do not hold",),
    departures=("Run-outs move the ranks of the failures after them and have no other effect.",),
)


class LeastSquares(StrEnum):
    """Whose distances from the line are made least."""

    OF_RANKS = "of the ranks"
    OF_LIVES = "of the lives"


class RankKind(StrEnum):
    """How the median ranks are worked out."""

    EXACT = "exact"
    BENARD = "Benard"


@dataclass(frozen=True, kw_only=True)
class RankRegression(Result):
    """The line, and the distribution that it stands for."""

    method: ClassVar[Method] = REGRESSION
    distribution: Distribution
    least_squares: LeastSquares
    ranks: RankKind
    failures: Number = term("Failures", "n_f")
    location: Number = term(
        "Location", "μ", words="ln of the characteristic life (Weibull) or of the median life (lognormal)"
    )
    log_scale: Number = term(
        "Scale of ln cycles", "s", words="ln cycles over the paper's scale, along the line that fits"
    )
    correlation: Number = term("Correlation of the points", "r", words="of ln cycles and the paper's scale")
    location_cycles: Number = term(
        "Life at the location, 63.2 % failed (Weibull) or 50 % (lognormal)", "N_μ", "", "exp(μ)"
    )
    shape: Number = term("Slope of the line on Weibull paper", "β", "", "1/s")


def rank_regression(
    *,
    cycles: Number,
    failed: Any,
    distribution: Distribution,
    least_squares: LeastSquares,
    ranks: RankKind = RankKind.EXACT,
) -> RankRegression:
    """Return the line through the median ranks of lives.

    y = (ln N - μ)/s; y = ln(-ln(1 - F)) (Weibull) or the normal quantile of F (lognormal)

    Parameters
    ----------
    cycles : array
        Lives, and the cycles at which run-outs were taken out, in any order.
    failed : array of bool
        Whether each failed.
    distribution : Distribution
        Of the lives.
    least_squares : LeastSquares
        Of the ranks (y on ln N) or of the lives (ln N on y).
    ranks : RankKind
        Exact ranks, or the approximation of Benard, which moves β in its third digit.

    Returns
    -------
    RankRegression
        A stop with fewer than two different lives; a caution that no interval goes with it.

    Raises
    ------
    InputError
        Cycles not above 0, no specimen.

    Notes
    -----
    Source: Kececioglu 1994, from memory.
    Valid for: one level of stress; a first look.
    Departures: see the method.
    Checked: RANK-02, RANK-02-BENARD.

    Examples
    --------
    >>> line = rank_regression(cycles=[16, 34, 53, 75, 93, 120], failed=[True] * 6,
    ...                        distribution=Distribution.WEIBULL, least_squares=LeastSquares.OF_RANKS)
    >>> round(line.shape, 3), round(line.location_cycles, 2)
    (1.43, 76.32)
    """
    faults = Faults()
    faults.need(np.ndim(cycles) == 1, "cycles", cycles, "the lives of one sample, one after another")
    faults.check()
    found = adjusted_ranks(cycles=cycles, failed=failed)
    share = array(found.exact if ranks is RankKind.EXACT else found.approximate)
    broke = ~np.isnan(share)
    x = np.log(array(cycles)[broke])
    y = quantile(share[broke], distribution)
    stop = _stop(x)
    location, scale, correlation = (np.nan,) * 3 if stop else _line(x, y, least_squares)
    return RankRegression(
        distribution=distribution,
        least_squares=least_squares,
        ranks=ranks,
        failures=x.size,
        location=location,
        log_scale=scale,
        correlation=correlation,
        location_cycles=np.exp(location),
        shape=1 / scale,
        notices=stop or _caution(found.specimens, x.size),
    )


def _line(x: Array, y: Array, least_squares: LeastSquares) -> tuple[float, float, float]:
    across, up = x - x.mean(), y - y.mean()
    xx, yy, xy = across @ across, up @ up, across @ up
    scale = xx / xy if least_squares is LeastSquares.OF_RANKS else xy / yy
    return float(x.mean() - scale * y.mean()), float(scale), float(xy / np.sqrt(xx * yy))


def _stop(x: Array) -> tuple[Notice, ...]:
    if np.unique(x).size > 1:
        return ()
    many = (
        "No specimen failed" if not x.size else "All failures have one life" if x.size > 1 else "One failed"
    )
    text = f"{many}: no line can be drawn. It takes two failures with different lives."
    return (Notice(Level.STOP, f"{REGRESSION.key}.no_line", text),)


def _caution(specimens: Number, failures: int) -> tuple[Notice, ...]:
    out = int(specimens) - failures
    if not out:
        return ()
    text = f"{out} run-outs only move the ranks of later failures: their lives themselves are not used."
    return (Notice(Level.CAUTION, f"{REGRESSION.key}.run_outs", text),)
