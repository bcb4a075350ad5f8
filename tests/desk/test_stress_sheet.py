"""The stress sheet without a browser: the chain of steps, its sliders, the path, and what is guessed."""

import re
import shutil
from dataclasses import replace

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.kept import Kept
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.rating import Chained, group_html
from gearcheck.desk.panels.rating_steps import GROUPS
from gearcheck.desk.state import Sheet
from gearcheck.desk.stress import OpenStress, RefusedStress
from gearcheck.record.events import Person
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.along import courses
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.guesses import QUESTIONS
from gearcheck.stress.inputs import Shaft, ShaftLayout

FAN = scenarios() / "tunnel_fan" / "gear.toml"


@pytest.fixture(scope="module")
def record():
    return read_gear_file(FAN)


@pytest.fixture
def state(record):
    return Sheet(record)


@pytest.fixture(scope="module")
def opened(tmp_path_factory, record):
    file = tmp_path_factory.mktemp("stress") / "workspace.sqlite"
    return file, open_record(Workspace(file), record, by=Person(name="M. Teal")).record


@pytest.fixture
def sheet(opened, record, tmp_path):
    file, name = opened
    workspace = Workspace(shutil.copy(file, tmp_path / "workspace.sqlite"))
    kept = Kept(workspace, workspace.book(name), Person(name="M. Teal"))
    return OpenStress(Opened(record=record, kept=kept, file=FAN))


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def quiet(who, lines):
    assert not lines, lines


def chain(now, before):
    both = (Chained(now.chain.meshes[0]), Chained(before.chain.meshes[0]))
    return "".join(group_html(group, *both) for group in GROUPS)


# the chain


def test_each_step_stands_with_its_number_formula_and_source(state):
    html = chain(state.shown, state.ghost)
    steps = [
        step
        for group in GROUPS
        for step in group.steps
        if not group.optional and not step.quiet and step.result != "factors.face_load"
    ]
    assert html.count('class="gc-row gc-link"') == len(steps)
    assert "K Hβ : given as a number" in words(html)
    said = words(html)
    factors = state.shown.chain.meshes[0].factors
    assert "1290 N·m on the pinion press on its reference circle" in said
    assert "F t = 2000·T 1 /d 1 = 2000·1290/117.6" in said
    assert f"K V = {factors.dynamic_factor:.4g}" in said
    for cite in ("ISO 21771:2007", "ISO 6336-1:2019", "ISO 6336-2:2019", "ISO 6336-3:2019", "ISO 6336-5"):
        assert cite in said
    assert "{" not in said
    assert "record" not in said


def test_what_a_slider_moves_keeps_the_number_of_the_record_beside_it(state):
    was = state.ghost.chain.meshes[0].gear.flank.safety
    state.move("face_width", 64.0)
    said = words(chain(state.shown, state.ghost))
    now = state.shown.chain.meshes[0].gear.flank.safety
    assert now > was
    assert f"S H = {now:.3f} record {was:.3f}" in said
    assert "a = 243 mm record" not in said


def test_every_input_of_the_chain_has_its_slider(state):
    keys = [key for group in GROUPS for key in group.inputs]
    wanted = {
        "torque",
        "module",
        "face_width",
        "profile_shift",
        "shift_sum",
        "helix",
        "class",
        "hardness",
        "relief",
        "roughness",
        "viscosity",
    }
    assert wanted <= set(keys)
    assert len(keys) == len(set(keys))
    keys.remove("oil_temperature")  # this record does not know it
    boxes = sliders_of(state, keys, quiet)
    assert len(boxes) == len(keys)
    boxes[keys.index("module")].children[0].value = 5.5
    assert state.draft == {"module": 5.5}


def test_a_shaft_brings_the_steps_of_the_face_load(record):
    mesh = record.meshes[0]
    shaft = Shaft(
        layout=ShaftLayout.TOWARDS_TORQUE, span_mm=180, offset_mm=20, diameter_mm=85, stiffened=True
    )
    held = Sheet(replace(record, meshes=(replace(mesh, face_load_factor=None, shaft=shaft),)))
    said = words(chain(held.shown, held.ghost))
    assert "pinion and shaft bend and twist" in said
    assert "given as a number" not in said
    assert f"K Hβ = {held.shown.chain.meshes[0].factors.face_load_factor:.4g}" in said


def test_what_counts_for_few_gears_shows_where_it_counts():
    tram = Sheet(read_gear_file(scenarios() / "tram_bogie" / "gear.toml"))
    said = words(chain(tram.shown, tram.ghost))
    mesh = tram.shown.chain.meshes[0]
    assert "bent both ways" in said
    assert f"wheel Y M = {mesh.mate.root_safety.mean_stress_factor:.4g}" in said
    assert "Once in a while: the highest torque" in said
    assert f"S Hst = {mesh.gear.flank_static.safety:.4g}" in said


def test_a_missing_section_is_said_in_place_of_its_steps(record):
    bare = Sheet(replace(record, methods=None))
    said = words(chain(bare.shown, bare.ghost))
    assert "Not worked out: [methods] missing." in said
    assert "mesh at this centre distance" in said
    found = courses(bare.record, bare.shown.chain.meshes[0])
    assert found.known == ()
    assert found.missing == ("Pressure and sliding speed: [methods] missing.",)
    assert all(question.work(bare.record) is None for question in QUESTIONS)


# the sheet


def test_the_sheet_says_its_station_first_and_follows_the_draft(sheet):
    assert "Tightest is flank stress, the gear against wheel" in words(sheet._outcome())
    assert "<b>Stress</b>" in sheet._line()
    assert 'href="#along"' in sheet._line()
    assert sheet.silent == ()
    sheet.chain()
    sheet.along()
    before = sheet._groups[2].html
    sheet.state.move("torque", 1500.0)
    assert sheet._groups[2].html != before
    assert "record" in sheet._groups[2].html


def test_the_foot_says_which_margins_moved(sheet):
    from gearcheck.desk.panels.head import draft_bar_html

    assert draft_bar_html(sheet.state, "stress") == ""
    sheet.state.move("torque", 1500.0)
    said = words(draft_bar_html(sheet.state, "stress"))
    assert re.search(r"flank stress, the gear against wheel 1\.2\d , record 1\.41", said)
    assert "record 1.41" not in words(draft_bar_html(sheet.state))


def test_a_rung_opens_its_requirement_and_a_remedy_is_tried():
    lift = scenarios() / "ship_lift" / "gear.toml"
    failing = OpenStress(Opened(record=read_gear_file(lift), kept=None, file=lift))
    assert "Fails: root stress" in words(failing._outcome())
    failing.margins()
    assert "What would fix it" in failing._needs.html  # in trouble: open at once
    failing._needs.folds.opened.clear()
    failing._needs.refresh()
    assert "gc-need" not in failing._needs.html
    failing._act("open:stress")
    assert "gc-need" in failing._needs.html
    failing._act("try:torque=14000")
    assert failing.state.draft == {"torque": 14000.0}


def test_without_a_workspace_it_still_opens(record):
    bare = OpenStress(Opened(record=record, kept=None, file=FAN))
    assert "TF-118" in bare._line()
    assert RefusedStress(InputError([])).silent == ()
