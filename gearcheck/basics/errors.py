"""Errors that a user can mend: every fault named with its place, the value given and what is needed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with what was given.

    Parameters
    ----------
    field : str
        Where it stands, as the user wrote it: ``gear.face_width``, ``pitch.csv, line 7, deviation_um``.
    given : str
        The value as given, shortened; empty where it is missing.
    needed : str
        What is needed instead, with its unit.
    why : str
        The reason, where it is not obvious.
    """

    field: str
    given: str
    needed: str
    why: str = ""

    def __str__(self) -> str:
        given = f"given {self.given}" if self.given else "missing"
        why = f" ({self.why})" if self.why else ""
        return f"{self.field}: {given}; needed: {self.needed}{why}"


def shown(given: object) -> str:
    """Return a value as text of at most 60 characters.

    Parameters
    ----------
    given : object
        Anything that a user can write.

    Returns
    -------
    str
        Cut off with three points where it is longer.

    Examples
    --------
    >>> shown("5 mm"), shown(16**5000)
    ('5 mm', 'a number too long to print')
    """
    try:
        text = str(given)
    except ValueError:  # Python refuses to print integers of thousands of digits
        return "a number too long to print"
    return text if len(text) <= 60 else text[:57] + "..."


class InputError(ValueError):
    """Input that cannot be used; carries all faults found, not only the first.

    Parameters
    ----------
    faults : iterable of Fault
        At least one.

    Examples
    --------
    >>> raise InputError([Fault("face_width", "-3 mm", "a length above 0 mm")])
    Traceback (most recent call last):
    gearcheck.basics.errors.InputError: face_width: given -3 mm; needed: a length above 0 mm
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class Faults:
    """Collects faults, so that one look shows all that has to be mended.

    Examples
    --------
    >>> faults = Faults()
    >>> faults.need(False, "teeth", 2, "5 teeth or more")
    >>> faults.check()
    Traceback (most recent call last):
    gearcheck.basics.errors.InputError: teeth: given 2; needed: 5 teeth or more
    """

    def __init__(self) -> None:
        self.found: list[Fault] = []

    def add(self, field: str, given: object, needed: str, why: str = "") -> None:
        """Note one fault; the value is shortened to 60 characters."""
        self.found.append(Fault(field, "" if given is None else shown(given), needed, why))

    def need(self, ok: bool, field: str, given: object, needed: str, why: str = "") -> None:
        """Note a fault unless `ok`."""
        if not ok:
            self.add(field, given, needed, why)

    def check(self) -> None:
        """Raise all that was found.

        Raises
        ------
        InputError
            If anything was found.
        """
        if self.found:
            raise InputError(self.found)
