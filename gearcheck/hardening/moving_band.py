"""A band of heat that moves over a half-space: Jaeger's integral, and its limit of a fast band."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from functools import cache

import numpy as np
from scipy.special import erfc, k0e, k1e

from gearcheck.basics.numbers import Array, Number, array

_GOLDEN = (np.sqrt(5) - 1) / 2
_STEPS = 45
_SLOW, _FAST = 1e-3, 1e5  # Peclet numbers between which the constant is tabulated


class HeatFlux(StrEnum):
    """How the heat is spread over the contact of wheel and work."""

    UNIFORM = "uniform"
    TRIANGULAR = "triangular, peak at the uncut side"


def band_rise(*, place: Number, peclet: Number, flux: HeatFlux) -> Array:
    """Return the rise of the surface under a moving band of heat.

    θ k/(q √(α l_c/v)) = √L/π · ∫ f(s) e^(-L (x - s)) K_0(L |x - s|) ds over s from -1 to 1,
    f = 1 or 1 + s

    Parameters
    ----------
    place : float or array
        x from the middle of the band in half lengths; 1 is the leading edge at the uncut side, -1 the
        trailing one.
    peclet : float or array
        L = v l_c/(4 α), above 0.
    flux : HeatFlux
        How the heat is spread; its mean is q.

    Returns
    -------
    ndarray of float
        The rise in parts of q √(α l_c/v)/k.

    Notes
    -----
    Source: Jaeger, Moving sources of heat, 1942, from memory; both integrals in closed form, proven by
    quadrature.
    Valid for: -1 <= x <= 1.
    Departures: none.
    Checked: GRIND-01, GRIND-02, GRIND-02-REVERSED.

    Examples
    --------
    >>> print(round(float(band_rise(place=-0.924, peclet=10, flux=HeatFlux.UNIFORM)), 4))
    1.1021
    """
    x, L = array(place), array(peclet)
    ahead, ahead_moment = _integrals(L * (1 - x), 0.0)
    behind, behind_moment = _integrals(L * (1 + x), 1.0)
    if flux is HeatFlux.UNIFORM:
        heat = ahead + behind
    else:
        heat = (1 + x) * (ahead + behind) + (ahead_moment - behind_moment) / L
    return array(heat / (np.pi * np.sqrt(L)))


def _integrals(u: Array, behind: float) -> tuple[Array, Array]:
    """Return ∫ e^(±w) K_0(w) dw and ∫ w e^(±w) K_0(w) dw from 0 to u; minus where the heat has gone by."""
    sign = 1.0 - 2.0 * behind
    safe = np.where(u > 0, u, 1.0)
    fade = np.exp(-2 * safe * behind)
    K_0, K_1 = k0e(safe), k1e(safe)
    pair = fade * (K_0 + sign * K_1)
    whole = safe * pair - sign
    moment = (safe**2 * pair - safe * fade * K_1 + 1) / 3
    return np.where(u > 0, whole, 0.0), np.where(u > 0, moment, 0.0)


def band_peak(*, peclet: Number, flux: HeatFlux) -> tuple[Array, Array]:
    """Return the largest rise under a moving band of heat, and where it stands.

    Parameters
    ----------
    peclet : float or array
        L = v l_c/(4 α), above 0.
    flux : HeatFlux
        How the heat is spread.

    Returns
    -------
    constant, place : tuple of ndarray
        C in θ = C q √(α l_c/v)/k, and x in half lengths from the middle of the band.

    Notes
    -----
    Source: Jaeger, as `band_rise`; a golden section over the band.
    Valid for: L above 0.
    Departures: none.
    Checked: GRIND-01, GRIND-02, GRIND-03.

    Examples
    --------
    >>> constant, place = band_peak(peclet=20, flux=HeatFlux.TRIANGULAR)
    >>> print(round(float(constant), 4))
    1.0637
    """
    L = array(peclet)

    def rise(place: Array) -> Array:
        return band_rise(place=place, peclet=L, flux=flux)

    place = _largest_at(rise, np.full(L.shape, -1.0), np.ones(L.shape))
    return rise(place), place


def band_constant(*, peclet: Number, flux: HeatFlux) -> Array:
    """Return the constant of the largest rise, read from a table of the exact one.

    Parameters
    ----------
    peclet : float or array
        L = v l_c/(4 α).
    flux : HeatFlux
        How the heat is spread.

    Returns
    -------
    ndarray of float
        C, within 1e-6 of `band_peak`; NaN below L = 0.001; the limit of a fast band above 100 000.

    Notes
    -----
    Checked: GRIND-01, GRIND-02.
    """
    L = array(peclet)
    with np.errstate(divide="ignore", invalid="ignore"):
        logarithm = np.log10(np.minimum(L, _FAST))
    return np.where(L >= _SLOW, np.interp(logarithm, *_peaks(flux)), np.nan)


@cache
def _peaks(flux: HeatFlux) -> tuple[Array, Array]:
    """So many that straight lines between them do: a spline of the library is slow to load."""
    nodes = np.linspace(np.log10(_SLOW), np.log10(_FAST), 2001)
    constant, _ = band_peak(peclet=10.0**nodes, flux=flux)
    return array(nodes), constant


def fast_constant(*, flux: HeatFlux) -> float:
    """Return the constant of a fast band: heat flows straight down and the contact is one heating time.

    Parameters
    ----------
    flux : HeatFlux
        How the heat is spread.

    Returns
    -------
    float
        2/√π = 1.128 for uniform flux, 2 √2/3 of it = 1.064 for the triangle.

    Notes
    -----
    Checked: GRIND-01, GRIND-02.
    """
    return float((1.0 if flux is HeatFlux.UNIFORM else np.sqrt(8) / 3) * 2 / np.sqrt(np.pi))


def heated_depth(*, depth: Number, time: Number, flux: HeatFlux) -> Array:
    """Return the rise below a fast band of heat during the contact and after it.

    Parameters
    ----------
    depth : float or array
        z/√(α t_c).
    time : float or array
        t/t_c from the first heat on; the contact ends at 1.
    flux : HeatFlux
        How the heat is spread; the triangle begins with its peak.

    Returns
    -------
    ndarray of float
        The rise in parts of q √(α t_c)/k.

    Notes
    -----
    Source: Carslaw and Jaeger, Conduction of Heat in Solids, half-space under a flux, from memory; proven by
    quadrature.
    Valid for: times of 0 or more.
    Departures: none.
    Checked: GRIND-08.

    Examples
    --------
    >>> print(round(float(heated_depth(depth=0.0, time=1.0, flux=HeatFlux.UNIFORM)), 4))
    1.1284
    """
    z, t = array(depth), array(time)
    steady, ramp = _steady_and_ramp(z, t)
    steady_off, ramp_off = _steady_and_ramp(z, t - 1)
    if flux is HeatFlux.UNIFORM:
        return steady - steady_off
    return 2 * (steady - ramp + ramp_off)


def _steady_and_ramp(z: Array, t: Array) -> tuple[Array, Array]:
    """Return the rise under a flux of 1 and under one that grows as t, both begun at t = 0."""
    root = np.sqrt(np.maximum(t, 1e-12))
    x = z / (2 * root)
    first = np.exp(-(x**2)) / np.sqrt(np.pi) - x * erfc(x)
    third = ((1 + x**2) * first - x * erfc(x) / 2) / 6
    begun = t > 0
    return np.where(begun, 2 * root * first, 0.0), np.where(begun, 8 * root**3 * third, 0.0)


def largest_heated(*, depth: Number, flux: HeatFlux) -> Array:
    """Return the largest rise that a depth ever sees below a fast band, as a share of the surface's.

    Parameters
    ----------
    depth : float or array
        z/√(α t_c).
    flux : HeatFlux
        How the heat is spread.

    Returns
    -------
    ndarray of float
        From 1 at the surface; deep down it comes long after the contact.

    Notes
    -----
    Source: `heated_depth`, its largest over time.
    Checked: GRIND-08-LARGEST.
    """
    z = array(depth)

    def rise(time: Array) -> Array:
        return heated_depth(depth=z, time=time, flux=flux)

    # what comes in at one moment is at its peak z²/2 later
    latest = _largest_at(rise, np.zeros(z.shape), 1 + z**2 / 2)
    return rise(latest) / fast_constant(flux=flux)


def _largest_at(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Golden section for the one maximum between `low` and `high`, all samples at once."""
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    for _ in range(_STEPS):
        keep_left = function(left) >= function(right)
        low, high = np.where(keep_left, low, left), np.where(keep_left, right, high)
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    return array((low + high) / 2)
