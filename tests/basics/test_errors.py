"""Faults are gathered, so that all show at once, and stay short."""

import pytest

from gearcheck.basics.errors import Fault, Faults, InputError, shown


def test_all_faults_show_at_once():
    faults = Faults()
    faults.need(True, "teeth", 20, "5 teeth or more")
    faults.need(False, "face_width", "-3 mm", "a length above 0 mm", "a width cannot be negative")
    faults.add("torque", None, "a torque with its unit")
    with pytest.raises(InputError) as raised:
        faults.check()
    assert str(raised.value).splitlines() == [
        "face_width: given -3 mm; needed: a length above 0 mm (a width cannot be negative)",
        "torque: missing; needed: a torque with its unit",
    ]
    assert [fault.field for fault in raised.value.faults] == ["face_width", "torque"]


def test_without_a_fault_nothing_is_raised():
    Faults().check()


def test_an_input_error_is_a_value_error():
    assert issubclass(InputError, ValueError)
    assert InputError(iter([Fault("a", "1", "2")])).faults == (Fault("a", "1", "2"),)


@pytest.mark.parametrize(
    ("given", "text"),
    [("x" * 60, "x" * 60), ("x" * 61, "x" * 57 + "..."), (16**5000, "a number too long to print"), (0, "0")],
    ids=["60", "61", "huge", "zero"],
)
def test_a_value_is_shown_short(given, text):
    assert shown(given) == text
    faults = Faults()
    faults.add("a", given, "less")
    assert faults.found[0].given == text
