"""What tests must hold before a curve can be fitted to them; what is lacking is said, never guessed."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array
from gearcheck.fatigue.inputs import Curve, FatigueData

LEVEL_RATIO = 1.005
"""Stresses closer than this are one level."""

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
    """Return how many levels stresses make, those within half a percent being one."""
    if not stress_MPa.size:
        return 0
    above = np.log(stress_MPa / stress_MPa.min()) / np.log(LEVEL_RATIO)
    return int(np.unique(np.round(above)).size)


def _stop(key: str, text: str) -> Notice:
    return Notice(Level.STOP, f"fatigue_fit.{key}", text)
