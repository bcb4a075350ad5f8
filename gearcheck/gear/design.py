"""The design trace: what the drawing takes off a profile or a helix, at every place along it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.inputs import ReliefForm

DESIGN = Method(
    key="iso21771.design_trace",
    title="Design trace",
    source="ISO 21771",
    edition="2007",
    clause="flank modifications",
    status=Status.FROM_MEMORY,
    implements=("relief at both ends, in a straight line or a parabola, crowning, slope",),
    leaves_out=("modifications that vary over the face: bias, topography",),
    departures=("Beyond its ends each part goes on as it came; nothing is evaluated there.",),
)


@dataclass(frozen=True, kw_only=True)
class DesignTrace(Result):
    """A design trace with its parts; places on the last axis."""

    method: ClassVar[Method] = DESIGN
    place_mm: Number = term("Place along the trace", "x", "mm")
    from_mm: Number = term("Start of the modified length", "x_0", "mm")
    to_mm: Number = term("End of the modified length", "x_e", "mm")
    relief_um: Number = term("Relief at both ends", "C_ae", "µm", words="amount·share^1 or ^2, taken off")
    crowning_um: Number = term(
        "Crowning", "C_c", "µm", words="height·(distance from the middle / half)², off"
    )
    slope_um: Number = term("Slope", "C_H", "µm", words="amount·share of the length")
    design_um: Number = term("Design trace", "y_d", "µm", "C_H - C_ae - C_c")


def design_trace(
    *,
    place_mm: Number,
    from_mm: Number,
    to_mm: Number,
    low_relief_um: Number = 0.0,
    low_relief_end_mm: Number = None,
    high_relief_um: Number = 0.0,
    high_relief_start_mm: Number = None,
    relief_form: ReliefForm = ReliefForm.LINEAR,
    crowning_um: Number = 0.0,
    slope_um: Number = 0.0,
) -> DesignTrace:
    """Return the design trace of a profile or a helix.

    y_d = C_H (x - x_0)/(x_e - x_0) - C_c (2 (x - x_m)/(x_e - x_0))² - C_a s^n, with s from 0 at the start of
    a relief to 1 at its end of the trace, and n = 1 or 2

    Parameters
    ----------
    place_mm : array
        Places x along the trace in mm, shape (..., places).
    from_mm, to_mm : float or array
        Ends x_0, x_e of the modified length in mm: control and tip, or both faces; shape (...).
    low_relief_um, high_relief_um : float or array
        Relief at the low end (root, first face) and at the high end (tip, other face) in µm, shape (...).
    low_relief_end_mm, high_relief_start_mm : float or array
        Where the low relief ends and the high one starts, mm, shape (...); needed where the amount is not 0.
    relief_form : ReliefForm
        Linear (n = 1) or parabolic (n = 2).
    crowning_um : float or array
        Height of the crowning parabola in µm, shape (...).
    slope_um : float or array
        Rise from x_0 to x_e in µm, shape (...).

    Returns
    -------
    DesignTrace
        In µm, negative where material is taken off, shape (..., places).

    Raises
    ------
    InputError
        A relief without the place where it starts, or one that starts outside the length.

    Notes
    -----
    Source: ISO 21771:2007, flank modifications, from memory.
    Valid for: modifications that are the same all over the other direction of the flank.
    Departures: beyond its ends each part goes on as it came.
    Checked: DESIGN-PARTS.

    Examples
    --------
    >>> found = design_trace(place_mm=[5.0, 15.0, 20.0], from_mm=5, to_mm=20, high_relief_um=30,
    ...     high_relief_start_mm=10)
    >>> found.design_um.tolist()
    [0.0, -15.0, -30.0]
    """
    place = array(place_mm)
    low, high, start, end, crown, slope = (
        array(one)[..., None]
        for one in (low_relief_um, high_relief_um, from_mm, to_mm, crowning_um, slope_um)
    )
    below = _place_of("low_relief_end_mm", low, low_relief_end_mm, start, end)
    above = _place_of("high_relief_start_mm", high, high_relief_start_mm, start, end)
    power = 1 if relief_form is ReliefForm.LINEAR else 2
    with np.errstate(divide="ignore", invalid="ignore"):
        to_low = np.where(low != 0, np.maximum(below - place, 0) / (below - start), 0.0)
        to_high = np.where(high != 0, np.maximum(place - above, 0) / (end - above), 0.0)
    share = (place - start) / (end - start)
    relief, crowned, sloped = (
        low * to_low**power + high * to_high**power,
        crown * (2 * share - 1) ** 2,
        slope * share,
    )
    return DesignTrace(
        place_mm=place,
        from_mm=from_mm,
        to_mm=to_mm,
        relief_um=relief,
        crowning_um=crowned,
        slope_um=sloped,
        design_um=sloped - relief - crowned,
    )


def _place_of(name: str, amount: Array, given: Number, start: Array, end: Array) -> Array:
    at = array(given)[..., None]
    faults = Faults()
    wanted = np.asarray(amount != 0)
    needed = "the place where the relief starts, inside the modified length"
    outside = wanted & ~((at >= start) & (at <= end) & (at != (start if name.startswith("low") else end)))
    faults.need(not outside.any(), name, given, needed)
    faults.check()
    return at
