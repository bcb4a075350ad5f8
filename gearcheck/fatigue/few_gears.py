"""Teeth of few gears: what teeth of one gear share is seen from the gears alone, however many teeth ran."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term

MEASURED = 0.3
"""Down to this share within a gear it was measured how often a bound comes back."""

FEW_GEARS = Method(
    key="few_gears",
    title="Teeth of few gears",
    source="one-way layout with a normal effect of each gear",
    edition="",
    clause="variance of mean and scatter of all specimens, less that of specimens that share nothing",
    status=Status.COMMON_PRACTICE,
    implements=(
        "mean: (1 - w)/G + w/n instead of 1/n",
        "scatter: mean squares between and within gears, of G - 1 and n - G degrees of freedom",
    ),
    leaves_out=("how well the share within a gear is known",),
    departures=(
        "Gears with different numbers of specimens count as so many with the same: G = n²/Σn_i².",
        "For as few degrees of freedom the variance counts (G + 1)/(G - 1) times: with it a bound of 90 % of "
        "single teeth from three to ten gears comes back in 0.88 to 0.94 of simulated series for w from 0.3; "
        "at w = 0 in about 0.8 only.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class FewGears(Result):
    """By how much less is known of a strength because specimens are teeth of the same gears."""

    method: ClassVar[Method] = FEW_GEARS
    specimens: Number = term("Specimens", "n")
    gears: Number = term(
        "Gears, as if all had as many specimens", "G", words="n²/Σn_i², n_i specimens of each"
    )
    within_share: Number = term("Share of the variance between the teeth of one gear", "w")
    fitted_deviation: Number = term("Scatter of the logarithm of the strength, as fitted", "s")
    quantile: Number = term("Strength that is asked for, in scatters from the median", "u")
    deviation: Number = term(
        "Scatter without the bias of few gears", "s_1", "", "s/√(w + (1 - w)·(n - n/G)/(n - 1))"
    )
    of_mean: Number = term(
        "Variance of the mean beside that of single teeth", "v_m", "", "(1 - w)·(1/G - 1/n)"
    )
    of_scatter: Number = term(
        "Twice the variance of the scatter beside it",
        "v_s",
        "",
        "max(0, (1 - w + w·G/n)²/(G - 1) + (w·(1 - G/n))²/(n - G) - 1/(n - 1))",
    )
    log_shift: Number = term("Shift of the logarithm of the strength", "Δ_G", "", "u·(s_1 - s)")
    log_deviation: Number = term(
        "Standard deviation of it that comes on top", "s_G", "", "s_1·√((G + 1)/(G - 1)·(v_m + u²·v_s/2))"
    )


def few_gears(
    *, specimens_of_gear: Number, within_share: Number, log_deviation: Number, quantile: Number
) -> FewGears:
    """Return by how much less is known of a strength because specimens are teeth of the same gears.

    s_G² = s_1² (G + 1)/(G - 1) (v_m + u² v_s/2), Δ_G = u (s_1 - s)

    Parameters
    ----------
    specimens_of_gear : array
        n_i, gears on the last axis.
    within_share : float or array
        w, share of the variance between teeth of one gear.
    log_deviation : float or array
        s of the logarithm of the strength, fitted as if teeth shared nothing.
    quantile : float or array
        u, normal quantile of the share of specimens that may fail.

    Returns
    -------
    FewGears
        Nothing on top where each gear gave one specimen, or teeth share nothing; a stop where all are of one
        gear.

    Raises
    ------
    InputError
        A gear without a specimen, a share outside 0 to 1, or a scatter below 0.

    Notes
    -----
    Source: one-way layout; common practice.
    Valid for: strengths whose logarithm is normal, of teeth as of gears.
    Departures: see the method.
    Checked: FEW-GEARS, FEW-GEARS-NONE.

    Examples
    --------
    >>> found = few_gears(specimens_of_gear=[8] * 5, within_share=0.7, log_deviation=0.06, quantile=-3)
    >>> round(found.log_deviation, 4), round(found.log_shift, 4)
    (0.0297, -0.0051)
    """
    of, w, s, u = (array(given) for given in (specimens_of_gear, within_share, log_deviation, quantile))
    faults = Faults()
    faults.need(bool(of.size) and not np.any(~(of >= 1)), "specimens_of_gear", of, "1 or more of each gear")
    faults.need(not np.any(~((w >= 0) & (w <= 1))), "within_share", w, "a share from 0 to 1")
    faults.need(not np.any(~(s >= 0)), "log_deviation", s, "0 or more")
    faults.check()
    n = of.sum(axis=-1)
    G = n**2 / (of**2).sum(axis=-1)
    shared = (w < 1) & (n > G)
    one = shared & (G <= 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        s_1 = np.where(one, np.nan, s / np.sqrt(np.where(shared, w + (1 - w) * (n - n / G) / (n - 1), 1.0)))
        v_m = np.where(shared, (1 - w) * (1 / G - 1 / n), 0.0)
        between, within = (1 - w + w * G / n) ** 2 / (G - 1), (w * (1 - G / n)) ** 2 / (n - G)
        v_s = np.where(shared, np.maximum(between + within - 1 / (n - 1), 0.0), 0.0)
        s_G = s_1 * np.where(shared, np.sqrt((G + 1) / (G - 1) * (v_m + u**2 * v_s / 2)), 0.0)
    return FewGears(
        specimens=n,
        gears=G,
        within_share=w,
        fitted_deviation=s,
        quantile=u,
        deviation=s_1,
        of_mean=v_m,
        of_scatter=np.where(one, np.nan, v_s),
        log_shift=u * (s_1 - s),
        log_deviation=s_G,
        notices=_notices(bool(np.any(one)), bool(np.any(shared & (w < MEASURED)))),
    )


def _notices(one: bool, little: bool) -> tuple[Notice, ...]:
    if one:
        text = "All specimens are teeth of one gear: how gears differ is not seen, and nothing is supported."
        return (Notice(Level.STOP, f"{FEW_GEARS.key}.one", text),)
    if not little:
        return ()
    text = (
        f"Less than {100 * MEASURED:.0f} % of the variance is said to lie within a gear: a bound then rests "
        "on the gears alone, and holds less often than its confidence says."
    )
    return (Notice(Level.CAUTION, f"{FEW_GEARS.key}.alike", text),)
