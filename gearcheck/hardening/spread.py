"""The sum of independent deviations: a sine over the teeth, uniform ones and a normal one, without chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.special import j0

from gearcheck.basics.numbers import Array, Number, array

LEAST_DEVIATION_MM = 5e-4
"""Normal deviation that is always there: half a micrometre, below what a flank is measured to."""

_ORDERS = np.arange(1, 513)
_REACH = 8.0  # normal deviations
_HALVINGS = 34


@dataclass(frozen=True)
class Spread:
    """Deviations about a mean of 0, in mm, each shape (samples).

    Parameters
    ----------
    sine : ndarray
        Amplitude of a sine that the teeth meet at every phase.
    uniform : sequence of ndarray
        Half widths of uniform deviations.
    normal : ndarray
        Standard deviation of the normal one.

    Notes
    -----
    The product of the characteristic functions, J_0(A t) Π sin(d t)/(d t) e^(-σ² t²/2), is the Fourier series
    of the density on an interval that holds all of it; integrated, it is the distribution.
    """

    sine: Array
    uniform: Sequence[Array]
    normal: Array

    @property
    def deviation(self) -> Array:
        """Standard deviation of the sum, mm."""
        squares = sum((half**2 / 3 for half in self.uniform), start=self.sine**2 / 2 + self.normal**2)
        return np.sqrt(array(squares))

    @property
    def _smooth(self) -> Array:
        return np.maximum(self.normal, LEAST_DEVIATION_MM)

    @cached_property
    def _half(self) -> Array:
        return array(sum(self.uniform, start=self.sine + _REACH * self._smooth))

    @cached_property
    def _series(self) -> Array:
        """Coefficients of the sines of the distribution, shape (samples, orders)."""
        t = np.pi * _ORDERS / self._half[..., None]
        product = j0(self.sine[..., None] * t) * np.exp(-((self._smooth[..., None] * t) ** 2) / 2)
        for half in self.uniform:
            product = product * np.sinc(half[..., None] * t / np.pi)
        return array(product / (np.pi * _ORDERS))

    def below(self, deviation_mm: Number) -> Array:
        """Return the share that lies below a deviation.

        Parameters
        ----------
        deviation_mm : float or array
            Shape (samples).

        Returns
        -------
        ndarray of float
            From 0 to 1.
        """
        x, half = np.broadcast_arrays(array(deviation_mm), self._half)
        place = np.clip(x / half, -1, 1)
        waves = np.sin(np.pi * place[..., None] * _ORDERS)
        return array(np.clip(0.5 + place / 2 + (waves * self._series).sum(axis=-1), 0, 1))

    def quantile(self, share: Number) -> Array:
        """Return the deviation below which a share lies.

        Parameters
        ----------
        share : array
            Between 0 and 1, shape (shares).

        Returns
        -------
        ndarray of float
            Shape (samples, shares), mm.
        """
        wanted = array(share)
        many = Spread(
            self.sine[..., None], [half[..., None] for half in self.uniform], self.normal[..., None]
        )
        low = np.broadcast_to(-many._half, np.broadcast_shapes(many._half.shape, wanted.shape))
        high = -low
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            less = many.below(middle) < wanted
            low, high = np.where(less, middle, low), np.where(less, high, middle)
        return array((low + high) / 2)
