"""Every number of the ship lift near its limit, each strike, each operation left out: the answers follow."""

from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.inspection.coverage import GapKind
from gearcheck.inspection.decide import DecisionRule
from gearcheck.inspection.plan import DRAWING, CharacteristicEdit, Strike
from gearcheck.inspection.route import OperationEdit, route
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations.inspection import is_of_plan
from gearcheck.review.whole import review

NAMES = ("ship_lift", "tunnel_fan", "harvester")
pytestmark = pytest.mark.slow  # half a minute and more; what it proves rests on one rule
RECORDS = {name: read_gear_file(scenarios() / name / "gear.toml") for name in NAMES}
LIFT = RECORDS["ship_lift"]
WHOLE = review(LIFT, with_settled=False)
FOUND = {
    item.key: [one for one in WHOLE.inspected.findings[item.key] if not one.stale]
    for item in WHOLE.inspected.plan.characteristics
    if item.wants_number
}
NUMBERS = [key for key, found in FOUND.items() if found]
GUARDS = {DecisionRule.WHOLE: 1.0, DecisionRule.PROBABLE: 0.825}
WORST = ("contradicted", "open", "shown")


def by_hand(findings, key, end, limit, rule):
    """The answer of the worst finding, worked out once more."""
    said = []
    for one in findings:
        guard = GUARDS[rule] * (one.uncertainty or 0.0)
        room = one.value - limit if end == "least" else limit - one.value
        near = 1e-9 * max(abs(one.value), abs(limit))
        said.append("shown" if room > guard - near else "contradicted" if room < -guard - near else "open")
    return min(said, key=WORST.index)


def with_plan(record, **values):
    return replace(record, inspection=replace(record.inspection, **values))


def answered(record, key):
    whole = review(record, with_settled=False)
    needs = whole.inspected.plan.find(key).needs
    answers = {item.key: item.by_evidence for item in whole.requirements}
    return whole.inspected.answers[key], {need: answers[need] for need in needs}


@pytest.mark.parametrize("rule", DecisionRule)
@pytest.mark.parametrize("key", NUMBERS)
def test_every_number_answers_by_the_decision_rule_wherever_its_limit_lies(key, rule):
    item = WHOLE.inspected.plan.find(key)
    end = "least" if item.limit.least is not None else "most"
    sign = 1.0 if end == "least" else -1.0
    others = tuple(one for one in LIFT.inspection.characteristics if one.key != key)
    found = FOUND[key]
    (value, spread), *_ = sorted((sign * one.value, one.uncertainty or 0.0) for one in found)
    seen = set()
    for share in (-1.1, -1.0, -0.9, 1.0, 1.1):
        limit = sign * (value + share * GUARDS[rule] * spread)
        edit = CharacteristicEdit(key=key, reason="tried", by="A. Fern", **{end: limit})
        record = with_plan(LIFT, characteristics=(*others, edit), decision_rule=rule)
        other = "most" if end == "least" else "least"
        if getattr(item.limit, other) is not None:  # the end that is not tried stays far away
            far = 3.0 * abs(value) if other == "most" else 0.0
            record = with_plan(record, characteristics=(*others, replace(edit, **{other: far})))
        wanted = by_hand(found, key, end, limit, rule)
        answer, needs = answered(record, key)
        assert answer == wanted, (share, limit)
        if wanted == "contradicted":
            assert "contradicted" in needs.values()
        if wanted == "open":
            assert "shown" not in {needs[need] for need in needs if not need.startswith("case.")}
        seen.add(wanted)
    assert len(seen) == (3 if spread else 2)


def covered_or_reported(whole):
    """Every requirement that has its numbers is inspected, or the plan says that it is not, and fails."""
    plan = whole.inspected.plan
    told = {gap.about for gap in whole.inspected.gaps if gap.kind is GapKind.UNCOVERED}
    asked = {item.key for item in whole.requirements if not item.reason and not is_of_plan(item.key)}
    assert told == {key for key in asked if not plan.serving(key)}
    answers = {item.key: item for item in whole.requirements}
    # what was struck and stays, since evidence contradicts it, is no plan that anyone made
    stays = {gap.about for gap in whole.inspected.gaps if gap.kind is GapKind.STAYS}
    alone = {key for key in asked if {item.key for item in plan.serving(key)} <= stays}
    assert (answers["inspection.covered"].by_calculation == "fails") == bool(told | alone)
    for key in told:
        assert answers[key].by_evidence in ("open", "not needed yet")
    return told


@pytest.mark.parametrize("name", NAMES)
def test_each_characteristic_struck_alone_is_covered_by_another_or_reported(name):
    record = RECORDS[name]
    before = review(record, with_settled=False)
    assert covered_or_reported(before) == set()
    waiting = {item.key for item in before.requirements if item.reason}
    for item in before.inspected.plan.characteristics:
        strike = Strike(key=item.key, reason="nobody can measure it.", by="M. Teal")
        whole = review(with_plan(record, strikes=(*record.inspection.strikes, strike)), with_settled=False)
        told = covered_or_reported(whole)
        stays = before.inspected.answers[item.key] == "contradicted"
        assert (whole.inspected.plan.find(item.key) is not None) == stays
        alone = {need for need in item.needs if len(before.inspected.plan.serving(need)) == 1} - waiting
        # what the drawing alone asks for is no need any more once it is struck, with its reason
        alone -= {DRAWING}
        assert told == (set() if stays else alone), item.key
        said = [gap.text for gap in whole.inspected.gaps if gap.about in told]
        assert all("was struck by M. Teal: nobody can measure it" in text for text in said)


@pytest.mark.parametrize("name", NAMES)
def test_each_operation_left_out_leaves_nothing_uncovered_unsaid(name):
    record = RECORDS[name]
    for step in route(record.inspection.route).operations:
        edits = tuple(one for one in record.inspection.operations if one.key != step.key)
        gone = OperationEdit(key=step.key, reason="not here", leave_out=True)
        whole = review(with_plan(record, operations=(*edits, gone)), with_settled=False)
        covered_or_reported(whole)
        assert whole.inspected.plan.route.find(step.key) is None


@pytest.mark.parametrize(
    ("key", "after", "order", "timely"),
    [
        ("etch", "particle", 2, 1),  # after the bake and after the particle test; the acid opens cracks
        ("particle", "clean", 3, 2),
        ("grind", "barkhausen", 2, 4),  # the etch saw nothing yet, and shows nothing of what was ground since
        ("coupon", "grind", 0, 4),  # the case is cut away by then; root and core are not
    ],
)
def test_an_operation_in_the_wrong_place_fails_the_plan(key, after, order, timely):
    steps = route(LIFT.inspection.route)
    edits = tuple(one for one in LIFT.inspection.operations if one.key != key)
    moved = OperationEdit(key=key, reason="tried", number=steps.find(after).number + 1)
    whole = review(with_plan(LIFT, operations=(*edits, moved)), with_settled=False)
    answers = {item.key: item for item in whole.requirements}
    kinds = [gap.kind for gap in whole.inspected.gaps]
    assert kinds.count(GapKind.ORDER) == order, [gap.text for gap in whole.inspected.gaps]
    late = [GapKind.TOO_EARLY, GapKind.TOO_LATE, GapKind.LOST_AFTER]
    assert sum(kinds.count(kind) for kind in late) == timely, [gap.text for gap in whole.inspected.gaps]
    assert (answers["inspection.order"].by_calculation == "fails") == bool(order)
    assert (answers["inspection.timely"].by_calculation == "fails") == bool(timely)
