"""Curves of many parameters and quantiles at once, and how long each lets a gear live under a spectrum."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, array
from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.footing import LEVEL_RATIO
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.limit_quantiles import log_strengths
from gearcheck.fatigue.model import FatigueModel
from gearcheck.fatigue.newton import quietly
from gearcheck.fatigue.random_limit import RandomLimit
from gearcheck.fatigue.service import Service
from gearcheck.fatigue.two_slopes import ROUNDING, TwoSlopes

_WEAK, _STRONG, _STEP, _FINE_STEP = -8.0, 4.0, 0.2, 0.05
_DECADES = 4.0  # before the run-out life; at shorter lives the curve goes on straight
_PIECES = {Curve.STRAIGHT: 3, Curve.CURVED: 31, Curve.SPREADING: 31}
_FINE, _CHEBYSHEV = 31, 13
_SEARCHED = (Curve.SPREADING, Curve.FIXED_LIMIT)
_EVERY = 3  # quantiles of what has to be searched for
_SLOPE_DECADES = 2.0
_AT_ONCE = 60_000


@dataclass(frozen=True)
class Curves:
    """Straight pieces in logarithms, from the run-out life to shorter ones, and the slope beyond it.

    Parameters
    ----------
    log_cycles : ndarray of shape (draws or 1, 1, lives)
        Falling, from the run-out life.
    log_stress : ndarray of shape (draws, quantiles, lives)
        Rising.
    beyond : ndarray of shape (draws, quantiles)
        Slope beyond the run-out life; infinite where nothing is damaged there.
    """

    log_cycles: Array
    log_stress: Array
    beyond: Array

    @quietly()
    def log_life(self, log_stress: Array, cycles: Array) -> Array:
        """Return ln(1/D), D the damage sum of a spectrum, of shape (draws, shifts, quantiles).

        Parameters
        ----------
        log_stress : ndarray of shape (draws, shifts, bins)
            ln σ_i, moved for each draw.
        cycles : ndarray of shape (bins,)
            n_i.
        """
        draws, shifts, bins = log_stress.shape
        quantiles = self.log_stress.shape[1]
        step = max(1, _AT_ONCE // (shifts * quantiles * bins))
        parts = [
            self._log_life(slice(first, first + step), log_stress[first : first + step], cycles)
            for first in range(0, draws, step)
        ]
        return np.concatenate(parts)

    def _log_life(self, rows: slice, log_stress: Array, cycles: Array) -> Array:
        s = log_stress[:, :, None, :]
        x = self.log_stress[rows][:, None, :, :, None]
        y = np.broadcast_to(self.log_cycles, (len(self.log_stress), 1, self.log_cycles.shape[-1]))[rows]
        y, fall = y[..., None, None], -np.diff(y)[..., None, None]
        width = np.maximum(np.diff(x, axis=3), 1e-300)
        found = np.broadcast_to(y[:, :, 0], (len(y), s.shape[1], x.shape[2], s.shape[3])).copy()
        for place in range(width.shape[3]):
            part = s - x[:, :, :, place]
            part /= width[:, :, :, place]
            np.clip(part, 0.0, 1.0, out=part)
            part *= fall[:, :, place]
            found -= part
        steep = fall[:, :, -1] / np.maximum(width[:, :, :, -1], 1e-6)
        found = found - steep * np.maximum(s - x[:, :, :, -1], 0.0)
        under = np.maximum(x[:, :, :, 0] - s, 0.0)
        found = found + np.where(under > 0, self.beyond[rows][:, None, :, None] * under, 0.0)
        return np.asarray(-np.log((cycles * np.exp(-found)).sum(axis=-1)))


def quantiles_of(service: Service, *more: Array) -> Array:
    """Return the quantiles of strength at which lives are tabulated, in standard deviations.

    Parameters
    ----------
    service : Service
        Without damage beyond the run-out life a life jumps where a bin ceases to count: then they are finer.
    *more : ndarray
        Quantiles that have to be among them.

    Returns
    -------
    ndarray of float
        Rising.
    """
    step = _FINE_STEP if service.below_knee is BelowKnee.NO_DAMAGE else _STEP
    every = np.arange(_WEAK, _STRONG + 0.5 * step, step)
    return np.unique(np.concatenate([every, *(of.ravel() for of in more)]))


@quietly()
def curves_of(model: FatigueModel, theta: Array, quantiles: Array, service: Service) -> Curves:
    """Return the curves of some quantiles of strength, with what lies beyond the run-out life by its rule.

    Parameters
    ----------
    model : FatigueModel
        The form of the curve.
    theta : ndarray of shape (draws, p)
        Its parameters.
    quantiles : ndarray of shape (quantiles,)
        Normal quantiles of the strength, each kept by a specimen at every stress.
    service : Service
        Run-out life and damage rule.

    Returns
    -------
    Curves
        Of each draw and quantile.
    """
    last = np.log(service.run_out_cycles)
    y = _lives(model, theta, last)
    if isinstance(model, RandomLimit):
        few = _chebyshev(last)
        x = log_strengths(theta, model.centre, few, quantiles) @ _between(few, y[0, 0]).T
    else:
        x = _log_strengths(model, theta, y, quantiles)
    x = _rising(x)
    return Curves(y, x, _slope_beyond(model, theta, x, service))


def _lives(model: FatigueModel, theta: Array, last: float) -> Array:
    """Logarithms of the lives between which a curve is taken for straight, falling."""
    first = last - _DECADES * np.log(10.0)
    if isinstance(model, TwoSlopes):
        knee = theta[:, 3] if model.knee is None else np.full(len(theta), model.knee)
        about = np.minimum(knee[:, None] + ROUNDING * np.linspace(8.0, -8.0, 25), last)
        ends = np.full((len(theta), 1), last), np.minimum(about[:, -1:] - 1.0, first)
        return np.concatenate([ends[0], about, ends[1]], axis=1)[:, None, :]
    return np.linspace(last, first, _PIECES.get(model.curve, _FINE))[None, None]


def _log_strengths(model: FatigueModel, theta: Array, y: Array, quantiles: Array) -> Array:
    """Strengths of quantiles at lives; what has to be searched for, at some of them and straight between."""
    some = quantiles
    if model.curve in _SEARCHED and quantiles.size > _EVERY:
        some = np.union1d(quantiles[::_EVERY], quantiles[-1:])
    found = np.log(
        model.strength_MPa(theta[:, None, None, :], cycles=np.exp(y), failed_share=ndtr(some)[None, :, None])
    )
    if some.size == quantiles.size:
        return found
    high = np.clip(np.searchsorted(some, quantiles), 1, some.size - 1)
    share = ((quantiles - some[high - 1]) / (some[high] - some[high - 1]))[:, None]
    return np.asarray(found[:, high - 1] * (1.0 - share) + found[:, high] * share)


def _chebyshev(last: float) -> Array:
    half = 0.5 * _DECADES * np.log(10.0)
    return np.asarray(last - half + half * np.cos(np.pi * np.arange(_CHEBYSHEV) / (_CHEBYSHEV - 1)))


def _between(nodes: Array, wanted: Array) -> Array:
    """The matrix that reads a polynomial through Chebyshev's points elsewhere."""
    sign = (-1.0) ** np.arange(nodes.size)
    sign[[0, -1]] *= 0.5
    gap = wanted[:, None] - nodes
    hit = np.abs(gap) < 1e-12
    part = sign / np.where(hit, 1.0, gap)
    weights = part / part.sum(axis=1, keepdims=True)
    return np.where(hit.any(axis=1, keepdims=True), hit.astype(float), weights)


