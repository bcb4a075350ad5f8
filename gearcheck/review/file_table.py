"""Evidence files that are tables: columns between commas or semicolons, with decimal points."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from gearcheck.basics.errors import Fault, InputError
from gearcheck.review.file_text import LARGEST_EVIDENCE_FILE, decoded, limited_bytes
from gearcheck.review.file_values import shown

MOST_ALIKE = 3

_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_PLAIN_PATH = re.compile(r"[^\\:*?\"<>|]+")


@dataclass(frozen=True, kw_only=True)
class TableFile:
    """An evidence file as read: its name, its hash, and its text to the last byte."""

    name: str
    sha256: str
    text: str

    @property
    def body(self) -> str:
        """The text without a byte order mark."""
        return self.text.removeprefix("\ufeff")


def table_file(name: str, folder: Path, field: str) -> TableFile:
    """Read an evidence file beside a gear file.

    Parameters
    ----------
    name : str
        As the gear file gives it.
    folder : Path
        Of the gear file; nothing outside it is read.
    field : str
        Where the gear file gives it, for the error.

    Returns
    -------
    TableFile
        Its text in UTF-8.

    Raises
    ------
    InputError
        No such file, too large, not text, outside the folder.
    """
    data = limited_bytes(_inside(name, folder, field), LARGEST_EVIDENCE_FILE, field)
    decoded(data, name)
    return TableFile(name=name, sha256=hashlib.sha256(data).hexdigest(), text=data.decode("utf-8"))


def _inside(name: str, folder: Path, field: str) -> Path:
    """Return the path of an evidence file; it must lie in the folder of the gear file, also behind links."""
    needed = 'the plain name of a file beside the gear file, such as "pitch.csv" or "measured/pitch.csv"'
    fault = InputError([Fault(field, shown(name), needed)])
    relative = PurePosixPath(name)
    plain = (
        _PLAIN_PATH.fullmatch(name) is not None and name.isprintable() and len(name.encode("utf-8")) <= 200
    )
    # a name has one spelling, on every system, and is not that of the gear file in an archive
    plain = plain and name == name.strip() == str(relative) and name.casefold() != "gear.toml"
    if not plain or relative.is_absolute() or ".." in relative.parts or not relative.parts:
        raise fault
    try:
        home = folder.resolve()
        path = (home / relative).resolve()
    except (OSError, ValueError, RuntimeError):
        raise fault from None
    if not path.is_relative_to(home):
        raise fault
    return path


def rows(text: str, name: str, columns: list[str]) -> Iterator[tuple[int, list[str]]]:
    """Yield the rows below the header, each with its line, its cells without blanks around them.

    Parameters
    ----------
    text : str
        Of the file.
    name : str
        Of the file, for the error.
    columns : list of str
        What the header has to say.

    Yields
    ------
    tuple of int and list of str
        Rows that are not empty; how many cells they have is not looked at.

    Raises
    ------
    InputError
        Another header, or a line that cannot be read.
    """
    header = text.split("\n", maxsplit=1)[0].strip()
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if ";" in header else ",")
    try:
        first = [cell.strip().lower() for cell in next(reader, [])]
        if first != columns:
            needed = f"the columns {','.join(columns)}"
            raise InputError([Fault(f"{name}, line 1", shown(header) if header else "", needed)])
        for row in reader:
            if any(cell.strip() for cell in row):
                yield reader.line_num, [cell.strip() for cell in row]
    except csv.Error as error:
        raise InputError([Fault(name, "a line that cannot be read", "plain columns", str(error))]) from None


def number(text: str) -> float:
    """Return a cell as a number; NaN where it is none."""
    return float(text) if _NUMBER.fullmatch(text) else float("nan")


def folded(found: list[Fault], name: str) -> list[Fault]:
    """Keep the first three of each fault that comes back in row after row, and count the others."""
    alike: dict[tuple[str, str], list[Fault]] = {}
    for fault in found:
        alike.setdefault((fault.needed, fault.why), []).append(fault)
    kept: list[Fault] = []
    for faults in alike.values():
        kept += faults[:MOST_ALIKE]
        more = len(faults) - MOST_ALIKE
        if more > 0:
            said = "one more row" if more == 1 else f"{more} more rows"
            kept.append(replace(faults[0], field=name, given=f"{said} of this kind"))
    return kept
