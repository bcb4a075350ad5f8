"""What tests must hold before a curve can be fitted to them; what is lacking is said, never guessed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array
from gearcheck.fatigue.inputs import Curve, FatigueData

LEVEL_RATIO = 1.005
"""Stresses up to so far above the lowest of them are one level: a rig does not come closer."""

_SLOPED = {
    Curve.STRAIGHT: 2,
    Curve.CURVED: 3,
    Curve.SPREADING: 3,
    Curve.FIXED_LIMIT: 3,
    Curve.RANDOM_LIMIT: 3,
    Curve.TWO_SLOPES: 2,
}
"""Levels of stress that a form needs, with failures on two of them."""


def footing(data: FatigueData, curve: Curve, parameters: int) -> Notice | None:
    """Return a stop where the tests cannot carry a curve: what can, and what cannot be estimated.

    Parameters
    ----------
    data : FatigueData
        The tests.
    curve : Curve
        The form of the curve.
    parameters : int
        How many it has.

    Returns
    -------
    Notice or None
        None where they can.
    """
    failures = int(data.failed.sum())
    levels, broken = level_count(data.stress_MPa), level_count(data.stress_MPa[data.failed])
    if failures == 0:
        return _stop(
            "all_run_outs",
            f"All {data.count} specimens ran out: neither curve nor scatter can be estimated. What they show "
            "is a share that survives, with its confidence.",
        )
    if data.count == 1:
        return _stop("one_specimen", "One specimen shows one life: no curve and no scatter can be estimated.")
    needed = _SLOPED.get(curve, 1)
    if needed > 1 and broken < 2:
        return _stop(
            "one_level",
            f"All {failures} failures stand at one level of stress: its life and scatter can be fitted, as "
            f"“{Curve.ONE_LEVEL}”; a slope cannot.",
        )
    if levels < needed:
        return _stop(
            "few_levels",
            f"The tests stand on {levels} levels of stress; the {curve} needs {needed}.",
        )
    if data.count <= parameters:
        return _stop(
            "few_specimens",
            f"{data.count} specimens cannot tell the {parameters} parameters of the {curve}.",
        )
    if curve is Curve.ONE_LEVEL and failures < 2:
        return _stop(
            "one_failure", "One failure among the specimens: a life can be bounded, a scatter cannot."
        )
    return None


def level_count(stress_MPa: Array) -> int:
    """Return how many levels stresses make."""
    return int(level_of(stress_MPa).max(initial=-1)) + 1


def level_of(stress_MPa: Array) -> NDArray[np.intp]:
    """Return the level of each stress, lowest first: one begins where the stress leaves the last one."""
    each, place = np.unique(stress_MPa, return_inverse=True)
    level = np.empty(each.size, dtype=np.intp)
    begun, count = 0, 0
    while begun < each.size:
        ends = int(np.searchsorted(each, each[begun] * LEVEL_RATIO, side="right"))
        level[begun:ends] = count
        begun, count = ends, count + 1
    return np.asarray(level[place])


def _stop(key: str, text: str) -> Notice:
    return Notice(Level.STOP, f"fatigue_fit.{key}", text)
