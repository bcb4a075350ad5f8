"""What gears give way, worked out again with triangles over the whole gear and all its teeth (scikit-fem)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.sparse.linalg import splu

from gearcheck.meshing.compliance import gear_compliance
from gearcheck.meshing.inputs import Body
from tests.checks import all_checks
from tests.gear.gears import closed_pair, internal_pair
from tests.reference.gear_triangles import gear_triangles, outline, turned

pytestmark = pytest.mark.reference

MODULUS, POISSON = 206000.0, 0.3
PAIRS = {  # of our own invention; the gear looked at, and what its body is held at, in root radii
    "17 teeth": (closed_pair(module=4, helix=0, teeth=(17, 40), shifts=(0.4, 0.0)), "pinion", 0.6),
    "30 teeth": (closed_pair(module=3, helix=0, teeth=(25, 30), shifts=(0.2, 0.3)), "wheel", 0.6),
    "60 teeth, rim": (closed_pair(module=4, helix=0, teeth=(20, 60), shifts=(0.2, -0.2)), "wheel", 0.85),
    "internal": (
        internal_pair(module=4, helix=0, teeth=(20, 70), shifts=(0.3, -0.3), cut=0.2),
        "wheel",
        1.08,
    ),
}
SHARES = (0.2, 0.5, 0.9)


def places(gear, pair, radii):
    """Points on the right flank, directions of the load, and points in the middle of the tooth.

    The direction is the normal of the outline, which is found from its points.
    """
    line = outline(gear, pair)
    line = line[len(line) // 2 :]
    order = np.argsort(np.hypot(*line.T), kind="stable")
    angle = np.interp(radii, np.hypot(*line.T)[order], np.arctan2(*line.T)[order])
    on_flank = radii[:, None] * np.stack([np.sin(angle), np.cos(angle)], axis=-1)
    step = 1e-3 * radii
    ends = []
    for way in (-1, 1):
        other = np.interp(radii + way * step, np.hypot(*line.T)[order], np.arctan2(*line.T)[order])
        ends.append((radii + way * step)[:, None] * np.stack([np.sin(other), np.cos(other)], axis=-1))
    along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]).T)[:, None]
    into = np.stack([-along[:, 1], along[:, 0]], axis=-1)
    into *= np.sign(-into[:, :1])
    depth = on_flank[:, 0] / -into[:, 0]
    return on_flank, into, on_flank + depth[:, None] * into


def by_triangles(gear, pair, held, radii):
    """Displacements by the load on the second tooth, and of the third tooth by a load on the first."""
    skfem = pytest.importorskip("skfem")
    from skfem.helpers import ddot, sym_grad, trace
    from skfem.models.elasticity import lame_parameters

    on_flank, into, in_tooth = places(gear, pair, radii)
    points, triangles, flank, read = gear_triangles(gear, pair, held, on_flank, in_tooth)
    mesh = skfem.MeshTri(np.ascontiguousarray(points.T), np.ascontiguousarray(triangles.T))
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementTriP2()))
    lam, mu = lame_parameters(MODULUS, POISSON)

    @skfem.BilinearForm
    def stiffness(u, v, w):
        strain = sym_grad(u)
        return 2 * mu * ddot(strain, sym_grad(v)) + lam * trace(strain) * trace(sym_grad(v))

    edges = mesh.boundary_facets()
    middle = np.hypot(*mesh.p[:, mesh.facets[:, edges]].mean(axis=1))
    held_at = basis.get_dofs(edges[np.abs(middle / held - 1) < 1e-2])
    pitch = 2 * np.pi / float(gear.teeth)

    def unit(nodes, tooth):
        vectors = np.zeros((basis.N, len(nodes)))
        for place, (node, direction) in enumerate(zip(nodes, turned(into, (tooth - 1) * pitch), strict=True)):
            vectors[basis.nodal_dofs[:, node], place] = direction
        return vectors

    matrix, loads = stiffness.assemble(basis), np.hstack([unit(flank[1], 1), unit(flank[0], 0)])
    free = np.setdiff1d(np.arange(basis.N), held_at.flatten())
    moved = np.zeros_like(loads)
    moved[free] = splu(matrix[free][:, free].tocsc()).solve(loads[free])
    heights = len(radii)
    own, next_ = unit(read[1], 1).T @ moved, unit(flank[2], 2).T @ moved
    return np.stack([own[:, :heights].T, next_[:, :heights].T, next_[:, heights:].T])


def ours_of(name):
    """Our compliance of a gear, and what its body is held at."""
    pair, which, share = PAIRS[name]
    gear = getattr(pair, which)
    assert pair.stops == ()
    held = share * float(gear.root_diameter_mm) / 2
    rim = abs(held - float(gear.root_diameter_mm) / 2)
    body = Body(rim_thickness_mm=rim)
    return gear_compliance(gear=gear, pair=pair, body=body, face_width_mm=20.0, waves=2), gear, held


def looked_at(name):
    """The gear, the radii at which it is loaded, and what it is held at."""
    ours, gear, held = ours_of(name)
    return gear, ours.radius_mm[0] + np.array(SHARES) * (ours.radius_mm[-1] - ours.radius_mm[0]), held


@pytest.mark.parametrize("name", PAIRS)
def test_a_gear_gives_way_as_by_triangles(name):
    pair = PAIRS[name][0]
    ours = ours_of(name)[0]
    gear, radii, held = looked_at(name)
    weights = ours.weights(radii)
    found = weights @ ours.compliance[:, 0] @ weights.T
    theirs = by_triangles(gear, pair, held, radii)
    theirs[0] = (theirs[0] + theirs[0].T) / 2
    # 1 % is found; triangles of 0.6 of the size change theirs by 0.7 %
    np.testing.assert_allclose(found, theirs, rtol=0.02, atol=0.002 * theirs.max())


def test_the_check_values_are_those_of_the_triangles():
    check = next(item for item in all_checks() if item.id == "MESH-TRIANGLES")
    for place, name in enumerate(("17 teeth", "30 teeth", "60 teeth, rim")):
        gear, radii, held = looked_at(name)
        theirs = 1e6 * by_triangles(gear, PAIRS[name][0], held, radii)
        printed = [float(text) for text in check.expected["own"][place]]
        np.testing.assert_allclose(np.diagonal(theirs[0]), printed, rtol=1e-3)
        assert theirs[1][1, 1] == pytest.approx(float(check.expected["next"][place]), rel=2e-3)
