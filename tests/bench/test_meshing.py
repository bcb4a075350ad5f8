"""How long the loaded contact takes, each with its budget; measured with ``--benchmark-enable``."""

import numpy as np

from gearcheck.meshing.advisor import relief_front
from gearcheck.meshing.candidates import ReliefLimits
from gearcheck.meshing.form import Misalignment
from gearcheck.meshing.loaded import loaded_contact, normal_force_N, separation_mm
from gearcheck.meshing.made import GearScatter, ManufacturingScatter, made_teeth
from gearcheck.meshing.mesh_bed import mesh_bed
from gearcheck.meshing.revolution import loaded_revolution
from gearcheck.meshing.scatter import scattered_contact
from gearcheck.meshing.tooth_by_tooth import in_mesh, stood_out_um
from tests.bench.test_times import within
from tests.meshing.meshes import bed_of, compliances, ends_of, forms_of, pair_of
from tests.meshing.test_scatter import HEAVY, by_least_squares

SCATTER = GearScatter(
    index_um=2.0, turn_um=3.0, profile_slope_um=2.0, helix_slope_um=2.0, gear_helix_slope_um=2.5
)
TORQUE = 300.0


def mesh(positions, slices, kind="helical"):
    bed = bed_of(kind, positions, slices)
    return {"bed": bed, "torque_Nm": TORQUE, **forms_of(bed, 12.0)}


def test_the_elastic_bed_of_64_positions_and_41_slices(benchmark):
    within(benchmark, 100)
    given = {"pair": pair_of("helical"), **compliances("helical")}
    assert benchmark(mesh_bed, **given, positions=64, slices=41).position_mm.size == 64


def test_one_mesh_cycle_of_64_positions_and_41_slices(benchmark):
    within(benchmark, 50)
    found = benchmark(loaded_contact, **mesh(64, 41))
    assert found.peak_to_peak_um > 0


def test_a_revolution_as_the_sheet_shows_it(benchmark):
    within(benchmark, 250)
    given = mesh(32, 21, "spur")
    teeth = made_teeth(SCATTER, teeth=20, gears=1, generator=np.random.default_rng(1))
    found = benchmark(loaded_revolution, **given, pinion_teeth=teeth)
    assert found.error_um.shape == (1, 640)


def ten(given, seed=1):
    return list(
        scattered_contact(
            **given,
            scatter=ManufacturingScatter(pinion=SCATTER),
            generator=np.random.default_rng(seed),
            gears=10,
        )
    )[-1]


def test_ten_gears_drawn_at_random(benchmark):
    """A revolution each, 20 teeth, 16 positions, 11 slices: 3,200 contacts."""
    within(benchmark, 100)
    assert benchmark(ten, mesh(16, 11, "spur")).done == 10


def least_squares(bed, separation, force, approach):
    """One gear by scipy's non-negative least squares, told how far the bodies approach."""
    found = np.empty(approach.shape)
    for cycle, place in np.ndindex(approach.shape):
        heavier = force + approach[cycle, place] / HEAVY**2
        found[cycle, place] = by_least_squares(bed, place, separation[cycle, place], heavier)[1]
    return found


def test_one_gear_by_a_general_purpose_solver(benchmark):
    """The same as each of the ten, by scipy.optimize.nnls: to compare, not to use."""
    benchmark.group = "to compare"
    given = mesh(16, 11, "spur")
    bed = given["bed"]
    teeth = made_teeth(SCATTER, teeth=20, gears=10, generator=np.random.default_rng(1))
    out = stood_out_um(bed, teeth, given["pinion"], bed.rolls_mm[0], in_mesh(bed, 20, np.arange(20)))[0]
    drawn = separation_mm(bed, given["pinion"], given["wheel"], Misalignment())
    ours = loaded_revolution(**given, pinion_teeth=teeth).error_um[0].reshape(20, 16)
    approach = -ours * bed.lean / 1000.0
    force = float(normal_force_N(bed, np.array(TORQUE)))
    rows = drawn - out / 1000.0 * bed.lean
    found = benchmark.pedantic(least_squares, (bed, rows, force, approach), rounds=1)
    np.testing.assert_allclose(found, approach, rtol=1e-6)


def test_the_front_of_reliefs(benchmark):
    """865 points over three torques and three misalignments."""
    within(benchmark, 15000)
    given = mesh(16, 11, "spur")
    del given["torque_Nm"]
    spans = {}
    for member in ("pinion", "wheel"):
        low, high = ends_of(given["bed"], member)
        spans[f"{member}_tip_relief_um"] = (0.0, 38.0)
        spans[f"{member}_tip_relief_start_mm"] = (low + 0.45 * (high - low), low + 0.95 * (high - low))
    limits = ReliefLimits(**spans, pinion_helix_crowning_um=(0.0, 19.0))

    def front():
        return list(
            relief_front(
                **given,
                torques_Nm=[150.0, 225.0, 300.0],
                misalignments=Misalignment(out_of_plane_um=np.array([-12.0, 0.0, 12.0])),
                limits=limits,
                generator=np.random.default_rng(1),
                rounds=8 if benchmark.enabled else 0,
            )
        )[-1]

    assert benchmark.pedantic(front, rounds=1).done >= 65
