"""A method is the only home of its limits, and says in words what lies outside."""

from math import inf

import numpy as np
import pytest

from gearcheck.basics.methods import Level, Method, Range, Status

METHOD = Method(
    key="test.method",
    title="Test",
    source="ISO 0000",
    edition="2019",
    clause="clause 3",
    status=Status.FROM_MEMORY,
    valid=(
        Range("module_mm", "m_n", 0.5, 70, "mm", Level.STOP),
        Range("ratio", "ε_α", 1, inf),
        Range("load", "w", -inf, 3),
    ),
)


@pytest.mark.parametrize("value", [0.5, 70, [0.5, 70], None, float("nan")])
def test_the_limits_themselves_are_inside(value):
    assert METHOD.outside(module_mm=value) == ()


def test_outside_says_value_limit_and_level():
    (notice,) = METHOD.outside(module_mm=np.array([1.0, 0.49999, 80.0]))
    assert notice.level is Level.STOP
    assert notice.key == "test.method.module_mm"
    assert notice.text == "m_n = 0.5 mm lies outside ISO 0000:2019, clause 3: m_n from 0.5 to 70 mm."


def test_several_come_in_the_order_of_the_method_and_others_are_not_looked_at():
    found = METHOD.outside(load=4, ratio=0.9, unknown=7)
    assert [notice.key for notice in found] == ["test.method.ratio", "test.method.load"]
    assert {notice.level for notice in found} == {Level.CAUTION}
    assert METHOD.outside(module_mm=1) == ()


@pytest.mark.parametrize(
    ("place", "words"), [(0, "m_n from 0.5 to 70 mm"), (1, "ε_α from 1"), (2, "w up to 3")]
)
def test_a_range_in_words(place, words):
    assert str(METHOD.valid[place]) == words


@pytest.mark.parametrize(
    ("source", "edition", "clause", "cite"),
    [
        ("ISO 6336-2", "2019", "clause 6", "ISO 6336-2:2019, clause 6"),
        ("ISO/TS 6336-20", "2017", "", "ISO/TS 6336-20:2017"),
        ("ASTM E140", "", "Table 1", "ASTM E140, Table 1"),
        ("DIN EN ISO 18203", "2016", "", "DIN EN ISO 18203:2016"),
        (
            "Johnson, Contact Mechanics",
            "1985",
            "section 4.2",
            "Johnson, Contact Mechanics, 1985, section 4.2",
        ),
        ("Someone, J. Mater. Eng. 17", "2008", "", "Someone, J. Mater. Eng. 17, 2008"),
        ("Isolated work 1", "1961", "", "Isolated work 1, 1961"),
        ("drawing", "", "", "drawing"),
    ],
)
def test_a_citation(source, edition, clause, cite):
    method = Method(
        key="a", title="a", source=source, edition=edition, clause=clause, status=Status.PUBLISHED
    )
    assert method.cite == cite
