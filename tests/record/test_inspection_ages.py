"""Evidence of the inspection ages with what the part is made to, and with nothing else."""

from dataclasses import replace

import pytest

from gearcheck.inspection.route import OperationEdit, route
from gearcheck.inspection.rules import rules
from gearcheck.record.affected import why_stale
from gearcheck.record.steps import adopt_file
from gearcheck.review.inputs import KINDS
from gearcheck.review.leaves import leaf_of, leaves
from tests.record.opened import edited, gear, opened
from tests.record.test_difference import PARTS, written

LIFT = gear("ship_lift")
NUMBERS = [place for place, value in leaves(LIFT).items() if isinstance(value, float)]


def part_of(place):
    """The part of how the gear is made that an input belongs to; empty for loads and limits."""
    return next(
        (part for part, starts in PARTS.items() for start in starts if place[: len(start)] == start), ""
    )


def test_each_part_is_there():
    assert {part_of(place) for place in NUMBERS} == {"", "teeth", "steel", "treated", "ground"}


@pytest.mark.parametrize("place", NUMBERS, ids=lambda place: ".".join(map(str, place)))
def test_a_result_ages_with_the_inputs_that_its_rule_names(place):
    moved = written(LIFT, place, leaves(LIFT)[place] * 1.01 + 0.01)
    for rule in rules():
        said = why_stale(LIFT, moved, "result", rule.key)
        assert bool(said) == (part_of(place) in rule.rests), rule.key
        if said and leaf_of(place).key:
            assert said.startswith(leaf_of(place).label)
    # a characteristic of the drawing alone names nothing: any part takes it away
    assert bool(why_stale(LIFT, moved, "result", "lifting_eye")) == bool(part_of(place))


def with_edit(**values):
    edits = (*LIFT.inspection.operations, OperationEdit(reason="tried", **values))
    return replace(LIFT, inspection=replace(LIFT.inspection, operations=edits))


@pytest.mark.parametrize(
    ("values", "stale", "holds"),
    [
        (
            {"key": "temper", "temperature_C": 200.0},
            ["retained_austenite", "hardness.core", "case.as_treated", "furnace.chart", "case.left.left"],
            ["chemistry", "mask.coverage", "accuracy.single.left", "size.tip"],
        ),
        (
            {"key": "superfinish", "number": 155, "title": "Superfinish", "changes": ("surface",)},
            ["flank.roughness", "accuracy.single.left", "surface_temper", "case.left.left"],
            ["chemistry", "hardenability", "retained_austenite", "mask.coverage", "size.blank"],
        ),
        (
            {"key": "grind", "leave_out": True},
            ["ground_off.left", "accuracy.single.left", "flank.roughness"],
            ["chemistry", "retained_austenite", "furnace.coupon"],
        ),
        ({"key": "grind", "document": "another drawing"}, [], [rule.key for rule in rules()]),
        ({"key": "bake", "caution": "very hot"}, [], [rule.key for rule in rules()]),
    ],
    ids=["hotter temper", "a new operation", "one left out", "another document", "another caution"],
)
def test_a_result_ages_with_the_operations_that_touch_it(values, stale, holds):
    moved = with_edit(**values)
    for key in stale:
        assert "the route changed" in why_stale(LIFT, moved, "result", key), key
    for key in holds:
        assert why_stale(LIFT, moved, "result", key) == "", key


def test_another_order_is_another_route():
    steps = {step.key: step.number for step in route(LIFT.inspection.route).operations}
    moved = with_edit(key="datums", number=steps["grind"] + 1)
    assert "order of the operations" in why_stale(LIFT, moved, "pitch")
    assert why_stale(LIFT, moved, "result", "chemistry") == ""


def test_a_route_that_was_not_named_before_takes_nothing_away():
    bare = replace(LIFT, inspection=None)
    for kind in KINDS:
        assert why_stale(bare, LIFT, kind, "cracks") == ""


def test_a_limit_or_another_rule_takes_no_evidence_away_but_moves_the_answer(tmp_path):
    lift = opened(tmp_path)
    assert lift.whole.inspected.answers["size.tip"] == "shown"
    tighter = edited("ship_lift", ('most = "219.7 mm"', 'most = "219.64 mm"'))
    lift.do(adopt_file, tighter, reason="tighter")
    assert not any(item["stale"] for item in lift.book.revision.evidence)
    assert lift.whole.inspected.answers["size.tip"] == "contradicted"
    wider = edited("ship_lift", ('most = "219.7 mm"', 'most = "219.655 mm"'))
    lift.do(adopt_file, wider, reason="wider")
    # 0.005 mm of room for an uncertainty of 0.006 mm: enough by the newer rule, not by the older one
    assert lift.whole.inspected.answers["size.tip"] == "shown"
    older = edited(
        "ship_lift",
        ('most = "219.7 mm"', 'most = "219.655 mm"'),
        ('"ISO 14253-1:2017"', '"ISO 14253-1:2013"'),
    )
    lift.do(adopt_file, older, reason="older rule")
    assert lift.whole.inspected.answers["size.tip"] == "open"
    assert not any(item["stale"] for item in lift.book.revision.evidence)


def test_a_hotter_temper_in_the_gear_file_makes_the_evidence_of_the_record_stale(tmp_path):
    lift = opened(tmp_path)
    edit = '[[inspection.operation]]\nkey = "temper"\ntemperature = "200 °C"\nreason = "tougher"\n\n'
    hotter = edited("ship_lift", ("[[inspection.strike]]", f"{edit}[[inspection.strike]]"))
    lift.do(adopt_file, hotter, reason="a tougher core")
    answers = lift.whole.inspected.answers
    assert (answers["retained_austenite"], answers["chemistry"]) == ("stale", "shown")
    assert lift.requirement("hardness.core").by_evidence == "stale"
    lift.do(adopt_file, gear("ship_lift"), reason="back again")
    assert lift.whole.inspected.answers["retained_austenite"] == "shown"
