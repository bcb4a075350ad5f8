"""The plan: for any route and any set of requirements, each is covered or reported, in time or reported."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.inspection.coverage import HARMLESS, GapKind, gaps
from gearcheck.inspection.plan import DRAWING, CharacteristicEdit, Strike, inspection_plan
from gearcheck.inspection.route import Route, RouteName, route
from gearcheck.inspection.rules import rule_of, rules
from tests.inspection.drawn import (
    ALL_NEEDS,
    KEYS,
    LIFT,
    LIMITED,
    LIMITS,
    NAMED,
    NEED_SETS,
    NEEDS,
    numbered,
    shuffled,
)

STRIKES = st.lists(st.sampled_from(KEYS), unique=True, max_size=6).map(
    lambda keys: tuple(Strike(key=key, reason="not needed", by="A. Fern") for key in keys)
)


@settings(max_examples=100, deadline=None)
@given(shuffled().map(numbered), NEED_SETS, LIMITED, STRIKES)
def test_every_need_is_covered_or_reported(steps, needs, limits, strikes):
    plan = inspection_plan(steps, needs, limits, strikes=strikes)
    reported = {gap.about for gap in gaps(plan) if gap.kind is GapKind.UNCOVERED}
    for need in needs:
        serving = [item for item in plan.characteristics if need in item.needs]
        assert bool(serving) != (need in reported), need
        assert all(item.has_limit for item in serving)
    assert reported <= set(needs)
    struck = {one.key for one in strikes}
    assert not struck & {item.key for item in plan.characteristics}


@settings(max_examples=100, deadline=None)
@given(shuffled().map(numbered), NEED_SETS)
def test_every_characteristic_sits_in_its_window_or_is_reported(steps, needs):
    plan = inspection_plan(steps, needs, LIMITS)
    place = {step.key: at for at, step in enumerate(steps.operations)}
    found = {(gap.kind, gap.about) for gap in gaps(plan)}
    for item in plan.characteristics:
        rule, at = rule_of(item.key), place[item.operation.key]
        seen = [place[key] for key in rule.seen_from if key in place]
        before = [place[key] for key in rule.before if key in place]
        losers = [
            place[step.key] for step in steps.operations if rule.looks_at in (*step.changes, *step.spoils)
        ]
        assert ((GapKind.TOO_EARLY, item.key) in found) == bool(seen and at < min(seen))
        assert ((GapKind.TOO_LATE, item.key) in found) == bool(before and at >= min(before))
        assert ((GapKind.LOST_AFTER, item.key) in found) == bool(losers and at < max(losers))


@pytest.mark.parametrize("name", NAMED)
def test_the_named_routes_leave_nothing_open_but_the_hot_bake(name):
    needs = NEEDS if name is RouteName.INDUSTRIAL else (*NEEDS, "process.peening")
    plan = inspection_plan(route(name), needs, LIMITS)
    found = [gap for gap in gaps(plan) if gap.kind not in HARMLESS]
    assert [gap.kind for gap in found] == ([] if name is RouteName.INDUSTRIAL else [GapKind.TEMPERATURE])
    placed = {item.key for item in plan.characteristics}
    peened = {"peening.intensity", "peening.coverage"}
    on_request = {rule.key for rule in rules() if rule.on_request}
    assert placed == set(KEYS) - on_request - (peened if name is RouteName.INDUSTRIAL else set())


def test_what_is_inspected_on_request_stands_where_it_is_asked_for_or_measured():
    needs, one, root = (*NEEDS, "process.peening"), "residual_stress.left", "residual_stress.root"

    def there(name, **given):
        plan = inspection_plan(route(name), needs, LIMITS, **given)
        return {item.key: item for item in plan.characteristics if item.key in (one, root)}

    assert there(RouteName.AEROSPACE) == {}
    measured = there(RouteName.AEROSPACE, measured=frozenset((one, root)))
    assert set(measured) == {one, root}
    assert measured[root].needs == ("process.peening",)
    assert measured[root].seen_from.key == "peen"
    assert "process.peening" not in measured[one].needs
    edit = CharacteristicEdit(key=one, reason="drawing, note 4", by="design", most=-300.0)
    (asked,) = there(RouteName.INDUSTRIAL, edits=(edit,)).values()
    assert (asked.limit.most, asked.unit) == (-300.0, "MPa")


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.key)
def test_each_rule_serves_a_requirement_that_there_is_and_stands_on_a_named_route(rule):
    assert any(rule.serves(need) for need in (*NEEDS, "process.peening", "fatigue.root.wheel"))
    keys = {step.key for name in NAMED for step in route(name).operations} | {"superfinish"}
    assert {*rule.seen_from, *rule.before, *rule.at} <= keys
    assert any(route(name).preferred(rule.at) for name in NAMED)
    of_the_gear = {"teeth", "steel", "treated", "ground", "masked", "modified", "measure"}
    assert set(rule.rests) <= of_the_gear | {"mated", "torque"}
    assert bool(rule.unit) or rule.limit.words or rule.key in ("cleanliness", "carbides", "cracks")
    for words in (rule.method, rule.finds, rule.uncertainty, rule.sample, rule.document, rule.place):
        assert words


def test_an_inspection_after_the_last_moment_is_reported():
    """The etch after the peening: peening changes how the surface takes it."""
    steps = route(RouteName.AEROSPACE).operations
    late = Route(
        name=RouteName.OWN,
        title="",
        note="",
        operations=tuple(
            sorted(
                (replace(step, number=165) if step.key == "etch" else step for step in steps),
                key=lambda step: step.number,
            )
        ),
    )
    found = gaps(inspection_plan(late, NEEDS, LIMITS))
    said = [gap.text for gap in found if gap.kind is GapKind.TOO_LATE]
    assert said == [
        f"{title} is inspected at 165 Surface temper etch of every gear, but has to be seen before 160 Shot "
        "peen the roots."
        for title in ("Surface temper after grinding", "Class of the surface temper")
    ]
    assert {gap.about for gap in found if gap.kind is GapKind.ORDER} == {"etch"}


def test_an_added_characteristic_without_a_need_is_told_and_holds_nothing_up():
    edit = CharacteristicEdit(
        key="balance", reason="note 4", by="A. Fern", title="Unbalance", operation="final", accept="balanced"
    )
    plan = inspection_plan(route(RouteName.INDUSTRIAL), NEEDS, LIMITS, edits=(edit,))
    (found,) = [gap for gap in gaps(plan) if gap.about == "balance"]
    assert found.kind in HARMLESS
    served = replace(edit, needs=("hardness.core",), operation="wash")
    plan = inspection_plan(route(RouteName.INDUSTRIAL), NEEDS, LIMITS, edits=(served,))
    assert plan.find("balance").needs == ("hardness.core",)
    assert [gap.kind for gap in gaps(plan) if gap.about == "balance"] == [GapKind.NO_PLACE]
    assert plan.characteristics[-1].key == "balance"


def test_an_edit_gives_a_limit_where_the_drawing_names_none():
    bare = inspection_plan(route(RouteName.INDUSTRIAL), NEEDS, {})
    assert bare.find("size.tip") is None
    assert any(item.title == "Tip diameter, finished" for item in bare.unlimited)
    edit = CharacteristicEdit(key="size.tip", reason="drawing", by="A. Fern", least=219.6, most=219.7)
    plan = inspection_plan(route(RouteName.INDUSTRIAL), NEEDS, {}, edits=(edit,))
    item = plan.find("size.tip")
    assert (item.limit.least, item.limit.most, item.unit) == (219.6, 219.7, "mm")


def test_plan_and_review_say_the_same_of_the_demo_gears():
    found = LIFT.inspected
    assert {gap.kind for gap in found.gaps} <= set(HARMLESS)
    assert set(found.answers) == {item.key for item in found.plan.characteristics} == set(found.findings)
    served = {need for item in found.plan.characteristics for need in item.needs}
    assert served == {*NEEDS, DRAWING}


@pytest.mark.parametrize("name", NAMED)
def test_each_characteristic_moved_to_each_operation_is_in_its_window_or_reported(name):
    steps = route(name)
    place = {step.key: at for at, step in enumerate(steps.operations)}
    for rule in rules():
        seen = [place[key] for key in rule.seen_from if key in place]
        before = [place[key] for key in rule.before if key in place]
        losers = [
            at for at, step in enumerate(steps.operations) if rule.looks_at in (*step.changes, *step.spoils)
        ]
        for step in steps.operations:
            edit = CharacteristicEdit(key=rule.key, reason="there", by="A. Fern", operation=step.key)
            plan = inspection_plan(steps, ALL_NEEDS, LIMITS, edits=(edit,))
            assert plan.find(rule.key).operation == step
            at, found = place[step.key], {gap.kind for gap in gaps(plan) if gap.about == rule.key}
            wanted = {GapKind.TOO_EARLY} if seen and at < min(seen) else set()
            wanted |= {GapKind.TOO_LATE} if before and at >= min(before) else set()
            wanted |= {GapKind.LOST_AFTER} if losers and at < max(losers) else set()
            assert found - {*HARMLESS} == wanted, (rule.key, step.key)


def test_an_edit_that_takes_a_characteristic_off_its_need_is_reported():
    edit = CharacteristicEdit(key="marking", reason="not wanted", by="A. Fern", needs=())
    plan = inspection_plan(route(RouteName.INDUSTRIAL), NEEDS, LIMITS, edits=(edit,))
    kinds = {gap.kind for gap in gaps(plan)} - set(HARMLESS)
    assert kinds == {GapKind.TAKEN_OFF, GapKind.UNCOVERED}
    (found,) = [gap for gap in gaps(plan) if gap.kind is GapKind.TAKEN_OFF]
    assert found.text == "Marking is no longer inspected for inspection.traced: not wanted."
