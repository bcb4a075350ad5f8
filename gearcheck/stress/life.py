"""How the permissible stress falls with load cycles by heat treatment, ISO 6336-2 and -3."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Any

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Treatment
from gearcheck.stress.inputs import LifeAt1e10, LimitedLife


class Damage(StrEnum):
    """What limits the life: with the heat treatment a row of the table of life factors."""

    FLANK = "flank"
    ROOT = "root"


def life_row(damage: Damage, treatment: Treatment) -> Mapping[str, Any]:
    """Return the row of the table of life factors.

    Parameters
    ----------
    damage : Damage
        Pitting of the flank or bending of the root.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    mapping
        Cycles and factors of the static knee, of the knee, and at 1e10 cycles.
    """
    return table("iso6336_life").row(f"{damage}, {treatment}")


def life_factor(
    *,
    load_cycles: Number,
    damage: Damage,
    life_at_1e10: LifeAt1e10,
    treatment: Treatment = Treatment.CASE_CARBURISED,
) -> Array:
    """Return the life factor of a gear.

    Z_NT or Y_NT: straight lines in log N, log Z between static strength, the knee and 1e10 cycles

    Parameters
    ----------
    load_cycles : float or array
        N_L.
    damage : Damage
        Pitting of the flank (Z_NT) or bending of the root (Y_NT).
    life_at_1e10 : LifeAt1e10
        The factor at 1e10 cycles.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    ndarray of float
        Z_NT or Y_NT; constant below the static knee and beyond 1e10 cycles.

    Notes
    -----
    Source: ISO 6336-2:2019 and ISO 6336-3:2019, tables of life factors, from memory.
    Valid for: no pitting allowed, up to 1e10 cycles.
    Departures: none.
    Checked: ISO6-01.

    Examples
    --------
    >>> print(life_factor(load_cycles=[1e5, 5e7, 1e10], damage=Damage.FLANK, life_at_1e10=LifeAt1e10.LOWER))
    [1.6  1.   0.85]
    """
    row = life_row(damage, treatment)
    return _life_curve(array(load_cycles), row, array(row["static_factor"]), life_at_1e10)


def limit_after_cycles(
    *,
    load_cycles: Number,
    damage: Damage,
    static_limit_MPa: Number,
    reference_limit_MPa: Number,
    life_at_1e10: LifeAt1e10,
    limited_life: LimitedLife,
    treatment: Treatment = Treatment.CASE_CARBURISED,
) -> Array:
    """Return the limit of stress at a number of load cycles.

    σ_G = σ_G,ref (N_ref/N)^e, e = log(σ_G,stat/σ_G,ref) / log(N_ref/N_stat), between the knees

    Parameters
    ----------
    load_cycles : float or array
        N_L.
    damage : Damage
        Pitting of the flank or bending of the root.
    static_limit_MPa, reference_limit_MPa : float or array
        The limit with the static factors and with those at the knee, in MPa.
    life_at_1e10 : LifeAt1e10
        The life factor at 1e10 cycles.
    limited_life : LimitedLife
        Between both limits in a straight line, or the life factor times the reference limit.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    ndarray of float
        σ_HG or σ_FG in MPa.

    Notes
    -----
    Source: ISO 6336-2:2019 and ISO 6336-3:2019, limited life, from memory.
    Valid for: up to 1e10 cycles.
    Departures: by the reading of factors the static range keeps the reference factors too: no step.
    Checked: ISO2-HAND-limited-life; meets both limits at the knees.

    Examples
    --------
    >>> limit = limit_after_cycles(
    ...     load_cycles=1e5, damage=Damage.FLANK, static_limit_MPa=2400, reference_limit_MPa=1450,
    ...     life_at_1e10=LifeAt1e10.LOWER, limited_life=LimitedLife.INTERPOLATED)
    >>> print(round(float(limit), 1))
    2400.0
    """
    reference = array(reference_limit_MPa)
    if limited_life is LimitedLife.FACTORS:
        factor = life_factor(
            load_cycles=load_cycles, damage=damage, life_at_1e10=life_at_1e10, treatment=treatment
        )
        return reference * factor
    static = array(static_limit_MPa) / reference
    return reference * _life_curve(array(load_cycles), life_row(damage, treatment), static, life_at_1e10)


def _life_curve(cycles: Array, row: Mapping[str, Any], static: Array, life_at_1e10: LifeAt1e10) -> Array:
    low, knee, end = row["static_cycles"], row["knee_cycles"], row["long_cycles"]
    limited = np.log(knee / np.clip(cycles, low, knee)) / np.log(knee / low)
    long = np.log(np.clip(cycles, knee, end) / knee) / np.log(end / knee)
    curve: Array = static**limited * long_factor(row, life_at_1e10) ** long
    return curve


def long_factor(row: Mapping[str, Any], life_at_1e10: LifeAt1e10) -> float:
    """Return the life factor at 1e10 cycles of a row of the table."""
    return float(row["long_factor"]) if life_at_1e10 is LifeAt1e10.LOWER else 1.0
