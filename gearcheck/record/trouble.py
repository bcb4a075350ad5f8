"""What goes wrong with a file, in plain words: what happened, that nothing is lost, and what to do."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from gearcheck.basics.errors import Fault, InputError, shown

_NOTHING = "nothing was written"
_WORDS = (
    ("SQLITE_BUSY", "in use by another program", "wait a moment, and try again"),
    ("SQLITE_LOCKED", "in use by another program", "wait a moment, and try again"),
    ("SQLITE_FULL", "its disk is full", "free some space, and try again"),
    ("SQLITE_READONLY_DBMOVED", "it was moved away", "put the file back, or start the desk anew"),
    ("SQLITE_READONLY", "it may not be written to", "the right to write to the file and its folder"),
    ("SQLITE_CANTOPEN", "it is gone or cannot be opened", "put the file back, or start the desk anew"),
    ("SQLITE_CORRUPT", "it is damaged", "a copy of the file from before the damage"),
    ("SQLITE_IOERR", "the disk does not answer as it should", "a disk that can be read and written"),
)


@contextmanager
def in_plain_words(path: Path) -> Iterator[None]:
    """Turn what the database or the system says of a file into an InputError.

    Parameters
    ----------
    path : Path
        The workspace.

    Yields
    ------
    None
        While its trouble is heard.

    Raises
    ------
    InputError
        What happened, and what is needed.
    """
    try:
        yield
    except DBAPIError as error:
        raise InputError([_fault(path, error.orig)]) from None
    except sqlite3.Error as error:
        raise InputError([_fault(path, error)]) from None
    except UnicodeEncodeError as error:
        needed = "letters that can be written down"
        raise InputError([Fault("text", shown(ascii(error.object)), needed, _NOTHING)]) from None
    except OSError as error:
        why = f"{error.strerror or error}; {_NOTHING}"
        needed = (
            "a file, not a folder" if path.is_dir() else "a file in a folder that can be read and written"
        )
        raise InputError([Fault("workspace", str(path), needed, why)]) from None


def no_workspace(file: str) -> Fault:
    """Return the fault of a file that is something else."""
    return Fault(
        "workspace", file, "a file that gearcheck made, or a new name", f"it is no workspace; {_NOTHING}"
    )


def _fault(path: Path, error: BaseException | None) -> Fault:
    name = str(getattr(error, "sqlite_errorname", ""))
    if name == "SQLITE_NOTADB":
        return no_workspace(str(path))
    for start, what, needed in _WORDS:
        if name.startswith(start):
            return Fault("workspace", str(path), needed, f"{what}; {_NOTHING}")
    if name.startswith("SQLITE_CONSTRAINT"):
        return Fault("workspace", str(path), "what was written stays as it is", f"{error}; {_NOTHING}")
    return Fault("workspace", str(path), "a workspace that can be used", f"{error}; {_NOTHING}")
