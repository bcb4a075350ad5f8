"""The window of the case depth that a drawing can ask for, and what has to give where none is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.hardening.finished import DIGITS, lengths, upside_down

WINDOW = Method(
    key="case.drawing_window",
    title="Window of the case depth for the drawing",
    source="arithmetic of the drawing",
    edition="",
    clause="as treated and finished, at 550 HV, normal to the flank",
    status=Status.COMMON_PRACTICE,
    implements=(
        "the ends of the flank by the worse end of the stock",
        "those of tip and root by the ratio of their depth to that of the flank",
        "the one number of each input that would open a window, all others held",
    ),
    leaves_out=(
        "stock taken off tip and root: both keep their case as treated",
        "two inputs that give together",
    ),
)


@dataclass(frozen=True, kw_only=True)
class CaseWindow(Result):
    """What the drawing can ask for, and how far each input could go before no window is left."""

    method: ClassVar[Method] = WINDOW
    finished_min_mm: Number = term("Least finished case depth that is needed", "CHD_f1", "mm")
    finished_max_mm: Number = term("Largest finished case depth that is allowed", "CHD_f2", "mm")
    stock_min_mm: Number = term("Smallest stock", "q_1", "mm")
    stock_max_mm: Number = term("Largest stock", "q_2", "mm")
    furnace_tolerance_mm: Number = term("Deviation that the furnace holds, either way", "T", "mm")
    tip_limit_mm: Number = term("Largest case depth at the tip", "CHD_tip", "mm")
    tip_ratio: Number = term("Case depth at the tip over that of the flank", "r_tip")
    root_min_mm: Number = term("Least case depth at the root", "CHD_root", "mm")
    root_ratio: Number = term("Case depth at the root over that of the flank", "r_root")
    flank_least_mm: Number = term("Least as treated for the flank", "CHD_1", "mm", "CHD_f1 + q_2")
    flank_largest_mm: Number = term("Largest as treated for the flank", "CHD_2", "mm", "CHD_f2 + q_1")
    tip_largest_mm: Number = term("Largest as treated for the tip", "CHD_3", "mm", "CHD_tip/r_tip")
    root_least_mm: Number = term("Least as treated for the root", "CHD_4", "mm", "CHD_root/r_root")
    window_mm: Number = term(
        "Window of the flank's depth as treated", "Δ", "mm", words="the lesser largest minus the larger least"
    )
    spare_mm: Number = term("What the furnace leaves of it", "Δ_s", "mm", "Δ - 2·T")
    least_mm: Number = term("Least case depth as treated", "CHD_t1", "mm", words="larger of flank and root")
    largest_mm: Number = term(
        "Largest case depth as treated", "CHD_t2", "mm", words="lesser of flank and tip"
    )
    aim_mm: Number = term("Depth to aim at", "CHD_t", "mm", "(CHD_t1 + CHD_t2)/2")
    largest_tolerance_mm: Number = term(
        "Largest deviation of the furnace that fits", "T_2", "mm", words="half the window; none below 0"
    )
    largest_stock_mm: Number = term(
        "Largest stock that fits", "q_P", "mm", words="with the smallest stock held; none where that is more"
    )
    less_distortion_mm: Number = term(
        "Less distortion, either way, that fits",
        "δ",
        "mm",
        words="off the largest and onto the smallest stock",
    )
    least_allowed_max_mm: Number = term(
        "Least allowed finished maximum that fits", "CHD_P2", "mm", words="none where the tip is in the way"
    )
    largest_needed_min_mm: Number = term(
        "Largest needed finished minimum that fits", "CHD_P1", "mm", words="none where the root is in the way"
    )


def case_window(
    *,
    finished_min_mm: Number,
    finished_max_mm: Number,
    stock_min_mm: Number,
    stock_max_mm: Number,
    furnace_tolerance_mm: Number,
    tip_limit_mm: Number | None = None,
    tip_ratio: Number = 1.0,
    root_min_mm: Number | None = None,
    root_ratio: Number = 1.0,
) -> CaseWindow:
    """Return the window as treated that the drawing can ask for, and what would open one where none is left.

    least = max(CHD_f1 + q_2, CHD_root/r_root), largest = min(CHD_f2 + q_1, CHD_tip/r_tip), window >= 2 T

    Parameters
    ----------
    finished_min_mm, finished_max_mm : float or array
        Least finished case depth that is needed, largest that is allowed, mm, shape (samples).
    stock_min_mm, stock_max_mm : float or array
        Stock normal to the flank, mm.
    furnace_tolerance_mm : float or array
        T, the deviation from its aim that the furnace holds either way, mm.
    tip_limit_mm, root_min_mm : float or array, optional
        Largest case depth at the tip, least at the root, mm; not looked at where not given.
    tip_ratio, root_ratio : float or array
        Case depth as treated at tip and root over that of the flank.

    Returns
    -------
    CaseWindow
        The window; a stop notice that names what would open one, and no window, where the furnace does not
        hold what is left.

    Raises
    ------
    InputError
        A length below 0, or a ratio that is not above 0.

    Notes
    -----
    Source: arithmetic.
    Valid for: one flank, or both by the smallest and the largest stock of either.
    Departures: none.
    Checked: WINDOW-OPEN, WINDOW-CLOSED, WINDOW-TIP, WINDOW-ROOT.

    Examples
    --------
    >>> window = case_window(finished_min_mm=0.8, finished_max_mm=1.2, stock_min_mm=0.08, stock_max_mm=0.16,
    ...     furnace_tolerance_mm=0.1)
    >>> window.least_mm, window.largest_mm, window.spare_mm, window.largest_stock_mm
    (0.96, 1.28, 0.12, 0.28)
    """
    given = lengths(
        finished_min_mm=finished_min_mm,
        finished_max_mm=finished_max_mm,
        stock_min_mm=stock_min_mm,
        stock_max_mm=stock_max_mm,
        furnace_tolerance_mm=furnace_tolerance_mm,
        tip_limit_mm=tip_limit_mm,
        tip_ratio=tip_ratio,
        root_min_mm=root_min_mm,
        root_ratio=root_ratio,
    )
    need, most, q_1, q_2, T, tip, tip_share, root, root_share = given.values()
    _check_ratios(tip_share, root_share)
    ends = _Ends(need + q_2, most + q_1, tip / tip_share, root / root_share)
    wrong = upside_down("finished window", need, most) + upside_down("stock", q_1, q_2)
    window = np.where((need <= most) & (q_1 <= q_2), np.round(ends.largest - ends.least, DIGITS), np.nan)
    spare = np.round(window - 2 * T, DIGITS)
    fits = spare >= 0
    opened = _openings(ends, need, q_1, q_2, T, window)
    return CaseWindow(
        **given,
        flank_least_mm=ends.flank_least,
        flank_largest_mm=ends.flank_largest,
        tip_largest_mm=ends.tip_largest,
        root_least_mm=ends.root_least,
        window_mm=window,
        spare_mm=spare,
        least_mm=np.where(fits, np.round(ends.least, DIGITS), np.nan),
        largest_mm=np.where(fits, np.round(ends.largest, DIGITS), np.nan),
        aim_mm=np.where(fits, (ends.least + ends.largest) / 2, np.nan),
        **opened,
        notices=wrong + _closed(spare, window, opened),
    )


@dataclass(frozen=True)
class _Ends:
    """The ends of the window by what sets them; NaN where a place is not looked at."""

    flank_least: Array
    flank_largest: Array
    tip_largest: Array
    root_least: Array

    @property
    def least(self) -> Array:
        return np.fmax(self.flank_least, self.root_least)

    @property
    def largest(self) -> Array:
        return np.fmin(self.flank_largest, self.tip_largest)


def _check_ratios(tip: Array, root: Array) -> None:
    faults = Faults()
    for name, ratio in (("tip_ratio", tip), ("root_ratio", root)):
        faults.need(not (ratio <= 0).any(), name, ratio, "a ratio above 0")
    faults.check()


def _openings(ends: _Ends, need: Array, q_1: Array, q_2: Array, T: Array, window: Array) -> dict[str, Array]:
    """Return the bound of each input with all others held; NaN where that input alone opens nothing."""
    width = 2 * T
    root_free = ~(ends.largest - ends.root_least < width)
    tip_free = ~(ends.tip_largest - ends.least < width)
    both_free = ~(ends.tip_largest - ends.root_least < width)
    most_stock = ends.largest - width - need
    less = np.fmax(
        np.fmax((ends.flank_least - ends.flank_largest + width) / 2, 0),
        np.fmax(ends.flank_least - ends.tip_largest + width, ends.root_least - ends.flank_largest + width),
    )
    found = {
        "largest_tolerance_mm": np.where(window >= 0, window / 2, np.nan),
        "largest_stock_mm": np.where(root_free & (most_stock >= q_1 - _HAIR), most_stock, np.nan),
        "less_distortion_mm": np.where(both_free & (less <= (q_2 - q_1) / 2 + _HAIR), less, np.nan),
        "least_allowed_max_mm": np.where(tip_free, ends.least + width - q_1, np.nan),
        "largest_needed_min_mm": np.where(
            root_free & (ends.largest - width - q_2 >= 0), ends.largest - width - q_2, np.nan
        ),
    }
    return {
        name: array(np.round(np.where(np.isnan(window), np.nan, value), DIGITS))
        for name, value in found.items()
    }


_HAIR = 1e-12
_GIVES = {
    "largest_stock_mm": "a largest stock of {:.4g} mm",
    "less_distortion_mm": "distortion smaller by {:.4g} mm either way",
    "largest_tolerance_mm": "a furnace that holds ±{:.4g} mm",
    "least_allowed_max_mm": "an allowed finished maximum of {:.4g} mm",
    "largest_needed_min_mm": "a needed finished minimum of {:.4g} mm",
}


def _closed(spare: Array, window: Array, opened: dict[str, Array]) -> tuple[Notice, ...]:
    closed = spare < 0
    if not closed.any():
        return ()
    first = int(np.argmax(closed))

    def there(values: Array) -> float:
        return float(np.broadcast_to(values, closed.shape).flat[first])

    gives = [words.format(there(opened[name])) for name, words in _GIVES.items() if there(opened[name]) > 0]
    what = f"any one of these would open it: {', '.join(gives)}" if gives else "no single input opens it"
    text = (
        f"No window left: {there(window):.4g} mm as treated, {-there(spare):.4g} mm less than the furnace "
        f"needs; {what}."
    )
    return (Notice(Level.STOP, "case.drawing_window.closed", text),)
