"""A stress-cycle curve from failures and run-outs together, by the largest likelihood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.families import Points
from gearcheck.fatigue.footing import footing
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.life_line import LifeLine
from gearcheck.fatigue.model import LONG_SLOPE, FatigueModel, model_of, points_of
from gearcheck.fatigue.newton import Largest, largest_likelihood

FIT = Method(
    key="fatigue_fit",
    title="Stress-cycle curve by the largest likelihood",
    source="Nelson, Accelerated Testing, 1990; Pascual and Meeker, Technometrics 41, 1999",
    edition="",
    clause="failures and run-outs in one likelihood; random fatigue limit; bilinear in load direction after "
    "Spindel and Haibach, 1979",
    status=Status.FROM_MEMORY,
    implements=(
        "lognormal and Weibull lives, failures found at inspections, one level",
        "straight, curved, scatter by stress, fixed and random fatigue limit, two slopes in load direction",
    ),
    leaves_out=(
        "a random effect of gear and batch: the bootstrap draws whole gears instead",
        "Weibull lives about a random limit and in load direction",
    ),
    departures=(
        "Two slopes: the knee is rounded over 0.2 of ln N, and the slope beyond it is agreed, not fitted.",
        "Random limit: integrals over the scatter of life are good to a hundred-thousandth.",
    ),
)

_TRIED = 4  # steps of every start
_KEPT = 2  # starts that are led to the summit


@dataclass(frozen=True, kw_only=True)
class FatigueFit(Result):
    """A curve that was fitted; without a footing its parameters are NaN and a stop says why.

    `model` answers for any parameters; `covariance` is the inverse of the curvature at the summit.
    """

    method: ClassVar[Method] = FIT
    curve: Curve
    distribution: Distribution
    model: FatigueModel
    data: FatigueData
    parameters: Array
    covariance: Array
    converged: bool
    specimens: Number = term("Specimens", "n")
    failures: Number = term("Failures among them", "n_f")
    count: Number = term("Parameters", "p")
    log_likelihood: Number = term("Logarithm of the largest likelihood", "ℓ", words="lives in cycles")
    akaike: Number = term("Information criterion of Akaike", "AIC", "", "2·p - 2·ℓ", digits=5)
    steps: Number = term("Newton steps", "n_s", words="of the best start")
    decrement: Number = term(
        "What one more step would gain, twice", "Δ_N", words="of the log-likelihood; 0 at the summit"
    )

    def failed_share(self, *, stress_MPa: Number, cycles: Number) -> Array:
        """Return the share that has failed by so many cycles."""
        return self.model.failed_share(self.parameters, stress_MPa=array(stress_MPa), cycles=array(cycles))

    def life_cycles(self, *, stress_MPa: Number, failed_share: Number) -> Array:
        """Return the cycles by which a share has failed; inf below a limit."""
        return self.model.life_cycles(
            self.parameters, stress_MPa=array(stress_MPa), failed_share=array(failed_share)
        )

    def strength_MPa(self, *, cycles: Number, failed_share: Number) -> Array:  # noqa: N802 - carries its unit
        """Return the stress at which a share has failed by so many cycles."""
        return self.model.strength_MPa(
            self.parameters, cycles=array(cycles), failed_share=array(failed_share)
        )

    def log_deviation(self, cycles: Number) -> Array:
        """Return the scatter of ln S at a life: half of what lies between one deviation up and one down."""
        high, low = (self.strength_MPa(cycles=cycles, failed_share=ndtr(way)) for way in (1.0, -1.0))
        return array(0.5 * np.log(high / low))


def fatigue_fit(
    *,
    data: FatigueData,
    curve: Curve,
    distribution: Distribution = Distribution.LOGNORMAL,
    knee_cycles: float | None = None,
    long_slope: float = LONG_SLOPE,
) -> FatigueFit:
    """Return a stress-cycle curve of the largest likelihood of failures and run-outs together.

    ln L(θ) = Σ ln f(N_i; S_i, θ) over failures + Σ ln(1 - F(N_i; S_i, θ)) over run-outs

    Parameters
    ----------
    data : FatigueData
        Tests of one kind, in any order.
    curve : Curve
        The form of the curve.
    distribution : Distribution
        Of lives; the random limit and two slopes are lognormal.
    knee_cycles : float, optional
        Of two slopes: N_D where it is agreed; fitted without.
    long_slope : float
        Of two slopes: k_2 beyond the knee; infinite for a level branch.

    Returns
    -------
    FatigueFit
        A stop where the tests give no footing, and a caution where the likelihood has no summit.

    Raises
    ------
    InputError
        Stresses or cycles not above 0, arrays of unlike length, a slope beyond the knee below 1, a
        distribution that a curve has not got.

    Notes
    -----
    Source: Nelson 1990; Pascual and Meeker 1999; Spindel and Haibach 1979; from memory.
    Valid for: independent specimens of one kind.
    Departures: see the method.
    Checked: FATIGUE-WB-01, FATIGUE-WB-04, FATIGUE-WB-05, FATIGUE-SNML-03, FATIGUE-SNML-04, FATIGUE-SNML-09,
    FATIGUE-SNML-10.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 800, 800, 700]), cycles=np.array([2e5, 3e5, 7e5, 9e5, 3e6]),
    ...     failed=np.array([True, True, True, True, False]))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> bool(fit.converged), f"{float(fit.life_cycles(stress_MPa=850, failed_share=0.5)):.3g}"
    (True, '4.39e+05')
    """
    _check(data, curve, distribution, long_slope)
    centre = float(np.mean(np.log(data.stress_MPa)))
    model = model_of(
        curve, distribution=distribution, centre=centre, knee_cycles=knee_cycles, long_slope=long_slope
    )
    width = len(model.names)
    empty = np.full((width, width), np.nan)
    stop = footing(data, curve, width)
    if stop is not None:
        return _told(model, data, empty[0], empty, (stop,))
    points = points_of(data)
    found = largest_likelihood(model, points, _promising(model, points))
    values = np.where(np.isfinite(found.log_likelihood), found.log_likelihood, -np.inf)
    # a summit that was reached goes before a slope that is higher by rounding alone
    best = int(np.argmax(values + 1e-6 * found.converged))
    if not falls(model, found.parameters[best], data):
        text = f"By the {curve} that fits best life does not fall with stress: the tests do not carry it."
        return _told(model, data, empty[0], empty, (Notice(Level.STOP, f"{FIT.key}.does_not_fall", text),))
    return _told(
        model,
        data,
        found.parameters[best],
        _inverse(found.curvature[best]),
        tuple(_doubts(model, found, best)),
        found=found,
        best=best,
    )


def _promising(model: FatigueModel, points: Points) -> Array:
    """The starts that lead highest after a few steps; the others would be led to the end in vain."""
    starts = model.starts(points)
    if len(starts) <= _KEPT:
        return starts
    tried = largest_likelihood(model, points, starts, most_steps=_TRIED)
    order = np.argsort(-np.where(np.isfinite(tried.log_likelihood), tried.log_likelihood, -np.inf))
    return tried.parameters[order[:_KEPT]]


def _told(
    model: FatigueModel,
    data: FatigueData,
    theta: Array,
    covariance: Array,
    notices: tuple[Notice, ...],
    *,
    found: Largest | None = None,
    best: int = 0,
) -> FatigueFit:
    value = np.nan if found is None else float(found.log_likelihood[best])
    return FatigueFit(
        curve=model.curve,
        distribution=model.distribution,
        model=model,
        data=data,
        parameters=theta,
        covariance=covariance,
        converged=found is not None and bool(found.converged[best]),
        specimens=data.count,
        failures=int(data.failed.sum()),
        count=len(model.names),
        log_likelihood=value,
        akaike=2 * len(model.names) - 2 * value,
        steps=np.nan if found is None else found.steps,
        decrement=np.nan if found is None else float(found.decrement[best]),
        notices=notices,
    )


def _inverse(curvature: Array) -> Array:
    """The covariance; NaN where the likelihood is flat in some direction."""
    if not np.isfinite(curvature).all() or np.linalg.cond(curvature) > 1e14:
        return np.full_like(curvature, np.nan)
    return np.asarray(np.linalg.inv(curvature))


def falls(model: FatigueModel, theta: Array, data: FatigueData) -> NDArray[np.bool_]:
    """Return whether life falls with stress over the stresses tested.

    Parameters
    ----------
    model : FatigueModel
        The form of curve.
    theta : ndarray of shape (..., p)
        Its parameters.
    data : FatigueData
        The tests.

    Returns
    -------
    ndarray of bool
        Of the shape of the parameters, without their axis.
    """
    if isinstance(model, LifeLine):
        return model.falls(theta, data.stress_MPa)
    return np.full(theta.shape[:-1], True)  # the other forms cannot rise


def _doubts(model: FatigueModel, found: Largest, best: int) -> list[Notice]:
    said = []
    if not found.converged[best]:
        text = (
            f"The likelihood of the {model.curve} has no summit that was reached in {found.steps} steps: "
            "the tests do not tell its parameters apart. Take a form with fewer, or test where it is open."
        )
        said.append(Notice(Level.CAUTION, f"{FIT.key}.no_summit", text))
    heights = found.log_likelihood[found.converged]
    if heights.size and found.log_likelihood[best] - heights.min() > 0.01:
        text = "Some starts ended on a lower summit of the likelihood; the highest that was found counts."
        said.append(Notice(Level.NOTE, f"{FIT.key}.several_summits", text))
    return said


def _check(data: FatigueData, curve: Curve, distribution: Distribution, long_slope: float) -> None:
    faults = Faults()
    stress, cycles = data.stress_MPa, data.cycles
    faults.need(stress.ndim == 1 and stress.size > 0, "stress_MPa", stress, "one stress a specimen")
    faults.need(
        cycles.shape == stress.shape == data.failed.shape,
        "cycles",
        f"{cycles.size} and {data.failed.size} of {stress.size} specimens",
        "cycles and whether it failed, one of each a specimen",
    )
    for name, values in (("stress_MPa", stress), ("cycles", cycles)):
        wrong = values[~(np.isfinite(values) & (values > 0))]
        faults.need(not wrong.size, name, wrong[0] if wrong.size else values, "numbers above 0")
    sound = np.zeros_like(cycles) if data.sound_cycles is None else data.sound_cycles
    alike = sound.shape == cycles.shape
    faults.need(alike, "sound_cycles", f"{sound.size} of {cycles.size} specimens", "one number a specimen")
    late = sound[(sound >= cycles) | (sound < 0)] if alike else sound[:0]
    faults.need(not late.size, "sound_cycles", late, "0 or more, and less than the cycles of the failure")
    faults.need(long_slope >= 1, "long_slope", long_slope, "a slope of 1 or more")
    only = (Curve.RANDOM_LIMIT, Curve.TWO_SLOPES)
    faults.need(
        curve not in only or distribution is Distribution.LOGNORMAL,
        "distribution",
        distribution,
        f"lognormal with the {curve}",
    )
    faults.check()
