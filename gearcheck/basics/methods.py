"""Where a number comes from: the status of a value, its method, and the range it holds for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from gearcheck.basics.numbers import Number, array

_STANDARD = re.compile(r"(?:ISO|IEC|ANSI|AGMA|DIN|EN|ASTM)\b[A-Z/ ]*[\d.-]+$")


class Status(StrEnum):
    """How well a published value is known."""

    PUBLISHED = "published"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"


class Level(StrEnum):
    """How serious a notice is; after a stop there is no value."""

    NOTE = "note"
    CAUTION = "caution"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Notice:
    """A sentence that goes with a result.

    Parameters
    ----------
    level : Level
        Note, caution or stop.
    key : str
        Stable name for tests and cross references, such as ``flank.quality_outside``.
    text : str
        One sentence with the number that caused it, its unit and the limit.
    """

    level: Level
    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Range:
    """The closed interval in which a method holds for one argument.

    Parameters
    ----------
    name : str
        The argument, with its unit as suffix.
    symbol : str
        The symbol of the standard.
    low, high : float
        Limits, both inside; infinite where there is none.
    unit : str
        For the sentence; empty for a pure number.
    level : Level
        What lies outside means: a caution, or a stop.
    """

    name: str
    symbol: str
    low: float
    high: float
    unit: str = ""
    level: Level = Level.CAUTION

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        if np.isinf(self.high):
            return f"{self.symbol} from {self.low:g}{unit}"
        if np.isinf(self.low):
            return f"{self.symbol} up to {self.high:g}{unit}"
        return f"{self.symbol} from {self.low:g} to {self.high:g}{unit}"


def citation(source: str, edition: str, clause: str = "") -> str:
    """Return a citation as it is printed: a colon joins a standard's number to its year, a comma all else.

    Parameters
    ----------
    source, edition, clause : str
        Document, year, and place in it; what is empty is left out.

    Returns
    -------
    str
        One line.

    Examples
    --------
    >>> citation("ISO 6336-2", "2019", "clauses 6 to 9"), citation("Johnson, Contact Mechanics", "1985")
    ('ISO 6336-2:2019, clauses 6 to 9', 'Johnson, Contact Mechanics, 1985')
    """
    joined = ":" if _STANDARD.match(source) else ", "
    document = joined.join(part for part in (source, edition) if part)
    return ", ".join(part for part in (document, clause) if part)


@dataclass(frozen=True, slots=True)
class Method:
    """Where a calculation comes from: the only home of its limits.

    Parameters
    ----------
    key : str
        Stable name: ``iso6336_2.flank_stress``.
    title : str
        What it gives, in the trade's words.
    source : str
        The document: ``ISO 6336-2``.
    edition : str
        Its year.
    clause : str
        Where in the document, as far as known.
    status : Status
        How well its formulas and coefficients are known.
    valid : tuple of Range
        Validity limits.
    implements, leaves_out : tuple of str
        The clauses built and those not built.
    departures : tuple of str
        Where the calculation differs from the text, and why.
    """

    key: str
    title: str
    source: str
    edition: str
    clause: str
    status: Status
    valid: tuple[Range, ...] = ()
    implements: tuple[str, ...] = ()
    leaves_out: tuple[str, ...] = ()
    departures: tuple[str, ...] = ()

    @property
    def cite(self) -> str:
        """The citation as it is printed: document, edition, clause."""
        return citation(self.source, self.edition, self.clause)

    def outside(self, **values: Number) -> tuple[Notice, ...]:
        """Return a notice for each value that lies outside its range.

        Parameters
        ----------
        **values : float or array
            By the names in `valid`; a range whose name is not given is not looked at.

        Returns
        -------
        tuple of Notice
            In the order of `valid`.
        """
        found = []
        for limits in self.valid:
            if limits.name not in values:
                continue
            given = array(values[limits.name])
            wrong = given[(given < limits.low) | (given > limits.high)]
            if wrong.size:
                unit = f" {limits.unit}" if limits.unit else ""
                text = f"{limits.symbol} = {wrong.flat[0]:.4g}{unit} lies outside {self.cite}: {limits}."
                found.append(Notice(limits.level, f"{self.key}.{limits.name}", text))
        return tuple(found)
