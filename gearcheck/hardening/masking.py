"""How far carbon creeps below the edge of a plated mask, and how far the edge must stand off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

import numpy as np
from scipy.linalg import solveh_banded

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.hardening.carbon import crossing
from gearcheck.hardening.cycle import (
    CarbonSteel,
    Flags,
    Step,
    check_cycle,
    numbers_of,
    supply,
    temperature_at,
)
from gearcheck.hardening.diffusion import GAMMA, reach, surface_flux

MASKING = Method(
    key="carburising.mask_creep",
    title="Creep of carbon below the edge of a mask",
    source="Fick's second law in two dimensions",
    edition="",
    clause="half of a plane bare, half plated; finite volumes, implicit in time",
    status=Status.FROM_MEMORY,
    implements=("a straight edge on a flat surface, a plate that lets no carbon through",),
    leaves_out=("pinholes and bleed of the plate, an edge on a corner or a fillet",),
)

_DEEP, _WIDE, _TIMES, _ROUNDS, _GRADE, _CLOSE_WT = 36, 32, 12, 12, 1.5, 1e-4


@dataclass(frozen=True, kw_only=True)
class MaskCreep(Result):
    """How far a carbon content comes under the plate, and the least distance of the edge that follows."""

    method: ClassVar[Method] = MASKING
    carbon_wt: Number = term("Carbon that must not come where it has to stay soft", "C_g", "%")
    edge_tolerance_mm: Number = term("Tolerance of the place of the edge", "t_e", "mm")
    depth_mm: Number = term("Depth of that carbon below the bare surface", "z_g", "mm",
                            words="from the diffusion, far from the edge")  # fmt: skip
    creep_mm: Number = term("Creep of that carbon below the plate", "s", "mm",
                            words="from the diffusion, along the surface")  # fmt: skip
    ratio: Number = term("Creep over depth", "r", "", "s/z_g")
    least_distance_mm: Number = term(
        "Least distance of the mask's edge from what must stay soft", "a", "mm", "s+t_e"
    )


@dataclass(frozen=True)
class _Plane:
    """Cells of the half plane, bare on the first half of the places across; samples, across, depth."""

    across_mm: Array
    down_mm: Array
    volumes: Array
    links_across: Array
    links_down: Array
    bare_mm: Array


def mask_creep(
    *, cycle: Sequence[Step], steel: CarbonSteel, carbon_wt: Number, edge_tolerance_mm: Number
) -> MaskCreep:
    """Return how far carbon creeps below a plated mask, and how far its edge must stand off.

    ∂C/∂t = ∇·(D(C, T) ∇C), supply on the bare half of the surface, no flux through the plate; a = s + t_e

    Parameters
    ----------
    cycle : sequence of Step
        In the order of the furnace, shape (samples).
    steel : CarbonSteel
        Core carbon, diffusivity, saturation; shape (samples).
    carbon_wt : float or array
        C_g, %: the carbon that must not come where the part has to stay soft, shape (samples).
    edge_tolerance_mm : float or array
        t_e, mm: how far the edge of the plate may stand off its line, shape (samples).

    Returns
    -------
    MaskCreep
        Creep, depth below the bare surface and least distance in mm; a stop notice and no value where C_g is
        not above the core.

    Raises
    ------
    InputError
        What `carbon_profile` refuses, or a tolerance below 0 mm.

    Notes
    -----
    Source: the same diffusion as `carbon_profile`, in two dimensions.
    Valid for: a straight edge on a flat surface, a plate without pinholes.
    Departures: none.
    Checked: CARB-14.

    Examples
    --------
    >>> from gearcheck.hardening.cycle import DiffusivityModel, GasStep
    >>> steel = CarbonSteel(core_carbon_wt=0.11, model=DiffusivityModel.COLLIN, diffusivity_factor=1,
    ...     saturation_factor=1, factors_source="plain iron-carbon", factors_status=Status.FROM_MEMORY)
    >>> boost = GasStep(hours=6, temperature_C=927, carbon_potential_wt=1.05, transfer_m_s=1.5e-7)
    >>> found = mask_creep(cycle=[boost], steel=steel, carbon_wt=0.35, edge_tolerance_mm=0.5)
    >>> round(found.creep_mm, 2), round(found.least_distance_mm, 2)
    (0.4, 0.9)
    """
    level, tolerance = array(carbon_wt), array(edge_tolerance_mm)
    faults = Faults()
    check_cycle(cycle, steel, faults)
    faults.need(
        bool((tolerance >= 0).all()), "edge_tolerance_mm", edge_tolerance_mm, "a length of 0 mm or more"
    )
    faults.check()
    plane, carbon = _spread(cycle, steel)
    soft = level > array(steel.core_carbon_wt)
    depth = crossing(plane.down_mm, carbon[..., 0, :], level)
    # where not even the bare surface holds that much, there is nothing to stand off from
    poor = np.isnan(depth)
    creep = np.where(
        poor, 0.0, np.maximum(np.nan_to_num(crossing(plane.across_mm, carbon[..., 0], level)), 0.0)
    )
    depth, creep = np.where(soft, depth, np.nan), np.where(soft, creep, np.nan)
    return MaskCreep(
        carbon_wt=level,
        edge_tolerance_mm=tolerance,
        depth_mm=depth,
        creep_mm=creep,
        ratio=creep / depth,
        least_distance_mm=creep + tolerance,
        notices=_notices(level, soft, poor & soft),
    )


def _notices(level: Array, soft: Flags, poor: Flags) -> tuple[Notice, ...]:
    found = []
    if not soft.all():
        text = "The carbon that must not come is not above the core's: it is there before the furnace."
        found.append(Notice(Level.STOP, "carburising.mask_creep.core", text))
    if poor.any():
        asked = np.broadcast_to(level, poor.shape)[poor].flat[0]
        text = f"Not even the bare surface holds {asked:.3g} %: it asks for no distance."
        found.append(Notice(Level.NOTE, "carburising.mask_creep.poor", text))
    return tuple(found)


def _plane(end_mm: Array) -> _Plane:
    end = end_mm[..., None]
    down = end * np.linspace(0, 1, _DEEP + 1) ** _GRADE
    side = end * np.linspace(0, 1, _WIDE + 1) ** _GRADE
    across = np.concatenate([-side[..., :0:-1], side], axis=-1)
    wide, deep = np.diff(across), np.diff(down)
    middles = (across[..., 1:] + across[..., :-1]) / 2, (down[..., 1:] + down[..., :-1]) / 2
    return _Plane(
        *middles,
        wide[..., :, None] * deep[..., None, :],
        deep[..., None, :] / np.diff(middles[0])[..., :, None],
        wide[..., :, None] / np.diff(middles[1])[..., None, :],
        wide[..., :_WIDE],
    )


def _spread(cycle: Sequence[Step], steel: CarbonSteel) -> tuple[_Plane, Array]:
    """Return the cells, and their carbon after the last step."""
    numbers = [value for part in (*cycle, steel) for _, value in numbers_of(part)]
    shape = np.broadcast_shapes(*(value.shape for value in numbers))
    plane = _plane(np.broadcast_to(reach(cycle, steel), shape))
    carbon = np.broadcast_to(array(steel.core_carbon_wt)[..., None, None], plane.volumes.shape)
    for step in cycle:
        seconds = np.broadcast_to(3600 * array(step.hours), shape)
        for before, share in pairwise(np.linspace(0, 1, _TIMES + 1) ** 2):
            part = GAMMA * (share - before)
            inside = _implicit(carbon, part * seconds, step, before + part, steel, plane, carbon)
            base = carbon + (1 - GAMMA) / GAMMA * (inside - carbon)
            carbon = _implicit(base, part * seconds, step, share, steel, plane, inside)
    return plane, carbon


def _implicit(
    base: Array, seconds: Array, step: Step, share: float, steel: CarbonSteel, plane: _Plane, guess: Array
) -> Array:
    """Return the carbon c with c = base + seconds · (what flows in and out at c)."""
    T, carbon, time = temperature_at(step, share), guess, seconds[..., None, None]
    met, half = supply(step, T, steel).along(), plane.down_mm[..., :1]
    for _ in range(_ROUNDS):
        flat = carbon.reshape(*carbon.shape[:-2], -1)
        D = steel.diffusivity_mm2_s(flat, T[..., None]).reshape(carbon.shape)
        across = time * plane.links_across * (D[..., 1:, :] + D[..., :-1, :]) / 2
        down = time * plane.links_down * (D[..., 1:] + D[..., :-1]) / 2
        diagonal, right = plane.volumes.copy(), plane.volumes * base
        diagonal[..., :-1, :] += across
        diagonal[..., 1:, :] += across
        diagonal[..., :-1] += down
        diagonal[..., 1:] += down
        bare = np.s_[..., :_WIDE, 0]
        gain, given = surface_flux(met, carbon[bare], D[bare] / half)
        diagonal[bare] += seconds[..., None] * plane.bare_mm * gain
        right[bare] += seconds[..., None] * plane.bare_mm * given
        last, carbon = carbon, _solve(diagonal, across, down, right)
        if np.abs(carbon - last).max() < _CLOSE_WT:
            break
    return carbon


def _solve(diagonal: Array, across: Array, down: Array, right: Array) -> Array:
    """Solve all samples in one pass by a banded factor; they have no link between them."""
    bands = np.zeros((_DEEP + 1, *diagonal.shape))
    bands[0] = diagonal
    bands[1, ..., :-1] = -down
    bands[_DEEP, ..., :-1, :] = -across
    packed = bands.reshape(_DEEP + 1, -1)
    solved = solveh_banded(packed, right.ravel(), lower=True, overwrite_ab=True, check_finite=False)
    return array(solved.reshape(right.shape))
