"""What people write, looked at before it is written down."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, timedelta

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
    is_fine = bool(text.strip()) and is_plain(text.strip()) and len(text) <= _LONGEST_NAME
    faults.need(is_fine, field, text.strip(), f"{needed}, on one line of at most {_LONGEST_NAME} letters")
    return text.strip()


def words(text: str, field: str, needed: str, faults: Faults) -> str:
    """A text of one or more lines, not empty; returned without blanks around it."""
    plain = text.replace("\r\n", "\n").strip()
    faults.need(0 < len(plain) <= _LONGEST_TEXT, field, plain, f"{needed}, at most {_LONGEST_TEXT} letters")
    faults.need(is_plain(plain, "\n\t"), field, ascii(plain), f"{needed}, without signs that do not show")
    return plain


def is_plain(text: str, besides: str = "") -> bool:
    """Whether each letter shows; a space of another width is one too, as word processors write it."""
    return all(
        letter.isprintable() or letter in besides or unicodedata.category(letter) == "Zs" for letter in text
    )


def day(text: str, field: str, faults: Faults, *, today: str = "") -> str:
    """A day that there is, written as 2026-03-02; with `today` none that is still to come."""
    text = text.strip()
    try:
        is_day = re.fullmatch(r"\d{4}-\d\d-\d\d", text) is not None
        found = date.fromisoformat(text)
    except ValueError:
        is_day = False
    faults.need(is_day, field, shown(text), "a day, written as 2026-03-02")
    if is_day and today:
        # one day more: it may be tomorrow already where it was seen
        came = found <= date.fromisoformat(today) + timedelta(days=1)
        faults.need(came, field, text, f"a day that is not still to come, today is {today}")
    return text
