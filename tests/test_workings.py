"""Every formula that a result shows is the one that was calculated."""

import re
from dataclasses import dataclass
from importlib import import_module
from typing import ClassVar

import numpy as np
import pytest

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result, term, terms
from tests.examples import results
from tests.formula import disagreements, python_text, worked_out
from tests.public import module_name, room_files


@dataclass(frozen=True, kw_only=True)
class Sheet(Result):
    method: ClassVar[Method] = Method(
        key="x", title="x", source="x", edition="", clause="", status=Status.COMMON_PRACTICE
    )
    angle_deg: Number = term("Angle", "α", "°")
    width_mm: Number = term("Width", "b'", "mm")
    half_deg: Number = term("Half", "α_2", "°", "α/2")
    area: Number = term("Area", "A", "mm²", "√(b'²)·b' − 2^3·inv(α)")


def test_the_evaluator_works_out_a_formula():
    values = {"α": np.radians(30), "d_b": 4.0, "N": 100.0, "m": 2.0}
    assert worked_out("2·N·m/sin(α)² + √(d_b)^3 − min(N, m, 7)", values) == pytest.approx(1606.0)
    assert worked_out("ln(exp(m)) + log10(N)·inv(α)/(tan(α)-α) + acos(cos(π/3))/π", values) == pytest.approx(
        4 + 1 / 3
    )


@pytest.mark.parametrize("text", ["2 x", "α β", "import os", "x.y", "x[0]", "y", "sin", "x×2", "«x»", "'x'"])
def test_the_evaluator_reads_nothing_else(text):
    with pytest.raises((ValueError, SyntaxError, TypeError)):
        worked_out(text, {"x": 1.0, "α": 1.0, "β": 2.0}) + 1


def test_a_formula_that_says_something_else_is_found():
    area = 9 - 8 * (np.tan(np.radians(30)) - np.radians(30))
    width, area = np.array([3.0, np.nan]), np.array([area, np.nan])
    right = Sheet(angle_deg=30.0, width_mm=width, half_deg=15.0, area=area)
    assert disagreements(right) == ([], {"half_deg", "area"})
    wrong = Sheet(angle_deg=30.0, width_mm=3.0, half_deg=14.999999, area=None)
    (fault,), compared = disagreements(wrong)
    assert fault.startswith("Sheet.half_deg: α_2 = α/2 gives ")
    assert compared == {"half_deg"}
    missing = Sheet(angle_deg=30.0, width_mm=None, half_deg=15.0, area=3.0)
    assert disagreements(missing)[0] == ["Sheet.area: a value where √(b'²)·b' − 2^3·inv(α) has none"]


def result_classes(cls=Result):
    for file in room_files():
        import_module(module_name(file))
    found = {sub for sub in cls.__subclasses__() if sub.__module__.startswith("gearcheck.")}
    return found.union(*(result_classes(sub) for sub in found))


def test_every_result_of_the_package_has_an_example():
    missing = result_classes() - {type(result) for result in results()}
    assert not sorted(cls.__name__ for cls in missing)


def test_every_formula_gives_the_value_that_stands_beside_it():
    assert not [fault for result in results() for fault in disagreements(result)[0]]


def test_every_formula_was_worked_out_somewhere():
    compared = {(type(result), name) for result in results() for name in disagreements(result)[1]}
    formulas = {
        (type(result), name) for result in results() for name, item, _ in terms(result) if item.formula
    }
    assert not sorted(f"{cls.__name__}.{name}" for cls, name in formulas - compared)


@pytest.mark.parametrize("cls", sorted(result_classes(), key=repr), ids=lambda cls: cls.__name__)
def test_symbols_stand_for_one_thing(cls):
    found = [item.metadata["term"] for item in cls.__dataclass_fields__.values() if "term" in item.metadata]
    symbols = [item.symbol for item in found]
    assert len(set(symbols)) == len(symbols)
    assert isinstance(cls.method, Method)
    for item in found:
        assert item.label
        assert python_text(item.symbol, {item.symbol}) == f"v[{item.symbol!r}]"
        assert not re.search(r"deg|rad", item.unit), "an angle is shown in °"
        assert not (item.formula and item.words), "a formula or a rule in words"
