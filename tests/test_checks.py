"""The value runner itself: it must refuse what it should refuse."""

from importlib import import_module
from pathlib import Path

import numpy as np
import pytest

from tests import checks, conftest
from tests.checks import Check, all_checks, digit, faults, holds
from tests.public import calculations

GOOD = {
    "id": "A",
    "calculation": "m:f",
    "inputs": {"x": 1},
    "expected": {"y": "2.495"},
    "kind": "memory",
    "source": "hand sheet",
}


@pytest.fixture(autouse=True)
def _own_record(monkeypatch):
    monkeypatch.setattr(checks, "held", {})


def check(**changes):
    return Check(file="none", **{**GOOD, **changes})


@pytest.mark.parametrize(
    ("text", "unit"), [("2.495", 0.001), ("1500", 1), ("1.2e5", 1e4), ("-0.10", 0.01), ("7", 1)]
)
def test_the_last_printed_digit(text, unit):
    assert digit(text) == pytest.approx(unit, rel=1e-15)


def test_half_the_last_digit_holds_and_more_does_not():
    holds(check(), y=2.4954)
    with pytest.raises(AssertionError, match=r"y = 2\.4956, expected 2\.495"):
        holds(check(), y=2.4956)
    assert list(checks.held) == [("none", "A")]


@pytest.mark.parametrize("wrong", [None, float("nan"), float("inf"), [2.495], -2.495])
def test_what_is_no_agreement(wrong):
    with pytest.raises(AssertionError):
        holds(check(), y=wrong)
    assert not checks.held


def test_a_tolerance_is_absolute_and_zero_is_exact():
    holds(check(tolerance={"y": 0.01}), y=2.5049)
    holds(check(expected={"y": "7"}, tolerance={"y": 0}), y=7)
    with pytest.raises(AssertionError):
        holds(check(expected={"y": "7"}, tolerance={"y": 0}), y=7 + 1e-12)


def test_each_value_of_a_list_may_have_its_own_tolerance():
    listed = check(expected={"y": ["100", "1000"]}, tolerance={"y": [0.3, 3]})
    holds(listed, y=[100.29, 1002.9])
    for wrong in ([100.31, 1000], [100, 1003.1]):
        with pytest.raises(AssertionError):
            holds(listed, y=wrong)


def test_every_quantity_and_every_place_of_a_list_counts():
    table = check(expected={"y": [["1.0", "2.0"], ["3.0", "4.0"]], "z": "1"})
    holds(table, y=np.array([[1, 2], [3, 4.04]]), z=1.2)
    for wrong in ([[1, 2], [3, 4.06]], [[1, 2]], 1.0):
        with pytest.raises(AssertionError):
            holds(table, y=wrong, z=1)
    with pytest.raises(AssertionError, match="computed"):
        holds(table, z=1)


def test_words_and_no_value():
    holds(check(expected={"y": "no value", "z": "shear"}), y=None, z="shear")
    holds(check(expected={"y": "no value"}), y=float("nan"))
    with pytest.raises(AssertionError):
        holds(check(expected={"y": "no value"}), y=1.0)
    with pytest.raises(AssertionError):
        holds(check(expected={"y": "shear"}), y="crushing")


def test_a_comparison_that_does_not_bite_is_found(monkeypatch):
    monkeypatch.setattr(checks, "agrees", lambda *_: True)
    with pytest.raises(AssertionError, match="does not bite"):
        holds(check(), y=2.495)


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"kind": "rumour"}, "is none of"),
        ({"source": ""}, "source is missing"),
        ({"tolerance": {"y": 1}}, "needs why"),
        ({"tolerance": {"w": 1}, "why": "known"}, "not expected"),
        ({"tolerance": {"y": [1, 2]}, "why": "known"}, "one for each value"),
        ({"expected": {"y": 2.5}}, "no printed text"),
        ({"expected": {}}, "nothing is expected"),
        ({"kind": "published"}, "needs its place"),
        ({"sauce": "x"}, "not a key"),
    ],
)
def test_faulty_entries_are_named(changes, fault):
    assert not list(faults("none", [GOOD]))
    assert fault in "\n".join(faults("none", [{**GOOD, **changes}]))
    assert "stands twice" in "\n".join(faults("none", [GOOD, GOOD]))


def test_weak_calculations_are_named():
    first, second, third, *others = calculations()
    known = [check(calculation=first, kind="identity"), check(calculation=first, kind="frozen")]
    known += [check(calculation=second, kind="identity"), check(calculation=second, kind="published")]
    known += [check(calculation=third, kind="frozen")]
    known += [check(calculation=name, kind="independent") for name in others]
    assert list(conftest.weak_sentences(known)) == [
        f"{first} has only checks from identity: these are not called checked.",
        f"{third} has no check.",
    ]


def test_every_check_is_used():
    here = Path(__file__).parent
    for source in here.glob("*/test_*.py"):
        if "tests.checks import" in source.read_text(encoding="utf-8"):
            import_module(f"tests.{source.parent.name}.{source.stem}")
    assert not [
        f"{item.file}: {item}" for item in all_checks() if (item.file, item.calculation) not in checks.used
    ]


def test_every_calculation_named_exists():
    for name in {item.calculation for item in all_checks()}:
        module, _, function = name.partition(":")
        assert callable(getattr(import_module(module), function, None)), name


def test_every_public_calculation_has_a_check():
    outside = {item.calculation for item in all_checks() if item.kind != "frozen"}
    assert not [name for name in calculations() if name not in outside]
