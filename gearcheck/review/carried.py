"""Records from texts alone, without files: as a report carries them and a workspace keeps them."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from gearcheck.basics.errors import Fault, InputError, shown
from gearcheck.review.gear_file import read_gear_text
from gearcheck.review.inputs import KINDS, Record


def carried_record(
    gear_file: str, evidence: Mapping[str, str], stale: Mapping[str, str] | None = None
) -> Record:
    """Read a record from texts: those that a report carries, or that a workspace keeps.

    Parameters
    ----------
    gear_file : str
        The text of the gear file.
    evidence : mapping of str to str
        The text of each evidence file, by the name that the gear file gives it.
    stale : mapping of str to str, optional
        Why a piece of evidence no longer holds, by its key.

    Returns
    -------
    Record
        With the digest of the record that was exported.

    Raises
    ------
    InputError
        Whatever is wrong with them.
    """
    with tempfile.TemporaryDirectory(prefix="gearcheck_", ignore_cleanup_errors=True) as folder:
        for name, text in evidence.items():
            path = (Path(folder) / name).resolve()
            if path.is_relative_to(Path(folder).resolve()):
                try:
                    path.parent.mkdir(parents=True, exist_ok=True)
                    path.write_bytes(text.encode("utf-8"))
                except (OSError, UnicodeEncodeError) as error:
                    needed = "text in UTF-8, under a name that a file can have"
                    raise InputError([Fault("evidence", shown(name), needed, str(error))]) from None
        record = read_gear_text(gear_file, folder=folder)
    return with_stale(record, stale) if stale else record


def with_stale(record: Record, stale: Mapping[str, str]) -> Record:
    """Return a record whose evidence says why it no longer holds.

    Parameters
    ----------
    record : Record
        As read.
    stale : mapping of str to str
        Why, by its key; what is not in it holds.

    Returns
    -------
    Record
        With the same digest.
    """
    marked: dict[str, Any] = {
        kind: tuple(
            replace(item, head=replace(item.head, stale=stale.get(item.head.key, "")))
            for item in getattr(record, kind)
        )
        for kind in KINDS
    }
    return replace(record, **marked)
