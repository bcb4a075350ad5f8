"""The picture of hardness over depth: what stands on it, and where."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.figures.depths import depth_lines
from gearcheck.figures.hardness import hardness_curves, hardness_drawing
from gearcheck.hardening.exposure import subsurface_exposure
from gearcheck.hardening.needed import needed_hardness_HV
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import State
from gearcheck.review.whole import review
from tests.checks import cases, holds


@pytest.fixture(scope="module")
def lift():
    return review(read_gear_file(scenarios() / "ship_lift" / "gear.toml"))


@pytest.mark.parametrize(
    "check", cases("hardening", "gearcheck.hardening.needed:needed_hardness_HV"), ids=str
)
def test_needed_hardness(check):
    holds(check, hardness_HV=needed_hardness_HV(**check.inputs))


def test_where_the_hardness_is_the_one_needed_the_exposure_is_one(lift):
    solved = lift.settled[0].required
    contact = {"half_width_mm": solved.half_width_mm, "pressure_MPa": solved.pressure_MPa}
    depth = np.array([0.2, 0.6, 1.1])
    needed = needed_hardness_HV(depth_mm=depth, **contact, safety=1.2)
    found = subsurface_exposure(
        **contact,
        surface_hardness_HV=697.0,
        core_hardness_HV=336.0,
        case_depth_mm=1.0,
        safety=1.2,
        depth_mm=depth,
    )
    harder = found.hardness_HV > needed
    assert np.array_equal(harder, found.exposure < 1)


def test_the_shallowest_case_crosses_550_where_it_is_drawn_and_lies_above_what_is_needed(lift):
    needed, least, deepest = hardness_curves(lift)[:3]
    drawn = lift.record.gear.case.finished_min_mm
    assert np.interp(drawn, least.depth_mm, least.hardness_HV) == pytest.approx(550, abs=1)
    assert np.all(least.hardness_HV >= needed.hardness_HV - 1e-9)
    assert np.all(deepest.hardness_HV >= least.hardness_HV)


def test_a_traverse_is_moved_by_the_stock_that_came_off_or_the_largest_that_is_drawn(lift):
    (pitch_line,) = (item for item in lift.record.traverse if item.place == "pitch line")
    (untold,) = (curve for curve in hardness_curves(lift) if curve.points)
    assert untold.label == "measured, right flank, largest stock off"
    assert untold.depth_mm[-1] == pytest.approx(4.0 - 0.25)

    def measured(**changes):
        record = replace(lift.record, traverse=(replace(pitch_line, **changes),))
        (curve,) = (one for one in hardness_curves(replace(lift, record=record)) if one.points)
        return curve

    whole, ground = measured(state=State.FINISHED), measured(stock_removed_mm=0.2)
    assert whole.depth_mm[-1] - ground.depth_mm[-1] == pytest.approx(0.2)
    assert np.all(ground.depth_mm >= 0)


def test_the_drawing_says_in_words_what_it_shows(lift):
    drawing = hardness_drawing(hardness_curves(lift), depth_lines(lift, lift))
    assert "needed against yielding" in drawing.words
    assert "drawn, finished, least 1.60 mm" in drawing.words
    assert len(drawing.rows["limit"]) == 2


def test_without_a_case_there_is_no_picture(lift):
    bare = replace(lift, record=replace(lift.record, gear=replace(lift.record.gear, case=None)))
    assert hardness_curves(bare) == ()
