"""Evidence of the inspection ages with what the part is made to, and with nothing else."""

from dataclasses import replace
from enum import Enum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.inspection.route import PROPERTIES, OperationEdit, route
from gearcheck.inspection.rules import rules
from gearcheck.record.affected import RESTS_ON, inputs_moved, why_stale
from gearcheck.record.book import Verdict
from gearcheck.record.dispositions import due, stale_after
from gearcheck.record.steps import adopt_file
from gearcheck.review.inputs import KINDS
from gearcheck.review.leaves import leaf_of, leaves
from tests.record.opened import edited, gear, opened
from tests.record.test_difference import PARTS, written

LIFT = gear("ship_lift")
NUMBERS = [place for place, value in leaves(LIFT).items() if isinstance(value, float)]


def part_of(place):
    """The part of how the gear is made that an input belongs to; empty for loads and limits."""
    place = ("meshes", *place[2:]) if place[0] == "meshes" else place
    return next(
        (part for part, starts in PARTS.items() for start in starts if place[: len(start)] == start), ""
    )


MATING = ("mated", "torque")
"""What is not of the gear itself."""


def test_each_part_is_there():
    assert {part_of(place) for place in NUMBERS} == {
        "",
        "teeth",
        "steel",
        "treated",
        "ground",
        "modified",
        "measure",
        *MATING,
    }


@pytest.mark.parametrize("place", NUMBERS, ids=lambda place: ".".join(map(str, place)))
def test_a_result_ages_with_the_inputs_that_its_rule_names(place):
    moved = written(LIFT, place, leaves(LIFT)[place] * 1.01 + 0.01)
    inputs = inputs_moved(LIFT, moved)
    for rule in rules():
        said = why_stale(LIFT, moved, "result", rule.key, inputs=inputs)
        assert bool(said) == (part_of(place) in rule.rests), rule.key
        if said and leaf_of(place).key:
            assert said.startswith(leaf_of(place).label)
    # a characteristic of the drawing alone names nothing: any part takes it away
    assert bool(why_stale(LIFT, moved, "result", "lifting_eye")) == (part_of(place) not in ("", *MATING))


@pytest.mark.parametrize(
    ("name", "value", "ages"),
    [
        ("depth_of_cut_mm", 0.012, True),
        ("shift_mm", 0.02, True),
        ("superfinish_max_mm", 0.005, True),
        ("runout_mm", 0.05, False),
        ("centring_mm", 0.01, False),
        ("indexing_mm", 0.01, False),
    ],
)
def test_what_the_grind_does_ages_a_result_and_what_its_stock_is_reckoned_with_does_not(name, value, ages):
    tram = gear("tram_bogie")
    moved = replace(tram, grinding=replace(tram.grinding, **{name: value}))
    for kind, key in (("result", "surface_temper"), ("case_depth", ""), ("pitch", "")):
        said = why_stale(tram, moved, kind, key)
        assert bool(said) == ages
        assert not ages or said.startswith(leaf_of(("grinding", name)).label)
    assert not why_stale(tram, moved, "result", "chemistry")


def test_an_etch_of_every_gear_makes_another_part_of_it():
    assert "operation etch is changed" in why_stale(
        LIFT, with_edit(key="etch", of_sample=not etched_in_part()), "result", "ground_off.left"
    )
    assert (
        why_stale(LIFT, with_edit(key="etch", of_sample=etched_in_part()), "result", "ground_off.left") == ""
    )


def etched_in_part():
    return route(LIFT.inspection.route, LIFT.inspection.operations).find("etch").of_sample


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
    inputs = inputs_moved(LIFT, moved)
    for key in stale:
        assert "the route changed" in why_stale(LIFT, moved, "result", key, inputs=inputs), key
    for key in holds:
        assert why_stale(LIFT, moved, "result", key, inputs=inputs) == "", key


def test_another_order_is_another_route():
    steps = {step.key: step.number for step in route(LIFT.inspection.route).operations}
    moved = with_edit(key="datums", number=steps["grind"] + 1)
    assert "order of the operations" in why_stale(LIFT, moved, "pitch")
    assert why_stale(LIFT, moved, "result", "chemistry") == ""


RECORDS = {name: gear(name) for name in ("tunnel_fan", "ship_lift", "harvester")}
ROUTED = (("inspection", "route"), ("inspection", "operations"))
KINDS_OF_RULE = {(rule.rests, rule.looks_at): rule for rule in rules()}.values()
"""One rule of each kind: the rest of them differ in nothing that ages."""


