"""The case-depth sheet without a browser: the picture, the depths side by side, what is guessed."""

import re
import shutil
from dataclasses import replace

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.case_depth import SLIDERS, OpenCaseDepth, RefusedCaseDepth
from gearcheck.desk.kept import Kept
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels.band import Band
from gearcheck.desk.panels.below import BelowContact
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.depth_table import depths_html
from gearcheck.desk.panels.exposures import Exposures
from gearcheck.desk.panels.guesses import Guesses
from gearcheck.desk.panels.hardness_picture import HardnessPicture
from gearcheck.desk.state import Sheet
from gearcheck.hardening.criteria import PAIRS, Criterion
from gearcheck.hardening.figures import CaseDepthRule
from gearcheck.record.events import Person
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.case_guesses import CASE_QUESTIONS
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.scatter import depth_band
from gearcheck.review.settled import settled
from gearcheck.review.whole import review

LIFT = scenarios() / "ship_lift" / "gear.toml"
NAMES = ("ship_lift", "tram_bogie", "tunnel_fan", "harvester")
UNTROUBLED = "geometry"
"""A station where nothing is to be mended: what would mend the case takes seconds, and is not looked at."""


def record_of(name):
    return read_gear_file(scenarios() / name / "gear.toml")


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    file, record = tmp_path_factory.mktemp("case") / "workspace.sqlite", record_of("ship_lift")
    return file, record, open_record(Workspace(file), record, by=Person(name="M. Teal")).record


@pytest.fixture
def sheet(opened, tmp_path):
    file, record, name = opened
    workspace = Workspace(shutil.copy(file, tmp_path / "workspace.sqlite"))
    kept = Kept(workspace, workspace.book(name), Person(name="M. Teal"))
    return OpenCaseDepth(Opened(record=record, kept=kept, file=LIFT))


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def quiet(who, lines):
    assert not lines, lines


def test_every_part_of_the_sheet_can_be_shown(sheet):
    for part in (sheet.head, sheet.picture, sheet.below, sheet.depths, sheet.margins, sheet.guesses):
        part()
    assert all(item.by_calculation and item.by_evidence for item in sheet.requirements)
    assert "Case depth" in sheet._line()


@pytest.mark.parametrize("name", NAMES)
def test_the_depths_stand_side_by_side_and_one_governs(name):
    record = record_of(name)
    whole = review(record)
    state = Sheet(record)
    state.shown = state.ghost = whole
    said = words(depths_html(state, 0))
    figures = whole.chain.meshes[0].figures
    if figures is None:
        assert "No depth follows" in said
        return
    assert said.count("governs") == 1
    assert f"{record.methods.case_depth}, governs" in said
    assert f"{figures.heavy_mm:.2f} mm from the module alone, heavy loads" in said
    assert all(str(rule) in said for rule in CaseDepthRule)


def test_three_criteria_stand_in_the_table_where_they_are_solved():
    whole = review(record_of("tram_bogie"))
    state = Sheet(whole.record)
    state.shown = state.ghost = whole
    said = words(depths_html(state, 0))
    found = whole.settled[0].side_by_side
    for name in ("Dang Van", "Amplitude of orthogonal shear"):
        assert f"{name}, solved" in said
    assert f"{found.dang_van_mm:.2f} mm largest τ + a" in said
    assert PAIRS[Criterion.YIELDING].strength.replace("σ_y", "σ y")[:35] in said
    assert "its strength constant 1 % lower" in said
    assert "without residual stress" in said
    bare = Sheet(record_of("tunnel_fan"))
    assert "[gear.subsurface]" in words(depths_html(bare, 0))


def test_a_draft_moves_the_picture_and_keeps_the_record(sheet):
    panel = HardnessPicture(sheet.state, lambda: 0, quiet)
    before, told = panel._hardness.spec, panel._hardness.words
    sheet.state.move("case_depth", 1.9)
    assert sheet.state.draft == {"case_depth": 1.9}
    assert "drawn, finished, least 1.60 mm" in told
    assert "drawn, finished, least 1.90 mm" in panel._hardness.words
    assert panel._hardness.spec != before


def test_the_map_says_at_which_friction_and_follows_the_torque(sheet):
    panel = BelowContact(sheet.state, lambda: 0, quiet)
    assert "friction 0.00" in words(panel._words(None))
    before = panel._chart.words
    sheet.state.move("torque", 20000.0)
    assert panel._chart.words != before
    bare = Sheet(replace(sheet.state.record, required=None))
    assert "no stress to draw" in words(BelowContact(bare, lambda: 0, quiet)._words(None))


def test_it_says_where_the_case_is_closest_and_where_it_falls_short():
    state = Sheet(record_of("tram_bogie"), station=UNTROUBLED)
    panel = HardnessPicture(state, lambda: 0, quiet)
    said = words(panel._words(None))
    assert re.search(r"shallowest case drawn is closest at \d\.\d\d mm: \d+ HV where \d+ HV is needed", said)
    assert re.search(r"softest case predicted falls short from \d\.\d\d to \d\.\d\d mm, most at", said)
    state.move("torque", 1870.0)
    assert "shallowest case drawn falls short from" in words(panel._words(None))


def test_both_charts_stand_and_reach_as_deep_where_no_depth_suffices():
    state = Sheet(record_of("tram_bogie"), station=UNTROUBLED)
    panel = HardnessPicture(state, lambda: 0, quiet)
    state.move("torque", 1870.0)
    assert state.drawn.settled[0].required.depth_mm is None
    above, below = (
        [row for rows in chart.spec["datasets"].values() for row in rows]
        for chart in (panel._hardness, panel._shear)
    )
    said = {row.get("label") for row in below}
    assert said >= {"from the contact, safety included", "allowed by the case as drawn"}
    assert "allowed by the case as solved" not in said
    reach = [max(row["depth"] for row in rows) for rows in (above, below)]
    assert reach[0] == pytest.approx(reach[1])


