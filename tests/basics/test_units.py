"""Units are read from a short list of spellings; everything else is refused in words, and at once."""

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.units import quantity

UNITS = ["mm", "µm", "°", "N·m", "1/min", "h", "mm²/s", "1/in"]


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1.26 in", "mm", 32.004),
        ("12°", "°", 12.0),
        ("0.5 rad", "°", 28.64788975654116),
        ("1480 1/min", "1/min", 1480.0),  # revolutions, not radians, in a minute
        ("1480 rpm", "1/min", 1480.0),
        ("850 Nm", "N·m", 850.0),
        ("0.85 kN·m", "N·m", 850.0),
        ("1000 lbf·in", "N·m", 112.9848290276167),
        ("5 1/in", "1/in", 5.0),
        ("220 cSt", "mm²/s", 220.0),
        ("12 μm", "µm", 12.0),  # the Greek letter instead of the micro sign
        ("1.5e3 h", "h", 1500.0),
    ],
)
def test_spellings_of_the_trade(text, unit, value):
    assert quantity(text, unit, "x") == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "32,5 mm",
        "32",
        "mm",
        "",
        "1e400 mm",
        "nan mm",
        "inf mm",
        "1_000 mm",
        "5 kg",
        "5 '",
        "1 9**9**9*mm",
        "5 mm/",
        "5 \ud800",
        True,
        None,
        5,
        5.0,
        ["5 mm"],
        b"5 mm",
    ],
    ids=ascii,
)
def test_anything_else_is_refused(text):
    with pytest.raises(InputError, match="needed: a number with its unit"):
        quantity(text, "mm", "x")


@given(
    text=st.text() | st.from_regex(r"\d{1,3} ?[a-zµ°·²/*1]{1,6}", fullmatch=True), unit=st.sampled_from(UNITS)
)
@settings(max_examples=300, deadline=None)
def test_no_text_breaks_it(text, unit):
    with contextlib.suppress(InputError):
        assert isinstance(quantity(text, unit, "x"), float)
