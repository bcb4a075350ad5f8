"""The loaded error over a revolution: rigid limit, closed forms, springs, and what must not matter."""

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank, ToothTraces
from gearcheck.accuracy.transmission import geometric_transmission_error
from gearcheck.basics.errors import InputError
from gearcheck.meshing import cycles
from gearcheck.meshing.corner import rolls
from gearcheck.meshing.cycles import loaded_cycles, whole_period
from gearcheck.meshing.form import Misalignment, ToothDeviations
from gearcheck.meshing.loaded import loaded_contact, normal_force_N, separation_mm, under_load
from gearcheck.meshing.revolution import SIDES, loaded_revolution, revolution_of
from tests.checks import cases, holds
from tests.meshing.meshes import bed_of, ends_of, form_of, forms_of, pull_of_pairs, without_corners

CALCULATION = "gearcheck.meshing.revolution:loaded_revolution"
KINDS = ["spur", "helical", "internal"]


CHECKS = {item.id: item for item in cases("meshing_turns", CALCULATION)}


def teeth_of(bed, member="pinion"):
    return int(getattr(bed.pair, member).teeth)


def only(teeth, tooth, height):
    index = np.zeros(teeth)
    index[tooth] = height
    return ToothDeviations(index_um=index)


def scattered(bed, member, rng, size=1.0, samples=()):
    teeth = teeth_of(bed, member)
    return ToothDeviations(
        index_um=size * rng.normal(size=(*samples, teeth)),
        profile_um=size * rng.normal(size=(*samples, teeth, 5)),
        helix_um=size * rng.normal(size=(*samples, teeth, 4)),
    )


def test_a_tooth_that_stands_out_lifts_rigid_flanks_by_all_of_it():
    given = CHECKS["TURN-RIGID"]
    bed = without_corners(bed_of("spur"))
    one = only(teeth_of(bed), given.inputs["tooth"], given.inputs["stands_out_um"])
    found = loaded_revolution(bed=bed, torque_Nm=0.0, **forms_of(bed), pinion_teeth=one)
    holds(given, peak_to_peak=found.peak_to_peak_um)
    assert found.largest_pressure_MPa is None
    assert found.pressure_pinion_tooth is None
    # it is in mesh from its own cycle on, for as many pitches as the path is long
    lifted = np.flatnonzero(found.error_um > 5.0)
    assert lifted[0] == 7 * 16
    assert lifted.size == int(np.floor(bed.pair.path_length_mm / bed.pair.base_pitch_mm * 16)) + 1


@pytest.mark.parametrize("kind", KINDS)
def test_teeth_alike_make_one_cycle_after_the_other(kind):
    given, bed = CHECKS["TURN-DRAWN"], bed_of(kind)
    load = {"bed": bed, "torque_Nm": given.inputs["torque_Nm"], **forms_of(bed, 12.0)}
    none = ToothDeviations(index_um=np.zeros(teeth_of(bed)))
    found, once = loaded_revolution(**load, pinion_teeth=none), loaded_contact(**load)
    beside = np.abs(found.error_um.reshape(-1, 16) - once.error_um).max()
    between = np.delete(found.spectrum_um, np.arange(1, 8) * teeth_of(bed) - 1)
    holds(given, beside_one_cycle_um=beside, between_mesh_orders_um=between.max())
    np.testing.assert_allclose(found.orders_um, once.orders_um, atol=1e-10)
    assert found.largest_pressure_MPa == pytest.approx(once.largest_pressure_MPa, rel=1e-12)
    assert found.pinion_arcsec == pytest.approx(once.pinion_arcsec, rel=1e-12)


def rigid_of_accuracy(bed, member, deviations, places, *, right_lean):
    """The same teeth by the unloaded error of the room of accuracy, in the order in which they mesh."""
    pair, gear, angle = bed.pair, getattr(bed.pair, member), 25.0
    teeth, low_high = teeth_of(bed, member), ends_of(bed, member)
    ends = rolls(pair, np.array([0.0, float(pair.path_length_mm)]))[member == "wheel"]
    # a flank of the wheel is rolled off from its tip: the same backwards
    order = slice(None, None, -1 if member == "wheel" else 1)
    slope = float(pair.base_helix_angle_deg) * (1 if right_lean is (member == "pinion") else -1)
    width = bed.width_mm
    tooth = np.arange(1, teeth + 1)
    found = geometric_transmission_error(
        index_um=-deviations.index_um[order] / np.cos(np.radians(angle)),
        flank=Flank.LEFT,
        measuring_pressure_angle_deg=angle,
        base_diameter_mm=gear.base_diameter_mm,
        start_roll_mm=min(ends),
        end_roll_mm=max(ends),
        face_width_mm=width,
        base_helix_angle_deg=slope,
        profile=ToothTraces(
            tooth=tooth, place_mm=np.linspace(*low_high, 41), deviation_um=deviations.profile_um[order]
        ),
        helix=ToothTraces(
            tooth=tooth, place_mm=np.linspace(0, width, 41), deviation_um=deviations.helix_um[order]
        ),
        places=places,
        slices=61,
    )
    return found.curve_um


