"""From the bytes of a gear file to its tables: size, encoding, TOML."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.review.file_values import printable, shown

LARGEST_GEAR_FILE = 300_000  # ten times a long one; the TOML reader is slow on odd ones
LARGEST_EVIDENCE_FILE = 5_000_000
LONGEST_LINE = 2_000

_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_PLACE = re.compile(r"^(.*) \(at (?:line (\d+), column (\d+)|end of document)\)$", re.DOTALL)
_DEEP_KEY = re.compile(r"""(?<![\w"'-])(?:["'\w-]++\s*\.\s*){20}""")  # the TOML reader is slow on those
_HINTS = {
    "Cannot overwrite a value": "each key once in its section; this one stands twice",
    "Cannot declare": "each section once; this one stands twice",
    "Expected newline or end of document": 'one value a line; with a unit it goes in quotes, such as "32 mm"',
    "Invalid value": 'a value after the =; text goes in quotes, such as "MQ" or "32 mm"',
    "Illegal character": "text in quotes that closes on the same line, without control characters",
}


def limited_bytes(path: Path, largest: int, field: str) -> bytes:
    """Return the bytes of a file that is not larger than allowed.

    Parameters
    ----------
    path : Path
        The file.
    largest : int
        Its largest size in bytes; a larger one is not read.
    field : str
        Its place, for the error.

    Returns
    -------
    bytes
        All of it.

    Raises
    ------
    InputError
        No such file, not readable, too large.
    """
    given = shown(path.name or str(path))
    try:
        found, folder = path.is_file(), path.is_dir()
        data = b""
        if found:
            with path.open("rb") as file:
                data = file.read(largest + 1)
    except (OSError, ValueError) as error:
        raise InputError([Fault(field, given, "a file that can be read", str(error))]) from None
    if folder:
        raise InputError([Fault(field, f"the folder {given}", "a file, not a folder")])
    if not found:
        raise InputError([Fault(field, given, "a file that exists", f"there is none at {path}")])
    if len(data) > largest:
        raise InputError([Fault(field, given, f"a file of at most {largest / 1e6:g} MB")])
    return data


def decoded(data: bytes, field: str) -> str:
    """Return bytes as text; a byte order mark is dropped.

    Parameters
    ----------
    data : bytes
        UTF-8.
    field : str
        The name of the file, for the error.

    Returns
    -------
    str
        The text.

    Raises
    ------
    InputError
        Bytes that are no UTF-8, with their line.
    """
    needed = "text in UTF-8"
    if data[:2] in _UTF16:
        raise InputError([Fault(field, "text in UTF-16", needed, 'save it again with the encoding "UTF-8"')])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        given = f"the byte 0x{data[error.start]:02X}"
        why = 'no text, or saved in another encoding: save it again as "UTF-8"'
        raise InputError([Fault(f"{field}, line {line}", given, needed, why)]) from None


def tables_of(text: str, field: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Parameters
    ----------
    text : str
        The gear file.
    field : str
        Its name, for the error.

    Returns
    -------
    dict
        As tomllib gives them.

    Raises
    ------
    InputError
        What TOML does not allow, with its line; a text too large or a line too long.
    """
    lines = text.split("\n")
    if len(text) > LARGEST_GEAR_FILE:
        needed = f"a file of at most {LARGEST_GEAR_FILE / 1e6:g} MB"
        raise InputError([Fault(field, f"{len(text)} characters", needed)])
    for number, line in enumerate(lines, start=1):
        place = f"{field}, line {number}"
        if len(line) > LONGEST_LINE:
            needed = f"lines of at most {LONGEST_LINE} characters"
            raise InputError([Fault(place, f"{len(line)} characters", needed)])
        if _DEEP_KEY.search(line):
            raise InputError([Fault(place, f"`{printable(line.strip())}`", "keys of at most 20 parts")])
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError([Fault(field, "lists nested too deep", "a gear file")]) from None
    except ValueError as error:  # numbers of thousands of digits are refused without a place
        raise InputError([_syntax_fault(str(error), lines, field)]) from None


def _syntax_fault(message: str, lines: list[str], field: str) -> Fault:
    match = _PLACE.match(message)
    if match is None:
        return Fault(field, "a value that cannot be read", "a valid TOML file", message[:120])
    what = match[1]
    needed = next((hint for start, hint in _HINTS.items() if what.startswith(start)), "valid TOML")
    if match[2] is None:
        return Fault(f"{field}, at its end", "an unfinished line", needed, what[:120])
    number = int(match[2])
    given = lines[number - 1].strip() if number <= len(lines) else ""
    return Fault(f"{field}, line {number}", f"`{printable(given)}`", needed, printable(what))
