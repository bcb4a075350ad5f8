"""What a gear sees in service, or on a rig: its stresses, their cycles, its teeth, its transfers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.model import LONG_SLOPE
from gearcheck.fatigue.weakest import gear_failed_share, tooth_failed_share

_SAME_LIFE = 0.01
_WEAKEST, _STRONGEST = -30.0, 8.0  # quantiles beyond which a share is 0 or 1


@dataclass(frozen=True, kw_only=True)
class Service:
    """A spectrum of stresses on a gear, or on several in a set that is lost with its first.

    Parameters
    ----------
    stress_MPa, cycles : ndarray of shape (bins,)
        Stress of each bin, as the specimens were stressed, and its cycles of one tooth in the life wanted.
    life_h : float
        The life wanted.
    below_knee : BelowKnee
        How a curve goes on beyond the run-out life.
    run_out_cycles : float
        To how many cycles the specimens were to be tested: there the rule takes over.
    teeth : float
        Of a gear, each like a specimen; 1 where the specimen was a whole gear.
    within_share : float
        Share of the variance of strength that lies between teeth of one gear.
    gears : int
        Of the set, with the same load.
    log_factor, log_deviation : float
        Logarithm of the strength of the gear over that of the specimen, by transfers, and how well it is
        known: one value for all gears.
    long_slope : float
        Slope beyond the run-out life by the line of the long-life factor.
    load_variation : float
        Coefficient of variation of the load from one set to the next; it stays for the life of a set.
    """

    stress_MPa: Array
    cycles: Array
    below_knee: BelowKnee
    run_out_cycles: float
    life_h: float = 1.0
    teeth: float = 1.0
    within_share: float = 1.0
    gears: int = 1
    log_factor: float = 0.0
    log_deviation: float = 0.0
    load_variation: float = 0.0
    long_slope: float = LONG_SLOPE

    @property
    def load_deviation(self) -> float:
        """Standard deviation of the logarithm of the load."""
        return float(np.sqrt(np.log1p(self.load_variation**2)))

    def extrapolated(self, longest: float, sees: str) -> str:
        """Say what no specimen has seen of the life; empty where all was tested.

        Parameters
        ----------
        longest : float
            Cycles of the longest test.
        sees : str
            Who runs longer, as in "a tooth sees {} in the life wanted".
        """
        cycles, knee = float(array(self.cycles).sum()), self.run_out_cycles
        if cycles <= min(longest, knee):
            return ""
        as_told = abs(longest / knee - 1.0) < _SAME_LIFE
        where = "" if as_told else f", from {number_text(knee, 3)} cycles on"
        return (
            f"The specimens were tested to {number_text(longest, 3)} cycles, "
            f"{sees.format(number_text(cycles, 3))}: what lies "
            f"beyond is extrapolated{where} by the rule “{self.below_knee}”."
        )

    def checked(self, faults: Faults) -> None:
        """Note what cannot be used.

        Parameters
        ----------
        faults : Faults
            Where it is noted.
        """
        stress, cycles = array(self.stress_MPa), array(self.cycles)
        faults.need(
            stress.ndim == 1 and stress.shape == cycles.shape and stress.size > 0,
            "stress_MPa",
            f"{stress.size} stresses and {cycles.size} counts of cycles",
            "one stress and one count a bin",
        )
        faults.need(
            bool(np.all(np.isfinite(stress) & (stress > 0))), "stress_MPa", stress, "stresses above 0"
        )
        faults.need(
            bool(np.all(np.isfinite(cycles) & (cycles >= 0)) and cycles.sum() > 0),
            "cycles",
            cycles,
            "0 or more, and some above 0",
        )
        for name, least in (("run_out_cycles", 0.0), ("life_h", 0.0), ("long_slope", 1.0)):
            given = getattr(self, name)
            faults.need(np.isfinite(given) and given > least, name, given, "a number above 0")
        for name in ("log_deviation", "load_variation"):
            faults.need(getattr(self, name) >= 0, name, getattr(self, name), "0 or more")
        faults.need(self.teeth >= 1, "teeth", self.teeth, "1 tooth or more")
        faults.need(self.gears >= 1, "gears", self.gears, "1 gear or more")
        faults.need(
            0 <= self.within_share <= 1, "within_share", self.within_share, "a share of the variance, 0 to 1"
        )

    def set_failed_share(self, quantile: Number) -> Array:
        """Return the share of sets that are lost where specimens up to a quantile of strength fail.

        Parameters
        ----------
        quantile : float or array
            In standard deviations of the normal distribution.
        """
        tooth = ndtr(np.clip(array(quantile), _WEAKEST, _STRONGEST))
        gear = gear_failed_share(tooth_failed_share=tooth, teeth=self.teeth, within_share=self.within_share)
        with np.errstate(divide="ignore"):
            return array(-np.expm1(self.gears * np.log1p(-np.minimum(gear, 1.0))))

    def specimen_quantile(self, set_failed_share: Number) -> Array:
        """Return the quantile of strength up to which specimens may fail where this share of sets may.

        Parameters
        ----------
        set_failed_share : float or array
            Above 0 and below 1.
        """
        gear = -np.expm1(np.log1p(-array(set_failed_share)) / self.gears)
        return array(
            ndtri(
                tooth_failed_share(gear_failed_share=gear, teeth=self.teeth, within_share=self.within_share)
            )
        )
