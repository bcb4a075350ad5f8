"""Where the flanks of a mesh are loaded and where their displacement is read."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.meshing.section import Section
from gearcheck.meshing.section_mesh import SectionMesh
from gearcheck.meshing.wave_elements import quadratic

FINE = 32  # steps in one element, between which the way along it counts as even


def probes(section: Section, mesh: SectionMesh, radius_mm: Array) -> tuple[Array, Array]:
    """Return unit loads on the flanks of two teeth, and readings of the loaded tooth and of its neighbours.

    Parameters
    ----------
    section : Section
        The normal section.
    mesh : SectionMesh
        Its mesh.
    radius_mm : array
        Transverse radii of the loads, mm, shape (heights,).

    Returns
    -------
    loads, readings : tuple of array
        Shape (3 · free nodes, 2 · heights), along the normals into the tooth: loads on the second tooth, then
        on the first; readings in the middle of the second tooth, then on the flank of the third.
    """
    along, depth, angle = section.loaded(radius_mm)
    height = section.at(along)[1] - depth * np.sin(angle)
    on_flank, in_middle = _shares(mesh.along_mm, along), _shares(mesh.height_mm, height)
    pitch = 2 * section.half_pitch
    loads = [_forces(mesh, mesh.flank[tooth], on_flank, angle - (tooth - 1) * pitch) for tooth in (1, 0)]
    # below a load the flank itself would go in without limit: the middle of that tooth is read
    middle = _forces(mesh, mesh.middle, in_middle, angle)
    flank = _forces(mesh, mesh.flank[2], on_flank, angle - pitch)
    return np.hstack(loads), np.hstack([middle, flank])


def _shares(nodes: Array, places: Array) -> tuple[NDArray[np.intp], Array]:
    """Return the three nodes of the side that holds each place, and the shares they have of it."""
    step = np.arange(0, len(nodes) - 2, 2)
    share = quadratic(2 * np.arange(FINE) / FINE - 1)
    along = nodes[step[:, None] + np.arange(3)] @ share.T
    line = np.append(along, nodes[step[-1] + 2])
    way = np.sign(line[-1] - line[0])
    number = np.interp(way * places, way * line, np.arange(len(line)) / FINE)
    element = np.minimum(number.astype(np.intp), len(step) - 1)
    return 2 * element[:, None] + np.arange(3), quadratic(2 * (number - element) - 1)


def _forces(
    mesh: SectionMesh, line: NDArray[np.intp], at: tuple[NDArray[np.intp], Array], angle: Array
) -> Array:
    """Return one column a height: a unit along the normal into the tooth, shared by the nodes around it."""
    nodes, shares = line[at[0]], at[1]
    forces = np.zeros((3 * mesh.free, len(angle)))
    column = np.arange(len(angle))[:, None]
    forces[3 * nodes, column] = -shares * np.cos(angle)[:, None]
    forces[3 * nodes + 1, column] = -shares * np.sin(angle)[:, None]
    return forces
