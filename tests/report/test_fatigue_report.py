"""The tests of specimens in the report: what was left out is counted, and what was typed is escaped."""

from dataclasses import replace

import pytest

from gearcheck.basics.digits import NO_BREAK
from gearcheck.basics.places import scenarios
from gearcheck.duty.damage import BelowKnee
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.fatigue.endurance import endurance_test
from gearcheck.fatigue.fit import FIT
from gearcheck.fatigue.inputs import Curve
from gearcheck.report.fatigue import SCATTER, fatigue
from gearcheck.report.sections import job
from gearcheck.review.as_json import as_plain
from gearcheck.review.fatigue_inputs import ExcludedSpecimen
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def record():
    return read_gear_file(scenarios() / "harvester" / "gear.toml")


def told(record, **changed):
    tests = replace(record.fatigue.tests[0], **changed)
    return fatigue(review(replace(record, fatigue=replace(record.fatigue, tests=(tests,))))).html


def test_what_was_counted_and_what_was_left_out(record):
    html = told(record)
    for words in (
        "40 specimens, 1 of them left out, 0 tested again",
        "P34 is left out: When it was taken out, the jaw",
        "<td>886</td><td>9</td><td>6</td><td>3</td>",
        "converged",
        "<td>rig</td>",
        "<td>open</td>",
        "counted with the teeth",
        "2 gears at 2300 N·m for 400 h".replace(" N", NO_BREAK + "N").replace(" h", NO_BREAK + "h"),
    ):
        assert words in html


def test_what_was_typed_is_escaped(record):
    reason = "<script>x</script>"
    html = told(record, excluded=(ExcludedSpecimen(specimen="P01", reason=reason),), because=reason)
    assert "<script>" not in html
    assert html.count("&lt;script&gt;") == 2


def test_without_a_footing_it_says_why(record):
    names = record.fatigue.tests[0].table.specimen[1:]
    alone = tuple(ExcludedSpecimen(specimen=name, reason="one alone") for name in names)
    html = told(record, excluded=alone)
    assert "39 of them left out" in html
    assert "One specimen shows one life" in html


def test_the_chance_of_passing_is_one_number_wherever_it_is_told(record):
    whole = review(record)
    html = fatigue(whole).html
    workings = as_plain(whole)["workings"]
    given = [
        term["value"]
        for step in workings
        if step["title"].startswith("Endurance test planned")
        for term in step["terms"]
        if term["name"] == "passed"
    ]
    for life, passed in zip(whole.fatigue, given, strict=True):
        again = endurance_test(
            fit=life.fit,
            parameters=life.draws.parameters,
            weights=life.draws.weights,
            service=life.endurance,
            gears=record.fatigue.endurance.gears,
        )
        assert passed == life.passing.passed == again.passed
        assert f"{100 * passed:.1f}{NO_BREAK}%" in html
    assert f"over 99.9{NO_BREAK}%, were the fitted curve the truth" in html


def test_the_inputs_of_the_tests_read_as_they_are_typed(record):
    html = job(review(record)).html
    assert "Tests of the flank" in html
    for words in ("of fatigue tests", "of difference", "of excluded", "840.607127965"):
        assert words not in html
    assert f"840.6071{NO_BREAK}N·m" in html
    sure = replace(record, required=replace(record.required, reliability=0.999999999))
    assert "0.999999999" in job(review(sure, with_settled=False)).html


def test_each_source_has_its_year():
    assert FIT.cite.startswith(
        "Nelson, Accelerated Testing, 1990; Pascual and Meeker, Technometrics 41, 1999, "
    )


def test_every_curve_says_what_its_scatter_is():
    assert set(SCATTER) == set(Curve)


def test_few_gears_and_a_stress_without_a_value_are_told_in_words(record):
    assert "The specimens are teeth of 5 gears" in told(record)
    apart = replace(record.fatigue.tests[0].table, gear=record.fatigue.tests[0].table.specimen)
    assert "The specimens are teeth of" not in told(record, table=apart)
    step = Bin(torque_Nm=10.0, speed_rpm=300.0, hours=50.0)
    html = told(replace(record, duty=Duty(bins=(step,), below_knee=BelowKnee.SAME_SLOPE)))
    assert "Against wheel: With confidence over 20 times the stresses" in html
    assert "the tests support" not in html
