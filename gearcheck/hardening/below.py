"""A flank with a case of any depth, and how far each criterion is used up below it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.hardening.criteria import Criterion, Envelope, envelope
from gearcheck.hardening.exposure import permissible_share
from gearcheck.hardening.profile import hardness_profile
from gearcheck.hardening.residual import ResidualStress, lang_stress_MPa, mean_to
from gearcheck.materials.fatigue import fatigue_limits, hydrostatic_weight
from gearcheck.materials.hardness import yield_strength_MPa

_NO_CASE = 1e-9  # mm: a case without depth, so that the core alone stands below the surface
_NO_STRENGTH = 1e-9  # MPa
_WIDTH_WITHOUT_LOAD = 0.1  # mm
# in half-widths of the widest contact: close near the surface, down to where little stress is left
_GRID = 20 * np.sinh(np.linspace(0, 6, 200)) / np.sinh(6)


def peak(depth: Array, exposure: Array) -> Array:
    """Return the largest exposure of all depths, also where it lies between two of them.

    Parameters
    ----------
    depth, exposure : ndarray
        Depths on the last axis.

    Returns
    -------
    ndarray
        The top of the parabola through the largest and its two neighbours, without the axis of depths.
    """
    depth = np.broadcast_to(depth, exposure.shape)
    middle = np.clip(exposure.argmax(axis=-1), 1, exposure.shape[-1] - 2)[..., None] + np.array([-1, 0, 1])
    (z_0, z_1, z_2), (A_0, A_1, A_2) = (
        np.moveaxis(np.take_along_axis(values, middle, axis=-1), -1, 0) for values in (depth, exposure)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = (A_1 - A_0) / (z_1 - z_0)
        bend = ((A_2 - A_1) / (z_2 - z_1) - rise) / (z_2 - z_0)
        top = np.clip((z_0 + z_1 - rise / bend) / 2, z_0, z_2)
        between = A_0 + (top - z_0) * (rise + bend * (top - z_1))
    largest = exposure.max(axis=-1)
    return array(np.where(np.isfinite(between) & (bend < 0), np.maximum(between, largest), largest))


@dataclass(frozen=True)
class State:
    """Everything at each depth of a case; cases, then depths on the last axes.

    Parameters
    ----------
    hardness, residual, strength, exposure : ndarray
        HV, MPa, MPa and a pure number.
    """

    hardness: Array
    residual: Array
    strength: Array
    exposure: Array


@dataclass(frozen=True)
class Below:
    """The loaded flank; samples first, points of contact on the last axis.

    Parameters
    ----------
    half_width, pressure, friction : ndarray
        b_H in mm, p_0 in MPa, μ, shape (samples, points), or (points) where no sample changes them.
    surface, core, safety, inclusion : ndarray
        HV_s, HV_c, S and √area in µm, shape (samples).
    residual : ResidualStress
        Which residual stress is added.
    half_thickness : ndarray
        Half the tooth thickness in mm, shape (samples), for the balance; no depth below it is assessed.
    known : Envelope or None
        The stress at the depths assessed, where it is at hand.
    """

    half_width: Array
    pressure: Array
    friction: Array
    surface: Array
    core: Array
    safety: Array
    inclusion: Array
    residual: ResidualStress
    half_thickness: Array
    known: Envelope | None = None

    def at_load(self, share: Array) -> Below:
        """Return the same flank under another load: stress and every length grow with the root of it.

        Parameters
        ----------
        share : ndarray
            The line load over that of this flank, above 0, shape (samples).

        Returns
        -------
        Below
            Nothing of the field is worked out again.
        """
        grown = np.sqrt(share)[..., None]
        stress = Envelope(
            *(
                array(part * grown)
                for part in (self.stress.shear, self.stress.amplitude, self.stress.dang_van)
            )
        )
        return replace(self, half_width=self.half_width * grown, pressure=self.pressure * grown, known=stress)

    def some(self, samples: slice) -> Below:
        """Return the flank of some of the samples, which differ in steel and safety and share the contact.

        Parameters
        ----------
        samples : slice
            Which of them.

        Returns
        -------
        Below
            Nothing of the field is worked out again.
        """
        parts = ("surface", "core", "safety", "inclusion", "half_thickness")
        return replace(self, known=self.stress, **{name: getattr(self, name)[samples] for name in parts})

    @cached_property
    def width(self) -> Array:
        """Half-width of the widest contact in mm: what depths and cases are measured by."""
        widest = self.half_width.max(axis=-1)
        return array(np.where(widest == 0, _WIDTH_WITHOUT_LOAD, widest))

    @cached_property
    def depth(self) -> Array:
        """The depths assessed, in mm, shape (samples, depths)."""
        return array(self.width[..., None] * _GRID)

    @cached_property
    def stress(self) -> Envelope:
        """The stress measures at these depths; no case changes them."""
        return self.known or envelope(
            depth_mm=self.depth,
            half_width_mm=self.half_width,
            pressure_MPa=self.pressure,
            friction=self.friction,
        )

    def state(self, criterion: Criterion, case: Array) -> State:
        """Return hardness, residual stress, strength and exposure at every depth of each case.

        Parameters
        ----------
        criterion : Criterion
            Stress measure and strength.
        case : ndarray
            Case depth at 550 HV in mm, shape (samples, cases).

        Returns
        -------
        State
            Shape (samples, cases, depths).
        """
        depth = self.depth[..., None, :]
        hardness = array(
            hardness_profile(
                depth_mm=depth,
                surface_hardness_HV=self.surface[..., None],
                core_hardness_HV=self.core[..., None],
                case_depth_mm=np.maximum(case, _NO_CASE),
            ).hardness_HV
        )
        # what has no strength bears no load at all
        strength = np.maximum(self._strength(criterion, hardness), _NO_STRENGTH)
        load = self.safety[..., None, None] * self.stress.of(criterion)[..., None, :]
        # beyond the middle of the tooth the other flank begins
        load = np.where(depth > self.half_thickness[..., None, None], -np.inf, load)
        if criterion is not Criterion.DANG_VAN:
            return State(hardness, array(0.0), strength, load / strength)
        residual = self._residual(hardness, depth)
        return State(
            hardness, residual, strength, (load + hydrostatic_weight() * 2 / 3 * residual) / strength
        )

    def largest(self, criterion: Criterion, case: Array) -> Array:
        """Return the largest exposure of all depths of each case, shape (samples, cases).

        Parameters
        ----------
        criterion : Criterion
            Stress measure and strength.
        case : ndarray
            Case depth at 550 HV in mm, shape (samples, cases).

        Returns
        -------
        ndarray
            NaN where a value has none.
        """
        return peak(self.depth[..., None, :], self.state(criterion, case).exposure)

    def _strength(self, criterion: Criterion, hardness: Array) -> Array:
        if criterion is Criterion.YIELDING:
            return permissible_share() * yield_strength_MPa(hardness_HV=hardness)
        limits = fatigue_limits(hardness_HV=hardness, inclusion_root_area_um=self.inclusion[..., None, None])
        return array(
            limits.inclusion_limit_MPa if criterion is Criterion.INCLUSIONS else limits.shear_limit_MPa
        )

    def _residual(self, hardness: Array, depth: Array) -> Array:
        if self.residual is ResidualStress.NONE:
            return np.zeros_like(hardness)
        stress = lang_stress_MPa(hardness_above_core_HV=hardness - self.core[..., None, None])
        if self.residual is ResidualStress.LANG:
            return stress
        mean = mean_to(depth_mm=depth, value=stress, reach_mm=self.half_thickness[..., None])
        return array(stress - mean[..., None])
