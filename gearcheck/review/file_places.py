"""Where a key stands in the text of a gear file, so that an error can name its line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TypeAlias

from gearcheck.review.file_values import printable

Place: TypeAlias = tuple[str | int, ...]
"""The keys that lead to a value; entries of a list of sections count from 0."""

_NAME = r"""(?:[A-Za-z0-9_-]{1,100}|"[^"\\]{0,100}"|'[^']{0,100}')"""
_KEY = re.compile(rf"\s*({_NAME}(?:\s*\.\s*{_NAME})*)\s*=\s*(.*)")
_HEADER = re.compile(rf"\s*(\[\[?)\s*({_NAME}(?:\s*\.\s*{_NAME})*)\s*\]")
_PART = re.compile(_NAME)


def key_lines(text: str) -> dict[Place, int]:
    r"""Return the line of each section and each key, as far as a look at single lines can tell.

    Parameters
    ----------
    text : str
        TOML.

    Returns
    -------
    dict of Place to int
        Lines count from 1.

    Examples
    --------
    >>> key_lines("format = 1\n[[mesh]]\nname = 'wheel'")[("mesh", 0, "name")]
    3
    """
    found: dict[Place, int] = {}
    counts: dict[Place, int] = {}
    section: Place = ()
    closing = ""
    for number, line in enumerate(text.split("\n"), start=1):
        if closing:
            closing = "" if closing in line else closing
            continue
        header = _HEADER.match(line)
        key = None if header else _KEY.match(line)
        if header:
            section = _section(_parts(header[2]), header[1] == "[[", counts)
            found.setdefault(section, number)
        elif key:
            found.setdefault(section + _parts(key[1]), number)
            closing = _opened(key[2])
    return found


def _parts(dotted: str) -> Place:
    return tuple(part.strip("\"'") for part in _PART.findall(dotted))


def _section(parts: Place, repeated: bool, counts: dict[Place, int]) -> Place:
    """Put the number of the last entry behind the name of each list of sections on the way."""
    place: Place = ()
    for index, part in enumerate(parts):
        place += (part,)
        if repeated and index == len(parts) - 1:
            counts[place] = counts.get(place, 0) + 1
        if place in counts:
            place += (counts[place] - 1,)
    return place


def _opened(value: str) -> str:
    """Return the quotes that a text of several lines leaves open."""
    for quotes in ('"""', "'''"):
        if value.startswith(quotes) and quotes not in value[3:]:
            return quotes
    return ""


def line_of(place: Place, lines: Mapping[Place, int]) -> int | None:
    """Return the line of a key, or of the section it should stand in."""
    while place and place not in lines:
        place = place[:-1]
    return lines.get(place)


def place_words(place: Place, lines: Mapping[Place, int]) -> str:
    """Say a place as its user would, list entries counted from 1: ``mesh[1].mate.teeth, line 37``."""
    words = ""
    for part in place:
        words += f"[{part + 1}]" if isinstance(part, int) else f".{printable(part)}"
    line = line_of(place, lines)
    return words.lstrip(".") + (f", line {line}" if line else "")
