"""The torque reserve on the real calculation: multiplied in, the full review flips."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.places import scenarios
from gearcheck.requirements.types import Calculation, Scale
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged
from gearcheck.review.reserves import reserve, reserve_factors, turning_factors, with_torque

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
    found = turning_factors(lambda factors: (where - factors)[None], 1)[0]
    np.testing.assert_allclose(found, expected, rtol=1e-6)


def test_the_turn_nearest_to_one_counts():
    def margins(factors):
        return ((factors - 0.2) * (factors - 1.4) * (factors - 6.0))[None]

    np.testing.assert_allclose(turning_factors(margins, 1)[0], 1.4, rtol=1e-6)


def test_a_jump_is_found_as_well_as_a_crossing():
    def margins(factors):
        return np.where(factors < 2.5, 1.0, -1.0)[None]

    np.testing.assert_allclose(turning_factors(margins, 1)[0], 2.5, rtol=1e-6)


def test_a_stop_is_no_turn():
    def margins(factors):
        return np.where(factors < 2.5, 1.0, np.nan)[None]

    assert np.isnan(turning_factors(margins, 1)[0])


def test_words_where_there_is_no_factor():
    assert reserve(np.nan, meets=True).words == "over 20"
    assert reserve(np.nan, meets=False).words == "no torque fixes it"


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.06, 18.0), min_size=1, max_size=5))
def test_samples_are_found_each_for_itself(turns):
    own = np.array(turns)

    def margins(factors):
        return np.stack([own[:, None] - factors, factors - own[:, None]])

    found = turning_factors(margins, 2, (own.size,))
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
