"""Gears drawn at random: each as its own revolution, all as many as asked for, whatever is done at once."""

import numpy as np
import pytest
from scipy.optimize import nnls

from gearcheck.basics.errors import InputError
from gearcheck.meshing import alike
from gearcheck.meshing.alike import pressed_alike
from gearcheck.meshing.form import Misalignment
from gearcheck.meshing.loaded import loaded_contact, normal_force_N, separation_mm, under_load
from gearcheck.meshing.made import GearScatter, ManufacturingScatter, made_teeth, scatter_within
from gearcheck.meshing.revolution import loaded_revolution
from gearcheck.meshing.scatter import scattered_contact
from gearcheck.meshing.unilateral import pressed
from tests.checks import cases, holds
from tests.meshing.meshes import bed_of, forms_of

CALCULATION = "gearcheck.meshing.scatter:scattered_contact"
SCATTER = GearScatter(
    index_um=2.0,
    turn_um=3.0,
    profile_slope_um=2.0,
    helix_slope_um=2.0,
    gear_profile_slope_um=1.5,
    gear_helix_slope_um=2.5,
)
HEAVY = 0.03  # weight of the balance of forces in least squares
BOTH = ManufacturingScatter(pinion=SCATTER, wheel=SCATTER)


CHECKS = {
    item.id: item
    for calculation in (CALCULATION, "gearcheck.meshing.made:scatter_within")
    for item in cases("meshing_turns", calculation)
}


def load(kind="spur", torque=300.0):
    bed = bed_of(kind, 8, 5)
    return {"bed": bed, "torque_Nm": torque, **forms_of(bed, 12.0)}


def last(seed, **given):
    return list(scattered_contact(**given, generator=np.random.default_rng(seed)))[-1]


@pytest.mark.parametrize("kind", ["spur", "helical", "internal"])
@pytest.mark.parametrize("scatter", [ManufacturingScatter(pinion=SCATTER), BOTH], ids=["pinion", "both"])
def test_each_gear_is_its_own_revolution(kind, scatter):
    given = CHECKS["SCATTER-REVOLUTION"]
    gears, seed, mesh = given.inputs["gears"], given.inputs["seed"], load(kind)
    found = last(seed, **mesh, scatter=scatter, gears=gears)
    generator, teeth = np.random.default_rng(seed), {}
    for member in ("pinion", "wheel"):
        count, of = int(getattr(mesh["bed"].pair, member).teeth), getattr(scatter, member)
        if of is not None:
            teeth[f"{member}_teeth"] = made_teeth(of, teeth=count, gears=gears, generator=generator)
    one_by_one = loaded_revolution(**mesh, **teeth, cycles=int(found.cycles))
    beside = {
        "peak_to_peak_um": found.peak_to_peak_um - one_by_one.peak_to_peak_um,
        "mesh_order_um": found.mesh_order_um - one_by_one.orders_um[:, 0],
        "pressure_MPa": found.largest_pressure_MPa - one_by_one.largest_pressure_MPa,
    }
    holds(given, **{name: np.abs(values).max() for name, values in beside.items()})


def test_gears_that_do_not_scatter_are_the_gear_drawn():
    given = CHECKS["SCATTER-NONE"]
    found = last(1, **load(), scatter=ManufacturingScatter(wheel=GearScatter()), gears=given.inputs["gears"])
    drawn = loaded_contact(**load())
    holds(
        given,
        peak_to_peak_um=np.abs(found.peak_to_peak_um - drawn.peak_to_peak_um).max(),
        pressure_MPa=np.abs(found.largest_pressure_MPa - drawn.largest_pressure_MPa).max(),
    )
    assert found.drawn_peak_to_peak_um == pytest.approx(drawn.peak_to_peak_um, abs=1e-6)
    assert found.drawn_pressure_MPa == pytest.approx(drawn.largest_pressure_MPa, abs=1e-3)
    assert found.done == found.of == 3


