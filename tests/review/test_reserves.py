"""The torque reserve on the real calculation: multiplied in, the full review flips."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.figures.ladder import ladder
from gearcheck.requirements.types import Calculation, Scale
from gearcheck.review import reserves
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged
from gearcheck.review.moves import with_torque
from gearcheck.review.reserves import reserve, reserve_factors, torque_turns
from gearcheck.review.words import reserve_rank, reserve_text

SCENARIOS = sorted(path.parent.name for path in scenarios().glob("*/gear.toml"))


@pytest.fixture(scope="module", params=SCENARIOS)
def record(request):
    return read_gear_file(scenarios() / request.param / "gear.toml")


def answers(record):
    return {item.key: item for item in judged(record)}


def test_each_reserve_turns_its_requirement_in_a_full_review(record):
    now = answers(record)
    on_scale = [item for item in now.values() if item.reserve is not None]
    assert on_scale, "a scenario without a torque reserve shows nothing"
    for item in on_scale:
        factor = item.reserve.factor
        assert factor is not None, f"{item.key} says {item.reserve.words}: choose a scenario that turns"
        below = answers(with_torque(record, factor * 0.999))[item.key].by_calculation
        above = answers(with_torque(record, factor * 1.001))[item.key].by_calculation
        assert {below, above} == {Calculation.MEETS, Calculation.FAILS}, item.key


def test_a_failing_requirement_has_its_reserve_below_one(record):
    for item in answers(record).values():
        if item.reserve is None or item.reserve.factor is None:
            continue
        assert (item.by_calculation is Calculation.MEETS) == (item.reserve.factor >= 1), item.key


def test_what_does_not_depend_on_torque_stays_put(record):
    now, doubled = answers(record), answers(with_torque(record, 2.0))
    for key, item in now.items():
        if item.scale is not Scale.TORQUE:
            assert doubled[key].by_calculation is item.by_calculation
            assert (doubled[key].demand, doubled[key].capacity) == (item.demand, item.capacity)
            assert item.reserve is None


@pytest.mark.parametrize(
    ("where", "expected"), [(0.3, 0.3), (1.7, 1.7), (19.0, 19.0), (25.0, np.nan), (0.01, np.nan)]
)
def test_a_known_turn_is_found(where, expected):
    found = torque_turns(lambda factors: (where - factors)[None], 1).factor[0]
    np.testing.assert_allclose(found, expected, rtol=1e-6)


def test_the_turn_nearest_to_one_counts():
    def margins(factors):
        return ((factors - 0.2) * (factors - 1.4) * (factors - 6.0))[None]

    np.testing.assert_allclose(torque_turns(margins, 1).factor[0], 1.4, rtol=1e-6)


def test_a_jump_is_found_as_well_as_a_crossing():
    def margins(factors):
        return np.where(factors < 2.5, 1.0, -1.0)[None]

    np.testing.assert_allclose(torque_turns(margins, 1).factor[0], 2.5, rtol=1e-6)


def test_a_stop_is_no_turn():
    def margins(factors):
        return np.where(factors < 2.5, 1.0, np.nan)[None]

    assert np.isnan(torque_turns(margins, 1).factor[0])


def test_words_where_there_is_no_factor():
    assert reserve(np.nan, meets=True).words == "over 20"
    assert reserve(np.nan, meets=False).words == "no torque fixes it"


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.06, 18.0), min_size=1, max_size=5))
def test_samples_are_found_each_for_itself(turns):
    own = np.array(turns)

    def margins(factors):
        return np.stack([own[:, None] - factors, factors - own[:, None]])

    found = torque_turns(margins, 2, (own.size,)).factor
    # a turn that lies on a point of the first grid is found a little less closely
    np.testing.assert_allclose(found, np.stack([own, own]), rtol=1e-4)


def test_a_sample_of_changes_agrees_with_one_by_one():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    widths = np.array([0.9, 1.0, 1.15]) * record.gear.tooth.face_width_mm
    together = reserve_factors(changed(record, {"face_width": widths[:, None]}))
    for place, width in enumerate(widths):
        alone = reserve_factors(changed(record, {"face_width": width}))
        for key, value in alone.items():
            np.testing.assert_allclose(
                np.broadcast_to(together[key], 3)[place], value, rtol=1e-6, err_msg=key
            )


def with_viscosity(record, value):
    return replace(record, lubricant=replace(record.lubricant, viscosity_40C_mm2_s=value))


def with_core(record, value):
    return replace(
        record, gear=replace(record.gear, steel=replace(record.gear.steel, core_hardness_HV=value))
    )


def with_roughness(record, value):
    finish = replace(record.gear.finish, root_roughness_um=value)
    return replace(record, gear=replace(record.gear, finish=finish))


@pytest.mark.parametrize(
    ("write", "low", "high"), [(with_viscosity, 100, 460), (with_core, 270, 400), (with_roughness, 4, 30)]
)
def test_samples_that_touch_the_capacity_alone_agree_with_one_by_one(write, low, high):
    record = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    values = np.linspace(low, high, 7)
    together = reserve_factors(write(record, values[:, None]))
    moved = 0
    for place, value in enumerate(values):
        for key, alone in reserve_factors(write(record, value)).items():
            assert together[key].shape == (7,)
            np.testing.assert_allclose(together[key][place], alone, rtol=1e-6, err_msg=key)
        moved += sum(np.ptp(turn) > 1e-4 for turn in together.values())
    assert moved, "no reserve depends on it: the samples show nothing"


def ending(at, turn=None, lowest=None):
    """A margin that falls through 0 at `turn` and has no value beyond `at`, nor below `lowest`."""

    def margins(factors):
        value = np.full_like(factors, 1.0) if turn is None else turn - factors
        value = np.where(factors > at, np.nan, value)
        return (value if lowest is None else np.where(factors < lowest, np.nan, value))[None]

    return torque_turns(margins, 1)


def test_where_the_values_end_before_a_turn_is_said_with_the_torque():
    found = ending(2.5)
    assert np.isnan(found.factor[0])
    np.testing.assert_allclose(found.ends[0], 2.5, rtol=1e-5)
    told = reserve(found.factor[0], meets=True, ends=float(found.ends[0]))
    assert told.factor is None
    assert told.words == "no value beyond 2.50"


@pytest.mark.parametrize("turn", [2.450, 2.46, 2.48, 2.499])
def test_a_turn_close_before_the_end_of_the_values_is_found(turn):
    found = ending(2.5, turn)
    np.testing.assert_allclose(found.factor[0], turn, rtol=1e-5)
    assert np.isnan(found.ends[0])


def test_what_turns_only_beyond_a_torque_without_a_value_has_no_reserve():
    def margins(factors):
        return np.where((factors > 1.5) & (factors < 2.0), np.nan, 3.0 - factors)[None]

    found = torque_turns(margins, 1)
    assert np.isnan(found.factor[0])
    np.testing.assert_allclose(found.ends[0], 1.5, rtol=1e-5)


def test_what_fails_and_has_no_value_at_less_torque_is_not_called_hopeless():
    def margins(factors):
        return np.where(factors < 0.4, np.nan, -1.0)[None]

    found = torque_turns(margins, 1)
    told = reserve(found.factor[0], meets=False, ends=float(found.ends[0]))
    assert told.words == "no value below 0.40"
    assert reserve_rank(told) == pytest.approx(0.4, rel=1e-5)


def test_what_is_met_up_to_20_is_over_20_whatever_lies_below():
    found = ending(50.0, lowest=0.3)
    assert np.isnan(found.factor[0])
    assert np.isnan(found.ends[0])


def test_a_turn_the_other_way_is_still_found_where_the_values_end():
    np.testing.assert_allclose(ending(9.0, 0.5, 0.1).factor[0], 0.5, rtol=1e-5)


def test_a_calculation_that_stops_at_more_torque_says_so_on_the_ladder(monkeypatch):
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    plain = {item.key: item for item in judged(record)}
    key = next(key for key, item in plain.items() if item.reserve and item.reserve.factor)
    turn = plain[key].reserve.factor
    limit = record.meshes[0].torque_Nm * (1 + (turn - 1) / 2)

    def stopped(changed, chain):
        torque = array(changed.meshes[0].torque_Nm)
        for line in real(changed, chain):
            lost = np.where(torque > limit, np.nan, array(line.capacity))
            yield replace(line, capacity=lost) if line.key == key else line

    real = reserves.calculated
    monkeypatch.setattr(reserves, "calculated", stopped)
    item = next(item for item in judged(record) if item.key == key)
    assert item.by_calculation is Calculation.MEETS
    assert item.reserve.factor is None
    assert item.reserve.words.startswith("no value beyond ")
    assert item.reserve.words == f"no value beyond {1 + (turn - 1) / 2:.2f}"
    found = ladder([item], [item])
    assert found.rungs[0].value == item.reserve.words
    assert found.rungs[0].factor == pytest.approx(1 + (turn - 1) / 2, rel=1e-4)
    assert reserve_text(item.reserve) == item.reserve.words
