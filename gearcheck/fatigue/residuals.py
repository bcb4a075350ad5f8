"""How each specimen lies about the curve that was fitted: what should hold of it, drawn and ranked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.families import quantile
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.ranks import plotting_positions

RESIDUALS = Method(
    key="fit_residuals",
    title="Specimens about their curve",
    source="Meeker and Escobar, Statistical Methods for Reliability Data",
    edition="1998",
    clause="censored residuals and their probability plot",
    status=Status.FROM_MEMORY,
    implements=("residuals of failures and run-outs, ranked with run-outs counted in",),
    leaves_out=("bands about the line of a probability plot",),
    departures=(
        "Where limit and life both scatter, a residual is the quantile of the share that should have failed.",
        "A life that is known to lie between two inspections counts at the later one.",
    ),
)

_LEAST = 1e-300


@dataclass(frozen=True, kw_only=True)
class FitResiduals(Result):
    """One entry for each specimen, in the order of the tests; of a run-out it is a lower bound."""

    method: ClassVar[Method] = RESIDUALS
    share: Number = term("Share that should have failed by its life", "F_i", words="by the curve")
    residual: Number = term("Residual", "r_i", words="quantile of F_i in the distribution of the fit")
    position: Number = term("Plotting position", "p_i", words="its median rank; NaN at run-outs")
    place: Number = term("Place on the paper", "z_i", words="quantile of p_i in the distribution of the fit")


def fit_residuals(*, fit: FatigueFit) -> FitResiduals:
    """Return how each specimen lies about its curve.

    r_i = Q(F(N_i; S_i)), p_i the median rank of r_i

    Parameters
    ----------
    fit : FatigueFit
        A curve with parameters.

    Returns
    -------
    FitResiduals
        In the order of the tests.

    Raises
    ------
    InputError
        A fit that stopped.

    Notes
    -----
    Source: Meeker and Escobar 1998, from memory.
    Valid for: looking at a fit; it is no test of it.
    Departures: see the method.
    Checked: FATIGUE-RESIDUALS.

    Examples
    --------
    >>> from gearcheck.fatigue.fit import fatigue_fit
    >>> from gearcheck.fatigue.inputs import Curve, FatigueData
    >>> tests = FatigueData(
    ...     stress_MPa=np.full(3, 900.0), cycles=np.array([2e5, 3e5, 6e5]), failed=np.full(3, True))
    >>> found = fit_residuals(fit=fatigue_fit(data=tests, curve=Curve.ONE_LEVEL))
    >>> print(found.residual.round(2), found.position.round(2))
    [-1.11 -0.21  1.32] [0.21 0.5  0.79]
    """
    faults = Faults()
    faults.need(bool(np.isfinite(fit.parameters).all()), "fit", "no parameters", "a fit that did not stop")
    faults.check()
    data = fit.data
    share = fit.failed_share(stress_MPa=data.stress_MPa, cycles=data.cycles)
    residual = quantile(np.clip(share, _LEAST, 1.0 - 1e-16), fit.distribution)
    position = plotting_positions(cycles=np.exp(residual), failed=data.failed)
    return FitResiduals(
        share=share, residual=residual, position=position, place=quantile(position, fit.distribution)
    )
