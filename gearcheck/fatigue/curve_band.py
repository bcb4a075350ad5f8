"""The curves that are argued over: median, a reliability, its confidence, and what is left for a gear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import ndtri

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.life_curves import Curves, curves_of
from gearcheck.fatigue.life_spectrum import equally_likely, transfer_of_draw
from gearcheck.fatigue.model import FatigueModel
from gearcheck.fatigue.needs import need_positive, need_shares
from gearcheck.fatigue.service import Service

BAND = Method(
    key="curve_band",
    title="Strength over life, of specimens and of a gear",
    source="quantiles of strength over parameters as likely as the tests leave them",
    edition="",
    clause="median, quantile of a reliability, its bound with a confidence; weakest tooth and transfers on "
    "top",
    status=Status.COMMON_PRACTICE,
    implements=(
        "curve of the tests to their run-out life, beyond it by the damage rule agreed",
        "scatter taken wider or narrower than it was fitted, about the same median",
    ),
    leaves_out=("bounds by the profile likelihood: see `strength_bounds`",),
    departures=(
        "Wider scatter multiplies every scale of the model, that of the life and that of the limit.",
        "Beyond four decades before the run-out life nothing is drawn.",
    ),
)

_SCALES = ("ln σ", "ln σ_γ", "ln σ_S", "g_0", "s_0")
"""What the logarithm of a scale is called in the models."""
_QUANTILES = np.arange(-8.0, 4.1, 0.25)
"""Of strength, between which its logarithm is straight."""


@dataclass(frozen=True, kw_only=True)
class CurveBand(Result):
    """One entry for each life; NaN where a curve does not reach."""

    method: ClassVar[Method] = BAND
    reliability: Number = term("Share that survives", "R")
    confidence: Number = term("Confidence", "C")
    scatter: Number = term("Factor on the fitted scatter", "f_s")
    draws: Number = term("Draws of the parameters", "m")
    cycles: Number = term("Cycles", "N")
    median_MPa: Number = term("Strength of half of the specimens", "S_50", "MPa", words="fitted curve")
    reliable_MPa: Number = term("Strength that R of the specimens have", "S_R", "MPa", words="fitted curve")
    low_MPa: Number = term("The same with confidence", "S_RC", "MPa", words="1 - C of the draws lie below it")
    gear_MPa: Number = term(
        "Strength that R of the sets of gears have, with confidence",
        "S_G",
        "MPa",
        words="weakest tooth of all gears, transfers on top, 1 - C of the draws lie below it",
    )


@dataclass(frozen=True, kw_only=True)
class BandCurves:
    """Curves of all draws at quantiles of strength, worked out once for many bands.

    Parameters
    ----------
    service : Service
        Teeth, gears and transfers of the gear.
    scatter : float
        Factor on the fitted scatter.
    quantiles : ndarray of shape (quantiles,)
        Normal quantiles of strength.
    curves : Curves
        Of the fit, which is the first, and of all draws.
    """

    service: Service
    scatter: float
    quantiles: Array
    curves: Curves


def band_curves(
    *,
    fit: FatigueFit,
    parameters: Array,
    service: Service,
    scatter: float = 1.0,
    weights: Array | None = None,
    most_draws: int = 200,
) -> BandCurves:
    """Return the curves of all draws, from which bands are read.

    S(N; u, θ_j) at quantiles u of strength

    Parameters
    ----------
    fit : FatigueFit
        The curve of the specimens, a fit that converged.
    parameters : ndarray of shape (draws, p)
        As likely as the tests leave them.
    service : Service
        Run-out life, damage rule beyond it, teeth, gears and transfers; its stresses do not count.
    scatter : float
        Factor on the fitted scatter.
    weights : ndarray of shape (draws,), optional
        Of the parameters; equal without.
    most_draws : int
        So many of them are used.

    Returns
    -------
    BandCurves
        For `curve_band`.

    Raises
    ------
    InputError
        A fit without a summit, a curve of one level, a factor not above 0, a service that cannot be.

    Notes
    -----
    Source: common practice.
    Valid for: as `life_distribution`.
    Departures: see the method of `curve_band`.
    Checked: FATIGUE-BAND-WIDER.

    Examples
    --------
    >>> from gearcheck.duty.damage import BelowKnee
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 900, 750, 750, 750]),
    ...     cycles=np.array([2e5, 3e5, 4e5, 9e5, 2e6, 2.2e6]), failed=np.full(6, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> drawn = band_curves(
    ...     fit=fit, parameters=np.repeat([fit.parameters], 3, axis=0),
    ...     service=Service(stress_MPa=np.array([600.0]), cycles=np.array([1e6]),
    ...                     below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6))
    >>> len(drawn.curves.log_stress)  # the fit and its draws
    4
    """
    faults = Faults()
    faults.need(fit.converged, "fit", "no summit of the likelihood", "a fit that converged")
    faults.need(fit.curve is not Curve.ONE_LEVEL, "fit", fit.curve, "a curve over several levels")
    need_positive(faults, scatter=scatter)
    service.checked(faults)
    faults.check()
    drawn = equally_likely(parameters, weights, most_draws)
    theta = wider(fit.model, np.vstack([fit.parameters, drawn]), scatter)
    curves = curves_of(fit.model, theta, _QUANTILES, service)
    return BandCurves(service=service, scatter=scatter, quantiles=_QUANTILES, curves=curves)


def curve_band(
    *, drawn: BandCurves, cycles: Number, reliability: float, confidence: float, transfer: float = 1.0
) -> CurveBand:
    """Return the strength over life of specimens and of a gear.

    S_RC the quantile 1 - C over draws of S(N; u_R), u_R the quantile 1 - R of strength

    Parameters
    ----------
    drawn : BandCurves
        The curves of all draws.
    cycles : array of shape (n,)
        N, from four decades before the run-out life on.
    reliability, confidence : float
        R and C, above 0 and below 1.
    transfer : float
        One more factor on the strength of the gear.

    Returns
    -------
    CurveBand
        In the order of the cycles.

    Raises
    ------
    InputError
        Shares that are none, cycles or a factor not above 0.

    Notes
    -----
    Source: common practice.
    Valid for: as `life_distribution`.
    Departures: see the method.
    Checked: FATIGUE-BAND.

    Examples
    --------
    >>> from gearcheck.duty.damage import BelowKnee
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 900, 750, 750, 750]),
    ...     cycles=np.array([2e5, 3e5, 4e5, 9e5, 2e6, 2.2e6]), failed=np.full(6, True))
    >>> fit = fatigue_fit(data=tests, curve=Curve.STRAIGHT)
    >>> drawn = band_curves(
    ...     fit=fit, parameters=fit.parameters[None],
    ...     service=Service(stress_MPa=np.array([600.0]), cycles=np.array([1e6]), teeth=24,
    ...                     below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=6e6))
    >>> found = curve_band(drawn=drawn, cycles=[1e5, 1e6], reliability=0.99, confidence=0.9)
    >>> bool((found.gear_MPa < found.reliable_MPa).all() and (found.reliable_MPa < found.median_MPa).all())
    True
    """
    faults = Faults()
    need_shares(faults, reliability=reliability, confidence=confidence)
    need_positive(faults, cycles=cycles, transfer=transfer)
    faults.check()
    wanted = np.log(np.atleast_1d(array(cycles)))
    one = _strengths(drawn, float(ndtri(1.0 - reliability)), wanted)
    of_gear = _strengths(drawn, float(drawn.service.specimen_quantile(1.0 - reliability)), wanted)[1:]
    moved = transfer * np.exp(transfer_of_draw(len(of_gear), drawn.service))[:, None]
    return CurveBand(
        reliability=reliability,
        confidence=confidence,
        scatter=drawn.scatter,
        draws=len(of_gear),
        cycles=np.atleast_1d(array(cycles)),
        median_MPa=_strengths(drawn, 0.0, wanted)[0],
        reliable_MPa=one[0],
        low_MPa=_low(one[1:], 1.0 - confidence),
        gear_MPa=_low(of_gear * moved, 1.0 - confidence),
    )


def wider(model: FatigueModel, theta: Array, factor: float) -> Array:
    """Return parameters whose scatter is so many times as large; the median stays.

    Parameters
    ----------
    model : FatigueModel
        Whose parameters they are.
    theta : ndarray of shape (..., p)
        Parameters.
    factor : float
        On every scale.

    Returns
    -------
    ndarray
        Parameters of the same shape.
    """
    scale = np.array([name in _SCALES for name in model.names])
    return np.asarray(theta + np.log(factor) * scale)


def _strengths(drawn: BandCurves, quantile: float, wanted: Array) -> Array:
    """Strength of each draw at each life; beyond the run-out life by the slope of the rule."""
    curves, u = drawn.curves, drawn.quantiles
    at = int(np.clip(np.searchsorted(u, quantile) - 1, 0, u.size - 2))
    share = (quantile - u[at]) / (u[at + 1] - u[at])
    x = (1.0 - share) * curves.log_stress[:, at] + share * curves.log_stress[:, at + 1]
    slope = ((1.0 - share) * curves.beyond[:, at] + share * curves.beyond[:, at + 1])[:, None]
    y = np.broadcast_to(curves.log_cycles[:, 0], x.shape)
    before = np.clip((y[..., None] > wanted).sum(axis=1) - 1, 0, x.shape[-1] - 2)
    y_0, y_1, x_0, x_1 = (np.take_along_axis(of, before + step, axis=-1) for of in (y, x) for step in (0, 1))
    inside = x_0 + (x_1 - x_0) * (wanted - y_0) / np.where(y_1 == y_0, 1.0, y_1 - y_0)
    inside = np.where(wanted < y[:, -1:], np.nan, inside)
    beyond = x[:, :1] - np.maximum(wanted - y[:, :1], 0.0) / slope
    return np.asarray(np.exp(np.where(wanted > y[:, :1], beyond, inside)))


def _low(values: Array, share: float) -> Array:
    """What a share of the draws lie below; a draw without a value lies below all."""
    known = np.where(np.isfinite(values), values, -np.inf)
    with np.errstate(invalid="ignore"):
        found = np.quantile(known, share, axis=0)
    return np.asarray(np.where(np.isfinite(found), found, np.nan))
