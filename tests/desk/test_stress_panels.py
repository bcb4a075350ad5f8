"""The panels of the stress sheet without a browser: path, guesses, readings, failure map, advice, duty."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.digits import number_text
from gearcheck.basics.places import scenarios
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels.advice import advice_html
from gearcheck.desk.panels.agma_table import agma_html
from gearcheck.desk.panels.guesses import Guesses
from gearcheck.desk.panels.later import Later, waiting_html
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.panels.rating import Chained, group_html
from gearcheck.desk.panels.rating_steps import GROUPS
from gearcheck.desk.panels.readings_table import beside_html, readings_html
from gearcheck.desk.panels.spent import Spent
from gearcheck.desk.panels.stress_later import found_for
from gearcheck.desk.state import Sheet
from gearcheck.desk.stress import OpenStress
from gearcheck.duty.damage import BelowKnee
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.figures.along import course_drawing
from gearcheck.figures.duty import bins_drawing
from gearcheck.figures.failure import failure_drawing, first_words
from gearcheck.materials.inputs import LubricantKind, OilSupply
from gearcheck.review.agma import agma_beside
from gearcheck.review.along import courses
from gearcheck.review.alternatives import Alternative, Effect
from gearcheck.review.bins import damage_by_bin
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.failure_map import Mode
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.guesses import QUESTIONS
from gearcheck.stress.life import Damage
from tests.figures.drawn import written

FAN = scenarios() / "tunnel_fan" / "gear.toml"


@pytest.fixture(scope="module")
def record():
    return read_gear_file(FAN)


@pytest.fixture
def state(record):
    return Sheet(record)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def quiet(who, lines):
    assert not lines, lines


def chain(whole):
    found = Chained(whole.chain.meshes[0])
    return "".join(group_html(group, found, found) for group in GROUPS)


# along the path


def test_the_charts_share_their_axis_and_keep_the_record(state):
    now = courses(state.shown.record, state.shown.chain.meshes[0])
    assert [one.key for one in now.known][:2] == ["pressure", "sliding"]
    sliding = now.known[1]
    assert sliding.value.min() < 0.1
    assert sliding.position_mm[sliding.value.argmin()] == pytest.approx(now.marks_mm["C"], abs=0.4)
    state.move("torque", 1600.0)
    drafted = courses(state.shown.record, state.shown.chain.meshes[0])
    first, second = (course_drawing(drafted, key, now) for key in ("pressure", "sliding"))
    assert first.rows["record"]["value"].max() < first.rows["lines"]["value"].max()
    ends = [one.rows["frame"]["at"].tolist() for one in (first, second)]
    assert ends[0] == ends[1]
    assert course_drawing(now, "no such") is None


def test_a_known_oil_adds_film_and_temperature():
    tram = Sheet(read_gear_file(scenarios() / "tram_bogie" / "gear.toml"))
    mesh = tram.shown.chain.meshes[0]
    found = courses(tram.record, mesh)
    assert [one.key for one in found.known] == ["pressure", "sliding", "film", "specific film", "temperature"]
    assert found.missing == ()
    by_key = {one.key: one for one in found.known}
    assert by_key["specific film"].value.min() == pytest.approx(mesh.micropitting.least_film)
    assert by_key["temperature"].value.max() == pytest.approx(mesh.flash.highest_contact_C)
    drawing = course_drawing(found, "temperature")
    assert drawing.rows["limit"]["value"].tolist() == pytest.approx([mesh.flash.permissible_C])
    said = words(chain(tram.shown))
    assert "The flank: scuffing" in said
    assert f"S B = {mesh.flash.safety:.4g}" in said
    assert "The flank: micropitting" in said


def test_what_the_oil_lacks_is_named(state):
    found = courses(state.shown.record, state.shown.chain.meshes[0])
    assert "Not known: oil film and contact temperature; [lubricant] viscosity_100C" in found.missing[0]
    known = replace(
        state.record.lubricant,
        viscosity_100C_mm2_s=19.0,
        density_15C_kg_m3=890.0,
        oil_temperature_C=80.0,
        kind=LubricantKind.MINERAL,
        supply=OilSupply.DIP,
    )
    oiled = Sheet(replace(state.record, lubricant=known)).shown
    found = courses(oiled.record, oiled.chain.meshes[0])
    assert found.missing == ("Not known: contact temperature; [lubricant] fzg_stage missing.",)
    assert "film" in {one.key for one in found.known}


# guesses


def test_a_guess_comes_before_the_answer(state):
    panel = Guesses(state, quiet, QUESTIONS)
    assert "You guessed" not in panel.piece.html
    assert all(text not in panel.piece.html for text in ("S_F =", "K<sub>V</sub> ="))
    panel._act("guess:class:1")
    panel.piece.refresh()
    said = words(panel.piece.html)
    assert "You guessed: at a tenth of it." in said
    assert "At full speed it costs more on this gear. It is not as you guessed." in said
    panel._act("draft:class:1")
    assert state.draft == {"class": 8.0}
    panel.piece.refresh()
    assert "on the sheet now" in panel.piece.html
    panel._act("again:class")
    panel.piece.refresh()
    assert "You guessed" not in panel.piece.html


@pytest.mark.parametrize("lacks", ["methods", "lubricant", "required"])
def test_what_a_record_lacks_stops_no_panel_and_is_said(record, lacks):
    bare = replace(record, **{lacks: None})
    sheet = OpenStress(Opened(record=bare, kept=None, file=FAN))
    for panel in (sheet.head, sheet.margins, sheet.chain, sheet.along, sheet.duty, sheet.guesses):
        panel()
    sheet._later.found = found_for(bare)
    for panel in (sheet.readings, sheet.first_to_fail, sheet.advice):
        panel()
    panel = Guesses(sheet.state, quiet, QUESTIONS)
    panel._act("guess:class:0")
    panel.piece.refresh()
    assert f"cannot answer on this record: [{lacks}] missing." in words(panel.piece.html)
    assert sheet._trouble.value == ""


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda one: one.key)
@pytest.mark.parametrize("name", ["tunnel_fan", "ship_lift", "harvester"])
def test_each_answer_is_that_of_the_calculation(question, name):
    record = read_gear_file(scenarios() / name / "gear.toml")
    answer = question.work(record)
    assert 0 <= answer.right < len(question.guesses)
    for tried in answer.tried:
        mesh = calculate(changed(record, tried.values)).meshes[0]
        flanks = min(mesh.gear.flank.safety, mesh.mate.flank.safety)
        symbol, value = re.match(r"S_(.) = ([\d.]+)", tried.said).groups()
        found = mesh.gear.root_safety.safety if symbol == "F" else flanks
        assert float(value) == pytest.approx(float(np.round(found, 2)), abs=0.0051)


# what follows a draft at rest


@pytest.fixture(scope="module")
def found(record):
    return found_for(record)


def test_each_reading_stands_with_what_it_does_to_each_margin(found):
    html = readings_html(found.readings)
    said = words(html)
    assert "Clause, followed and otherwise" in said
    assert "Margin as followed" in said
    life = next(one for one in found.readings if one.name == "life_at_1e10")
    row = words(html.partition("Life factor at 1e10")[2].partition("</tr>")[0])
    for effect in life.effects:
        assert f"+{100 * effect.change:.1f} %" in row
    assert "This gear does not feel: Limited life" in said
    assert len(re.findall(r"<tr>", html)) == 2 + sum(
        any(not effect.key.startswith("agma.") for effect in one.effects) for one in found.readings
    )


def test_the_other_standard_stands_beside_and_never_decides(found, record):
    said = words(agma_html(found.agma, Folds()))
    mesh = found.agma[0]
    safety = mesh.result.pinion.bending_safety
    assert f"Root safety, the gear S F = 2.82 S F = {safety:.2f} {safety / 2.8198:.2f} of ISO" in said
    assert "Critical section of the root" not in said
    folds = Folds()
    folds.opened.add("differ")
    assert "Critical section of the root where a tangent at 30°" in words(agma_html(found.agma, folds))
    own = words(beside_html(found.readings))
    assert "Geometry factor Z I" in own
    assert "Safety as followed" in own
    assert "root safety, wheel" in own
    bare = agma_beside(replace(record, required=None), calculate(replace(record, required=None)))
    assert "Against wheel it is not rated: [required] missing." in words(agma_html(bare, Folds()))


def test_a_reading_on_which_the_answer_hangs_says_so():
    effect = Effect(key="stress.root.wheel.gear", title="Root stress", now=1.02, other=0.97)
    one = Alternative(
        name="x", clause="Some clause", about="two ways", used="one", other="two", primary=False,
        effects=(effect,),
    )  # fmt: skip
    said = words(readings_html([one]))
    assert "−4.9 % fails" in said
    assert "not the primary reading" in said
    assert "root, gear" in said
    assert "no methods" in readings_html([])


def test_the_first_to_fail_is_named_on_its_line(found):
    over_speed, over_life = found.maps
    drawing = failure_drawing(over_speed, found.now[0])
    labels = drawing.rows["names"]["label"].tolist()
    assert any(label.startswith("flank, gear") for label in labels)
    assert len(set(drawing.rows["names"]["reserve"].round(3))) == len(labels)
    assert first_words(over_speed) == "the flank of the gear comes first throughout"
    assert drawing.rows["now"]["at"].tolist() == [1480.0]
    least = drawing.rows["least"]["reserve"].to_numpy()
    assert (np.diff(least) <= 1e-9).all()
    assert over_life.unit == "h"
    assert failure_drawing(replace(over_life, modes=())) is None
    mixed = replace(
        over_speed,
        modes=(
            Mode(key="stress.flank.w.gear", title="F", reserve=np.linspace(1.0, 2.0, 9)),
            Mode(key="stress.root.w.mate", title="R", reserve=np.full(9, 1.5)),
        ),
    )
    said = first_words(mixed)
    assert re.fullmatch(r"the flank of the gear comes first up to about \d+ rpm, then the root of w", said)


def test_a_reserve_far_below_leaves_room_for_the_names_of_the_others(found):
    over_speed, _ = found.maps
    keys = [
        f"stress.{kind}.w.{whose}" for kind in ("flank", "root", "static_flank") for whose in ("gear", "mate")
    ]
    steady = [Mode(key=key, title=key, reserve=np.full(9, 3.9)) for key in keys]
    falling = Mode(key="stress.micropitting.w", title="M", reserve=np.geomspace(0.05, 1.1, 9)[::-1])
    beyond = Mode(key="stress.scuffing.w", title="S", reserve=np.geomspace(2.0, 9.0, 9))
    drawing = failure_drawing(replace(over_speed, modes=(*steady, falling, beyond)))
    names = drawing.rows["names"]
    low, high = drawing.rows["frame"]["reserve"]
    assert low == 0.3
    assert drawing.rows["lines"]["reserve"].min() == 0.3
    px = np.sort(np.log(names["reserve"])) * drawing.layout["height"] / np.log(high / low)
    assert np.diff(px).min() > 14
    said = names["label"].tolist()
    assert {"micropitting under 0.30", "scuffing over 4"} <= set(said)
    assert {"under 0.30", "0.3", "1"} <= set(written(drawing))
    assert drawing.rows["one"]["end"].tolist() == [over_speed.values[-1]]  # no name is struck through


def test_the_advice_says_where_both_gears_are_alike(found):
    said = words(advice_html(found.advice))
    assert "Equal roots, against wheel." in said
    assert "It balances at x = 0.1" in said
    assert 'data-act="advise:1"' in advice_html(found.advice)
    assert "no profile shift" in advice_html(())


def test_what_takes_longer_follows_a_draft_at_rest(state, found):
    asked = []
    panel = Later(state, quiet, lambda record: asked.append(record) or found)
    assert waiting_html(panel, lambda _: "done") == '<p class="gc-settling">Being worked out</p>'
    state.settle()
    assert waiting_html(panel, lambda _: "done") == "<div>done</div>"
    state.move("torque", 1400.0)  # without a loop it rests at once
    state.drop()
    state.move("torque", 1400.0)
    assert len(asked) == 2
    assert not panel.waits


def test_the_sheet_puts_the_advice_on_its_draft(record, found):
    sheet = OpenStress(Opened(record=record, kept=None, file=FAN))
    sheet._later.found = found
    sheet._act("advise:1")
    assert sheet.state.draft == {"profile_shift": 0.13}
    sheet.readings()
    sheet.first_to_fail()
    sheet.advice()


# the duty


@pytest.fixture(scope="module")
def on_duty(record):
    bins = (
        Bin(torque_Nm=2000, speed_rpm=1480, hours=2),
        Bin(torque_Nm=1500, speed_rpm=1480, hours=40, reverse=True),
        Bin(torque_Nm=1100, speed_rpm=900, hours=300),
        Bin(torque_Nm=0, speed_rpm=900, hours=58),
    )
    required = replace(record.required, damage_sum=0.8)
    return Sheet(replace(record, required=required, duty=Duty(bins=bins, below_knee=BelowKnee.FLATTER_SLOPE)))


def test_each_step_of_a_duty_has_its_bars(on_duty):
    mesh = on_duty.shown.chain.meshes[0]
    found = damage_by_bin(on_duty.record, mesh, Damage.ROOT)
    assert [step.replace("\xa0", " ") for step in found.steps] == [
        "1: 2000 N·m, 1480 rpm, 0.5 %",
        "3: 1100 N·m, 900 rpm, 75 %",
        "2: 1500 N·m, 1480 rpm, 10 %, back",
    ]
    assert found.gear[:2].sum() == pytest.approx(float(mesh.gear.root_damage[0].damage))
    assert found.gear[2:].sum() == pytest.approx(float(mesh.gear.root_damage[1].damage))
    drawing = bins_drawing(found, mesh.name)
    assert len(drawing.rows["bars"]) == 6
    assert len(drawing.rows["record"]) == 0
    assert len(bins_drawing(found, mesh.name, found).rows["record"]) == 4  # those that do something
    steps = [line for line in written(drawing) if "rpm" in line]
    assert [line[:1] for line in steps] == ["1", "3", "2"]


def test_the_treatments_stand_side_by_side_and_the_agreed_one_is_named(on_duty):
    panel = Spent(on_duty, lambda: 0, quiet)
    said = words(panel._said.html)
    assert "a sum of 0.8 is agreed" in said
    assert "slope 2k − 1, agreed" in said
    mesh = on_duty.shown.chain.meshes[0]
    worst = max(float(one.no_damage) for one in mesh.gear.flank_damage)
    assert f"no damage {number_text(worst, 3)}" in said
    assert panel._charts[Damage.FLANK].spec is not None


def test_without_a_duty_it_says_what_is_missing(state):
    panel = Spent(state, lambda: 0, quiet)
    assert "names no duty" in panel._said.html
    assert panel._charts[Damage.FLANK].spec is None