def others(place, value):
    """Other values of an input: one step away, and so little that no sheet shows it."""
    if isinstance(value, Enum):
        return [item for item in type(value) if item is not value][:1]
    if isinstance(value, str):
        return ["20MnCr5"] if place[-1] == "grade" else [f"{value} b"]
    return [value + 1] if isinstance(value, int) else [value * 1.01 + 0.01, value * (1 + 1e-7) + 1e-9]


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=() if name == "ship_lift" else pytest.mark.slow) for name in RECORDS]
)
def test_every_input_of_every_demo_gear_takes_away_what_rests_on_it_and_nothing_else(name):
    record, taken = RECORDS[name], set()
    for place, value in leaves(record).items():
        if any(place[: len(start)] == start for start in ROUTED):
            continue
        for other in others(place, value):
            moved = written(record, place, other)
            inputs = inputs_moved(record, moved)
            for rule in KINDS_OF_RULE:
                said = why_stale(record, moved, "result", rule.key, inputs=inputs)
                assert bool(said) == (part_of(place) in rule.rests), (place, rule.key)
                taken |= {part_of(place)} if said else set()
    finished = {"modified"} if record.gear.finish else set()
    finished |= {"measure"} if record.gear.size else set()
    assert taken - {*MATING} == {"teeth", "steel"} | finished | (
        {"treated", "ground"} if record.gear.case else set()
    )


TOUCHES = {
    "steel": {"material"},
    "treated": {"structure", "core"},
    "ground": {"stock", "case", "surface", "dimension"},
    "teeth": set(),
    "masked": set(),
    "modified": {"dimension"},
    "measure": set(),
    "mated": set(),
    "torque": set(),
}
"""What an operation has to touch to make a part anew, written down here once more."""
PROPERTY_SETS = st.one_of(
    st.none(), st.lists(st.sampled_from(PROPERTIES), max_size=3, unique=True).map(tuple)
)
STEPS = {step.key: step for step in route(LIFT.inspection.route, LIFT.inspection.operations).operations}
ROUTE_EDITS = st.builds(
    OperationEdit,
    key=st.sampled_from([*STEPS, "hone"]),
    reason=st.just("tried"),
    leave_out=st.booleans(),
    number=st.one_of(st.none(), st.integers(1, 200)),
    title=st.just("Tried"),
    changes=PROPERTY_SETS,
    spoils=PROPERTY_SETS,
    caution=st.one_of(st.none(), st.just("mind")),
    document=st.one_of(st.none(), st.just("another")),
    temperature_C=st.one_of(st.none(), st.sampled_from([150.0, 200.0])),
    hours=st.one_of(st.none(), st.just(3.0)),
)


def made(steps, wanted):
    """What is done to a property in which order: all of a route that evidence of it can rest on."""
    return [
        (step.key, {*step.changes}, {*step.spoils}, step.temperature_C, step.hours)
        for step in steps
        if wanted & {*step.changes, *step.spoils}
    ]


@settings(max_examples=40, deadline=None)
@given(st.lists(ROUTE_EDITS, max_size=3, unique_by=lambda edit: edit.key))
def test_any_edit_of_the_route_takes_away_what_it_touches_and_nothing_else(edits):
    moved = replace(LIFT, inspection=replace(LIFT.inspection, operations=tuple(edits)))
    before, after = STEPS.values(), route(LIFT.inspection.route, tuple(edits)).operations
    inputs = inputs_moved(LIFT, moved)
    for rule in KINDS_OF_RULE:
        wanted = {rule.looks_at, *(name for part in rule.rests for name in TOUCHES[part])} - {""}
        said = why_stale(LIFT, moved, "result", rule.key, inputs=inputs)
        assert bool(said) == (made(before, wanted) != made(after, wanted)), rule.key
        assert not said or "route changed" in said or "order of the operations changed" in said


MOVES = {
    "teeth": ("profile_shift = 0.40", "profile_shift = 0.41"),
    "steel": ('core_hardness = "34 HRC"', 'core_hardness = "34.5 HRC"'),
    "treated": ('as_treated = ["1.90 mm", "2.40 mm"]', 'as_treated = ["1.91 mm", "2.40 mm"]'),
    "ground": ('left = ["0.15 mm", "0.25 mm"]', 'left = ["0.16 mm", "0.25 mm"]'),
    "": ('torque = "15.2 kN·m"', 'torque = "15.1 kN·m"'),
}


@pytest.mark.parametrize("part", MOVES)
def test_a_revision_leaves_stale_what_rests_on_what_it_moved_and_what_it_serves(tmp_path, part):
    lift = opened(tmp_path)
    before, record = lift.whole.inspected.findings, lift.whole.record
    # what feeds the calculation rests on what its kind rests on, whatever it speaks of
    fed = {item.head.key: RESTS_ON[kind] for kind in RESTS_ON for item in getattr(record, kind)}
    lift.do(adopt_file, edited("ship_lift", MOVES[part]), reason="tried")
    whole = lift.whole
    plan, answers = whole.inspected.plan, {item.key: item.by_evidence for item in whole.requirements}
    for item in plan.characteristics:
        found = whole.inspected.findings[item.key]
        for was, now in zip(before[item.key], found, strict=True):
            rests = fed.get(now.evidence, item.rests)
            assert (was.stale, now.stale) == (False, part in rests), item.key
            assert not now.stale or not now.contradicts
        aged = bool(found) and all(one.stale for one in found)
        assert (whole.inspected.answers[item.key] == "stale") == aged, item.key
        if aged:
            assert {answers[need] for need in item.needs} <= {"stale", "contradicted"}
    assert any(part in item.rests for item in plan.characteristics) == bool(part)


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


