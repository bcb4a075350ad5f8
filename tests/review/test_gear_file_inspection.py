"""The inspection sections of a gear file, and the files of results and traverses that it names."""

import pytest

from gearcheck.accuracy.inputs import TraceKind
from gearcheck.inspection.acceptance import Acceptance
from gearcheck.inspection.decide import DecisionRule
from gearcheck.inspection.route import RouteName
from gearcheck.review.file_inspection import RESULT_COLUMNS
from gearcheck.review.gear_file import read_gear_text
from gearcheck.review.inputs import State, StressPlace, StressState, TraversePlace
from gearcheck.review.starter import starter_text
from tests.review.gear_texts import faults_of, line_of, swapped, with_everything, write_pitch
from tests.review.trace_files import write_traces

TRAVERSE = "depth_mm,hardness_HV\n0.1,705\n0.5,690\n1.0,560\n1.2,520\n"
STRESS = "depth_mm,stress_MPa\n0,-420\n0.02,-450\n0.1,-260\n"
SPECIMENS = (
    "specimen,force_kN,cycles,failed,mode,reason\nS01,40,112000,yes,root fracture,\n"
    "S02,36,6000000,no,,run-out life reached\nS07,36,310000,yes,root fracture,\n"
)
ROW = "size.tip,124.95,mm,0.005,,,micrometer 4,2026-03-02,shop,serial number 0001,A"
COLUMNS = ",".join(RESULT_COLUMNS)


@pytest.fixture
def folder(tmp_path):
    write_pitch(tmp_path)
    (tmp_path / "traverse.csv").write_text(TRAVERSE, encoding="utf-8")
    (tmp_path / "residual_stress.csv").write_text(STRESS, encoding="utf-8")
    (tmp_path / "results.csv").write_text(f"{COLUMNS}\n{ROW}\n", encoding="utf-8")
    (tmp_path / "specimens.csv").write_text(SPECIMENS, encoding="utf-8")
    for kind in TraceKind:
        write_traces(tmp_path, kind)
    return tmp_path


def test_everything_that_the_starter_shows_can_be_read(folder):
    record = read_gear_text(with_everything(), folder=folder)
    given = record.inspection
    assert (given.route, given.decision_rule) == (RouteName.INDUSTRIAL, DecisionRule.PROBABLE)
    assert given.acceptance is Acceptance.ISO_6336_5
    (operation,) = given.operations
    assert (operation.key, operation.leave_out, operation.number) == ("etch", False, None)
    (edit,) = given.characteristics
    assert (edit.key, edit.least, edit.most) == ("size.tip", 124.9, 125.0)
    assert [item.key for item in given.strikes] == ["barkhausen"]
    (traverse,) = record.traverse
    assert (traverse.place, traverse.state) == (TraversePlace.PITCH_LINE, State.FINISHED)
    assert traverse.hardness_HV.tolist() == [705, 690, 560, 520]
    (stress,) = record.residual_stress
    assert (stress.place, stress.state, stress.flank) == (
        StressPlace.PITCH_LINE,
        StressState.FINISHED,
        "left",
    )
    assert (stress.technique, stress.is_corrected) == ("X-ray diffraction", True)
    assert stress.depth_mm.tolist() == [0, 0.02, 0.1]
    assert stress.stress_MPa.tolist() == [-420, -450, -260]
    own, filed = record.result
    assert (own.characteristic, own.value, own.head.uncertainty) == ("retained_austenite", 18.0, 3.0)
    assert own.head.document == "report 4711.pdf"
    assert (filed.value, filed.head.uncertainty, filed.head.source) == (124.95, 0.005, "results.csv")
    assert len({item.head.key for item in (*record.result, stress, *record.traverse, *record.pitch)}) == 5


