"""Every form of curve that the tests can carry, side by side; none is chosen here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.fit import FatigueFit, fatigue_fit
from gearcheck.fatigue.footing import level_count
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.model import LONG_SLOPE

COMPARED = Method(
    key="compared_fits",
    title="Forms of curve side by side",
    source="Burnham and Anderson, Model Selection and Multimodel Inference",
    edition="2002",
    clause="differences of the information criterion of Akaike",
    status=Status.FROM_MEMORY,
    implements=(
        "the same failures and run-outs by every form, lives in cycles, so that the criteria compare",
    ),
    leaves_out=("the correction of the criterion for few specimens", "a mean over the forms"),
    departures=("Which form governs is agreed with a reason; the criterion alone does not decide.",),
)

HARDLY = 6.0
"""So far above the least AIC the specimens hardly speak for a form: common practice."""
_ALIKE = 2.0  # forms whose criteria differ by less are not told apart
_WEIBULL = (Curve.ONE_LEVEL, Curve.STRAIGHT, Curve.CURVED, Curve.SPREADING, Curve.FIXED_LIMIT)


@dataclass(frozen=True, kw_only=True)
class ComparedFits(Result):
    """The forms with their criteria, in the same order; NaN where a form has no footing or no summit."""

    method: ClassVar[Method] = COMPARED
    fits: tuple[FatigueFit, ...]
    akaike: Number = term("Information criterion of each form", "AIC", words="of its fit", digits=5)
    above_best: Number = term(
        "Its difference to the least", "Δ_AIC", words="AIC less the least of those with a summit"
    )
    strength_MPa: Number = term(
        "Strength of each form", "S_P", "MPa", words="stress at which the share asked for fails by N"
    )
    cycles: Number = term("Cycles at which strengths are compared", "N")
    share: Number = term("Share that has failed", "P")


def compared_fits(
    *,
    data: FatigueData,
    cycles: float,
    failed_share: float = 0.01,
    knee_cycles: float | None = None,
    long_slope: float = LONG_SLOPE,
) -> ComparedFits:
    """Return every form of curve that the tests can carry, fitted to them.

    AIC = 2 p - 2 ln L, Δ = AIC - min AIC

    Parameters
    ----------
    data : FatigueData
        Tests of one kind.
    cycles, failed_share : float
        N and P at which their strengths are compared, such as the run-out life and 1 %.
    knee_cycles, long_slope : float
        Of two slopes, as in `fatigue_fit`.

    Returns
    -------
    ComparedFits
        A note where the best forms are not told apart, with what their strengths differ by.

    Raises
    ------
    InputError
        As of `fatigue_fit`.

    Notes
    -----
    Source: Burnham and Anderson 2002, from memory.
    Valid for: forms fitted to the same specimens.
    Departures: see the method.
    Checked: FATIGUE-COMPARED.

    Examples
    --------
    >>> import numpy as np
    >>> from gearcheck.fatigue.inputs import FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.array([900.0, 900, 800, 800, 700, 700]), failed=np.array([1, 1, 1, 1, 0, 1], bool),
    ...     cycles=np.array([2e5, 3e5, 7e5, 9e5, 3e6, 2e6]))
    >>> found = compared_fits(data=tests, cycles=1e6)
    >>> [str(fit.curve) for fit in found.fits if fit.converged][:1]
    ['straight line']
    """
    one_level = level_count(data.stress_MPa) == 1
    asked = [
        (curve, distribution)
        for curve in Curve
        for distribution in Distribution
        if (curve is Curve.ONE_LEVEL) == one_level
        and (distribution is Distribution.LOGNORMAL or curve in _WEIBULL)
    ]
    fits = tuple(
        fatigue_fit(data=data, curve=curve, distribution=of, knee_cycles=knee_cycles, long_slope=long_slope)
        for curve, of in asked
    )
    usable = np.array([fit.converged for fit in fits])
    akaike = np.array([np.nan if fit.akaike is None else float(array(fit.akaike)) for fit in fits])
    akaike = np.where(usable, akaike, np.nan)
    strength = np.array(
        [
            float(fit.strength_MPa(cycles=cycles, failed_share=failed_share)) if fit.converged else np.nan
            for fit in fits
        ]
    )
    above = akaike - (np.nanmin(akaike) if usable.any() else np.nan)
    return ComparedFits(
        fits=fits,
        akaike=akaike,
        above_best=above,
        strength_MPa=strength,
        cycles=cycles,
        share=failed_share,
        notices=_alike(above, strength, cycles, failed_share),
    )


def _alike(above: np.ndarray, strength: np.ndarray, cycles: float, share: float) -> tuple[Notice, ...]:
    near = (above < _ALIKE) & np.isfinite(strength)
    if near.sum() < 2:
        return ()
    low, high = strength[near].min(), strength[near].max()
    text = (
        f"{int(near.sum())} forms of curve fit these tests about as well, within {number_text(_ALIKE)} of "
        f"the least AIC; at {number_text(cycles, 3)} cycles and {number_text(100 * share, 3)} % failed they "
        f"say {number_text(low, 3)} to {number_text(high, 3)} MPa."
    )
    return (Notice(Level.NOTE, f"{COMPARED.key}.alike", text),)
