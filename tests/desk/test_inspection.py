"""The inspection sheet without a browser: what each panel writes, takes in, and says of what is wrong."""

import re
import shutil

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk import record_sheet
from gearcheck.desk.inspection import NO_PLAN, OpenInspection, RefusedInspection, open_inspection
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels import coverage, dispositions, measuring, plan_edits, route_line
from gearcheck.desk.panels.callouts import Callouts
from gearcheck.desk.panels.first_article import FirstArticle
from gearcheck.desk.panels.piece import Folds
from gearcheck.inspection.coverage import GapKind
from gearcheck.record import inspecting
from gearcheck.record.events import Person
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.requirements.types import Evidence
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import outcome

EVIL = '<img src=x onerror="alert(1)">\'&'
QUALITY = Person(name="M. Teal", role="quality")
HEAD = {"instrument": "tester 1", "date": "2026-03-06", "by": "N. Farrow", "applies_to": "serial number 0007"}
SOFT = "0.10 705\n0.50 640\n0.90 560\n1.20 530\n1.60 440"
LEFT = "case.left.left"


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A workspace with the record of the demo gear that has the evidence of a whole release."""
    file = tmp_path_factory.mktemp("inspection") / "workspace.sqlite"
    gear = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    return file, open_record(Workspace(file), gear, by=QUALITY).record


@pytest.fixture
def kept(opened, tmp_path):
    file, record = opened
    workspace = Workspace(shutil.copy(file, tmp_path / "workspace.sqlite"))
    return Kept(workspace, workspace.book(record), QUALITY)


@pytest.fixture
def sheet(kept):
    return OpenInspection(kept, f"record={kept.book.record}")


class AllOpen(Folds):
    def fold(self, key, summary, body):
        self.opened.add(key)
        return super().fold(key, summary, body)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def row(html, key):
    """The row of one characteristic in the route."""
    return html.partition(f'id="char-{key}"')[2].partition('<div class="gc-row')[0]


def answer_to(kept, key):
    return next(item.by_evidence for item in kept.whole().requirements if item.key == key)


# the route


def test_every_operation_stands_on_the_line_in_its_order(sheet):
    html = sheet._line.html
    numbers = [int(number) for number in re.findall(r'class="gc-number">(\d+)<', html)]
    assert numbers == [item.number for item in sheet.found.plan.route.operations]
    assert html.count('class="gc-row gc-char"') == len(sheet.found.plan.characteristics)
    assert "Grinding wheels burst" in html
    assert "Changes case, structure, hardness. Can spoil mask, dimension." in html
    assert "3 contradicted, 1 stale, 1 open" in words(sheet._lead())


def test_a_row_says_what_is_asked_what_was_found_and_how(sheet):
    said = words(row(sheet._line.html, "hardness.core"))
    assert said.startswith('data-key="hardness.core"> shown Core hardness at least 336 HV 363 ± 8 HV')
    assert "each load" in said
    assert "ISO 6507-1" in said
    assert "furnace load 3117; laboratory, N. Farrow, 2026-02-26" in said
    tip = words(row(sheet._line.html, "size.tip"))
    assert "219.600 to 219.700 mm" in tip
    assert "219.650 ± 0.006 mm" in tip
    assert "no crack anywhere" in words(row(sheet._line.html, "cracks"))
    assert "conforms" in words(row(sheet._line.html, "cracks"))


def test_a_troubled_row_can_be_jumped_to(sheet):
    html = sheet._line.html
    jumps = re.findall(r'id="char-([a-z_.]+)" data-key="[a-z_.]+" data-trouble', html)
    wrong = [key for key, word in sheet.found.answers.items() if word in route_line.TROUBLED]
    assert sorted(jumps) == sorted(wrong)
    assert LEFT in jumps


def test_an_opened_characteristic_says_all_of_it(sheet):
    sheet._act(f"open:{LEFT}")
    html = row(sheet._line.html, LEFT)
    place = [item.key for item in sheet.requirements].index(LEFT)
    assert f'href="review.ipynb#need-{place}"' in html
    said = words(html)
    assert "from 110 Grind the teeth on" in said
    assert "110 Grind the teeth is the last that can still change or spoil it" in said
    assert "burnt skin only by a traverse" in said
    assert "1.55 mm left where 1.60 mm is specified" in said
    assert "microhardness tester 2, proof tooth beside the gear" in said
    assert f'data-form="traverse:{LEFT}"' in html
    assert f'value="{sheet.kept.workspace.today}"' in html
    assert 'value="M. Teal"' in html


def test_of_several_findings_the_one_that_decides_is_shown(sheet):
    take = {**HEAD, "value": "1.80", "uncertainty": "0.03"}
    sheet._measure(f"result:{LEFT}", take)
    said = words(row(sheet._line.html, LEFT))
    assert "1.55 ± 0.03 mm one of 2 results" in said


def test_what_lies_within_its_uncertainty_is_said_to(sheet):
    sheet._measure("result:retained_austenite", {**HEAD, "value": "24.5", "uncertainty": "3"})
    said = words(row(sheet._line.html, "retained_austenite"))
    assert "open Retained austenite" in said
    assert "within its uncertainty" in said


# evidence


def test_a_contradicting_traverse_changes_the_outcome_and_opens_a_disposition(sheet):
    kept = sheet.kept
    before, last = outcome(kept.whole()), kept.book.revision.revision
    assert "3 contradictions wait" in sheet._outcome()
    given = {**HEAD, "points": SOFT, "place": "pitch line", "flank": "right", "state": "finished"}
    sheet._measure("traverse:case.left.right", {**given, "stock_removed": "", "uncertainty": "0.03"})
    assert kept.book.revision.revision == last + 1
    assert kept.book.revision.source == "inspection"
    assert outcome(kept.whole()) != before
    assert "4 are contradicted" in outcome(kept.whole())
    assert "4 contradictions wait" in sheet._outcome()
    assert answer_to(kept, "case.left.right") is Evidence.CONTRADICTED
    assert "Case left after grinding, right flank: disposition due" in dispositions.dispositions_html(
        kept, {}
    )


def test_the_next_form_begins_as_the_last_one_ended(sheet):
    sheet._measure("result:hardness.core", {**HEAD, "value": "370 HV", "uncertainty": ""})
    sheet._act("open:carbides")
    html = row(sheet._line.html, "carbides")
    assert 'value="tester 1"' in html
    assert 'value="serial number 0007"' in html
    assert 'value="2026-03-06"' in html


def test_what_is_found_in_words_says_whether_it_conforms(sheet):
    with pytest.raises(InputError, match="found"):
        sheet._measure("result:carbides", {**HEAD, "found": "a network at the tip", "conforms": ""})
    sheet._measure("result:carbides", {**HEAD, "found": f"a network {EVIL}", "conforms": "no"})
    assert answer_to(sheet.kept, "quality.carbides") is Evidence.CONTRADICTED
    sheet._act("open:carbides")
    assert "does not conform" in row(sheet._line.html, "carbides")
    assert "<img" not in sheet._line.html
    assert "<img" not in dispositions.dispositions_html(sheet.kept, {})


@pytest.mark.parametrize(
    ("key", "values", "named"),
    [
        ("result:hardness.core", {"value": "hard", "uncertainty": ""}, "value: given .hard"),
        ("result:hardness.core", {"value": "", "uncertainty": ""}, "value: missing"),
        ("result:hardness.core", {"value": "370", "instrument": ""}, "instrument: missing"),
        ("result:hardness.core", {"value": "370", "date": "yesterday"}, "date: given .yesterday"),
        ("result:hardness.core", {"value": "370", "applies_to": "this one"}, "applies_to: given .this one"),
        ("traverse:case.root", {"points": "0.1 705 3", "place": "root", "state": "as treated"}, "points"),
        ("traverse:case.root", {"points": SOFT + "\n1.60 430", "place": "root"}, "line 6, depth_mm: given"),
    ],
)
def test_what_cannot_be_taken_is_named_and_nothing_is_written(kept, key, values, named):
    before = kept.book.last
    with pytest.raises(InputError, match=named):
        measuring.take(kept, key, {**HEAD, **values})
    assert kept.book.last == before


def test_a_residual_stress_is_asked_for_by_name_and_then_taken_in(kept):
    asked = {"key": "residual_stress.right", "reason": "the wheel is new"}
    kept.do(inspecting.add_characteristic, values=asked)
    item = kept.whole().inspected.plan.find("residual_stress.right")
    html = measuring.entry_html(item, {}, AllOpen())
    assert 'data-form="stress:residual_stress.right"' in html
    assert 'data-form="result:residual_stress.right"' in html
    given = {**HEAD, "place": "pitch line", "flank": "right", "state": "finished", "uncertainty": "30"}
    given |= {"technique": "X-ray diffraction", "layer_removal_corrected": "", "points": "0 -420\n0.1 -250"}
    measuring.take(kept, "stress:residual_stress.right", given)
    found = kept.whole().inspected
    assert found.answers["residual_stress.right"] is Evidence.SHOWN
    (finding,) = found.findings["residual_stress.right"]
    assert finding.uncertainty == 30.0
    burnt = {**HEAD, "value": "80", "uncertainty": "30"}
    measuring.take(kept, "result:residual_stress.right", burnt)
    assert kept.whole().inspected.answers["residual_stress.right"] is Evidence.CONTRADICTED
    measuring.take(kept, "result:residual_stress.left", burnt | {"value": "-80 MPa", "uncertainty": "30 MPa"})
    assert kept.whole().inspected.answers["residual_stress.left"] is Evidence.SHOWN


def test_a_table_of_results_is_taken_in(kept):
    html = measuring.table_html(kept.whole().inspected.plan, AllOpen())
    columns = "characteristic,value,unit,uncertainty,found,conforms,instrument,date,by,applies_to,revision"
    assert columns in html
    assert "<code>hardness.core</code>" in html
    line = "oxidation,14,µm,2,,,microscope 1,2026-03-06,N. Farrow,furnace load 3117,E"
    measuring.take(kept, "table:", {"text": f"{columns}\n{line}\n"})
    assert answer_to(kept, "quality.oxidation") is Evidence.SHOWN
    with pytest.raises(InputError, match=r"line 2, value: given .few"):
        measuring.take(kept, "table:", {"text": f"{columns}\n{line.replace('14', 'few')}\n"})


@pytest.mark.parametrize(
    ("key", "along"),
    [
        ("case.as_treated", ("pitch line", "left", "as treated")),
        ("case.left.right", ("pitch line", "right", "finished")),
        ("case.tip", ("tip", "", "as treated")),
    ],
)
def test_a_traverse_begins_where_its_characteristic_lies(key, along):
    assert measuring._along(key) == along


# coverage


def test_every_requirement_has_its_row_and_every_cell_its_word(kept):
    shown = kept.whole()
    html = coverage.matrix_html(shown, shown.inspected)
    rows = html.partition("<tbody>")[2].split("</tr>")[:-1]
    assert len(rows) == len(shown.inspected.plan.requirements)
    assert "inspection.ipynb" not in html
    pitch = next(one for one in rows if "accuracy.single.right" in one)
    assert 'title="Single pitch, right flank, at 160 Final inspection' in pitch
    assert pitch.count("contradicted</span>") == 2  # the mark, and the answer of the row
    needed = next(one for one in rows if 'data-key="case.needed' in one)
    assert "contradicted" not in needed  # the drawing's limit is contradicted, what is needed is shown


def test_what_is_struck_is_uncovered_with_its_reason(kept):
    plan_edits.edit(kept, "strike:", {"characteristic": "cracks", "reason": f"No bench {EVIL}"})
    shown = kept.whole()
    told = coverage.gaps_html(shown.inspected)
    assert "Nothing is inspected for Freedom from cracks" in words(told)
    assert "<img" not in told
    assert 'class="gc-uncovered"' in coverage.matrix_html(shown, shown.inspected)
    assert "Cracks" in plan_edits.edits_html(kept, AllOpen())


# dispositions


def due_key(kept, name=LEFT):
    html = dispositions.dispositions_html(kept, {})
    return re.search(rf'data-form="(dispose:{re.escape(name)}:[^"]+)"', html)[1]


def test_rework_shows_first_what_becomes_stale(sheet):
    kept, key = sheet.kept, due_key(sheet.kept)
    chosen = {"verdict": "rework", "first": "carburise", "last": "grind"}
    html = dispositions.dispositions_html(kept, {key: chosen})
    said = words(html)
    assert "Running 50 Carburise in gas to 110 Grind the teeth again makes stale" in said
    assert "stale Core hardness, furnace load 3117" in said
    assert "Still shown: Case depth, finished, against drum" in said
    dispositions.decide(kept, key, {**chosen, "reason": "Too much was ground off.", "limit": ""})
    made = words(dispositions.dispositions_html(kept, {}))
    assert "Case left after grinding, left flank: rework" in made
    assert "Runs again: 50 Carburise in gas; 60 Quench" in made
    assert "Case left after grinding, left flank: disposition due" not in made
    assert answer_to(kept, "hardness.core") is Evidence.STALE


def test_a_verdict_shows_what_it_asks_for(kept):
    key = due_key(kept)
    bare = dispositions.dispositions_html(kept, {}).partition(key)[2].partition("</form>")[0]
    assert bare.count("<div hidden>") == 2
    granted = dispositions.dispositions_html(kept, {key: {"verdict": "concession"}})
    one = granted.partition(key)[2].partition("</form>")[0]
    assert one.count("<div hidden>") == 1
    assert "A concession is written beside Case left after grinding, left flank." in words(one)
    rejected = words(dispositions.dispositions_html(kept, {key: {"verdict": "reject"}}))
    assert "Rejecting the part makes stale" in rejected


def test_acceptance_is_offered_only_where_the_need_is_still_shown(kept):
    html = dispositions.dispositions_html(kept, {})
    left, pitch = (html.partition(due_key(kept, name))[2].partition("</form>")[0] for name in (LEFT, PITCH))
    assert 'value="accept"' in left
    assert 'value="accept"' not in pitch
    before = kept.book.last
    given = {"verdict": "accept", "reason": "The case is deep enough.", "limit": "", "first": "", "last": ""}
    with pytest.raises(InputError, match="limit: missing"):
        dispositions.decide(kept, due_key(kept), given)
    assert kept.book.last == before
    dispositions.decide(kept, due_key(kept), {**given, "limit": "serial number 0007"})
    assert answer_to(kept, LEFT) is Evidence.CONTRADICTED  # never hidden
    assert "Limited to: serial number 0007." in words(dispositions.dispositions_html(kept, {}))


PITCH = "accuracy.single.right"


def test_who_decides_needs_a_role(kept):
    kept.person = Person(name="M. Teal")
    given = {"verdict": "reject", "reason": "Scrap."}
    with pytest.raises(InputError, match="role"):
        dispositions.decide(kept, due_key(kept), given)


# characteristics added and struck


def test_a_characteristic_of_the_drawing_is_added_with_its_limit(kept):
    given = {
        "title": "Bore diameter", "operation": "final", "place": "bore", "unit": "mm", "least": "60.000",
        "most": "60.019", "method": "bore gauge", "sample": "every gear", "document": "", "accept": "",
        "needs": "", "reason": "Fit of the shaft.",
    }  # fmt: skip
    plan_edits.edit(kept, "add:", given)
    item = kept.whole().inspected.plan.find("bore_diameter")
    assert (item.limit.least, item.limit.most, item.operation.key) == (60.0, 60.019, "final")
    plan_edits.edit(kept, "add:", given)
    assert kept.whole().inspected.plan.find("bore_diameter_2") is not None
    html = plan_edits.edits_html(kept, AllOpen())
    assert "Bore diameter , added at 160 Final inspection" in words(html)
    assert "Barkhausen noise over that of good gears , struck" in words(html)
    with pytest.raises(InputError, match=r"title: missing(.|\n)*operation: missing"):
        plan_edits.edit(kept, "add:", {**given, "title": " ", "operation": ""})
    with pytest.raises(InputError, match="reason"):
        plan_edits.edit(kept, "add:", {**given, "title": "Thread", "reason": ""})


def test_what_no_limit_names_gets_one(kept_of_fan):
    html = plan_edits.edits_html(kept_of_fan, AllOpen())
    assert 'data-form="limit:size.tip"' in html
    given = {"least": "130.75", "most": "130.80", "reason": "Drawing."}
    plan_edits.edit(kept_of_fan, "limit:size.tip", given)
    item = kept_of_fan.whole().inspected.plan.find("size.tip")
    assert (item.limit.least, item.limit.most) == (130.75, 130.8)
    assert 'data-form="limit:size.tip"' not in plan_edits.edits_html(kept_of_fan, AllOpen())


@pytest.fixture
def kept_of_fan(tmp_path):
    workspace = Workspace(tmp_path / "fan.sqlite")
    gear = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    return Kept(workspace, open_record(workspace, gear, by=QUALITY), QUALITY)


# callouts and files


def test_each_callout_names_what_set_it_and_what_relaxing_it_does(kept):
    panel = Callouts(kept, quiet)
    html = panel.piece.html
    said = words(html)
    assert "Case depth finished" in said
    assert "If relaxed:" in said
    assert "0.1 mm less case :" in said
    assert 'href="review.ipynb#need-' in html
    assert html.count("<h3>") == html.count("If relaxed:")
    measuring.take(kept, "result:carbides", {**HEAD, "found": "a network", "conforms": "no"})
    assert "(contradicted)" in panel.piece.html.partition("Carbides in the case")[2].partition("<section")[0]


def test_the_first_article_is_offered_in_both_revisions(kept, monkeypatch):
    panel = FirstArticle(kept, quiet)
    panel.widget()
    names = [name for files in panel.files.values() for name in files.names]
    assert len(names) == 4
    sent = []
    for files in panel.files.values():
        monkeypatch.setattr(files, "send", lambda message, buffers: sent.append((message["file"], *buffers)))
        for name in files.names:
            files._handle_custom_msg({"get": name}, [])
    assert [name for name, _ in sent] == names
    assert all(data[:2] == b"PK" for name, data in sent if name.endswith(".xlsx"))
    assert all(b"Case left after grinding" in data for name, data in sent if name.endswith(".csv"))


def quiet(_, lines):
    assert not lines, lines


# the whole sheet


@pytest.fixture
def shown(monkeypatch):
    found = []
    monkeypatch.setattr(record_sheet, "display", found.append)
    return found


def show_all(sheet):
    for name in ("head", "route", "coverage", "dispositions", "changes", "callouts", "first_article"):
        getattr(sheet, name)()


def test_the_sheet_of_the_record_in_the_address(opened, monkeypatch, shown):
    file, record = opened
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(file))
    sheet = open_inspection(f"record={record}&torque=1400")
    show_all(sheet)
    assert len(shown) == 7
    assert sheet._page.query == f"record={record}&torque=1400"
    assert sheet._trouble.value == ""
    head = shown[0].children[0].html
    assert '<b>Inspection</b><a href="sign_off.ipynb">Sign-off</a>' in head
    assert 'href="#dispositions"' in head


def test_all_panels_follow_what_is_written(kept, shown):
    sheet = OpenInspection(kept, "")
    show_all(sheet)
    pieces = [piece for part in shown for piece in pieces_of(part)]
    before = [piece.html for piece in pieces]
    sheet._measure("result:carbides", {**HEAD, "found": "a network at the tip", "conforms": "no"})
    changed = [old != piece.html for old, piece in zip(before, pieces, strict=True)]
    # all but the note beside the head, and the characteristics added or struck
    assert changed.count(False) == 2
    assert sheet._trouble.value == ""


def pieces_of(widget):
    if hasattr(widget, "folds"):
        yield widget
    for child in getattr(widget, "children", ()):
        yield from pieces_of(child)


def test_a_second_writer_is_told_and_overwrites_nothing(kept):
    sheet = OpenInspection(kept, "")
    other = Kept(kept.workspace, kept.book, Person(name="N. Farrow"))
    measuring.take(other, "result:hardness.core", {**HEAD, "value": "372"})
    with pytest.raises(InputError, match=r"N\. Farrow wrote revision 2"):
        sheet._measure("result:hardness.core", {**HEAD, "value": "371"})
    assert "N. Farrow wrote revision 2" in sheet._outcome()
    sheet._act("take-in:")
    sheet._measure("result:hardness.core", {**HEAD, "value": "371"})
    assert kept.book.revision.revision == 3


@pytest.mark.parametrize("name", ["tunnel_fan", "harvester", "ship_lift"])
def test_every_demo_gear_has_its_sheet(name, tmp_path, shown):
    workspace = Workspace(tmp_path / "workspace.sqlite")
    book = open_record(workspace, read_gear_file(scenarios() / name / "gear.toml"), by=QUALITY)
    sheet = OpenInspection(Kept(workspace, book, QUALITY), "")
    show_all(sheet)
    assert sheet.unreported == ()
    assert ("nothing inspected" in shown[2].children[0].children[0].html) == any(
        gap.kind is GapKind.UNCOVERED for gap in sheet.found.gaps
    )
    assert set(sheet.found.answers) == {item.key for item in sheet.found.plan.characteristics}


def test_a_gear_file_without_a_plan_is_told_what_to_add(tmp_path, shown):
    folder = shutil.copytree(scenarios() / "tunnel_fan", tmp_path / "fan")
    text = (folder / "gear.toml").read_text(encoding="utf-8")
    bare = re.sub(r"\[inspection\]\n(?:[^\[\n].*\n)*", "", text)
    (folder / "gear.toml").write_text(bare, encoding="utf-8")
    workspace = Workspace(tmp_path / "workspace.sqlite")
    book = open_record(workspace, read_gear_file(folder / "gear.toml"), by=QUALITY)
    sheet = OpenInspection(Kept(workspace, book, QUALITY), "")
    assert sheet.found is None
    show_all(sheet)
    assert NO_PLAN in sheet._lead()
    assert len(shown) == 7


def test_a_record_that_there_is_not_is_told(tmp_path, monkeypatch, shown):
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(tmp_path / "workspace.sqlite"))
    sheet = open_inspection("record=nobody")
    assert isinstance(sheet, RefusedInspection)
    show_all(sheet)
    assert len(shown) == 1
    assert "nobody" in shown[0].children[0].value
    assert sheet.requirements == ()