def test_a_section_that_is_left_out_changes_no_digest(folder):
    plain = starter_text()
    start, end = plain.index("[inspection]"), plain.index("# Evidence:")
    without = plain[:start] + plain[end:]
    assert read_gear_text(without, folder=folder).inspection is None
    assert read_gear_text(without, folder=folder).digest != read_gear_text(plain, folder=folder).digest


@pytest.mark.parametrize(
    ("old", "new", "place", "said"),
    [
        ('route = "industrial"', 'route = "marine"', "inspection.route", '"aerospace documents"'),
        (
            'acceptance = "ISO 6336-5"',
            'acceptance = "ISO 6336"',
            "inspection.acceptance",
            'mean "ISO 6336-5"?',
        ),
        ('key = "etch"', 'key = "etching"', "inspection.operation[1]", "number and title"),
        ('least = "124.90 mm"', 'least = "124.90"', "inspection.characteristic[1]", "known here"),
        (
            'characteristic = "barkhausen"',
            'characteristic = "bark"',
            "inspection.strike[1]",
            "characteristic",
        ),
        ('state = "finished"', 'state = "done"', "evidence.traverse[1].state", '"as treated"'),
        ('value = "18 %"', 'value = "18"', "evidence.result[1]", "known here"),
        (
            'value = "18 %"',
            'value = "18 %"\nconforms = true',
            "evidence.result[1]",
            "no verdict beside a number",
        ),
    ],
    ids=lambda value: value if "=" in str(value) else "",
)
def test_a_bad_value_is_said_with_its_place(folder, old, new, place, said):
    text = swapped(with_everything(), old, new)
    found = faults_of(text, folder)
    assert len(found) == 1, found
    assert found[0].startswith(place), found
    assert said in found[0]


def test_results_need_a_route(folder):
    text = with_everything()
    start, end = text.index("[inspection]"), text.index("# Evidence:")
    found = faults_of(text[:start] + text[end:], folder)
    assert len(found) == 2
    assert all("needed: a section [inspection]" in one for one in found)


@pytest.mark.parametrize(
    ("row", "place", "said"),
    [
        (ROW.replace("124.95", "124,95"), "results.csv, line 2", "11 values"),
        (ROW.replace(",mm,0.005,", ",kg,,"), "results.csv, line 2, value", "known here are mm"),
        (ROW.replace("2026-03-02", "2.3.2026"), "results.csv, line 2, date", "2026-03-02"),
        (
            ROW.replace("size.tip", "size.top"),
            "results.csv, line 2, characteristic",
            'did you mean "size.tip"?',
        ),
        (ROW.replace("serial number 0001", "lot 7"), "results.csv, line 2, applies_to", "serial number"),
        (ROW.replace("0.005", "-0.005"), "results.csv, line 2, uncertainty", "0 or more"),
        (ROW.replace("micrometer 4", ""), "results.csv, line 2, instrument", "a text in quotes"),
    ],
)
def test_a_bad_row_is_said_with_its_line(folder, row, place, said):
    (folder / "results.csv").write_text(f"{COLUMNS}\n{row}\n", encoding="utf-8")
    (found,) = faults_of(with_everything(), folder)
    assert found.startswith(place), found
    assert said in found, found


def test_many_rows_of_one_fault_are_counted(folder):
    rows = "\n".join(ROW.replace("2026-03-02", f"{day}.3.2026") for day in range(1, 10))
    (folder / "results.csv").write_text(f"{COLUMNS}\n{rows}\n", encoding="utf-8")
    found = faults_of(with_everything(), folder)
    assert len(found) == 4
    assert "6 more rows of this kind" in found[-1]


