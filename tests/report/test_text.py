import re

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.report.text import bar, text_report
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import blocking, outcome, review
from gearcheck.review.words import answers_text, evidence_word


@pytest.fixture(scope="module", params=["tunnel_fan", "ship_lift", "harvester"])
def whole(request):
    return review(read_gear_file(scenarios() / request.param / "gear.toml"))


def test_bars_leave_the_line_of_one_to_the_side_that_counts():
    assert bar(1.0) == " " * 14 + "|"
    assert bar(0.8) == " " * 10 + "####|"
    assert bar(1.2) == " " * 14 + "|===="
    assert bar(0.05) == "<" + "#" * 13 + "|"
    assert bar(5.0) == " " * 14 + "|" + "=" * 19 + ">"


def test_the_page_says_outcome_answers_and_what_blocks(whole):
    text = text_report(whole)
    assert outcome(whole) in text
    for item in whole.requirements:
        lines = [line for line in text.splitlines() if item.title in line and evidence_word(item) in line]
        assert any(line.startswith(str(item.by_calculation)) for line in lines)
        assert not item.reason or item.reason in text
    for item in blocking(whole):
        assert f"  {item.title}: {answers_text(item)}\n" in text


def test_the_ladder_stands_worst_first(whole):
    ladder = text_report(whole).partition("Torque reserve")[2].partition("\n\n")[0]
    numbers = [float(number) for number in re.findall(r" (\d+\.\d\d) +[#<|]", ladder)]
    assert len(numbers) >= 4
    assert numbers == sorted(numbers)


def test_cautions_and_stops_are_shown_and_notes_are_not(whole):
    text = text_report(whole)
    for notice in whole.notices:
        assert (notice.text in text) == (notice.level != "note")
