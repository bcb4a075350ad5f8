"""The solver: carbon through a flat or curved section, by finite volumes that lose no carbon."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from scipy.linalg.lapack import dptsv

from gearcheck.basics.numbers import Array, array
from gearcheck.hardening.cycle import CarbonSteel, Step, Supply, numbers_of, supply, temperature_at

CELLS = 140
"""Cells from the surface to the end of the section, finest at the surface."""

TIMES = 20
"""Time steps to a step of the furnace, finest at its beginning."""

_GRADE = 2.0  # faces stand at (i/n)² of the depth
_LENGTHS = 6.0  # of √(D t): beyond it less than 2e-5 of the carbon arrives
GAMMA = 1 - np.sqrt(0.5)
"""Of the two-stage implicit Runge-Kutta step of second order that damps everything."""

_ROUNDS, _CLOSE_WT = 30, 1e-6

Mobility: TypeAlias = Callable[[Array], Array]
"""Diffusivity in mm²/s at each carbon content in %."""


@dataclass(frozen=True)
class Section:
    """Cells below the surface; samples first, places on the last axis, everything to 1 mm² of surface.

    Parameters
    ----------
    middles_mm : ndarray
        Depth of each cell, shape (samples, cells).
    volumes_mm : ndarray
        Volume of each cell, shape (samples, cells).
    slopes_1_mm : ndarray
        Area of each face between two cells over the distance of their middles, shape (samples, cells - 1).
    end_mm : ndarray
        Where the section ends, shape (samples).
    """

    middles_mm: Array
    volumes_mm: Array
    slopes_1_mm: Array
    end_mm: Array

    @property
    def nodes_mm(self) -> Array:
        """Depths at which the carbon is known: surface, cells, end."""
        first = np.zeros_like(self.middles_mm[..., :1])
        return np.concatenate([first, self.middles_mm, self.end_mm[..., None]], axis=-1)


@dataclass(frozen=True)
class Course:
    """Carbon after each step of the furnace; steps stand before places.

    Parameters
    ----------
    nodes_mm : ndarray
        Depths, shape (samples, nodes).
    end_mm : ndarray
        Where the section ends: its middle, or deeper than carbon comes, shape (samples).
    carbon_wt : ndarray
        Shape (samples, steps, nodes).
    uptake_wt_mm : ndarray
        Carbon above the core to 1 mm² of surface, shape (samples, steps).
    """

    nodes_mm: Array
    end_mm: Array
    carbon_wt: Array
    uptake_wt_mm: Array


def section(end_mm: Array, curvature_1_mm: Array) -> Section:
    """Return the cells of a section, smaller and smaller below a convex surface, larger below a concave."""
    faces = end_mm[..., None] * np.linspace(0, 1, CELLS + 1) ** _GRADE
    widths, middles = np.diff(faces), (faces[..., 1:] + faces[..., :-1]) / 2
    kappa = curvature_1_mm[..., None]
    areas = 1 - kappa * faces[..., 1:-1]
    return Section(middles, widths * (1 - kappa * middles), areas / np.diff(middles), end_mm)


def course(cycle: Sequence[Step], steel: CarbonSteel, radius_mm: Array, half_section_mm: Array) -> Course:
    """Return the carbon after each step of the furnace.

    Parameters
    ----------
    cycle : sequence of Step
        In the order of the furnace.
    steel : CarbonSteel
        The steel.
    radius_mm : ndarray
        Of the surface: convex above 0, concave below 0, infinite where it is flat.
    half_section_mm : ndarray
        Depth of the middle of a thin section, infinite where it is thick.

    Returns
    -------
    Course
        All samples at once; their shape is what cycle, steel and section broadcast to.
    """
    numbers = [value for part in (*cycle, steel) for _, value in numbers_of(part)]
    shape = np.broadcast_shapes(*(value.shape for value in (*numbers, radius_mm, half_section_mm)))
    middle = np.minimum(np.where(radius_mm > 0, radius_mm, np.inf), half_section_mm)
    end = np.broadcast_to(np.minimum(reach(cycle, steel), middle), shape)
    cells = section(end, np.broadcast_to(1 / radius_mm, shape))
    core = np.broadcast_to(array(steel.core_carbon_wt)[..., None], cells.middles_mm.shape)
    carbon, after, uptake = core, [], []
    for step in cycle:
        carbon, surface = _through(step, carbon, cells, steel)
        after.append(np.concatenate([surface[..., None], carbon, carbon[..., -1:]], axis=-1))
        uptake.append((cells.volumes_mm * (carbon - core)).sum(axis=-1))
    return Course(cells.nodes_mm, end, np.stack(after, axis=-2), np.stack(uptake, axis=-1))


def reach(cycle: Sequence[Step], steel: CarbonSteel) -> Array:
    """Return a depth beyond which no carbon comes."""
    core, spread = array(steel.core_carbon_wt), array(0.0)
    hottest = [np.maximum(temperature_at(step, 0), temperature_at(step, 1)) for step in cycle]
    met = [supply(step, hot, steel).potential_wt for step, hot in zip(cycle, hottest, strict=True)]
    most = np.maximum.reduce(np.broadcast_arrays(core, *met))[..., None]
    for step, hot in zip(cycle, hottest, strict=True):
        D = steel.diffusivity_mm2_s(*np.broadcast_arrays(most, hot[..., None]))[..., 0]
        spread = spread + 3600 * array(step.hours) * D
    return array(np.maximum(_LENGTHS * np.sqrt(spread), 0.1))


def _through(step: Step, carbon: Array, cells: Section, steel: CarbonSteel) -> tuple[Array, Array]:
    """Return the carbon of the cells and of the surface after one step of the furnace."""
    seconds = np.broadcast_to(3600 * array(step.hours), cells.end_mm.shape)[..., None]

    def moved(base: Array, share: float, part: float, guess: Array) -> Array:
        T = temperature_at(step, share)
        return _implicit(base, part * seconds, supply(step, T, steel), _mobility(steel, T), cells, guess)

    for before, share in pairwise(np.linspace(0, 1, TIMES + 1) ** 2):
        part = GAMMA * (share - before)
        inside = moved(carbon, before + part, part, carbon)
        base = carbon + (1 - GAMMA) / GAMMA * (inside - carbon)
        carbon = moved(base, share, part, inside)
    T = temperature_at(step, 1)
    D = _mobility(steel, T)(carbon)[..., 0]
    gain, given = surface_flux(supply(step, T, steel), carbon[..., 0], D / cells.middles_mm[..., 0])
    flux = given - gain * carbon[..., 0]
    return carbon, carbon[..., 0] + flux * cells.middles_mm[..., 0] / D


def _mobility(steel: CarbonSteel, temperature_C: Array) -> Mobility:
    return lambda carbon: steel.diffusivity_mm2_s(carbon, temperature_C[..., None])


def surface_flux(met: Supply, carbon: Array, inner_mm_s: Array) -> tuple[Array, Array]:
    """Return gain and given of the flux into the first cell: given - gain · carbon, in %·mm/s.

    Parameters
    ----------
    met : Supply
        What the surface meets.
    carbon : ndarray
        Carbon of the first cell, %.
    inner_mm_s : ndarray
        Diffusivity over the distance from the surface to the middle of the first cell.

    Returns
    -------
    gain, given : ndarray
        mm/s and %·mm/s.
    """
    with np.errstate(divide="ignore"):
        through = 1 / (1 / met.transfer_mm_s + 1 / inner_mm_s)
    limited = through * (met.potential_wt - carbon) > met.most
    gain = np.where(limited, 0.0, through)
    return gain, np.where(limited, met.most, through * met.potential_wt)


def _implicit(
    base: Array, seconds: Array, met: Supply, mobility: Mobility, cells: Section, guess: Array
) -> Array:
    """Return the carbon c with c = base + seconds · (what flows in and out at c)."""
    carbon, half = guess, cells.middles_mm[..., 0]
    for _ in range(_ROUNDS):
        D = mobility(carbon)
        links = seconds * cells.slopes_1_mm * (D[..., 1:] + D[..., :-1]) / 2
        gain, given = surface_flux(met, carbon[..., 0], D[..., 0] / half)
        diagonal, right = cells.volumes_mm.copy(), cells.volumes_mm * base
        diagonal[..., :-1] += links
        diagonal[..., 1:] += links
        diagonal[..., 0] += seconds[..., 0] * gain
        right[..., 0] += seconds[..., 0] * given
        last, carbon = carbon, _tridiagonal(diagonal, links, right)
        if np.abs(carbon - last).max() < _CLOSE_WT:
            break
    return carbon


def _tridiagonal(diagonal: Array, links: Array, right: Array) -> Array:
    """Solve all samples in one pass: they stand one behind the other with no link between them."""
    below = np.zeros_like(diagonal)
    below[..., :-1] = -links
    # thousands of small systems: LAPACK is asked directly, since what checks the arguments costs more than it
    *_, solved, fault = dptsv(diagonal.ravel(), below.ravel()[:-1], right.ravel())
    if fault:
        raise np.linalg.LinAlgError("a cell of the section has no value or no width")
    return array(solved.reshape(right.shape))
