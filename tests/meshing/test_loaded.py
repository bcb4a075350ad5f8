"""Loaded contact of a mesh: rigid limit, balance, Hertz, symmetry, convergence, relief, lean, bad input."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.methods import Level
from gearcheck.meshing.corner import line_mm, rolls
from gearcheck.meshing.form import Misalignment, standing_out_um
from gearcheck.meshing.loaded import loaded_contact, separation_mm
from gearcheck.meshing.mesh_bed import mesh_bed
from tests.checks import cases, holds
from tests.meshing.pairs import bed_of, compliances, form_of, forms_of, pair_of

CHECKS = {check.id: check for check in cases("loaded", "gearcheck.meshing.loaded:loaded_contact")}
BED = cases("loaded", "gearcheck.meshing.mesh_bed:mesh_bed")
KINDS = {
    "spur": {},
    "helical": {"helix_deg": 15.0},
    "two pairs over the face": {"helix_deg": 30.0},
    "internal": {"teeth": (20, 70), "internal": True},
}


def test_the_checks_are_those_tested_here():
    assert set(CHECKS) == {"LTC-RIGID", "LTC-BALANCE", "LTC-HERTZ"}


def test_without_load_the_error_is_that_of_rigid_flanks():
    check = CHECKS["LTC-RIGID"]
    bed = bed_of(positions=2048, slices=1)
    pair = bed.pair
    single = 1 - (pair.path_length_mm - pair.base_pitch_mm) / pair.path_length_mm
    found = loaded_contact(
        bed=bed, torque_Nm=0.0, **forms_of(bed, single, tip_relief_um=check.inputs["relief_um"])
    )
    holds(check, peak_to_peak=found.peak_to_peak_um)
    assert found.largest_pressure_MPa is None
    assert [notice.level for notice in found.notices] == [Level.NOTE]


@pytest.mark.parametrize("kind", KINDS)
def test_a_light_load_comes_near_to_no_load(kind):
    bed = bed_of(**KINDS[kind])
    forms = forms_of(bed, tip_relief_um=20.0, helix_crowning_um=4.0)
    none, light, lighter = (
        loaded_contact(bed=bed, torque_Nm=torque, **forms).error_um for torque in (0.0, 0.1, 0.001)
    )
    assert np.abs(lighter - none).max() < 0.15
    assert np.abs(lighter - none).max() < np.abs(light - none).max() < 1.5
    assert (light < none).all()  # what gives way falls behind


def test_the_forces_balance_the_torque():
    check = CHECKS["LTC-BALANCE"]
    sums = {}
    for name, kind in (("spur_N", "spur"), ("helical_N", "helical")):
        bed = bed_of(**KINDS[kind])
        found = loaded_contact(
            bed=bed, torque_Nm=check.inputs["torque_Nm"], **forms_of(bed, helix_crowning_um=8.0)
        )
        forces = found.field.force_N.sum(axis=-1)
        np.testing.assert_allclose(forces, found.normal_force_N, rtol=1e-9)
        sums[name] = forces.mean()
    holds(check, **sums)


def test_a_line_contact_is_that_of_hertz():
    check = CHECKS["LTC-HERTZ"]
    bed = bed_of(positions=32, slices=21)
    found = loaded_contact(bed=bed, torque_Nm=check.inputs["torque_Nm"], **forms_of(bed))
    pair = bed.pair
    pitch_point = 40 * np.sin(np.radians(20)) - pair.pinion.start_radius_mm
    near = np.abs(bed.place_mm - pitch_point) < pair.base_pitch_mm / 32 * 0.51
    inner = near & (np.abs(bed.face_of - 16) < 8)
    holds(
        check,
        pressure_MPa=found.field.pressure_MPa[inner].mean(),
        half_width_mm=found.field.half_width_mm[inner].mean(),
    )


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_pulls_and_nothing_overlaps(kind):
    bed = bed_of(**KINDS[kind])
    forms = forms_of(bed, tip_relief_um=10.0, helix_crowning_um=5.0)
    lean = Misalignment(out_of_plane_um=15.0)
    found = loaded_contact(bed=bed, torque_Nm=200.0, misalignment=lean, **forms)
    force = found.field.force_N
    own, _ = bed.bed.local.of(found.field.line_load_N_mm)
    given_way = np.einsum("pxy,py->px", bed.bed.flexibility, force)
    open_mm = separation_mm(bed, **forms, lean=lean)
    approach = -found.error_um[:, None] * bed.lean / 1000.0
    left = np.where(bed.bed.usable, given_way + own + open_mm - approach, 0.0)
    assert (force >= 0).all()
    assert left.min() > -1e-11
    assert np.abs(left[force > 0]).max() < 1e-11


def test_a_pair_of_equal_gears_is_the_same_backwards():
    bed = bed_of(teeth=(30, 30), positions=32)
    found = loaded_contact(bed=bed, torque_Nm=300.0, **forms_of(bed, tip_relief_um=10.0))
    # the pitch point lies in the middle of the path: what comes before it is what follows, read backwards
    pitch = bed.pair.base_pitch_mm
    middle = (bed.pair.path_length_mm / 2) % pitch
    place = (np.arange(-8, 9) + 0.5) * pitch / 64
    curve = np.interp(
        np.concatenate([middle + place, middle - place]),
        bed.position_mm,
        found.error_um,
        period=pitch,
    )
    # the gaps of corners are not the same for both ends, at a tip relief they do not touch
    np.testing.assert_allclose(curve[:17], curve[17:], atol=0.03)


def test_a_mirrored_face_gives_the_mirrored_load():
    lean = [Misalignment(out_of_plane_um=sign * 12.0) for sign in (1, -1)]
    # a helical mirror image is rolled on by part of a position
    for kind, near in (("spur", 1e-8), ("helical", 0.03)):
        right, left = (bed_of(right_lean=side, **KINDS[kind]) for side in (True, False))
        one = loaded_contact(bed=right, torque_Nm=150.0, misalignment=lean[0], **forms_of(right))
        other = loaded_contact(bed=left, torque_Nm=150.0, misalignment=lean[1], **forms_of(left))
        np.testing.assert_allclose(one.face_load_N_mm, other.face_load_N_mm[::-1], rtol=near, atol=near * 10)


@pytest.mark.parametrize("kind", ["spur", "helical"])
def test_more_slices_and_positions_change_little(kind):
    lean = Misalignment(out_of_plane_um=8.0)
    found = []
    for positions, slices in ((16, 11), (32, 21), (64, 41)):
        bed = bed_of(positions=positions, slices=slices, **KINDS[kind])
        forms = forms_of(bed, tip_relief_um=18.0, helix_crowning_um=4.0)
        found.append(loaded_contact(bed=bed, torque_Nm=300.0, misalignment=lean, **forms))
    coarse, usual, fine = found
    for name, near in (("peak_to_peak_um", 0.015), ("largest_pressure_MPa", 0.01), ("mean_um", 1e-3)):
        errors = [abs(getattr(one, name) / getattr(fine, name) - 1) for one in (coarse, usual)]
        assert errors[1] < near
        assert errors[1] <= errors[0] + 1e-3


def test_neighbouring_teeth_take_part_of_the_difference():
    """Without their coupling through the body the error of a plain pair is larger."""
    pair = pair_of()
    alone = [
        replace(one, compliance=np.where(np.arange(3)[:, None, None, None] > 0, 0.0, one.compliance))
        for one in compliances(pair)
    ]
    usual = bed_of()
    apart = mesh_bed(pair=pair, pinion=alone[0], wheel=alone[1], positions=32, slices=11)
    coupled, uncoupled = (
        loaded_contact(bed=bed, torque_Nm=300.0, **forms_of(bed)).peak_to_peak_um for bed in (usual, apart)
    )
    assert 1.1 < uncoupled / coupled < 1.4


def least_gap_um(bed, pinion, wheel, at):
    """The gap by points of a pinion's flank with all that is drawn, turned until one meets the wheel's."""
    pair = bed.pair
    first, second = (one[at] for one in rolls(pair, bed.place_mm))
    base = pair.pinion_base_diameter_mm / 2, pair.wheel_base_diameter_mm / 2
    turn = np.linspace(0, pinion.to_roll_mm / base[0], 20001)
    drawn = standing_out_um(pinion, turn * base[0], 0 * turn + 16.0, 32.0) / 1000
    angle = first / base[0] - turn + np.arctan(turn) + drawn / base[0]
    radius = base[0] * np.hypot(1, turn)
    out, along = base[0] + base[1] - radius * np.cos(angle), line_mm(pair) - radius * np.sin(angle)
    square = out**2 + along**2
    rolled = np.sqrt(np.maximum(square - base[1] ** 2, 0)) / base[1]
    gap = base[1] * (np.arctan2(along, out) - second / base[1] + rolled - np.arctan(rolled))
    gap -= standing_out_um(wheel, rolled * base[1], 0 * turn + 16.0, 32.0) / 1000
    tip = pair.wheel_tip_diameter_mm / 2
    return 1000 * gap[(square > base[1] ** 2) & (square <= tip**2)].min()


def test_a_relieved_corner_is_as_far_away_as_points_of_its_flank_say():
    bed = bed_of()
    forms = form_of(bed.pair.pinion, tip_relief_um=30.0, profile_crowning_um=10.0), form_of(bed.pair.wheel)
    open_um = 1000.0 * separation_mm(bed, *forms, Misalignment())
    past = (bed.place_mm > bed.pair.path_length_mm) & bed.bed.usable & (bed.face_slice == 5)
    assert past.sum() > 5
    for at in zip(*np.nonzero(past), strict=True):
        assert open_um[at] == pytest.approx(least_gap_um(bed, *forms, at), rel=0.03)


@pytest.mark.parametrize(("root_um", "more"), [(0.0, 0.02), (30.0, 0.075)])
def test_steep_flanks_meet_beside_the_line_of_action(root_um, more):
    """By as much as the method says."""
    bed = bed_of()
    pinion, wheel = bed.pair.pinion, bed.pair.wheel
    low, high = (float(one) for one in (wheel.start_radius_mm, wheel.tip_radius_mm))
    forms = (
        form_of(pinion, tip_relief_um=30.0),
        form_of(wheel, root_relief_um=root_um, root_relief_end_mm=low + 0.35 * (high - low)),
    )
    open_um = 1000.0 * separation_mm(bed, *forms, Misalignment())
    length = bed.pair.path_length_mm
    late = (bed.place_mm > 0.9 * length) & (bed.place_mm < length) & (bed.face_slice == 5)
    assert late.sum() > 2
    shares = [1 - least_gap_um(bed, *forms, at) / open_um[at] for at in zip(*np.nonzero(late), strict=True)]
    assert 0.0 < max(shares) < more


def test_corners_smooth_the_error_of_a_plain_pair(monkeypatch):
    usual = loaded_contact(bed=bed_of(), torque_Nm=300.0, **forms_of(bed_of()))
    for limit in ("BEYOND", "FARTHEST"):
        monkeypatch.setattr(f"gearcheck.meshing.mesh_bed.{limit}", 0.0)
    bed_of.cache_clear()
    bare = loaded_contact(bed=bed_of(), torque_Nm=300.0, **forms_of(bed_of()))
    bed_of.cache_clear()
    assert 1.0 < bare.peak_to_peak_um / usual.peak_to_peak_um < 1.15
    assert bare.corner_share == 0.0
    assert usual.corner_share > 0.0
    assert any("Tip corners" in notice.text for notice in usual.notices)


def test_a_relief_takes_most_of_the_mesh_order_at_its_torque():
    bed = bed_of(positions=32, slices=11)
    amounts, torques = np.linspace(0, 40, 9), np.array([100.0, 300.0, 900.0])
    found = loaded_contact(bed=bed, torque_Nm=torques, **forms_of(bed, 0.6, tip_relief_um=amounts[:, None]))
    order = found.orders_um[..., 0]
    best = order.argmin(axis=0)
    assert (order[best, range(3)] < 0.25 * order[0]).all()
    assert best[0] < best[1] < best[2]  # the more load, the more relief
    # about what the teeth give way under that load
    deflection = -found.mean_um[0]
    assert (np.abs(amounts[best] / deflection - 1) < 0.6).all()


def test_crowning_takes_the_load_from_the_ends_and_lean_brings_it_to_one():
    bed = bed_of()
    flat, crowned = (
        loaded_contact(bed=bed, torque_Nm=100.0, **forms_of(bed, helix_crowning_um=height))
        for height in (0.0, 12.0)
    )
    assert flat.pattern_margin_mm == 0.0
    assert crowned.pattern_margin_mm > 1.0
    assert crowned.face_load_N_mm.argmax() == 5
    leaning = loaded_contact(
        bed=bed, torque_Nm=100.0, misalignment=Misalignment(out_of_plane_um=20.0), **forms_of(bed)
    )
    assert leaning.face_load_N_mm.argmax() == 0
    assert leaning.face_load_factor > 1.5


def test_all_load_on_an_edge_is_said():
    bed = bed_of()
    found = loaded_contact(
        bed=bed, torque_Nm=1.0, misalignment=Misalignment(out_of_plane_um=2000.0), **forms_of(bed)
    )
    assert "All load stands on one edge" in " ".join(notice.text for notice in found.notices)
    assert found.face_load_factor == pytest.approx(bed.width_mm / bed.slice_mm[0])


def test_two_planes_of_lean_count_by_the_working_angle():
    bed = bed_of()
    whole = Misalignment(in_plane_um=10.0 / np.sin(np.radians(20)))
    same = Misalignment(out_of_plane_um=10.0 / np.cos(np.radians(20)))
    first, second = (
        loaded_contact(bed=bed, torque_Nm=100.0, misalignment=lean, **forms_of(bed)).error_um
        for lean in (whole, same)
    )
    np.testing.assert_allclose(first, second, rtol=1e-9)


def test_samples_come_first_and_are_those_of_single_calls():
    bed = bed_of(**KINDS["helical"])
    heights, torques = np.array([[0.0], [6.0]]), np.array([50.0, 300.0, 600.0])
    pair = bed.pair
    many = loaded_contact(
        bed=bed,
        torque_Nm=torques,
        pinion=form_of(pair.pinion, helix_crowning_um=heights),
        wheel=form_of(pair.wheel),
    )
    assert many.error_um.shape == (2, 3, 32)
    one = loaded_contact(
        bed=bed,
        torque_Nm=300.0,
        pinion=form_of(pair.pinion, helix_crowning_um=6.0),
        wheel=form_of(pair.wheel),
    )
    np.testing.assert_allclose(many.error_um[1, 1], one.error_um, rtol=1e-9)
    assert many.largest_pressure_MPa[1, 1] == pytest.approx(one.largest_pressure_MPa)


def test_bias_twists_the_flank():
    bed = bed_of(**KINDS["helical"])
    pair = bed.pair
    flat, twisted = (
        loaded_contact(
            bed=bed,
            torque_Nm=0.0,
            pinion=form_of(pair.pinion, bias_um=bias),
            wheel=form_of(pair.wheel),
        )
        for bias in (0.0, 20.0)
    )
    assert flat.peak_to_peak_um == pytest.approx(0.0, abs=1e-9)
    assert 0.5 < twisted.peak_to_peak_um < 10.0


def test_the_radius_at_the_pitch_point_is_that_of_both_flanks():
    check = BED[0]
    found = {}
    for name, helix in (("spur_mm", 0.0), ("helical_mm", check.inputs["helix_deg"])):
        bed = bed_of(positions=512, slices=3, helix_deg=helix)
        pinion = bed.pair.pinion
        rolled = (
            pinion.working_pitch_diameter_mm / 2 * np.sin(np.radians(bed.pair.working_pressure_angle_deg))
        )
        place = bed.place_mm.ravel()
        order = np.argsort(place)
        radius = bed.bed.local.radius_mm.ravel()
        found[name] = np.interp(rolled - pinion.start_radius_mm, place[order], radius[order])
    holds(check, **found)
