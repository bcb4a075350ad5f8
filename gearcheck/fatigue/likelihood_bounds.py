"""How far a quantity can move before the tests speak against it: bounds by the profile likelihood."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar, Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri, ndtri

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.families import Points
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.model import FatigueModel, points_of
from gearcheck.fatigue.newton import quietly, slope_and_curvature
from gearcheck.fatigue.quantities import LogLife, LogStrength


class Quantity(Protocol):
    """What is bounded: several values of a curve, told apart by their place."""

    @property
    def count(self) -> int:
        """How many there are."""

    def values(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return one value a row of parameters: that of its place."""

    def slopes(self, theta: Array, which: NDArray[np.intp]) -> Array:
        """Return its derivatives by parameter, of shape (rows, p)."""


BOUNDS = Method(
    key="likelihood_bounds",
    title="Bounds by the profile likelihood",
    source="Meeker and Escobar, Statistical Methods for Reliability Data",
    edition="1998",
    clause="likelihood-ratio intervals",
    status=Status.FROM_MEMORY,
    implements=("two-sided intervals and one-sided bounds of any quantity of a curve that was fitted",),
    leaves_out=("corrections for few specimens: the coverage of small sets is a little less than stated",),
    departures=(
        "Found by following the largest and the smallest value of the quantity over the likelihood.",
    ),
)

_STAGES = 6  # the root of the fall of the likelihood is raised in so many equal parts
_CORRECTIONS = 25
_CLOSE = 1e-5  # of the fall of the likelihood, and of a step in its scale
_BEYOND = 1e100  # larger derivatives are none
_LONGEST = 0.5  # of a step, in the scale of the likelihood
_BENT = 1e-3  # difference for the second derivatives of a quantity, which need not be fine


@dataclass(frozen=True, kw_only=True)
class LikelihoodBounds(Result):
    """A quantity with its bounds, one entry for each that was asked for; NaN where none was found."""

    method: ClassVar[Method] = BOUNDS
    confidence: Number = term("Confidence", "C")
    fall: Number = term(
        "Fall of twice the log-likelihood", "Δ", words="quantile of χ² with one degree, of both sides or one"
    )
    low: Number = term("Lower bound", "g_low", words="least value with that fall", digits=4)
    estimate: Number = term("Estimate", "g", words="at the largest likelihood", digits=4)
    high: Number = term("Upper bound", "g_high", words="largest value with that fall", digits=4)


def likelihood_bounds(
    *, fit: FatigueFit, quantity: Quantity, confidence: float, both_sides: bool = True
) -> LikelihoodBounds:
    """Return the bounds of quantities by the profile likelihood.

    2 (ln L(θ̂) - ln L(θ)) = χ², with g(θ) as small, or as large, as it can be

    Parameters
    ----------
    fit : FatigueFit
        A fit that converged.
    quantity : Quantity
        One or several values of the curve.
    confidence : float
        C: of the interval, or of each bound by itself.
    both_sides : bool
        Whether C is that of the interval between both.

    Returns
    -------
    LikelihoodBounds
        NaN, and a caution, where the likelihood does not close on that side.

    Raises
    ------
    InputError
        A confidence not between 0 and 1, or one of a single bound below 0.5.

    Notes
    -----
    Source: Meeker and Escobar 1998, from memory.
    Valid for: likelihoods with a summit; many specimens, or coverage a little less than stated.
    Departures: none.
    Checked: FATIGUE-WB-06, FATIGUE-SNML-09-LIMIT.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> from gearcheck.fatigue.quantities import OfParameters
    >>> lives = np.array([17.9, 28.9, 33.0, 41.5, 42.1, 45.6, 48.4, 51.8, 52.0, 54.1])
    >>> tests = FatigueData(stress_MPa=np.full(10, 900.0), cycles=lives, failed=np.full(10, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.ONE_LEVEL)
    >>> found = likelihood_bounds(
    ...     fit=fit, quantity=OfParameters(lambda theta: np.exp(theta[:, 0])), confidence=0.95)
    >>> [f"{float(np.ravel(value)[0]):.1f}" for value in (found.low, found.estimate, found.high)]
    ['31.7', '39.6', '49.6']
    """
    faults = Faults()
    least = 0.0 if both_sides else 0.5
    faults.need(least < confidence < 1, "confidence", confidence, f"a share between {least:g} and 1")
    faults.check()
    root = float(np.sqrt(chdtri(1, 1 - confidence)) if both_sides else ndtri(confidence))
    every = np.arange(quantity.count)
    estimate = quantity.values(np.repeat(fit.parameters[None], every.size, axis=0), every)
    low, high = np.full(estimate.shape, np.nan), np.full(estimate.shape, np.nan)
    if fit.converged and np.isfinite(fit.covariance).all():
        usable = np.isfinite(estimate)
        for bound, way in ((low, -1.0), (high, 1.0)):
            bound[usable] = _followed(fit, quantity, np.flatnonzero(usable), way, root)
    return LikelihoodBounds(
        confidence=confidence,
        fall=root**2,
        low=low,
        estimate=estimate,
        high=high,
        notices=_open_ends(low, high),
    )


