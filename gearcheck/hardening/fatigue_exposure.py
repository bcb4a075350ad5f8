"""Exposure over depth by every criterion, for a hardness profile of any origin."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice
from gearcheck.basics.numbers import Array, Number, array, taken
from gearcheck.basics.results import Result, term
from gearcheck.hardening.criteria import CRITERIA, Criterion, envelope
from gearcheck.hardening.exposure import permissible_share
from gearcheck.hardening.history import checked_contact
from gearcheck.materials.fatigue import fatigue_limits, hydrostatic_weight
from gearcheck.materials.hardness import yield_strength_MPa


@dataclass(frozen=True, kw_only=True)
class CriteriaExposure(Result):
    """Stress, strength and exposure over depth by each criterion; depths on the last axis."""

    method: ClassVar[Method] = CRITERIA
    safety: Number = term("Safety against failure below the surface", "S")
    depth_mm: Number = term("Depth below the finished surface", "z", "mm")
    hardness_HV: Number = term("Hardness", "HV", "HV")
    residual_stress_MPa: Number = term("Residual stress", "σ_R", "MPa")
    hydrostatic_weight: Number = term("Weight of the hydrostatic stress", "a_D", "", "3·(0.577 - 1/2)")
    shear_stress_MPa: Number = term(
        "Largest shear stress of all points of contact", "τ_max", "MPa", words="on the load line"
    )
    shear_amplitude_MPa: Number = term(
        "Largest amplitude of orthogonal shear of all points of contact",
        "τ_a",
        "MPa",
        words="over the rolling cycle",
    )
    dang_van_MPa: Number = term(
        "Largest τ + a·σ_h of all points of contact, without residual stress",
        "τ_D",
        "MPa",
        words="over the rolling cycle",
    )
    permissible_shear_MPa: Number = term(
        "Permissible shear stress against yielding", "τ_P", "MPa", "0.55·0.577·(2.876·HV - 90.7)"
    )
    shear_limit_MPa: Number = term("Fully reversed shear limit", "t", "MPa", "0.577·1.6·HV")
    inclusion_root_area_um: Number = term("Root of the projected area of the inclusion", "a", "µm")
    inclusion_limit_MPa: Number = term(
        "Fully reversed shear limit with the inclusion", "t_i", "MPa", "min(t, 0.774·1.56·(HV + 120)/a^(1/6))"
    )
    yielding: Number = term("Exposure by yielding", "A_Y", "", "S·τ_max/τ_P")
    amplitude: Number = term("Exposure by the amplitude of orthogonal shear", "A_A", "", "S·τ_a/t")
    inclusions: Number = term("The same with inclusions, the upper bound", "A_I", "", "S·τ_a/t_i")
    dang_van: Number = term("Exposure by Dang Van", "A_D", "", "(S·τ_D + a_D·2·σ_R/3)/t")

    def of(self, criterion: Criterion) -> Array:
        """Return the exposure at every depth by one criterion."""
        return array(
            {
                Criterion.YIELDING: self.yielding,
                Criterion.SHEAR_AMPLITUDE: self.amplitude,
                Criterion.INCLUSIONS: self.inclusions,
                Criterion.DANG_VAN: self.dang_van,
            }[criterion]
        )

    def largest(self, criterion: Criterion) -> tuple[Array, Array]:
        """Return the largest exposure of all depths by one criterion, and the depth in mm where it stands.

        A measured residual stress ends somewhere: by Dang Van the depths below that are left out.
        """
        exposure = self.of(criterion)
        unknown = np.broadcast_to(np.isnan(array(self.residual_stress_MPa)), exposure.shape)
        left_out = unknown & (criterion is Criterion.DANG_VAN)
        place = np.where(left_out, -np.inf, exposure).argmax(axis=-1)
        depth = np.broadcast_to(array(self.depth_mm), exposure.shape)
        return taken(exposure, place), taken(depth, place)


def criteria_exposure(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    friction: Number,
    depth_mm: Number,
    hardness_HV: Number,
    residual_stress_MPa: Number,
    inclusion_root_area_um: Number,
    safety: Number,
) -> CriteriaExposure:
    """Return stress, strength and exposure over depth by every criterion, for any hardness profile.

    A_Y = S τ_max/(0.55 · 0.577 σ_y), A_A = S τ_a/t, A_I = S τ_a/t_i, A_D = (S τ_D + a · 2 σ_R/3)/t

    Parameters
    ----------
    half_width_mm, pressure_MPa, friction : float or array
        b_H in mm, p_0 in MPa and μ along the path, shape (samples, points).
    depth_mm : array
        z in mm below the finished surface; depths on the last axis.
    hardness_HV : array
        HV at each depth, of a model, predicted, measured, or softened by the grind, shape (samples, depths).
    residual_stress_MPa : float or array
        σ_R at each depth, compression negative, shape (samples, depths); it counts for Dang Van alone.
    inclusion_root_area_um : float or array
        √area of the largest inclusion to reckon with, µm, shape (samples).
    safety : float or array
        S, on the stress of the load, shape (samples).

    Returns
    -------
    CriteriaExposure
        Each over depth, shape (samples, depths); no value where hardness or residual stress has none, and
        where the hardness is too low for a strength, with a stop notice.

    Raises
    ------
    InputError
        A half-width, pressure, depth or hardness below 0, an inclusion of 0 µm, or another number of
        hardnesses than of depths.

    Notes
    -----
    Source: Pedersen and Rice; Pavlina and Van Tyne; Murakami; Dang Van; all constants from memory.
    Valid for: S of 0 or more, μ up to 0.5; a stop notice otherwise.
    Departures: see the method; ISO/TS 6336-4 is not built.
    Checked: EXPOSURE-PAIRS.

    Examples
    --------
    >>> found = criteria_exposure(half_width_mm=[0.3], pressure_MPa=[1500], friction=[0.0],
    ...     depth_mm=[0.15, 0.3], hardness_HV=[690, 660], residual_stress_MPa=[-300, -280],
    ...     inclusion_root_area_um=30, safety=1.2)
    >>> found.amplitude.round(3).tolist(), found.dang_van.round(3).tolist()
    ([0.706, 0.644], [0.451, 0.428])
    """
    b, p_0, mu = np.atleast_1d(
        *np.broadcast_arrays(array(half_width_mm), array(pressure_MPa), array(friction))
    )
    z, hard, S = np.atleast_1d(array(depth_mm)), array(hardness_HV), array(safety)
    checked_contact(half_width_mm=b, pressure_MPa=p_0, depth_mm=z)
    faults = Faults()
    same = hard.shape[-1:] == z.shape[-1:]
    faults.need(same, "hardness_HV", f"{hard.shape[-1:]} values", f"{z.shape[-1]}, one for each depth")
    faults.check()
    limits = fatigue_limits(hardness_HV=hard, inclusion_root_area_um=array(inclusion_root_area_um)[..., None])
    stress = envelope(depth_mm=z, half_width_mm=b, pressure_MPa=p_0, friction=mu)
    permissible = permissible_share() * yield_strength_MPa(hardness_HV=hard)
    soft = permissible <= 0
    permissible = np.where(soft, np.nan, permissible)
    shear_limit, inclusion_limit = (
        np.where(soft, np.nan, array(limit)) for limit in (limits.shear_limit_MPa, limits.inclusion_limit_MPa)
    )
    load = np.where(S >= 0, S, np.nan)[..., None]
    residual = hydrostatic_weight() * 2 / 3 * array(residual_stress_MPa)
    return CriteriaExposure(
        safety=S[..., None],
        depth_mm=z,
        hardness_HV=hard,
        residual_stress_MPa=residual_stress_MPa,
        hydrostatic_weight=hydrostatic_weight(),
        shear_stress_MPa=stress.shear,
        shear_amplitude_MPa=stress.amplitude,
        dang_van_MPa=stress.dang_van,
        permissible_shear_MPa=permissible,
        shear_limit_MPa=shear_limit,
        inclusion_root_area_um=limits.inclusion_root_area_um,
        inclusion_limit_MPa=inclusion_limit,
        yielding=load * stress.shear / permissible,
        amplitude=load * stress.amplitude / shear_limit,
        inclusions=load * stress.amplitude / inclusion_limit,
        dang_van=(load * stress.dang_van + residual) / shear_limit,
        notices=(*CRITERIA.outside(safety=S, friction=mu), *limits.notices, *_soft(hard[soft])),
    )


def _soft(hardness: Array) -> tuple[Notice, ...]:
    if not hardness.size:
        return ()
    text = f"A hardness of {hardness[0]:.4g} HV has no yield strength: no exposure there."
    return (Notice(Level.STOP, "case.criteria.soft", text),)
