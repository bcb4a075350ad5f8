"""How much stiffer against a lean a tooth is with mirrors at its ends than with free ones (scikit-fem)."""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.meshing.wave_solver import wave_compliance
from tests.meshing.test_wave_elements import block

pytestmark = pytest.mark.reference

STEEL = {"modulus_MPa": 206000.0, "poisson": 0.3}
THICK, HIGH = 6.5, 9.0  # of a plate for a tooth of module 4, held at its foot


def by_solids(width):
    """Work of a load that grows from -1 to 1 along the edge of the plate."""
    skfem = pytest.importorskip("skfem")
    from skfem.models.elasticity import lame_parameters, linear_elasticity

    along = (1 - np.cos(np.linspace(0, np.pi, 9))) / 2 * width
    mesh = skfem.MeshHex.init_tensor(np.linspace(-THICK / 2, THICK / 2, 3), np.linspace(0, HIGH, 5), along)
    element = skfem.ElementVector(skfem.ElementHex2())
    basis = skfem.Basis(mesh, element, intorder=4)
    top = mesh.facets_satisfying(lambda x: np.isclose(x[1], HIGH))
    edge = skfem.FacetBasis(mesh, element, facets=top, intorder=4)
    load = skfem.LinearForm(lambda v, w: (2 * w.x[2] / width - 1) / THICK * v[0]).assemble(edge)
    stiffness = linear_elasticity(*lame_parameters(*STEEL.values())).assemble(basis)
    held = basis.get_dofs(lambda x: np.isclose(x[1], 0))
    return load @ skfem.solve(*skfem.condense(stiffness, load, D=held))


def by_waves(width):
    mesh = block(np.linspace(-THICK / 2, THICK / 2, 5), np.linspace(HIGH, 0, 13))
    top = np.flatnonzero(np.isclose(mesh.nodes_mm[:, 1], HIGH))
    top = top[np.argsort(mesh.nodes_mm[top, 0])]
    shares = np.zeros(len(top))
    for first in range(0, len(top) - 2, 2):
        shares[first : first + 3] += np.array([1, 4, 1]) / 3 / (len(top) - 1)
    load = np.zeros((3 * mesh.free, 1))
    load[3 * top, 0] = shares
    number = np.arange(1, 24, 2)  # what grows evenly has odd waves alone
    waves = number * np.pi / width
    found = wave_compliance(mesh=mesh, loads=load, readings=load, wave_per_mm=waves, **STEEL)[:, 0, 0]
    return (8 / (np.pi * number) ** 2) ** 2 / 2 @ found * width


@pytest.mark.parametrize(("width", "share"), [(10.0, 0.66), (20.0, 0.92), (40.0, 0.99)])
def test_a_narrow_face_is_too_stiff_against_a_lean_by_what_the_method_says(width, share):
    assert by_waves(width) / by_solids(width) == pytest.approx(share, abs=0.015)
