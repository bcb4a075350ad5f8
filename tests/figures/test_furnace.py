"""The charts of furnace and grind: what stands on them."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.figures.furnace import carbon_drawing, course_drawing, ground_drawing, predicted_drawing
from gearcheck.figures.hardness import hardness_curves
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.treated import Ground, predicted
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


@pytest.fixture(scope="module")
def found(tram):
    return predicted(tram)


def test_the_course_begins_with_the_core_and_names_each_potential_once(tram, found):
    drawing = course_drawing(tram.furnace, found.treated)
    surface = drawing.rows["surface"]
    assert surface["carbon"].iloc[0] == pytest.approx(0.18)
    assert surface["at"].iloc[-1] == pytest.approx(6.7)
    said = [*drawing.rows["above"]["label"], *drawing.rows["below"]["label"]]
    assert said == ["potential 1.05 %", "potential 0.75 %"]
    assert list(drawing.rows["steps"]["label"]) == ["930 °C", "930 °C", "930 to 840 °C"]
    assert list(drawing.rows["early"]["label"]) == ["930 °C", "930 °C"]
    assert list(drawing.rows["late"]["label"]) == ["930 to 840 °C"]
    assert drawing.rows["late"]["at"].iloc[0] == pytest.approx(6.7)


def test_without_a_hardness_there_is_no_chart_of_it(tram):
    thick = replace(tram, furnace=replace(tram.furnace, section_mm=500.0))
    found = predicted(thick)
    assert predicted_drawing(found.treated, tram.gear.case) is None
    assert ground_drawing(found.ground) is None


def test_a_rehardened_skin_has_no_hardness(tram):
    hot = replace(tram, grinding=replace(tram.grinding, specific_energy_J_mm3=90.0))
    assert "the surface is rehardened after the pass" in ground_drawing(predicted(hot).ground).words


def test_carbon_and_hardness_say_their_depths(tram, found):
    assert "it falls to 0.35 %" in carbon_drawing(found.treated).words
    drawing = predicted_drawing(found.treated, tram.gear.case)
    assert list(drawing.rows["window"]["label"]) == ["least drawn 0.95 mm", "most drawn 1.25 mm"]
    assert np.all(drawing.rows["band"]["to"] >= drawing.rows["band"]["hardness"])
    assert len(predicted_drawing(found.treated, None).rows["window"]) == 0


def test_the_ground_flank_is_drawn_where_its_hardness_is_known(tram, found):
    hot = ground_drawing(predicted(changed(tram, {"grind_energy": 80.0})).ground)
    assert hot.rows["after"]["hardness"].iloc[0] < hot.rows["before"]["hardness"].iloc[0]
    assert list(hot.rows["below"]["label"]) == ["after it"]
    plain = ground_drawing(found.ground)
    assert list(plain.rows["below"]["label"]) == ["before and after the pass"]
    burnt = ground_drawing(predicted(changed(tram, {"depth_of_cut": 0.04})).ground)
    assert np.isnan(burnt.rows["after"]["hardness"].iloc[0])
    assert ground_drawing(Ground(heat=found.ground.heat, softening=None, limit=None)) is None


def test_the_picture_shows_what_is_predicted_below_the_finished_flank(tram):
    whole = review(tram)
    soft, hard = (one for one in hardness_curves(whole) if one.label.startswith("predicted"))
    treated = whole.predicted.treated
    assert soft.hardness_HV[0] == pytest.approx(np.interp(0.14, treated.depth_mm, treated.softest_HV))
    assert hard.hardness_HV[0] == pytest.approx(np.interp(0.08, treated.depth_mm, treated.hardest_HV))
