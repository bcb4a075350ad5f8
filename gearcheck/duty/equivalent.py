"""What one torque stands for a whole spectrum, and how long a damage sum lets a gear live."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array


def equivalent_torque(*, torque_Nm: Number, cycles: Number, exponent: Number) -> Array:
    """Return the constant torque that does the damage of a spectrum in the same number of cycles.

    T_eq = (Σ n_i T_i^p / Σ n_i)^(1/p)

    Parameters
    ----------
    torque_Nm, cycles : array
        T_i in N·m and n_i; the bins on the first axis.
    exponent : float or array
        p, the slope on torque: half the slope on contact stress, the slope itself on root stress.

    Returns
    -------
    ndarray of float
        T_eq in N·m.

    Raises
    ------
    InputError
        No load cycle at all, or a torque below 0.

    Notes
    -----
    Source: ISO 6336-6:2019, annex on the equivalent torque, from memory.
    Valid for: all bins on one straight line of the curve; load factors that do not change with the torque.
    Departures: none.
    Checked: EQUIVALENT-01.

    Examples
    --------
    >>> print(equivalent_torque(torque_Nm=[500, 500], cycles=[1e6, 2e6], exponent=6.61).round(6))
    500.0
    """
    torque, counts, p = array(torque_Nm), array(cycles), array(exponent)
    faults = Faults()
    faults.need(bool(np.all(counts.sum(axis=0) > 0)), "cycles", counts, "some load cycles")
    faults.need(not np.any(torque < 0), "torque_Nm", torque, "torques of 0 N·m or more")
    faults.check()
    largest = torque.max(axis=0)
    scale = np.where(largest > 0, largest, 1.0)
    mean = (counts * (torque / scale) ** p).sum(axis=0) / counts.sum(axis=0)
    return array(scale * mean ** (1 / p))


def reliability_factor(*, reliability: Number, strength_variation: Number) -> Array:
    """Return by what a strength at 99 % reliability is multiplied for another reliability.

    f = exp(s (z_0.99 - z_R)), s² = ln(1 + V²), z the standard normal quantile

    Parameters
    ----------
    reliability : float or array
        R, the share of gears that survive, above 0 and below 1.
    strength_variation : float or array
        V, the coefficient of variation of the strength (stress at a given life).

    Returns
    -------
    ndarray of float
        f: 1 at 99 %, less above it.

    Raises
    ------
    InputError
        A reliability not between 0 and 1, or a variation below 0.

    Notes
    -----
    Source: quantiles of the lognormal distribution; that strength is lognormal is an assumption that is
    stated with every use.
    Valid for: as far into the tail as the distribution is believed; its variation is an input.
    Departures: none.
    Checked: RELIABILITY-01.

    Examples
    --------
    >>> print(reliability_factor(reliability=[0.99, 0.999], strength_variation=0.06).round(4))
    [1.     0.9552]
    """
    share, variation = array(reliability), array(strength_variation)
    faults = Faults()
    faults.need(
        not np.any((share <= 0) | (share >= 1)), "reliability", reliability, "a share between 0 and 1"
    )
    faults.need(not np.any(variation < 0), "strength_variation", strength_variation, "0 or more")
    faults.check()
    deviation = np.sqrt(np.log1p(variation**2))
    return array(np.exp(deviation * (ndtri(REFERENCE) - ndtri(share))))


REFERENCE = 0.99
"""The reliability that the strength limits of ISO 6336 stand for."""
