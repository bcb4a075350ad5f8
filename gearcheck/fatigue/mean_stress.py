"""Mean stress: from the stress ratio of a test to that of the gear, along one line of the Haigh diagram."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

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
    implements=("strength as the largest stress of a cycle, at one life", "what M is not sure of"),
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


@dataclass(frozen=True, kw_only=True)
class StressRatioFactor(Result):
    """Strength at the stress ratio of the gear over that at the stress ratio of the test."""

    method: ClassVar[Method] = HAIGH
    test_ratio: Number = term("Stress ratio of the test, smallest over largest stress", "R_t")
    part_ratio: Number = term("Stress ratio of the gear", "R_p")
    sensitivity: Number = term("Sensitivity to the mean stress", "M")
    sensitivity_deviation: Number = term("Standard deviation of M, what is not sure of it", "s_M")
    factor: Number = term(
        "Largest stress that the gear stands over that of the test",
        "f_R",
        "",
        "((1-R_t) + M·(1+R_t))/((1-R_p) + M·(1+R_p))",
    )
    log_deviation: Number = term(
        "Standard deviation of its logarithm",
        "s_R",
        "",
        "s_M·abs((1+R_t)/((1-R_t) + M·(1+R_t)) - (1+R_p)/((1-R_p) + M·(1+R_p)))",
    )
    variation: Number = term("Coefficient of variation of the factor", "V_R", "", "√(exp(s_R²)-1)")


def stress_ratio_factor(
    *, test_ratio: Number, part_ratio: Number, sensitivity: Number, sensitivity_deviation: Number
) -> StressRatioFactor:
    """Return by what a strength is multiplied from the stress ratio of a test to that of a gear.

    f_R = ((1 - R_t) + M (1 + R_t))/((1 - R_p) + M (1 + R_p))

    Parameters
    ----------
    test_ratio : float or array
        R_t, below 1: 0.05 to 0.1 in a pulsator that must not lose touch.
    part_ratio : float or array
        R_p, below 1: 0 of a gear that runs one way, about -1.2 at the root of an idler.
    sensitivity : float or array
        M, 0 to 1: by how much the amplitude falls for each MPa of mean stress.
    sensitivity_deviation : float or array
        s_M, what is not sure of M as a standard deviation; 0 or more.

    Returns
    -------
    StressRatioFactor
        f_R on the largest stress of a cycle, and its coefficient of variation.

    Raises
    ------
    InputError
        A stress ratio of 1 or more, an M outside 0 to 1, or a deviation below 0.

    Notes
    -----
    Source: straight line of the Haigh diagram.
    Valid for: R from -1.2 to 0.5, a caution beyond; the deviation to first order of s_M.
    Departures: one M on both sides of R = 0.
    Checked: HAIGH-RAYS.

    Examples
    --------
    >>> found = stress_ratio_factor(test_ratio=0.05, part_ratio=[0, -1.2], sensitivity=0.4,
    ...     sensitivity_deviation=0.1)
    >>> print(found.factor.round(3), found.variation.round(3))
    [0.979 0.646] [0.005 0.086]
    """
    R_t, R_p, M, s_M = array(test_ratio), array(part_ratio), array(sensitivity), array(sensitivity_deviation)
    _check(R_t, R_p, M, s_M)
    test, part = (1 - R_t) + M * (1 + R_t), (1 - R_p) + M * (1 + R_p)
    s_R = s_M * np.abs((1 + R_t) / test - (1 + R_p) / part)
    return StressRatioFactor(
        test_ratio=R_t,
        part_ratio=R_p,
        sensitivity=M,
        sensitivity_deviation=s_M,
        factor=test / part,
        log_deviation=s_R,
        variation=np.sqrt(np.expm1(s_R**2)),
        notices=HAIGH.outside(test_ratio=R_t, part_ratio=R_p),
    )


def _check(R_t: Array, R_p: Array, M: Array, s_M: Array) -> None:
    faults = Faults()
    for name, ratio in (("test_ratio", R_t), ("part_ratio", R_p)):
        faults.need(not np.any(ratio >= 1), name, ratio, "a stress ratio below 1")
    faults.need(not np.any((M < 0) | (M > 1)), "sensitivity", M, "a number from 0 to 1")
    faults.need(not np.any(s_M < 0), "sensitivity_deviation", s_M, "0 or more")
    faults.check()