def _rising(x: Array) -> Array:
    """Strength grows towards short lives; where no stress gives so short a life, the last one stands."""
    filled = np.where(np.isnan(x), -np.inf, x)
    risen = np.maximum.accumulate(filled, axis=-1)
    return np.where(np.isnan(x[..., :1]), np.nan, risen)


def _slope_beyond(model: FatigueModel, theta: Array, x: Array, service: Service) -> Array:
    shape, rule = x.shape[:2], service.below_knee
    if rule is BelowKnee.NO_DAMAGE:
        return np.full(shape, np.inf)
    if rule is BelowKnee.LONG_LIFE:
        return np.full(shape, service.long_slope)
    if isinstance(model, TwoSlopes):
        slope = np.broadcast_to(1.0 / (1.0 / model.long_slope + np.exp(theta[:, 1:2])), shape)
    else:
        middle = (x.shape[-1] - 1) // 2
        slope = _SLOPE_DECADES * np.log(10.0) / np.maximum(x[..., middle] - x[..., 0], 1e-12)
    return np.asarray(2.0 * slope - 1.0 if rule is BelowKnee.FLATTER_SLOPE else slope)


def log_lives(
    model: FatigueModel, theta: Array, quantiles: Array, service: Service, shifts: Array
) -> tuple[Array, Array]:
    """Return ln(life/life wanted) of quantiles of strength, and the quantile above which a life is endless.

    Parameters
    ----------
    model : FatigueModel
        The form of the curve.
    theta : ndarray of shape (draws, p)
        Its parameters.
    quantiles : ndarray of shape (quantiles,)
        Rising.
    service : Service
        The spectrum.
    shifts : ndarray of shape (draws, shifts)
        Logarithms of factors on the stress.

    Returns
    -------
    log_lives, endless : tuple of ndarray
        Of shape (draws, shifts, quantiles) and (draws, shifts).
    """
    if model.curve is Curve.ONE_LEVEL:
        return _one_level(model, theta, quantiles, service, shifts)
    carried = array(service.cycles) > 0
    log_stress = np.log(array(service.stress_MPa)[carried])
    curves = curves_of(model, theta, quantiles, service)
    moved = shifts[..., None] + log_stress
    found = curves.log_life(moved, array(service.cycles)[carried])
    endless = np.full(shifts.shape, np.inf)
    if service.below_knee is BelowKnee.NO_DAMAGE:
        endless = crossing(quantiles, curves.log_stress[:, None, :, 0], moved.max(axis=-1))
    return found, endless


