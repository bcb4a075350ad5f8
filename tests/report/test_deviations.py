"""The table of measured deviations: every one of them, its limit and verdict, as CSV and XLSX."""

import csv
import io
from dataclasses import replace

import openpyxl
import pytest

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.basics.places import scenarios
from gearcheck.inspection.plan import CharacteristicEdit
from gearcheck.report.deviations import ENDINGS, deviation_form, deviation_table
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review

LIFT = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
WHOLE = review(LIFT, with_settled=False)
FORM = deviation_form(WHOLE)
ROWS = [dict(zip(FORM.headings, row, strict=True)) for row in FORM.rows]


def test_every_deviation_has_its_row():
    """Four of pitch on each flank and the runout; three of each of eight traces of profile and of helix."""
    assert len(ROWS) == 9 + 3 * 8 + 3 * 8
    assert len({tuple(row.values()) for row in ROWS}) == len(ROWS)
    assert {row["Flank"] for row in ROWS} == {"left", "right", ""}


def test_a_verdict_is_that_of_the_finding():
    for finding in (one for item in WHOLE.requirements for one in item.findings):
        if finding.characteristic.startswith("accuracy."):
            of_value = [
                row
                for row in ROWS
                if row["Value in µm"].replace("−", "-") == f"{finding.value:.1f}"
                and row["Most in µm"] == f"{abs(finding.limit):.1f}"
            ]
            said = "conforms" if finding.ok else "does not conform"
            assert of_value and {row["Verdict"] for row in of_value} == {said}, finding.text


def test_the_tooth_that_stands_off_and_the_points_excluded_are_there():
    (wrong,) = [row for row in ROWS if row["Verdict"] == "does not conform"]
    assert (wrong["Deviation"], wrong["Flank"], wrong["Tooth"]) == ("single pitch", "right", "12")
    assert (wrong["Least in µm"], wrong["Most in µm"]) == ("−13.0", "13.0")
    assert (wrong["Class drawn"], wrong["Class reached"]) == ("6", "7")
    dusty = [row for row in ROWS if row["Points excluded"]]
    assert {(row["Tooth"], row["Flank"], row["Points excluded"]) for row in dusty} == {("6", "left", "3")}
    assert any(row["Deviation"] == "sector pitch, k = 2" for row in ROWS)


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_file_holds_the_table_and_is_the_same_every_time(ending):
    data = deviation_table(WHOLE, ending)
    assert data == deviation_table(WHOLE, ending)
    if ending == "csv":
        made = list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))
        assert made[1] == list(FORM.headings) and len(made) == len(ROWS) + 2
        values = [float(row[made[1].index("Value in µm")]) for row in made[2:]]
        assert 14.2 in values and min(values) < 0.0
        return
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Deviations"]
    cells = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert any(row[1] == "helix slope" for row in cells) and len(cells) >= len(ROWS) + 3
    assert any(row[4:8] == [14.2, 1, -13, 13] for row in cells)


def test_without_a_class_values_stand_alone():
    from dataclasses import replace

    record = WHOLE.record
    bare = replace(record, gear=replace(record.gear, accuracy=None))
    rows = deviation_form(review(bare, with_settled=False)).rows
    assert len(rows) == len(ROWS) and {row[10] for row in rows} == {"no limit drawn"}


def test_the_command_line_writes_it_and_says_what_it_needs(tmp_path, capsys):
    from gearcheck.cli import main

    gear = str(scenarios() / "ship_lift" / "gear.toml")
    for ending in ENDINGS:
        file = tmp_path / f"deviations.{ending}"
        assert main(["export", gear, "--to", str(file), "--deviations"]) == 0
        assert file.read_bytes() == deviation_table(WHOLE, ending)
    capsys.readouterr()
    assert main(["export", gear, "--to", str(tmp_path), "--deviations"]) != 0
    assert "a file that ends in .xlsx or .csv" in capsys.readouterr().err


def form_of(record):
    form = deviation_form(review(record, with_settled=False))
    return [dict(zip(form.headings, row, strict=True)) for row in form.rows]


def test_what_the_gear_file_asks_of_a_characteristic_holds_in_the_table_too():
    asked = CharacteristicEdit(key="accuracy.profile.left", reason="drawing, note 4", by="a test", most=5.0)
    inspection = replace(LIFT.inspection, characteristics=(*LIFT.inspection.characteristics, asked))
    found = [
        row
        for row in form_of(replace(LIFT, inspection=inspection))
        if row["Deviation"] == "profile total" and row["Flank"] == "left"
    ]
    assert {row["Most in µm"] for row in found} == {"5.0"}
    assert "does not conform" in {row["Verdict"] for row in found}


def test_a_deviation_without_a_tolerance_in_its_edition_has_no_class():
    drawn = replace(LIFT.gear.accuracy, edition=AccuracyEdition.ISO_1328_1_1995)
    rows = form_of(replace(LIFT, gear=replace(LIFT.gear, accuracy=drawn)))
    found = [row for row in rows if row["Deviation"] == "tooth to tooth"]
    assert {(row["Class reached"], row["Verdict"]) for row in found} == {("", "no limit drawn")}
