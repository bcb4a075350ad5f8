from dataclasses import replace

import pytest

from gearcheck.report.sections import station_names, station_sentence, workings
from gearcheck.requirements.types import Calculation, Evidence, Reserve
from tests.report.markup import Markup


def with_answers(whole, *answers):
    """The review with as many requirements of stress as there are answers."""
    made = next(item for item in whole.requirements if item.station == "stress")
    items = tuple(
        replace(
            made,
            title=f"Number {n}",
            by_calculation=calculation,
            by_evidence=evidence,
            reserve=Reserve(factor=factor),
        )
        for n, (calculation, evidence, factor) in enumerate(answers)
    )
    return replace(whole, requirements=items)


MEETS, FAILS, UNKNOWN = Calculation
SHOWN, OPEN, STALE, CONTRADICTED, LATER = Evidence


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        ((), "Nothing is required here."),
        (
            [(MEETS, LATER, 1.4), (MEETS, LATER, 1.2)],
            "Both requirements meet by calculation. Tightest is number 1, with a torque reserve of 1.20.",
        ),
        (
            [(MEETS, CONTRADICTED, None)] * 3,
            "All 3 requirements meet by calculation. By evidence, 3 are contradicted.",
        ),
        ([(FAILS, STALE, None)], "By calculation, the one requirement fails. By evidence, it is stale."),
        (
            [(MEETS, OPEN, None), (UNKNOWN, LATER, None), (UNKNOWN, OPEN, None)],
            "By calculation, of 3 requirements 1 meets and 2 are not assessed. By evidence, 2 are open.",
        ),
    ],
)
def test_a_station_says_both_answers_in_a_sentence(hostile, answers, sentence):
    assert station_sentence(with_answers(hostile, *answers), "stress") == sentence


@pytest.mark.parametrize(
    ("words", "tightest"),
    [
        ("no torque fixes it", "the worst; torque reserve: no torque fixes it."),
        ("over 20", "number 0, with a torque reserve of 0.80."),
    ],
)
def test_nothing_is_tighter_than_what_no_torque_fixes(hostile, words, tightest):
    whole = with_answers(hostile, (FAILS, LATER, 0.8))
    other = replace(whole.requirements[0], title="The worst", reserve=Reserve(factor=None, words=words))
    whole = replace(whole, requirements=(*whole.requirements, other))
    assert station_sentence(whole, "stress").endswith(f"Tightest is {tightest}")


def test_the_stations_stand_in_their_order(hostile):
    assert station_names(hostile) == ("geometry", "stress", "case depth", "accuracy", "inspection")


def test_measured_pitch_has_its_workings_too(hostile):
    text = Markup(workings(hostile, "accuracy").html).text
    assert "Measured pitch, serial number 0007" in text


def test_every_result_is_shown_once(hostile):
    text = "".join(workings(hostile, name).html for name in station_names(hostile))
    for step in hostile.workings:
        assert text.count(f"<h4>{step.title} <small>") == 1
