"""The elements on bodies whose displacement is known in closed form."""

from itertools import pairwise

import numpy as np
import pytest

from gearcheck.meshing.section_mesh import SectionMesh
from gearcheck.meshing.wave_elements import quadratic, wave_stiffness
from gearcheck.meshing.wave_solver import wave_compliance
from tests.checks import cases, holds

STEEL = {"modulus_MPa": 206000.0, "poisson": 0.3}
BENT = np.array([[0, 0], [2, 0.2], [2.4, 1.8], [-0.3, 1.5], [1, 0.3], [2.3, 1.0], [1, 1.7], [-0.1, 0.8]])


def block(x, y):
    """A rectangle of elements between lines at x and y, held where y is last."""
    columns, rows = (np.sort(np.append(line, [(a + b) / 2 for a, b in pairwise(line)])) for line in (x, y))
    rows = rows if y[0] < y[-1] else rows[::-1]
    nodes = np.stack(np.meshgrid(columns, rows), axis=-1)
    number = np.arange(len(columns) * len(rows)).reshape(len(rows), -1)
    low, high, middle = slice(None, -2, 2), slice(2, None, 2), slice(1, None, 2)
    places = [(low, low), (low, high), (high, high), (high, low)]
    places += [(low, middle), (middle, high), (high, middle), (middle, low)]
    elements = np.stack([number[place].ravel() for place in places], axis=-1)
    used, elements = np.unique(elements, return_inverse=True)
    nodes = nodes.reshape((-1, 2))[used]
    elements = elements.reshape((-1, 8))
    nothing = np.zeros((3, 0), dtype=int)
    return SectionMesh(
        nodes_mm=nodes,
        elements=elements,
        share=np.ones(len(elements)),
        free=int((nodes[:, 1] != rows[-1]).sum()),
        flank=nothing,
        middle=nothing[0],
        along_mm=np.zeros(0),
        height_mm=np.zeros(0),
    )


def one(mesh, place, axis):
    unit = np.zeros((3 * mesh.free, 1))
    unit[3 * int(np.argmin(np.hypot(*(mesh.nodes_mm - place).T))) + axis] = 1.0
    return unit


@pytest.mark.parametrize("check", cases("meshing", "gearcheck.meshing.wave_solver:wave_compliance"), ids=str)
def test_a_body_whose_displacement_is_known(check):
    given = dict(check.inputs)
    steel = {name: float(given.pop(name)) for name in STEEL}
    if "length_mm" in given:
        mesh = block(np.linspace(0, given["height_mm"], 5), np.linspace(0, given["length_mm"], 41))
        load = one(mesh, (given["height_mm"] / 2, 0), 0)
        found = wave_compliance(mesh=mesh, loads=load, readings=load, wave_per_mm=np.zeros(1), **steel)
        holds(check, compliance=found[0, 0, 0])
        return
    fine = np.concatenate([np.linspace(0, 2, 9), np.geomspace(2, 16, 9)[1:]])
    mesh = block(np.concatenate([-fine[:0:-1], fine]), np.concatenate([-np.linspace(0, 2, 9), -fine[9:-1]]))
    load, reading = one(mesh, (0, 0), 1), one(mesh, (0, -given["depth_mm"]), 1)
    waves = np.array(given["wave_per_mm"])
    found = wave_compliance(mesh=mesh, loads=load, readings=reading, wave_per_mm=waves, **steel)
    holds(check, compliance=found[:, 0, 0])


def energy(moved, wave=0.0):
    parts = wave_stiffness(corners_mm=BENT[None], share=np.ones(1), **STEEL)
    stiffness = sum(part[0] * wave**power for power, part in enumerate(parts))
    assert np.allclose(stiffness, stiffness.T)
    return moved.ravel() @ stiffness @ moved.ravel(), stiffness @ moved.ravel()


def area():
    place, weight = np.polynomial.legendre.leggauss(20)
    along = [quadratic(place) @ BENT[list(side)] for side in ((0, 4, 1), (1, 5, 2), (2, 6, 3), (3, 7, 0))]
    slope = np.stack([place - 0.5, -2 * place, place + 0.5], axis=-1)
    steps = [slope @ BENT[list(side)] for side in ((0, 4, 1), (1, 5, 2), (2, 6, 3), (3, 7, 0))]
    turned = (weight @ (p[:, 0] * d[:, 1] - p[:, 1] * d[:, 0]) for p, d in zip(along, steps, strict=True))
    return sum(turned) / 2


def test_a_rigid_motion_takes_no_force():
    x, y = BENT.T
    for moved in (
        np.tile([1.0, 0.0, 0.0], (8, 1)),
        np.tile([0.0, 0.0, 1.0], (8, 1)),
        np.stack([-y, x, 0 * x], -1),
    ):
        assert np.abs(energy(moved)[1]).max() < 1e-9 * STEEL["modulus_MPa"]


def test_a_constant_strain_has_its_energy_on_a_bent_element():
    x, y = BENT.T
    shear = STEEL["modulus_MPa"] / 2.6
    stretch = STEEL["modulus_MPa"] * 0.7 / (1.3 * 0.4)  # εx alone in plane strain: (1 - ν)E/((1 + ν)(1 - 2ν))
    assert energy(np.stack([x, 0 * x, 0 * x], -1))[0] == pytest.approx(stretch * area(), rel=1e-12)
    assert energy(np.stack([y, 0 * x, 0 * x], -1))[0] == pytest.approx(shear * area(), rel=1e-12)
    assert energy(np.stack([0 * x, 0 * x, y], -1))[0] == pytest.approx(shear * area(), rel=1e-12)


def test_a_constant_wave_has_its_energy():
    """u_y = cos kz shears by k, u_z = sin kz stretches by k, each over the whole element."""
    shear, stretch = STEEL["modulus_MPa"] / 2.6, STEEL["modulus_MPa"] * 0.7 / (1.3 * 0.4)
    assert energy(np.tile([0.0, 1.0, 0.0], (8, 1)), 0.7)[0] == pytest.approx(0.49 * shear * area(), rel=1e-12)
    assert energy(np.tile([0.0, 0.0, 1.0], (8, 1)), 0.7)[0] == pytest.approx(
        0.49 * stretch * area(), rel=1e-12
    )


def test_the_strains_of_a_wave_belong_together():
    """u_x = cos kz with u_z = -k x sin kz shears by 2k what u_z alone shears by k; both stretch alike."""
    wave, shear = 0.3, STEEL["modulus_MPa"] / 2.6
    tilt, shift = (
        np.stack([0 * BENT[:, 0], 0 * BENT[:, 0], -wave * BENT[:, 0]], -1),
        np.tile([1.0, 0.0, 0.0], (8, 1)),
    )
    stretched = energy(tilt, wave)[0] - wave**2 * shear * area()
    assert stretched > 0
    assert energy(tilt + shift, wave)[0] == pytest.approx(4 * wave**2 * shear * area() + stretched, rel=1e-12)
