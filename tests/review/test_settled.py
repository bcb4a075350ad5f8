"""The solved case depth in the review: what it rests on is said with it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.methods import Level
from gearcheck.basics.places import scenarios
from gearcheck.gear.path import contact_path
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_depth import criterion_case_depth
from gearcheck.hardening.required import required_case_depth
from gearcheck.hardening.residual import ResidualStress
from gearcheck.review.as_json import as_plain
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.pressure import pressure_along
from gearcheck.review.settled import settled
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def ship_lift():
    return read_gear_file(scenarios() / "ship_lift" / "gear.toml")


def of_class(record, number):
    """The record with another class drawn for the mate alone."""
    mesh = record.meshes[0]
    mate = replace(mesh.mate, accuracy=replace(mesh.mate.accuracy, tolerance_class=number))
    return replace(record, meshes=(replace(mesh, mate=mate),))


def cautions(result, key):
    return [item.text for item in result.notices if item.level is Level.CAUTION and item.key == key]


@pytest.mark.parametrize("write", [of_class, lambda record, number: changed(record, {"class": number})])
def test_a_class_coarser_than_7_is_said_with_the_solved_depth(ship_lift, write):
    key = "iso_ts6336_20.load_sharing.tolerance_class"
    fine = review(write(ship_lift, 7)).settled[0].required
    coarse = review(write(ship_lift, 8))
    assert cautions(fine, key) == []
    (text,) = cautions(coarse.settled[0].required, key)
    assert "tolerance class = 8" in text
    assert "up to 7" in text
    assert text in [notice.text for notice in coarse.notices]


RELIEF = "settled.tip_relief"


def relieved(record, gear_um, mate_um):
    """The record with the tip reliefs of pinion and wheel; the gear under review is the pinion."""
    mesh = record.meshes[0]
    mate = replace(mesh.mate, tip_relief_um=mate_um)
    gear = replace(record.gear, tip_relief_um=gear_um)
    return replace(record, gear=gear, meshes=(replace(mesh, mate=mate),))


def alone(record):
    """The depth of single contact, solved from the pressure between the marks only."""
    mesh = calculate(record).meshes[0]
    along, path = pressure_along(mesh), contact_path(pair=mesh.pair, points=41)
    first, last = (np.searchsorted(along.position_mm, mark) for mark in (path.mark_B_mm, path.mark_D_mm))
    return required_case_depth(
        half_width_mm=along.half_width_mm[first : last + 1],
        pressure_MPa=along.pressure_MPa[first : last + 1],
        surface_hardness_HV=record.gear.steel.surface_hardness_HV,
        core_hardness_HV=record.gear.steel.core_hardness_HV,
        safety=record.required.subsurface_safety,
    ).depth_mm


def test_a_relieved_end_that_governs_is_said_with_both_depths(ship_lift):
    whole = review(ship_lift)
    (solved,) = whole.settled
    (text,) = cautions(solved.required, RELIEF)
    assert solved.single_contact.depth_mm == pytest.approx(alone(ship_lift), rel=1e-9)
    assert solved.single_contact.depth_mm < solved.required.depth_mm
    for said in (solved.required.depth_mm, solved.single_contact.depth_mm):
        assert f"{said:.3g} mm" in text
    assert "60 µm" in text
    assert text in [notice.text for notice in whole.notices]
    assert solved.single_contact in [step.result for step in whole.workings]
    assert as_plain(whole)["beside"][0]["single_contact_case_depth_mm"] == solved.single_contact.depth_mm


@pytest.mark.parametrize(("gear_um", "mate_um", "said"), [(0, 0, False), (60, 0, False), (0, 60, True)])
def test_the_tip_in_contact_at_the_point_that_governs_counts(ship_lift, gear_um, mate_um, said):
    record = relieved(ship_lift, gear_um, mate_um)
    chain = calculate(record)
    (solved,) = settled(record, chain)
    # the start A governs, where the tip of the wheel meets the root of the pinion
    assert solved.required.point == 0
    assert bool(cautions(solved.required, RELIEF)) == said
    assert (solved.single_contact is not None) == said


def test_a_relieved_end_where_no_depth_suffices_is_said_too(ship_lift):
    mesh = ship_lift.meshes[0]
    heavy = replace(ship_lift, meshes=(replace(mesh, torque_Nm=1.2 * mesh.torque_Nm),))
    (solved,) = settled(heavy, calculate(heavy))
    assert solved.required.depth_mm is None
    (text,) = cautions(solved.required, RELIEF)
    assert text.startswith("No case depth suffices 0.00 mm from the start A")
    assert f"B to D alone: {alone(heavy):.3g} mm." in text


def test_single_contact_that_governs_needs_no_word_on_relief():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    mesh = calculate(record).meshes[0]
    (solved,) = settled(record, calculate(record))
    at = pressure_along(mesh).position_mm[int(solved.required.point)]
    path = contact_path(pair=mesh.pair, points=41)
    inside = path.mark_B_mm <= at <= path.mark_D_mm
    assert (solved.single_contact is None) == inside
    assert bool(cautions(solved.required, RELIEF)) != inside


def test_the_criteria_stand_side_by_side_where_the_record_has_what_they_ask_for(ship_lift):
    tram = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
    (found,) = settled(tram, calculate(tram))
    mesh = calculate(tram).meshes[0]
    along = pressure_along(mesh)
    alone = criterion_case_depth(
        criterion=Criterion.DANG_VAN,
        half_width_mm=along.half_width_mm,
        pressure_MPa=along.pressure_MPa,
        friction=0.05,
        surface_hardness_HV=tram.gear.steel.surface_hardness_HV,
        core_hardness_HV=tram.gear.steel.core_hardness_HV,
        safety=tram.required.subsurface_safety,
        inclusion_root_area_um=30.0,
        residual_model=ResidualStress.BALANCED,
        half_thickness_mm=mesh.gear.geometry.tooth_thickness_mm / 2,
    )
    assert found.side_by_side.dang_van_mm == pytest.approx(alone.depth_mm)
    assert found.side_by_side.yielding_mm == pytest.approx(found.required.depth_mm)
    titles = [step.title for step in review(tram).workings]
    assert all(f"Depth by {name}, against wheel" in titles for name in found.side_by_side.fatigue)
    told = as_plain(review(tram))["beside"][0]["case_depth_by_criterion_mm"]
    assert told[str(Criterion.DANG_VAN)] == pytest.approx(alone.depth_mm)
    # nothing that governs moves
    bare = replace(tram, subsurface=None)
    assert settled(bare, calculate(bare))[0].side_by_side is None
    one, other = ([item.by_calculation for item in review(record).requirements] for record in (tram, bare))
    assert one == other
    assert review(ship_lift).settled[0].side_by_side is None
