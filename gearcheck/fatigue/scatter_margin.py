"""What margins by standard deviations are worth: load against strength, and one test against a life."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.fatigue.needs import need_shares, need_whole


def touching_index(*, deviation_ratio: Number, deviations: Number) -> Array:
    """Return the reliability index where the top of the loads just touches the bottom of the strengths.

    β = m (1 + r)/√(1 + r²), at most m √2; the share that fails is Φ(-β)

    Parameters
    ----------
    deviation_ratio : float or array
        r, standard deviation of the load over that of the strength.
    deviations : float or array
        m: load mean + m s stands at strength mean - m s; 3 as a rule.

    Returns
    -------
    ndarray of float
        β. For one part in a million it takes 4.753; three deviations on both sides give at most 4.243.

    Raises
    ------
    InputError
        A ratio or deviations below 0.

    Notes
    -----
    Source: difference of two independent normal variables. That touching bands are not conservative against
    one in a million is also a conclusion of Tong, Antoniou and Wang (RMIT).
    Valid for: one load of each part, load and strength independent and normal.
    Departures: none.
    Checked: REL-01.

    Examples
    --------
    >>> print(touching_index(deviation_ratio=[0, 1], deviations=3).round(3))
    [3.    4.243]
    """
    r, m = array(deviation_ratio), array(deviations)
    faults = Faults()
    faults.need(not np.any(r < 0), "deviation_ratio", deviation_ratio, "0 or more")
    faults.need(not np.any(m < 0), "deviations", deviations, "0 or more")
    faults.check()
    return array(m * (1 + r) / np.sqrt(1 + r**2))


def life_factor(*, band_ratio: Number, tests: Number, confidence: Number) -> Array:
    """Return how many times the wanted life the mean of a few tests has to reach, where the scatter is known.

    f = T^((3 + z_C/√n)/6), T = life at +3 s over life at -3 s

    Parameters
    ----------
    band_ratio : float or array
        T of lives between three deviations above and three below the mean of their logarithms.
    tests : int or array
        n, of which the geometric mean life is taken.
    confidence : float or array
        C, on the mean alone.

    Returns
    -------
    ndarray of float
        f, to the life that all but 0.135 % reach.

    Raises
    ------
    InputError
        A ratio below 1, less than one test, a confidence not between 0 and 1.

    Notes
    -----
    Source: mean of a lognormal sample of known deviation; the number for T = 6 is OEIS A375221.
    Valid for: lognormal lives whose scatter is known from elsewhere; with the scatter of the sample itself
    `tolerance_factor` stands in its place.
    Departures: none.
    Checked: REL-02.

    Examples
    --------
    >>> print(life_factor(band_ratio=6, tests=[1, 4], confidence=0.95).round(2))
    [4.   3.13]
    """
    ratio = array(band_ratio)
    faults = Faults()
    faults.need(
        not np.any(ratio < 1), "band_ratio", band_ratio, "1 or more: the longest life over the shortest"
    )
    need_whole(faults, least=1, tests=tests)
    need_shares(faults, confidence=confidence)
    faults.check()
    return array(ratio ** ((3 + ndtri(array(confidence)) / np.sqrt(array(tests))) / 6))
