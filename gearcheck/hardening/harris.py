"""Harris's total case depth: a plausibility check that stands beside the diffusion."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

HARRIS = Method(
    key="harris.total_depth",
    title="Total case depth of a saturated surface",
    source="Harris, Metal Progress",
    edition="1943",
    clause="depth over the square root of time",
    status=Status.FROM_MEMORY,
    valid=(Range("temperature_C", "T_C", 760, 1010, "°C"),),
    implements=("a surface that is saturated from the first minute to the last, at one temperature",),
    leaves_out=("transfer from the gas, a diffuse step, the steel, the carbon of the core, curvature",),
    departures=("Two forms go under the name, 4 % apart; both are given, neither decides anything.",),
)


@dataclass(frozen=True, kw_only=True)
class HarrisDepth(Result):
    """Total case depth by the two forms that go under the name."""

    method: ClassVar[Method] = HARRIS
    hours: Number = term("Time at temperature", "t", "h")
    temperature_C: Number = term("Temperature", "T_C", "°C")
    temperature_R: Number = term("Absolute temperature, Rankine", "T_R", "°R", "1.8·T_C+32+460")
    inch_form_mm: Number = term(
        "Total case depth, form in inches", "d_1", "mm", "25.4·31.6·√(t)/10^(6700/T_R)"
    )
    metric_form_mm: Number = term(
        "Total case depth, metric form", "d_2", "mm", "660·exp(-8287/(T_C+273.15))·√(t)"
    )


def harris_depth(*, hours: Number, temperature_C: Number) -> HarrisDepth:
    """Return Harris's total case depth, for plausibility only.

    d_1 = 25.4 · 31.6 √t/10^(6700/(°F + 460)), d_2 = 660 exp(-8287/K) √t

    Parameters
    ----------
    hours : float or array
        t at temperature, h.
    temperature_C : float or array
        T_C, °C.

    Returns
    -------
    HarrisDepth
        Total depth in mm by both forms: where the carbon is about 0.07 % above the core.

    Raises
    ------
    InputError
        A time below 0 h.

    Notes
    -----
    Source: Harris; constants from memory, the form in inches agrees with the printed table.
    Valid for: 760 to 1010 °C, a saturated surface; a caution outside. Within 10 % of the diffusion.
    Departures: 460 and not 459.67 between Fahrenheit and Rankine, as printed.
    Checked: CARB-01, CARB-02, CARB-03, CARB-04-HARRIS.

    Examples
    --------
    >>> found = harris_depth(hours=8, temperature_C=925)
    >>> round(found.inch_form_mm, 3), round(found.metric_form_mm, 3)
    (1.778, 1.851)
    """
    t, T_C = array(hours), array(temperature_C)
    faults = Faults()
    faults.need(bool((t >= 0).all()), "hours", hours, "a time of 0 h or more")
    faults.check()
    value, T_R = table("harris_depth").value, 1.8 * T_C + 32 + 460
    inch = 25.4 * value("inch factor") * np.sqrt(t) / 10 ** (value("inch energy") / T_R)
    metric = value("metric factor") * np.exp(-value("metric energy") / (T_C + 273.15)) * np.sqrt(t)
    return HarrisDepth(
        hours=t,
        temperature_C=T_C,
        temperature_R=T_R,
        inch_form_mm=inch,
        metric_form_mm=metric,
        notices=HARRIS.outside(temperature_C=T_C),
    )