def test_the_sliders_are_those_of_inputs_that_the_record_has(sheet):
    assert len(sliders_of(Sheet(record_of("tram_bogie")), SLIDERS, quiet)) == len(SLIDERS)
    # without [gear.subsurface] no friction and no inclusion, without [gear.grinding] no depth of cut
    assert len(sliders_of(sheet.state, SLIDERS, quiet)) == len(SLIDERS) - 3
    bare = Sheet(replace(sheet.state.record, gear=replace(sheet.state.record.gear, case=None)))
    assert len(sliders_of(bare, SLIDERS, quiet)) == len(SLIDERS) - 5
    assert "section [gear.case] missing" in HardnessPicture(bare, lambda: 0, quiet)._words(None)


@pytest.mark.parametrize("question", CASE_QUESTIONS, ids=lambda one: one.key)
@pytest.mark.parametrize("name", NAMES)
def test_each_answer_is_that_of_the_calculation(question, name):
    record = record_of(name)
    answer = question.work(record)
    if answer is None:
        return
    assert 0 <= answer.right < len(question.guesses)
    for tried in answer.tried:
        moved = changed(record, tried.values)
        found = settled(moved, calculate(moved))
        depths = [one.required.depth_mm for one in found if one.required is not None]
        factors = [one.reserve.factor for one in found if one.reserve is not None]
        numbers = [f"{value:.2f}" for value in (*depths, *factors) if value is not None]
        told = tried.said == "no depth suffices" or any(number in tried.said for number in numbers)
        assert told, tried.said


def test_some_gear_answers_each_question():
    for question in CASE_QUESTIONS:
        assert any(question.work(record_of(name)) is not None for name in NAMES), question.key


def test_a_guess_is_answered_on_the_sheet(sheet):
    panel = Guesses(sheet.state, quiet, CASE_QUESTIONS)
    panel._act("guess:loaded:1")
    said = words(panel._html(None))
    assert "You guessed: by about a tenth." in said
    assert "needed against yielding" in said


def test_without_a_record_it_says_why():
    sheet = RefusedCaseDepth(InputError([]))
    for part in (sheet.head, sheet.picture, sheet.below, sheet.depths, sheet.margins, sheet.guesses):
        part()
    assert sheet.requirements == ()


@pytest.mark.slow
def test_gears_are_drawn_when_they_are_asked_for():
    state = Sheet(record_of("tram_bogie"))
    panel = Band(state, lambda: 0, quiet)
    assert "Draw 200 gears" in panel.widget.html
    panel.widget._hear(None, {"act": "draw"}, [])
    said = words(panel.widget.html)
    found = depth_band(state.record, state.shown.chain.meshes[0])
    assert f"{100 * max(found.share_short):.1f}" in said
    for name in found.criteria:
        assert str(name)[1:] in said
    # another gear is another band
    state.move("torque", 1300.0)
    assert "Draw 200 gears" in panel.widget.html
    state.drop()


@pytest.mark.parametrize(
    ("changed_to", "missing"),
    [
        ({"hardness_scatter_HV": None}, "[gear.subsurface] hardness_scatter and load_scatter missing"),
        (None, "[gear.subsurface] missing"),
    ],
)
def test_a_band_that_cannot_be_drawn_says_why(changed_to, missing):
    record = record_of("tram_bogie")
    asked = None if changed_to is None else replace(record.subsurface, **changed_to)
    state = Sheet(replace(record, subsurface=asked))
    said = words(Band(state, lambda: 0, quiet).widget.html)
    assert missing in said
    assert "Draw" not in said


def test_another_profile_is_shown_when_it_is_asked_for():
    state = Sheet(record_of("tram_bogie"))
    panel = Exposures(state, lambda: 0, quiet)
    first, *others = state.drawn.balance.held
    assert f"The case {first.profile}" in words(panel._words(None))
    for other in others:
        panel._said._hear(None, {"act": f"profile:{other.profile}"}, [])
        said = words(panel._words(None))
        assert f"The case {other.profile}" in said
        largest = max(other.largest(one) for one in Criterion)
        assert f"{largest[0]:.2f}" in said
        assert ("overstressed by" in said) == (largest[0] > 1)
    bare = Sheet(replace(state.record, subsurface=None))
    assert "[gear.subsurface]" in Exposures(bare, lambda: 0, quiet)._words(None)


def test_a_deeper_case_gains_less_and_less_and_takes_the_room_at_the_tip():
    record = record_of("tram_bogie")
    question = next(one for one in CASE_QUESTIONS if one.key == "deeper")
    assert question.ask.startswith("Why is a deeper case not always better?")
    answer = question.work(record)
    gained = [float(re.search(r"yielding (\d\.\d\d)", one.said)[1]) for one in answer.tried]
    assert question.guesses[answer.right] == "the first gains more"
    assert gained[1] - gained[0] >= gained[2] - gained[1] > 0
    for tried in answer.tried:
        moved = changed(record, tried.values)
        taken = 100 * moved.gear.case.as_treated_max_mm / calculate(moved).case_limits.tip_limit_mm
        assert f"it takes {taken:.0f} % of the largest depth at the tip" in tried.said
        assert ("too deep" in tried.said) == (taken > 100)
