"""The exposures over depth: what is drawn is what was found, and every line is named once."""

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.figures.exposures import exposures_drawing, short_name
from gearcheck.hardening.criteria import Criterion
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def held():
    return review(read_gear_file(scenarios() / "tram_bogie" / "gear.toml")).balance.held


def test_the_lines_are_the_exposures(held):
    for one in held:
        drawing = exposures_drawing(one.exposure, 1.5)
        rows = drawing.rows["lines"]
        for criterion in Criterion:
            line = rows[rows["label"] == short_name(criterion)]
            expected = np.interp(line["depth"], one.exposure.depth_mm, one.exposure.of(criterion))
            assert line["exposure"].to_numpy() == pytest.approx(np.maximum(expected, 0))
            assert line["depth"].max() <= 1.5
            largest, depth = one.largest(criterion)
            assert f"{criterion} at most {largest:.2f} at {depth:.2f} mm" in drawing.words


def test_every_line_has_one_name(held):
    drawing = exposures_drawing(held[0].exposure, 1.5)
    names = [*drawing.rows["above"]["label"], *drawing.rows["below"]["label"]]
    assert sorted(names) == sorted(short_name(one) for one in Criterion)
    top = drawing.rows["frame"]["exposure"].max()
    assert top > max(1.0, drawing.rows["lines"]["exposure"].max())
