"""The first article report: fields by revision, numbers where numbers are due, and text that stays text."""

import csv
import io
import re
import shutil
import zipfile
from dataclasses import replace

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.report.as9102 import FormRevision, form_fields
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.first_article import first_article_csv, first_article_name, first_article_xlsx
from gearcheck.report.forms import forms
from gearcheck.report.measured import digits_of, results_text
from gearcheck.report.separated import harmless, shown
from gearcheck.requirements.types import Evidence
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review
from tests.checks import cases, holds
from tests.report.disposed import FORMULA as EVIL

STARTS = "=+-@＝＋－＠"
B, C = FormRevision


@pytest.mark.parametrize("check", cases("inspection", "gearcheck.report.as9102:form_fields"), ids=str)
def test_the_fields_are_those_of_the_form(check):
    fields = form_fields(check.inputs["form"], FormRevision(check.inputs["revision"]))
    assert [field.number for field in fields] == list(range(1, len(fields) + 1))
    holds(check, titles=[field.title for field in fields])


@pytest.fixture(scope="module")
def whole(disposed):
    return disposed["conceded"][0]


@pytest.fixture(scope="module")
def book(disposed):
    return disposed["conceded"][1]


@pytest.fixture(scope="module")
def plain():
    """The reviews of the demo gears, as their files stand."""
    return {
        name: review(read_gear_file(scenarios() / name / "gear.toml"))
        for name in ("ship_lift", "harvester", "tunnel_fan")
    }


def form(whole, number, revision=B, book=None):
    return forms(whole, book, revision)[number - 1]


def rows(whole, number, revision=B, book=None):
    found = form(whole, number, revision, book)
    return [dict(zip(found.headings, row, strict=True)) for row in found.rows]


def row_of(whole, key, book=None):
    """The row of Form 3 of a characteristic."""
    place = [item.key for item in whole.inspected.plan.characteristics].index(key)
    return rows(whole, 3, B, book)[place]


# what stands in the forms


def test_every_characteristic_has_one_row_in_the_order_of_the_plan(plain):
    for one in plain.values():
        items, made = one.inspected.plan.characteristics, rows(one, 3)
        assert [row["5. Char. No."] for row in made] == [str(n + 1) for n in range(len(items))]
        for item, row in zip(items, made, strict=True):
            assert row["8. Requirement"].startswith(f"{item.title}: ")
            assert row["6. Reference Location"].startswith(str(item.operation))
            assert item.place in row["6. Reference Location"]


def test_a_number_stands_where_a_number_is_due_and_words_nowhere_instead(plain):
    one = plain["ship_lift"]
    for item, row in zip(one.inspected.plan.characteristics, rows(one, 3), strict=True):
        result, answer = row["9. Results"], one.inspected.answers[item.key]
        unit = "" if item.unit == "1" else item.unit
        if not one.inspected.findings[item.key]:
            assert result == "no result yet"
        elif not item.wants_number:
            assert result.startswith(("conforms: ", "does not conform: "))
        elif answer is Evidence.STALE:
            assert result.startswith("no result that holds; stale: ")
        else:
            assert re.match(rf"−?[0-9.]+\u00a0±\u00a0[0-9.]+\u00a0{re.escape(unit)}(, |$)", result), result
        if item.wants_number:
            assert unit in row["8. Requirement"]
        assert not re.fullmatch(r"(?i)ok|pass|accept(ed)?|conforms", result)


def test_what_is_shown_open_stale_and_contradicted_is_told_apart(plain):
    one = plain["ship_lift"]
    left = row_of(one, "case.left.left")
    assert left["8. Requirement"].endswith("at least 1.60\u00a0mm (drawing)")
    assert left["9. Results"] == "1.55\u00a0±\u00a00.03\u00a0mm, does not conform"
    assert left["11. Nonconformance Number"] == "disposition due"
    assert "0.38\u00a0mm ground off" in left["14. Additional Data / Comments"].replace(" mm", "\u00a0mm")
    assert row_of(one, "retained_austenite")["9. Results"] == "no result yet"
    assert "taken on another revision" in row_of(one, "oxidation")["9. Results"]
    assert row_of(one, "cracks")["9. Results"] == "conforms: no indication"
    answers = list(one.inspected.answers.values())
    for word in (Evidence.SHOWN, Evidence.OPEN, Evidence.STALE, Evidence.CONTRADICTED):
        assert f"{answers.count(word)} {word}" in form(one, 3).remarks[1]
    assert "Struck from the plan: Barkhausen" in " ".join(form(one, 3).remarks)


def test_what_nothing_names_a_limit_for_is_told(plain):
    assert any(line.endswith(": Hardenability.") for line in form(plain["harvester"], 3).remarks)


def test_a_disposition_and_its_concession_are_the_nonconformance_numbers(disposed, whole, book):
    (made,) = book.dispositions
    number = row_of(whole, made.characteristic, book)["11. Nonconformance Number"]
    granted = [item.number for item in book.concessions]
    assert number == "; ".join(
        (f"disposition {made.number}: concession", *(f"concession {one}" for one in granted))
    )
    after, last = disposed["reworked"]
    reworked = last.dispositions[-1]
    row = row_of(after, reworked.characteristic, last)
    assert row["11. Nonconformance Number"] == f"disposition {reworked.number}: rework"
    assert "operation 160 runs again" in row["9. Results"]