def test_the_same_seed_is_the_same_gears_whatever_is_done_at_once():
    given = {**load("helical"), "scatter": BOTH, "gears": 11}
    whole = last(7, **given)
    parts = list(scattered_contact(**given, generator=np.random.default_rng(7), at_once=4))
    assert [part.done for part in parts] == [4, 8, 11]
    for name in ("peak_to_peak_um", "mesh_order_um", "largest_pressure_MPa"):
        np.testing.assert_allclose(getattr(parts[-1], name), getattr(whole, name), rtol=1e-6)
        np.testing.assert_array_equal(getattr(parts[0], name), getattr(parts[-1], name)[:4])
    assert not np.allclose(last(8, **given).peak_to_peak_um, whole.peak_to_peak_um)


def test_quantiles_are_those_of_the_gears_done():
    found = last(7, **load(), scatter=BOTH, gears=21)
    below = found.peak_to_peak_um <= found.high_peak_to_peak_um
    assert below.sum() == 20
    assert np.median(found.largest_pressure_MPa) == pytest.approx(found.median_pressure_MPa)


def test_most_gears_keep_the_tolerances_that_their_scatter_is_made_of():
    given = CHECKS["SCATTER-TOLERANCE"]
    inputs = given.inputs
    scatter = scatter_within(**inputs)
    teeth = made_teeth(scatter, teeth=inputs["teeth"], gears=4000, generator=np.random.default_rng(11))
    arc = np.cos(np.radians(inputs["transverse_pressure_angle_deg"]))
    index = teeth.index_um / arc
    # the wave of a turn adds to single pitches: looked at without it
    own = made_teeth(
        GearScatter(index_um=scatter.index_um),
        teeth=inputs["teeth"],
        gears=4000,
        generator=np.random.default_rng(11),
    )
    single = own.index_um / arc - np.roll(own.index_um / arc, 1, axis=-1)
    slope = np.diff(teeth.helix_um[..., 0, :], axis=-1)
    holds(
        given,
        single_pitch=(np.abs(single) <= inputs["single_pitch_um"]).mean(),
        cumulative_pitch=(np.ptp(index, axis=-1) <= inputs["cumulative_pitch_um"]).mean(),
        slope=(np.abs(slope) <= inputs["helix_slope_um"]).mean(),
    )
    together = np.diff(teeth.helix_um, axis=-1)[..., 0].mean(axis=-1).var()
    whole = np.diff(teeth.helix_um, axis=-1).var()
    assert together / whole == pytest.approx(0.4 + 0.6 / inputs["teeth"], abs=0.03)


def test_a_cumulative_pitch_without_room_leaves_no_wave():
    tight = {"teeth": 30, "transverse_pressure_angle_deg": 20, "single_pitch_um": 10.0}
    slopes = {"profile_slope_um": 0.0, "helix_slope_um": 0.0, "gear_share": 0.5}
    assert scatter_within(**tight, **slopes, cumulative_pitch_um=10.0).turn_um == 0.0
    loose = [scatter_within(**tight, **slopes, cumulative_pitch_um=wide).turn_um for wide in (40.0, 60.0)]
    assert 0 < loose[0] < loose[1]


def states(kind, torque, count=40):
    """Many separations of every position, and the state without deviations."""
    mesh, rng = load(kind, torque), np.random.default_rng(6)
    bed = mesh["bed"]
    drawn = separation_mm(bed, mesh["pinion"], mesh["wheel"], Misalignment())
    force = float(normal_force_N(bed, np.array(torque)))
    start = under_load(bed, drawn, np.array(force)).force_N
    apart = rng.normal(0, 0.004, (count, 1, 1)) * np.sign(bed.tooth_pair + 0.5)
    tilted = rng.normal(0, 0.004, (count, 1, 1)) * (bed.face_of / bed.width_mm - 0.5)
    return bed, force, start, drawn + apart + tilted


@pytest.mark.parametrize("rounds", [1, 15])
@pytest.mark.parametrize("torque", [0.5, 40.0, 800.0])
@pytest.mark.parametrize("kind", ["spur", "helical"])
def test_together_they_are_what_they_are_one_by_one(kind, torque, rounds, monkeypatch):
    monkeypatch.setattr(alike, "_ROUNDS", rounds)
    bed, force, start, separation = states(kind, torque)
    for place in range(8):
        found = pressed_alike(bed.bed, place, separation[:, place], force, start[place])
        count = len(separation)
        alone = pressed(bed.bed, separation[:, place], np.full(count, force), np.full(count, place))
        np.testing.assert_allclose(found.force_N, alone.force_N, atol=3e-7 * force)
        np.testing.assert_allclose(found.approach_mm, alone.approach_mm, rtol=1e-6, atol=1e-9)
        assert found.solved.all()


