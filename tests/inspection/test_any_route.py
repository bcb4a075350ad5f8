"""Routes as nobody planned them: what is in the wrong order or lost again is reported, and nothing else."""

from dataclasses import replace
from math import log10

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.inspection.coverage import GapKind, gaps, order_gaps
from gearcheck.inspection.plan import CharacteristicEdit, Strike, inspection_plan
from gearcheck.inspection.route import RouteName, route
from tests.inspection.drawn import (
    ALL_NEEDS,
    KEYS,
    LIMITED,
    LIMITS,
    NAMED,
    NEED_SETS,
    kept,
    numbered,
    shuffled,
)

BEFORE = {
    ("mask", "carburise"), ("rough", "carburise"), ("carburise", "harden"), ("carburise", "strip"),
    ("harden", "cold"), ("harden", "temper"), ("cold", "temper"),
    ("temper", "coupon"), ("temper", "grind"),
    ("grind", "etch"), ("grind", "barkhausen"), ("grind", "particle"),
    ("etch", "bake"), ("etch", "particle"), ("etch", "peen"), ("etch", "superfinish"),
    ("bake", "particle"), ("bake", "peen"), ("particle", "peen"), ("peen", "superfinish"),
}  # fmt: skip
"""What has to come before what, written down here once more."""


def told(found):
    """The pairs that findings about the order name, and those that are too hot, by key."""
    return [gap for gap in found if gap.kind is GapKind.ORDER], [
        gap.about for gap in found if gap.kind is GapKind.TEMPERATURE
    ]


def tempers_more(one, other):
    """By temperature and time of both, written down here once more; by temperature where one has no time."""
    if None in (one.hours, other.hours):
        return one.temperature_C > other.temperature_C
    parameters = ((step.temperature_C + 273.15) * (20 + log10(step.hours)) for step in (one, other))
    return next(parameters) > next(parameters)


@settings(max_examples=100, deadline=None)
@given(shuffled())
def test_what_is_in_the_wrong_order_is_reported_and_nothing_else(steps):
    steps = numbered(steps)
    keys = [step.key for step in steps.operations]
    wrong = {
        f"{steps.find(first)} comes after {steps.find(later)}:"
        for first, later in BEFORE
        if {first, later} <= set(keys) and keys.index(first) > keys.index(later)
    }
    order, hot = told(order_gaps(steps))
    assert {gap.text[: gap.text.index(":") + 1] for gap in order} == wrong
    assert len(order) == len(wrong)
    temper, bake = (
        None if (one := steps.find(key)) is None else one.temperature_C for key in ("temper", "bake")
    )
    others = steps.operations[keys.index("temper") + 1 :] if temper is not None else ()
    first, second = steps.find("temper"), steps.find("bake")
    hotter = [step.key for step in others if step.temperature_C is not None and tempers_more(step, first)]
    named = ["bake"] if None not in (temper, bake) and tempers_more(second, first) else []
    assert hot == [*named, *(key for key in hotter if key != "bake")]


@settings(max_examples=100, deadline=None)
@given(kept())
def test_a_route_in_the_right_order_has_no_fault_of_order_whatever_is_left_out_or_put_in(steps):
    assert told(order_gaps(numbered(steps)))[0] == []


@pytest.mark.parametrize("name", NAMED)
def test_each_single_operation_at_each_other_place(name):
    steps = route(name).operations
    for at, moved in enumerate(steps):
        others = [*steps[:at], *steps[at + 1 :]]
        for place in range(len(steps)):
            found = told(order_gaps(numbered([*others[:place], moved, *others[place:]])))[0]
            passed = {(step.key, moved.key) for step in others[place:at]}
            passed |= {(moved.key, step.key) for step in others[at:place]}
            assert len(found) == len(BEFORE & passed), (moved.key, place)


