"""Carbon over depth after a furnace cycle, and the case depth by a carbon content."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.hardening.cycle import (
    CarbonCriterion,
    CarbonSteel,
    DENSITY_g_cm3,
    Step,
    check_cycle,
    criterion_carbon,
)
from gearcheck.hardening.diffusion import Course, course
from gearcheck.hardening.furnace import CARBURISING, furnace_notices

MASS = Method(
    key="carburising.mass_gain",
    title="Carbon taken up, as mass",
    source="arithmetic",
    edition="",
    clause="7.85 g/cm³",
    status=Status.COMMON_PRACTICE,
)


@dataclass(frozen=True, kw_only=True)
class CarbonProfile(Result):
    """Carbon at each depth after the last step; surface, uptake and case depth after each step."""

    method: ClassVar[Method] = CARBURISING
    core_carbon_wt: Number = term("Carbon of the core", "C_0", "%")
    diffusivity_factor: Number = term("Factor of the steel on the diffusivity", "k_D")
    saturation_factor: Number = term("Factor of the steel on the saturation", "k_s")
    radius_mm: Number = term("Radius of the surface, convex above 0, concave below", "R", "mm")
    depth_mm: Number = term("Depth below the surface", "z", "mm")
    criterion_carbon_wt: Number = term(
        "Carbon that defines the case depth", "C_g", "%", words="by the criterion, from the core or absolute"
    )
    carbon_wt: Number = term("Carbon", "C", "%", words="from the diffusion equation")
    surface_after_wt: Number = term(
        "Surface carbon after each step", "C_si", "%", words="from the same solution"
    )
    surface_carbon_wt: Number = term("Surface carbon", "C_s", "%", words="after the last step")
    uptake_after_wt_mm: Number = term("Carbon taken up after each step", "U_i", "%·mm",
                                      words="the integral over depth of what is above the core, to the area "
                                            "of the surface")  # fmt: skip
    uptake_wt_mm: Number = term("Carbon taken up", "U", "%·mm", words="after the last step")
    mass_gain_g_m2: Number = term("The same as mass", "m", "g/m²", "10·7.85·U")
    case_depth_after_mm: Number = term(
        "Case depth after each step", "CD_i", "mm", words="where the carbon falls to C_g"
    )
    case_depth_mm: Number = term("Case depth by carbon", "CD", "mm", words="after the last step")
    factors_source: str = ""
    factors_status: Status = Status.FROM_MEMORY
    nodes_mm: Number = None
    nodes_carbon_wt: Number = None

    def depth_at_mm(self, carbon_wt: Number) -> Array:
        """Return the depth at which the carbon falls to a content, shape (samples); NaN where it does not."""
        return crossing(self.nodes_mm, self.nodes_carbon_wt, array(carbon_wt))


def mass_gain_g_m2(*, uptake_wt_mm: Number) -> Array:
    """Return the mass of carbon taken up by a square metre of surface.

    m = 10 ρ U

    Parameters
    ----------
    uptake_wt_mm : float or array
        U, % by mass times mm.

    Returns
    -------
    ndarray of float
        m in g/m².

    Notes
    -----
    Source: arithmetic; ρ = 7.85 g/cm³.
    Valid for: steel.
    Departures: none.
    Checked: CARB-26.

    Examples
    --------
    >>> print(mass_gain_g_m2(uptake_wt_mm=0.6).round(1))
    47.1
    """
    return array(10 * DENSITY_g_cm3 * array(uptake_wt_mm))


def crossing(nodes_mm: Array, carbon_wt: Array, level_wt: Array) -> Array:
    """Return the deepest place at which the carbon falls to a level.

    Parameters
    ----------
    nodes_mm, carbon_wt : ndarray
        Depth and carbon, places on the last axis.
    level_wt : ndarray
        %, without the axis of places.

    Returns
    -------
    ndarray of float
        mm, straight between two places; NaN where the carbon lies below the level everywhere, or never.
    """
    level = level_wt[..., None]
    nodes, carbon, level = np.broadcast_arrays(nodes_mm, carbon_wt, level)
    reaches = carbon >= level
    last = reaches.shape[-1] - 1 - np.argmax(reaches[..., ::-1], axis=-1)
    there = reaches.any(axis=-1) & (last < reaches.shape[-1] - 1)
    before = np.where(there, last, 0)[..., None]
    C_1, C_2, z_1, z_2 = (
        np.take_along_axis(values, place, axis=-1)[..., 0]
        for values in (carbon, nodes)
        for place in (before, before + 1)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        depth = z_1 + (z_2 - z_1) * (C_1 - level[..., 0]) / (C_1 - C_2)
    return array(np.where(there, depth, np.nan))


def between(nodes_mm: Array, values: Array, depth_mm: Array) -> Array:
    """Return values at any depth, straight between the places; NaN outside.

    Parameters
    ----------
    nodes_mm, values : ndarray
        Shape (samples, nodes).
    depth_mm : ndarray
        Shape (depths) or (samples, depths).

    Returns
    -------
    ndarray of float
        Shape (samples, depths).
    """
    after = (nodes_mm[..., None, :] <= depth_mm[..., None]).sum(axis=-1)
    after = np.clip(after, 1, nodes_mm.shape[-1] - 1)
    z_1, z_2, C_1, C_2 = (
        np.take_along_axis(known, place, axis=-1)
        for known in (nodes_mm, values)
        for place in (after - 1, after)
    )
    found = C_1 + (C_2 - C_1) * (depth_mm - z_1) / (z_2 - z_1)
    return array(np.where((depth_mm >= 0) & (depth_mm <= nodes_mm[..., -1:]), found, np.nan))


def carbon_profile(
    *,
    cycle: Sequence[Step],
    steel: CarbonSteel,
    criterion: CarbonCriterion,
    depth_mm: Number,
    radius_mm: Number = np.inf,
    half_section_mm: Number = np.inf,
) -> CarbonProfile:
    """Return the carbon over depth after a furnace cycle, and the case depth by a carbon criterion.

    ∂C/∂t = 1/a ∂/∂z (a D(C, T) ∂C/∂z), a = 1 - z/R; at the surface -D ∂C/∂z = β (C_p - C), a flux, or
    C = C_sat

    Parameters
    ----------
    cycle : sequence of Step
        In the order of the furnace; every number of a step may be an array, shape (samples).
    steel : CarbonSteel
        Core carbon, diffusivity, saturation; shape (samples).
    criterion : CarbonCriterion
        The carbon content that defines the case depth.
    depth_mm : float or array
        z, mm; depths on the last axis.
    radius_mm : float or array
        R of the surface, mm, shape (samples): convex (tip) above 0, concave (root) below 0, infinite where
        flat. An array gives tip, flank and root in one call.
    half_section_mm : float or array
        Depth of the middle of a thin section such as a tooth tip, mm; infinite where it is thick.

    Returns
    -------
    CarbonProfile
        Carbon at each depth, shape (samples, depths); surface, uptake and case depth after each step, shape
        (samples, steps). A stop notice and no depth where the carbon nowhere falls to the criterion.

    Raises
    ------
    InputError
        An empty cycle, a number outside what makes sense, a temperature outside austenite.

    Notes
    -----
    Source: Fick's second law; diffusivity and saturation from memory.
    Valid for: austenite from 800 to 1100 °C; cautions outside, at carbides, and at a transfer coefficient
    that no gas has.
    Departures: carbon above saturation diffuses on as if dissolved. A sealed section keeps its carbon to
    rounding.
    Checked: CARB-04, CARB-08-SOLVED, CARB-09, CARB-11, CARB-12, CARB-13, CARB-13-SOLVED, CARB-24-DEPTH,
    CARB-30.

    Examples
    --------
    >>> from gearcheck.hardening.cycle import DiffusivityModel, GasStep
    >>> steel = CarbonSteel(core_carbon_wt=0.11, model=DiffusivityModel.COLLIN, diffusivity_factor=1,
    ...     saturation_factor=1, factors_source="plain iron-carbon", factors_status=Status.FROM_MEMORY)
    >>> boost = GasStep(hours=6, temperature_C=927, carbon_potential_wt=1.05, transfer_m_s=1.5e-7)
    >>> diffuse = GasStep(hours=3, temperature_C=927, carbon_potential_wt=0.80, transfer_m_s=1.5e-7)
    >>> found = carbon_profile(cycle=[boost, diffuse], steel=steel, criterion=CarbonCriterion.EN_10052,
    ...     depth_mm=[0.0, 0.5, 1.0])
    >>> found.carbon_wt.round(2).tolist(), round(found.case_depth_mm, 2)
    ([0.76, 0.59, 0.39], 1.09)
    """
    z, R, middle = array(depth_mm), array(radius_mm), array(half_section_mm)
    faults = Faults()
    check_cycle(cycle, steel, faults)
    faults.need(criterion in list(CarbonCriterion), "criterion", criterion, "one of the criteria")
    faults.need(z.size > 0 and bool((z >= 0).all()), "depth_mm", depth_mm, "a depth of 0 mm or more")
    faults.need(bool(((R != 0) & ~np.isnan(R)).all()), "radius_mm", radius_mm, "a radius that is not 0 mm")
    faults.need(bool((middle > 0).all()), "half_section_mm", half_section_mm, "a depth above 0 mm")
    faults.check()
    solved = course(cycle, steel, R, middle)
    nodes, final = solved.nodes_mm, solved.carbon_wt[..., -1, :]
    level = criterion_carbon(criterion, steel.core_carbon_wt)
    depths = crossing(nodes[..., None, :], solved.carbon_wt, level[..., None])
    carbon = _at(solved, final, z, R, middle, array(steel.core_carbon_wt))
    return CarbonProfile(
        core_carbon_wt=steel.core_carbon_wt,
        diffusivity_factor=steel.diffusivity_factor,
        saturation_factor=steel.saturation_factor,
        factors_source=steel.factors_source,
        factors_status=steel.factors_status,
        radius_mm=R,
        depth_mm=z,
        criterion_carbon_wt=level,
        carbon_wt=carbon,
        surface_after_wt=solved.carbon_wt[..., 0],
        surface_carbon_wt=final[..., 0],
        uptake_after_wt_mm=solved.uptake_wt_mm,
        uptake_wt_mm=solved.uptake_wt_mm[..., -1],
        mass_gain_g_m2=mass_gain_g_m2(uptake_wt_mm=solved.uptake_wt_mm[..., -1]),
        case_depth_after_mm=depths,
        case_depth_mm=depths[..., -1],
        nodes_mm=nodes,
        nodes_carbon_wt=final,
        notices=furnace_notices(cycle, steel, solved.carbon_wt[..., 0])
        + _beyond(z, R, middle)
        + _no_depth(depths[..., -1], final, level),
    )


def _at(solved: Course, final: Array, z: Array, R: Array, middle: Array, core: Array) -> Array:
    """Return the carbon at the depths asked for; the core's where no carbon came, none beyond the middle."""
    wanted = z if z.ndim else z[None]
    carbon = between(solved.nodes_mm, final, np.minimum(wanted, solved.nodes_mm[..., -1:]))
    limit = np.minimum(np.where(R > 0, R, np.inf), middle)[..., None]
    carbon = np.where(
        (wanted > solved.end_mm[..., None]), np.broadcast_to(core[..., None], carbon.shape), carbon
    )
    carbon = np.where(wanted > limit, np.nan, carbon)
    return array(carbon if z.ndim else carbon[..., 0])


