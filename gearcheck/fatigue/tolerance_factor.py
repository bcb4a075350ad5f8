"""How many standard deviations below the mean of a sample a share of all specimens lies, with confidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from scipy.special import ndtri
from scipy.stats import nct

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.needs import need_shares, need_whole

TOLERANCE = Method(
    key="tolerance_factor",
    title="One-sided tolerance factor of a normal sample",
    source="Owen, survey of the non-central t distribution, Technometrics 10",
    edition="1968",
    clause="factor k of one-sided tolerance limits",
    status=Status.FROM_MEMORY,
    implements=(
        "exact factor by the non-central t distribution",
        "closed form of the NIST handbook beside it",
    ),
    departures=(
        "The closed form is shown for comparison: at few specimens and high reliability it is far off.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class ToleranceFactor(Result):
    """The factor and what leads to it."""

    method: ClassVar[Method] = TOLERANCE
    specimens: Number = term("Specimens", "n")
    reliability: Number = term("Share of all specimens that lies above", "R")
    confidence: Number = term("Confidence", "C")
    reliability_quantile: Number = term(
        "Normal quantile of the reliability", "z_R", words="standard normal quantile of R"
    )
    confidence_quantile: Number = term(
        "Normal quantile of the confidence", "z_C", words="standard normal quantile of C"
    )
    factor: Number = term(
        "Tolerance factor", "k", words="quantile C of the non-central t, n - 1, z_R·√n, over √n", digits=5
    )
    spread_share: Number = term("Share of the scatter in the closed form", "a", "", "1 - z_C²/(2·(n - 1))")
    mean_share: Number = term("Share of the mean in the closed form", "b", "", "z_R² - z_C²/n")
    closed_form: Number = term("Factor by the closed form", "k_N", "", "(z_R + √(z_R² - a·b))/a", digits=5)


def tolerance_factor(*, specimens: Number, reliability: Number, confidence: Number) -> ToleranceFactor:
    """Return the factor k of the tolerance limit mean - k·s of a normal sample.

    k = t'_C(n - 1, z_R √n)/√n, t' the quantile of the non-central t distribution

    Parameters
    ----------
    specimens : int or array
        n, of which mean and standard deviation (divisor n - 1) were taken.
    reliability : float or array
        R, the share of all specimens that has to lie above the limit.
    confidence : float or array
        C, how often such a limit holds.

    Returns
    -------
    ToleranceFactor
        Exact, with the closed form beside it; a stop where one specimen shows no scatter.

    Raises
    ------
    InputError
        A share not between 0 and 1, less than one specimen.

    Notes
    -----
    Source: Owen 1968; NIST/SEMATECH e-Handbook 7.2.6.3 for the closed form; from memory.
    Valid for: one normal sample without run-outs (of ln cycles or ln stress, where these are normal).
    Departures: none.
    Checked: TOL-01, TOL-01-TABLES, TOL-02.

    Examples
    --------
    >>> found = tolerance_factor(specimens=10, reliability=0.99, confidence=0.95)
    >>> round(found.factor, 3), round(found.closed_form, 3)
    (3.981, 3.94)
    """
    faults = Faults()
    need_whole(faults, least=1, specimens=specimens)
    need_shares(faults, reliability=reliability, confidence=confidence)
    faults.check()
    n, R, C = array(specimens), array(reliability), array(confidence)
    z_R, z_C = array(ndtri(R)), array(ndtri(C))
    with np.errstate(divide="ignore", invalid="ignore"):
        spread = 1 - z_C**2 / (2 * (n - 1))
        mean = z_R**2 - z_C**2 / n
        closed = (z_R + np.sqrt(z_R**2 - spread * mean)) / spread
    return ToleranceFactor(
        specimens=n,
        reliability=R,
        confidence=C,
        reliability_quantile=z_R,
        confidence_quantile=z_C,
        factor=_exact(n, z_R, C),
        spread_share=np.where(n > 1, spread, np.nan),
        mean_share=mean,
        closed_form=np.where((n > 1) & (spread > 0), closed, np.nan),
        notices=_no_scatter(n),
    )


def _exact(specimens: Array, reliability_quantile: Array, confidence: Array) -> Array:
    """Return k alone; NaN for one specimen."""
    root = np.sqrt(specimens)
    many = np.where(specimens > 1, specimens - 1, np.nan)
    return array(nct.ppf(confidence, many, reliability_quantile * root) / root)


def _no_scatter(specimens: Array) -> tuple[Notice, ...]:
    """Return the stop that one specimen brings."""
    if not np.any(specimens < 2):
        return ()
    text = "One specimen shows no scatter: only its own value can be told. It takes two, and more are needed."
    return (Notice(Level.STOP, f"{TOLERANCE.key}.one_specimen", text),)