REASONS = st.sampled_from(["the drawing asks for it", "agreed with the customer"])
EDITS = st.lists(
    st.builds(
        CharacteristicEdit,
        key=st.sampled_from([*KEYS, "balance", "thread"]),
        reason=REASONS,
        by=st.just("A. Fern"),
        title=st.one_of(st.none(), st.just("As drawn")),
        operation=st.one_of(st.none(), st.sampled_from(["etch", "final", "grind", "nowhere"])),
        needs=st.one_of(st.none(), st.lists(st.sampled_from(ALL_NEEDS), max_size=3).map(tuple)),
        most=st.one_of(st.none(), st.floats(0.1, 9.0)),
        accept=st.one_of(st.none(), st.just("as agreed")),
    ),
    unique_by=lambda edit: edit.key,
    max_size=8,
).map(tuple)
STRIKES = st.lists(
    st.builds(Strike, key=st.sampled_from([*KEYS, "balance"]), reason=REASONS, by=st.just("M. Teal")),
    unique_by=lambda strike: strike.key,
    max_size=8,
).map(tuple)


@settings(max_examples=60, deadline=None)
@given(shuffled(), NEED_SETS, LIMITED, EDITS, STRIKES)
def test_no_edit_and_no_strike_hides_a_need(steps, needs, limits, edits, strikes):
    plan = inspection_plan(numbered(steps), needs, limits, edits=edits, strikes=strikes)
    found = gaps(plan)
    assert plan == inspection_plan(numbered(steps), needs, limits, edits=edits, strikes=strikes)
    keys = [item.key for item in plan.characteristics]
    assert len(set(keys)) == len(keys)
    assert not {strike.key for strike in strikes} & set(keys)
    uncovered = {gap.about: gap.text for gap in found if gap.kind is GapKind.UNCOVERED}
    covered = {need for item in plan.characteristics for need in item.needs}
    assert covered.isdisjoint(uncovered)
    assert covered | set(uncovered) == set(needs)
    for struck in plan.struck:
        for need in set(struck.needs) & set(uncovered):
            assert struck.strike.reason in uncovered[need]
            assert struck.strike.by in uncovered[need]
    at = {step.key: place for place, step in enumerate(plan.route.operations)}
    placed = [at.get(item.operation.key, 99) if item.operation else 99 for item in plan.characteristics]
    assert placed == sorted(placed)
    nowhere = {gap.about for gap in found if gap.kind is GapKind.NO_PLACE}
    assert nowhere == {item.key for item in plan.characteristics if item.operation is None}
    edited = {edit.key: edit for edit in edits}
    for item in plan.characteristics:
        assert item.edit == edited.get(item.key)
        # what holds nothing has no place among what covers a need
        assert item.has_limit or any(gap.about == item.key and gap.kind is GapKind.NO_LIMIT for gap in found)


AGAIN = {
    "grind": {
        "surface_temper", "surface_temper.class", "barkhausen", "cracks",
        "ground_off.left", "ground_off.right",
    },
    "harden": {
        "hardness.core", "retained_austenite", "carbides", "oxidation", "case.as_treated", "case.tip",
        "case.root", "furnace.chart", "furnace.coupon", "cracks",
    },
    "temper": {
        "hardness.core", "retained_austenite", "carbides", "oxidation", "case.as_treated", "case.tip",
        "case.root", "furnace.chart", "furnace.coupon",
    },
}  # fmt: skip
"""What was inspected before the last operation of a route and no longer holds where one runs again then."""


@pytest.mark.parametrize("name", NAMED)
@pytest.mark.parametrize("key", AGAIN)
def test_what_an_operation_that_runs_again_takes_away_is_reported(name, key):
    *steps, final = route(name).operations
    again = replace(route(name).find(key), key="again", title="Once more")
    found = gaps(inspection_plan(numbered([*steps, again, final]), ALL_NEEDS, LIMITS))
    lost = {gap.about for gap in found if gap.kind is GapKind.LOST_AFTER}
    wanted = AGAIN[key] | (
        {"peening.intensity", "peening.coverage"} if name is RouteName.AEROSPACE else set()
    )
    assert lost == wanted
