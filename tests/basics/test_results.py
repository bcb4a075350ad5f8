"""A result shows plain numbers, None after a stop, and its terms in order."""

from dataclasses import FrozenInstanceError, dataclass
from typing import ClassVar

import numpy as np
import pytest

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number, array, plain
from gearcheck.basics.results import Result, term, terms


@dataclass(frozen=True, kw_only=True)
class Sheet(Result):
    method: ClassVar[Method] = Method(
        key="a", title="a", source="a", edition="", clause="", status=Status.COMMON_PRACTICE
    )
    width_mm: Number = term("Width", "b", "mm")
    area_mm2: Number = term("Area", "A", "mm²", "b²")
    remark: str = ""


@pytest.mark.parametrize("value", [2.0, 2, np.float64(2), np.array(2.0), np.float32(2)])
def test_a_plain_number_is_a_float(value):
    sheet = Sheet(width_mm=value, area_mm2=4.0)
    assert type(sheet.width_mm) is float
    assert sheet.width_mm == 2.0


@pytest.mark.parametrize("value", [None, float("nan"), np.array(np.nan)])
def test_without_a_value_it_is_none(value):
    assert Sheet(width_mm=value, area_mm2=None).width_mm is None


def test_an_array_stays_an_array_with_its_gaps():
    sheet = Sheet(width_mm=[1, np.nan], area_mm2=np.array([[1.0]]))
    np.testing.assert_array_equal(sheet.width_mm, [1, np.nan])
    assert sheet.width_mm.dtype == np.float64
    assert sheet.area_mm2.shape == (1, 1)


def test_terms_come_in_order_and_nothing_else():
    found = list(terms(Sheet(width_mm=2, area_mm2=4, remark="x")))
    assert [(name, item.symbol, item.unit, item.formula, value) for name, item, value in found] == [
        ("width_mm", "b", "mm", "", 2.0),
        ("area_mm2", "A", "mm²", "b²", 4.0),
    ]


def test_stops_are_the_notices_that_leave_no_value():
    notices = tuple(Notice(level, level, "text") for level in Level)
    assert [notice.level for notice in Sheet(width_mm=1, area_mm2=1, notices=notices).stops] == [Level.STOP]


def test_a_result_cannot_be_changed():
    with pytest.raises(FrozenInstanceError):
        Sheet(width_mm=1, area_mm2=1).width_mm = 2


def test_numbers_in_and_out():
    assert np.isnan(array(None))
    assert array([1, 2]).dtype == np.float64
    assert plain(np.inf) == np.inf
    assert plain(np.array([1.0])).tolist() == [1.0]