def _beyond(z: Array, R: Array, middle: Array) -> tuple[Notice, ...]:
    limit = np.minimum(np.where(R > 0, R, np.inf), middle).min()
    if z.max() <= limit:
        return ()
    text = (
        f"A depth of {z.max():.3g} mm lies beyond the middle of the section, {limit:.3g} mm: no carbon there."
    )
    return (Notice(Level.STOP, "carburising.carbon_profile.beyond", text),)


def _no_depth(depth: Array, carbon: Array, level: Array) -> tuple[Notice, ...]:
    found = []
    missing = np.isnan(depth)
    skin = ~missing & (carbon[..., 0] < level)
    if skin.any():
        text = (
            f"The surface holds {carbon[..., 0][skin].flat[0]:.3g} %, less than below it: it lost carbon. "
            "The depth is the deepest at which the criterion is met."
        )
        found.append(Notice(Level.CAUTION, "carburising.carbon_profile.skin", text))
    poor, rich = missing & (carbon.max(axis=-1) < level), missing & (carbon[..., -1] >= level)
    asked = np.broadcast_to(level, depth.shape)
    if poor.any():
        text = (
            f"The carbon reaches {carbon.max(axis=-1)[poor].flat[0]:.3g} % at most, the criterion is "
            f"{asked[poor].flat[0]:.3g} %: there is no case depth by it."
        )
        found.append(Notice(Level.STOP, "carburising.carbon_profile.poor", text))
    if rich.any():
        text = (
            f"The carbon falls to {carbon[..., -1][rich].flat[0]:.3g} % at the far end, not to the "
            f"criterion of {asked[rich].flat[0]:.3g} %: there is no case depth by it."
        )
        found.append(Notice(Level.STOP, "carburising.carbon_profile.rich", text))
    return tuple(found)
