"""What a count of failures shows: specimens for a reliability, and the reliability of a count."""

from __future__ import annotations

import numpy as np
from scipy.special import betainc, betaincinv, gammaincinv

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.fatigue.needs import need_shares, need_whole

COUNTING = Method(
    key="success_run",
    title="Reliability by counting",
    source="Clopper and Pearson, bound of a binomial share",
    edition="1934",
    clause="",
    status=Status.FROM_MEMORY,
    implements=(
        "specimens that all run to the life that counts, or all but a number that was allowed before",
    ),
    leaves_out=(
        "how far beyond that life they would have run",
        "teeth that share a gear: they are no counts",
    ),
)


def success_run(*, reliability: Number, confidence: Number, failures: Number = 0) -> Array:
    """Return how many specimens show a reliability by counting.

    Smallest n with P(failures ≤ c | n, 1 - R) ≤ 1 - C; without failures n = ln(1 - C)/ln R, rounded up

    Parameters
    ----------
    reliability, confidence : float or array
        R and C, above 0 and below 1.
    failures : int or array
        c, how many may fail, agreed before the test.

    Returns
    -------
    ndarray of float
        n, whole numbers.

    Raises
    ------
    InputError
        A share outside its limits, or failures below 0 or no whole number.

    Notes
    -----
    Source: Clopper and Pearson, 1934, from memory.
    Valid for: specimens that are drawn at random from the gears that are meant, independent of one another.
    Departures: none.
    Checked: ZF-01, ZF-ALLOWED.

    Examples
    --------
    >>> print(success_run(reliability=[0.9, 0.99, 0.999999], confidence=[0.9, 0.95, 0.95]))
    [2.200000e+01 2.990000e+02 2.995731e+06]
    """
    faults = Faults()
    need_shares(faults, reliability=reliability, confidence=confidence)
    need_whole(faults, least=0, failures=failures)
    faults.check()
    R, C, c = np.broadcast_arrays(array(reliability), array(confidence), array(failures))
    low, high = np.floor(c), np.ceil(c + 2 * gammaincinv(c + 1, C) / -np.log(R) + 2)  # too few, and enough
    while np.any(high - low > 1):
        middle = np.floor((low + high) / 2)
        enough = betainc(np.maximum(middle - c, 1e-300), c + 1, R) <= (1 - C) * (1 + 1e-12)
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return array(high)


def shown_reliability(*, specimens: Number, failures: Number, confidence: Number) -> Array:
    """Return the reliability that a count of failures shows, as a one-sided lower bound.

    R_n = quantile 1 - C of the beta distribution with n - c and c + 1

    Parameters
    ----------
    specimens, failures : int or array
        n, and c of them that failed.
    confidence : float or array
        C, above 0 and below 1.

    Returns
    -------
    ndarray of float
        R_n; 0 where all failed.

    Raises
    ------
    InputError
        More failures than specimens, or a confidence outside its limits.

    Notes
    -----
    Source: Clopper and Pearson, 1934, from memory.
    Valid for: independent specimens, all run to the same life.
    Departures: none.
    Checked: ZF-03.

    Examples
    --------
    >>> print(shown_reliability(specimens=[22, 38], failures=[0, 1], confidence=0.9).round(4))
    [0.9006 0.9015]
    """
    n, c, C = array(specimens), array(failures), array(confidence)
    faults = Faults()
    need_shares(faults, confidence=confidence)
    need_whole(faults, least=1, specimens=specimens)
    need_whole(faults, least=0, failures=failures)
    faults.need(not np.any(c > n), "failures", failures, "no more than the specimens")
    faults.check()
    bound = betaincinv(np.where(n > c, n - c, 1.0), c + 1, 1 - C)
    return array(np.where(n > c, bound, 0.0))
