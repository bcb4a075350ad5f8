"""The other reading of each clause, the failure map, and the balance of shifts, on the real calculation."""

from dataclasses import fields, replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Treatment
from gearcheck.review.agma import agma_beside
from gearcheck.review.alternatives import EDITION, alternatives
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.failure_map import Against, failure_map
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged
from gearcheck.review.moves import with_torque, write_speed
from gearcheck.review.shift_advice import Goal, shift_advice
from gearcheck.stress.inputs import PRIMARY, HelixFactor, LimitedLife, Readings


@pytest.fixture(scope="module")
def fan():
    return read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")


def margins(record):
    return {
        item.key: item.capacity / item.demand
        for item in judged(record)
        if item.demand and item.capacity and item.demand > 0
    }


def test_each_reading_has_its_row_and_each_row_its_reading():
    assert {row["name"] for row in table("readings").rows} == {item.name for item in fields(Readings)}


def test_each_other_option_of_each_clause_is_worked_out(fan):
    found = alternatives(fan)
    expected = sum(len(type(getattr(PRIMARY, item.name))) - 1 for item in fields(Readings)) + 1
    assert len(found) == expected
    assert all(item.primary for item in found)
    assert found[-1].name == EDITION
    assert all(item.used != item.other for item in found)


def test_an_effect_is_what_the_review_says_with_that_reading(fan):
    found = next(item for item in alternatives(fan) if item.name == "helix_factor")
    readings = replace(fan.methods.readings, helix_factor=HelixFactor.ROOT)
    there = margins(replace(fan, methods=replace(fan.methods, readings=readings)))
    here = margins(fan)
    assert found.effects
    for effect in found.effects:
        assert effect.now == pytest.approx(here[effect.key])
        assert effect.other == pytest.approx(there[effect.key])
    moved = {key for key in here if abs(there[key] / here[key] - 1) > 5e-5}
    assert {effect.key for effect in found.effects} == moved  # AGMA does not know this factor
    changes = [abs(effect.change) for effect in found.effects]
    assert changes == sorted(changes, reverse=True)


def test_the_margin_of_a_life_under_a_duty_is_its_torque_reserve():
    tram = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
    found = next(item for item in alternatives(tram) if item.name == "limited_life")
    (reading,) = set(LimitedLife) - {PRIMARY.limited_life}
    readings = replace(tram.methods.readings, limited_life=reading)
    other = replace(tram, methods=replace(tram.methods, readings=readings))
    here, there = ({item.key: item.reserve for item in judged(one)} for one in (tram, other))
    lives = [effect for effect in found.effects if effect.key.startswith(("stress.flank", "stress.root"))]
    assert lives
    for effect in lives:
        assert effect.now == pytest.approx(here[effect.key].factor, rel=1e-6)
        assert effect.other == pytest.approx(there[effect.key].factor, rel=1e-6)


def test_a_record_of_another_reading_says_that_it_left_the_primary_one(fan):
    readings = replace(fan.methods.readings, helix_factor=HelixFactor.ROOT)
    moved = replace(fan, methods=replace(fan.methods, readings=readings))
    found = {(item.name, item.other): item.primary for item in alternatives(moved)}
    assert found["helix_factor", str(HelixFactor.RECIPROCAL_ROOT)] is False
    assert alternatives(replace(fan, methods=None)) == ()


@pytest.mark.parametrize("against", list(Against))
def test_the_map_is_the_reserve_of_the_real_review_at_each_value(fan, against):
    drawn = failure_map(fan, against, with_solved=False)
    place = 2
    value = drawn.values[place]
    moved = (
        write_speed(fan, value)
        if against is Against.SPEED
        else replace(fan, required=replace(fan.required, life_h=value))
    )
    by_key = {item.key: item for item in judged(moved)}
    assert drawn.modes
    for mode in drawn.modes:
        assert by_key[mode.key].reserve.factor == pytest.approx(mode.reserve[place], rel=1e-5)
    least = min(drawn.modes, key=lambda mode: mode.reserve[place])
    assert drawn.first[place] == least.title