@pytest.mark.parametrize("right_lean", [True, False])
@pytest.mark.parametrize("member", ["pinion", "wheel"])
@pytest.mark.parametrize("kind", ["spur", "helical"])
def test_without_load_it_is_the_error_of_rigid_flanks(kind, member, right_lean):
    rng = np.random.default_rng(3)
    bed = without_corners(bed_of(kind, 32, 61, right_lean=right_lean))
    teeth, (low, high) = teeth_of(bed, member), ends_of(bed, member)
    # traces count 0 where the pitch is measured: at 25° and in the middle of the face
    at = getattr(bed.pair, member).base_diameter_mm / 2 * np.tan(np.radians(25.0))
    profile = (np.linspace(low, high, 41) - at) / (high - low)
    deviations = ToothDeviations(
        index_um=rng.normal(0, 3, teeth),
        profile_um=rng.normal(0, 5, (teeth, 1)) * profile,
        helix_um=rng.normal(0, 5, (teeth, 1)) * np.linspace(-0.5, 0.5, 41),
    )
    found = loaded_revolution(bed=bed, torque_Nm=0.0, **forms_of(bed), **{f"{member}_teeth": deviations})
    curve = rigid_of_accuracy(bed, member, deviations, 32, right_lean=right_lean)
    assert found.peak_to_peak_um == pytest.approx(np.ptp(curve), rel=0.02)
    amplitudes = 2 * np.abs(np.fft.rfft(curve))[1 : 3 * teeth] / curve.size
    np.testing.assert_allclose(found.spectrum_um[: 3 * teeth - 1], amplitudes, atol=0.06)


def test_an_offset_of_the_centre_comes_back_once_a_turn():
    given, bed = CHECKS["TURN-ECCENTRIC"], bed_of("spur")
    for member, offset in (("pinion", given.inputs["offset_um"]), ("wheel", given.inputs["offset_um"])):
        wave = offset * np.cos(2 * np.pi * np.arange(teeth_of(bed, member)) / teeth_of(bed, member) + 0.4)
        found = loaded_revolution(
            bed=bed,
            torque_Nm=given.inputs["torque_Nm"],
            **forms_of(bed, 12.0),
            **{f"{member}_teeth": ToothDeviations(index_um=wave)},
        )
        holds(given, once_a_turn_um=getattr(found, f"{member}_turn_um"))
        near = getattr(found, f"{member}_sidebands_um")[0]
        assert near[[1, 2]].min() > 5 * near[[0, 3]].max()


def linear(bed, torque, forms, deviations, cycles):
    """The change of the error by springs that stay where they are."""
    drawn = separation_mm(bed, *forms.values(), Misalignment())
    solved = under_load(bed, drawn, normal_force_N(bed, np.array(torque)))
    pull, teeth = pull_of_pairs(bed, solved), deviations.index_um.size
    curve = np.zeros((cycles, bed.position_mm.size))
    for cycle in range(cycles):
        out = deviations.index_um[(cycle - bed.tooth_pair) % teeth]
        curve[cycle] = (pull * out).sum(axis=-1)
    return curve.ravel()


@pytest.mark.parametrize("kind", ["spur", "helical"])
def test_sidebands_are_those_of_springs_that_pass_the_wave_on(kind):
    given, bed = CHECKS["TURN-SIDEBANDS"], bed_of(kind)
    teeth, forms, torque = teeth_of(bed), forms_of(bed, 12.0), given.inputs["torque_Nm"]
    wave = given.inputs["wave_um"] * np.cos(2 * np.pi * np.arange(teeth) / teeth)
    deviations = ToothDeviations(index_um=wave)
    found = loaded_revolution(bed=bed, torque_Nm=torque, **forms, pinion_teeth=deviations)
    curve = linear(bed, torque, forms, deviations, teeth)
    amplitudes = 2 * np.abs(np.fft.rfft(curve)) / curve.size
    orders = np.arange(1, 6)[:, None] * teeth + np.array(SIDES)
    beside = np.abs(found.pinion_sidebands_um - amplitudes[orders]).max() / amplitudes[orders].max()
    holds(given, sidebands_share=beside)
    assert found.pinion_turn_um == pytest.approx(amplitudes[1], rel=1e-3)


