"""Under a duty the page says which step decides a number, and at which step a curve is drawn."""

import re

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.head import trouble_html
from gearcheck.desk.panels.needs import needs_html
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.panels.sentences import argument_html
from gearcheck.desk.state import Sheet
from gearcheck.figures.along import course_drawing
from gearcheck.review.along import courses
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.worst_step import worst_step
from tests.figures.drawn import written


def words(html):
    plain = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))
    return re.sub(r" +", " ", plain.replace("\xa0", " ")).replace(" ;", ";").replace(" .", ".").strip()


@pytest.fixture
def state():
    return Sheet(read_gear_file(scenarios() / "tunnel_fan" / "gear.toml"))


@pytest.fixture(scope="module")
def tram():
    return Sheet(read_gear_file(scenarios() / "tram_bogie" / "gear.toml"))


def test_what_one_step_of_a_duty_decides_names_the_step(tram):
    slow, starts = "step 1 of the duty, 2500 N·m, 420 rpm", "the starts of the duty, 2700 N·m, 1800 rpm"
    here = [item for item in tram.shown.requirements if item.station == "stress"]
    assert f"S λ = 0.92, at least 1.20; worst at {slow}." in words(trouble_html(tram.shown, here))
    said = words(needs_html(tram, "stress", Folds()))
    assert f"Worst at {slow}; the numbers are those there. The film hangs on speed" in said
    assert f"Worst at {starts};" in said
    assert "At 1.13 times the torque the sum comes to what is agreed" in said
    told = words(argument_html(tram, "stress"))
    assert f"scuffing at {starts}; micropitting at {slow}." in told
    assert "distance from each point" not in told
    assert f"by ISO 6336-5:2016, at {starts}," in words(argument_html(tram, "case depth"))


def test_without_a_duty_no_step_is_named(state):
    assert worst_step(state.shown, "stress.scuffing.wheel") == ""
    assert "distance from each point" in argument_html(state, "stress")
    assert "Worst at" not in needs_html(state, "stress", Folds())


def test_each_curve_says_its_step_and_stands_over_the_line_where_it_fails(tram):
    mesh = tram.shown.chain.meshes[0]
    by_key = {one.key: one for one in courses(tram.record, mesh).known}
    film = by_key["specific film"]
    assert film.limit == pytest.approx(0.12 * 1.2)
    assert by_key["pressure"].at_step != film.at_step
    drawing = course_drawing(courses(tram.record, mesh), "specific film")
    assert f"Specific film λ, at {film.at_step}" in written(drawing)
