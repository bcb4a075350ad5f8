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


def piece(applies_to: str) -> tuple[str, str]:
    """Return the narrowest part of what evidence applies to; the words themselves where they name none.

    Examples
    --------
    >>> piece("furnace load 3117, serial number 0007")
    ('serial number', '0007')
    """
    return max(scopes(applies_to), key=lambda scope: KINDS.index(scope[0]), default=("", applies_to.strip()))


def may_speak_of(applies_to: str, found_on: str) -> bool:
    """Whether evidence speaks of the piece of a finding, or of the load or heat that this piece came from.

    Examples
    --------
    >>> may_speak_of("furnace load 3117", "furnace load 3117, serial number 0007")
    True
    >>> may_speak_of("furnace load 3118", "furnace load 3117, serial number 0007")
    False
    """
    shared = {scope for scope in scopes(applies_to) if scope[0] != "design"} & set(scopes(found_on))
    return bool(shared) or is_of_piece(applies_to, found_on)


def is_of_piece(applies_to: str, found_on: str) -> bool:
    """Whether evidence speaks of the piece that a finding was made on: its gear, else its load or heat.

    Parameters
    ----------
    applies_to : str
        What the evidence applies to.
    found_on : str
        What the finding applies to; the narrowest part of it is the piece.

    Returns
    -------
    bool
        Also where narrower evidence does not say which load or heat it is of: it may be of this one. What is
        said of the design is of no piece.

    Examples
    --------
    >>> is_of_piece("serial number 0007", "furnace load 3117, serial number 0007")
    True
    >>> is_of_piece("furnace load 3117", "furnace load 3117, serial number 0007")
    False
    >>> is_of_piece("serial number 0008", "furnace load 3117")
    True
    """
    spoken_of = dict(scopes(applies_to))
    piece = max(scopes(found_on), key=lambda scope: KINDS.index(scope[0]), default=("design", ""))
    if piece[0] == "design":
        return applies_to.strip() == found_on.strip()
    if piece[0] in spoken_of:
        return spoken_of[piece[0]] == piece[1]
    return any(KINDS.index(kind) > KINDS.index(piece[0]) for kind in spoken_of)