OF_GEAR = ["accuracy.single.left", "accuracy.helix.right", "flank.roughness", "root.condition"]
OF_COUPON = ["retained_austenite", "oxidation", "case.as_treated", "case.root", "furnace.chart"]
RERUN = {
    "receipt": ([], [*OF_GEAR, *OF_COUPON, "chemistry", "marking"]),
    "mask": (["mask.coverage", "mask.thickness"], [*OF_GEAR, *OF_COUPON, "stock.left"]),
    "rough": ([*OF_GEAR, "stock.left", "size.tip"], [*OF_COUPON, "chemistry", "size.blank", "mask.coverage"]),
    "harden": ([*OF_GEAR, *OF_COUPON, "hardness.surface", "surface_temper"], ["stock.left", "chemistry"]),
    "temper": ([*OF_COUPON, "hardness.surface", "surface_temper"], [*OF_GEAR, "stock.left", "mask.coverage"]),
    "coupon": (["retained_austenite", "case.root"], [*OF_GEAR, "surface_temper", "furnace.chart"]),
    "grind": ([*OF_GEAR, "surface_temper", "cracks", "ground_off.right"], [*OF_COUPON[:2], "stock.left"]),
    "etch": (["surface_temper", "cracks", "flank.roughness"], [*OF_COUPON[:2], "size.tip", "stock.left"]),
    "bake": (["hardness.surface"], [*OF_GEAR, *OF_COUPON, "surface_temper", "marking"]),
    "particle": (["cracks"], [*OF_COUPON[:2], "size.tip", "stock.left", "marking"]),
    "final": (["marking", "size.tip"], [*OF_COUPON, "surface_temper", "stock.left"]),
}  # fmt: skip
"""What an operation that runs again takes away from the gear and its load, and what it leaves."""
BEYOND_REWORK = ("chemistry", "cleanliness", "hardenability", "mate.released")


@pytest.fixture(scope="module")
def lift(tmp_path_factory):
    return opened(tmp_path_factory.mktemp("rework"))


def taken_away(lift, item, verdict, again=()):
    """The characteristics that lose evidence by a disposition, but for the finding itself."""
    whole = lift.whole
    gone = stale_after(whole, item, verdict, again, 9)
    assert gone[item.finding.evidence]
    return {
        key
        for key, found in whole.inspected.findings.items()
        for one in found
        if one.evidence in gone and one.evidence != item.finding.evidence
    }


def test_rework_takes_away_what_each_operation_does_and_a_range_what_all_of_it_do(lift):
    steps = lift.whole.inspected.plan.route.operations
    for item in due(lift.whole, lift.book):
        alone = {step.key: taken_away(lift, item, Verdict.REWORK, (step,)) for step in steps}
        if "3117" in item.finding.applies_to:
            for key, (stale, holds) in RERUN.items():
                assert set(stale) <= alone[key], key
                assert not alone[key] & set(holds), key
        for at in range(len(steps)):
            for end in range(at, len(steps)):
                found = taken_away(lift, item, Verdict.REWORK, steps[at : end + 1])
                assert found == set().union(*(alone[step.key] for step in steps[at : end + 1]))
                assert not found & {*BEYOND_REWORK}


def test_rework_and_reject_reach_no_other_piece(lift):
    whole = lift.whole
    for item in due(whole, lift.book):
        only_gear = "3117" not in item.finding.applies_to
        every = taken_away(lift, item, Verdict.REWORK, whole.inspected.plan.route.operations)
        rejected = taken_away(lift, item, Verdict.REJECT)
        for key, found in whole.inspected.findings.items():
            of_load = {one.applies_to for one in found} == {"furnace load 3117"}
            assert key not in rejected or not of_load, key
            assert key not in every or not (of_load and only_gear), key
        assert not rejected & {*BEYOND_REWORK}
        assert set(OF_GEAR[1:]) <= rejected  # the first stands in the file of one of the findings


@pytest.mark.parametrize("verdict", [Verdict.ACCEPT, Verdict.CONCESSION])
def test_what_is_accepted_takes_no_evidence_away(lift, verdict):
    for item in due(lift.whole, lift.book):
        assert stale_after(lift.whole, item, verdict, (), 9) == {}
