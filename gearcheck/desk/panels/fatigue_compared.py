"""Every form of curve that the tests can carry, worked out beside the page once for each set of specimens."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.desk.guard import Say
from gearcheck.desk.panels.fatigue_later import FatigueLater, Job
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.fatigue.compared import ComparedFits, compared_fits
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Curve
from gearcheck.review.fatigue import FatigueLife
from gearcheck.review.part_service import long_slope

SHARES = (0.5, 0.01)
"""What has failed where strengths are compared: half, and one in a hundred."""
_POINTS = 30


@dataclass(frozen=True, kw_only=True)
class Form:
    """One form: strengths at the run-out life by `SHARES`, its median, a life at the duty."""

    fit: FatigueFit
    above_best: float
    strength_MPa: tuple[float, ...]
    cycles: Array
    median_MPa: Array
    life_cycles: float


@dataclass(frozen=True, kw_only=True)
class Compared:
    """All forms, with the stress at which their lives are compared."""

    found: ComparedFits
    forms: tuple[Form, ...]
    stress_MPa: float | None


def fatigue_compared(view: FatigueView, say: Say) -> FatigueLater:
    """Return the forms of the tests that are shown, worked out beside the page.

    Parameters
    ----------
    view : FatigueView
        Which tests are shown.
    say : Say
        Where trouble is told.

    Returns
    -------
    FatigueLater
        What it finds is `Compared`.
    """

    def job() -> Job | None:
        life = view.life
        if life is None or life.fit is None or life.fit.stops:
            return None
        last, stress = float(view.cycles[-1]), _stress(view)
        return (id(life.fit), stress, last), partial(_compared, life, stress, last)

    return FatigueLater(view, say, job)


def _stress(view: FatigueView) -> float | None:
    """The largest stress of the duty, brought to the specimens; None where it lies outside the tests."""
    service, life = view.service, view.life
    if service is None or life is None or life.fit is None:
        return None
    tested = life.fit.data.stress_MPa
    stress = float(array(service.stress_MPa).max() / np.exp(service.log_factor))
    return stress if tested.min() <= stress <= tested.max() else None


def _compared(life: FatigueLife, stress: float | None, last: float) -> Compared:
    assert life.fit is not None
    data, run_out = life.fit.data, life.tests.run_out_cycles
    found = compared_fits(
        data=data, cycles=run_out, failed_share=SHARES[-1], long_slope=long_slope(life.tests.place)
    )
    low = max(float(data.cycles.min()), 1.0)
    cycles = np.union1d(np.geomspace(low, last, _POINTS), run_out)
    above = array(found.above_best)
    forms = [_form(fit, above[place], cycles, run_out, stress) for place, fit in enumerate(found.fits)]
    return Compared(found=found, forms=tuple(forms), stress_MPa=stress)


def _form(fit: FatigueFit, above: float, cycles: Array, run_out: float, stress: float | None) -> Form:
    none = np.full(cycles.size, np.nan)
    usable = fit.converged and not fit.stops
    if not usable or fit.curve is Curve.ONE_LEVEL:
        return Form(
            fit=fit,
            above_best=float(above),
            strength_MPa=(np.nan,) * len(SHARES),
            cycles=cycles,
            median_MPa=none,
            life_cycles=np.nan,
        )
    strength = fit.strength_MPa(cycles=run_out, failed_share=np.array(SHARES))
    life = fit.life_cycles(stress_MPa=stress, failed_share=SHARES[-1]) if stress is not None else np.nan
    return Form(
        fit=fit,
        above_best=float(above),
        strength_MPa=tuple(float(one) for one in strength),
        cycles=cycles,
        median_MPa=fit.strength_MPa(cycles=cycles, failed_share=0.5),
        life_cycles=float(life),
    )
