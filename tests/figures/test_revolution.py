"""Measured teeth under load, the scatter of many gears, and what reliefs can be had."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.figures.front import Tried, front_drawing
from gearcheck.figures.made import made_drawing
from gearcheck.figures.revolution import Turn, spectrum_drawing, turn_drawing
from tests.figures.drawn import written

TEETH, POSITIONS = 23, 16


def turn(depth=0.4):
    """Once a turn 3 µm, at the mesh 1 µm that grows and falls once a turn."""
    angle = 2 * np.pi * np.arange(TEETH * POSITIONS) / (TEETH * POSITIONS)
    error = 3 * np.cos(angle) + np.cos(TEETH * angle) * (1 + depth * np.cos(angle))
    return Turn(teeth=TEETH, error_um=error, amplitude_um=2 * np.abs(np.fft.rfft(error))[1:] / error.size)


def test_what_comes_once_a_turn_is_told_apart():
    drawing = turn_drawing(turn())
    assert "once a turn 6.00 µm" in written(drawing)
    assert np.ptp(drawing.rows["once"]["error"]) == pytest.approx(6.0, abs=1e-3)


def test_mesh_orders_carry_their_amplitude_and_sidebands_their_place():
    drawing = spectrum_drawing(turn())
    assert {"z 1.00", "z − 1", "z + 1", "once a turn"} <= set(written(drawing))
    assert "z − 1 0.20 µm" in drawing.words
    assert not any("2z" in one for one in written(drawing))
    assert not any("z −" in one for one in written(spectrum_drawing(turn(depth=0.0))))


def test_bars_hold_every_gear_and_the_marks_stand_apart():
    values = np.random.default_rng(1).normal(4.0, 0.5, 400)
    drawing = made_drawing(values, title="TE from peak to peak", unit="µm", digits=2, drawn=3.1, agreed=6.0)
    assert drawing.rows["bars"]["gears"].sum() == 400
    most = np.percentile(values, 95)
    assert {"as drawn 3.10", f"19 of 20 below {most:.2f}", "agreed 6.00"} <= set(written(drawing))
    assert drawing.rows["marks"]["gears"].is_unique
    wide = made_drawing(10 * values, title="TE", unit="µm", digits=2, drawn=3.1)
    assert "40" in written(wide)  # not 4e+1


def test_gears_that_are_all_alike_can_be_drawn():
    drawing = made_drawing(np.full(5, 4.0), title="TE", unit="µm", digits=2, drawn=4.0)
    assert drawing.rows["bars"]["gears"].tolist() == [5]


def test_the_front_shows_what_is_looked_at_and_the_flanks_as_drawn():
    tried = Tried(
        error_um=np.array([2.0, 3.0, 4.0, 4.5, 90.0]),
        pressure_MPa=np.array([1500.0, 1300.0, 1200.0, 1400.0, 1250.0]),
        front=(0, 1, 2),
        drawn=(4.5, 1400.0),
        left_out=np.array([False, False, False, False, False]),
    )
    drawing = front_drawing(tried, 1)
    assert {"3.00 µm, 1300 MPa", "as drawn"} <= set(written(drawing))
    assert drawing.rows["front"]["place"].tolist() == [0, 1, 2]
    assert drawing.rows["behind"]["um"].tolist() == [4.5]  # what lies far out would crush the front
    assert drawing.rows["left_out"].empty
    assert "5 flanks tried, 0 of them left out, 3 cannot be bettered in both" in drawing.words
    out = front_drawing(replace(tried, left_out=np.arange(5) == 3), 1)
    assert out.rows["behind"].empty
    assert out.rows["left_out"]["um"].tolist() == [4.5]
