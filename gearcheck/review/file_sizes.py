"""Deviations that are of another unit or of another kind than they should be: it is asked, never guessed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from gearcheck.basics.errors import Fault

LARGEST_DEVIATION_UM, SMALLEST_DEVIATION_UM = 1000.0, 0.05
"""Beyond these the deviations of a gear are in another unit."""
LARGEST_MEAN_UM, MOST_ALIKE_STEPS, FEWEST_TEETH = 0.5, 0.9, 10
"""What rounding leaves of the mean of a closed circle; steps between like values against the values; teeth
below which values are alike by chance. Common practice."""


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


def running_sum_faults(name: str, deviations_um: Sequence[float]) -> Iterator[Fault]:
    """Ask for single pitches where the values look like their running sum, the index deviations.

    Single pitches of a whole gear close: their mean is 0, also where they are a slow wave. Index deviations
    have a mean, and each is near the one before. Taken for single pitches they make a gear look better.

    Parameters
    ----------
    name : str
        Of the file, with what the deviations are of.
    deviations_um : sequence of float
        Of one flank all around, tooth by tooth.

    Yields
    ------
    Fault
        With the mean, and how near each value is to the one before.
    """
    values = np.asarray(deviations_um, dtype=np.float64)
    if values.size < FEWEST_TEETH or not np.isfinite(values).all():
        return
    mean, spread = float(values.mean()), float(values.std())
    apart = float(np.sqrt(((values - np.roll(values, 1)) ** 2).mean()))
    if abs(mean) > LARGEST_MEAN_UM and apart < MOST_ALIKE_STEPS * spread:
        why = (
            "single pitches of a whole gear add up to 0: are these index deviations, their running sum? Then "
            "give the difference from each tooth to the next; if they are single pitches, take their mean off"
        )
        given = f"a mean of {mean:.2g} µm, a spread of {spread:.2g} µm, from tooth to tooth {apart:.2g} µm"
        yield Fault(f"{name}, deviation_um", given, "the deviation of each single pitch in µm", why)
