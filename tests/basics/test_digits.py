import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.digits import NO_BREAK, THIN, decimals_text, number_text, value_text

RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def read_back(text):
    mantissa, _, power = text.replace(THIN, "").replace("−", "-").partition("·10")
    return float(f"{mantissa}e{power.translate(RAISED) or 0}")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (24.0, "24"),
        (1.62, "1.62"),
        (1.62004, "1.620"),
        (-0.35, "−0.35"),
        (0.0, "0"),
        (-0.0, "0"),
        (9999.6, f"10{THIN}000"),
        (12345.678, f"12{THIN}346"),
        (1234567.0, f"1{THIN}234{THIN}567"),
        (2.22e9, "2.22·10⁹"),
        (2.2200004e9, "2.220·10⁹"),
        (1e-5, "1·10⁻⁵"),
        (0.000123456, "0.0001235"),
        (0.1 + 0.2, "0.3"),
        (20.000000000000004, "20"),
        (float("inf"), "∞"),
        (float("nan"), "no value"),
        (None, "no value"),
    ],
)
def test_numbers_are_written_without_noise(value, text):
    assert number_text(value) == text


@given(st.floats(-1e12, 1e12).filter(lambda value: abs(value) > 1e-12), st.integers(2, 7))
def test_a_printed_number_reads_back_within_its_digits(value, digits):
    assert read_back(number_text(value, digits)) == pytest.approx(value, rel=0.5001 * 10.0 ** (1 - digits))


def test_a_unit_never_stands_alone_on_the_next_line():
    assert value_text(32.0, "mm") == f"32{NO_BREAK}mm"
    assert value_text(20.0, "°") == "20°"
    assert value_text(1.5) == "1.5"
    assert value_text(None, "mm") == "no value"


def test_an_array_shows_its_range_and_how_many_have_a_value():
    assert value_text(np.array([0.7, 1.2, 0.9]), "mm") == f"0.7 to 1.2{NO_BREAK}mm (3 values)"
    assert value_text(np.array([0.7, np.nan]), "mm") == f"0.7{NO_BREAK}mm (1 of 2 values)"
    assert value_text(np.array([2.0, 2.0])) == "2 (2 values)"
    assert value_text(np.array([np.nan])) == "no value"


def test_fixed_decimals_never_show_minus_zero():
    assert decimals_text(-0.001, 2) == "0.00"
    assert decimals_text(-1.005, 1, "mm") == f"−1.0{NO_BREAK}mm"
    assert decimals_text(None, 2) == "no value"
