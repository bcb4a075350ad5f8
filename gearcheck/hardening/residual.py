"""Residual stress of the case: from its hardness, in balance with the core, or measured."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

RESIDUAL = Method(
    key="lang.residual_stress",
    title="Residual stress of the case",
    source="Lang, published model",
    edition="1979",
    clause="residual stress from the hardness above the core",
    status=Status.FROM_MEMORY,
    valid=(Range("hardness_above_core_HV", "ΔHV", 0, 500, "HV"),),
    implements=(
        "both branches over the difference of hardness",
        "a form of our own that is in balance over half the thickness of the tooth",
    ),
    leaves_out=(
        "the residual stress that grinding or peening leaves in the skin",
        "retained austenite, which takes compression from the skin",
    ),
    departures=(
        "As remembered it has no tension in the core that balances the compression of the case.",
        "Balanced, one constant is added at every depth, so that no force is left over half the thickness: "
        "an elastic strain of the whole section, as if the model gave the misfit of the case; this is ours, "
        "not Lang's.",
        "Equal along and across the flank, none normal to it.",
    ),
)


class ResidualStress(StrEnum):
    """Which residual stress is added to that of the load."""

    NONE = "none"
    LANG = "Lang"
    BALANCED = "Lang, in balance with the core"


@dataclass(frozen=True, kw_only=True)
class ResidualProfile(Result):
    """Residual stress at each depth, compression negative; depths on the last axis."""

    method: ClassVar[Method] = RESIDUAL
    depth_mm: Number = term("Depth below the surface", "z", "mm")
    hardness_above_core_HV: Number = term("Hardness above the core", "ΔHV", "HV")
    model_MPa: Number = term(
        "Residual stress by the model",
        "σ_L",
        "MPa",
        words="-1.25·ΔHV up to 300 HV, 0.2857·ΔHV - 460 above; 0 without it",
    )
    balance_MPa: Number = term(
        "Tension that balances it",
        "σ_B",
        "MPa",
        words="-1/h·∫σ_L dz from 0 to half the thickness h; 0 where no balance is asked for",
    )
    residual_stress_MPa: Number = term("Residual stress", "σ_R", "MPa", "σ_L + σ_B")


def lang_stress_MPa(*, hardness_above_core_HV: Number) -> Array:  # noqa: N802 - carries its unit
    """Return the residual stress of a case from its hardness above the core.

    σ = -1.25 ΔHV up to 300 HV, 0.2857 ΔHV - 460 above

    Parameters
    ----------
    hardness_above_core_HV : float or array
        ΔHV; below 0, where the case is softer than the core, the first branch goes on into tension.

    Returns
    -------
    ndarray of float
        σ in MPa, compression negative.

    Notes
    -----
    Checked: CASE-09.
    """
    rise, line = array(hardness_above_core_HV), table("lang_residual_stress").value
    high = line("flat") * rise + line("offset")
    return array(np.where(rise <= line("limit"), -line("steep") * rise, high))


def mean_to(*, depth_mm: Array, value: Array, reach_mm: Array) -> Array:
    """Return the mean of a value over depth from the surface to a reach, in straight lines between depths.

    Parameters
    ----------
    depth_mm, value : ndarray
        Depths from 0, rising, and what stands there, on the last axis; beyond the last the value stays.
    reach_mm : ndarray
        The depth to which the mean is taken, without that axis.

    Returns
    -------
    ndarray of float
        (1/h) ∫ value dz from 0 to h.
    """
    step, change = np.diff(depth_mm, axis=-1), np.diff(value, axis=-1)
    h = reach_mm[..., None]
    share = np.clip((h - depth_mm[..., :-1]) / step, 0, 1)
    inside = (step * share * (value[..., :-1] + share * change / 2)).sum(axis=-1)
    beyond = np.maximum(h - depth_mm[..., -1:], 0)[..., 0] * value[..., -1]
    return array((inside + beyond) / reach_mm)


def residual_stress(
    *,
    depth_mm: Number,
    hardness_HV: Number,
    core_hardness_HV: Number,
    model: ResidualStress,
    half_thickness_mm: Number = None,
) -> ResidualProfile:
    """Return the residual stress over the depth of a case from its hardness.

    σ_R(z) = σ_L(HV(z) - HV_c) - (1/h) ∫ σ_L dz, the last only where it is asked to be in balance

    Parameters
    ----------
    depth_mm : array
        z in mm from 0, rising; depths on the last axis.
    hardness_HV : array
        HV at each depth, shape (samples, depths).
    core_hardness_HV : float or array
        HV_c, shape (samples).
    model : ResidualStress
        None, that of Lang, or Lang in balance with the core.
    half_thickness_mm : float or array, optional
        h, half the tooth thickness at that place, in mm, shape (samples); needed for the balance.

    Returns
    -------
    ResidualProfile
        σ_R in MPa, shape (samples, depths).

    Raises
    ------
    InputError
        Depths that do not rise from 0, or a balance without a thickness above 0.

    Notes
    -----
    Source: Lang, from memory; the balance is our own.
    Valid for: 0 to 500 HV above the core; a caution outside.
    Departures: Lang's has no tension in the core; see the method for the balanced form.
    Checked: CASE-09, RESIDUAL-BALANCE.

    Examples
    --------
    >>> profile = residual_stress(depth_mm=[0, 1, 2], hardness_HV=[600, 400, 400], core_hardness_HV=400,
    ...     model=ResidualStress.BALANCED, half_thickness_mm=2.0)
    >>> profile.residual_stress_MPa.tolist()
    [-187.5, 62.5, 62.5]
    """
    z, hard, core = array(depth_mm), array(hardness_HV), array(core_hardness_HV)
    h = array(half_thickness_mm)
    balanced = model is ResidualStress.BALANCED
    faults = Faults()
    rising = z.ndim > 0 and bool((z[..., 0] == 0).all() and (np.diff(z, axis=-1) > 0).all())
    faults.need(rising, "depth_mm", depth_mm, "depths that rise from 0 mm")
    faults.need(
        not balanced or not (np.isnan(h) | (h <= 0)).any(),
        "half_thickness_mm",
        half_thickness_mm,
        "above 0 mm",
    )
    faults.check()
    rise = hard - core[..., None]
    stress = 0.0 * rise if model is ResidualStress.NONE else lang_stress_MPa(hardness_above_core_HV=rise)
    balance = -mean_to(depth_mm=z, value=stress, reach_mm=h)[..., None] if balanced else array(0.0)
    return ResidualProfile(
        depth_mm=z,
        hardness_above_core_HV=rise,
        model_MPa=stress,
        balance_MPa=balance,
        residual_stress_MPa=stress + balance,
        notices=RESIDUAL.outside(hardness_above_core_HV=rise),
    )


def measured_residual_stress(
    *, depth_mm: Number, measured_depth_mm: Number, measured_MPa: Number
) -> ResidualProfile:
    """Return a measured residual stress at the depths asked for, in straight lines between its points.

    Parameters
    ----------
    depth_mm : array
        z in mm; depths on the last axis.
    measured_depth_mm, measured_MPa : array
        Depths in mm, rising, and the residual stress there, compression negative; at least two points.

    Returns
    -------
    ResidualProfile
        σ_R in MPa at each depth, none of it from the model; above the first point its value stands, below
        the last there is no value, with a caution.

    Raises
    ------
    InputError
        Fewer than two points, unequal numbers of them, or depths that do not rise.

    Notes
    -----
    Source: linear between the points of the measurement.
    Valid for: depths down to the last point.
    Departures: what layer removal changes is taken to be corrected already.
    Checked: RESIDUAL-MEASURED.

    Examples
    --------
    >>> found = measured_residual_stress(depth_mm=[0.0, 0.05, 0.2], measured_depth_mm=[0.0, 0.1, 0.3],
    ...     measured_MPa=[-500, -300, -200])
    >>> found.residual_stress_MPa.tolist()
    [-500.0, -400.0, -250.0]
    """
    z, at, stress = array(depth_mm), array(measured_depth_mm), array(measured_MPa)
    faults = Faults()
    faults.need(at.size >= 2 and at.ndim == 1, "measured_depth_mm", measured_depth_mm, "two points or more")
    faults.need(at.shape == stress.shape, "measured_MPa", measured_MPa, "one stress for each depth")
    faults.need(not (np.diff(at) <= 0).any(), "measured_depth_mm", measured_depth_mm, "depths that rise")
    faults.check()
    found = np.interp(z, at, stress, right=np.nan)
    notices: tuple[Notice, ...] = ()
    if np.isnan(found).any():
        text = f"The residual stress was measured down to {at[-1]:.3g} mm; below it has no value."
        notices = (Notice(Level.CAUTION, "residual_stress.measured_to", text),)
    return ResidualProfile(
        depth_mm=z,
        hardness_above_core_HV=None,
        model_MPa=found,
        balance_MPa=0.0,
        residual_stress_MPa=found,
        notices=notices,
    )
