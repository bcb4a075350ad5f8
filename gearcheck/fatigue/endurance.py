"""A long endurance test of whole gears: how likely it is passed, after the tests of specimens."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import bdtr

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.life_curves import failed_quantile
from gearcheck.fatigue.life_spectrum import equally_likely, loads_of, transfer_of_draw
from gearcheck.fatigue.needs import need_positive, need_whole
from gearcheck.fatigue.service import Service

ENDURANCE = Method(
    key="endurance_test",
    title="Probability of passing an endurance test",
    source="predictive probability: what all gears do together, averaged over what the curve may be",
    edition="",
    clause="weak prior of the draws of the likelihood; beside it the bootstrap, which needs none",
    status=Status.COMMON_PRACTICE,
    implements=("any spectrum, several gears, failures allowed, an overload on the stress",),
    leaves_out=("a rig whose load is not as it was set, but by the variation of the load",),
    departures=(
        "All gears on test share the curve and the transfer that are not known; each has its own load.",
    ),
)

MOST_DRAWS = 200
"""So many draws where nobody says: whoever asks for the chance of one test finds the same number."""
_MOST_REFITS = 1000
_APART = 0.05
_TAIL = 0.1


@dataclass(frozen=True, kw_only=True)
class EnduranceTest(Result):
    """How likely a test is passed; `by_draw` keeps what each draw says, `parameters` the draws."""

    method: ClassVar[Method] = ENDURANCE
    parameters: Array
    by_draw: Array
    gears: Number = term("Gears on test", "n", words="or sets of gears, where the service is of sets")
    allowed: Number = term("Failures allowed", "c")
    overload: Number = term("Overload on the stress", "f_O")
    test_cycles: Number = term("Cycles of a tooth on test", "n_w", words="sum of all bins")
    one_survives: Number = term("One gear survives", "P_1", words="mean of the draws")
    passed: Number = term(
        "The test is passed", "P_n", words="mean of the draws of the probability that at most c of n fail"
    )
    low: Number = term("One draw in ten says less than", "P_10", words="what the tests leave open")
    high: Number = term("One draw in ten says more than", "P_90", words="what the tests leave open")
    bootstrap: Number = term(
        "The test is passed, by the bootstrap", "P_B", words="mean of the refits, without a prior"
    )
    plug_in: Number = term(
        "The test is passed, were the fitted curve the truth", "P_0", words="too sure; shown beside"
    )
    each_apart: Number = term(
        "The test is passed, were each gear of a curve of its own",
        "P_a",
        words="at most c of n at P_1; wrong, as all gears share what is not known; shown beside",
    )


def endurance_test(
    *,
    fit: FatigueFit,
    parameters: Array,
    service: Service,
    gears: int,
    allowed: int = 0,
    overload: float = 1.0,
    weights: Array | None = None,
    bootstrap: Array | None = None,
    most_draws: int = MOST_DRAWS,
) -> EnduranceTest:
    """Return how likely an endurance test is passed, with what is not known of the curve counted in.

    P_n = mean over draws of Σ_(i ≤ c) (n over i) p^i (1 - p)^(n - i), p the share that fails by a draw

    Parameters
    ----------
    fit : FatigueFit
        The curve of the specimens.
    parameters : ndarray of shape (draws, p)
        Of `likelihood_draws`, whose weak prior counts.
    service : Service
        Stresses and cycles of the whole test, at the load without overload.
    gears : int
        n, each tested to the end or to its failure.
    allowed : int
        c, failures with which the test is still passed.
    overload : float
        f_O, on every stress: root stress follows the torque, flank stress its root.
    weights : ndarray of shape (draws,), optional
        Of the parameters; equal without.
    bootstrap : ndarray of shape (refits, p), optional
        Parameters of `bootstrap_fits`, which need no prior; of more than 1000 so many are used.
    most_draws : int
        So many of the draws are used.

    Returns
    -------
    EnduranceTest
        A caution where the bootstrap says something else, and where the test goes on beyond the run-out life.

    Raises
    ------
    InputError
        Gears or failures that are no counts, an overload of 0 or less, a service that cannot be.

    Notes
    -----
    Source: predictive distribution; common practice.
    Valid for: gears of the kind that the specimens and the transfers stand for.
    Departures: see the method.
    Checked: PASS-01-DRAWS, PASS-LINE.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.duty.damage import BelowKnee
    >>> from gearcheck.fatigue.draws import likelihood_draws
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 900, 750, 750, 750]),
    ...     cycles=np.array([2e5, 3e5, 4e5, 9e5, 2e6, 2.2e6]), failed=np.full(6, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> drawn = likelihood_draws(fit=fit, generator=np.random.default_rng(1))
    >>> found = endurance_test(
    ...     fit=fit, parameters=drawn.parameters, weights=drawn.weights, gears=4,
    ...     service=Service(stress_MPa=np.array([800.0]), cycles=np.array([3e5]),
    ...                     below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6))
    >>> bool(found.each_apart < found.passed < found.plug_in)
    True
    """
    _check(service, gears, allowed, overload)
    theta = equally_likely(parameters, weights, most_draws)
    shift = float(np.log(overload))
    failed = failed_shares(fit, theta, transfer_of_draw(len(theta), service), service, shift)
    known = np.isfinite(failed)
    by_draw = bdtr(allowed, gears, failed[known])
    plug_in = failed_shares(fit, fit.parameters[None], array([service.log_factor]), service, shift)
    refitted = np.full(1, np.nan)
    if bootstrap is not None:
        refits = equally_likely(bootstrap, None, _MOST_REFITS)
        refitted = failed_shares(fit, refits, transfer_of_draw(len(refits), service), service, shift)
    by_refit = bdtr(allowed, gears, refitted[np.isfinite(refitted)])
    one = 1.0 - failed[known].mean() if known.any() else np.nan
    passed, again = (of.mean() if of.size else np.nan for of in (by_draw, by_refit))
    low, high = np.quantile(by_draw, [_TAIL, 1.0 - _TAIL]) if by_draw.size else (np.nan, np.nan)
    return EnduranceTest(
        parameters=theta[known],
        by_draw=by_draw,
        gears=gears,
        allowed=allowed,
        overload=overload,
        test_cycles=float(array(service.cycles).sum()),
        one_survives=one,
        passed=passed,
        low=low,
        high=high,
        bootstrap=again,
        plug_in=bdtr(allowed, gears, plug_in[0]),
        each_apart=bdtr(allowed, gears, 1.0 - one),
        notices=_notices(
            service, float(fit.data.cycles.max()), float(passed), float(again), int((~known).sum())
        ),
    )


def failed_shares(
    fit: FatigueFit, theta: Array, transfer: Array, service: Service, shift: float = 0.0
) -> Array:
    """Return the share of sets that fail within the life wanted, of each draw.

    Parameters
    ----------
    fit : FatigueFit
        The form of the curve.
    theta : ndarray of shape (draws, p)
        Its parameters.
    transfer : ndarray of shape (draws,)
        Logarithm of the transfer of each.
    service : Service
        Spectrum and gears.
    shift : float
        Logarithm of a factor on every stress.

    Returns
    -------
    ndarray of float
        NaN where a curve does not reach the run-out life.
    """
    loads, weights = loads_of(service)
    at = failed_quantile(fit.model, theta, service, shift + loads - transfer[:, None])
    return array(service.set_failed_share(at) @ weights)


def _check(service: Service, gears: int, allowed: int, overload: float) -> None:
    faults = Faults()
    need_whole(faults, least=1, gears=gears)
    need_whole(faults, least=0, allowed=allowed)
    need_positive(faults, overload=overload)
    service.checked(faults)
    faults.need(allowed < gears, "allowed", allowed, f"fewer failures than the {gears} gears on test")
    faults.check()


def _notices(
    service: Service, longest: float, passed: float, again: float, left_out: int
) -> tuple[Notice, ...]:
    said = []
    if text := service.extrapolated(longest, "the test runs {}"):
        said.append(Notice(Level.CAUTION, f"{ENDURANCE.key}.extrapolated", text))
    if abs(passed - again) > _APART:
        text = (
            f"The bootstrap gives {number_text(again, 2)} where the draws of the likelihood give "
            f"{number_text(passed, 2)}: so much "
            "hangs on the prior, or on few specimens."
        )
        said.append(Notice(Level.CAUTION, f"{ENDURANCE.key}.apart", text))
    if left_out:
        text = (
            f"{left_out} draws are left out: their curves do not reach "
            f"{number_text(service.run_out_cycles, 3)} cycles."
        )
        said.append(Notice(Level.CAUTION, f"{ENDURANCE.key}.left_out", text))
    return tuple(said)
