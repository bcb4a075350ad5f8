"""What lives of one load say of new specimens: whether they survive, and the life that a share outlives."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammainccinv, gammaincinv, log_ndtr, ndtri, stdtr

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import marked, need_measured, need_positive, need_whole
from gearcheck.fatigue.tolerance_factor import TOLERANCE, tolerance_factor

PREDICTIVE = Method(
    key="new_specimens",
    title="Survival of new specimens",
    source="predictive distribution of a normal sample under its reference prior",
    edition="",
    clause="mean and ln deviation uniform beforehand",
    status=Status.COMMON_PRACTICE,
    implements=(
        "one new specimen by Student's t, several by an integral over what mean and deviation may be",
    ),
    leaves_out=("run-outs", "other loads than the one tested"),
    departures=("The integral is a sum over 200 deviations and 60 means: ten digits against Student's t.",),
)


@dataclass(frozen=True, kw_only=True)
class NewSpecimens(Result):
    """How likely new specimens all survive, with what is not known of mean and scatter counted in."""

    method: ClassVar[Method] = PREDICTIVE
    specimens: Number = term("Specimens tested", "n")
    mean_log_life: Number = term("Mean of ln life", "m")
    deviation: Number = term("Standard deviation of ln life, divisor n - 1", "s")
    cycles: Number = term("Cycles to survive", "N_0")
    new: Number = term("New specimens", "r")
    distance: Number = term("Distance of the mean, in deviations", "q", "", "(m - ln(N_0))/s")
    plug_in: Number = term(
        "All survive, were mean and deviation known", "P_p", words="Φ(q)^r: too much, it is shown beside"
    )
    one_survives: Number = term("One survives", "P_1", words="Student's t, n - 1, at q/√(1 + 1/n)")
    each_apart: Number = term("All survive, were each tested against a sample of its own", "P_e", "", "P_1^r")
    all_survive: Number = term("All survive", "P_r", words="mean of Φ((μ - ln N_0)/σ)^r over μ and σ")


@dataclass(frozen=True, kw_only=True)
class ToleranceLife(Result):
    """The life that a share of all specimens outlives at one load, with confidence."""

    method: ClassVar[Method] = TOLERANCE
    specimens: Number = term("Specimens tested", "n")
    mean_log_life: Number = term("Mean of ln life", "m")
    deviation: Number = term("Standard deviation of ln life, divisor n - 1", "s")
    reliability: Number = term("Share of all specimens that outlives it", "R")
    confidence: Number = term("Confidence", "C")
    reliability_quantile: Number = term(
        "Normal quantile of the reliability", "z_R", words="standard normal quantile of R"
    )
    factor: Number = term("Tolerance factor", "k", words="of n, R and C", digits=5)
    plug_in_cycles: Number = term(
        "Life, were mean and deviation known", "N_p", "", "exp(m - z_R·s)", digits=5
    )
    cycles: Number = term("Tolerance life", "N_R", "", "exp(m - k·s)", digits=5)


def new_specimens_survive(
    *, lives_cycles: Number, cycles: Number, new: Number, failed: Any = True
) -> NewSpecimens:
    """Return how likely new specimens survive, after lives of one load.

    P_1 = T_(n-1)((m - ln N_0)/(s √(1 + 1/n))); P_r = E[Φ((μ - ln N_0)/σ)^r] over μ and σ after the tests

    Parameters
    ----------
    lives_cycles : array
        Lives at one load; specimens on the last axis.
    cycles : float or array
        N_0, in the unit of the lives.
    new : int or array
        r, of which all have to survive.
    failed : array of bool
        Whether each life ended in failure; a run-out stops the calculation.

    Returns
    -------
    NewSpecimens
        A stop where the lives show no scatter, or among run-outs.

    Raises
    ------
    InputError
        Lives or cycles not above 0, less than one new specimen.

    Notes
    -----
    Source: Student's t for one specimen; the joint integral under the prior 1/σ for several.
    Valid for: lognormal lives without run-outs; new specimens of the same population.
    Departures: several specimens share the unknown mean and deviation, so that neither Φ(q)^r nor P_1^r is
    their survival.
    Checked: PASS-01.

    Examples
    --------
    >>> found = new_specimens_survive(lives_cycles=[2e5, 3e5, 4e5, 6e5], cycles=1e5, new=2)
    >>> round(found.plug_in, 3), round(found.each_apart, 3), round(found.all_survive, 3)
    (0.993, 0.906, 0.915)
    """
    faults = Faults()
    need_positive(faults, cycles=cycles)
    need_whole(faults, least=1, new=new)
    shared, stop = _sample(lives_cycles, failed, faults)
    n, N, r = shared["specimens"], array(cycles), array(new)
    with np.errstate(divide="ignore", invalid="ignore"):
        q = (shared["mean_log_life"] - np.log(N)) / shared["deviation"]
    one = stdtr(n - 1, q / np.sqrt(1 + 1 / n))
    return NewSpecimens(
        **shared,
        cycles=N,
        new=r,
        distance=q,
        plug_in=np.exp(r * log_ndtr(q)),
        one_survives=one,
        each_apart=one**r,
        all_survive=np.where(r == 1, one, _jointly(q, r, int(n))),
        notices=stop,
    )


def tolerance_life(
    *, lives_cycles: Number, reliability: Number, confidence: Number, failed: Any = True
) -> ToleranceLife:
    """Return the life that a share of all specimens outlives at one load, with confidence.

    N_R = exp(m - k s), k the tolerance factor

    Parameters
    ----------
    lives_cycles : array
        Lives at one load; specimens on the last axis.
    reliability : float or array
        R.
    confidence : float or array
        C.
    failed : array of bool
        Whether each life ended in failure; a run-out stops the calculation.

    Returns
    -------
    ToleranceLife
        In the unit of the lives; a stop where they show no scatter, or among run-outs.

    Raises
    ------
    InputError
        Lives not above 0, a share not between 0 and 1.

    Notes
    -----
    Source: Owen 1968, from memory.
    Valid for: lognormal lives without run-outs.
    Departures: none.
    Checked: PASS-03.

    Examples
    --------
    >>> found = tolerance_life(lives_cycles=[2e5, 3e5, 4e5, 6e5], reliability=0.99, confidence=0.9)
    >>> round(found.plug_in_cycles, -2), round(found.cycles, -2)
    (117800.0, 27800.0)
    """
    shared, stop = _sample(lives_cycles, failed, Faults())
    found = tolerance_factor(specimens=shared["specimens"], reliability=reliability, confidence=confidence)
    m, s, k = shared["mean_log_life"], shared["deviation"], array(found.factor)
    z = ndtri(array(reliability))
    return ToleranceLife(
        **shared,
        reliability=reliability,
        confidence=confidence,
        reliability_quantile=z,
        factor=k,
        plug_in_cycles=np.exp(m - z * s),
        cycles=np.exp(m - k * s),
        notices=stop,
    )


def _sample(lives: Number, failed: Any, faults: Faults) -> tuple[dict[str, Array], tuple[Notice, ...]]:
    """Number, mean and deviation of ln lives; without scatter they have no values."""
    life = array(lives)
    faults.need(life.ndim > 0 and life.size > 0, "lives_cycles", lives, "one life or more")
    need_measured(faults, lives_cycles=lives)
    broke = marked(faults, failed, life)
    faults.check()
    n = life.shape[-1]
    text = _no_scatter(life, broke)
    if text:
        empty = {"mean_log_life": array(None), "deviation": array(None)}
        stop = (Notice(Level.STOP, f"{PREDICTIVE.key}.no_scatter", text),)
        return {"specimens": array(n), **empty}, stop
    log = np.log(life)
    found = {"specimens": array(n), "mean_log_life": log.mean(axis=-1), "deviation": log.std(axis=-1, ddof=1)}
    return found, ()


def _no_scatter(life: Array, failed: NDArray[np.bool_]) -> str:
    """What stands against mean and deviation of the lives; empty where nothing does."""
    n, out = life.shape[-1], int((~failed).any(axis=tuple(range(life.ndim - 1))).sum())
    if out:
        return (
            f"{out} of {n} are run-outs: they have no life yet, and left out they would make the lives look "
            "shorter. Fit failures and run-outs together."
        )
    if n == 1:
        return "One specimen shows no scatter: neither a survival nor a life at a reliability can be told."
    if np.any(np.ptp(life, axis=-1) == 0):
        return (
            "All lives are equal: no scatter is shown, and none can be told. Look at how they were recorded."
        )
    return ""


def _jointly(distance: Array, new: Array, specimens: int) -> Array:
    """Mean of Φ(Z/√n + W·q)^r: Z normal, (n - 1)·W² of χ² with n - 1 degrees of freedom."""
    if specimens < 2:
        return array(np.nan * distance)
    shift, scale, weight = _nodes(specimens)
    q, r = array(distance)[..., None], array(new)[..., None]
    return array((np.exp(r * log_ndtr(shift + scale * q)) * weight).sum(axis=-1))


@cache
def _nodes(specimens: int) -> tuple[Array, Array, Array]:
    """Z/√n, W and their common weight."""
    half = (specimens - 1) / 2
    ends = np.sqrt(np.array([gammaincinv(half, 1e-15), gammainccinv(half, 1e-15)]) / half)
    place, of_place = np.polynomial.legendre.leggauss(200)
    W = ends.mean() + np.ptp(ends) / 2 * place
    log_density = (2 * half - 1) * np.log(W) - half * W**2
    of_W = of_place * np.exp(log_density - log_density.max())
    Z, of_Z = np.polynomial.hermite_e.hermegauss(60)
    weight = np.outer(of_W / of_W.sum(), of_Z / of_Z.sum())
    shift, scale = np.broadcast_arrays(Z / np.sqrt(specimens), W[:, None])
    return shift.ravel(), scale.ravel(), weight.ravel()
