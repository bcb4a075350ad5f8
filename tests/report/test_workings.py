from dataclasses import dataclass
from math import inf, radians
from typing import ClassVar

import numpy as np
import pytest

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result, term
from gearcheck.duty.cycles import load_cycles
from gearcheck.report.workings import symbol_pattern, working_lines
from tests.report.printed import number, worked_out_as_printed

METHOD = Method(
    key="test.sheet",
    title="Hand sheet",
    source="hand sheet",
    edition="",
    clause="",
    status=Status.COMMON_PRACTICE,
)


@dataclass(frozen=True, kw_only=True)
class Sheet(Result):
    method: ClassVar[Method] = METHOD
    angle_deg: Number = term("Pressure angle", "α", "°")
    width_mm: Number = term("Width", "b", "mm")
    half_width_mm: Number = term("Half-width", "b_H", "mm")
    shift: Number = term("Shift", "x")
    minimum: Number = term("Least", "m")
    cycles: Number = term("Cycles", "N")
    base: Number = term("Base", "d_b", "mm", "b·cos(α)² - min(b_H, x)")
    power: Number = term("Power", "P", "", "α²·x² + m·exp(x)/N^0.1")
    choice: Number = term("Choice", "Z", words="1 up to the knee, then falling", digits=3)


def sheet(**values):
    given = {"angle_deg": 20.0, "width_mm": 32.0, "half_width_mm": 0.26543, "shift": -0.35, "minimum": 2.0}
    given |= {"cycles": 2.22e9, "base": 28.6066, "power": 0.1, "choice": 0.97012} | values
    return Sheet(**given)


def by_symbol(result):
    return {line.symbol: line for line in working_lines(result)}


def test_a_given_term_prints_symbol_and_value():
    assert by_symbol(sheet())["α"].text == "α = 20°"
    assert by_symbol(sheet())["b"].text == "b = 32\u00a0mm"
    assert by_symbol(sheet())["b"].given


def test_the_longest_symbol_is_replaced_and_functions_are_left_alone():
    lines = by_symbol(sheet())
    assert lines["d_b"].numbers == "32·cos(20°)² − min(0.2654, (−0.35))"
    assert lines["P"].numbers == "(20°)²·(−0.35)² + 2·exp((−0.35))/(2.22·10⁹)^0.1"


def test_a_choice_prints_its_words():
    assert by_symbol(sheet())["Z"].text == "Z = 0.970 (1 up to the knee, then falling)"


def test_without_a_value_there_are_no_numbers():
    line = by_symbol(sheet(half_width_mm=None, base=None))["d_b"]
    assert line.text == "d_b = b·cos(α)² − min(b_H, x) = no value"


def test_an_array_shows_its_range():
    line = by_symbol(sheet(width_mm=np.array([30.0, 34.0]), base=np.array([26.5, 30.01])))["d_b"]
    assert line.text == "d_b = b·cos(α)² − min(b_H, x) = 26.50 to 30.01\u00a0mm (2 values)".replace(
        "26.50", "26.5"
    )


def test_the_evaluator_of_the_printed_numbers_is_sound():
    assert number("20°")[0] == pytest.approx(radians(20))
    line, symbols = by_symbol(sheet())["P"], symbol_pattern(by_symbol(sheet()))
    assert worked_out_as_printed(line.expression, line.numbers, symbols)[0] == pytest.approx(
        radians(20) ** 2 * 0.35**2 + 2 * np.exp(-0.35) / 2.22e9**0.1
    )
    value, slack = worked_out_as_printed("60·N·m", "60·1480·3.25", symbols)
    assert value == 60 * 1480 * 3.25
    assert slack == pytest.approx(60 * 3.25 * 0.5 + 60 * 1480 * 0.005)
    with pytest.raises(AssertionError):
        worked_out_as_printed("60·N·m", "61·1480·3", symbols)


def results_of_the_demos():
    from gearcheck.basics.places import scenarios
    from gearcheck.review.gear_file import read_gear_file
    from gearcheck.review.whole import review

    for file in sorted(scenarios().glob("*/gear.toml")):
        for step in review(read_gear_file(file)).workings:
            yield f"{file.parent.name}, {step.title}", step.result


def wrong_lines(title, result):
    """Printed lines whose numbers do not give the printed value within what rounding explains."""
    symbols = symbol_pattern(by_symbol(result))
    for line in working_lines(result):
        if not line.numbers:
            continue
        value, slack = worked_out_as_printed(line.expression, line.numbers, symbols)
        printed, half = number(line.value.partition("\u00a0")[0])
        if not abs(value - printed) <= 1.5 * slack + 1.01 * half + 1e-9 * abs(value) < inf:
            yield f"{title}: {line.text} (numbers give {value:.6g})"


def test_printed_numbers_give_the_printed_value():
    cycles = load_cycles(speed_rpm=1481.5, life_h=25000, contacts_per_revolution=3)
    assert not list(wrong_lines("cycles", cycles))
    wrong = sheet(base=28.7)
    assert list(wrong_lines("sheet", wrong))


def test_printed_numbers_of_every_demo_give_the_printed_value():
    pages = list(results_of_the_demos())
    assert len(pages) > 20
    assert not [text for title, result in pages for text in wrong_lines(title, result)]
