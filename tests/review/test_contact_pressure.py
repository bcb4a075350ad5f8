"""The pressure of the loaded contact where it governs the solved case depth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.hardening.criteria import Criterion
from gearcheck.review import contact_table
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.contact_of import at_torques, contact_of
from gearcheck.review.contact_table import LOADS_N_MM, PLACES, pressed_by
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import ContactPressure
from gearcheck.review.moves import with_torque
from gearcheck.review.pressure import heaviest, pressure_along
from gearcheck.review.settled import settled
from gearcheck.review.whole import review


def governed(name, **methods):
    record = read_gear_file(scenarios() / name / "gear.toml")
    return replace(
        record, methods=replace(record.methods, contact_pressure=ContactPressure.LOADED_CONTACT, **methods)
    )


LIFT, TRAM = governed("ship_lift"), governed("tram_bogie")


@pytest.fixture(scope="module")
def lift():
    return calculate(LIFT)


def test_without_the_method_there_is_no_table():
    record = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    assert pressed_by(record, record.meshes[0]) is None
    assert calculate(record).meshes[0].pressed is None


@pytest.mark.parametrize("record", [LIFT, TRAM], ids=["spur", "helical"])
def test_the_table_is_the_loaded_contact(record):
    """Worked out at four times as many positions, and at a load between two of the table."""
    chain = calculate(record)
    pair = chain.meshes[0].pair
    found = contact_of(record, chain, 0, positions=64)
    load = float(np.sqrt(LOADS_N_MM[9] * LOADS_N_MM[10]))
    torque = load * float(pair.common_face_width_mm) * float(pair.pinion.reference_diameter_mm) / 2000.0
    loaded, bed = at_torques(found, torque), found.bed
    share = bed.place_mm / float(pair.path_length_mm)
    direct = np.zeros(PLACES.size)
    for one in range(bed.face_mm.size):
        mine = bed.bed.usable & ~bed.at_corner & (bed.face_slice == one)
        order = np.argsort(share[mine])
        along = np.interp(PLACES, share[mine][order], loaded.field.pressure_MPa[mine][order])
        direct = np.maximum(direct, along)
    table = chain.meshes[0].pressed.table.pressure_MPa(np.array(load))
    assert table.max() == pytest.approx(direct.max(), rel=0.04)
    hard = direct > 0.5 * direct.max()  # where it is lower a relief comes in between two loads of the table
    assert np.abs(table - direct)[hard].mean() < 0.03 * direct.max()
    assert (table[~hard] < 0.7 * direct.max()).all()


def test_pressure_grows_with_the_load_and_is_none_without():
    table = calculate(LIFT).meshes[0].pressed.table
    found = table.pressure_MPa(np.array([0.0, 1.0, 50.0, 51.0, 4e4]))
    assert (found[0] == 0.0).all()
    assert (np.diff(found.max(axis=-1)) > 0).all()
    assert found[1].max() == pytest.approx(table.pressure_MPa(LOADS_N_MM[1]).max() * np.sqrt(0.5))


def test_the_load_of_the_rating_without_its_spread_factors_presses(lift):
    mesh = lift.meshes[0]
    load, factors = heaviest(mesh), mesh.factors
    spread = float(factors.face_load_factor) * float(factors.transverse_factor_contact)
    assert float(load.contact_factor) * spread == pytest.approx(float(load.load_factor))
    along = pressure_along(mesh)
    assert along.load_factor == load.contact_factor
    lean = np.cos(np.radians(float(mesh.pair.transverse_pressure_angle_deg)))
    force = float(load.tangential_force_N) * float(load.contact_factor)
    width = float(mesh.pair.common_face_width_mm)
    assert along.load_sharing == pytest.approx(along.line_load_N_mm * width * lean / force)


def test_samples_are_those_of_one_record_each():
    values = np.array([[30.0], [60.0], [30.0]])
    whole = calculate(
        changed(LIFT, {"relief": values, "torque": np.array([[14000.0], [15000.0], [15500.0]])})
    )
    many = pressure_along(whole.meshes[0])
    for place, (relief, torque) in enumerate(
        zip((30.0, 60.0, 30.0), (14000.0, 15000.0, 15500.0), strict=True)
    ):
        one = pressure_along(calculate(changed(LIFT, {"relief": relief, "torque": torque})).meshes[0])
        assert many.pressure_MPa[place, 0] == pytest.approx(one.pressure_MPa)


def test_another_load_takes_the_table_over(lift, monkeypatch):
    assert lift.meshes[0].pressed.table.squared.shape == (LOADS_N_MM.size, PLACES.size)
    monkeypatch.setattr(contact_table, "_table", None)
    heavier = calculate(with_torque(LIFT, np.array([1.0, 1.2])), at_other_load=lift).meshes[0]
    assert heavier.pressed is lift.meshes[0].pressed
    assert pressure_along(heavier).pressure_MPa.shape == (2, PLACES.size)


def test_too_many_different_flanks_at_once_are_refused(monkeypatch):
    monkeypatch.setattr(contact_table, "MOST", 2)
    many = changed(LIFT, {"relief": np.array([10.0, 20.0, 30.0])})
    table = pressed_by(many, many.meshes[0]).table
    assert np.isnan(table.squared).all()
    assert [one.level for one in table.notices] == ["stop"] and "more than 2" in table.notices[0].text


def test_it_governs_the_depth_solved_and_its_reserve_turns(lift):
    (found,) = settled(LIFT, lift)
    by_sharing = review(
        replace(LIFT, methods=replace(LIFT.methods, contact_pressure=ContactPressure.LOAD_SHARING))
    )
    assert float(found.required.depth_mm) < 0.9 * float(by_sharing.settled[0].required.depth_mm)
    assert found.single_contact is None  # relief is in it
    drawn = float(LIFT.gear.case.finished_min_mm)
    for near, enough in ((0.999, True), (1.001, False)):
        moved = with_torque(LIFT, found.reserve.factor * near)
        depth = settled(moved, calculate(moved))[0].required.depth_mm
        assert (depth is not None and float(depth) <= drawn) == enough


def test_a_criterion_that_governs_rests_on_it():
    demands = []
    for pressure in ContactPressure:
        record = replace(
            LIFT, methods=replace(LIFT.methods, case_depth=Criterion.YIELDING, contact_pressure=pressure)
        )
        whole = review(record, with_settled=False)
        (line,) = [item for item in whole.requirements if item.key == "case.needed.drum"]
        demands.append(line.demand)
        factor = line.reserve.factor
        again = review(with_torque(record, factor * 1.001), with_settled=False)
        (turned,) = [item for item in again.requirements if item.key == "case.needed.drum"]
        assert turned.by_calculation != line.by_calculation
    assert demands[0] != pytest.approx(demands[1], rel=0.02)
