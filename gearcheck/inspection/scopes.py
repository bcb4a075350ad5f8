"""What a piece of evidence applies to: the design, a steel heat, a furnace load, or a serial number."""

from __future__ import annotations

import re

KINDS = ("design", "heat", "furnace load", "serial number")
_SCOPE = re.compile(r"(design|heat|furnace load|serial number)\b\s*(.*)", re.IGNORECASE)


def scopes(applies_to: str) -> tuple[tuple[str, str], ...]:
    """Return what evidence applies to, part by part.

    Parameters
    ----------
    applies_to : str
        Parts between commas: ``furnace load 3117, serial number 0007``.

    Returns
    -------
    tuple of tuple of str
        Kind and name of each part that says one of `KINDS`; what says none of them is left out.

    Examples
    --------
    >>> scopes("furnace load 3117, serial number 0007")
    (('furnace load', '3117'), ('serial number', '0007'))
    """
    found = (_SCOPE.fullmatch(part.strip()) for part in applies_to.split(","))
    return tuple((match[1].lower(), match[2].strip()) for match in found if match)


def is_scoped(applies_to: str) -> bool:
    """Whether every part says what it applies to, and all but the design say which."""
    found = scopes(applies_to)
    parts = applies_to.split(",")
    return len(found) == len(parts) and all(name or kind == "design" for kind, name in found)


def same_piece(one: str, other: str) -> bool:
    """Whether two pieces of evidence speak of one gear, load or heat; the design is no piece.

    Examples
    --------
    >>> same_piece("furnace load 3117, serial number 0007", "serial number 0007")
    True
    >>> same_piece("serial number 0007", "serial number 0008")
    False
    """
    pieces = [{scope for scope in scopes(text) if scope[0] != "design"} for text in (one, other)]
    unnamed = not any(pieces) and one.strip() == other.strip() and not scopes(one)
    return unnamed or bool(pieces[0] & pieces[1])
