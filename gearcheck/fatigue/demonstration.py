"""What a test with few failures shows of a life, where a Weibull shape is assumed: test time and bound."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincinv

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.counting import shown_reliability
from gearcheck.fatigue.needs import need_positive, need_shares, need_whole

WEIBAYES = Method(
    key="assumed_shape",
    title="Life by a Weibull shape that is assumed",
    source="Weibull lives of assumed shape; bound of the characteristic life by chi-square",
    edition="",
    clause="known in the trade as Weibayes",
    status=Status.COMMON_PRACTICE,
    implements=(
        "specimens tested longer than the life to be shown, or fewer, or shorter",
        "failures allowed",
    ),
    leaves_out=("the shape itself: a test without failures says nothing of it",),
    departures=(
        "A plan counts failures only; a bound after the test knows when they came.",
        "The bound is that of tests ended at a time: with failures, or ended at one, it is a little low.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class DemonstrationPlan(Result):
    """How long each specimen has to run, so that few enough failures show a reliability at a life."""

    method: ClassVar[Method] = WEIBAYES
    life_cycles: Number = term("Life to be shown", "L", "cycles")
    reliability: Number = term("Reliability at that life", "R")
    confidence: Number = term("Confidence", "C")
    specimens: Number = term("Specimens", "n")
    failures: Number = term("Failures allowed", "c")
    shape: Number = term("Weibull shape, assumed", "β")
    load_factor: Number = term("Load of the test over that of the life", "f")
    slope: Number = term("Slope of the curve, on the same load", "k")
    counted: Number = term(
        "Reliability that the count shows at the end of the test",
        "R_n",
        words="lower bound of Clopper and Pearson; (1 - C)^(1/n) without failures",
    )
    same_load_cycles: Number = term(
        "Test of each specimen at the load of the life", "t_1", "cycles", "L·(ln(R_n)/ln(R))^(1/β)"
    )
    shortening: Number = term(
        "By what the load shortens the test", "f_t", words="f^k; 1 at the load of the life"
    )
    test_cycles: Number = term("Test of each specimen", "t", "cycles", "t_1/f_t")


@dataclass(frozen=True, kw_only=True)
class ShownLife(Result):
    """What lives and run-outs show, where the shape is assumed; specimens stand on the last axis."""

    method: ClassVar[Method] = WEIBAYES
    cycles: Number = term("Life or run-out of each specimen", "t_i", "cycles")
    shape: Number = term("Weibull shape, assumed", "β")
    reliability: Number = term("Reliability", "R")
    confidence: Number = term("Confidence", "C")
    failures: Number = term("Failures", "r", words="specimens that failed")
    chi_square: Number = term("Chi-square", "Q", words="quantile C for 2r + 2 degrees of freedom")
    characteristic_life: Number = term(
        "Lower bound of the characteristic life", "η_C", "cycles", words="(2·Σ t_i^β/Q)^(1/β)"
    )
    life_cycles: Number = term("Lower bound of the life at R", "L_C", "cycles", "η_C·(-ln(R))^(1/β)")


def demonstration_plan(
    *,
    life_cycles: Number,
    reliability: Number,
    confidence: Number,
    specimens: Number,
    shape: Number,
    failures: Number = 0,
    load_factor: Number = 1.0,
    slope: Number = None,
) -> DemonstrationPlan:
    """Return how long each specimen has to run to show a reliability at a life.

    t = L (ln R_n/ln R)^(1/β)/f^k

    Parameters
    ----------
    life_cycles : float or array
        L, cycles.
    reliability, confidence : float or array
        R at that life, and C.
    specimens, failures : int or array
        n, and c that may fail.
    shape : float or array
        β, assumed; from tests of the same mode with failures enough.
    load_factor : float or array
        f, 1 or more.
    slope : float, array or None
        k of the curve on the same load: on torque half of that on contact stress. None without overload.

    Returns
    -------
    DemonstrationPlan
        Test of each specimen, with cautions of what rests on the shape and on the mode.

    Raises
    ------
    InputError
        A share outside its limits, no life, no specimen left sound, no shape, a load factor below 1, an
        overload without slope.

    Notes
    -----
    Source: common practice.
    Valid for: Weibull lives whose shape is the same at both loads; lives that shorten by the slope alone.
    Departures: none.
    Checked: DEMO-MULTIPLIERS, DEMO-OVERLOAD.

    Examples
    --------
    >>> plan = demonstration_plan(life_cycles=2e6, reliability=0.99, confidence=0.9, specimens=5, shape=3.0)
    >>> round(plan.counted, 3), f"{plan.test_cycles:.3g}"
    (0.631, '7.16e+06')
    """
    L, R, C, beta = array(life_cycles), array(reliability), array(confidence), array(shape)
    n, c, f, k = array(specimens), array(failures), array(load_factor), array(slope)
    faults = Faults()
    need_shares(faults, reliability=reliability, confidence=confidence)
    need_positive(faults, life_cycles=life_cycles, shape=shape)
    need_whole(faults, least=1, specimens=specimens)
    need_whole(faults, least=0, failures=failures)
    faults.need(not np.any(c >= n), "failures", failures, "fewer than the specimens")
    faults.need(not np.any(f < 1), "load_factor", load_factor, "1 or more")
    missing = slope is None and bool(np.any(f > 1))
    faults.need(not missing and not np.any(k <= 0), "slope", slope, "the slope of the curve, above 0")
    faults.check()
    counted = shown_reliability(specimens=n, failures=c, confidence=C)
    ratio = (np.log(counted) / np.log(R)) ** (1 / beta)
    shortening = np.where(f > 1, f**k, 1.0)
    return DemonstrationPlan(
        life_cycles=L,
        reliability=R,
        confidence=C,
        specimens=n,
        failures=c,
        shape=beta,
        load_factor=f,
        slope=slope,
        counted=counted,
        same_load_cycles=L * ratio,
        shortening=shortening,
        test_cycles=L * ratio / shortening,
        notices=_cautions(ratio, f, shortening),
    )


def shown_life(
    *, cycles: Number, failed: NDArray[np.bool_], shape: Number, reliability: Number, confidence: Number
) -> ShownLife:
    """Return the life that lives and run-outs show, where the Weibull shape is assumed.

    η_C = (2 Σ t_i^β/χ²_(C; 2r + 2))^(1/β), L_C = η_C (-ln R)^(1/β)

    Parameters
    ----------
    cycles : array
        t_i, specimens on the last axis, above 0.
    failed : array of bool
        Which of them failed; those that did not may have been taken out at any time.
    shape : float or array
        β, assumed.
    reliability, confidence : float or array
        R and C.

    Returns
    -------
    ShownLife
        Lower bounds of the characteristic life and of the life at R.

    Raises
    ------
    InputError
        A share outside its limits, cycles of 0 or less, or a shape of 0 or less.

    Notes
    -----
    Source: common practice; the sum of t_i^β is that of exponential lives.
    Valid for: one load, one mode, a shape that is known.
    Departures: two degrees of freedom more than of a test that ended at a failure.
    Checked: DEMO-SHOWN.

    Examples
    --------
    >>> found = shown_life(cycles=[3e6] * 5, failed=[False] * 5, shape=3.0, reliability=0.99, confidence=0.9)
    >>> f"{found.life_cycles:.3g}"
    '8.38e+05'
    """
    t, beta, R, C = array(cycles), array(shape), array(reliability), array(confidence)
    faults = Faults()
    need_shares(faults, reliability=reliability, confidence=confidence)
    faults.need(t.ndim > 0 and t.size > 0, "cycles", cycles, "a list, one entry a specimen")
    need_positive(faults, cycles=cycles, shape=shape)
    faults.check()
    r = np.broadcast_to(np.asarray(failed, dtype=np.bool_), t.shape).sum(axis=-1)
    longest = t.max(axis=-1)
    total = ((t / longest[..., None]) ** beta[..., None]).sum(axis=-1)
    chi = 2 * gammaincinv(r + 1, C)
    life = longest * (2 * total / chi) ** (1 / beta)
    return ShownLife(
        cycles=t,
        shape=beta,
        reliability=R,
        confidence=C,
        failures=r,
        chi_square=chi,
        characteristic_life=life,
        life_cycles=life * (-np.log(R)) ** (1 / beta),
    )


def _cautions(ratio: Array, load_factor: Array, shortening: Array) -> tuple[Notice, ...]:
    said = []
    if np.any(ratio > 1 + 1e-9):
        most = float(np.nanmax(ratio))
        said.append(
            (
                "longer",
                f"Up to {number_text(most, 3)} times the life is tested: a smaller shape would ask for more.",
            )
        )
    if np.any(ratio < 1 - 1e-9):
        least = float(np.nanmin(ratio))
        text = (
            f"Only {number_text(least, 3)} of the life is tested: what comes after it is the assumed "
            "shape, and a larger "
            "one would ask for more."
        )
        said.append(("shorter", text))
    if np.any(load_factor > 1):
        load, time = float(np.nanmax(load_factor)), float(np.nanmax(shortening))
        text = (
            f"A load up to {number_text(load)} times that of the life shortens the test by up to "
            f"{number_text(time, 3)}: that "
            "holds only while the mode stays the same. A failure by another mode, or yielding, says nothing "
            "of the life."
        )
        said.append(("overload", text))
    return tuple(Notice(Level.CAUTION, f"{WEIBAYES.key}.{key}", text) for key, text in said)
