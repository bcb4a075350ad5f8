"""Contact without tension: conditions, hand problem, a general-purpose solver, awkward beds, starts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize

from gearcheck.contact.hertz import hertz_line, line_approach
from gearcheck.meshing.approach import LocalApproach
from gearcheck.meshing.unilateral import Bed, pressed

STEEL = {"modulus_MPa": 206000.0, "poisson": 0.3}


def local(shape, radius=10.0, depth=4.0):
    return LocalApproach(np.full(shape, radius), (np.full(shape, depth), np.full(shape, depth)), **STEEL)


def bed_of(flexibility, length=1.0):
    flexibility = np.asarray(flexibility, dtype=float)[None]
    shape = flexibility.shape[:2]
    return Bed(flexibility, local(shape), np.full(shape, length), np.ones(shape, dtype=bool))


def one(bed, separation, force, **more):
    return pressed(
        bed, np.atleast_2d(separation).astype(float), np.array([force], float), np.array([0]), **more
    )


def excess(bed, found, separation):
    """What each contact gives way and stands off, less the approach: 0 where it presses, else 0 or more."""
    own, _ = bed.local.of(found.force_N / bed.length_mm)
    given_way = np.einsum("xy,by->bx", bed.flexibility[0], found.force_N)
    return given_way + own + separation - found.approach_mm[:, None]


@pytest.mark.parametrize("load", [0.5, 30.0, 900.0])
def test_the_approach_of_a_contact_is_that_of_both_bodies(load):
    steel = {"modulus_1_MPa": 206000, "modulus_2_MPa": 206000, "poisson_1": 0.3, "poisson_2": 0.3}
    hertz = hertz_line(line_load_N_mm=load, reduced_radius_mm=10, **steel)
    both = [
        line_approach(
            half_width_mm=hertz.half_width_mm,
            pressure_MPa=hertz.pressure_MPa,
            reference_depth_mm=depth,
            **STEEL,
        ).approach_mm
        for depth in (3.0, 5.0)
    ]
    contact = LocalApproach(np.array([10.0]), (np.array([3.0]), np.array([5.0])), **STEEL)
    found, slope = contact.of(np.array([load]))
    assert found[0] == pytest.approx(sum(both), rel=1e-12)
    ahead = (contact.of(np.array([load * (1 + 1e-6)]))[0] - found) / (load * 1e-6)
    assert slope[0] == pytest.approx(ahead[0], rel=1e-5)


def test_what_stands_off_too_far_does_not_press():
    bed = bed_of(np.diag([1e-5, 1e-5, 1e-5]))
    found = one(bed, [0.0, 0.0, 0.5], 100.0)
    assert found.force_N[0].tolist() == pytest.approx([50.0, 50.0, 0.0])
    own, _ = local((1,)).of(np.array([50.0]))
    assert found.approach_mm[0] == pytest.approx(50 * 1e-5 + own[0], rel=1e-12)


def test_fill_never_presses():
    bed = bed_of(np.diag([1e-5, 1e-5]))
    bed = Bed(bed.flexibility, bed.local, bed.length_mm, np.array([[True, False]]))
    found = one(bed, [0.0, -5.0], 100.0)
    assert found.force_N[0].tolist() == [100.0, 0.0]


def test_a_tiny_load_on_flanks_far_apart_is_solved():
    """Where rounding of the separations alone moves the force by more than its last digits."""
    rng = np.random.default_rng(5)
    flexibility = softness(rng, 12)[None]
    ones = np.ones((1, 12))
    bed = Bed(flexibility, local((1, 12), radius=1.0), ones, ones > 0)
    force = np.geomspace(1e-4, 1.0, 3000)
    separation = -0.2 + rng.uniform(0, 0.05, (3000, 12))
    found = pressed(bed, separation, force, np.zeros(3000, dtype=int))
    assert found.solved.all()
    np.testing.assert_allclose(found.force_N.sum(axis=-1), force, rtol=1e-7)


def softness(rng, size):
    """A bed as teeth make it: softer far out, coupled to its neighbours."""
    at = np.arange(size)
    half = 1e-6 * (1 + rng.uniform(size=size))
    return np.sqrt(half[:, None] * half) * np.exp(-np.abs(at[:, None] - at) / rng.uniform(1, 8))


@settings(max_examples=40)
@given(seed=st.integers(0, 10**6), size=st.integers(2, 30), force=st.floats(1.0, 1e5))
def test_nothing_pulls_nothing_overlaps_and_the_forces_balance(seed, size, force):
    rng = np.random.default_rng(seed)
    bed = bed_of(softness(rng, size))
    separation = rng.uniform(0, 0.02, (5, size))
    found = pressed(bed, separation, np.full(5, force), np.zeros(5, dtype=int))
    assert found.solved.all()
    assert (found.force_N >= 0).all()
    np.testing.assert_allclose(found.force_N.sum(axis=-1), force, rtol=1e-12)
    left = excess(bed, found, separation)
    assert left.min() > -1e-11
    assert np.abs(np.where(found.force_N > 0, left, 0)).max() < 1e-11


def test_a_general_purpose_optimiser_finds_the_same():
    rng = np.random.default_rng(7)
    size, force = 8, 4000.0
    bed = bed_of(softness(rng, size))
    separation = rng.uniform(0, 0.01, size)
    load = force * np.linspace(0, 1, 2001) ** 2
    own = CubicSpline(load, bed.local.of(load[:, None] * np.ones(size))[0][:, 0])
    work = own.antiderivative()

    def energy(forces):
        return forces @ bed.flexibility[0] @ forces / 2 + work(forces).sum() + separation @ forces

    def steep(forces):
        return bed.flexibility[0] @ forces + own(forces) + separation

    start = np.full(size, force / size)
    other = minimize(
        energy,
        start,
        jac=steep,
        bounds=[(0, force)] * size,
        constraints={"type": "eq", "fun": lambda forces: forces.sum() - force},
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 500},
    )
    found = one(bed, separation, force).force_N[0]
    np.testing.assert_allclose(found, other.x, atol=1e-5 * force)
    assert energy(found) <= energy(other.x) + 1e-9


@pytest.mark.parametrize("coupled", [0.0, 0.6, 0.95, 0.999])
def test_beds_that_are_nearly_rigid_together_are_solved_too(coupled):
    size = 40
    flexibility = 1e-5 * (coupled + (1 - coupled) * np.eye(size))
    separation = 0.01 * np.linspace(-1, 1, size) ** 2
    bed = bed_of(flexibility, length=0.5)
    found = one(bed, separation, 5.0)
    assert found.solved.all()
    assert excess(bed, found, separation).min() > -1e-12
    assert found.force_N[0] == pytest.approx(found.force_N[0][::-1], abs=1e-9)


def test_the_start_does_not_matter():
    rng = np.random.default_rng(3)
    bed = bed_of(softness(rng, 20))
    separation = rng.uniform(0, 0.02, 20)
    usual = one(bed, separation, 2000.0)
    other = one(bed, separation, 2000.0, start=rng.uniform(0, 200, (1, 20)))
    np.testing.assert_allclose(usual.force_N, other.force_N, atol=1e-7)


def test_many_problems_are_cut_into_parts_that_give_the_same(monkeypatch):
    rng = np.random.default_rng(4)
    bed = bed_of(softness(rng, 6))
    separation = rng.uniform(0, 0.02, (40, 6))
    force, place = rng.uniform(10, 1000, 40), np.zeros(40, dtype=int)
    whole = pressed(bed, separation, force, place).force_N
    monkeypatch.setattr("gearcheck.meshing.unilateral._CHUNK_BYTES", 8.0 * 6**2 * 7)
    np.testing.assert_allclose(pressed(bed, separation, force, place).force_N, whole, rtol=1e-9, atol=1e-9)
