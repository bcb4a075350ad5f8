"""The stress-cycle curve of one gear as the six numbers that a damage sum asks for."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from gearcheck.basics.numbers import Number, array
from gearcheck.materials.inputs import Treatment
from gearcheck.stress.inputs import LimitedLife, Readings
from gearcheck.stress.life import Damage, life_row, long_factor


class LifeCurve(NamedTuple):
    """Limits in MPa and load cycles: static, at the knee, and of long life."""

    static_limit_MPa: Number
    static_cycles: Number
    knee_limit_MPa: Number
    knee_cycles: Number
    long_limit_MPa: Number
    long_cycles: Number


def life_curve(
    *,
    damage: Damage,
    static_limit_MPa: Number,
    reference_limit_MPa: Number,
    readings: Readings,
    treatment: Treatment = Treatment.CASE_CARBURISED,
) -> LifeCurve:
    """Return the stress-cycle curve of a gear.

    Straight lines in log N, log σ through the static limit, the limit at the knee, and its share at 1e10

    Parameters
    ----------
    damage : Damage
        Pitting of the flank or bending of the root.
    static_limit_MPa, reference_limit_MPa : float or array
        The limit with the static factors and with those at the knee, in MPa.
    readings : Readings
        Life factor at 1e10 cycles, and how limited life is found.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    LifeCurve
        The six numbers.

    Notes
    -----
    Source: ISO 6336-2:2019 and ISO 6336-3:2019, tables of life factors, from memory.
    Valid for: no pitting allowed.
    Departures: by the reading of factors the static limit is the life factor times the limit at the knee.
    Checked: LIFE-CURVE: the knees of ISO6-01.

    Examples
    --------
    >>> from gearcheck.stress.inputs import PRIMARY
    >>> curve = life_curve(
    ...     damage=Damage.ROOT, static_limit_MPa=2000, reference_limit_MPa=900, readings=PRIMARY)
    >>> print(curve.knee_cycles, round(float(curve.long_limit_MPa), 1))
    3000000.0 765.0
    """
    row, reference = life_row(damage, treatment), array(reference_limit_MPa)
    by_factor = readings.limited_life is LimitedLife.FACTORS
    static = reference * row["static_factor"] if by_factor else array(static_limit_MPa)
    return LifeCurve(
        # a static limit that the factors push below the knee leaves a level curve
        static_limit_MPa=np.maximum(static, reference * (1 + 1e-9)),
        static_cycles=row["static_cycles"],
        knee_limit_MPa=reference,
        knee_cycles=row["knee_cycles"],
        long_limit_MPa=reference * long_factor(row, readings.life_at_1e10),
        long_cycles=row["long_cycles"],
    )