def _one_level(
    model: FatigueModel, theta: Array, quantiles: Array, service: Service, shifts: Array
) -> tuple[Array, Array]:
    """Lives at the one stress that was tested; no other has any."""
    centre = float(getattr(model, "centre", np.nan))
    off = np.abs(np.log(array(service.stress_MPa)) - centre + shifts[..., None])
    faults = Faults()
    faults.need(
        bool(np.all(off < np.log(LEVEL_RATIO))),
        "stress_MPa",
        service.stress_MPa,
        f"the stress that was tested, {number_text(np.exp(centre))} MPa, without a transfer",
        "tests at one level show no slope",
    )
    faults.check()
    life = model.life_cycles(
        theta[:, None, None, :], stress_MPa=np.exp(array(centre)), failed_share=ndtr(quantiles)
    )
    whole = np.broadcast_to(np.log(life / array(service.cycles).sum()), (*shifts.shape, quantiles.size))
    return whole, np.full(shifts.shape, np.inf)


def failed_quantile(model: FatigueModel, theta: Array, service: Service, shifts: Array) -> Array:
    """Return the quantile of strength up to which specimens fail within the life wanted.

    Parameters
    ----------
    model : FatigueModel
        The form of the curve.
    theta : ndarray of shape (draws, p)
        Its parameters.
    service : Service
        The spectrum.
    shifts : ndarray of shape (draws, shifts)
        Logarithms of factors on the stress.

    Returns
    -------
    ndarray of float
        Of the shape of shifts.
    """
    quantiles = quantiles_of(service)
    table, endless = log_lives(model, theta, quantiles, service, shifts)
    return np.minimum(crossing(quantiles, table, np.zeros(endless.shape)), endless)


@quietly()
def crossing(quantiles: Array, rising: Array, level: Array) -> Array:
    """Return the quantile at which what rises over the last axis reaches a level.

    Parameters
    ----------
    quantiles : ndarray of shape (quantiles,)
        Rising.
    rising : ndarray of shape (..., quantiles)
        It may be infinite at its end, and unknown (NaN) at either.
    level : ndarray of shape (...)
        What is reached.

    Returns
    -------
    ndarray of float
        Of the shape of level; straight beyond either end.
    """
    rising, level = np.broadcast_arrays(rising, level[..., None])
    level, known = level[..., 0], np.isfinite(rising)
    below = (rising < level[..., None]) | (np.cumsum(known, axis=-1) == 0)  # no value at the weak end
    before = np.clip(below.sum(axis=-1) - 1, 0, quantiles.size - 2)[..., None]
    low, high = (np.take_along_axis(rising, before + step, axis=-1)[..., 0] for step in (0, 1))
    earlier = np.take_along_axis(rising, np.maximum(before - 1, 0), axis=-1)[..., 0]
    at = before[..., 0]
    sooner, here, later = quantiles[np.maximum(at - 1, 0)], quantiles[at], quantiles[at + 1]
    rate = np.where(np.isfinite(high), (high - low) / (later - here), (low - earlier) / (here - sooner))
    found = here + (level - low) / np.maximum(rate, 1e-12)
    return np.asarray(np.where(np.isfinite(low), found, later))