def by_least_squares(bed, place, separation, force):
    """The same problem by scipy: non-negative least squares, the slope of h taken anew until it stays."""
    on = np.flatnonzero(bed.bed.usable[place])
    softness, length = bed.bed.flexibility[place][np.ix_(on, on)], bed.bed.length_mm[place, on]
    local = bed.bed.local.at((np.array(place), on))
    forces = np.full(on.size, force / on.size)
    for _ in range(40):
        approach, slope = local.of(forces / length)
        slope = slope / length
        known = approach - slope * forces + separation[on]
        root = np.linalg.cholesky(softness + np.diag(slope))
        matrix = np.vstack([root.T, HEAVY * np.ones(on.size)])
        wanted = np.append(-np.linalg.solve(root, known), HEAVY * force)
        was, forces = forces, nnls(matrix, wanted, maxiter=1000)[0]
        if np.abs(forces - was).max() < 1e-9 * force:
            break
    # the balance is a heavy wish: what it lacks says how far the bodies approach
    return forces, HEAVY**2 * (force - forces.sum())


def test_a_general_purpose_solver_finds_the_same_forces():
    check_of = CHECKS["SCATTER-LEAST-SQUARES"]
    bed, force, start, separation = states("spur", check_of.inputs["torque_Nm"], count=3)
    beside = []
    for place in check_of.inputs["places"]:
        found = pressed_alike(bed.bed, place, separation[:, place], force, start[place])
        for one, own in enumerate(separation[:, place]):
            # what the wish will lack is put on top: if the approach is right, the balance is met
            forces, approach = by_least_squares(bed, place, own, force + found.approach_mm[one] / HEAVY**2)
            on = np.flatnonzero(bed.bed.usable[place])
            apart = np.abs(found.force_N[one, on] - forces).max() / force
            beside.append((apart, abs(approach / found.approach_mm[one] - 1)))
    holds(check_of, forces_share=max(beside)[0], approach_share=max(one for _, one in beside))


def test_standard_deviations_are_those_worked_by_hand():
    given = CHECKS["SCATTER-HAND"]
    found = scatter_within(**given.inputs)
    holds(given, **{name: getattr(found, name) for name in given.expected})


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["spur", "helical"])
def test_few_positions_and_slices_are_as_near_as_the_method_says(kind):
    found = []
    for places in ((16, 11), (64, 41)):
        bed = bed_of(kind, *places)
        forms = forms_of(bed, 12.0, helix_crowning_um=3.0)
        given = {"bed": bed, "torque_Nm": 300.0, **forms, "gears": 15}
        found.append(last(1, **given, scatter=ManufacturingScatter(pinion=SCATTER)))
    few, many = found
    assert few.median_peak_to_peak_um == pytest.approx(many.median_peak_to_peak_um, rel=0.01)
    assert few.median_pressure_MPa == pytest.approx(many.median_pressure_MPa, rel=0.01)
    np.testing.assert_allclose(few.peak_to_peak_um, many.peak_to_peak_um, rtol=0.04)
    np.testing.assert_allclose(few.largest_pressure_MPa, many.largest_pressure_MPa, rtol=0.1)


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"torque_Nm": 0.0}, "torque_Nm"),
        ({"gears": 0}, "gears"),
        ({"at_once": 0}, "at_once"),
        ({"scatter": ManufacturingScatter()}, "scatter"),
    ],
)
def test_what_cannot_be_drawn_is_refused(change, name):
    with pytest.raises(InputError) as refused:
        last(1, **{**load(), "scatter": BOTH, "gears": 2, **change})
    assert name in str(refused.value)


def test_tolerances_below_nothing_and_shares_beyond_all_are_refused():
    with pytest.raises(InputError) as refused:
        scatter_within(
            teeth=30,
            transverse_pressure_angle_deg=20,
            single_pitch_um=-1,
            cumulative_pitch_um=20,
            profile_slope_um=5,
            helix_slope_um=5,
            gear_share=1.5,
            kept=1.0,
        )
    assert all(name in str(refused.value) for name in ("single_pitch_um", "gear_share", "kept"))
