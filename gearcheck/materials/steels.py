"""The steels by name: for carburising, and for other heat treatments."""

from __future__ import annotations

from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Treatment
from gearcheck.materials.names import known_name


def steel_names(*, treatment: Treatment | None = Treatment.CASE_CARBURISED) -> tuple[str, ...]:
    """Return the names of the steels that are known for a heat treatment.

    Parameters
    ----------
    treatment : Treatment or None
        For case carburising, or for one of the others; None names all steels.

    Returns
    -------
    tuple of str
        As their standards write them.

    Notes
    -----
    Source: ISO 683-1, -2, -3, -5, SAE J403 and J404, names from memory.
    Valid for: wrought steels.
    Departures: none.
    Checked: not checked.

    Examples
    --------
    >>> "18CrNiMo7-6" in steel_names(), "42CrMo4" in steel_names(treatment=Treatment.GAS_NITRIDED)
    (True, True)
    """
    if treatment is None:
        return table("steels").names + table("steels_treated").names
    return table("steels" if treatment is Treatment.CASE_CARBURISED else "steels_treated").names


def known_steel(grade: str, *, treatment: Treatment | None = Treatment.CASE_CARBURISED) -> str:
    """Return the name of a steel as its standard writes it, or say which name was meant.

    Parameters
    ----------
    grade : str
        A name; upper and lower case and spaces do not count.
    treatment : Treatment or None
        What the steel has to be meant for; None knows all steels.

    Returns
    -------
    str
        The name in the table of steels.

    Raises
    ------
    InputError
        No such steel for the treatment; the fault names the nearest ones.

    Notes
    -----
    Source: ISO 683-1, -2, -3, -5, SAE J403 and J404, names from memory.
    Valid for: wrought steels.
    Departures: none.
    Checked: not checked.

    Examples
    --------
    >>> known_steel("18crnimo7-6"), known_steel("42 crmo4", treatment=Treatment.THROUGH_HARDENED)
    ('18CrNiMo7-6', '42CrMo4')
    """
    example = "18CrNiMo7-6" if treatment in (None, Treatment.CASE_CARBURISED) else "42CrMo4"
    otherwise = f"a name of the table of steels, such as {example}"
    return known_name("grade", grade, steel_names(treatment=treatment), otherwise)
