"""A furnace cycle by FiPy: its own cells, its own time steps, its own diffusivity."""

from __future__ import annotations

import numpy as np


def collin_mm2_s(carbon, temperature_C):
    """The fit as printed, written out again."""
    from fipy.tools import numerix

    T = temperature_C + 273.15
    return 47.0 * numerix.exp(-1.6 * carbon - (37000 - 6600 * carbon) / (1.987 * T))


def _mesh(widths, radius_mm):
    """A bar whose axis side lies at the left, a bore or a flat section whose surface lies at the left."""
    from fipy import CylindricalGrid1D, Grid1D

    if np.isinf(radius_mm):
        return Grid1D(dx=widths)
    if radius_mm > 0:
        return CylindricalGrid1D(dx=widths[::-1], origin=(radius_mm - widths.sum(),))
    return CylindricalGrid1D(dx=widths, origin=(-radius_mm,))


def _equation(carbon, step, surface, half_mm):
    """Diffusion inside, and what the surface hands over as a source of its first cell."""
    from fipy import DiffusionTerm, ImplicitSourceTerm, TransientTerm

    D = collin_mm2_s(carbon.faceValue, step.temperature_C)
    beta = 1000.0 * getattr(step, "transfer_m_s", 0.0)
    hand = surface * (beta / (1 + beta * half_mm / D))
    gain = abs((hand * carbon.mesh.faceNormals).divergence)
    source = gain * getattr(step, "carbon_potential_wt", 0.0) - ImplicitSourceTerm(coeff=gain)
    return TransientTerm() == DiffusionTerm(coeff=D * ~surface) + source


def fipy_cycle(cycle, *, core, radius_mm=np.inf, end_mm=4.0, cells=400, steps_to_an_hour=60, sweeps=2):
    """Depths in mm and carbon in % after gas and sealed steps, each at one temperature."""
    from fipy import CellVariable

    widths = end_mm * np.diff((np.arange(cells + 1) / cells) ** 1.3)
    mesh = _mesh(widths, radius_mm)
    surface = mesh.facesRight if 0 < radius_mm < np.inf else mesh.facesLeft
    carbon = CellVariable(mesh=mesh, value=core, hasOld=True)
    for step in cycle:
        equation = _equation(carbon, step, surface, widths[0] / 2)
        count = int(max(step.hours * steps_to_an_hour, 30))
        for seconds in np.diff((np.arange(count + 1) / count) ** 2) * step.hours * 3600:
            carbon.updateOld()
            for _ in range(sweeps):
                equation.sweep(var=carbon, dt=float(seconds))
    place = np.asarray(mesh.cellCenters[0])
    depth = place if np.isinf(radius_mm) else np.abs(place - abs(radius_mm))
    order = np.argsort(depth)
    return depth[order], np.asarray(carbon.value)[order]
