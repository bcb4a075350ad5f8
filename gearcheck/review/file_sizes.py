"""Deviations that are too small or too large for their unit: it is asked for, never guessed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.errors import Fault

LARGEST_DEVIATION_UM, SMALLEST_DEVIATION_UM = 1000.0, 0.05
"""Beyond these the deviations of a gear are in another unit."""


def size_faults(name: str, deviations_um: list[float]) -> Iterator[Fault]:
    """Ask for the unit of deviations that are too small or too large for µm; zeros alone are said elsewhere.

    Parameters
    ----------
    name : str
        Of the file.
    deviations_um : list of float
        All of it; NaN where a point is missing.

    Yields
    ------
    Fault
        With the largest of them.
    """
    largest = max((abs(one) for one in deviations_um if np.isfinite(one)), default=0.0)
    field, needed = f"{name}, deviation_um", "deviations in µm"
    if 0 < largest < SMALLEST_DEVIATION_UM:
        why = f"none is over {SMALLEST_DEVIATION_UM:g} µm, which no flank is: are they in mm?"
        yield Fault(field, f"at most {largest:g}", needed, why)
    elif largest > LARGEST_DEVIATION_UM:
        why = f"no flank is off by over {LARGEST_DEVIATION_UM:g} µm: are they in nm, or a place?"
        yield Fault(field, f"up to {largest:g}", needed, why)
