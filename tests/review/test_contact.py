"""The loaded contact in the review: what it rests on, its requirements, their reserves and evidence."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.accuracy.inputs import Flank, FlankModification
from gearcheck.basics.places import scenarios
from gearcheck.gear.inputs import Hand, ReliefForm
from gearcheck.record.affected import why_stale
from gearcheck.requirements.types import Calculation
from gearcheck.review.as_json import as_plain
from gearcheck.review.callouts import callouts
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed, mending_changes, open_changes
from gearcheck.review.contact import mesh_contacts
from gearcheck.review.contact_of import (
    SLICES,
    at_torques,
    contact_of,
    drawn_mesh,
    pinion_torque_Nm,
    right_lean,
)
from gearcheck.review.flank_forms import body_of, flank_form, too_much_off
from gearcheck.review.gear_file import read_gear_file, read_gear_text
from gearcheck.review.inputs import AxisDeviations
from gearcheck.review.judge import judged
from gearcheck.review.limits import limits_of
from gearcheck.review.moves import with_torque
from gearcheck.review.remedies import remedies
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.stations.contact import LATER
from gearcheck.review.whole import outcome, review

TRAM = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
KEYS = tuple(f"contact.{key}.wheel" for key in ("error", "pattern", "tip"))


@pytest.fixture(scope="module")
def chain():
    return calculate(TRAM)


@pytest.fixture(scope="module")
def whole():
    return review(TRAM)


def with_gear(record, **given):
    return replace(record, gear=replace(record.gear, **given))


def with_mesh(record, **given):
    return replace(record, meshes=(replace(record.meshes[0], **given), *record.meshes[1:]))


def of_contact(requirements):
    return {item.key: item for item in requirements if item.station == "contact"}


def test_it_waits_for_the_slider_and_is_judged_then(whole):
    live = of_contact(judged(TRAM))
    assert tuple(live) == KEYS
    assert {item.reason for item in live.values()} == {LATER}
    assert {item.by_calculation for item in live.values()} == {Calculation.NOT_ASSESSED}
    found = of_contact(whole.requirements)
    nominal = whole.contact[0].nominal
    assert {item.by_calculation for item in found.values()} == {Calculation.MEETS}
    assert found[KEYS[0]].demand == pytest.approx(float(nominal.peak_to_peak_um))
    assert found[KEYS[1]].capacity == pytest.approx(float(nominal.pattern_margin_mm))
    assert (found[KEYS[2]].demand, found[KEYS[2]].capacity) == (0.0, 0.0)


@pytest.mark.parametrize("key", KEYS)
def test_it_turns_at_its_reserve(whole, chain, key):
    factor = of_contact(whole.requirements)[key].reserve.factor
    found = []
    for near in (0.999, 1.001):
        moved = with_torque(TRAM, factor * near)
        contacts = mesh_contacts(moved, chain, with_reserves=False)
        line = of_contact(judged(moved, replace(chain, contact=contacts)))[key]
        found.append(line.by_calculation)
    assert found == [Calculation.MEETS, Calculation.FAILS]


def test_nothing_is_worked_out_where_nothing_asks_for_it():
    bare = replace(TRAM, required=replace(TRAM.required, transmission_error_um=None, pattern_margin_mm=None))
    assert review(bare).contact == ()
    assert not of_contact(judged(bare))


def test_the_workings_hold_it_and_stay_short(whole):
    (found,) = [one for one in as_plain(whole)["workings"] if one["station"] == "contact"]
    assert found["title"] == "Loaded contact at the nominal torque, the gear with wheel"
    sizes = {one["name"]: np.size(one["value"]) for one in found["terms"]}
    assert max(sizes.values()) <= 32 and sizes["peak_to_peak_um"] == 1


def test_the_torque_is_that_of_the_pinion_and_of_one_mate():
    mesh = TRAM.meshes[0]
    assert pinion_torque_Nm(TRAM, mesh) == 1250.0
    shared = replace(mesh, mates=4, mesh_load_factor=1.2)
    assert pinion_torque_Nm(TRAM, shared) == pytest.approx(1250.0 / 4 * 1.2)
    driven = replace(mesh, mate=replace(mesh.mate, tooth=replace(mesh.mate.tooth, teeth=7)))
    assert pinion_torque_Nm(TRAM, driven) == pytest.approx(1250.0 / 3)


@pytest.mark.parametrize("hand", [None, Hand.RIGHT, Hand.LEFT])
@pytest.mark.parametrize("flank", Flank)
def test_lines_of_contact_lean_with_hand_and_flank(hand, flank):
    drawn = replace(drawn_mesh(TRAM, TRAM.meshes[0]), hand=hand, flank=flank)
    grows = (flank is Flank.RIGHT) == (hand is not Hand.LEFT)
    assert right_lean(drawn, 1.0) == grows
    as_wheel = replace(drawn, gear=drawn.mate, mate=drawn.gear)
    assert right_lean(as_wheel, 1.0) != grows
    assert right_lean(as_wheel, -1.0) == grows


def test_the_hand_matters_where_a_flank_is_biased(chain):
    biased = with_gear(TRAM, modification=replace(TRAM.gear.modification, bias_um=30.0))
    found = [
        float(at_torques(one, one.torque_Nm).peak_to_peak_um)
        for hand in Hand
        for one in [contact_of(replace(biased, hand=hand), chain, 0)]
    ]
    assert abs(found[0] - found[1]) > 0.02


def test_a_wider_gear_is_cut_to_the_common_face(chain):
    mesh = chain.meshes[0]
    drawn = FlankModification(
        helix_crowning_um=9.0, left_helix_slope_um=6.0, right_helix_slope_um=-1.0, bias_um=12.0,
        end_relief_um=20.0, end_relief_length_mm=5.0, relief_form=ReliefForm.PARABOLIC,
    )  # fmt: skip
    data = replace(TRAM.gear, modification=drawn, tip_relief_um=0.0)
    form, said = flank_form(data, mesh.gear.geometry, Flank.LEFT, 0.8 * 62.0, "the gear")
    assert said == ()
    assert (form.helix_crowning_um, form.helix_slope_um) == pytest.approx((9.0 * 0.64, 6.0 * 0.8))
    assert form.bias_um == pytest.approx(12.0 * 0.8)
    assert form.end_relief_um == 0.0  # it lies outside of the mate
    form, _ = flank_form(data, mesh.gear.geometry, Flank.RIGHT, 60.0, "the gear")
    assert (form.end_relief_um, form.end_relief_length_mm) == pytest.approx((20.0 * 0.8**2, 4.0))
    assert form.helix_slope_um == pytest.approx(-60.0 / 62.0)


def test_the_roll_of_an_internal_gear_grows_towards_its_root():
    record = read_gear_file(scenarios() / "harvester" / "gear.toml")
    geometry = Ring()
    drawn = FlankModification(tip_relief_start_mm=float(geometry.at), profile_slope_um=4.0, bias_um=2.0)
    data = replace(
        record.gear, modification=drawn, tip_relief_um=10.0, tooth=replace(record.gear.tooth, internal=True)
    )
    form, said = flank_form(data, geometry, Flank.LEFT, 20.0, "ring")
    assert said == ()
    assert form.from_roll_mm == geometry.tip_radius_mm < form.to_roll_mm
    assert (form.tip_relief_um, form.root_relief_um) == (0.0, 10.0)
    assert form.root_relief_end_mm == pytest.approx(6.0)
    assert (form.profile_slope_um, form.bias_um < 0) == (-4.0, True)


class Ring:
    """An internal gear as far as its form asks for it: rolls from 5 mm at the tip to 20 mm at the root."""

    base_diameter_mm, start_radius_mm, tip_radius_mm, internal = 200.0, 20.0, 5.0, True
    tip_thickness_mm = 2.0
    at = 2.0 * np.hypot(6.0, 100.0)


@pytest.mark.parametrize(
    ("drawn", "said"),
    [
        ({"tip_relief_start_mm": None}, "The tip relief of 35 µm drawn on the gear is not in the loaded"),
        ({"tip_relief_start_mm": 90.0}, "90.000 mm lie off the flank"),
        ({"root_relief_um": 5.0, "root_relief_end_mm": 130.0}, "The root relief of 5 µm"),
        ({"end_relief_length_mm": 40.0}, "40 mm are over half the face width"),
    ],
)
def test_a_relief_without_its_place_is_not_counted_and_said(chain, drawn, said):
    record = with_gear(TRAM, modification=replace(TRAM.gear.modification, **drawn))
    found = contact_of(record, chain, 0)
    assert any(said in one.text for one in found.notices)
    assert any(said in one.text for one in mesh_contacts(record, chain)[0].nominal.notices)


def test_without_a_hand_the_gear_is_taken_as_right_hand(chain):
    found = [contact_of(replace(TRAM, hand=hand), chain, 0) for hand in (None, Hand.RIGHT)]
    assert [one.key for one in found[0].notices] == ["contact.hand"] and found[1].notices == ()
    assert found[0].bed is found[1].bed


def test_forms_axes_and_torque_build_no_bed_anew(chain):
    first = contact_of(TRAM, chain, 0).bed
    moved = changed(TRAM, {"relief": 30.0, "relief_start": 106.0, "helix_crowning": 4.0, "misalignment": 0.0})
    assert contact_of(with_torque(moved, 1.2), chain, 0).bed is first


def test_more_relief_than_tooth_is_no_contact_and_names_the_place(chain):
    record = with_gear(TRAM, tip_relief_um=5000.0)
    found = contact_of(record, chain, 0)
    assert found.startswith("gear.finish.tip_relief: 5000 µm")
    geometry = chain.meshes[0].gear.geometry
    form = contact_of(TRAM, chain, 0).pinion
    assert too_much_off(form, geometry, "gear") == ""
    assert too_much_off(replace(form, end_relief_um=9000.0), geometry, "mesh.mate").startswith(
        "mesh.mate.modification.end_relief: 9000 µm"
    )
    assert {one.reason for one in of_contact(review(record).requirements).values()} == {found}


def test_a_negative_torque_has_no_value_and_none_has_no_pressure(chain):
    stopped = mesh_contacts(with_mesh(TRAM, torque_Nm=-5.0), chain)[0]
    assert "T_1" in stopped.reason and stopped.error_reserve is None
    idle = mesh_contacts(with_mesh(TRAM, torque_Nm=0.0), chain)[0].nominal
    assert idle.largest_pressure_MPa is None and float(idle.peak_to_peak_um) >= 0.0


def test_the_slices_that_are_judged_are_as_near_to_finer_ones_as_the_method_says(chain):
    shown, finer = (
        at_torques(of, of.torque_Nm) for of in (contact_of(TRAM, chain, 0, slices=one) for one in (21, 41))
    )
    assert SLICES == 21
    for name, near in (("peak_to_peak_um", 0.03), ("largest_pressure_MPa", 0.03), ("face_load_factor", 0.04)):
        assert float(getattr(shown, name)) == pytest.approx(float(getattr(finer, name)), rel=near)
    assert float(shown.pattern_margin_mm) == pytest.approx(float(finer.pattern_margin_mm), abs=0.5)


def test_axes_that_lean_too_far_leave_an_edge_and_say_so(chain):
    record = with_mesh(TRAM, contact=AxisDeviations(out_of_plane_um=1900.0))
    found = mesh_contacts(record, chain)[0]
    assert float(found.nominal.pattern_margin_mm) == 0.0
    assert float(found.nominal.pattern_to_mm) < 10.0
    assert "contact.end" in [one.key for one in found.nominal.notices]
    less = mesh_contacts(with_mesh(TRAM, contact=AxisDeviations(out_of_plane_um=400.0)), chain)[0].nominal
    assert (
        float(less.face_end_share) < 0.999
    )  # the end relief takes some of it, and it is an edge all the same
    assert "contact.end" in [one.key for one in less.notices]
    assert "contact.end" not in [one.key for one in mesh_contacts(TRAM, chain)[0].nominal.notices]
    lines = of_contact(review(record).requirements)
    assert lines[KEYS[1]].by_calculation is Calculation.FAILS


def test_a_blank_that_does_not_fit_is_told():
    assert body_of(replace(TRAM.gear, blank=None), None).rim_thickness_mm is None
    blank = TRAM.meshes[0].mate.blank
    wide = with_mesh(TRAM, mate=replace(TRAM.meshes[0].mate, blank=replace(blank, web_thickness_mm=90.0)))
    found = contact_of(wide, calculate(wide), 0)
    assert found.startswith("[gear.blank] or [mesh.mate.blank]") and "web" in found


def test_the_bore_of_a_rim_without_web_is_its_inside(chain):
    mate, geometry = TRAM.meshes[0].mate, chain.meshes[0].mate.geometry
    inside = float(geometry.root_diameter_mm) - 2 * 12.0
    rim = replace(mate, blank=replace(mate.blank, bore_mm=inside + 1.0))
    assert body_of(rim, geometry).bore_diameter_mm is None
    assert body_of(mate, geometry).bore_diameter_mm == 330.0


def test_what_fails_is_mended_by_what_the_contact_rests_on_alone(chain):
    assert {one.key for one in mending_changes(TRAM, KEYS[0])} == {
        "relief", "relief_start", "helix_crowning", "misalignment",
    }  # fmt: skip
    hard = replace(TRAM, required=replace(TRAM.required, transmission_error_um=1.5))
    found = {one.change.key: one for one in remedies(hard, KEYS[0])}
    after = found["relief_start"].after
    assert after > found["relief_start"].before == 105.0
    for value, meets in ((after, True), (after - 0.1, False)):
        moved = changed(hard, {"relief_start": value})
        contact = mesh_contacts(moved, chain, with_reserves=False)[0].nominal
        assert (float(contact.peak_to_peak_um) <= 1.5) == meets


def test_what_moves_the_contact_is_written_into_its_file():
    values = {"relief_start": 104.5, "helix_crowning": 6.0, "misalignment": -4.0}
    text = rewritten(TRAM, values)
    again = read_gear_text(text, folder=scenarios() / "tram_bogie")
    assert evidence_texts(again) == evidence_texts(TRAM)
    assert again.gear.modification.tip_relief_start_mm == 104.5
    assert again.meshes[0].contact.out_of_plane_um == -4.0
    before, after = (one.meshes[0].mate.modification.tip_relief_start_mm for one in (TRAM, again))
    assert after < before  # longer on both
    lacking = with_gear(with_mesh(TRAM, contact=None), modification=None)
    assert not {*values} & {change.key for change in open_changes(lacking)}


def test_its_evidence_has_limits_and_ages_with_the_mate_and_its_axes(chain):
    limits = limits_of(TRAM, chain)
    assert limits["contact.error"].most == 3.0 and limits["contact.pattern"].least == 1.0
    mate = TRAM.meshes[0].mate
    moved = with_mesh(TRAM, mate=replace(mate, tip_relief_um=30.0))
    for key in ("contact.error", "contact.pattern"):
        assert why_stale(TRAM, moved, "result", key).startswith("tip relief of mate 1 changed")
        assert why_stale(TRAM, changed(TRAM, {"misalignment": 9.0}), "result", key)
    heavier = with_torque(TRAM, 1.1)
    assert why_stale(TRAM, heavier, "result", "contact.error")
    assert not why_stale(TRAM, heavier, "result", "contact.pattern")
    assert not why_stale(TRAM, moved, "result", "accuracy.profile.left")


def test_what_is_drawn_for_it_stands_among_the_callouts(whole):
    found = {one.key: one for one in callouts(whole)}
    lines = {key: [line.replace("\xa0", " ") for line in one.lines] for key, one in found.items()}
    assert "Tip relief 35 µm from diameter 105.000 mm on" in lines["relief"]
    assert "Helix crowning: 10.0 µm" in lines["modification"]
    assert {item.key for item in found["contact"].set_by} == {*KEYS}
    # what is worked out when a slider rests is not lost by a step that is relaxed
    titles = [item.title for item in of_contact(whole.requirements).values()]
    effects = [one for item in found.values() for one in item.effects]
    assert effects and not [one for one in effects if one.startswith(tuple(titles))]


def test_the_outcome_says_what_follows_and_then_holds_nothing_back(whole):
    assert "fails by calculation, 3 follow;" in outcome(review(TRAM, with_settled=False))
    assert "follow" not in outcome(whole) and "not assessed" not in outcome(whole)


def test_the_wheel_under_review_sees_the_same_contact(chain):
    """Gear and mate change places: the hand of the helix too, and the torque by the ratio."""
    mesh = TRAM.meshes[0]
    pinion = replace(TRAM.gear, modification=replace(TRAM.gear.modification, bias_um=20.0))
    ratio = mesh.mate.tooth.teeth / pinion.tooth.teeth
    turned = replace(
        TRAM,
        hand=Hand.LEFT,
        gear=mesh.mate,
        meshes=(replace(mesh, mate=pinion, torque_Nm=mesh.torque_Nm * ratio, speed_rpm=450.0),),
    )
    found = [
        mesh_contacts(record, known, with_reserves=False)[0]
        for record, known in ((replace(TRAM, gear=pinion), chain), (turned, calculate(turned)))
    ]
    assert [one.of.gear_is_pinion for one in found] == [True, False]
    for name in ("peak_to_peak_um", "largest_pressure_MPa", "pattern_margin_mm", "face_load_factor"):
        values = [float(getattr(one.nominal, name)) for one in found]
        assert values[0] == pytest.approx(values[1], rel=1e-9), name