def test_the_reserve_of_the_map_turns_the_review(fan):
    mode = failure_map(fan, Against.SPEED, with_solved=False).modes[0]
    fast = write_speed(fan, fan.meshes[0].speed_rpm * 2)
    answers = [
        next(item for item in judged(with_torque(fast, mode.reserve[-1] * f)) if item.key == mode.key)
        for f in (0.999, 1.001)
    ]
    assert [str(item.by_calculation) for item in answers] == ["meets", "fails"]


def test_longer_life_never_leaves_more(fan):
    for mode in failure_map(fan, Against.LIFE).modes:
        assert np.all(np.diff(mode.reserve) <= 1e-9), mode.title


def test_without_anything_agreed_the_map_is_empty(fan):
    bare = failure_map(replace(fan, required=None, methods=None), Against.LIFE)
    assert bare.modes == ()
    assert set(bare.first) == {""}


def test_balanced_shifts_balance_on_the_real_calculation(fan):
    found = {item.goal: item for item in shift_advice(fan)}
    assert found.keys() == set(Goal)
    for goal, item in found.items():
        mesh = calculate(changed(fan, {"profile_shift": item.gear})).meshes[0]
        if goal is Goal.SLIDING:
            both = mesh.gear.geometry.start_sliding, mesh.mate.geometry.start_sliding
        else:
            both = mesh.gear.root_safety.safety, mesh.mate.root_safety.safety
        assert both[0] == pytest.approx(both[1], rel=1e-4)
        assert abs(both[0]) == pytest.approx(item.balanced_value, rel=1e-4)
        assert item.gear + item.mate == pytest.approx(0.35 + 0.18)


def test_no_balance_says_why(fan):
    item = next(item for item in shift_advice(replace(fan, methods=None)) if item.goal is Goal.ROOTS)
    assert item.gear is None
    assert item.reason == "[methods] missing"


def test_the_readings_of_agma_move_the_rating_beside_and_nothing_of_iso(fan):
    found = {item.name: item for item in alternatives(fan) if not item.name.startswith("edition")}
    for name in ("pitting_point", "helical_root_factor"):
        keys = {effect.key.partition(".")[0] for effect in found[name].effects}
        assert keys <= {"agma"}, name
    assert any(
        item.effects for name, item in found.items() if name in ("pitting_point", "helical_root_factor")
    )


def test_agma_stands_beside_iso_with_the_same_load_and_life(fan):
    (beside,) = agma_beside(fan, calculate(fan))
    rows = {row.title: row for row in beside.rows}
    mesh = calculate(fan).meshes[0]
    assert rows["Flank safety, the gear"].iso == mesh.gear.flank.safety
    assert beside.result.load_distribution_factor == mesh.factors.face_load_factor
    assert beside.result.pinion.load_cycles == mesh.gear.cycles.load_cycles
    # both rate the same teeth: the contact stress agrees within a tenth, the pitch circle differs
    assert rows["Contact stress, the gear"].agma == pytest.approx(
        rows["Contact stress, the gear"].iso, rel=0.1
    )


def test_what_agma_does_not_rate_is_said(fan):
    strict = replace(fan, required=replace(fan.required, reliability=0.99999))
    (beyond,) = agma_beside(strict, calculate(strict))
    assert beyond.reason == "ANSI/AGMA 2101-D04 gives no Y_Z above a reliability of 0.9999"
    (bare,) = agma_beside(replace(fan, required=None), calculate(replace(fan, required=None)))
    assert (bare.result, bare.reason) == (None, "[required] missing")
    mate = fan.meshes[0].mate
    steel = replace(mate.steel, treatment=Treatment.GAS_NITRIDED, grade="31CrMoV9")
    nitrided = replace(fan, meshes=(replace(fan.meshes[0], mate=replace(mate, steel=steel)),))
    (beside,) = agma_beside(nitrided, calculate(nitrided))
    assert "gas-nitrided" in beside.reason