def test_several_results_name_what_they_apply_to(plain):
    one = plain["ship_lift"]
    item = one.inspected.plan.find("hardness.surface")
    (first,) = one.inspected.findings[item.key]
    second = replace(first, value=700.0, applies_to="serial number 0008", uncertainty=None)
    found = {**one.inspected.findings, item.key: (first, second)}
    said = results_text(replace(one, inspected=replace(one.inspected, findings=found)), item)
    assert said.endswith("; 700\u00a0HV, no uncertainty stated (serial number 0008)")
    assert f"({first.applies_to}); " in said


@pytest.mark.parametrize(
    ("value", "digits"), [(1.5, 2), (1.6, 2), (1.6 + 1e-15, 2), (1.596, 3), (1.59996, 5), (1.6 - 1e-8, 6)]
)
def test_a_value_is_never_rounded_onto_a_limit_that_it_misses(plain, value, digits):
    one = plain["ship_lift"].inspected
    item = one.plan.find("case.left.left")
    finding = replace(one.findings[item.key][0], value=value)
    assert digits_of(item, (finding,)) == digits


def test_a_case_deeper_than_its_traverse_is_only_a_least_value(tmp_path):
    shutil.copytree(scenarios() / "ship_lift", tmp_path / "gear")
    traverse = tmp_path / "gear" / "traverse.csv"
    lines = traverse.read_text(encoding="utf-8").splitlines()
    kept = [lines[0], *(line for line in lines[1:] if float(line.split(",")[1]) >= 560)]
    traverse.write_text("\n".join(kept) + "\n", encoding="utf-8")
    one = review(read_gear_file(tmp_path / "gear" / "gear.toml"))
    assert "more than 1." in row_of(one, "case.as_treated")["9. Results"]


def test_form_1_says_what_it_rests_on_and_leaves_to_the_signers_what_is_theirs(whole, book):
    said = {row["Field"]: row["Entry"] for row in rows(whole, 1, B, book)}
    assert said["1. Part Number"] == "SL-040"
    assert said["3. Serial Number"] == "0007"
    assert said["7. Drawing Revision Level"] == "E"
    assert said["9. Manufacturing Process Reference"].endswith(f"revision 1 of {book.record}")
    for field in ("4. FAIR Number", "10. Organization Name", "19. Signature (FAI complete / not complete)"):
        assert said[field] == ""
    assert "17. Index: Part Type" in [row["Field"] for row in rows(whole, 1, C, book)]


def test_form_2_lists_the_material_the_special_processes_and_the_tests(plain):
    for name, wanted, without in (
        ("harvester", ("Carburise", "Cold", "Copper", "Shot peen", "Magnetic"), ("Grind", "Hob", "Final")),
        ("ship_lift", ("Quench", "Temper", "Surface temper etch", "Bake"), ("Grind", "Turn", "Final")),
    ):
        made = rows(plain[name], 2)
        titles = [row["5. Material or Process Name"] for row in made]
        assert titles[0].startswith("Material: ")
        assert not [word for word in wanted if not any(title.startswith(word) for title in titles)]
        assert not [word for word in without if any(title.startswith(word) for title in titles)]
        assert all(row["6. Specification Number"] for row in made)
    titles = [row["5. Material or Process Name"] for row in rows(plain["ship_lift"], 2)]
    assert not [title for title in titles if "Barkhausen" in title]  # struck: the maker has no probe
    papers = [row["10. Certificate of Conformance Number"] for row in rows(plain["ship_lift"], 2)]
    assert any(paper.startswith("certificate 88-214") for paper in papers)


def test_the_revisions_differ_in_their_feet(whole):
    assert form(whole, 3, B).foot == ("12. Signature", "13. Date")
    assert form(whole, 2, B).foot == ("14. Signature", "15. Date")
    assert (form(whole, 2, C).foot, form(whole, 3, C).foot) == ((), ())
    assert form(whole, 3, C).headings[-1] == "12. Additional Data / Comments"
    for revision in (B, C):
        assert "check against the document" in form(whole, 1, revision).remarks[0]


# the files


def loaded(data):
    return openpyxl.load_workbook(io.BytesIO(data))


@pytest.mark.parametrize("revision", ["B", "C"])
def test_the_workbook_opens_and_holds_the_forms_as_text(whole, book, revision):
    made = loaded(first_article_xlsx(whole, book, revision))
    assert made.sheetnames == ["Form 1", "Form 2", "Form 3"]
    for sheet, one in zip(made, forms(whole, book, FormRevision(revision)), strict=True):
        cells = [cell for row in sheet.iter_rows() for cell in row if cell.value is not None]
        assert {cell.data_type for cell in cells} == {"s"}
        assert all(cell.quotePrefix and cell.alignment.wrap_text for cell in cells)
        texts = {cell.value for cell in cells}
        assert {shown(text) for row in one.rows for text in row if text} <= texts
        assert {*one.headings, *one.foot, one.title, one.caution} <= texts
        heading = int(sheet.freeze_panes.removeprefix("A")) - 1
        assert sheet.cell(row=heading, column=1).value == one.headings[0]
        assert sheet.print_title_rows == f"${heading}:${heading}"
        assert (sheet.page_setup.orientation, sheet.page_setup.fitToHeight) == ("landscape", False)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert "competent person" in sheet["A2"].value
        widths = [sheet.column_dimensions[cell.column_letter].width for cell in sheet[heading]]
        assert min(widths) >= 10


