"""Life of a gear, or of a set of gears, under a spectrum: at a reliability, with its confidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import ndtr, ndtri

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.life_curves import crossing, log_lives, quantiles_of
from gearcheck.fatigue.needs import need_shares
from gearcheck.fatigue.service import Service

LIFE = Method(
    key="life_distribution",
    title="Life under a spectrum, from tests of specimens",
    source="sum of Palmgren and Miner on the curve of each quantile of strength, over parameters as likely "
    "as the tests leave them",
    edition="",
    clause="every specimen keeps its quantile at every stress and at every life",
    status=Status.COMMON_PRACTICE,
    implements=(
        "curve of the tests to their run-out life, beyond it by the damage rule agreed",
        "gears of several teeth and sets of several gears, lost with the first tooth",
        "transfers that are not sure, and a load that differs from set to set",
    ),
    leaves_out=("order of the loads", "loads that differ between the gears of one set"),
    departures=(
        "Beyond the run-out life the slope k of same slope and 2k - 1 is that of a straight line, k_1 "
        "of two slopes, of any other curve the mean slope of its quantile over the two decades before it.",
        "More than four decades before the run-out life a curve goes on straight.",
        "Without damage beyond the run-out life, a quantile at which a bin ceases to count is told to 0.05.",
        "About a random limit a specimen has two quantiles, of limit and of life above it: keeping one moved "
        "lives by 2 % where it was tried with drawn specimens.",
        "A transfer takes one value a draw, spread evenly over its distribution.",
    ),
)

_GOLDEN = 0.5 * (np.sqrt(5.0) - 1.0)
_LOADS = np.arange(-4.0, 4.1, 1.0)
_HALVINGS = 40
_TOO_MANY = 0.1


@dataclass(frozen=True, kw_only=True)
class LifeDistribution(Result):
    """Lives of a set of gears; `parameters` and `lives_h` keep the draws, all equally likely."""

    method: ClassVar[Method] = LIFE
    service: Service
    parameters: Array
    lives_h: Array
    reliability: Number = term("Share of sets that live longer", "R")
    confidence: Number = term("Confidence", "C")
    draws: Number = term("Draws of the parameters", "m")
    life_wanted_h: Number = term("Life wanted", "L_w", "h")
    run_out_cycles: Number = term("Run-out life of the tests", "N_r", words="cycles")
    service_cycles: Number = term("Cycles of a tooth in the life wanted", "n_w", words="sum of all bins")
    quantile: Number = term(
        "Specimens up to this one may fail",
        "u_R",
        words="normal quantile of their strength, from R, teeth and gears; of a load that does not differ",
    )
    plug_in_life_h: Number = term(
        "Life by the fitted curve alone", "L_0", "h", words="parameters taken for known, transfers for exact"
    )
    life_h: Number = term(
        "Life with confidence", "L_C", "h", words="1 - C of the draws lie below it, at the same R"
    )
    plug_in_reliability: Number = term(
        "Reliability at the life wanted, by the fitted curve alone",
        "R_0",
        words="parameters taken for known",
        digits=6,
    )
    low_reliability: Number = term(
        "Reliability at the life wanted, with confidence",
        "R_C",
        words="1 - C of the draws lie below it",
        digits=6,
    )
    mean_reliability: Number = term(
        "Reliability of the next set", "R_m", words="mean of the draws, at the life wanted", digits=6
    )
    left_out: Number = term("Draws left out", "m_0", words="their curves do not reach the run-out life")


def life_distribution(
    *,
    fit: FatigueFit,
    parameters: Array,
    service: Service,
    reliability: Number,
    confidence: float,
    weights: Array | None = None,
    most_draws: int = 1000,
) -> LifeDistribution:
    """Return the life of a set of gears under a spectrum at a reliability, with its confidence.

    D(L, u) = L Σ n_i/N_u(σ_i) = 1, u the quantile of the weakest tooth at R; L_C of all draws

    Parameters
    ----------
    fit : FatigueFit
        The curve of the specimens, a fit that converged.
    parameters : ndarray of shape (draws, p)
        As likely as the tests leave them: of `likelihood_draws`, or of the bootstrap.
    service : Service
        Spectrum, damage rule, teeth, gears, transfers.
    reliability : float or array of shape (n,)
        R of the set, above 0 and below 1.
    confidence : float
        C of one bound.
    weights : ndarray of shape (draws,), optional
        Of the parameters; equal without.
    most_draws : int
        So many of them are used.

    Returns
    -------
    LifeDistribution
        With a caution where the service goes on beyond the run-out life; a stop where the fitted curve does
        not reach it.

    Raises
    ------
    InputError
        A fit without a summit, shares that are none, a service that cannot be, tests at one level for any
        other stress.

    Notes
    -----
    Source: Palmgren and Miner; weakest link; common practice.
    Valid for: specimens that keep their quantile of strength; loads whose order does not matter.
    Departures: see the method.
    Checked: LIFE-ONE-LEVEL, LIFE-MINER-01, LIFE-TWO-BLOCKS, LIFE-SET.

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
    >>> found = life_distribution(
    ...     fit=fit, parameters=drawn.parameters, weights=drawn.weights, reliability=0.9, confidence=0.9,
    ...     service=Service(stress_MPa=np.array([800.0]), cycles=np.array([1e5]), life_h=100.0,
    ...                     below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6))
    >>> round(found.plug_in_life_h / 100), bool(found.life_h < found.plug_in_life_h)
    (6, True)
    """
    _check(fit, parameters, service, reliability, confidence)
    theta = equally_likely(parameters, weights, most_draws)
    wanted = np.atleast_1d(array(reliability))
    drawn = _lives_and_shares(fit, theta, transfer_of_draw(len(theta), service), service, wanted)
    known = np.isfinite(drawn[1])
    lives, failed = (of[known if known.mean() >= 1.0 - _TOO_MANY else []] for of in drawn)
    median = np.array([service.log_factor])
    plug_in = _lives_and_shares(fit, fit.parameters[None], median, service, wanted)
    low, high = (_quantile(of, share) for of, share in ((lives, 1.0 - confidence), (failed, confidence)))
    shape, left_out = np.shape(reliability), int((~known).sum())
    return LifeDistribution(
        service=service,
        parameters=theta[known],
        lives_h=lives,
        reliability=reliability,
        confidence=confidence,
        draws=int(known.sum()),
        life_wanted_h=service.life_h,
        run_out_cycles=service.run_out_cycles,
        service_cycles=float(array(service.cycles).sum()),
        quantile=service.specimen_quantile(1.0 - wanted).reshape(shape),
        plug_in_life_h=plug_in[0][0].reshape(shape),
        life_h=np.reshape(low, shape),
        plug_in_reliability=1.0 - plug_in[1][0],
        low_reliability=1.0 - high,
        mean_reliability=1.0 - failed.mean() if failed.size else np.nan,
        left_out=left_out,
        notices=_notices(fit, service, wanted, (left_out, known.size), bool(np.isfinite(plug_in[1][0]))),
    )


def equally_likely(parameters: Array, weights: Array | None, most: int) -> Array:
    """Return at most so many of the parameters, all with the same weight.

    Parameters
    ----------
    parameters : ndarray of shape (draws, p)
        In random order.
    weights : ndarray of shape (draws,), optional
        Equal without.
    most : int
        How many are kept.

    Returns
    -------
    ndarray of float
        Of shape (kept, p).
    """
    count = min(most, len(parameters))
    at = (np.arange(count) + 0.5) / count
    if weights is None:
        return array(parameters[(at * len(parameters)).astype(int)])
    place = np.searchsorted(np.cumsum(weights), at * weights.sum())
    return array(parameters[np.minimum(place, len(parameters) - 1)])


def transfer_of_draw(draws: int, service: Service) -> Array:
    """Return the logarithm of the transfer of each draw: evenly spread, in an order of its own.

    Parameters
    ----------
    draws : int
        How many.
    service : Service
        Logarithm of the transfer, and how well it is known.

    Returns
    -------
    ndarray of float
        Of shape (draws,).
    """
    if not service.log_deviation:
        return np.full(draws, service.log_factor)
    places = (0.5 / draws + _GOLDEN * np.arange(draws)) % 1.0
    return np.asarray(service.log_factor + service.log_deviation * ndtri(np.clip(places, 1e-9, 1 - 1e-9)))


def loads_of(service: Service) -> tuple[Array, Array]:
    """Return logarithms of the load of a set, and their weights.

    Parameters
    ----------
    service : Service
        Its variation.

    Returns
    -------
    loads, weights : tuple of ndarray
        The weights add to 1.
    """
    if not service.load_variation:
        return np.zeros(1), np.ones(1)
    weights = np.exp(-0.5 * _LOADS**2)
    return service.load_deviation * _LOADS, weights / weights.sum()


def _lives_and_shares(
    fit: FatigueFit, theta: Array, transfer: Array, service: Service, reliability: Array
) -> tuple[Array, Array]:
    """Life in hours of each draw and reliability, and the share that fails within the life wanted."""
    loads, weights = loads_of(service)
    of = service.specimen_quantile(1.0 - reliability)
    quantiles = quantiles_of(service, of)
    shifts = loads - transfer[:, None]
    table, endless = log_lives(fit.model, theta, quantiles, service, shifts)
    if loads.size == 1:
        lives = table[:, 0, np.searchsorted(quantiles, of)]
    else:
        lives = _mixed(table, endless, quantiles, service, weights, reliability)
        lives[np.isnan(table[:, :, np.searchsorted(quantiles, of)]).any(axis=1)] = np.nan
    at = np.minimum(crossing(quantiles, table, np.zeros(endless.shape)), endless)
    failed = service.set_failed_share(at) @ weights
    failed = np.where(np.isnan(lives).any(axis=-1), np.nan, failed)
    return service.life_h * np.exp(lives), failed


def _mixed(
    table: Array, endless: Array, quantiles: Array, service: Service, weights: Array, reliability: Array
) -> Array:
    """Life of each draw and reliability where the load differs from set to set, by halving."""
    share = service.set_failed_share(quantiles)
    finite = table[np.isfinite(table)]
    lowest, highest = finite.min(), finite.max()
    found = []
    for wanted in 1.0 - reliability:
        low, high = np.full(len(table), lowest), np.full(len(table), highest)
        for _ in range(_HALVINGS):
            half = 0.5 * (low + high)
            at = np.minimum(
                crossing(quantiles, table, np.broadcast_to(half[:, None], endless.shape)), endless
            )
            early = np.interp(at, quantiles, share) @ weights < wanted
            low, high = np.where(early, half, low), np.where(early, high, half)
        reached = np.interp(endless, quantiles, share) @ weights >= wanted
        found.append(np.where(reached, 0.5 * (low + high), np.inf))
    return np.stack(found, axis=-1)


def _quantile(values: Array, share: float) -> Array:
    """What a share of the draws lie below; infinite values count."""
    if not len(values):
        return np.full(values.shape[1:], np.nan)
    return np.asarray(np.sort(values, axis=0)[min(int(share * len(values)), len(values) - 1)])


def _check(
    fit: FatigueFit, parameters: Array, service: Service, reliability: Number, confidence: float
) -> None:
    faults = Faults()
    faults.need(fit.converged, "fit", "no summit of the likelihood", "a fit that converged")
    shape = np.shape(parameters)
    faults.need(
        len(shape) == 2 and shape[-1] == len(fit.model.names),
        "parameters",
        f"an array of shape {shape}",
        f"draws by {len(fit.model.names)} parameters",
    )
    need_shares(faults, reliability=reliability, confidence=confidence)
    service.checked(faults)
    faults.check()


def _notices(
    fit: FatigueFit, service: Service, reliability: Array, left_out_of: tuple[int, int], reached: bool
) -> tuple[Notice, ...]:
    said, (left_out, draws) = [], left_out_of
    tested = service.run_out_cycles
    if not reached:
        text = (
            f"The fitted curve does not reach {number_text(tested, 3)} cycles at any stress: it tells no "
            "life there."
        )
        said.append(Notice(Level.STOP, f"{LIFE.key}.not_reached", text))
    text = service.extrapolated(float(fit.data.cycles.max()), "a tooth sees {} in the life wanted")
    if text:
        said.append(Notice(Level.CAUTION, f"{LIFE.key}.extrapolated", text))
    share = float(ndtr(service.specimen_quantile(1.0 - reliability.max())))
    if share * fit.data.count < 1.0:
        text = (
            f"At a reliability of {number_text(reliability.max(), 10)} one specimen in "
            f"{number_text(1.0 / share, 3)} may fail; "
            f"{fit.data.count} were tested: so far out the distribution speaks, not a count."
        )
        said.append(Notice(Level.CAUTION, f"{LIFE.key}.far_out", text))
    if left_out > _TOO_MANY * draws:
        text = (
            f"The curves of {left_out} of {draws} draws reach {number_text(tested, 3)} cycles at no "
            "stress: no life has "
            "a confidence. Take a form that falls throughout."
        )
        said.append(Notice(Level.STOP, f"{LIFE.key}.not_reached", text))
    elif left_out:
        text = (
            f"{left_out} of {draws} draws are left out: their curves do not reach "
            f"{number_text(tested, 3)} cycles."
        )
        said.append(Notice(Level.CAUTION, f"{LIFE.key}.left_out", text))
    return tuple(said)
