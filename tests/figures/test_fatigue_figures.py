"""The pictures of fatigue tests: what stands on them, and where."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.residuals import fit_residuals
from gearcheck.figures.fatigue_curve import CurveLine, DutyMark, Mark, SpecimenMarks, Weight, curve_drawing
from gearcheck.figures.fatigue_life import LostLine, lost_by_life, lost_by_stress, shares_drawing
from gearcheck.figures.fatigue_residuals import probability_drawing, residuals_drawing
from tests.fatigue.samples import SETS
from tests.figures.drawn import written

RUN_OUT = 6e6
LIVES = np.array([1e5, 1e6, 6e6, 6e7])


@pytest.fixture(scope="module")
def tests():
    given = SETS["tooth_bending"]
    return FatigueData(
        stress_MPa=np.array(given["stress"]),
        cycles=np.array(given["cycles"], float),
        failed=np.array(given["failed"], bool),
    )


@pytest.fixture(scope="module")
def fit(tests):
    return fatigue_fit(data=tests, curve=Curve.CURVED)


def drawn(tests, fit, marks=None, **more):
    marks = marks or [Mark.FAILED if failed else Mark.RAN_OUT for failed in tests.failed]
    shown = SpecimenMarks(
        stress_MPa=tests.stress_MPa,
        cycles=tests.cycles,
        marks=tuple(marks),
        names=tuple(f"P{number}" for number in range(tests.count)),
    )
    stress = fit.strength_MPa(cycles=LIVES, failed_share=0.5)
    median = CurveLine(label="median", cycles=LIVES, stress_MPa=stress, weight=Weight.SPECIMENS)
    return curve_drawing(shown, [median], run_out_cycles=RUN_OUT, **more)


def test_run_outs_of_one_level_lie_on_one_another_and_are_counted(tests, fit):
    drawing = drawn(tests, fit)
    out = drawing.rows["ran_out"]
    assert len(drawing.rows["failed"]) == tests.failed.sum()
    assert len(out) < (~tests.failed).sum()
    assert set(out["cycles"]) == {RUN_OUT}
    assert "×6" in written(drawing)
    assert f"{int(tests.failed.sum())} failed, {int((~tests.failed).sum())} ran out" in drawing.words


def test_what_does_not_count_has_a_mark_and_a_word_of_its_own(tests, fit):
    marks = [Mark.FAILED if failed else Mark.RAN_OUT for failed in tests.failed]
    marks[3], marks[18] = Mark.LEFT_OUT, Mark.AGAIN
    drawing = drawn(tests, fit, marks)
    said = written(drawing)
    assert "P3 left out" in said
    assert "P18 tested again" in said
    assert len(drawing.rows["left_out"]) == len(drawing.rows["again"]) == 1


def test_a_curve_is_faint_beyond_the_run_out_life_and_cut_above_the_tests(tests, fit):
    rows = drawn(tests, fit).rows
    assert rows["specimens"]["cycles"].max() == RUN_OUT
    assert rows["specimens beyond"]["cycles"].min() == RUN_OUT
    assert rows["specimens"]["stress"].max() <= rows["frame"]["stress"].max()
    assert rows["run_out"]["label"].item() == "run-out life 6 000 000: nothing was tested beyond".replace(
        " 000", "\u202f000"
    )


def test_stresses_of_the_duty_stand_at_the_axis_and_what_lies_below_is_told(tests, fit):
    duty = [
        DutyMark(stress_MPa=1200.0, label="dig 1200 MPa"),
        DutyMark(stress_MPa=300.0, label="idle 300 MPa"),
    ]
    drawing = drawn(tests, fit, duty=duty)
    said = written(drawing)
    assert "dig 1200 MPa" in said
    assert "idle 300 MPa: below the chart" in said
    assert set(drawing.rows["duty"]["cycles"]) == {drawing.rows["frame"]["cycles"].min()}
    assert drawing.rows["duty"]["stress"].min() == drawing.rows["frame"]["stress"].min()


def test_a_thin_line_is_named_off_the_lines_that_are_argued_over():
    shown = SpecimenMarks(
        stress_MPa=np.array([900.0, 700.0]),
        cycles=np.array([1e5, 6e6]),
        marks=(Mark.FAILED, Mark.RAN_OUT),
        names=("P1", "P2"),
    )
    heavy = CurveLine(
        label="median", cycles=LIVES, stress_MPa=np.array([1000, 800, 700, 690.0]), weight=Weight.SPECIMENS
    )
    thin = [replace(heavy, label=name, weight=Weight.QUIET) for name in ("two slopes", "fixed fatigue limit")]
    drawing = curve_drawing(shown, [*thin, heavy], run_out_cycles=RUN_OUT)
    low, high = drawing.rows["frame"]["stress"]
    up = np.log(np.append(drawing.rows["ends"]["stress"], 690.0) / low) / np.log(high / low)
    assert np.diff(np.sort(up)).min() * drawing.layout["height"] > 9


def test_the_line_of_the_run_out_life_ends_at_the_axis(tests, fit):
    drawing = drawn(tests, fit)
    assert drawing.rows["run_out"]["foot"][0] == drawing.rows["frame"]["stress"][0]
    assert "'y2': {'value'" not in str(drawing.layout)  # a page in larger type would end it elsewhere


@pytest.mark.parametrize("distribution", Distribution)
def test_failures_lie_on_the_paper_of_their_distribution(tests, distribution):
    fit = fatigue_fit(data=tests, curve=Curve.CURVED, distribution=distribution)
    found = fit_residuals(fit=fit)
    drawing = probability_drawing(fit, found)
    points = drawing.rows["failed"]
    assert len(points) == tests.failed.sum()
    assert np.corrcoef(points["residual"], points["place"])[0, 1] > 0.95
    assert "50 %" in written(drawing)
    assert f"{distribution}, as fitted" in written(drawing)
    residuals = residuals_drawing(fit, found)
    assert len(residuals.rows["ran_out"]) == (~tests.failed).sum()
    assert "stress σ, MPa" in written(residuals)


LOST = np.array([1e-4, 1e-3, 0.01, 0.1, 0.5])


def over(place, label="sets of 2 gears"):
    return LostLine(label=label, place=np.array(place), lost=LOST, tone="#008a64")


def test_the_share_lost_is_drawn_over_the_life_with_where_the_tests_end():
    wanted = {"wanted_h": 8000.0, "agreed_lost": 0.01, "run_out_h": 300.0}
    drawing = lost_by_life([over([2e3, 5e3, 2e4, 9e4, 4e5])], **wanted)
    said = written(drawing)
    assert "life wanted 8000 h" in said
    assert "as many cycles as were tested, 300 h: beyond it a rule speaks" in said
    assert "may be lost: 1 %" in said
    assert "sets of 2 gears" in said
    assert drawing.rows["frame"]["at"].min() < 300
    assert lost_by_life([over(8000.0 * np.array([2e4, 1e5, 1e6, np.inf, np.inf]))], **wanted) is None


def test_the_share_lost_is_drawn_over_the_load_where_a_life_says_little():
    drawing = lost_by_stress([over([500.0, 540, 580, 630, 700])], duty_MPa=343.0, agreed_lost=0.01)
    assert "the duty, 343 MPa" in written(drawing)
    assert drawing.rows["lines"]["lost"].max() < 1


def test_parts_of_a_whole_are_named_with_their_share_and_very_small_ones_left_out():
    drawing = shares_drawing([("material", 0.6), ("load", 0.0), ("estimation", 0.4)], "share of the variance")
    assert {"material 60 %", "estimation 40 %"} <= set(written(drawing))
    assert not [text for text in written(drawing) if "load" in text]
    assert drawing.rows["bars"]["end"].max() == pytest.approx(1.0)