def _open_ends(low: Array, high: Array) -> tuple[Notice, ...]:
    sides = [(low, "lower"), (high, "upper")]
    said = [f"{int(np.isnan(side).sum())} {word}" for side, word in sides if np.isnan(side).any()]
    if not said:
        return ()
    text = (
        f"{' and '.join(said)} bounds were not found: there the likelihood does not close, or has no summit."
    )
    return (Notice(Level.CAUTION, f"{BOUNDS.key}.open", text),)


@quietly()
def _followed(fit: FatigueFit, quantity: Quantity, which: NDArray[np.intp], way: float, root: float) -> Array:
    """The extreme of each quantity while the likelihood falls in stages, each begun where the last ended."""
    points = points_of(fit.data)
    theta = np.repeat(fit.parameters[None], which.size, axis=0)
    slope = quantity.slopes(theta, which)
    reach = np.sqrt(np.einsum("bi,ij,bj->b", slope, fit.covariance, slope))
    ahead = way * slope @ fit.covariance / np.maximum(reach, 1e-300)[:, None]
    known, value = reach > 0, quantity.values(theta, which)
    for stage in range(1, _STAGES + 1):
        rows = np.flatnonzero(known)
        if not rows.size:
            break
        begun = theta[rows] + ahead[rows] * root / _STAGES
        target = float(array(fit.log_likelihood)) - 0.5 * (root * stage / _STAGES) ** 2
        found, there = _at_fall(fit.model, points, quantity, which[rows], begun, target, way)
        reached = quantity.values(found, which[rows])
        known[rows] = there & (way * (reached - value[rows]) > 0)  # else it went over the edge of the curve
        value[rows] = reached
        ahead[rows], theta[rows] = (found - theta[rows]) * _STAGES / root, found
    return np.where(known, value, np.nan)


def _at_fall(
    model: FatigueModel,
    points: Points,
    quantity: Quantity,
    which: NDArray[np.intp],
    theta: Array,
    target: float,
    way: float,
) -> tuple[Array, NDArray[np.bool_]]:
    """Newton on the conditions of an extreme of g on a level of the likelihood, from close by."""
    theta, there = theta.copy(), np.zeros(which.size, dtype=bool)
    for _ in range(_CORRECTIONS):
        rows = np.flatnonzero(~there)
        if not rows.size:
            break
        at, of = theta[rows], which[rows]
        slope, bent = slope_and_curvature(model, points, at, None)
        value = model.scored(at, points).log_likelihood.sum(axis=-1)
        along = way * quantity.slopes(at, of)
        step, close = _corrected(slope, bent, along, way * _bent(quantity, at, of), target - value)
        there[rows] = close
        theta[rows] = np.where(close[:, None], at, at + step)
    return theta, there


def _corrected(
    slope: Array, bent: Array, along: Array, along_bent: Array, short: Array
) -> tuple[Array, NDArray[np.bool_]]:
    """One step of Newton for: g largest, ln L at its level; λ holds the two slopes against one another."""
    finite = (np.abs(bent) + np.abs(along_bent) < _BEYOND).all(axis=(-1, -2)) & np.isfinite(short)
    finite &= (np.abs(slope) + np.abs(along) < _BEYOND).all(axis=-1)
    unit = np.eye(slope.shape[-1])
    bent = np.where(finite[:, None, None], bent, unit)
    slope, along, short = (
        np.where(finite.reshape(-1, *(1,) * (of.ndim - 1)), of, 1.0) for of in (slope, along, short)
    )
    metric = _inverse(bent)
    hold = -_form(along, metric, slope) / np.maximum(_form(slope, metric, slope), 1e-300)
    hold = np.maximum(
        hold, 1e-3 * np.sqrt(_form(along, metric, along) / np.maximum(_form(slope, metric, slope), 1e-300))
    )
    whole = _inverse(bent - np.where(finite[:, None, None], along_bent, 0.0) / hold[:, None, None])
    new = (hold * short - _form(slope, whole, along)) / np.maximum(_form(slope, whole, slope), 1e-300)
    step = np.einsum("bij,bj->bi", whole, along + new[:, None] * slope) / hold[:, None]
    size = np.sqrt(np.maximum(_form(step, bent, step), 0.0))
    # on a ridge, where a scatter vanishes, steps go on along it and gain nothing
    gain = np.abs((along * step).sum(axis=-1)) / np.sqrt(np.maximum(_form(along, metric, along), 1e-300))
    close = finite & ((size < _CLOSE) | (gain < _CLOSE)) & (np.abs(short) < _CLOSE)
    step = step * np.minimum(1.0, _LONGEST / np.maximum(size, 1e-300))[:, None]
    return np.where(finite[:, None], step, np.nan), close


