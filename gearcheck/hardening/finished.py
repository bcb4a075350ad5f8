"""Case depth before and after grinding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

FINISHED = Method(
    key="case.finished_window",
    title="Case left after grinding",
    source="arithmetic of the drawing",
    edition="",
    clause="case depth at 550 HV on the flank, stock normal to the flank",
    status=Status.COMMON_PRACTICE,
    implements=("the worse end of each window",),
    leaves_out=(
        "the distribution of the stock over the flanks of one gear",
        "tempering of the flank by the grind",
    ),
)


DIGITS = 9
"""Decimals of a depth in mm: 1.90 - 0.30 meets 1.60, though the binary difference lies just below it."""


@dataclass(frozen=True, kw_only=True)
class FinishedCase(Result):
    """What the window as treated leaves on one finished flank."""

    method: ClassVar[Method] = FINISHED
    as_treated_min_mm: Number = term("Least case depth as treated", "CHD_t1", "mm")
    as_treated_max_mm: Number = term("Largest case depth as treated", "CHD_t2", "mm")
    stock_min_mm: Number = term("Smallest stock", "q_1", "mm")
    stock_max_mm: Number = term("Largest stock", "q_2", "mm")
    least_mm: Number = term("Least finished case depth", "CHD_f1", "mm", "CHD_t1 - q_2")
    largest_mm: Number = term("Largest finished case depth", "CHD_f2", "mm", "CHD_t2 - q_1")


@dataclass(frozen=True, kw_only=True)
class AsTreatedCase(Result):
    """The window that heat treatment must hold so that every finished flank lies in its window."""

    method: ClassVar[Method] = FINISHED
    finished_min_mm: Number = term("Least finished case depth", "CHD_f1", "mm")
    finished_max_mm: Number = term("Largest finished case depth", "CHD_f2", "mm")
    stock_min_mm: Number = term("Smallest stock", "q_1", "mm")
    stock_max_mm: Number = term("Largest stock", "q_2", "mm")
    least_mm: Number = term("Least case depth as treated", "CHD_t1", "mm", "CHD_f1 + q_2")
    largest_mm: Number = term("Largest case depth as treated", "CHD_t2", "mm", "CHD_f2 + q_1")
    window_mm: Number = term("Window left to heat treatment", "Δ_t", "mm", "CHD_t2 - CHD_t1")


def lengths(**given: Number) -> dict[str, Any]:
    """Return lengths as arrays, by the names that they were given by.

    Parameters
    ----------
    **given : float or array
        Lengths in mm.

    Returns
    -------
    dict
        The same as arrays.

    Raises
    ------
    InputError
        Any of them below 0.
    """
    faults = Faults()
    for name, length in given.items():
        faults.need(not (array(length) < 0).any(), name, length, "a length of 0 mm or more")
    faults.check()
    return {name: array(length) for name, length in given.items()}


def upside_down(name: str, low: Array, high: Array) -> tuple[Notice, ...]:
    """Return a stop notice where the least of a range lies above its largest.

    Parameters
    ----------
    name : str
        The range, in the words of a sentence.
    low, high : ndarray
        Its ends, mm.

    Returns
    -------
    tuple of Notice
        Empty where all are in order.
    """
    low, high = np.broadcast_arrays(low, high)
    wrong = low > high
    if not wrong.any():
        return ()
    text = f"The {name} is upside down: least {low[wrong][0]:.4g} mm, largest {high[wrong][0]:.4g} mm."
    return (Notice(Level.STOP, "case.finished_window.upside_down", text),)


def finished_case(
    *, as_treated_min_mm: Number, as_treated_max_mm: Number, stock_min_mm: Number, stock_max_mm: Number
) -> FinishedCase:
    """Return the least and the largest case depth left on a ground flank.

    least = as-treated minimum - largest stock, largest = as-treated maximum - smallest stock

    Parameters
    ----------
    as_treated_min_mm, as_treated_max_mm : float or array
        Window of the case depth as treated, mm.
    stock_min_mm, stock_max_mm : float or array
        Stock taken off this flank, normal to it, mm.

    Returns
    -------
    FinishedCase
        Both in mm; a stop notice and no value where the largest stock takes the whole
        case or a window is upside down.

    Raises
    ------
    InputError
        A length below 0.

    Notes
    -----
    Source: arithmetic.
    Valid for: one flank; each flank has its own stock.
    Departures: none.
    Checked: GRIND-09.

    Examples
    --------
    >>> finished = finished_case(as_treated_min_mm=1.0, as_treated_max_mm=1.3, stock_min_mm=0.08,
    ...     stock_max_mm=0.16)
    >>> round(finished.least_mm, 3), round(finished.largest_mm, 3)
    (0.84, 1.22)
    """
    low, high, stock_min, stock_max = lengths(
        as_treated_min_mm=as_treated_min_mm,
        as_treated_max_mm=as_treated_max_mm,
        stock_min_mm=stock_min_mm,
        stock_max_mm=stock_max_mm,
    ).values()
    notices = upside_down("window as treated", low, high) + upside_down("stock", stock_min, stock_max)
    ordered = (low <= high) & (stock_min <= stock_max)
    least, largest = np.round(low - stock_max, DIGITS), np.round(high - stock_min, DIGITS)
    if (least <= 0).any():
        text = (
            f"The largest stock of {stock_max.max():.4g} mm takes the whole of a case of {low.min():.4g} mm "
            "as treated."
        )
        notices += (Notice(Level.STOP, "case.finished_window.ground_through", text),)
    return FinishedCase(
        as_treated_min_mm=low,
        as_treated_max_mm=high,
        stock_min_mm=stock_min,
        stock_max_mm=stock_max,
        least_mm=np.where(ordered & (least > 0), least, np.nan),
        largest_mm=np.where(ordered & (largest > 0), largest, np.nan),
        notices=notices,
    )


def as_treated_case(
    *, finished_min_mm: Number, finished_max_mm: Number, stock_min_mm: Number, stock_max_mm: Number
) -> AsTreatedCase:
    """Return the window that heat treatment must hold for a finished window.

    least = finished minimum + largest stock, largest = finished maximum + smallest stock

    Parameters
    ----------
    finished_min_mm, finished_max_mm : float or array
        Window of the finished case depth, mm.
    stock_min_mm, stock_max_mm : float or array
        Stock taken off this flank, normal to it, mm.

    Returns
    -------
    AsTreatedCase
        Both in mm and the window between them; a stop notice and no value where no window is
        left or one is upside down.

    Raises
    ------
    InputError
        A length below 0.

    Notes
    -----
    Source: arithmetic.
    Valid for: one flank; each flank has its own stock.
    Departures: none.
    Checked: WINDOW-BACK.

    Examples
    --------
    >>> treated = as_treated_case(finished_min_mm=0.8, finished_max_mm=1.2, stock_min_mm=0.08,
    ...     stock_max_mm=0.16)
    >>> round(treated.least_mm, 3), round(treated.largest_mm, 3), round(treated.window_mm, 3)
    (0.96, 1.28, 0.32)
    """
    low, high, stock_min, stock_max = lengths(
        finished_min_mm=finished_min_mm,
        finished_max_mm=finished_max_mm,
        stock_min_mm=stock_min_mm,
        stock_max_mm=stock_max_mm,
    ).values()
    notices = upside_down("finished window", low, high) + upside_down("stock", stock_min, stock_max)
    finished, stock = np.broadcast_arrays(high - low, stock_max - stock_min)
    window = np.round(finished - stock, DIGITS)
    open_window = (window > 0) & (finished >= 0) & (stock >= 0)
    closed = (window <= 0) & (finished >= 0) & (stock >= 0)
    if closed.any():
        text = (
            f"No window left for heat treatment: stock varies by {stock[closed][0]:.4g} mm, the finished "
            f"case may vary by {finished[closed][0]:.4g} mm; widen it or hold distortion and stock closer."
        )
        notices += (Notice(Level.STOP, "case.finished_window.no_window", text),)
    return AsTreatedCase(
        finished_min_mm=low,
        finished_max_mm=high,
        stock_min_mm=stock_min,
        stock_max_mm=stock_max,
        least_mm=np.where(open_window, np.round(low + stock_max, DIGITS), np.nan),
        largest_mm=np.where(open_window, np.round(high + stock_min, DIGITS), np.nan),
        window_mm=np.where(open_window, window, np.nan),
        notices=notices,
    )
