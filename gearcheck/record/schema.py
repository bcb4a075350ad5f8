"""The tables of a workspace, and how an older file becomes one of today."""

from __future__ import annotations

import re

from sqlalchemy import Column, Connection, Integer, LargeBinary, MetaData, String, Table, text

from gearcheck.basics.errors import Fault, InputError
from gearcheck.record.trouble import no_workspace

SCHEMA = 2
"""1: events and their contents. 2: drafts."""

META = MetaData()
meta = Table("meta", META, Column("name", String, primary_key=True), Column("value", String, nullable=False))
events = Table(
    "events",
    META,
    Column("record", String, primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("text", String, nullable=False),
    Column("hash", String, nullable=False),
)
contents = Table(
    "contents",
    META,
    Column("sha256", String, primary_key=True),
    Column("data", LargeBinary, nullable=False),
)
drafts = Table(
    "drafts",
    META,
    Column("record", String, primary_key=True),
    Column("name", String, primary_key=True),
    Column("version", Integer, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("text", String, nullable=False),
)
_FIRST = (meta, events, contents)
_KEPT = ("events", "contents")
_NUMBER = re.compile("[1-9][0-9]{0,8}")


def bring_up_to_date(connection: Connection, file: str) -> None:
    """Make the tables of a new file, or bring an older one up to date, within the transaction that is open.

    Parameters
    ----------
    connection : Connection
        With a transaction that may write.
    file : str
        For the error.

    Raises
    ------
    InputError
        If the file is no workspace, or one of a newer version.
    """
    found = schema_number(connection, file)
    if found is None:
        _make_first(connection)
        found = 1
    if found < 2:
        drafts.create(connection)
    if found < SCHEMA:
        connection.execute(meta.update().where(meta.c.name == "schema").values(value=str(SCHEMA)))


def schema_number(connection: Connection, file: str) -> int | None:
    """Return the schema number of a file; None where it is empty.

    Parameters
    ----------
    connection : Connection
        To the file.
    file : str
        For the error.

    Returns
    -------
    int or None
        From 1 to `SCHEMA`.

    Raises
    ------
    InputError
        If the file is no workspace, or one of a newer version.
    """
    names = {
        row[0] for row in connection.execute(text("SELECT name FROM sqlite_master WHERE type = 'table'"))
    }
    if not names:
        return None
    columns = {row[0] for row in connection.execute(text("SELECT name FROM pragma_table_info('meta')"))}
    found: list[str] = []
    if columns >= {"name", "value"}:
        rows = connection.execute(text("SELECT value FROM meta WHERE name = 'schema'"))
        found = [str(row[0]) for row in rows]
    if len(found) != 1 or not _NUMBER.fullmatch(found[0]):
        raise InputError([no_workspace(file)])
    number = int(found[0])
    if number > SCHEMA:
        why = f"its tables have the number {number}, this version knows {SCHEMA}"
        raise InputError([Fault("workspace", file, "a newer version of gearcheck: it wrote this file", why)])
    return number


def _make_first(connection: Connection) -> None:
    META.create_all(connection, tables=list(_FIRST))
    connection.execute(meta.insert().values(name="schema", value="1"))
    for name in _KEPT:
        for change in ("UPDATE", "DELETE"):
            connection.execute(
                text(
                    f"CREATE TRIGGER {name}_no_{change.lower()} BEFORE {change} ON {name} "
                    f"BEGIN SELECT RAISE(ABORT, 'what was written stays'); END"
                )
            )
