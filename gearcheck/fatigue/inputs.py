"""What the fatigue room needs to know of the tests of specimens."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.methods import Status
from gearcheck.basics.numbers import Array, Number


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


class Aspect(StrEnum):
    """What can differ between a specimen and the part: the rows of the pedigree."""

    HEAT = "heat of steel"
    SECTION = "section"
    CASE = "case"
    STOCK = "stock"
    FINISH = "finish"
    PEENING = "peening"
    LUBRICANT = "lubricant"
    TEMPERATURE = "temperature"
    STRESS_RATIO = "stress ratio"
    FREQUENCY = "frequency"
    RIG = "rig"
    SIZE = "number of teeth"


class TransferKind(StrEnum):
    """How what a transfer does to the strength is found."""

    FACTOR = "factor"
    WEAKEST_TOOTH = "weakest tooth"
    STRESS_RATIO = "stress ratio"


@dataclass(frozen=True, kw_only=True)
class Transfer:
    """One named step from the strength of the specimens to that of the part.

    Parameters
    ----------
    name : str
        As the user calls it.
    kind : TransferKind
        A factor that is given; the weakest of all teeth, which follows from their number and the share of the
        scatter within a gear; another stress ratio, which follows from the mean stress sensitivity.
    source : str
        Where it comes from.
    status : Status
        How well it is known.
    covers : tuple of Aspect
        The differences that it answers.
    factor : float, array or None
        On the strength; None where it follows.
    variation : float or array
        Coefficient of variation of the factor: how well it is known.
    sensitivity : float, array or None
        Mean stress sensitivity M, for another stress ratio.
    despite : str
        Why it may stand beside another one that covers the same; empty where none does.
    """

    name: str
    kind: TransferKind
    source: str
    status: Status
    covers: tuple[Aspect, ...]
    factor: Number = None
    variation: Number = 0.0
    sensitivity: Number = None
    despite: str = ""


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One row of the pedigree: how specimen and part differ, or that they do not.

    Parameters
    ----------
    what : Aspect
        Which row.
    specimen, part : str
        What it is there and here; the same words where nothing differs.
    reason : str
        Why the difference does no harm; empty where a transfer answers it, or nothing does.
    """

    what: Aspect
    specimen: str
    part: str
    reason: str = ""
