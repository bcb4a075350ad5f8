"""The chapters of the inspection plan: what they say, that words stay words, and that they come out again."""

import ast
import json
import re
from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.inspection.coverage import HARMLESS
from gearcheck.record.dispositions import due
from gearcheck.record.sealed import joined
from gearcheck.report import inspection
from gearcheck.report.cells import carried, notebook_report
from gearcheck.report.chapters import chapter, chapter_titles
from gearcheck.report.forms import forms
from gearcheck.report.minutes import minutes
from gearcheck.report.tree import tree
from gearcheck.review.callouts import callouts
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review
from tests.report.disposed import EVIL
from tests.report.markup import Markup

CHAPTERS = ("Inspection plan", "Coverage", "Drawing callouts", "Dispositions")


@pytest.fixture(scope="module")
def whole(disposed):
    return disposed["reworked"][0]


@pytest.fixture(scope="module")
def book(disposed):
    return disposed["reworked"][1]


@pytest.fixture(scope="module")
def harvester():
    return review(read_gear_file(scenarios() / "harvester" / "gear.toml"))


def text(section):
    return Markup(section.html).text


def rows(section):
    """The cells of each row of the first table, as text."""
    body = re.search(r"<tbody>(.*?)</tbody>", section.html, re.DOTALL)[1]
    found = re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)
    return [
        [Markup(cell).text.strip() for cell in re.findall(r"<td>(.*?)</td>", row, re.DOTALL)] for row in found
    ]


def test_they_stand_where_a_reader_looks_for_them(whole, book):
    titles = chapter_titles(whole, book)
    places = [titles.index(title) for title in ("Evidence", *CHAPTERS, "Decisions")]
    assert places == sorted(places)
    assert "Dispositions" not in chapter_titles(whole, None)


@pytest.mark.parametrize("title", CHAPTERS)
def test_what_came_from_outside_is_only_text_and_can_be_printed(whole, book, title):
    (section,) = chapter(whole, book, title)
    Markup(section.html).check_harmless()
    assert tree(section.html)
    assert ".." not in text(section).replace("...", "")


def test_words_of_people_are_shown_as_they_were_typed(whole, book):
    assert text(inspection.plan(whole)).count(EVIL) >= 5
    assert text(inspection.dispositions(whole, book)).count(EVIL) >= 4


def test_the_plan_has_a_row_for_each_characteristic_with_the_number_of_the_first_article_report(whole):
    shown, third = rows(inspection.plan(whole)), forms(whole, None, "B")[2].rows
    items = whole.inspected.plan.characteristics
    assert [row[1] for row in shown] == [row[0] for row in third]
    operation = ""
    for row, item, other in zip(shown, items, third, strict=True):
        operation = row[0] or operation
        assert operation == str(item.operation)
        assert row[2].startswith(item.title)
        assert item.method in row[4]
        assert item.sample in row[4]
        assert row[5] == str(whole.inspected.answers[item.key])
        assert row[6] == other[4]  # field 9
    assert [row[0] for row in shown if row[0]] == list(dict.fromkeys(str(item.operation) for item in items))


def test_the_plan_tells_the_route_its_changes_and_where_it_can_hurt(whole, harvester):
    said = text(inspection.plan(whole))
    assert (
        "Accepted by ISO 6336-5; measured values are held against their limits by ISO 14253-1:2017." in said
    )
    assert "Struck, Barkhausen" in said
    for item in whole.inspected.plan.route.operations:
        assert not item.caution or f"{item}: {item.caution}" in said
        assert whole.inspected.plan.at(item) or str(item) in said
    assert "191 °C would temper a case again" in text(inspection.plan(harvester))


def test_an_operation_that_is_left_out_and_evidence_that_nothing_takes_are_told(tmp_path):
    for file in (scenarios() / "ship_lift").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    file = tmp_path / "gear.toml"
    edit = '[[inspection.operation]]\nkey = "coupon"\nleave_out = true\nreason = "Cut elsewhere."\n\n'
    source = file.read_text(encoding="utf-8")
    file.write_text(source.replace("[[inspection.strike]]", f"{edit}[[inspection.strike]]"), encoding="utf-8")
    one = review(read_gear_file(file))
    said = text(inspection.plan(one))
    assert "Left out, coupon: Cut elsewhere." in said
    assert one.inspected.loose
    assert all(loose in said for loose in one.inspected.loose)
    covered = text(inspection.coverage(one))
    assert "What is not covered, not in time, or in the wrong order:" in covered
    assert all(gap.text in covered for gap in one.inspected.gaps)


