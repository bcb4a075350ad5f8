"""The pictures of fatigue tests: what stands on them, and where."""

import numpy as np
import pytest

from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.residuals import fit_residuals
from gearcheck.figures.fatigue_curve import CurveLine, DutyMark, Mark, SpecimenMarks, Weight, curve_drawing
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
