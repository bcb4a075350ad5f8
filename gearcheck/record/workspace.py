"""The workspace: one file that keeps the records of a site, to which entries are only ever added."""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path, PurePath
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, Engine, NullPool, create_engine, func, select, text

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.names import file_stem
from gearcheck.record.book import Book
from gearcheck.record.events import START, Entry, Event, Person, chain_faults, read_event, sealed
from gearcheck.record.heads import RecordHead, SavedDraft, draft_of, head_of
from gearcheck.record.reading import book_of
from gearcheck.record.schema import SCHEMA, bring_up_to_date, contents, drafts, events, schema_number
from gearcheck.record.trouble import in_plain_words, no_workspace
from gearcheck.record.words import event_words, moment_words

WAIT_MS = 3000
"""How long a write waits for another one."""
_HEAD = b"SQLite format 3\x00"


class StaleWrite(InputError):  # noqa: N818 - it is no fault of anyone
    """Someone else wrote in the meantime.

    Parameters
    ----------
    faults : iterable of Fault
        What they did.
    events : tuple of Event
        The same as events.
    """

    def __init__(self, faults: Iterable[Fault], events: tuple[Event, ...] = ()) -> None:
        super().__init__(faults)
        self.events = events


def utc_now() -> str:
    """Return the time of this machine's clock, UTC, to the second."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


class Workspace:
    """One file with the records of a site.

    Parameters
    ----------
    path : Path
        Made with its folder on first use.
    now : callable
        The clock.

    Raises
    ------
    InputError
        If the file cannot be used, in plain words.
    """

    def __init__(self, path: Path, *, now: Callable[[], str] = utc_now) -> None:
        self.path, self._now = path, now
        with in_plain_words(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            is_new = not path.exists() or path.stat().st_size == 0
            if not is_new and not _is_database(path):  # a few bytes of anything would pass for an empty one
                raise InputError([no_workspace(str(path))])
        self._engine = _engine(path, create=is_new)
        if is_new or self._is_older():
            with self._writing() as connection:
                bring_up_to_date(connection, str(path))
        self._engine = _engine(path, create=False)

    @property
    def today(self) -> str:
        """The day by this machine's clock, UTC."""
        return self._now()[:10]

    def _is_older(self) -> bool:
        with self._reading() as connection:
            number = schema_number(connection, str(self.path))
        return number is None or number < SCHEMA

    @property
    def read_only(self) -> bool:
        """Whether the file or its folder may not be written to."""
        return not (os.access(self.path, os.W_OK) and os.access(self.path.parent, os.W_OK))

    def records(self) -> tuple[RecordHead, ...]:
        """Return the records, the one that was written to last first."""
        first, last = events.alias("first"), events.alias("last")
        most = select(events.c.record, func.max(events.c.number).label("number")).group_by(events.c.record)
        ends = most.subquery()
        asked = (
            select(last.c.record, first.c.text, last.c.text)
            .join(ends, (ends.c.record == last.c.record) & (ends.c.number == last.c.number))
            .join(first, (first.c.record == last.c.record) & (first.c.number == 1), isouter=True)
        )
        with self._reading() as connection:
            heads = [head_of(*row) for row in connection.execute(asked)]
        return tuple(sorted(heads, key=lambda head: (head.at, head.record), reverse=True))

    def events(self, record: str) -> tuple[Event, ...]:
        """Return all that was written to a record, after a look at whether it was changed from outside.

        Parameters
        ----------
        record : str
            Its name.

        Returns
        -------
        tuple of Event
            In their order.

        Raises
        ------
        InputError
            If there is no such record, or it was changed from outside.
        """
        with self._reading() as connection:
            found = self._read(connection, record)
        if not found:
            needed = "the name of a record in this workspace"
            raise InputError([Fault("record", record, needed, f"workspace {self.path}")])
        return found

    def book(self, record: str) -> Book:
        """Return what was written to a record, read from front to back; raises as `events`."""
        return book_of(self.events(record))

    def last(self, record: str) -> int:
        """Return the number of the last entry of a record; 0 where there is none."""
        with self._reading() as connection:
            asked = select(func.max(events.c.number)).where(events.c.record == record)
            return connection.execute(asked).scalar() or 0

    def append(
        self, record: str, entries: Sequence[Entry], *, seen: int, contents: Iterable[bytes] = ()
    ) -> Book:
        """Add to a record, all of it or nothing.

        Parameters
        ----------
        record : str
            Its name; with `seen` 0 a new one.
        entries : sequence of Entry
            What is added.
        seen : int
            The number of the last entry that the writer has read.
        contents : iterable of bytes
            Files that the entries name by their SHA-256.

        Returns
        -------
        Book
            The record with them.

        Raises
        ------
        StaleWrite
            If someone else wrote in the meantime.
        InputError
            If the file cannot be written to; then nothing is.
        """
        with self._writing() as connection:
            there = self._read(connection, record)
            if len(there) != seen:
                raise _stale(record, there, seen)
            for data in contents:
                _keep(connection, data)
            at, new = self._now(), list(there)
            for number, entry in enumerate(entries, start=seen + 1):
                before = new[-1].hash if new else START
                new.append(sealed(entry, record=record, number=number, at=at, before=before))
            rows = [
                {"record": record, "number": one.number, "text": one.text, "hash": one.hash}
                for one in new[seen:]
            ]
            if rows:
                connection.execute(events.insert(), rows)
            # read before it is written for good: what no book can hold is never kept
            return book_of(new)

    def content(self, sha256: str) -> bytes:
        """Return a file by its SHA-256.

        Parameters
        ----------
        sha256 : str
            64 hexadecimal digits.

        Returns
        -------
        bytes
            As it was kept.

        Raises
        ------
        InputError
            If it is missing, or was changed from outside.
        """
        with self._reading() as connection:
            data = connection.execute(
                select(contents.c.data).where(contents.c.sha256 == sha256)
            ).scalar_one_or_none()
        if data is None or hashlib.sha256(data).hexdigest() != sha256:
            why = "it is missing" if data is None else "it was changed from outside"
            needed = "a copy of the workspace that holds it as it was"
            raise InputError([Fault(f"file {sha256[:12]}", str(self.path), needed, why)])
        return bytes(data)

    def free_name(self, wanted: str) -> str:
        """Return a name for a new record that addresses and files take, and that no other record has.

        Parameters
        ----------
        wanted : str
            Such as part number and drawing revision.

        Returns
        -------
        str
            ASCII letters, digits, ``-``, ``_`` and dots.
        """
        stem = file_stem(wanted)
        with self._reading() as connection:
            taken = {row[0].lower() for row in connection.execute(select(events.c.record).distinct())}
        name, count = stem, 1
        while name.lower() in taken:
            count += 1
            name = f"{stem}-{count}"
        return name

    def drafts(self, record: str) -> tuple[SavedDraft, ...]:
        """Return the saved drafts of a record by name."""
        asked = select(drafts).where(drafts.c.record == record).order_by(drafts.c.name)
        with self._reading() as connection:
            return tuple(draft_of(row._mapping) for row in connection.execute(asked))

    def save_draft(
        self,
        record: str,
        name: str,
        values: Mapping[str, float],
        *,
        by: Person,
        version: int,
        revision: int,
    ) -> SavedDraft:
        """Save a draft under its name.

        Parameters
        ----------
        record, name : str
            Of the record, and of the draft.
        values : mapping of str to float
            What it moves.
        by : Person
            Who.
        version : int
            The version that the writer has seen; 0 for a new one.
        revision : int
            The revision of the record that it moves.

        Returns
        -------
        SavedDraft
            With its next version.

        Raises
        ------
        StaleWrite
            If someone else moved it in the meantime.
        """
        here = (drafts.c.record == record) & (drafts.c.name == name)
        plain = {key: float(value) for key, value in values.items()}
        said = {"values": plain, "by": by.name, "role": by.role, "at": self._now()}
        with self._writing() as connection:
            row = connection.execute(select(drafts).where(here)).one_or_none()
            if row is not None and row.version != version:
                other = draft_of(row._mapping)
                why = f"{other.by} moved it {moment_words(other.at)}"
                raise StaleWrite([Fault(f"draft {name}", "", "another name for yours", why)])
            connection.execute(drafts.delete().where(here))
            new: dict[str, Any] = {
                "record": record,
                "name": name,
                "version": version + 1,
                "revision": revision,
                "text": json.dumps(said),
            }
            connection.execute(drafts.insert().values(new))
        return draft_of(new)

    def drop_draft(self, record: str, name: str, *, version: int | None = None) -> bool:
        """Forget a draft, of the given version only where one is given; whether it is gone then."""
        here = (drafts.c.record == record) & (drafts.c.name == name)
        with self._writing() as connection:
            of_version = here if version is None else here & (drafts.c.version == version)
            connection.execute(drafts.delete().where(of_version))
            return connection.execute(select(drafts.c.name).where(here)).first() is None

    def _read(self, connection: Connection, record: str) -> tuple[Event, ...]:
        """All that was written to a record, its chain checked; nothing where there is no such record."""
        asked = select(events.c.number, events.c.text, events.c.hash).where(events.c.record == record)
        found: list[Event] = []
        faults: list[str] = []
        for number, told, kept in connection.execute(asked.order_by(events.c.number)):
            try:
                found.append(read_event(told))
            except InputError:
                faults.append(f"entry {number} cannot be read any more")
                break
            if found[-1].hash != kept:
                faults.append(f"entry {number} is not what was written")
        faults += chain_faults(found, record=record)
        if faults:
            needed = "a copy of the workspace from before the change"
            why = f"it was changed from outside: {faults[0]}"
            raise InputError([Fault(f"record {record}", str(self.path), needed, why)])
        return tuple(found)

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with in_plain_words(self.path), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        """One transaction; a file that is taken away meanwhile does not swallow what is written."""
        with in_plain_words(self.path):
            with self._engine.connect() as connection:
                connection.execute(text("BEGIN IMMEDIATE"))
                before = self.path.stat()
                try:
                    yield connection
                except BaseException:
                    connection.rollback()
                    raise
                connection.commit()
            if not os.path.samestat(before, self.path.stat()):
                raise FileNotFoundError(2, "the file was replaced while it was written to")


