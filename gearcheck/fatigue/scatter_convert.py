"""One measure of scatter from another: ratio of quantiles, log deviation, slope of a Weibull line."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.fatigue.needs import need_positive, need_shares


def log_deviation(*, scatter_ratio: Number) -> Array:
    """Return the standard deviation of log10 from the ratio of the 10 and the 90 % quantile.

    s = lg T/(2 z_0.9), 2 z_0.9 = 2.5631

    Parameters
    ----------
    scatter_ratio : float or array
        T of stresses or of lives, larger over smaller: 1 or more.

    Returns
    -------
    ndarray of float
        s of log10; times ln 10 it is that of the natural logarithm.

    Raises
    ------
    InputError
        A ratio below 1.

    Notes
    -----
    Source: quantiles of the lognormal distribution.
    Valid for: lognormal scatter.
    Departures: none.
    Checked: PSN-01-DEVIATION.

    Examples
    --------
    >>> print(log_deviation(scatter_ratio=1.25).round(5))
    0.03781
    """
    ratio = array(scatter_ratio)
    faults = Faults()
    faults.need(
        not np.any(ratio < 1), "scatter_ratio", scatter_ratio, "1 or more: the larger over the smaller"
    )
    faults.check()
    return array(np.log10(ratio) / (2 * ndtri(0.9)))


def shifted_median(*, median: Number, log_deviation: Number, failed_share: Number) -> Array:
    """Return the stress, or the life, by which another share than half has failed.

    S_p = S_50 · 10^(z_p s)

    Parameters
    ----------
    median : float or array
        S_50 in MPa, or N_50 in cycles.
    log_deviation : float or array
        s of log10, of stress for a stress, of life for a life.
    failed_share : float or array
        p.

    Returns
    -------
    ndarray of float
        In the unit of the median.

    Raises
    ------
    InputError
        A median not above 0, a deviation below 0, a share not between 0 and 1.

    Notes
    -----
    Source: quantiles of the lognormal distribution.
    Valid for: lognormal scatter, as far into the tail as it is believed.
    Departures: none.
    Checked: PSN-01.

    Examples
    --------
    >>> print(shifted_median(median=500, log_deviation=0.03781, failed_share=0.01).round(1))
    408.3
    """
    deviation = array(log_deviation)
    faults = Faults()
    need_positive(faults, median=median)
    faults.need(not np.any(deviation < 0), "log_deviation", log_deviation, "0 or more")
    need_shares(faults, failed_share=failed_share)
    faults.check()
    return array(array(median) * 10 ** (ndtri(array(failed_share)) * deviation))


def normal_strength_ratio(*, variation: Number, from_share: Number, to_share: Number) -> Array:
    """Return by what a normal strength at one failed share is multiplied for another.

    f = (1 + z_to V)/(1 + z_from V)

    Parameters
    ----------
    variation : float or array
        V, the coefficient of variation of the strength.
    from_share, to_share : float or array
        Share of specimens that has failed at the strength given, and at the strength wanted.

    Returns
    -------
    ndarray of float
        f; NaN where the normal distribution leaves no strength at all.

    Raises
    ------
    InputError
        A variation below 0, a share not between 0 and 1.

    Notes
    -----
    Source: quantiles of the normal distribution; the factors 0.92 and 0.86 for tooth root strength of
    shot-peened (V = 3.4 %) and unpeened (6 %) case-carburised gears from memory of FVA project 304 (Stahl).
    Valid for: normal strength; far in the tail the lognormal distribution leaves more.
    Departures: none.
    Checked: GEAR-04.

    Examples
    --------
    >>> print(normal_strength_ratio(variation=0.034, from_share=0.5, to_share=0.01).round(3))
    0.921
    """
    V = array(variation)
    faults = Faults()
    faults.need(not np.any(V < 0), "variation", variation, "0 or more")
    need_shares(faults, from_share=from_share, to_share=to_share)
    faults.check()
    given, wanted = 1 + ndtri(array(from_share)) * V, 1 + ndtri(array(to_share)) * V
    return array(np.where((given > 0) & (wanted > 0), wanted / np.where(given > 0, given, np.nan), np.nan))


def weibull_slope(
    *, early_cycles: Number, late_cycles: Number, early_share: Number, late_share: Number
) -> Array:
    """Return the slope of the Weibull line through two lives.

    β = ln(ln(1 - F_2)/ln(1 - F_1))/ln(N_2/N_1)

    Parameters
    ----------
    early_cycles, late_cycles : float or array
        N_1 and N_2, in any one unit: L10 and L50 of a flank test.
    early_share, late_share : float or array
        F_1 and F_2, the shares that have failed by then: 0.1 and 0.5.

    Returns
    -------
    ndarray of float
        β.

    Raises
    ------
    InputError
        A life not above 0, a share not between 0 and 1, a late life or share that is not the greater.

    Notes
    -----
    Source: quantiles of the Weibull distribution; lives of NASA TP-2047 (1982), from memory.
    Valid for: two-parameter Weibull lives.
    Departures: none.
    Checked: GEAR-02.

    Examples
    --------
    >>> print(weibull_slope(early_cycles=19, late_cycles=46, early_share=0.1, late_share=0.5).round(3))
    2.131
    """
    first, last, few, many = (array(x) for x in (early_cycles, late_cycles, early_share, late_share))
    faults = Faults()
    need_positive(faults, early_cycles=early_cycles, late_cycles=late_cycles)
    need_shares(faults, early_share=early_share, late_share=late_share)
    faults.need(not np.any(last <= first), "late_cycles", late_cycles, "more cycles than early_cycles")
    faults.need(not np.any(many <= few), "late_share", late_share, "a greater share than early_share")
    faults.check()
    return array(np.log(np.log1p(-many) / np.log1p(-few)) / np.log(last / first))
