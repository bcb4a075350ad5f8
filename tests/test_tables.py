"""Every published table says where it comes from and holds clean rows."""

import math
import tomllib

import numpy as np
import pytest

from gearcheck.basics.methods import Status
from gearcheck.basics.tables import table, table_keys
from tests.public import PACKAGE

HEAD = {"title", "source", "edition", "clause", "status", "note", "monotonic", "rows"}


def head(key):
    return tomllib.loads((PACKAGE / "data" / f"{key}.toml").read_text(encoding="utf-8"))


def test_there_are_tables():
    assert {"hardness_hrc_hv", "iso1328_1_tolerances"} <= set(table_keys())


@pytest.mark.parametrize("key", table_keys())
def test_a_table_says_where_it_comes_from(key):
    found = table(key)
    assert found.title
    assert found.source
    assert found.status in Status
    assert found.rows
    assert not head(key).keys() - HEAD


@pytest.mark.parametrize("key", table_keys())
def test_rows_are_named_and_finite(key):
    rows = head(key)["rows"]
    names = [row["name"] for row in rows]
    assert len(set(names)) == len(names)
    for row in rows:
        numbers = [value for value in row.values() if isinstance(value, int | float)]
        assert all(math.isfinite(value) for value in numbers), row["name"]
        assert "value" not in row or "unit" in row, f"{row['name']} has no unit"


@pytest.mark.parametrize(
    ("key", "column"), [(key, column) for key in table_keys() for column in head(key).get("monotonic", ())]
)
def test_a_column_declared_monotonic_is(key, column):
    steps = np.diff(table(key).column(column))
    assert (steps > 0).all() or (steps < 0).all()
