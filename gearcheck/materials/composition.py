"""The composition of a carburising steel."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.basics.numbers import Number
from gearcheck.basics.tables import table
from gearcheck.materials.names import known_name


@dataclass(frozen=True, kw_only=True)
class Composition:
    """What of a steel's composition moves the start of martensite and how fast carbon moves; mass percent.

    Parameters
    ----------
    carbon_percent : float or array
        C of the steel before it is carburised.
    manganese_percent, nickel_percent, chromium_percent, molybdenum_percent : float or array
        Mn, Ni, Cr and Mo.
    silicon_percent : float, array or None
        Si; None where it does not count.
    """

    carbon_percent: Number
    manganese_percent: Number
    nickel_percent: Number
    chromium_percent: Number
    molybdenum_percent: Number
    silicon_percent: Number = None


def steel_composition(*, grade: str) -> Composition:
    """Return the middle of the printed composition of a carburising steel.

    Parameters
    ----------
    grade : str
        A name of the table of compositions; upper and lower case and spaces do not count.

    Returns
    -------
    Composition
        Mass percent; the analysis of the heat is better wherever it is known.

    Raises
    ------
    InputError
        No composition of such a steel.

    Notes
    -----
    Source: AMS 6265 from a data sheet, SAE J404 and ISO 683-3 from memory; silicon by common practice where
    the standard prints its largest value alone.
    Valid for: the grade as a whole, not one heat of it.
    Departures: the middle of each range.
    Checked: not checked.

    Examples
    --------
    >>> steel_composition(grade="SAE 9310").nickel_percent
    3.25
    """
    compositions = table("steel_compositions")
    row = compositions.row(known_name("grade", grade, compositions.names))
    return Composition(
        carbon_percent=row["C"],
        manganese_percent=row["Mn"],
        nickel_percent=row["Ni"],
        chromium_percent=row["Cr"],
        molybdenum_percent=row["Mo"],
        silicon_percent=row["Si"],
    )
