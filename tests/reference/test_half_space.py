"""The stresses below a Hertz line contact, worked out again by finite elements (scikit-fem)."""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.contact.field import stress_field

pytestmark = pytest.mark.reference

POISSON = 0.3
FAR = 400.0  # half-widths to the fixed border
PROBES = ((0.0, 0.3), (0.0, 0.786), (0.0, 1.5), (0.0, 3.0), (0.85, 0.5), (0.5, 1.0), (1.5, 0.8), (-0.85, 0.5))


def graded(count: int, fine: float) -> np.ndarray:
    """Points from 0 to FAR, fine up to two half-widths, then growing by a steady ratio."""
    near = np.linspace(0.0, 2.0, round(2.0 / fine) + 1)
    return np.concatenate([near, np.geomspace(2.0, FAR, count)[1:]])


@pytest.fixture(scope="module")
def stresses():
    """Plane strain, unit pressure over the half-width 1: σ_x, σ_z, τ_xz at the probes, z downwards."""
    skfem = pytest.importorskip("skfem")
    from skfem.helpers import ddot, sym_grad, trace
    from skfem.models.elasticity import lame_parameters

    side = graded(60, 0.04)
    across = np.concatenate([-side[:0:-1], side])
    mesh = skfem.MeshQuad.init_tensor(across, -side[::-1])
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()))
    lam, mu = lame_parameters(1.0, POISSON)

    @skfem.BilinearForm
    def stiffness(u, v, w):
        strain = sym_grad(u)
        return 2 * mu * ddot(strain, sym_grad(v)) + lam * trace(strain) * trace(sym_grad(v))

    @skfem.LinearForm
    def pressing(v, w):
        return -np.sqrt(np.clip(1 - w.x[0] ** 2, 0, None)) * v[1]

    top = mesh.facets_satisfying(lambda x: np.isclose(x[1], 0.0) & (np.abs(x[0]) <= 1.0))
    load = skfem.FacetBasis(mesh, basis.elem, facets=top, intorder=8)
    fixed = basis.get_dofs(lambda x: np.isclose(x[1], -FAR) | np.isclose(np.abs(x[0]), FAR))
    moved = skfem.solve(*skfem.condense(stiffness.assemble(basis), pressing.assemble(load), D=fixed))
    return [_at(basis, moved, x, z, lam, mu) for x, z in PROBES]


def _at(basis, moved, x, z, lam, mu):
    """Stress at one point from a small stencil of displacements."""
    h = 0.02
    points = np.array([[x - h, x + h, x, x], [-z, -z, -z - h, -z + h]])
    values = (basis.probes(points) @ moved).reshape(2, -1)
    u, v = values
    exx, eyy = (u[1] - u[0]) / (2 * h), (v[3] - v[2]) / (2 * h)
    shear = ((u[3] - u[2]) + (v[1] - v[0])) / (2 * h)
    volume = lam * (exx + eyy)
    # z points down in the contact room, y up here: the shear stress changes its sign
    return volume + 2 * mu * exx, volume + 2 * mu * eyy, -mu * shear


def test_the_closed_form_agrees_with_finite_elements(stresses):
    for (x, z), (sigma_x, sigma_z, tau) in zip(PROBES, stresses, strict=True):
        field = stress_field(x_over_b=x, z_over_b=z, friction=0.0, poisson=POISSON)
        found = np.array([sigma_x, sigma_z, tau])
        expected = np.array([field.sigma_x, field.sigma_z, field.tau_xz])
        # the border at 400 half-widths and the mesh leave a few thousandths of the largest pressure
        np.testing.assert_allclose(found, expected, atol=0.003, err_msg=f"x {x}, z {z}")


def test_the_largest_shear_lies_where_the_closed_form_says(stresses):
    sigma_x, sigma_z, tau = stresses[1]
    largest = np.hypot((sigma_x - sigma_z) / 2, tau)
    assert largest == pytest.approx(0.30028, abs=0.002)
