"""What the statistics of specimens need of their arguments: one wording for all of them."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array


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


def need_measured(faults: Faults, **values: Number) -> None:
    """Note each value of a test that is missing, not above 0, or not finite."""
    for name, given in values.items():
        number = array(given)
        wrong = number[~((number > 0) & np.isfinite(number))]
        faults.need(wrong.size == 0, name, *_first(wrong, given), "values above 0, one for each specimen")


def marked(faults: Faults, failed: Any, of: Array) -> NDArray[np.bool_]:
    """Return for each specimen whether it failed; note what is no mark, or goes with no specimen."""
    mark = np.asarray(failed)
    if mark.dtype.kind not in "biuf" or not np.isin(mark, (0, 1)).all():
        faults.add("failed", failed, "true or false for each specimen")
    elif mark.shape not in ((), of.shape[-1:], of.shape):
        faults.add("failed", f"{mark.size} marks", f"one for each of {of.size} specimens")
    else:
        return np.broadcast_to(mark.astype(bool), of.shape)
    return np.ones(of.shape, dtype=bool)


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