def test_formulas_stay_text_in_the_workbook(whole, book):
    data = first_article_xlsx(whole, book, "B")
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        sheets = [packed.read(name).decode() for name in packed.namelist() if "worksheets/" in name]
    assert len(sheets) == 3
    assert not [sheet for sheet in sheets if "<f>" in sheet or "<f " in sheet]
    assert EVIL in {cell.value for row in loaded(data)["Form 1"].iter_rows() for cell in row}


@settings(max_examples=25, deadline=None)  # a workbook takes a while on a busy machine
@given(st.text(st.characters(codec="utf-8"), max_size=40), st.sampled_from(["", *STARTS, "#N/A", "_x0041_"]))
def test_any_title_stays_text(plain, text, start):
    one = plain["tunnel_fan"]
    title = f"{start}{text}"
    named = replace(one, record=replace(one.record, part=replace(one.record.part, title=title)))
    cell = loaded(first_article_xlsx(named, None, "B"))["Form 1"]["C5"]
    assert cell.data_type in ("s", "n")  # an empty cell is a number without a value
    assert (cell.value or "").replace("_x005F_", "_") == shown(title).replace("\r", "\n")


def test_the_same_record_gives_the_same_bytes_at_every_time(whole, book, monkeypatch):
    first = first_article_xlsx(whole, book, "B")
    monkeypatch.setattr("time.time", lambda: 2e9)
    assert first_article_xlsx(whole, book, "B") == first
    with zipfile.ZipFile(io.BytesIO(first)) as packed:
        assert {item.date_time for item in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        core = packed.read("docProps/core.xml").decode()
    assert set(re.findall(r"\d{4}-\d\d-\d\d", core)) == {"1980-01-01"}
    assert first_article_csv(whole, book, "C") == first_article_csv(whole, book, "C")


def test_the_table_is_form_3_for_a_spreadsheet_program(whole, book):
    data = first_article_csv(whole, book, "C")
    assert data.startswith(b"\xef\xbb\xbf")
    first, headings, *lines = csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))
    assert all(sentence in first[0] for sentence in CAUTIONS)
    one = form(whole, 3, C, book)
    assert headings == [*(name for name, _ in one.head), *one.headings]
    assert [line[4:] for line in lines] == [[harmless(text) for text in row] for row in one.rows]
    assert {tuple(line[:3]) for line in lines} == {("SL-040", f"'{EVIL}", "'0007")}
    assert not [text for line in lines for text in line if text.lstrip().startswith(tuple(STARTS))]
    assert not [text for line in lines for text in line if "\n" in text or "\r" in text]
    assert any("1.55 ± 0.03 mm" in line[8] for line in lines)
    assert any(line[7].startswith("'@SUM(1+1)") for line in lines)


@given(
    st.text(st.sampled_from(["=", "+", "-", "@", "；", ";", ",", '"', "'", "\t", "\n", " ", "x", "1", "E"]))
)
def test_no_text_runs_wherever_a_program_ends_a_field(text):
    made = harmless(text)
    for part in re.split(r'[;,\t|"]', made):
        assert not part.lstrip().startswith(tuple(STARTS))
    assert made.replace("'", "").split() == text.replace("'", "").split() or "\n" in text or "\t" in text


@pytest.mark.parametrize("text", ["0007", "2026-03-02", "12E5", "1/2", "123456789012345", "3.1"])
def test_no_text_becomes_another_number_or_a_day(text):
    assert harmless(text) == f"'{text}"


@pytest.mark.parametrize("text", ["7", "SL-040", "1.55 ± 0.03 mm", "10 Receive bar", "−2 µm"])
def test_plain_text_stays_as_it_is(text):
    assert harmless(text) == text


def test_a_text_longer_than_a_cell_is_cut_and_says_so():
    assert shown("x" * 40_000).endswith("… (cut off here)")
    assert len(shown("😀" * 40_000).encode("utf-16-le")) // 2 < 32_767


@pytest.mark.parametrize("revision", ["", "A", "b", "Rev B", "D"])
def test_another_revision_is_bad_input(whole, book, revision):
    with pytest.raises(InputError, match="B or C"):
        first_article_xlsx(whole, book, revision)


def test_without_a_plan_there_is_no_report(plain):
    bare = replace(plain["ship_lift"], inspected=None)
    with pytest.raises(InputError, match=r"\[inspection\]"):
        first_article_csv(bare, None, "B")


def test_the_name_of_a_file_says_what_it_is(book):
    assert first_article_name(book, "C", "csv") == "SL-040_E_r1_first-article_C.csv"
