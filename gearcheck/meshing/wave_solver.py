"""Compliance of a held section to loads that go as a cosine along the tooth."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import SuperLU, splu

from gearcheck.basics.numbers import Array
from gearcheck.meshing.section_mesh import SectionMesh
from gearcheck.meshing.wave_elements import degrees_of_freedom, wave_stiffness


def wave_compliance(
    *,
    mesh: SectionMesh,
    loads: Array,
    readings: Array,
    wave_per_mm: Array,
    modulus_MPa: float,
    poisson: float,
) -> Array:
    """Return what is read for each load, at each wave number.

    Parameters
    ----------
    mesh : SectionMesh
        Nodes and elements.
    loads, readings : array
        Forces on u_x, u_y, u_z of the free nodes, and weights of them, shape (3 · free nodes, number).
    wave_per_mm : array
        k in 1/mm, shape (waves,).
    modulus_MPa, poisson : float
        E and ν.

    Returns
    -------
    ndarray of float
        Shape (waves, readings, loads): amplitude of cos kζ for a load of cos kζ per mm.
    """
    parts = _assembled(mesh, modulus_MPa, poisson)
    order = _order(parts[0])
    parts = [part[order][:, order].tocsc() for part in parts]
    for part in parts:
        part.sort_indices()
    pushed, seen = loads[order], readings[order]
    found = np.empty((len(wave_per_mm), readings.shape[1], loads.shape[1]))
    for place, wave in enumerate(wave_per_mm):
        stiffness = parts[0] + wave * parts[1] + wave**2 * parts[2]
        factored = _factored(stiffness, "NATURAL")
        # one load at a time: on blocks this small the threads of a library cost more than they give
        found[place] = seen.T @ np.stack([factored.solve(load) for load in pushed.T], axis=-1)
    return found


def _assembled(mesh: SectionMesh, modulus_MPa: float, poisson: float) -> list[csc_matrix]:
    """Return K_0, K_1 and K_2 of the nodes that can move; one pattern for all three."""
    stiffness = wave_stiffness(
        corners_mm=mesh.nodes_mm[mesh.elements],
        share=mesh.share,
        modulus_MPa=modulus_MPa,
        poisson=poisson,
    )
    numbers = degrees_of_freedom(mesh.elements)
    width, size = numbers.shape[1], 3 * mesh.free
    row, column = np.repeat(numbers, width, axis=1).ravel(), np.tile(numbers, (1, width)).ravel()
    free = (row < size) & (column < size)
    where = (row[free], column[free])
    return [coo_matrix((part.ravel()[free], where), shape=(size, size)).tocsc() for part in stiffness]


def _order(stiffness: csc_matrix) -> NDArray[np.intp]:
    """Return an order of the unknowns that fills in little: found once, it serves every wave number."""
    return np.argsort(_factored(stiffness, "MMD_AT_PLUS_A").perm_c).astype(np.intp)


def _factored(stiffness: csc_matrix, order: Literal["NATURAL", "MMD_AT_PLUS_A"]) -> SuperLU:
    # positive definite: the diagonal is always a good pivot
    return splu(stiffness, permc_spec=order, diag_pivot_thresh=0.0, options={"SymmetricMode": True})