@pytest.mark.parametrize("kind", KINDS)
def test_a_little_of_one_tooth_is_in_all_orders_as_springs_say(kind):
    bed = bed_of(kind)
    forms, one = forms_of(bed, 12.0), only(teeth_of(bed), 5, 0.02)
    found = loaded_revolution(bed=bed, torque_Nm=250.0, **forms, pinion_teeth=one)
    drawn = loaded_contact(bed=bed, torque_Nm=250.0, **forms).error_um
    change = linear(bed, 250.0, forms, one, teeth_of(bed))
    np.testing.assert_allclose(found.error_um - np.tile(drawn, teeth_of(bed)), change, atol=2e-4)
    # one tooth in z for about a pitch: the low orders are about alike
    assert found.spectrum_um[:2] == pytest.approx(np.full(2, 2 * 0.02 / teeth_of(bed)), rel=0.1)
    assert found.spectrum_um[: teeth_of(bed) // 3].min() > 0.2 * found.spectrum_um[0]


def test_the_tooth_that_stands_out_has_the_largest_pressure():
    bed = bed_of("spur")
    forms = forms_of(bed, 12.0)
    for tooth in (0, 6, 19):
        found = loaded_revolution(
            bed=bed, torque_Nm=300.0, **forms, pinion_teeth=only(20, tooth, 8.0), cycles=20
        )
        assert found.pressure_pinion_tooth == tooth + 1
    found = loaded_revolution(bed=bed, torque_Nm=300.0, **forms, wheel_teeth=only(30, 25, 8.0))
    assert found.pressure_wheel_tooth == 26
    assert found.cycle_pressure_MPa.shape == (30,)
    assert found.cycle_pressure_MPa.max() == found.largest_pressure_MPa


def test_the_gear_turned_by_a_tooth_makes_the_same_curve_a_pitch_later():
    bed = bed_of("helical")
    deviations = scattered(bed, "pinion", np.random.default_rng(2), size=3.0)
    later = ToothDeviations(
        index_um=np.roll(deviations.index_um, 1),
        profile_um=np.roll(deviations.profile_um, 1, axis=0),
        helix_um=np.roll(deviations.helix_um, 1, axis=0),
    )
    load = {"bed": bed, "torque_Nm": 200.0, **forms_of(bed, 12.0)}
    first, second = (loaded_revolution(**load, pinion_teeth=one) for one in (deviations, later))
    np.testing.assert_allclose(np.roll(first.error_um, 16), second.error_um, atol=1e-9)


def test_a_profile_on_all_teeth_is_that_of_the_form_drawn():
    bed = bed_of("helical")
    teeth = teeth_of(bed)
    slope, helix = np.linspace(0, 8, 3), np.linspace(0, -6, 5)
    all_alike = ToothDeviations(
        index_um=np.zeros(teeth), profile_um=np.tile(slope, (teeth, 1)), helix_um=np.tile(helix, (teeth, 1))
    )
    load = {"bed": bed, "torque_Nm": 200.0, "wheel": form_of(bed, "wheel", 12.0)}
    bare = form_of(bed, "pinion")
    found = loaded_revolution(**load, pinion=bare, pinion_teeth=all_alike)
    drawn = form_of(bed, "pinion", profile_slope_um=8.0, helix_slope_um=-6.0)
    once = loaded_contact(**load, pinion=drawn)
    # beyond its ends a trace stays, a slope goes on: corners tell them apart a little
    np.testing.assert_allclose(found.mesh_error_um, once.error_um, atol=0.05)


def test_where_both_gears_deviate_the_curve_goes_over_the_hunting_cycle():
    bed, rng = bed_of("spur", 8, 3), np.random.default_rng(4)
    load = {"bed": bed, "torque_Nm": 300.0, **forms_of(bed, 12.0)}
    both = {f"{member}_teeth": scattered(bed, member, rng, 0.01) for member in ("pinion", "wheel")}
    found = loaded_revolution(**load, **both)
    assert (found.cycles, found.pinion_turns, found.wheel_turns) == (60, 3, 2)
    drawn = loaded_contact(**load).error_um
    parts = [
        loaded_revolution(**load, **{key: given}, cycles=60).error_um - np.tile(drawn, 60)
        for key, given in both.items()
    ]
    # so little that both add up
    np.testing.assert_allclose(found.error_um - np.tile(drawn, 60), sum(parts), atol=1e-4)
    turns = found.pinion_order == 1, found.wheel_order == 1
    assert found.spectrum_um[turns[0]] == found.pinion_turn_um
    assert found.spectrum_um[turns[1]] == found.wheel_turn_um


def test_samples_and_torques_stand_in_front():
    bed, rng = bed_of("spur", 8, 3), np.random.default_rng(4)
    load = {"bed": bed, **forms_of(bed, 12.0)}
    given = scattered(bed, "pinion", rng, 2.0, samples=(2, 1))
    torque = np.array([0.0, 150.0, 400.0])
    found = loaded_revolution(**load, torque_Nm=torque, pinion_teeth=given)
    assert found.error_um.shape == (2, 3, 160)
    assert found.pinion_sidebands_um.shape == (2, 3, 3, 4)
    for sample in range(2):
        for place, one in enumerate(torque):
            own = ToothDeviations(
                index_um=given.index_um[sample, 0],
                profile_um=given.profile_um[sample, 0],
                helix_um=given.helix_um[sample, 0],
            )
            alone = loaded_revolution(**load, torque_Nm=one, pinion_teeth=own)
            np.testing.assert_allclose(found.error_um[sample, place], alone.error_um, atol=1e-9)


def test_part_by_part_it_is_the_same_and_may_be_stopped(monkeypatch):
    bed = bed_of("spur", 8, 3)
    given = scattered(bed, "pinion", np.random.default_rng(4), 2.0)
    load = {"bed": bed, "torque_Nm": 300.0, **forms_of(bed, 12.0), "pinion_teeth": given}
    whole = loaded_revolution(**load)
    monkeypatch.setattr(cycles, "_AT_ONCE", 3 * bed.place_mm.size)
    parts = list(loaded_cycles(**load))
    assert [part.done for part in parts] == [3, 6, 9, 12, 15, 18, 20]
    assert {part.of for part in parts} == {20}
    period = whole_period(bed, given, None)
    found = revolution_of(bed=bed, torque_Nm=300.0, parts=parts, period=period)
    np.testing.assert_allclose(found.error_um, whole.error_um, atol=1e-9)
    stopped = revolution_of(bed=bed, torque_Nm=300.0, parts=parts[:2], period=period)
    np.testing.assert_allclose(stopped.error_um, whole.error_um[: 6 * 8], atol=1e-9)
    assert np.isnan(stopped.spectrum_um).all()
    assert stopped.pinion_turn_um is None
    assert "loaded_revolution.part" in {notice.key for notice in stopped.notices}


def test_what_comes_back_over_another_number_of_turns_has_no_sidebands():
    bed = bed_of("spur", 8, 3)
    found = loaded_revolution(bed=bed, torque_Nm=300.0, **forms_of(bed), wheel_teeth=only(30, 3, 2.0))
    assert found.pinion_turn_um is None
    assert np.isnan(found.pinion_sidebands_um).all()
    assert found.wheel_turn_um > 0


def test_a_torque_below_nothing_stops():
    bed = bed_of("spur", 8, 3)
    found = loaded_revolution(bed=bed, torque_Nm=-5.0, **forms_of(bed))
    assert found.stops
    assert found.peak_to_peak_um is None
    assert found.largest_pressure_MPa is None


@pytest.mark.parametrize(
    ("given", "name"),
    [
        (ToothDeviations(index_um=np.zeros(19)), "pinion_teeth.index_um"),
        (ToothDeviations(index_um=np.full(20, np.nan)), "pinion_teeth.index_um"),
        (ToothDeviations(index_um=np.zeros(20), profile_um=np.zeros((20, 1))), "pinion_teeth.profile_um"),
        (ToothDeviations(index_um=np.zeros(20), helix_um=np.zeros((4, 20))), "pinion_teeth.helix_um"),
    ],
)
def test_deviations_that_are_not_of_every_tooth_are_refused(given, name):
    bed = bed_of("spur", 8, 3)
    with pytest.raises(InputError) as refused:
        loaded_revolution(bed=bed, torque_Nm=300.0, **forms_of(bed), pinion_teeth=given)
    assert name in str(refused.value)


def test_less_than_one_cycle_is_refused():
    bed = bed_of("spur", 8, 3)
    with pytest.raises(InputError):
        loaded_revolution(bed=bed, torque_Nm=300.0, **forms_of(bed), cycles=-1)


def test_what_is_not_solved_or_not_known_has_no_value(monkeypatch):
    bed = bed_of("spur", 8, 3)
    teeth = int(bed.pair.pinion.teeth)
    index = ToothDeviations(index_um=np.random.default_rng(0).normal(0, 5, teeth))
    lean = Misalignment(out_of_plane_um=np.array([np.nan, 4.0]))
    given = {"bed": bed, "torque_Nm": 200.0, "pinion_teeth": index, **forms_of(bed)}
    both = loaded_revolution(misalignment=lean, **given)
    for value in (both.peak_to_peak_um, both.largest_pressure_MPa, both.corner_share):
        assert np.isnan(value[0])
        assert value[1] >= 0
    monkeypatch.setattr("gearcheck.meshing.unilateral._ROUNDS", 1)
    unsolved = loaded_revolution(**given)
    assert unsolved.stops
    assert unsolved.peak_to_peak_um is None
    assert unsolved.largest_pressure_MPa is None
    assert unsolved.corner_share is None
