"""Where the load sits: every cell drawn once, the peak named, what presses beyond the path flagged."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.figures import tones
from gearcheck.figures.contact_map import FlankPressure, patterns_drawing, pressure_map_drawing, top_of
from tests.figures.drawn import written

PATH, WIDTH = 16.0, 40.0


def pressed(slices=8, reach=(2, 6), corner=False):
    """A flank of 8 x 16 cells of which the slices of `reach` press, most in the middle of the path."""
    face, place = np.meshgrid((np.arange(slices) + 0.5) * WIDTH / slices, np.arange(16) + 0.5)
    on = (face > reach[0] * WIDTH / slices) & (face < reach[1] * WIDTH / slices)
    pressure = 1000.0 - 40.0 * np.abs(place - 8.5) - np.abs(face - 20.0)
    found = FlankPressure(
        place_mm=place[on],
        face_mm=face[on],
        pressure_MPa=pressure[on],
        at_corner=np.zeros(on.sum(), dtype=bool),
        step_mm=1.0,
        slice_mm=np.full(int(on.sum()), WIDTH / slices),
        path_mm=PATH,
        width_mm=WIDTH,
        corner_share=0.0,
        pattern_mm=(reach[0] * WIDTH / slices, reach[1] * WIDTH / slices),
    )
    if not corner:
        return found
    return replace(
        found,
        place_mm=np.append(found.place_mm, PATH + 0.5),
        face_mm=np.append(found.face_mm, 17.5),
        slice_mm=np.append(found.slice_mm, WIDTH / slices),
        pressure_MPa=np.append(found.pressure_MPa, 700.0),
        at_corner=np.append(found.at_corner, True),
        corner_share=0.06,
    )


def test_every_cell_that_presses_is_drawn_and_the_largest_is_named():
    found = pressed()
    drawing = pressure_map_drawing(found)
    cells = drawing.rows["cells"]
    assert len(cells) == found.pressure_MPa.size
    assert cells["MPa"].max() == pytest.approx(997.5)
    assert "largest 998 MPa" in written(drawing)
    assert "load from 10.0 to 30.0 mm of 40.0 mm" in drawing.words


def test_a_corner_that_presses_is_flagged_in_words_and_as_a_mark():
    flagged, clean = (pressure_map_drawing(pressed(corner=corner)) for corner in (True, False))
    assert "E: tip of the pinion; ▲ its corner presses beyond the path" in written(flagged)
    assert "A: tip of the wheel" in written(flagged)
    assert len(flagged.rows["corners"]) == 1
    assert "E: tip of the pinion" in written(clean)
    assert clean.rows["corners"].empty


def test_the_end_of_the_face_that_the_pattern_reaches_is_marked():
    ends = [
        pressure_map_drawing(pressed(reach=one)).rows["face_ends"]["x"].tolist() for one in ((2, 6), (4, 8))
    ]
    assert ends == [[], [WIDTH]]


def test_the_record_stays_as_an_outline():
    drawing = pressure_map_drawing(pressed(), pressed(reach=(0, 3)))
    outline = drawing.rows["record"]
    assert (outline["x"].min(), outline["x"].max()) == (0.0, 15.0)
    assert (outline["y"].min(), outline["y2"].max()) == (0.0, 16.0)
    assert pressure_map_drawing(pressed()).rows["record"].empty


def test_the_scale_of_the_tones_holds_while_a_slider_moves_a_little():
    assert top_of(pressed()) == 1000.0
    near = replace(pressed(), pressure_MPa=pressed().pressure_MPa * 0.95)
    assert pressure_map_drawing(near, pressed()).layout is pressure_map_drawing(pressed(), near).layout


def test_the_patterns_grow_side_by_side_each_with_its_torque_and_its_share_of_the_face():
    drawing = patterns_drawing([pressed(reach=(3, 5)), pressed(), pressed(reach=(0, 8))], (0.25, 0.5, 1.0))
    assert {"25 %", "50 %", "100 %", "25 % of b", "50 % of b", "100 % of b"} <= set(written(drawing))
    widths = drawing.rows["patterns"].groupby("torque")["x"].agg(np.ptp)
    assert widths.loc[["25 %", "50 %", "100 %"]].tolist() == pytest.approx([0.25, 0.5, 1.0])


def lightness(tone):
    """CIE L* of a tone, IEC 61966-2-1 and ISO/CIE 11664-4, from memory."""
    part = np.array([int(tone[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    return 116 * np.cbrt(linear @ [0.2126, 0.7152, 0.0722]) - 16


def test_the_tones_of_pressure_fall_in_even_steps_of_lightness():
    steps = -np.diff([lightness(tone) for tone in tones.PRESSURE])
    assert steps == pytest.approx(np.full(steps.size, steps.mean()), rel=0.02)
    assert steps.mean() > 10
