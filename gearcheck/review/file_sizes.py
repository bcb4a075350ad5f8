"""Deviations that are too small or too large for their unit: it is asked for, never guessed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from gearcheck.basics.errors import Fault

LARGEST_DEVIATION_UM, SMALLEST_DEVIATION_UM = 1000.0, 0.05
"""Beyond these the deviations of a gear are in another unit."""


def size_faults(name: str, deviations_um: Sequence[float]) -> Iterator[Fault]:
    """Ask for the unit of deviations that are too small or too large for µm; zeros alone are said elsewhere.

    The middle one of them counts for too small: an edge that drops behind the flank, or one slip of the pen,
    must not make millimetres pass.

    Parameters
    ----------
    name : str
        Of the file, with what the deviations are of.
    deviations_um : sequence of float
        Of one trace, or of one flank all around; NaN where a point is missing.

    Yields
    ------
    Fault
        With the largest of them.
    """
    sizes = np.abs([one for one in deviations_um if np.isfinite(one) and one])
    if not sizes.size:
        return
    field, needed, largest = f"{name}, deviation_um", "deviations in µm", float(sizes.max())
    if np.median(sizes) < SMALLEST_DEVIATION_UM:
        why = f"half of them are below {SMALLEST_DEVIATION_UM:g} µm, as on no flank: are they in mm?"
        yield Fault(field, f"at most {largest:g}", needed, why)
    elif largest > LARGEST_DEVIATION_UM:
        why = f"no flank is off by over {LARGEST_DEVIATION_UM:g} µm: are they in nm, or a place?"
        yield Fault(field, f"up to {largest:g}", needed, why)