def test_a_table_from_a_spreadsheet_program_reads_too(folder):
    text = f"{COLUMNS}\r\n{ROW}\r\n".replace(",", ";")
    (folder / "results.csv").write_bytes(b"\xef\xbb\xbf" + text.encode("utf-8"))
    record = read_gear_text(with_everything(), folder=folder)
    assert record.result[1].value == 124.95
    assert record.result[1].source_text.startswith("\ufeff")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("depth,hardness\n0.1,700\n", "the columns depth_mm,hardness_hv"),
        ("depth_mm,hardness_HV\n0.1,700\n", "at least two depths"),
        ("depth_mm,hardness_HV\n0.1,700\n0.1,690\n", "grow from row to row"),
        ("depth_mm,hardness_HV\n0.1,700\n0.2,7000\n", "up to 1200 HV"),
        ("depth_mm,hardness_HV\n0.1,700\n", "it says 700 HV at 0.1 mm alone"),
        (
            "depth_mm,hardness_HV\n0.1,700\n0.2,61\n0.3,400\n",
            'line 3, hardness_HV: given "61"; needed: the scale',
        ),
        ("depth_mm,hardness_HV\n0.5,60\n0.9,56\n1.1,50\n", "given 50 to 60; needed: the scale"),
        (
            "depth_mm,hardness_HV\n0.5,60\n0.9,56\n1.1,50\n",
            "read as HRC it gives a case depth of 1.03 mm at 550 HV",
        ),
        ("depth_mm,hardness_HV\n0.5,60\n0.9,59\n", "read as HRC it gives no case depth at 550 HV"),
        ("depth_mm,hardness_HRC\n0.1,60\n0.2,19.5\n", "from 20 to 68 HRC, as far as ASTM E140 goes"),
        ("depth_mm,hardness_HRC\n0.1,700\n0.2,60\n", "from 20 to 68 HRC"),
        ("depth_mm,hardness_HV\n0.1,700\n0.2\n", "two values"),
    ],
    ids=[
        "columns",
        "one row",
        "again",
        "too hard",
        "one row still says",
        "one in Rockwell",
        "all in Rockwell",
        "all in Rockwell still say",
        "hard in Rockwell still say",
        "soft for the table",
        "HV in the Rockwell column",
        "a cell missing",
    ],
)
def test_a_bad_traverse_is_said(folder, text, said):
    (folder / "traverse.csv").write_text(text, encoding="utf-8")
    (found,) = faults_of(with_everything(), folder)
    assert found.startswith("traverse.csv")
    assert said in found


def test_a_traverse_in_rockwell_is_converted_by_the_table(folder):
    (folder / "traverse.csv").write_text("depth_mm,hardness_HRC\n0.5,60\n0.9,56\n1.1,50\n", encoding="utf-8")
    (item,) = read_gear_text(with_everything(), folder=folder).traverse
    assert item.hardness_HV.tolist() == [697, 613, 513]  # rows of ASTM E140
    assert item.scale == "HRC"


@pytest.mark.parametrize(
    ("force", "kgf"), [("HV 0.5", 0.5), ("HV1", 1.0), ("0.5 kgf", None), ("HV 20", None), ("HV 0", None)]
)
def test_the_force_is_read_from_its_short_name(folder, force, kgf):
    (folder / "traverse.csv").write_text("depth_mm,hardness_HV\n0.5,700\n0.9,500\n", encoding="utf-8")
    text = swapped(with_everything(), 'test_force = "HV 0.5"', f'test_force = "{force}"')
    if kgf is None:
        (found,) = faults_of(text, folder)
        assert 'the test force as "HV 0.5", from HV 0.01 to HV 10' in found
        return
    (item,) = read_gear_text(text, folder=folder).traverse
    assert item.test_force_kgf == kgf


def test_a_share_is_at_most_a_whole(folder):
    (found,) = faults_of(swapped(with_everything(), 'value = "18 %"', 'value = "182 %"'), folder)
    assert "at most 100 %" in found


def test_a_fault_of_the_gear_file_names_its_line(folder):
    text = swapped(with_everything(), 'value = "18 %"', 'value = "18"')
    (found,) = faults_of(text, folder)
    assert f"line {line_of(text, '[[evidence.result]]')}" in found