def _form(left: Array, between: Array, right: Array) -> Array:
    return np.asarray(np.einsum("bi,bij,bj->b", left, between, right))


def _inverse(matrix: Array) -> Array:
    """The inverse, with every curvature turned downwards."""
    known = np.asarray(
        (np.abs(matrix) < _BEYOND).all(axis=(-1, -2))
    )  # without it a step leads nowhere, and is not taken
    even = np.where(
        known[:, None, None], 0.5 * (matrix + np.swapaxes(matrix, -1, -2)), np.eye(matrix.shape[-1])
    )
    roots, ways = np.linalg.eigh(even)
    size = np.abs(roots)
    floor = np.maximum(1e-9 * size.max(axis=-1, keepdims=True), 1e-300)
    return np.asarray(np.einsum("bij,bj,bkj->bik", ways, 1.0 / np.maximum(size, floor), ways))


def _bent(quantity: Quantity, theta: Array, which: NDArray[np.intp]) -> Array:
    """Second derivatives of the quantity, by differences of the first."""
    columns = []
    for place in range(theta.shape[-1]):
        by = np.zeros(theta.shape[-1])
        by[place] = _BENT
        columns.append(
            (quantity.slopes(theta + by, which) - quantity.slopes(theta - by, which)) / (2.0 * _BENT)
        )
    return np.stack(columns, axis=-1)


def strength_bounds(
    *, fit: FatigueFit, cycles: Number, failed_share: Number, confidence: float, both_sides: bool = True
) -> LikelihoodBounds:
    """Return the strength at which a share has failed by so many cycles, with its bounds.

    ln S of F(N; S) = P, bounded by the profile likelihood

    Parameters
    ----------
    fit : FatigueFit
        A fit that converged.
    cycles, failed_share : float or array
        N and P; they broadcast.
    confidence : float
        C: of the interval, or of each bound by itself.
    both_sides : bool
        Whether C is that of the interval between both.

    Returns
    -------
    LikelihoodBounds
        In MPa, of the broadcast shape.

    Raises
    ------
    InputError
        As of `likelihood_bounds`.

    Notes
    -----
    Source: as of `likelihood_bounds`.
    Valid for: as of `likelihood_bounds`.
    Departures: none.
    Checked: FATIGUE-STRENGTH-BOUND.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 800, 800, 700]), cycles=np.array([2e5, 3e5, 7e5, 9e5, 3e6]),
    ...     failed=np.array([True, True, True, True, False]))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> found = strength_bounds(fit=fit, cycles=1e6, failed_share=0.5, confidence=0.9)
    >>> [round(float(value)) for value in (found.low, found.estimate, found.high)]
    [774, 787, 803]
    """
    count, wanted = np.broadcast_arrays(array(cycles), array(failed_share))
    return _in_units(
        fit, LogStrength(fit.model, count.ravel(), wanted.ravel()), count, confidence, both_sides
    )


def life_bounds(
    *, fit: FatigueFit, stress_MPa: Number, failed_share: Number, confidence: float, both_sides: bool = True
) -> LikelihoodBounds:
    """Return the life by which a share has failed at a stress, with its bounds.

    ln N of F(N; S) = P, bounded by the profile likelihood

    Parameters
    ----------
    fit : FatigueFit
        A fit that converged.
    stress_MPa, failed_share : float or array
        S and P; they broadcast.
    confidence : float
        C: of the interval, or of each bound by itself.
    both_sides : bool
        Whether C is that of the interval between both.

    Returns
    -------
    LikelihoodBounds
        In cycles, of the broadcast shape.

    Raises
    ------
    InputError
        As of `likelihood_bounds`.

    Notes
    -----
    Source: as of `likelihood_bounds`.
    Valid for: as of `likelihood_bounds`.
    Departures: none.
    Checked: FATIGUE-WB-06.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 800, 800, 700]), cycles=np.array([2e5, 3e5, 7e5, 9e5, 3e6]),
    ...     failed=np.array([True, True, True, True, False]))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> found = life_bounds(fit=fit, stress_MPa=850, failed_share=0.5, confidence=0.9)
    >>> [f"{float(value):.2g}" for value in (found.low, found.estimate, found.high)]
    ['3.7e+05', '4.4e+05', '5.2e+05']
    """
    stress, wanted = np.broadcast_arrays(array(stress_MPa), array(failed_share))
    return _in_units(fit, LogLife(fit.model, stress.ravel(), wanted.ravel()), stress, confidence, both_sides)


def _in_units(
    fit: FatigueFit, quantity: LogStrength | LogLife, like: Array, confidence: float, both_sides: bool
) -> LikelihoodBounds:
    found = likelihood_bounds(fit=fit, quantity=quantity, confidence=confidence, both_sides=both_sides)
    values = (np.exp(array(of)).reshape(like.shape) for of in (found.low, found.estimate, found.high))
    low, estimate, high = values
    return replace(found, low=low, estimate=estimate, high=high)
