"""What is entered at an inspection becomes a revision; what is wrong with it is said by its key."""

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.events import Person
from gearcheck.record.inspecting import (
    add_characteristic,
    add_residual_stress,
    add_result,
    add_results_file,
    add_traverse,
    strike,
)
from gearcheck.record.keeping import record_of, review_of
from gearcheck.review.file_inspection import RESULT_COLUMNS
from gearcheck.review.whole import outcome
from tests.record.opened import FERN, opened

HEAD = {
    "revision": "E",
    "applies_to": "furnace load 3117, serial number 0007",
    "by": "laboratory, N. Farrow",
    "date": "2026-03-06",
    "instrument": "microhardness tester 2",
}
SOFT = "0.1 705\n0.5;690\n1.0\t620\n\n1.4, 560\n1.6 520\n2 440\n5 380"


@pytest.fixture
def lift(tmp_path):
    return opened(tmp_path)


def faults(error):
    return {fault.field: str(fault) for fault in error.value.faults}


def test_a_traverse_typed_in_contradicts_and_changes_the_outcome(lift):
    before = outcome(lift.whole)
    flank = {"place": "pitch line", "flank": "right", "state": "finished", "uncertainty": "0.04 mm"}
    lift.do(add_traverse, values=HEAD | flank, points=SOFT)
    assert "2 are contradicted" in before
    assert "3 are contradicted" in outcome(lift.whole)
    item = lift.requirement("case.left.right")
    (wrong,) = [one for one in item.findings if one.contradicts]
    # between 560 HV at 1.4 mm and 520 HV at 1.6 mm, 550 HV lies a quarter of the way down
    assert wrong.value == pytest.approx(1.45)
    assert lift.book.revision.source == "inspection"
    assert lift.book.revision.files["traverse_1.csv"]
    assert any(one["key"] == "case.left.right" for one in lift.book.revision.moved)


def test_the_gear_file_keeps_its_words_and_gets_the_entry_at_its_end(lift):
    text = record_of(lift.workspace, lift.book).source_text
    lift.do(add_result, values=HEAD | {"characteristic": "size.tip", "value": "219.62 mm"})
    after = record_of(lift.workspace, lift.book).source_text
    assert after.startswith(text.rstrip())
    assert '[[evidence.result]]\nrevision = "E"' in after
    assert after.count("date = 2026-03-06") == 1


def test_a_table_of_results_comes_in_as_a_file(lift):
    row = "size.tip,219.63,mm,0.006,,,micrometer 41,2026-03-06,R. Osk,serial number 0008,E"
    lift.do(add_results_file, text=f"{','.join(RESULT_COLUMNS)}\n{row}\n")
    assert "results_1.csv" in lift.book.revision.files
    found = lift.whole.inspected.findings["size.tip"]
    assert [one.applies_to for one in found] == ["serial number 0007", "serial number 0008"]


@pytest.mark.parametrize(
    ("values", "wrong"),
    [
        ({"characteristic": "size.tip", "value": "219.62"}, {"value": "has no unit"}),
        ({"characteristic": "size.tip", "value": "0.2 kg"}, {"value": "known here are mm"}),
        ({"characteristic": "size.tip", "value": "219,62 mm"}, {"value": "decimal point"}),
        ({"characteristic": "size.tip", "found": "fine"}, {"value": "words are no number"}),
        ({"characteristic": "size.tipp", "value": "1 mm"}, {"characteristic": 'did you mean "size.tip"?'}),
        ({"characteristic": "cracks", "value": "0 mm"}, {"found": "conforms"}),
        ({"characteristic": "cracks", "found": "none"}, {"found": "conforms"}),
        ({"characteristic": "cracks", "found": "none", "conforms": "perhaps"}, {"conforms": "true or false"}),
        (
            {"characteristic": "size.tip", "value": "219.62 mm", "applies_to": "lot 4", "date": "6.3.2026"},
            {"applies_to": "serial number", "date": "2026-03-02"},
        ),
        (
            {"characteristic": "size.tip", "value": "219.62 mm", "uncertainty": "-0.1 mm"},
            {"uncertainty": "0 or more"},
        ),
        ({"characteristic": "size.tip", "value": "219.62 mm", "by": " "}, {"by": "missing"}),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, dict) else str(value),
)
def test_what_is_wrong_is_said_by_its_key_and_nothing_is_written(lift, values, wrong):
    last = lift.book.last
    with pytest.raises(InputError) as error:
        lift.do(add_result, values=HEAD | values)
    found = faults(error)
    if "date" not in wrong:  # a section with a fault of its own is not held against the others yet
        assert set(found) == set(wrong)
    for key in set(wrong) & set(found):
        assert wrong[key] in found[key], found
    assert lift.workspace.last(lift.book.record) == last


def test_a_typed_traverse_in_rockwell_keeps_force_and_zigzag(lift):
    values = HEAD | {
        "place": "root",
        "state": "as treated",
        "test_force": "HV 0.5",
        "sideways_offset": "0.2 mm",
    }
    lift.do(add_traverse, values=values, points="0.5 60\n0.9 56\n1.1 50", scale="HRC")
    item = record_of(lift.workspace, lift.book).traverse[-1]
    assert item.hardness_HV.tolist() == [697, 613, 513]
    assert (item.scale, item.test_force_kgf, item.sideways_offset_mm) == ("HRC", 0.5, 0.2)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ("", "at least two depths"),
        ("0.1 700", "at least two depths"),
        ("0.1 700 3\n0.2 690", "depth in mm and a hardness on each line"),
        ("0.2 700\n0.1 690", "grow from row to row"),
        ("0.1 seven\n0.2 690", "up to 1200 HV"),
        ("0.1 700\n" * 3000, "at most 2000 lines"),
    ],
    ids=["nothing", "one", "three numbers", "falling", "a word", "too many"],
)
def test_points_that_are_no_traverse_are_refused(lift, points, said):
    values = HEAD | {"place": "root", "state": "as treated"}
    with pytest.raises(InputError) as error:
        lift.do(add_traverse, values=values, points=points)
    assert said in str(error.value)


