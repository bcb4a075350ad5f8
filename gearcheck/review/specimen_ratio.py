"""Stress ratio of specimens and part: as the tests that count were run, and as the rating takes the root."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.fatigue.inputs import Place
from gearcheck.review.fatigue_inputs import FatigueTests
from gearcheck.review.results import Chain
from gearcheck.stress.inputs import Bending
from gearcheck.stress.mean_stress import reversed_stress_ratio


def ratio_of_tests(tests: FatigueTests) -> float | None:
    """Return the stress ratio of the tests that are fitted.

    Parameters
    ----------
    tests : FatigueTests
        As in the gear file.

    Returns
    -------
    float or None
        Their mean; None where none is told, and of flanks, which are only pressed.
    """
    if tests.place is Place.FLANK:
        return None
    out = {one.specimen for one in tests.excluded}
    table = tests.table
    counts = [
        not again and name not in out for name, again in zip(table.specimen, table.retest_of, strict=True)
    ]
    known = table.stress_ratio[np.array(counts) & np.isfinite(table.stress_ratio)]
    return float(known.mean()) if known.size else None


def ratio_of_part(tests: FatigueTests, chain: Chain) -> float:
    """Return the stress ratio of the part.

    Parameters
    ----------
    tests : FatigueTests
        Root or flank.
    chain : Chain
        The rating of the part.

    Returns
    -------
    float
        0 of a flank and of a root bent one way. Bent both ways the least ratio that the rating takes; where
        it takes a flat factor, that of full load both ways, for which the factor stands.
    """
    members = [mesh.gear for mesh in chain.meshes]
    if tests.place is Place.FLANK or all(one.bending is Bending.ONE_WAY for one in members):
        return 0.0
    means = [None if one.root_safety is None else one.root_safety.mean_stress for one in members]
    taken = [
        float(array(mean.stress_ratio).min())
        for mean in means
        if mean is not None and mean.stress_ratio is not None
    ]
    return min(taken) if taken else float(reversed_stress_ratio(load_ratio=1.0))
