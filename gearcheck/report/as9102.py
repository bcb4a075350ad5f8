"""The field list of the first article inspection report, in the revision that is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.tables import table


class FormRevision(StrEnum):
    """The revision of AS9102; the order says which."""

    B = "B"
    C = "C"


@dataclass(frozen=True, kw_only=True)
class Field:
    """One field of a form.

    Parameters
    ----------
    number : int
        As the form numbers it.
    title : str
        As the form prints it.
    code : str
        R required, CR conditionally required, O optional; empty where none was seen.
    holds : str
        What this program writes there; empty where it is left to those who issue and sign the report.
    place : str
        Of a form of rows: ``head`` above them, ``row`` in each, ``foot`` below them; empty on Form 1.
    """

    number: int
    title: str
    code: str
    holds: str
    place: str

    @property
    def heading(self) -> str:
        """Number and title, as a heading prints them."""
        return f"{self.number}. {self.title}"

    def entry(self, values: Mapping[str, str]) -> str:
        """Return what is written into it; empty where the record does not hold it."""
        return values.get(self.holds, "")


def form_revision(text: str) -> FormRevision:
    """Return the revision that was asked for.

    Parameters
    ----------
    text : str
        ``B`` or ``C``.

    Returns
    -------
    FormRevision
        Never one by default.

    Raises
    ------
    InputError
        For anything else.
    """
    if text not in [str(one) for one in FormRevision]:
        needed = f"the revision of AS9102 that the order asks for: {' or '.join(FormRevision)}"
        raise InputError([Fault("first article", text, needed)])
    return FormRevision(text)


def form_fields(form: int, revision: FormRevision) -> tuple[Field, ...]:
    """Return the fields of one form.

    Parameters
    ----------
    form : int
        1, 2 or 3.
    revision : FormRevision
        Of the document.

    Returns
    -------
    tuple of Field
        By their numbers.

    Notes
    -----
    Source: AS9102, from memory: check against the document.

    Checked: FAI-01, FAI-02.

    Examples
    --------
    >>> [field.heading for field in form_fields(3, FormRevision.C)][-2:]
    ['11. Nonconformance Number', '12. Additional Data / Comments']
    """
    found = (
        Field(
            number=row["field"],
            title=row["title"],
            code=row.get("code", ""),
            holds=row.get("holds", ""),
            place=row.get("place", ""),
        )
        for row in table("as9102_fields").rows
        if row["form"] == form and row.get("only", revision) == revision
    )
    return tuple(sorted(found, key=lambda field: field.number))
