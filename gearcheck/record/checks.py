"""What people write, looked at before it is written down."""

from __future__ import annotations

import re
from datetime import date

from gearcheck.basics.errors import Faults, shown
from gearcheck.record.events import Person

_LONGEST_NAME, _LONGEST_TEXT = 200, 4000


def person(by: Person, faults: Faults) -> None:
    """Who writes has a name on one line; a role may be left out."""
    line(by.name, "written by", "the name of who writes", faults)
    if by.role:
        line(by.role, "role", "a role on one line", faults)


def line(text: str, field: str, needed: str, faults: Faults) -> str:
    """A text on one line, not empty; returned without blanks around it."""
    is_fine = bool(text.strip()) and text.strip().isprintable() and len(text) <= _LONGEST_NAME
    faults.need(is_fine, field, text.strip(), f"{needed}, on one line of at most {_LONGEST_NAME} letters")
    return text.strip()


def words(text: str, field: str, needed: str, faults: Faults) -> str:
    """A text of one or more lines, not empty; returned without blanks around it."""
    plain = text.replace("\r\n", "\n").strip()
    is_fine = len(plain) >= 3 and all(letter.isprintable() or letter in "\n\t" for letter in plain)
    faults.need(
        is_fine and len(plain) <= _LONGEST_TEXT, field, plain, f"{needed}, 3 to {_LONGEST_TEXT} letters"
    )
    return plain


def day(text: str, field: str, faults: Faults) -> str:
    """A day that there is, written as 2026-03-02."""
    try:
        is_day = re.fullmatch(r"\d{4}-\d\d-\d\d", text.strip()) is not None
        date.fromisoformat(text.strip())
    except ValueError:
        is_day = False
    faults.need(is_day, field, shown(text.strip()), "a day, written as 2026-03-02")
    return text.strip()
