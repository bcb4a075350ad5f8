"""Why the ratings by ISO 6336 and ANSI/AGMA 2101 differ, as rows that a page can show."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.basics.tables import table


@dataclass(frozen=True, slots=True)
class Difference:
    """One quantity in both ratings, in words.

    Parameters
    ----------
    quantity : str
        What is compared.
    iso, agma : str
        How each rating has it.
    effect : str
        Which way it moves the answer.
    """

    quantity: str
    iso: str
    agma: str
    effect: str


def agma_differences() -> tuple[Difference, ...]:
    """Return what makes the two ratings differ, in the order of the chain.

    Returns
    -------
    tuple of Difference
        One for each quantity.

    Examples
    --------
    >>> [row.quantity for row in agma_differences()][3]
    'Critical section of the root'
    """
    return tuple(
        Difference(row["quantity"], row["iso"], row["agma"], row["effect"])
        for row in table("agma_iso_differences").rows
    )
