"""Names that people type, found in a table."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from gearcheck.basics.errors import Fault, InputError


def known_name(field: str, given: str, names: Sequence[str], otherwise: str = "") -> str:
    """Return a name as its table writes it, or say which name was meant.

    Parameters
    ----------
    field : str
        Where it was given.
    given : str
        The name; upper and lower case and spaces do not count.
    names : sequence of str
        The names of the table.
    otherwise : str
        What to ask for where no name is near; all names without it.

    Returns
    -------
    str
        The name in the table.

    Raises
    ------
    InputError
        No such name; the fault names the nearest ones.

    Examples
    --------
    >>> known_name("grade", "sae9310", ["SAE 8620", "SAE 9310"])
    'SAE 9310'
    """
    folded = {_folded(name): name for name in names}
    if _folded(given) in folded:
        return folded[_folded(given)]
    near = [folded[name] for name in get_close_matches(_folded(given), folded, n=3, cutoff=0.6)]
    needed = otherwise if otherwise and not near else "one of " + ", ".join(near or names)
    raise InputError([Fault(field, f'"{given}"', needed)])


def _folded(name: str) -> str:
    return "".join(name.split()).lower()