STRESS = {"place": "pitch line", "flank": "left", "state": "finished", "technique": "X-ray diffraction"}


def test_a_residual_stress_typed_in_finds_its_characteristic(lift):
    assert lift.whole.inspected.plan.find("residual_stress.left") is None
    values = HEAD | STRESS | {"layer_removal_corrected": "yes", "uncertainty": "30 MPa"}
    lift.do(add_residual_stress, values=values, points="0 \u2212420\n0.05;-300\n0.1\t-250")
    (item,) = record_of(lift.workspace, lift.book).residual_stress
    assert item.stress_MPa.tolist() == [-420, -300, -250]
    assert item.is_corrected is True
    assert any("measured residual stress" in one for one in lift.book.revision.changes)
    assert lift.book.revision.files["residual_stress_1.csv"]
    (found,) = lift.whole.inspected.findings["residual_stress.left"]
    assert found.ok


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ("0 -420", "at least two depths"),
        ("0 -420\n0,05 -300", "depth in mm and a stress in MPa on each line, with decimal points"),
        ("0 -420\n0.05 -300000", "line 2, stress_MPa"),
    ],
)
def test_points_that_are_no_residual_stress_are_refused(lift, points, said):
    with pytest.raises(InputError) as error:
        lift.do(add_residual_stress, values=HEAD | STRESS, points=points)
    assert said in str(error.value)


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"place": "pitch line", "state": "finished"}, "flank"),
        ({"place": "root", "state": "finished", "flank": "left"}, "flank"),
        (
            {"place": "pitch line", "state": "finished", "flank": "left", "stock_removed": "0.1 mm"},
            "stock_removed",
        ),
        ({"place": "tip", "state": "finished", "applies_to": "somewhere"}, "applies_to"),
    ],
    ids=["no flank", "a flank too many", "stock of a finished tooth", "no scope"],
)
def test_a_traverse_says_where_it_was_taken(lift, values, field):
    with pytest.raises(InputError) as error:
        lift.do(add_traverse, values=HEAD | values, points=SOFT)
    assert field in faults(error)


def test_a_characteristic_of_the_drawing_is_added_and_struck_again(lift):
    values = {
        "key": "balance",
        "title": "Residual unbalance",
        "operation": "final",
        "unit": "g·mm",
        "most": "400 g·mm",
        "method": "balancing machine",
        "sample": "every gear",
        "reason": "drawing, note 12",
    }
    lift.do(add_characteristic, values=values, by=Person(name="H. Lorne", role="design"))
    item = lift.whole.inspected.plan.find("balance")
    assert (item.limit.most, item.needs, item.edit.by) == (400.0, ("inspection.drawing",), "H. Lorne, design")
    lift.do(
        add_result, values=HEAD | {"characteristic": "balance", "value": "380 g·mm", "uncertainty": "30 g·mm"}
    )
    assert lift.whole.inspected.answers["balance"] == "open"  # within its uncertainty of the limit
    lift.do(strike, characteristic="balance", reason="the assembly is balanced")
    assert lift.whole.inspected.plan.find("balance") is None
    assert any("balance" in one for one in lift.whole.inspected.loose)
    assert "Residual unbalance" in [one.title for one in lift.whole.inspected.plan.struck]


def test_a_need_whose_last_characteristic_is_struck_is_open_and_reported(lift):
    lift.do(strike, characteristic="marking", reason="too small for letters")
    item = lift.requirement("inspection.traced")
    assert (item.by_evidence, item.kind_of_evidence) == ("open", "a characteristic in the plan")
    covered = lift.requirement("inspection.covered")
    assert covered.by_calculation == "fails"
    assert "Marking was struck by A. Fern, design: too small for letters" in covered.native


def test_an_unknown_characteristic_cannot_be_struck(lift):
    with pytest.raises(InputError) as error:
        lift.do(strike, characteristic="markings", reason="too small")
    assert 'did you mean "marking"?' in str(error.value)


def test_nobody_enters_anything_without_a_name(lift):
    for step, given in (
        (add_result, {"values": HEAD}),
        (add_traverse, {"values": HEAD, "points": SOFT}),
        (strike, {"characteristic": "marking", "reason": "x"}),
    ):
        with pytest.raises(InputError) as error:
            lift.do(step, by=Person(name=""), **given)
        assert "written by" in faults(error)


def test_what_was_entered_comes_back_from_the_workspace(lift):
    lift.do(add_traverse, values=HEAD | {"place": "tip", "state": "as treated"}, points=SOFT)
    lift.do(add_traverse, values=HEAD | {"place": "root", "state": "as treated"}, points=SOFT)
    names = set(lift.book.revision.files)
    assert {"traverse_1.csv", "traverse_2.csv"} <= names
    again = review_of(lift.workspace, lift.workspace.book(lift.book.record))
    assert [item.by_evidence for item in again.requirements] == [
        item.by_evidence for item in lift.whole.requirements
    ]
    assert FERN.name in str(lift.book.revision.by)
