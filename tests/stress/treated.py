"""Factors and limits of other heat treatments than a case."""

from dataclasses import replace

import numpy as np

from gearcheck.materials.inputs import Treatment
from tests.stress.pairs import LIMITS


def by_treatment(function, *, treatments=None, yield_strength_MPa=None, **given):
    """One row for each treatment; a strength for each where there are several."""
    if treatments is None:
        return function(**given)
    strengths = np.broadcast_to(yield_strength_MPa, len(treatments))
    rows = []
    for treatment, strength in zip(treatments, strengths, strict=True):
        more = {} if yield_strength_MPa is None else {"yield_strength_MPa": strength}
        rows.append(function(treatment=treatment, **more, **given))
    return np.array(rows)


def treated(treatment, **changed):
    """The strength limits of the case with another treatment."""
    return replace(LIMITS, treatment=Treatment(treatment), **changed)
