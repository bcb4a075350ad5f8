"""Evidence against the plan: nothing reads shown that no evidence shows, whoever changed the plan."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.inspection.acceptance import Acceptance
from gearcheck.inspection.coverage import GapKind
from gearcheck.inspection.plan import CharacteristicEdit, Strike
from gearcheck.inspection.route import OperationEdit
from gearcheck.materials.inputs import Quality
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import State, TraversePlace
from gearcheck.review.whole import review

LIFT = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
FULL = [0.1, 1.0, 2.0, 3.0, 4.0, 8.0]
NARROW = [0.1, 1.0, 1.9, 2.1, 2.3, 6.0]


def with_traverse(place, depth_mm, hardness_HV, **values):
    """The ship lift with one traverse, of the place named, and no case measured otherwise."""
    item = next(one for one in LIFT.traverse if one.place == place)
    points = {"depth_mm": np.array(depth_mm), "hardness_HV": np.array(hardness_HV, dtype=float)}
    return replace(LIFT, traverse=(replace(item, **points, **values),), case_depth=())


def with_edit(record=LIFT, **values):
    edit = CharacteristicEdit(reason="the shop asked", by="A. Fern", **values)
    others = tuple(one for one in record.inspection.characteristics if one.key != edit.key)
    return replace(record, inspection=replace(record.inspection, characteristics=(*others, edit)))


def with_result(key, value, record=LIFT):
    """The record with this result of a characteristic alone."""
    first = next(one for one in LIFT.result if one.value is not None)
    item = replace(
        first, characteristic=key, value=value, head=replace(first.head, key=key, uncertainty=None)
    )
    others = tuple(one for one in record.result if one.characteristic != key)
    return replace(record, result=(*others, item))


def answers(record):
    whole = review(record, with_settled=False)
    return {**whole.inspected.answers, **{item.key: item.by_evidence for item in whole.requirements}}


def gaps(record):
    return review(record, with_settled=False).inspected.gaps


@pytest.mark.parametrize(
    ("place", "depth_mm", "hardness_HV", "key", "answer"),
    [
        # asked: 1.90 to 2.40 mm on the flank, at most 2.97 mm at the tip, at least 1.00 mm at the root
        ("pitch line", NARROW, [700, 690, 600, 540, 470, 390], "case.as_treated", "shown"),
        ("pitch line", FULL, [700, 690, 560, 400, 390, 380], "case.as_treated", "open"),  # 1 mm is a gap
        ("pitch line", [0.1, 2.0], [700, 600], "case.as_treated", "open"),  # as deep as that, or deeper
        ("pitch line", [0.1, 1.0], [700, 650], "case.as_treated", "open"),  # too short to say it is too thin
        ("pitch line", [0.1, 3.0], [700, 650], "case.as_treated", "contradicted"),  # deeper than 2.40 mm
        ("pitch line", FULL, [540, 690, 560, 400, 390, 380], "case.as_treated", "contradicted"),
        ("tip", [0.1, 2.0], [700, 600], "case.tip", "open"),
        ("tip", [0.1, 3.2], [700, 600], "case.tip", "contradicted"),
        ("tip", FULL, [540, 690, 560, 400, 390, 380], "case.tip", "open"),  # no depth can be read
        ("root", [0.1, 1.5], [700, 600], "case.root", "shown"),  # at least 1.5 mm
        ("root", [0.1, 0.8], [700, 600], "case.root", "open"),
        ("root", FULL, [540, 500, 480, 400, 390, 380], "case.root", "contradicted"),
    ],
)
def test_a_traverse_that_does_not_cross_says_only_what_it_reaches(place, depth_mm, hardness_HV, key, answer):
    assert answers(with_traverse(place, depth_mm, hardness_HV))[key] == answer


def test_a_finished_traverse_that_ends_in_the_case_shows_the_least_and_leaves_the_largest_open():
    short = with_traverse("pitch line", [0.1, 1.8], [700, 600], state=State.FINISHED)
    found = review(short, with_settled=False).inspected.answers
    assert (found["case.left.right"], found["case.most.right"]) == ("shown", "open")
    (one,) = review(short, with_settled=False).inspected.findings["case.most.right"]
    assert one.undecided == "known from one side only"
    assert "within it of the limit" not in one.text


def test_what_a_traverse_warns_of_is_said_with_the_depth():
    twice = with_traverse("root", FULL, [700, 500, 640, 560, 400, 380])
    (one,) = review(twice, with_settled=False).inspected.findings["case.root"]
    assert "harder again below" in one.text
    assert LIFT.traverse[-1].place is TraversePlace.ROOT
    assert not any("harder again" in one.text for one in review(LIFT).inspected.findings["case.root"])


def test_an_edit_of_one_end_keeps_the_other():
    drawn = review(LIFT, with_settled=False).inspected.plan.find("hardness.surface").limit
    tighter = with_edit(key="hardness.surface", least=drawn.least + 3)
    limit = review(tighter, with_settled=False).inspected.plan.find("hardness.surface").limit
    assert (limit.least, limit.most) == (drawn.least + 3, drawn.most)
    assert answers(with_result("hardness.surface", 830.0, tighter))["hardness.surface"] == "contradicted"


def test_a_limit_that_the_gear_file_tightens_holds_for_all_evidence():
    found = answers(with_edit(key="hardness.surface", least=740.0))  # 712 HV measured, 697 HV drawn
    assert found["hardness.surface"] == found["stress.flank.drum.gear"] == "contradicted"
    assert answers(with_edit(key="accuracy.runout", most=1.0))["accuracy.runout"] == "contradicted"
    whole = review(with_edit(key="case.left.right", least=1.90), with_settled=False)
    (one,) = whole.inspected.findings["case.left.right"]
    assert "at least 1.90\xa0mm asked by the gear file" in one.text
    assert one.contradicts
    needed = next(item for item in whole.requirements if item.key == "case.needed.drum")
    assert needed.by_evidence == "shown"  # what the limit was drawn for is still there


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        ({"key": "oxidation", "most": 500.0}, "at most 500 µm in the gear file, where 38 µm is asked"),
        ({"key": "hardness.surface", "least": 600.0}, "at least 600 HV in the gear file, where 697 HV"),
        ({"key": "accuracy.single.right", "most": 15.0}, "where 13 µm is asked (class 6 of"),
    ],
)
def test_a_limit_wider_than_asked_is_told_and_holds_the_plan_up(edit, said):
    wider = with_edit(**edit)
    (found,) = [gap for gap in gaps(wider) if gap.kind is GapKind.WIDER]
    assert said in found.text
    assert "the shop asked (A. Fern)" in found.text
    covered = {item.key: item.by_calculation for item in review(wider).requirements}["inspection.covered"]
    assert covered == "fails"


def test_other_words_are_told_and_a_tighter_limit_is_not():
    told = gaps(with_edit(key="cracks", accept="short ones"))
    (found,) = [one for one in told if one.about == "cracks" and one.kind is not GapKind.NOT_SEEN]
    assert found.kind is GapKind.OTHER_WORDS
    assert 'by "short ones" instead of "no crack anywhere' in found.text
    assert not [one for one in gaps(with_edit(key="oxidation", most=10.0)) if one.about == "oxidation"]


def with_drawn_case(least):
    case = replace(LIFT.gear.case, finished_min_mm=least)
    return replace(LIFT, gear=replace(LIFT.gear, case=case), case_depth=(), traverse=())


def test_a_result_of_the_case_left_is_held_against_the_need_too():
    record = with_result("case.left.left", 1.05, with_drawn_case(1.0))
    found = answers(with_result("case.left.right", 1.7, record))
    assert found["case.needed.drum"] == "contradicted"  # 1.15 mm are needed
    whole = review(record, with_settled=False)
    assert whole.inspected.answers["case.left.left"] == "shown"


def strike(record, key):
    one = Strike(key=key, reason="no time", by="A. Fern")
    return replace(record, inspection=replace(record.inspection, strikes=(one,)))


def test_nothing_struck_or_left_out_hides_what_contradicts():
    rough = with_result("flank.roughness", 9.0)
    assert answers(rough)["stress.flank.drum.gear"] == "contradicted"
    struck = strike(rough, "flank.roughness")
    assert answers(struck)["stress.flank.drum.gear"] == "contradicted"
    assert [gap.about for gap in gaps(struck) if gap.kind is GapKind.STAYS] == ["flank.roughness"]
    assert review(strike(LIFT, "flank.roughness")).inspected.plan.find("flank.roughness") is None
    assert answers(strike(LIFT, "accuracy.single.right"))["accuracy.single.right"] == "contradicted"
    without = OperationEdit(key="coupon", reason="none cut", leave_out=True)
    soft = with_result("case.root", 0.2, replace(LIFT, traverse=()))
    bare = replace(soft, inspection=replace(soft.inspection, operations=(without,)))
    assert answers(bare)["stress.root.drum.gear"] == "contradicted"
    assert [gap.about for gap in gaps(bare) if gap.kind is GapKind.NO_PLACE] == ["case.root"]


def test_words_beside_a_number_are_said():
    first = with_result("surface_temper", 3.0)
    items = tuple(
        replace(one, found="class D on tooth 4") if one.characteristic == "surface_temper" else one
        for one in first.result
    )
    (one,) = review(replace(first, result=items)).inspected.findings["surface_temper"]
    assert "measured (class D on tooth 4)," in one.text


def test_what_the_acceptance_document_limits_is_inspected_though_the_quality_asks_nothing():
    steel = replace(LIFT.gear.steel, quality=Quality.ML)
    plain = replace(LIFT, gear=replace(LIFT.gear, steel=steel))
    assert "quality.retained_austenite" not in answers(plain)
    given = replace(plain.inspection, acceptance=Acceptance.AMS_2759_7_CLASS_1)
    record = with_result("retained_austenite", 15.0, replace(plain, inspection=given))
    assert answers(record)["quality.retained_austenite"] == "contradicted"  # at most 10 % by AMS 2759/7


def test_a_case_that_no_operation_makes_is_told():
    without = OperationEdit(key="carburise", reason="bought hardened", leave_out=True)
    record = replace(LIFT, inspection=replace(LIFT.inspection, operations=(without,)))
    found = {item.key: item for item in review(record, with_settled=False).requirements}
    assert found["process.furnace"].by_calculation == "fails"
    assert found["inspection.order"].by_calculation == "fails"


@pytest.mark.parametrize(
    ("value", "nearer"), [(0.10, 0.15), (0.16, 0.15), (0.18, 0.15), (0.245, 0.25), (0.26, 0.25)]
)
def test_of_two_limits_the_one_that_is_passed_or_near_is_said(value, nearer):
    record = with_edit(key="ground_off.right", least=0.15, most=0.25)
    unsure = with_result("ground_off.right", value, record)
    items = tuple(
        replace(one, head=replace(one.head, uncertainty=0.01)) if one.value == value else one
        for one in unsure.result
    )
    (found,) = review(replace(unsure, result=items)).inspected.findings["ground_off.right"]
    assert found.limit == nearer


def test_a_number_without_a_limit_is_said_as_such():
    edit = {"key": "balance", "title": "Unbalance", "operation": "final", "unit": "g"}
    (one,) = review(with_result("balance", 3.0, with_edit(**edit))).inspected.findings["balance"]
    assert one.within
    assert "3.000\xa0g measured, and no limit is named to hold it against" in one.text


def test_a_part_that_is_named_and_not_inspected_is_told():
    assert not [gap for gap in gaps(LIFT) if gap.kind is GapKind.OTHER_PIECE]
    first = next(one for one in LIFT.result if one.characteristic == "flank.roughness")
    sister = replace(first.head, key="8", applies_to="furnace load 3118, serial number 0008")
    found = gaps(replace(LIFT, result=(*LIFT.result, replace(first, head=sister))))
    told = {gap.about: gap.text for gap in found if gap.kind is GapKind.OTHER_PIECE}
    assert told["cracks"] == "Cracks: every gear, and nothing is entered for serial number 0008."
    assert told["carbides"].endswith("each load, and nothing is entered for furnace load 3118.")
    assert "flank.roughness" not in told  # a sample
    assert "retained_austenite" not in told  # nothing is there at all: it is open
    old = replace(sister, stale="reworked")
    assert not [one for one in gaps(replace(LIFT, result=(*LIFT.result, replace(first, head=old))))
                if one.kind is GapKind.OTHER_PIECE]  # fmt: skip
