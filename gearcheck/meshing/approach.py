"""How both flanks give way below the contact itself, and how much more at a little more load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array
from gearcheck.contact.hertz import approach_shape

_LEAST = 1e-7
"""Below this line load per contact modulus and radius the approach goes straight to nothing."""


@dataclass(frozen=True)
class LocalApproach:
    """The approach of two flanks in line contact, seen from the centre lines of both teeth.

    Parameters
    ----------
    radius_mm : ndarray
        Reduced radius in the normal section, any shape.
    depths_mm : tuple of ndarray
        Reference depths in pinion and wheel, same shape.
    modulus_MPa, poisson : float
        Of both gears.
    """

    radius_mm: Array
    depths_mm: tuple[Array, Array]
    modulus_MPa: float
    poisson: float

    @property
    def contact_modulus_MPa(self) -> float:  # noqa: N802 - carries its unit
        """E_c of both bodies."""
        return self.modulus_MPa / (2.0 * (1.0 - self.poisson**2))

    def at(self, where: tuple[np.typing.NDArray[np.intp], ...]) -> LocalApproach:
        """Return that of some of the contacts."""
        first, second = self.depths_mm
        return LocalApproach(
            self.radius_mm[where], (first[where], second[where]), self.modulus_MPa, self.poisson
        )

    def of(self, line_load: Array) -> tuple[Array, Array]:
        """Return approach and its slope at a line load.

        Parameters
        ----------
        line_load : ndarray
            N/mm; where it is nearly nothing, or negative on the way to a solution, both go on straight.

        Returns
        -------
        approach, slope : ndarray
            mm, and mm per N/mm.
        """
        least = _LEAST * self.contact_modulus_MPa * self.radius_mm
        load = np.maximum(line_load, least)
        half = np.sqrt(4.0 * load * self.radius_mm / (np.pi * self.contact_modulus_MPa))
        soft = 2.0 / np.pi * (1.0 - self.poisson**2) / self.modulus_MPa
        approach, slope = np.zeros_like(load), np.zeros_like(load)
        for depth in self.depths_mm:
            shape, steep = approach_shape(depth / half, self.poisson)
            approach += soft * load * shape
            slope += soft * (shape - steep * depth / half / 2.0)
        straight = line_load < least
        with_line = approach / load
        return (
            np.where(straight, with_line * line_load, approach),
            np.where(straight, with_line, slope),
        )
