"""What more specimens would add to what is known, before they are tested."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.families import Points
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.needs import need_positive, need_shares, need_whole
from gearcheck.fatigue.newton import quietly

MORE = Method(
    key="more_tests",
    title="What more specimens would add",
    source="outcomes of the new specimens drawn from the draws of the curve, each weighting all draws anew",
    edition="",
    clause="expected width of the interval of a quantity",
    status=Status.COMMON_PRACTICE,
    implements=("any quantity of which each draw has a value: ln of a life, a probability of passing",),
    leaves_out=("what a new fit would choose as form of the curve",),
    departures=("Rough for many new specimens, which few draws agree with: how many is told.",),
)

_AT_ONCE = 400_000
_FEW = 50.0


@dataclass(frozen=True, kw_only=True)
class MoreTests(Result):
    """How much narrower an interval is expected to become."""

    method: ClassVar[Method] = MORE
    specimens: Number = term("More specimens", "n")
    stress_MPa: Number = term("Their stress", "S", "MPa")
    run_out_cycles: Number = term("Their run-out life", "N_r")
    confidence: Number = term("Confidence of the interval", "C")
    failing: Number = term("Share of them that is expected to fail", "p_f", words="before the run-out life")
    mean_cycles: Number = term("Cycles they are expected to take", "n_c", words="all of them together")
    width: Number = term("Width of the interval now", "W")
    expected_width: Number = term("Width that is expected after", "W_n", words="mean over what may be found")
    narrower: Number = term("Narrower by", "r", "", "1 - W_n/W")
    agreeing: Number = term(
        "Draws that agree with what may be found", "m_n", words="median of the effective number"
    )


def more_tests(
    *,
    fit: FatigueFit,
    parameters: Array,
    values: Array,
    stress_MPa: float,
    run_out_cycles: float,
    generator: np.random.Generator,
    specimens: int = 1,
    confidence: float = 0.8,
    outcomes: int = 60,
) -> MoreTests:
    """Return how much narrower the interval of a quantity is expected to become by more specimens.

    W_n = mean over outcomes of the width with weights w_j ∝ Π L(outcome; θ_j)

    Parameters
    ----------
    fit : FatigueFit
        The form of the curve.
    parameters : ndarray of shape (draws, p)
        Equally likely, as a life or an endurance test keeps them.
    values : ndarray of shape (draws,)
        The quantity of each draw, such as ln of its life, or its probability of passing.
    stress_MPa : float
        At which all of them are tested; a new level too.
    run_out_cycles : float
        When they are taken out.
    generator : Generator
        Of random numbers.
    specimens : int
        How many more.
    confidence : float
        Of the interval, both sides.
    outcomes : int
        How many times they are drawn.

    Returns
    -------
    MoreTests
        A caution where few draws agree with the outcomes.

    Raises
    ------
    InputError
        Counts, shares, stresses that are none; values that are not finite, or not one a draw.

    Notes
    -----
    Source: preposterior analysis by weighting; common practice.
    Valid for: a few specimens more, some dozens where few draws differ.
    Departures: see the method.
    Checked: MORE-KNOWN.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.draws import likelihood_draws
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 900, 750, 750, 750]),
    ...     cycles=np.array([2e5, 3e5, 4e5, 9e5, 2e6, 2.2e6]), failed=np.full(6, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> generator = np.random.default_rng(1)
    >>> drawn = likelihood_draws(fit=fit, generator=generator, draws=1000)
    >>> found = more_tests(
    ...     fit=fit, parameters=drawn.parameters, values=drawn.parameters[:, 0], stress_MPa=820.0,
    ...     run_out_cycles=6e6, generator=generator, specimens=6)
    >>> 0.1 < found.narrower < 0.6
    True
    """
    _check(parameters, values, stress_MPa, run_out_cycles, specimens, confidence, outcomes)
    truths = parameters[generator.integers(len(parameters), size=outcomes)]
    share = generator.uniform(size=(outcomes, specimens))
    lives = fit.model.life_cycles(truths[:, None, :], stress_MPa=array(stress_MPa), failed_share=share)
    failed = lives <= run_out_cycles
    lives = np.minimum(lives, run_out_cycles)
    weights = _weights(fit, parameters, stress_MPa, lives, failed)
    order = np.argsort(values)
    ends = (0.5 * (1.0 - confidence), 0.5 * (1.0 + confidence))
    equal = np.full((1, len(values)), 1.0 / len(values))
    now, then = (_width(values[order], heavy[:, order], ends) for heavy in (equal, weights))
    agreeing = float(np.median(1.0 / (weights**2).sum(axis=1)))
    said: tuple[Notice, ...] = ()
    if agreeing < _FEW:
        text = f"Only about {agreeing:.0f} draws agree with what may be found: the narrowing is rough."
        said = (Notice(Level.CAUTION, f"{MORE.key}.rough", text),)
    return MoreTests(
        specimens=specimens,
        stress_MPa=stress_MPa,
        run_out_cycles=run_out_cycles,
        confidence=confidence,
        failing=failed.mean(),
        mean_cycles=lives.sum(axis=1).mean(),
        width=now[0],
        expected_width=then.mean(),
        narrower=1.0 - then.mean() / now[0] if now[0] > 0 else np.nan,
        agreeing=agreeing,
        notices=said,
    )


@quietly()
def _weights(fit: FatigueFit, theta: Array, stress: float, lives: Array, failed: NDArray[np.bool_]) -> Array:
    """Weights of all draws for each outcome, of shape (outcomes, draws)."""
    outcomes, specimens = lives.shape
    points = Points(x=np.full(lives.size, np.log(stress)), y=np.log(lives).ravel(), failed=failed.ravel())
    step = max(1, _AT_ONCE // lives.size)
    parts = [
        fit.model.scored(theta[first : first + step], points)
        .log_likelihood.reshape(-1, outcomes, specimens)
        .sum(axis=-1)
        for first in range(0, len(theta), step)
    ]
    logarithms = np.concatenate(parts).T
    logarithms = np.where(np.isfinite(logarithms), logarithms, -np.inf)
    weights = np.exp(logarithms - logarithms.max(axis=1, keepdims=True))
    return array(weights / weights.sum(axis=1, keepdims=True))


def _width(values: Array, weights: Array, ends: tuple[float, float]) -> Array:
    """Between two quantiles, of each set of weights; values rising."""
    middle = np.cumsum(weights, axis=1) - 0.5 * weights
    low, high = (np.array([np.interp(end, of, values) for of in middle]) for end in ends)
    return array(high - low)


def _check(
    parameters: Array,
    values: Array,
    stress: float,
    run_out: float,
    specimens: int,
    confidence: float,
    outcomes: int,
) -> None:
    faults = Faults()
    need_positive(faults, stress_MPa=stress, run_out_cycles=run_out)
    need_whole(faults, least=1, specimens=specimens, outcomes=outcomes)
    need_shares(faults, confidence=confidence)
    fits = np.shape(values) == (len(parameters),) and bool(np.isfinite(values).all())
    faults.need(fits, "values", np.shape(values), f"one finite number for each of {len(parameters)} draws")
    faults.check()
