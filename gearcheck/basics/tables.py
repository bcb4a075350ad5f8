"""The reader of the published tables in ``gearcheck/data``; a table counts as a constant."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np

from gearcheck.basics.methods import Status, citation
from gearcheck.basics.numbers import Array


@dataclass(frozen=True, slots=True)
class Table:
    """One published table, with where it comes from.

    Parameters
    ----------
    key : str
        Its file name without the ending.
    title, source, edition, clause, note : str
        What it is and where it stands.
    status : Status
        How well its values are known, where a row says nothing else.
    rows : tuple of mapping
        The rows as written, each with its own ``status``.
    """

    key: str
    title: str
    source: str
    edition: str
    clause: str
    status: Status
    note: str
    rows: tuple[Mapping[str, Any], ...]

    def column(self, name: str) -> Array:
        """Return one column as a float array, shape (rows,)."""
        return np.array([row[name] for row in self.rows], dtype=np.float64)

    def row(self, name: str) -> Mapping[str, Any]:
        """Return the row whose ``name`` is `name`; a KeyError names the table."""
        for row in self.rows:
            if row["name"] == name:
                return row
        raise KeyError(f"{name} is not in table {self.key}")

    def value(self, name: str) -> float:
        """Return the ``value`` of the row named `name`."""
        return float(self.row(name)["value"])

    @property
    def names(self) -> tuple[str, ...]:
        """The names of its rows."""
        return tuple(row["name"] for row in self.rows)

    @property
    def cite(self) -> str:
        """The citation as it is printed."""
        return citation(self.source, self.edition, self.clause)


@cache
def table(key: str) -> Table:
    """Read one table of ``gearcheck/data``; it is read once.

    Parameters
    ----------
    key : str
        The file name without ``.toml``.

    Returns
    -------
    Table
        With a status on every row.

    Examples
    --------
    >>> table("hardness_hrc_hv").row("60 HRC")["HV"]
    697
    """
    text = files("gearcheck.data").joinpath(f"{key}.toml").read_text(encoding="utf-8")
    head = tomllib.loads(text)
    status = Status(head["status"])
    rows = tuple({**row, "status": Status(row.get("status", status))} for row in head["rows"])
    return Table(
        key,
        head["title"],
        head["source"],
        head.get("edition", ""),
        head.get("clause", ""),
        status,
        head.get("note", ""),
        rows,
    )


def table_keys() -> tuple[str, ...]:
    """Return the keys of all tables, sorted."""
    names = (item.name for item in files("gearcheck.data").iterdir())
    return tuple(sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml")))
