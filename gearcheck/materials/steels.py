"""The carburising steels by name."""

from __future__ import annotations

from difflib import get_close_matches

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.tables import table


def steel_names() -> tuple[str, ...]:
    """Return the names of the carburising steels that are known.

    Returns
    -------
    tuple of str
        As their standards write them.

    Notes
    -----
    Source: ISO 683-3 and SAE J404, names from memory.
    Valid for: steels for case carburising.
    Departures: none.
    Checked: not checked.

    Examples
    --------
    >>> "18CrNiMo7-6" in steel_names()
    True
    """
    return table("steels").names


def known_steel(grade: str) -> str:
    """Return the name of a steel as its standard writes it, or say which name was meant.

    Parameters
    ----------
    grade : str
        A name; upper and lower case and spaces do not count.

    Returns
    -------
    str
        The name in the table of steels.

    Raises
    ------
    InputError
        No such steel; the fault names the nearest ones.

    Notes
    -----
    Source: ISO 683-3 and SAE J404, names from memory.
    Valid for: steels for case carburising.
    Departures: none.
    Checked: not checked.

    Examples
    --------
    >>> known_steel("18crnimo7-6")
    '18CrNiMo7-6'
    """
    names = {_folded(name): name for name in steel_names()}
    if _folded(grade) in names:
        return names[_folded(grade)]
    near = [names[name] for name in get_close_matches(_folded(grade), names, n=3, cutoff=0.6)]
    needed = "one of " + ", ".join(near) if near else "a name of the table of steels, such as 18CrNiMo7-6"
    raise InputError([Fault("grade", f'"{grade}"', needed)])


def _folded(name: str) -> str:
    return "".join(name.split()).lower()
