"""Mean stress: from the stress ratio of a test to that of the gear, along one line of the Haigh diagram."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array

HAIGH = Method(
    key="haigh_line",
    title="Mean stress, from the test to the gear",
    source="straight line of the Haigh diagram",
    edition="",
    clause="amplitude falls by M for each MPa of mean stress",
    status=Status.COMMON_PRACTICE,
    valid=(
        Range("test_ratio", "R_t", -1.2, 0.5),
        Range("part_ratio", "R_p", -1.2, 0.5),
    ),
    implements=("strength as the largest stress of a cycle, at one life",),
    leaves_out=(
        "M itself: it comes from the steel and its notch, or from tests at two stress ratios",
        "residual stress: it moves the mean stress of test and gear alike where both are treated alike",
    ),
    departures=(
        "One M over the whole range: above R = 0 it is often taken smaller, which makes the factor towards "
        "R = 0 smaller too.",
        "From R_t = 0 it is the mean stress factor of ISO 6336-3.",
    ),
)


def stress_ratio_factor(*, test_ratio: Number, part_ratio: Number, sensitivity: Number) -> Array:
    """Return by what a strength is multiplied from the stress ratio of a test to that of a gear.

    f_R = ((1 - R_t) + M (1 + R_t))/((1 - R_p) + M (1 + R_p))

    Parameters
    ----------
    test_ratio : float or array
        R_t, smallest over largest stress, below 1: 0.05 to 0.1 in a pulsator that must not lose touch.
    part_ratio : float or array
        R_p, below 1: 0 of a gear that runs one way, about -1.2 at the root of an idler.
    sensitivity : float or array
        M, 0 to 1: by how much the amplitude falls for each MPa of mean stress.

    Returns
    -------
    ndarray of float
        f_R on the largest stress of a cycle.

    Raises
    ------
    InputError
        A stress ratio of 1 or more, or an M outside 0 to 1.

    Notes
    -----
    Source: straight line of the Haigh diagram.
    Valid for: R from -1.2 to 0.5.
    Departures: one M on both sides of R = 0.
    Checked: HAIGH-RAYS.

    Examples
    --------
    >>> print(stress_ratio_factor(test_ratio=0.05, part_ratio=[0, -1.2], sensitivity=0.4).round(3))
    [0.979 0.646]
    """
    R_t, R_p, M = array(test_ratio), array(part_ratio), array(sensitivity)
    faults = Faults()
    for name, ratio in (("test_ratio", R_t), ("part_ratio", R_p)):
        faults.need(not np.any(ratio >= 1), name, ratio, "a stress ratio below 1")
    faults.need(not np.any((M < 0) | (M > 1)), "sensitivity", M, "a number from 0 to 1")
    faults.check()
    return array(((1 - R_t) + M * (1 + R_t)) / ((1 - R_p) + M * (1 + R_p)))
