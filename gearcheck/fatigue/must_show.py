"""What the tests of specimens must show before a long test of gears is worth starting."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import bdtr, ndtri

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.life_curves import failed_quantile
from gearcheck.fatigue.life_spectrum import equally_likely, loads_of, transfer_of_draw
from gearcheck.fatigue.needs import need_shares, need_whole
from gearcheck.fatigue.service import Service

NEEDED = Method(
    key="needed_of_specimens",
    title="What specimens must show before a test of gears",
    source="probability of passing, with strength or scatter of the specimens scaled",
    edition="",
    clause="",
    status=Status.COMMON_PRACTICE,
    implements=("the least strength at the scatter found", "the largest scatter at the strength found"),
    leaves_out=("more specimens, which leave less open: that is `more_tests`",),
    departures=(
        "What is not known of the curve stays as it is, around the strength or the scatter that is needed.",
        "A scatter c times as large puts a specimen c times as many deviations from the median curve.",
    ),
)

_STRENGTHS = (-np.log(2.0), np.log(2.0))
_SMOOTHNESS = (-np.log(20.0), np.log(50.0))  # logarithm of one over the factor on the scatter
_ROUNDS, _AT_ONCE = 4, 9
_DRAWS = 200
_SURE = 1e-12


@dataclass(frozen=True, kw_only=True)
class NeededOfSpecimens(Result):
    """The least strength, or the largest scatter, with which a test is passed as likely as wanted."""

    method: ClassVar[Method] = NEEDED
    wanted: Number = term("Probability of passing that is wanted", "P_w")
    gears: Number = term("Gears on test", "n")
    allowed: Number = term("Failures allowed", "c")
    passed: Number = term("Probability of passing now", "P_n", words="mean of the draws")
    run_out_cycles: Number = term("Run-out life", "N_r")
    strength_factor: Number = term(
        "Least factor on the strength", "f_S", words="at the scatter found, P_n = P_w"
    )
    scatter_factor: Number = term(
        "Largest factor on the scatter", "f_s", words="at the strength found, P_n = P_w"
    )
    strength_MPa: Number = term("Median strength at the run-out life, as fitted", "S_50", "MPa")
    needed_MPa: Number = term("Median strength that is needed", "S_w", "MPa", "f_S·S_50")
    scatter: Number = term(
        "Standard deviation of ln strength there, as fitted", "s_S", words="half of ln S_84 - ln S_16"
    )
    largest_scatter: Number = term("Largest scatter that is allowed", "s_w", "", "f_s·s_S")


def needed_of_specimens(
    *,
    fit: FatigueFit,
    parameters: Array,
    service: Service,
    gears: int,
    wanted: float,
    allowed: int = 0,
    weights: Array | None = None,
) -> NeededOfSpecimens:
    """Return what specimens must show, in strength or in scatter, for a wanted probability of passing.

    P_n(f_S) = P_w at the scatter found; P_n(f_s) = P_w at the strength found

    Parameters
    ----------
    fit : FatigueFit
        The curve of the specimens so far.
    parameters : ndarray of shape (draws, p)
        As likely as the tests leave them.
    service : Service
        Stresses and cycles of the whole test.
    gears : int
        n on test.
    wanted : float
        P_w, above 0 and below 1.
    allowed : int
        c, failures allowed.
    weights : ndarray of shape (draws,), optional
        Of the parameters; equal without.

    Returns
    -------
    NeededOfSpecimens
        A caution where no scatter, however small, is enough.

    Raises
    ------
    InputError
        A share that is none, gears or failures that are no counts, a service that cannot be.

    Notes
    -----
    Source: predictive distribution; common practice.
    Valid for: factors on the strength from 0.5 to 2, on the scatter from 0.02 to 20.
    Departures: see the method.
    Checked: PASS-NEEDED.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.duty.damage import BelowKnee
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 900, 750, 750, 750]),
    ...     cycles=np.array([2e5, 3e5, 4e5, 9e5, 2e6, 2.2e6]), failed=np.full(6, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> found = needed_of_specimens(
    ...     fit=fit, parameters=fit.parameters[None], gears=4, wanted=0.9,
    ...     service=Service(stress_MPa=np.array([800.0]), cycles=np.array([9e5]),
    ...                     below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6))
    >>> round(found.strength_factor, 2)
    1.08
    """
    faults = Faults()
    need_shares(faults, wanted=wanted)
    need_whole(faults, least=1, gears=gears)
    need_whole(faults, least=0, allowed=allowed)
    service.checked(faults)
    faults.check()
    theta = equally_likely(parameters, weights, _DRAWS)
    loads, heavy = loads_of(service)
    moved = loads - transfer_of_draw(len(theta), service)[:, None]

    def passed(quantiles: Array) -> Array:
        return array(bdtr(allowed, gears, service.set_failed_share(quantiles) @ heavy).mean(axis=0))

    def stronger(factors: Array) -> Array:
        every = (moved[:, None, :] - factors[:, None]).reshape(len(theta), -1)
        at = failed_quantile(fit.model, theta, service, every)
        return passed(at.reshape(len(theta), factors.size, -1))

    found = failed_quantile(fit.model, theta, service, moved)[:, None, :]
    strength = np.exp(_reached(stronger, _STRENGTHS, wanted))
    scatter = np.exp(-_reached(lambda of: passed(found * np.exp(of[:, None])), _SMOOTHNESS, wanted))
    last = array(service.run_out_cycles)
    median, spread = fit.strength_MPa(cycles=last, failed_share=0.5), fit.log_deviation(last)
    return NeededOfSpecimens(
        wanted=wanted,
        gears=gears,
        allowed=allowed,
        passed=passed(found)[0],
        run_out_cycles=service.run_out_cycles,
        strength_factor=strength,
        scatter_factor=scatter,
        strength_MPa=median,
        needed_MPa=strength * median,
        scatter=spread,
        largest_scatter=scatter * spread,
        notices=_notices(strength, scatter),
    )


def _reached(passed: Callable[[Array], Array], between: tuple[float, float], wanted: float) -> float:
    """From where on the test is passed as wanted; NaN where it never is, or always."""
    low, high = between
    level = ndtri(wanted)
    for _ in range(_ROUNDS):
        places = np.linspace(low, high, _AT_ONCE)
        rising = ndtri(np.clip(np.maximum.accumulate(passed(places)), _SURE, 1.0 - _SURE))
        if not rising[0] < level <= rising[-1]:
            return float("nan")
        after = max(1, int(np.searchsorted(rising, level)))
        low, high = places[after - 1], places[after]
    return float(np.interp(level, rising, places))


def _notices(strength: float, scatter: float) -> tuple[Notice, ...]:
    said = []
    if np.isnan(strength):
        text = (
            "No factor on the strength between 0.5 and 2 gives the probability wanted: the test is far off."
        )
        said.append(Notice(Level.CAUTION, f"{NEEDED.key}.strength", text))
    if np.isnan(scatter):
        text = (
            "No factor on the scatter between 0.02 and 20 gives the probability wanted: the strength "
            "decides, and what is not known of it."
        )
        said.append(Notice(Level.CAUTION, f"{NEEDED.key}.scatter", text))
    return tuple(said)
