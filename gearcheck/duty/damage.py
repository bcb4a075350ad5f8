"""Damage under a spectrum of stresses: the sum of Palmgren and Miner by four treatments below the knee."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

METHOD = Method(
    key="iso6336_6.damage_sum",
    title="Damage sum under a spectrum",
    source="ISO 6336-6",
    edition="2019",
    clause="cumulative damage by Palmgren and Miner",
    status=Status.FROM_MEMORY,
    implements=(
        "stress spectrum against the stress-cycle curve of ISO 6336-2 or -3",
        "four treatments below the knee side by side; the one agreed governs",
    ),
    leaves_out=("order of the loads", "the damage of stresses above static strength: a caution"),
    departures=(
        "A stress at the knee counts as damaging.",
        "Beyond 1e10 cycles the line of the long-life factor goes on.",
        "Above static strength the line of limited life goes on; that strength is a requirement of its own.",
    ),
)


class BelowKnee(StrEnum):
    """What stresses below the knee of the stress-cycle curve do."""

    NO_DAMAGE = "no damage"
    LONG_LIFE = "line of the long-life factor"
    FLATTER_SLOPE = "slope 2k - 1"
    SAME_SLOPE = "same slope"


@dataclass(frozen=True, kw_only=True)
class DamageSum(Result):
    """The damage sum of a spectrum; its bins stand on the first axis."""

    method: ClassVar[Method] = METHOD
    below_knee: BelowKnee
    stress_MPa: Number = term("Stress of each bin, times the safety agreed", "σ_i", "MPa")
    cycles: Number = term("Load cycles of each bin", "n_i")
    static_limit_MPa: Number = term("Static limit", "σ_stat", "MPa")
    static_cycles: Number = term("Load cycles of the static limit", "N_stat")
    knee_limit_MPa: Number = term("Limit at the knee", "σ_D", "MPa")
    knee_cycles: Number = term("Load cycles at the knee", "N_D")
    long_limit_MPa: Number = term("Limit of long life", "σ_long", "MPa")
    long_cycles: Number = term("Load cycles of long life", "N_long")
    slope: Number = term("Slope of limited life", "k", "", "ln(N_D/N_stat)/ln(σ_stat/σ_D)")
    long_slope: Number = term(
        "Slope of long life", "k_long", words="ln(N_long/N_D)/ln(σ_D/σ_long); none where the limit stays"
    )
    bin_damage: Number = term(
        "Damage of each bin by the treatment agreed", "d_i", words="n_i/N_i, N_i of the curve at σ_i"
    )
    no_damage: Number = term(
        "Damage sum, none below the knee", "D_0", words="sum of the bins at or above σ_D"
    )
    long_life: Number = term(
        "Damage sum, line of the long-life factor below", "D_L", words="below σ_D N_D·(σ_D/σ_i)^k_long"
    )
    flatter_slope: Number = term(
        "Damage sum, slope 2k - 1 below", "D_H", words="below σ_D N_D·(σ_D/σ_i)^(2k - 1)"
    )
    same_slope: Number = term("Damage sum, same slope below", "D_E", words="N_D·(σ_D/σ_i)^k throughout")
    damage: Number = term("Damage sum that governs", "D", words="by the treatment agreed")

    @property
    def by_treatment(self) -> Mapping[BelowKnee, Number]:
        """The sum by each of the four treatments, least damage first as a rule."""
        return {
            BelowKnee.NO_DAMAGE: self.no_damage,
            BelowKnee.LONG_LIFE: self.long_life,
            BelowKnee.FLATTER_SLOPE: self.flatter_slope,
            BelowKnee.SAME_SLOPE: self.same_slope,
        }


def damage_sum(
    *,
    stress_MPa: Number,
    cycles: Number,
    static_limit_MPa: Number,
    static_cycles: Number,
    knee_limit_MPa: Number,
    knee_cycles: Number,
    long_limit_MPa: Number,
    long_cycles: Number,
    below_knee: BelowKnee,
) -> DamageSum:
    """Return the damage sum of a stress spectrum.

    D = Σ n_i/N_i, N_i = N_D (σ_D/σ_i)^k above the knee, by the treatment below it

    Parameters
    ----------
    stress_MPa, cycles : array
        σ_i in MPa, times the safety agreed, and n_i; the bins on the first axis.
    static_limit_MPa, knee_limit_MPa, long_limit_MPa : float or array
        σ_stat, σ_D, σ_long in MPa; they broadcast against one bin, or have the bins first too.
    static_cycles, knee_cycles, long_cycles : float or array
        N_stat, N_D, N_long.
    below_knee : BelowKnee
        The treatment that governs.

    Returns
    -------
    DamageSum
        Damage by bin and the four sums; a caution where a stress exceeds static strength.

    Raises
    ------
    InputError
        Fewer cycles than none, a stress below 0, or no bin.

    Notes
    -----
    Source: Palmgren and Miner; slope 2k - 1 by Haibach; curve of ISO 6336-2 and -3; from memory.
    Valid for: stress-cycle curves that fall from static strength to the knee.
    Departures: see the method.
    Checked: MINER-01, MINER-02, GEAR-01.

    Examples
    --------
    >>> d = damage_sum(
    ...     stress_MPa=[900, 480], cycles=[2e3, 1e7], static_limit_MPa=1250, static_cycles=1e3,
    ...     knee_limit_MPa=500, knee_cycles=3e6, long_limit_MPa=425, long_cycles=1e10,
    ...     below_knee=BelowKnee.LONG_LIFE)
    >>> round(d.no_damage, 4), round(d.damage, 4)
    (0.1134, 0.5479)
    """
    stress, counts = array(stress_MPa), array(cycles)
    _check(stress, counts)
    knee, knee_N = array(knee_limit_MPa), array(knee_cycles)
    static, long = array(static_limit_MPa), array(long_limit_MPa)
    k = np.log(knee_N / array(static_cycles)) / np.log(static / knee)
    flat = long >= knee
    k_long = np.log(array(long_cycles) / knee_N) / np.log(np.where(flat, np.nan, knee / long))
    with np.errstate(divide="ignore", over="ignore"):
        over = stress / knee
        limited = counts / knee_N * over**k
        tails = {
            BelowKnee.NO_DAMAGE: 0.0 * limited,
            BelowKnee.LONG_LIFE: np.where(flat, 0.0, counts / knee_N * over**k_long),
            BelowKnee.FLATTER_SLOPE: counts / knee_N * over ** (2 * k - 1),
            BelowKnee.SAME_SLOPE: limited,
        }
    bins = {name: _joined(over, limited, tail) for name, tail in tails.items()}
    sums = {name: part.sum(axis=0) for name, part in bins.items()}
    return DamageSum(
        below_knee=below_knee,
        stress_MPa=stress,
        cycles=counts,
        static_limit_MPa=static,
        static_cycles=static_cycles,
        knee_limit_MPa=knee,
        knee_cycles=knee_N,
        long_limit_MPa=long,
        long_cycles=long_cycles,
        slope=k,
        long_slope=k_long,
        bin_damage=bins[below_knee],
        no_damage=sums[BelowKnee.NO_DAMAGE],
        long_life=sums[BelowKnee.LONG_LIFE],
        flatter_slope=sums[BelowKnee.FLATTER_SLOPE],
        same_slope=sums[BelowKnee.SAME_SLOPE],
        damage=sums[below_knee],
        notices=_notices(stress, static, counts),
    )


def _joined(over: Array, limited: Array, tail: Array) -> Array:
    """Limited life from the knee up, the tail below; rounding must not push a stress at the knee below it."""
    joined = np.where(over >= 1 - 1e-12, limited, tail)
    return np.where(np.isnan(limited), np.nan, joined)


def _check(stress: Array, counts: Array) -> None:
    faults = Faults()
    faults.need(stress.ndim > 0 and stress.shape[0] > 0, "stress_MPa", stress, "one bin or more, bins first")
    faults.need(not np.any(stress < 0), "stress_MPa", stress, "stresses of 0 MPa or more")
    faults.need(not np.any(counts < 0), "cycles", counts, "0 load cycles or more")
    faults.check()


def _notices(stress: Array, static: Array, counts: Array) -> tuple[Notice, ...]:
    above = (stress > static) & (counts > 0)
    if not np.any(above):
        return ()
    worst = float(np.nanmax(np.where(above, stress, np.nan)))
    text = f"A stress of {worst:.4g} MPa, times the safety agreed, exceeds the static limit of the curve."
    return (Notice(Level.CAUTION, "iso6336_6.above_static", text),)
