"""The case as drawn held against the load of one mesh by the criterion that governs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from gearcheck.basics.numbers import Array, Number
from gearcheck.hardening.below import Below
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_depth import CriterionDepth, solved_depth
from gearcheck.hardening.required import required_case_depth


@dataclass(frozen=True)
class Exposed:
    """The loaded flank of one mesh.

    Parameters
    ----------
    criterion : Criterion
        The one that governs.
    below : Below
        The flank under its heaviest load.
    force_N : ndarray
        F_t K of that load.
    exposure : ndarray or None
        The largest below the shallowest and the deepest case drawn, shape (samples); None without a case.
    """

    criterion: Criterion
    below: Below
    force_N: Array
    exposure: Number

    @cached_property
    def needed_mm(self) -> Number:
        """The least finished case depth at 550 HV by that criterion; NaN or None where none suffices."""
        below = self.below
        if self.criterion is not Criterion.YIELDING:
            return self._solved.depth_mm
        return required_case_depth(
            half_width_mm=below.half_width,
            pressure_MPa=below.pressure,
            surface_hardness_HV=below.surface,
            core_hardness_HV=below.core,
            safety=below.safety,
        ).depth_mm

    @property
    def enough_to_mm(self) -> Number:
        """The finished case depth from which it is too deep again; NaN or None where it never is."""
        return None if self.criterion is Criterion.YIELDING else self._solved.enough_to_mm

    @cached_property
    def _solved(self) -> CriterionDepth:
        return solved_depth(self.criterion, self.below)
