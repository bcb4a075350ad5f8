"""The band of a straight line of lives, and the line that a share of specimens outlives with confidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import fdtri, ndtri
from scipy.stats import nct

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import need_positive, need_shares
from gearcheck.fatigue.straight_line import STRAIGHT_LINE, LoadScale, StraightLine

OWEN_LINE = Method(
    key="owen_line",
    title="Design line of a straight line of lives",
    source="Owen, survey of the non-central t distribution, Technometrics 10",
    edition="1968",
    clause="one-sided tolerance limit of a regression line",
    status=Status.FROM_MEMORY,
    implements=("exact one-sided tolerance limit at each load",),
    departures=("The confidence holds at each load for itself, not for all loads at once.",),
)


@dataclass(frozen=True, kw_only=True)
class LineBand(Result):
    """The median line with the band in which all of it lies."""

    method: ClassVar[Method] = STRAIGHT_LINE
    load: Number = term("Load", "L")
    scaled_load: Number = term("Load on the scale of the line", "X", words="log10 of L, or L")
    specimens: Number = term("Specimens", "n")
    intercept: Number = term("Intercept", "A")
    slope: Number = term("Slope", "B")
    deviation: Number = term("Standard deviation of log10 life", "s")
    mean_load: Number = term("Mean of the load's scale", "X_m")
    load_squares: Number = term("Squares of the load about its mean", "S_xx", digits=6)
    leverage: Number = term("Leverage", "h", "", "1/n + (X - X_m)²/S_xx")
    quantile: Number = term("Quantile of F", "F_p", words="quantile C of F with 2 and n - 2")
    log_life: Number = term("Median of log10 life", "Y", "", "A + B·X")
    low_log_life: Number = term("Lower edge of the band", "Y_u", "", "Y - s·√(2·F_p·h)")
    high_log_life: Number = term("Upper edge of the band", "Y_o", "", "Y + s·√(2·F_p·h)")


@dataclass(frozen=True, kw_only=True)
class OwenLine(Result):
    """The life that a share of all specimens outlives, with confidence."""

    method: ClassVar[Method] = OWEN_LINE
    load: Number = term("Load", "L")
    scaled_load: Number = term("Load on the scale of the line", "X", words="log10 of L, or L")
    reliability: Number = term("Share of all specimens that outlives it", "R")
    confidence: Number = term("Confidence", "C")
    specimens: Number = term("Specimens", "n")
    intercept: Number = term("Intercept", "A")
    slope: Number = term("Slope", "B")
    deviation: Number = term("Standard deviation of log10 life", "s")
    mean_load: Number = term("Mean of the load's scale", "X_m")
    load_squares: Number = term("Squares of the load about its mean", "S_xx", digits=6)
    leverage: Number = term("Leverage", "h", "", "1/n + (X - X_m)²/S_xx")
    factor: Number = term(
        "Tolerance factor", "k", words="√h times quantile C of the non-central t, n - 2, z_R/√h", digits=5
    )
    log_life: Number = term("log10 of the design life", "Y_R", "", "A + B·X - k·s")
    cycles: Number = term("Design life", "N_R", "", "10^Y_R")


def line_band(*, line: StraightLine, load: Number) -> LineBand:
    """Return the median line with the band that holds all of it at the confidence of the line.

    Y ± s √(2 F_C(2, n - 2) h), h = 1/n + (X - X_m)²/S_xx

    Parameters
    ----------
    line : StraightLine
        Of `straight_line`.
    load : float or array
        Stress or strain amplitude, as the line has it.

    Returns
    -------
    LineBand
        A caution beyond the loads tested.

    Raises
    ------
    InputError
        A load not above 0.

    Notes
    -----
    Source: ASTM E739, from memory: band of Scheffé, Working and Hotelling.
    Valid for: the median alone: it says nothing of where single specimens lie, and is no design line.
    Departures: none.
    Checked: E739-04.

    Examples
    --------
    >>> from gearcheck.fatigue.straight_line import straight_line
    >>> line = straight_line(load=[500, 500, 600, 600, 700, 700], confidence=0.95,
    ...     cycles=[9e5, 6e5, 2e5, 3e5, 8e4, 6e4], scale=LoadScale.LOGARITHM)
    >>> band = line_band(line=line, load=600)
    >>> [round(10**y, -4) for y in (band.low_log_life, band.log_life, band.high_log_life)]
    [150000.0, 220000.0, 320000.0]
    """
    shared = _shared(line, load)
    n = array(line.specimens)
    F = fdtri(2, np.where(n > 2, n - 2, np.nan), array(line.confidence))
    Y = array(line.intercept) + array(line.slope) * shared["scaled_load"]
    half = array(line.deviation) * np.sqrt(2 * F * shared["leverage"])
    return LineBand(
        **shared,
        quantile=F,
        log_life=Y,
        low_log_life=Y - half,
        high_log_life=Y + half,
        notices=_notices(line, load),
    )


def owen_line(*, line: StraightLine, load: Number, reliability: Number, confidence: Number) -> OwenLine:
    """Return the life that a share of all specimens outlives at a load, with confidence.

    lg N_R = A + B X - k s, k = √h t'_C(n - 2, z_R/√h), t' the quantile of the non-central t distribution

    Parameters
    ----------
    line : StraightLine
        Of `straight_line`.
    load : float or array
        Stress or strain amplitude, as the line has it.
    reliability : float or array
        R.
    confidence : float or array
        C.

    Returns
    -------
    OwenLine
        A caution beyond the loads tested.

    Raises
    ------
    InputError
        A load not above 0, a share not between 0 and 1.

    Notes
    -----
    Source: Owen 1968, from memory; ISO 12107 goes the same way with approximate factors.
    Valid for: straight lines, lognormal lives with one deviation, no run-outs.
    Departures: see the method.
    Checked: E739-06.

    Examples
    --------
    >>> from gearcheck.fatigue.straight_line import straight_line
    >>> line = straight_line(load=[500, 500, 600, 600, 700, 700], confidence=0.95,
    ...     cycles=[9e5, 6e5, 2e5, 3e5, 8e4, 6e4], scale=LoadScale.LOGARITHM)
    >>> round(owen_line(line=line, load=600, reliability=0.99, confidence=0.9).cycles, -3)
    68000.0
    """
    faults = Faults()
    need_shares(faults, reliability=reliability, confidence=confidence)
    faults.check()
    shared = _shared(line, load)
    R, C, n = array(reliability), array(confidence), array(line.specimens)
    root = np.sqrt(shared["leverage"])
    k = root * nct.ppf(C, np.where(n > 2, n - 2, np.nan), ndtri(R) / root)
    Y = array(line.intercept) + array(line.slope) * shared["scaled_load"] - k * array(line.deviation)
    return OwenLine(
        **shared,
        reliability=R,
        confidence=C,
        factor=k,
        log_life=Y,
        cycles=10**Y,
        notices=_notices(line, load),
    )


def _shared(line: StraightLine, load: Number) -> dict[str, Array]:
    """What both need of the line, and the leverage of the load."""
    given = array(load)
    faults = Faults()
    need_positive(faults, load=load)
    faults.check()
    X = np.log10(given) if line.scale is LoadScale.LOGARITHM else given
    n, mean, squares = array(line.specimens), array(line.mean_load), array(line.load_squares)
    return {
        "load": given,
        "scaled_load": X,
        "specimens": n,
        "intercept": array(line.intercept),
        "slope": array(line.slope),
        "deviation": array(line.deviation),
        "mean_load": mean,
        "load_squares": squares,
        "leverage": 1 / n + (X - mean) ** 2 / squares,
    }


def _notices(line: StraightLine, load: Number) -> tuple[Notice, ...]:
    """The notices of the line go with all that rests on it."""
    given = array(load)
    low, high = float(array(line.low_load)), float(array(line.high_load))
    away = given[(given < low) | (given > high)]
    if not away.size:
        return line.notices
    text = (
        f"{number_text(away.flat[0])} lies outside the loads tested, {number_text(low)} to "
        f"{number_text(high)}: this is extrapolation."
    )
    return (*line.notices, Notice(Level.CAUTION, f"{OWEN_LINE.key}.extrapolated", text))
