"""What the statistics of specimens need of their arguments: one wording for all of them."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Number, array


def need_shares(faults: Faults, **values: Number) -> None:
    """Note each value that is no share: above 0 and below 1."""
    for name, given in values.items():
        share = array(given)
        faults.need(not np.any((share <= 0) | (share >= 1)), name, given, "a share between 0 and 1")


def need_positive(faults: Faults, **values: Number) -> None:
    """Note each value that is not above 0 and finite; NaN, the mark of a stop, passes."""
    for name, given in values.items():
        number = array(given)
        wrong = number[(number <= 0) | np.isinf(number)]
        faults.need(wrong.size == 0, name, *_first(wrong, given), "values above 0")


def need_whole(faults: Faults, *, least: int, **values: Number) -> None:
    """Note each value that is no whole number of `least` or more."""
    for name, given in values.items():
        number = array(given)
        wrong = number[(number < least) | (number != np.round(number))]
        faults.need(wrong.size == 0, name, *_first(wrong, given), f"whole numbers of {least} or more")


def _first(wrong: Number, given: Number) -> tuple[object]:
    """The first wrong value of many: it is found more easily than a long list is read."""
    return (
        (given,) if np.ndim(given) == 0 or not wrong.size else (f"{wrong.flat[0]:g} among {np.size(given)}",)
    )