def test_coverage_names_what_serves_each_requirement(whole, harvester):
    for one in (whole, harvester):
        items = [item for item in one.requirements if item.key in one.inspected.plan.requirements]
        shown = rows(inspection.coverage(one))
        assert [row[0] for row in shown] == [item.title for item in items]
        keys = [item.key for item in one.inspected.plan.characteristics]
        for row, item in zip(shown, items, strict=True):
            numbers = [keys.index(found.key) + 1 for found in one.inspected.plan.serving(item.key)]
            assert row[1] == (", ".join(map(str, numbers)) or "none")
            assert row[2] == str(item.by_evidence)
        wrong = [gap for gap in one.inspected.gaps if gap.kind not in HARMLESS]
        assert bool(wrong) == ("What is not covered" in text(inspection.coverage(one)))
        assert all(gap.text in text(inspection.coverage(one)) for gap in one.inspected.gaps)


def test_dispositions_tell_verdict_reason_what_follows_and_what_waits(disposed):
    opened, conceded, reworked = (disposed[name] for name in ("open", "conceded", "reworked"))
    first = text(inspection.dispositions(*opened))
    assert "Contradictions that wait for a disposition:" in first
    assert all(one.finding.text in first for one in due(*opened))
    one, two = reworked[1].dispositions
    second = text(inspection.dispositions(*conceded))
    assert f"{one.number}, {one.title}" in second
    assert one.finding in second
    assert "Limited to serial number 0007." in second
    last = inspection.dispositions(*reworked)
    assert ("Contradictions that wait" in text(last)) == bool(due(*reworked))
    assert [row[1] for row in rows(last)] == ["concession", "rework"]
    assert f"Runs again: {reworked[0].inspected.plan.route.find('final')}." in text(last)
    assert f"{two.title}, serial number 0007" in rows(last)[1][3].partition("Made stale: ")[2]
    assert "on 10 March 2026 at 09:30 UTC, on revision 1 of the record" in text(last)


def test_the_minutes_tell_each_disposition(whole, book):
    said = text(minutes(whole, book))
    for item in book.dispositions:
        assert f"disposed of a finding: {item.reason}. {item.title}: {item.verdict}." in said


def test_a_record_whose_plan_is_gone_still_tells_its_dispositions(whole, book):
    said = text(inspection.dispositions(replace(whole, inspected=None), book))
    assert "Runs again: final." in said
    assert "Made stale: evidence that this plan no longer has." in said


def test_every_callout_stands_with_what_set_it_and_what_relaxing_it_costs(whole):
    shown, items = rows(inspection.drawing_callouts(whole)), callouts(whole)
    assert len(shown) == len(items) > 10
    for (callout, set_by, relaxed), item in zip(shown, items, strict=True):
        assert all(line in callout for line in (item.title, *item.lines))
        assert all(one.title in set_by for one in item.set_by)
        assert item.if_relaxed in relaxed
        assert all(effect in relaxed for effect in item.effects)


def test_without_a_section_in_the_gear_file_each_chapter_is_one_sentence(whole, book):
    bare, none = replace(whole, inspected=None), replace(book, dispositions=())
    for title in CHAPTERS:
        (section,) = chapter(bare, none, title)
        assert text(section).strip() == (
            "The gear file has no section [inspection]: nothing is planned, so nothing stands here."
        )


def test_all_evidence_is_listed_with_the_gear_file(whole):
    (section,) = chapter(whole, None, "Gear file")
    for name in ("pitch.csv", "traverse.csv", "traverse_tip.csv", "results.csv"):
        assert name in text(section)


def test_a_report_with_dispositions_gives_the_same_pieces_again(whole, book):
    cells = json.loads(notebook_report(whole, book))["cells"]
    source = joined(next(cell for cell in cells if cell["cell_type"] == "code")["source"])
    values = {line.targets[0].id: ast.literal_eval(line.value) for line in ast.parse(source).body}
    again, told = carried(values["GEAR_FILE"], values["EVIDENCE"], values["HISTORY"])
    assert told.dispositions == book.dispositions
    made = [piece.bundle for title in chapter_titles(again, told) for piece in chapter(again, told, title)]
    printed = [output["data"] for cell in cells[2:] for output in cell.get("outputs", ())]
    assert [{name: joined(part) for name, part in data.items()} for data in printed] == made
