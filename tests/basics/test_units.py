"""Units are read from a short list of spellings; everything else is refused in words, and at once."""

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics import units
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
        ("32mm", "mm", 32.0),  # without the blank
        (" 32 mm ", "mm", 32.0),
        ("32\u00a0mm", "mm", 32.0),
        ("-.5 mm", "mm", -0.5),
        ("5. um", "mm", 0.005),
        ("1e-3 m", "mm", 1.0),
        ("20°", "°", 20.0),
        ("20 deg", "°", 20.0),
        ("6 1/mm", "1/in", 152.4),
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
        "1e308 m",  # finite as written, not in mm
        "1 degC",
        "1 mm**9999",
        "3 m*m",
        "20°",
        "0x10 mm",
        "1e mm",
        "- 5 mm",
        "\u22125 mm",  # a typographic minus
        "\u0663 mm",  # a digit of another script
        "1.000.000 mm",
        "5 MM",
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
@settings(max_examples=150, deadline=None)
def test_no_text_breaks_it(text, unit):
    with contextlib.suppress(InputError):
        assert isinstance(quantity(text, unit, "x"), float)


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.binary() | st.dates(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
)


@given(value=anything, unit=st.sampled_from(UNITS))
@settings(max_examples=100, deadline=None)
def test_no_value_breaks_it(value, unit):
    with contextlib.suppress(InputError):
        assert isinstance(quantity(value, unit, "x"), float)


@given(st.floats(-1e12, 1e12).filter(lambda value: value == 0 or abs(value) > 1e-12))
def test_a_value_in_its_own_unit_comes_back(value):
    for unit in UNITS:
        assert quantity(f"{value!r} {unit}", unit, "x") == pytest.approx(value, rel=1e-12, abs=1e-300)


@pytest.mark.parametrize("value", [16**5000, [16**5000]], ids=["number", "list"])
def test_a_number_too_long_to_print_is_refused(value):
    with pytest.raises(InputError, match="too long to print"):
        quantity(value, "mm", "x")


def test_a_comma_is_explained():
    with pytest.raises(InputError, match="write a decimal point, not a comma"):
        quantity("32,5 mm", "mm", "gear.face_width")


def test_a_bare_number_is_told_what_it_lacks():
    with pytest.raises(InputError) as raised:
        quantity(32, "mm", "gear.face_width")
    (fault,) = raised.value.faults
    assert fault.field == "gear.face_width"
    assert fault.given == "32"
    assert '"32 mm" or "1.26 in"' in fault.needed


def test_the_same_unit_in_other_words_loads_no_registry(monkeypatch):
    monkeypatch.setattr(units, "_registry", None)
    given = [("20 deg", "°"), ("20 degree", "°"), ("5 rpm", "1/min"), ("7 Nm", "N·m"), ("3 um", "µm")]
    assert [quantity(text, unit, "x") for text, unit in given] == [20.0, 20.0, 5.0, 7.0, 3.0]
    with pytest.raises(TypeError):
        quantity("1 in", "mm", "x")