def _stale(record: str, there: tuple[Event, ...], seen: int) -> StaleWrite:
    since = there[seen:]
    needed = "a look at it first: show the record as it is now, then press again; what you typed is kept"
    faults = [Fault("record", f"an older state: {event_words(one)}", needed) for one in since[-5:]]
    return StaleWrite(faults or [Fault("record", record, "a record that is there")], since)


def _engine(path: Path, *, create: bool) -> Engine:
    """Each connection is new: a file that was taken away is noticed, and never made anew in silence."""
    address = f"{_address(path.absolute())}?mode={'rwc' if create else 'rw'}"

    def connected() -> sqlite3.Connection:
        # transactions begin where this module says
        made = sqlite3.connect(address, uri=True, timeout=WAIT_MS / 1000, isolation_level=None)
        # text that is none any more is a fault of its record, not of all of them
        made.text_factory = lambda data: data.decode("utf-8", "replace")
        made.execute("PRAGMA synchronous = EXTRA")
        made.execute("PRAGMA trusted_schema = OFF")
        return made

    return create_engine("sqlite://", creator=connected, poolclass=NullPool)


def _is_database(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(len(_HEAD)) == _HEAD


def _address(path: PurePath) -> str:
    """The address that the database takes; a share on the network has no host in it, but four slashes."""
    plain = path.as_posix()
    return "file://" + quote(os.fsencode(plain if plain.startswith("/") else f"/{plain}"), safe="/:")


def _keep(connection: Connection, data: bytes) -> None:
    name = hashlib.sha256(data).hexdigest()
    if connection.execute(select(contents.c.sha256).where(contents.c.sha256 == name)).first() is None:
        connection.execute(contents.insert().values(sha256=name, data=data))
