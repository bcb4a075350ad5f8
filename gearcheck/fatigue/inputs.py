"""What the fatigue room needs to know of the tests of specimens."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array


class Place(StrEnum):
    """Where a specimen is tested: root and flank are never mixed."""

    ROOT = "root"
    FLANK = "flank"


class Distribution(StrEnum):
    """How lives scatter about the median, or their logarithms do."""

    LOGNORMAL = "lognormal"
    WEIBULL = "Weibull"


class Curve(StrEnum):
    """The form of the stress-cycle curve that is fitted, failures and run-outs together."""

    ONE_LEVEL = "one level"
    STRAIGHT = "straight line"
    CURVED = "curved line"
    SPREADING = "curved line, scatter by stress"
    FIXED_LIMIT = "fixed fatigue limit"
    RANDOM_LIMIT = "random fatigue limit"
    TWO_SLOPES = "two slopes in load direction"


@dataclass(frozen=True, kw_only=True)
class FatigueData:
    """Tests of one kind: each array has one entry a specimen, in any order.

    Parameters
    ----------
    stress_MPa : ndarray
        Stress of the test, above 0.
    cycles : ndarray
        Life where it failed, else the cycles after which it was taken out; above 0.
    failed : ndarray of bool
        Whether it failed.
    sound_cycles : ndarray or None
        Where a failure was only found at an inspection: the cycles at which it was last seen sound, 0 where
        never; NaN where the life is known. None where all are known.
    specimens, gears, batches : tuple of str
        Names; teeth of one gear share its name. Empty where nothing is shared.
    """

    stress_MPa: Array
    cycles: Array
    failed: NDArray[np.bool_]
    sound_cycles: Array | None = None
    specimens: tuple[str, ...] = ()
    gears: tuple[str, ...] = ()
    batches: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """How many specimens."""
        return int(self.stress_MPa.size)

    def some(self, rows: NDArray[np.bool_]) -> FatigueData:
        """Return the specimens that are marked.

        Parameters
        ----------
        rows : ndarray of bool
            One entry a specimen.
        """

        def named(of: tuple[str, ...]) -> tuple[str, ...]:
            return tuple(name for name, keep in zip(of, rows, strict=True) if keep) if of else ()

        return replace(
            self,
            stress_MPa=self.stress_MPa[rows],
            cycles=self.cycles[rows],
            failed=self.failed[rows],
            sound_cycles=None if self.sound_cycles is None else self.sound_cycles[rows],
            specimens=named(self.specimens),
            gears=named(self.gears),
            batches=named(self.batches),
        )
