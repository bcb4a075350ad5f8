"""The stress over the rolling cycle: against integrated line loads, brute force and limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from gearcheck.basics.errors import InputError
from gearcheck.hardening.history import rolling_cycle, stress_map
from gearcheck.hardening.rolling import measures, unit_cycle
from gearcheck.hardening.sphere import smallest_sphere
from tests.checks import cases, holds

CYCLE = "gearcheck.hardening.history:rolling_cycle"


def _orthogonal(check):
    return {"amplitude": rolling_cycle(**check.inputs).shear_amplitude_MPa[0]}


def _by_friction(check):
    depth = np.concatenate((np.linspace(0.02, 0.48, 24), np.linspace(0.49, 0.51, 5), np.linspace(0.6, 2, 15)))
    friction = check.inputs["friction"]
    found = rolling_cycle(half_width_mm=1.0, pressure_MPa=1.0, friction=friction, depth_mm=depth)
    return {"largest_range": found.shear_range_MPa.max(axis=-1)}


def _one_by_one(check):
    """Depths and frictions in pairs: the diagonal of all points with all depths."""
    given = dict(check.inputs)
    depth, friction = given.pop("relative_depth"), given.pop("friction")
    found = rolling_cycle(
        **{"half_width_mm": 1.0, "pressure_MPa": 1.0, **given}, friction=friction, depth_mm=depth
    )
    names = {
        "radius": "sphere_radius_MPa",
        "dang_van": "dang_van_MPa",
        "in_plane_MPa": "shear_in_plane_MPa",
        "hydrostatic_least_MPa": "hydrostatic_least_MPa",
    }
    return {name: np.diagonal(getattr(found, names[name])) for name in check.expected}


RECOMPUTED = {
    "CYCLE-ORTHOGONAL": _orthogonal,
    "CYCLE-FRICTION": _by_friction,
    "CYCLE-DANG-VAN": _one_by_one,
    "CYCLE-RESIDUAL": _one_by_one,
}


@pytest.mark.parametrize("check", cases("criteria", CYCLE), ids=str)
def test_the_cycle(check):
    holds(check, **RECOMPUTED[check.id](check))


@pytest.mark.parametrize("check", cases("criteria", "gearcheck.hardening.history:stress_map"), ids=str)
def test_the_map(check):
    found = stress_map(**check.inputs)
    holds(check, **{name: getattr(found, name)[0, 0] for name in check.expected})


def line_loads(x, z, friction):
    """σ_x, σ_z, τ_xz of line loads on a half-space, summed over the contact at the nodes of Chebyshev."""
    angle = np.arange(1, 3001) * np.pi / 3001
    place, weight = np.cos(angle), np.pi / 3001 * np.sin(angle) ** 2
    d = np.asarray(x)[..., None] - place
    z = np.asarray(z)[..., None]
    load = -2 / np.pi * weight * (z + friction * d) / (d**2 + z**2) ** 2
    return (load * d**2).sum(-1), (load * z**2).sum(-1), (load * d * z).sum(-1)


@pytest.mark.parametrize("friction", [0.0, 0.08, -0.3])
def test_the_half_space_summed_up_confirms_the_map(friction):
    position, depth = np.linspace(-2, 2, 21), np.array([0.05, 0.3, 0.8, 2.0])
    found = stress_map(
        half_width_mm=1.0, pressure_MPa=1.0, friction=friction, position_mm=position, depth_mm=depth
    )
    for name, summed in zip(
        ("sigma_x_MPa", "sigma_z_MPa", "tau_xz_MPa"),
        line_loads(position, depth[:, None], friction),
        strict=True,
    ):
        assert np.abs(getattr(found, name) - summed).max() < 1e-4


def smallest_radius(points):
    """The radius of the smallest sphere, by a minimiser that knows nothing of supports."""

    def room(at):
        return at[3] - ((points - at[:3]) ** 2).sum(axis=-1)

    def slope(at):
        return np.concatenate((2 * (points - at[:3]), np.ones((len(points), 1))), axis=1)

    start = points.mean(axis=0)
    found = minimize(
        lambda at: at[3],
        (*start, ((points - start) ** 2).sum(axis=-1).max()),
        jac=lambda _: np.array([0.0, 0, 0, 1]),
        method="SLSQP",
        constraints=[{"type": "ineq", "fun": room, "jac": slope}],
        options={"maxiter": 500, "ftol": 1e-14},
    )
    return np.sqrt(((points - found.x[:3]) ** 2).sum(axis=-1).max())


@settings(deadline=None, max_examples=60)
@given(seed=st.integers(0, 2**32 - 1), count=st.integers(1, 40), flat=st.floats(0, 1), rounded=st.booleans())
def test_the_smallest_sphere_is_that_of_brute_force(seed, count, flat, rounded):
    points = np.random.default_rng(seed).normal(size=(count, 3)) * (1, flat, 1)
    points = np.round(points) if rounded else points  # points that coincide or lie on one line or circle
    centre, radius = smallest_sphere(points)
    assert np.sqrt(((points - centre) ** 2).sum(axis=-1)).max() <= radius * (1 + 1e-9) + 1e-6
    assert radius <= smallest_radius(points) * (1 + 1e-6) + 1e-6


@pytest.mark.parametrize(("depth", "friction"), [(0.3, 0.0), (0.5, 0.1), (1.0, 0.05), (2.5, 0.3)])
def test_dang_van_by_brute_force(depth, friction):
    cycle = unit_cycle(z_over_b=np.array(depth), friction=np.array(friction))
    radius, _ = cycle.shear_about_centre()
    deviator = np.stack((cycle.sigma_x, cycle.sigma_y, cycle.sigma_z)) - cycle.hydrostatic
    path = np.stack(
        (np.sqrt(0.5) * (deviator[0] - deviator[2]) / np.sqrt(2), cycle.tau_xz, np.sqrt(0.75) * deviator[1])
    )
    second_invariant = (deviator**2).sum(axis=0) / 2 + cycle.tau_xz**2
    assert (path**2).sum(axis=0) == pytest.approx(second_invariant, abs=1e-12)
    assert radius == pytest.approx(smallest_radius(path.T), rel=1e-6)


@pytest.mark.parametrize("friction", [-0.4875, -0.2125, -0.1, 0.0, 0.0475, 0.09375, 0.2325, 0.2375, 0.5])
def test_the_table_is_the_cycle(friction):
    # between the nodes of friction, where straight lines are worst, and over the ridge near 0.23
    near, deep = np.geomspace(0.01, 0.1, 40), np.geomspace(0.1, 50, 160)
    for depth, amplitude, criterion in ((near, 4e-4, 1e-3), (deep, 3e-4, 3e-4)):
        found = measures(z_over_b=depth, friction=np.array(friction))
        direct = rolling_cycle(half_width_mm=1.0, pressure_MPa=1.0, friction=friction, depth_mm=depth)
        assert found.amplitude == pytest.approx(direct.shear_amplitude_MPa[0], abs=amplitude)
        assert found.dang_van == pytest.approx(direct.dang_van_MPa[0], abs=criterion)


@settings(deadline=None, max_examples=30)
@given(depth=st.floats(0.05, 10), friction=st.floats(0, 0.5), residual=st.floats(-600, 300))
def test_directions_of_the_cycle(depth, friction, residual):
    def at(mu, sigma):
        return rolling_cycle(
            half_width_mm=0.3, pressure_MPa=1500, friction=mu, depth_mm=0.3 * depth, residual_stress_MPa=sigma
        )

    here, mirrored, unstressed = at(friction, residual), at(-friction, residual), at(friction, 0.0)
    names = (
        "shear_in_plane_MPa",
        "shear_range_MPa",
        "sphere_radius_MPa",
        "dang_van_MPa",
        "hydrostatic_least_MPa",
    )
    for name in names:
        assert getattr(mirrored, name) == pytest.approx(getattr(here, name), rel=1e-6, abs=1e-6)
    assert here.shear_amplitude_MPa == pytest.approx(unstressed.shear_amplitude_MPa)
    assert here.sphere_radius_MPa >= here.shear_amplitude_MPa * (1 - 1e-9)
    assert here.dang_van_MPa - unstressed.dang_van_MPa == pytest.approx(0.231 * 2 / 3 * residual, abs=1e-9)


def test_a_point_without_load_sees_the_residual_stress_alone():
    found = rolling_cycle(
        half_width_mm=[0.0, 0.3],
        pressure_MPa=[0.0, 1000.0],
        friction=0.05,
        depth_mm=[0.1],
        residual_stress_MPa=-200,
    )
    assert found.shear_in_plane_MPa[0] == pytest.approx(100)
    assert found.shear_range_MPa[0] == 0
    assert found.shear_range_MPa[1] > 100


def test_shapes_broadcast():
    found = rolling_cycle(
        half_width_mm=np.full((2, 3), 0.3), pressure_MPa=1000.0, friction=0.05, depth_mm=np.full((2, 4), 0.2)
    )
    assert found.dang_van_MPa.shape == (2, 3, 4)


def test_bad_input_is_named():
    with pytest.raises(InputError, match=r"half_width_mm.*\n.*depth_mm"):
        rolling_cycle(half_width_mm=-0.3, pressure_MPa=1000, friction=0, depth_mm=-1)
    rubbed = rolling_cycle(half_width_mm=0.3, pressure_MPa=1000, friction=0.6, depth_mm=0.2)
    assert np.isnan(rubbed.dang_van_MPa).all()
    assert [notice.key for notice in rubbed.stops] == ["case.rolling_cycle.friction"]
