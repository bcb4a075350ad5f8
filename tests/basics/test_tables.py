"""The reader of tables: status by row, columns, names, and a clear error for what is not there."""

from types import SimpleNamespace

import numpy as np
import pytest

from gearcheck.basics import tables
from gearcheck.basics.methods import Status
from gearcheck.basics.tables import table, table_keys

TEXT = """
title = "Made up"
source = "hand sheet"
edition = "2024"
status = "from memory"

[[rows]]
name = "first"
value = 1.5
unit = "mm"

[[rows]]
name = "second"
value = 2
unit = "mm"
status = "published"
"""


@pytest.fixture
def made_up(tmp_path, monkeypatch):
    (tmp_path / "made_up.toml").write_text(TEXT, encoding="utf-8")
    (tmp_path / "note.txt").write_text("", encoding="utf-8")
    monkeypatch.setattr(tables, "files", lambda package: tmp_path)
    table.cache_clear()
    yield SimpleNamespace(folder=tmp_path)
    table.cache_clear()


def test_rows_take_the_status_of_the_table_unless_they_have_their_own(made_up):
    found = table("made_up")
    assert found.status is Status.FROM_MEMORY
    assert [row["status"] for row in found.rows] == [Status.FROM_MEMORY, Status.PUBLISHED]
    assert found.cite == "hand sheet, 2024"


def test_columns_names_and_values(made_up):
    found = table("made_up")
    np.testing.assert_array_equal(found.column("value"), [1.5, 2.0])
    assert found.names == ("first", "second")
    assert found.value("second") == 2.0
    assert type(found.value("second")) is float
    with pytest.raises(KeyError, match="third is not in table made_up"):
        found.row("third")


def test_keys_are_the_tables_only(made_up):
    assert table_keys() == ("made_up",)


def test_a_status_that_is_none_is_refused(made_up):
    (made_up.folder / "bad.toml").write_text(TEXT.replace("from memory", "rumour"), encoding="utf-8")
    with pytest.raises(ValueError, match="rumour"):
        table("bad")


def test_a_table_is_read_once():
    assert table("hardness_hrc_hv") is table("hardness_hrc_hv")
