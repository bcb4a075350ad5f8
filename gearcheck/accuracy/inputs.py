"""What the accuracy room needs to know of the class that the drawing asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number


class AccuracyEdition(StrEnum):
    """The edition that gives the tolerances of a class."""

    ISO_1328_1_2013 = "ISO 1328-1:2013"


class Flank(StrEnum):
    """Which flank, seen from the reference face with the tooth pointing up."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, kw_only=True)
class AccuracySpecification:
    """The flank tolerance class of a drawing.

    Parameters
    ----------
    tolerance_class : int or array
        Flank tolerance class A.
    edition : AccuracyEdition
        The standard that gives its tolerances.
    """

    tolerance_class: Number
    edition: AccuracyEdition
