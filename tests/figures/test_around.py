"""Index deviations around the gear: places, scale, names."""

import numpy as np
import pytest

from gearcheck.figures.around import Around, around_drawing


def flank(name, at_deg, teeth=24, amplitude=9.0):
    turn = 2 * np.pi * np.arange(teeth) / teeth
    index = amplitude * np.cos(turn - np.radians(at_deg))
    return Around(flank=name, index_um=index, once_um=amplitude, once_at_deg=at_deg)


def test_a_wave_of_one_turn_lies_on_its_circle():
    drawing = around_drawing([flank("left", 0.0)])
    measured, wave = drawing.rows["lines"], drawing.rows["once"]
    # tooth 1 stands at the top, where the wave is greatest
    assert measured["x"][0] == pytest.approx(0.0, abs=1e-12)
    assert measured["y"][0] == measured["y"].max() == pytest.approx(1.45)
    assert wave["y"].max() == pytest.approx(1.45)
    assert "18.0 µm from least to greatest; 9.0 µm of amplitude come once a turn" in drawing.words
    assert drawing.rows["named"]["label"].tolist() == ["+5 µm"]


def test_teeth_count_clockwise_and_the_line_closes():
    drawing = around_drawing([flank("left", 90.0), flank("right", -90.0)])
    teeth = drawing.rows["teeth"]
    assert teeth["label"][0] == "tooth 1"
    assert teeth["x"][1] > 0
    left = drawing.rows["lines"].query("flank == 'left'")
    assert len(left) == 25
    assert (left["x"].iloc[0], left["y"].iloc[0]) == pytest.approx((left["x"].iloc[-1], left["y"].iloc[-1]))
    assert drawing.rows["to_right"]["label"].tolist() == ["left flanks"]
    assert drawing.rows["to_left"]["label"].tolist() == ["right flanks"]


def test_two_flanks_that_lean_the_same_way_are_named_apart():
    drawing = around_drawing([flank("left", 80.0), flank("right", 100.0)])
    assert drawing.rows["to_right"]["label"].tolist() == ["left flanks"]
    assert drawing.rows["to_left"]["label"].tolist() == ["right flanks"]


def test_a_gear_without_a_deviation_can_be_drawn():
    nothing = Around(flank="left", index_um=np.zeros(20), once_um=0.0, once_at_deg=0.0)
    assert np.isfinite(around_drawing([nothing]).rows["lines"][["x", "y"]]).all(axis=None)
