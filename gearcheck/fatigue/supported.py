"""The stress that tests support: by how much a spectrum may grow until the life wanted is no longer shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import ndtr

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.life_curves import Curves, curves_of
from gearcheck.fatigue.life_spectrum import equally_likely, transfer_of_draw
from gearcheck.fatigue.needs import need_shares
from gearcheck.fatigue.service import Service

SUPPORTED = Method(
    key="supported_stress",
    title="Stress that the tests of specimens support",
    source="sum of Palmgren and Miner on the curve of the quantile that may fail, over parameters as likely "
    "as the tests leave them",
    edition="",
    clause="factor on all stresses of the spectrum at which its damage in the life wanted is 1",
    status=Status.COMMON_PRACTICE,
    implements=("teeth, gears of a set, transfers that are not sure, and the damage rule agreed",),
    leaves_out=("loads that differ from set to set", "order of the loads"),
    departures=(
        "A factor is looked for from a twentieth to twenty times; beyond that it has no value.",
        "Draws whose curves do not reach the run-out life are left out, up to a tenth of them.",
    ),
)

_FURTHEST = np.log(20.0)
TWENTY_TIMES, A_TWENTIETH = "over 20 times", "less than a twentieth of"
_STEPS = 24
_ROUNDS = 5  # each narrows to a step of the last: to some 1e-6 of the logarithm
_TOO_MANY = 0.1


@dataclass(frozen=True, kw_only=True)
class SupportedStress(Result):
    """How far a spectrum may grow, in its largest stress."""

    method: ClassVar[Method] = SUPPORTED
    reliability: Number = term("Share of sets that outlive the life wanted", "R")
    confidence: Number = term("Confidence", "C")
    draws: Number = term("Draws of the parameters", "m")
    quantile: Number = term(
        "Specimens up to this one may fail",
        "u_R",
        words="normal quantile of their strength, from R, teeth and gears of a set",
    )
    stress_MPa: Number = term("Largest stress of the spectrum", "σ", "MPa")
    plug_in_factor: Number = term(
        "Factor by the fitted curve alone", "k_0", words="parameters taken for known, transfers for exact"
    )
    factor: Number = term(
        "Factor on the spectrum that is supported", "k", words="a share 1 - C of the draws lies below it"
    )
    plug_in_MPa: Number = term("Stress by the fitted curve alone", "σ_0", "MPa", "σ·k_0")
    supported_MPa: Number = term("Stress that is supported with confidence", "σ_C", "MPa", "σ·k")


@dataclass(frozen=True, kw_only=True)
class DrawnCurves:
    """The curve of the specimens that may fail, of the fit and of each draw; no stress of a service is in it.

    Parameters
    ----------
    fit : FatigueFit
        The curve of the specimens.
    reliability : float
        R of the set.
    quantile : float
        Normal quantile of strength up to which specimens may fail.
    fitted, drawn : Curves or None
        At that quantile; None of tests at one level, which show no slope.
    draws : int
        How many.
    """

    fit: FatigueFit
    reliability: float
    quantile: float
    fitted: Curves | None
    drawn: Curves | None
    draws: int


def drawn_curves(
    *,
    fit: FatigueFit,
    parameters: Array,
    service: Service,
    reliability: float,
    weights: Array | None = None,
    most_draws: int = 500,
) -> DrawnCurves:
    """Return the curves that a supported stress rests on, so that they are worked out once for many services.

    u_R from R, teeth and gears; S(N; u_R, θ) of the fit and of each draw

    Parameters
    ----------
    fit : FatigueFit
        The curve of the specimens, a fit that converged.
    parameters : ndarray of shape (draws, p)
        As likely as the tests leave them.
    service : Service
        Teeth, gears, damage rule and run-out life; its stresses do not matter.
    reliability : float
        R of the set, above 0 and below 1.
    weights : ndarray of shape (draws,), optional
        Of the parameters; equal without.
    most_draws : int
        So many of them are used.

    Returns
    -------
    DrawnCurves
        For every service of the same teeth, gears, rule and run-out life.

    Raises
    ------
    InputError
        A fit without a summit, shares that are none, a service that cannot be.

    Notes
    -----
    Source: weakest link; common practice.
    Valid for: specimens that keep their quantile of strength at every stress.
    Departures: none.
    Checked: DRAWN-QUANTILE.

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
    >>> service = Service(stress_MPa=np.array([600.0]), cycles=np.array([1e6]), teeth=24,
    ...                   below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6)
    >>> found = drawn_curves(fit=fit, parameters=fit.parameters[None], service=service, reliability=0.99)
    >>> round(found.quantile, 2)
    -3.34
    """
    faults = Faults()
    faults.need(fit.converged, "fit", "no summit of the likelihood", "a fit that converged")
    need_shares(faults, reliability=reliability)
    service.checked(faults)
    faults.check()
    quantile = np.atleast_1d(service.specimen_quantile(1.0 - reliability))
    theta = equally_likely(parameters, weights, most_draws)
    sloped = fit.curve is not Curve.ONE_LEVEL
    return DrawnCurves(
        fit=fit,
        reliability=reliability,
        quantile=float(quantile[0]),
        fitted=curves_of(fit.model, fit.parameters[None], quantile, service) if sloped else None,
        drawn=curves_of(fit.model, theta, quantile, service) if sloped else None,
        draws=len(theta),
    )


def supported_stress(*, curves: DrawnCurves, service: Service, confidence: float) -> SupportedStress:
    """Return the largest stress that a spectrum may reach until the tests no longer support the life wanted.

    D(k σ_i, n_i; u_R) = 1 for each draw; σ_C = σ k with the quantile 1 - C of all k

    Parameters
    ----------
    curves : DrawnCurves
        Of `drawn_curves`, for the same teeth, gears, rule and run-out life.
    service : Service
        Spectrum and transfers; its load does not differ from set to set.
    confidence : float
        C of the bound.

    Returns
    -------
    SupportedStress
        A caution where the service goes on beyond the run-out life of the tests; a stop where tests at one
        level show no slope, or where the curves do not reach the run-out life.

    Raises
    ------
    InputError
        A share that is none, a service that cannot be.

    Notes
    -----
    Source: Palmgren and Miner; weakest link; common practice.
    Valid for: specimens that keep their quantile of strength at every stress.
    Departures: see the method.
    Checked: SUPPORTED-LINE, SUPPORTED-LIFE.

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
    >>> service = Service(stress_MPa=np.array([600.0]), cycles=np.array([1e6]),
    ...                   below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6)
    >>> curves = drawn_curves(fit=fit, parameters=fit.parameters[None], service=service, reliability=0.5)
    >>> found = supported_stress(curves=curves, service=service, confidence=0.9)
    >>> round(found.supported_MPa), round(float(fit.strength_MPa(cycles=1e6, failed_share=0.5)))
    (788, 788)
    """
    faults = Faults()
    faults.need(not service.load_variation, "load_variation", service.load_variation, "0: one load for all")
    need_shares(faults, confidence=confidence)
    service.checked(faults)
    faults.check()
    if curves.drawn is None or curves.fitted is None:
        text = "Tests at one level show no slope: they support a life at their stress, and no other stress."
        return _of(curves, service, confidence, np.nan, np.array([]), (_stop(text),))
    with np.errstate(over="ignore"):
        factors = np.exp(_log_factors(curves.drawn, transfer_of_draw(curves.draws, service), service))
        plug_in = float(np.exp(_log_factors(curves.fitted, np.array([service.log_factor]), service))[0])
    known, told = ~np.isnan(factors), _beyond(curves, service, plug_in)
    if known.mean() < 1.0 - _TOO_MANY or np.isnan(plug_in):
        text = (
            f"The curves of {int((~known).sum())} of {known.size} draws reach "
            f"{number_text(service.run_out_cycles, 3)} "
            "cycles at no stress: nothing is supported with confidence. Take a form that falls throughout."
        )
        return _of(curves, service, confidence, plug_in, factors[:0], (*told, _stop(text)))
    return _of(curves, service, confidence, plug_in, factors[known], told)


def _of(
    curves: DrawnCurves,
    service: Service,
    confidence: float,
    plug_in: float,
    factors: Array,
    told: tuple[Notice, ...],
) -> SupportedStress:
    largest, ordered = float(array(service.stress_MPa).max()), np.sort(factors)
    low = float(ordered[int((1.0 - confidence) * ordered.size)]) if ordered.size else np.nan
    told = (*told, *_outside(low, "With confidence", Level.STOP))
    if not np.isnan(low):
        told = (*told, *_outside(plug_in, "By the fitted curve alone", Level.CAUTION))
    low, plug_in = (np.nan if _end(one) else one for one in (low, plug_in))
    return SupportedStress(
        reliability=curves.reliability,
        confidence=confidence,
        draws=factors.size,
        quantile=curves.quantile,
        stress_MPa=largest,
        plug_in_factor=plug_in,
        factor=low,
        plug_in_MPa=largest * plug_in,
        supported_MPa=largest * low,
        notices=told,
    )


def _end(factor: float) -> str:
    """Beyond which end of the range a factor lies; empty within it."""
    if np.isinf(factor):
        return TWENTY_TIMES
    return A_TWENTIETH if factor == 0.0 else ""


def _outside(factor: float, by: str, level: Level) -> tuple[Notice, ...]:
    """What is said of a factor that lies beyond the range in which it is looked for."""
    if not (end := _end(factor)):
        return ()
    key = "over" if end == TWENTY_TIMES else "under"
    text = (
        f"{by} {end} the stresses of the service are borne: no value is given so far out. Are loads and "
        "stresses in their units?"
    )
    return (Notice(level, f"{SUPPORTED.key}.{key}", text),)


def _log_factors(curves: Curves, transfer: Array, service: Service) -> Array:
    """Logarithm of the factor of each draw: the last of ever finer steps at which the life is reached.

    Infinite beyond the range in which it is looked for, NaN where a curve tells none.
    """
    carried = array(service.cycles) > 0
    stress, cycles = np.log(array(service.stress_MPa)[carried]), array(service.cycles)[carried]
    low, width = np.full(len(transfer), -_FURTHEST), 2.0 * _FURTHEST
    ends = _reached(curves, np.tile([-_FURTHEST, _FURTHEST], (len(transfer), 1)), transfer, stress, cycles)
    for _ in range(_ROUNDS):
        width /= _STEPS
        steps = low[:, None] + width * np.arange(_STEPS + 1)
        reached = _reached(curves, steps, transfer, stress, cycles)
        low = low + width * np.maximum(reached.sum(axis=1) - 1, 0)
    found = np.where(ends[:, 0], np.where(ends[:, 1], np.inf, low + 0.5 * width), -np.inf)
    return np.where(np.isfinite(curves.log_stress[:, 0, 0]), found, np.nan)


def _reached(curves: Curves, steps: Array, transfer: Array, stress: Array, cycles: Array) -> Array:
    """Whether the life wanted is reached with the stresses moved by each step; steps rise."""
    moved = steps[:, :, None] - transfer[:, None, None] + stress
    return np.asarray(np.logical_and.accumulate(curves.log_life(moved, cycles)[..., 0] >= 0.0, axis=1))


def _beyond(curves: DrawnCurves, service: Service, plug_in: float) -> tuple[Notice, ...]:
    """What is said of cycles, share and stress that no specimen has seen."""
    said = []
    data = curves.fit.data
    text = service.extrapolated(float(data.cycles.max()), "a tooth sees {} in the life wanted")
    if text:
        said.append(("extrapolated", text))
    share = float(ndtr(curves.quantile))
    if share * data.count < 1.0:
        text = (
            f"At a reliability of {number_text(curves.reliability, 10)} one specimen in "
            f"{number_text(1.0 / share, 3)} may fail; "
            f"{data.count} were tested: so far out the distribution speaks, not a count."
        )
        said.append(("far_out", text))
    highest = float(data.stress_MPa.max()) * float(np.exp(service.log_factor))
    borne = float(array(service.stress_MPa).max()) * plug_in
    if np.isfinite(borne) and borne > highest:
        text = (
            f"By the fitted curve {number_text(borne)} MPa would be borne, above what the highest level "
            "that was "
            f"tested comes to, {number_text(highest)} MPa: so high it is extrapolated; static strength "
            "may come first."
        )
        said.append(("above_tested", text))
    return tuple(Notice(Level.CAUTION, f"{SUPPORTED.key}.{key}", text) for key, text in said)


def _stop(text: str) -> Notice:
    return Notice(Level.STOP, f"{SUPPORTED.key}.no_support", text)
