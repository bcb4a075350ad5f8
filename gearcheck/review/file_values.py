"""What a number of a gear file may be: each kind reads it, or says what is needed instead."""

from __future__ import annotations

import math
import re
from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from typing import Any, NoReturn

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.units import quantity
from gearcheck.materials.hardness import HV_from_HRC

_AS_WRITTEN = {"1/min": "rpm", "°": "deg"}
_HARDNESS = re.compile(r"([0-9]{1,4}(?:\.[0-9]{1,12})?) ?(HV|HRC)")

_FORCE = re.compile(r"HV ?([0-9]{1,2}(?:\.[0-9]{1,3})?)")


def rounded(value: float) -> float:
    """Return a value to 12 significant digits, so that 1.26 in and 32.004 mm are one number."""
    return float(f"{value:.12g}")


def printable(text: str) -> str:
    """Return the beginning of a text, with a mark in place of what cannot be read in print."""
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text[:60])


def shown(value: object) -> str:
    """Return a value of a TOML file as an error shows it."""
    if isinstance(value, str):
        return f'"{printable(value)}"'
    if isinstance(value, dict):
        return "a section"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and abs(value) > 1e15:
        return "a huge number"
    return str(value).lower() if isinstance(value, bool) else str(value)


class Kind(ABC):
    """Base of the kinds of value: called with what stands in the file, it returns what the package uses."""

    @property
    @abstractmethod
    def needed(self) -> str:
        """What is needed, in words."""

    @abstractmethod
    def __call__(self, value: object) -> Any:
        """Read a value; an InputError with a fault that has no place yet says what is wrong."""

    def refuse(self, value: object, why: str = "") -> NoReturn:
        """Raise the one fault of a value; its place is filled in where it is known."""
        raise InputError([Fault("", shown(value), self.needed, why)])


def _finite(value: object) -> float | None:
    """Return a number as a float; None for what is no finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    if isinstance(value, int) and abs(value) > 1e15:
        return None
    return float(value) if math.isfinite(value) else None


@dataclass(frozen=True)
class Size(Kind):
    """A value with its unit, between two limits that are allowed themselves; 0 too where it may be."""

    unit: str
    low: float
    high: float
    or_zero: bool = False

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return f"a number with its unit, from {self.limits}"

    @property
    def limits(self) -> str:
        """Its limits, in words."""
        zero = ", or 0" if self.or_zero else ""
        return f"{self.low:.10g} to {self.high:.10g} {_AS_WRITTEN.get(self.unit, self.unit)}{zero}"

    def __call__(self, value: object) -> float:
        """Read it into the unit of the package."""
        if not isinstance(value, str | int | float) or (isinstance(value, int) and abs(value) > 1e15):
            self.refuse(value)
        try:
            result = rounded(quantity(value, self.unit, ""))
        except InputError as error:
            raise InputError([replace(fault, given=shown(value)) for fault in error.faults]) from None
        if not self.low <= result <= self.high and not (self.or_zero and result == 0):
            self.refuse(value)
        return result


@dataclass(frozen=True)
class Span(Kind):
    """A smallest and a largest value, each with its unit."""

    each: Size

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        each, unit = self.each, self.each.unit
        return f'a list [smallest, largest], such as ["1 {unit}", "2 {unit}"], from {each.limits}'

    def __call__(self, value: object) -> tuple[float, float]:
        """Read both."""
        if not isinstance(value, list) or len(value) != 2:
            self.refuse(value)
        smallest, largest = self.each(value[0]), self.each(value[1])
        if smallest > largest:
            raise InputError([Fault("", ", ".join(map(shown, value)), "the smallest value first")])
        return smallest, largest


@dataclass(frozen=True)
class Plain(Kind):
    """A number without unit, between two limits; the limits themselves are allowed unless `inside`."""

    low: float
    high: float
    inside: bool = False

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        if self.inside:
            return f"a number above {self.low:g} and below {self.high:g}, without quotes"
        return f"a number from {self.low:g} to {self.high:g}, without quotes"

    def __call__(self, value: object) -> float:
        """Read it."""
        number = _finite(value)
        if number is None:
            self.refuse(value)
        outside = number in (self.low, self.high) if self.inside else False
        if outside or not self.low <= number <= self.high:
            self.refuse(value)
        return rounded(number)


class AsWritten(Kind):
    """A number with its unit that is read where it is known what was measured."""

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return 'a number with its unit, such as "18 %"; a ratio stands without quotes'

    def __call__(self, value: object) -> str | float:
        """Keep it."""
        if isinstance(value, str) and 0 < len(value.strip()) <= 40:
            return value.strip()
        number = _finite(value)
        if number is None:
            self.refuse(value)
        return number


@dataclass(frozen=True)
class Whole(Kind):
    """A whole number between two limits."""

    low: int
    high: int

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return f"a whole number from {self.low} to {self.high}, without quotes"

    def __call__(self, value: object) -> int:
        """Read it."""
        if isinstance(value, bool) or not isinstance(value, int) or not self.low <= value <= self.high:
            self.refuse(value)
        return value


@dataclass(frozen=True)
class Hardness(Kind):
    """A hardness in Vickers or Rockwell C."""

    low: float
    high: float

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return (
            f'a hardness such as "700 HV" or "60 HRC", from {self.low:g} to {self.high:g} HV or 20 to 68 HRC'
        )

    def __call__(self, value: object) -> float:
        """Read it in HV."""
        match = _HARDNESS.fullmatch(value.strip()) if isinstance(value, str) else None
        if match is None:
            self.refuse(value, "a bare number has no scale" if _finite(value) is not None else "")
        number = float(match[1])
        HV = HV_from_HRC(hardness_HRC=number).hardness_HV if match[2] == "HRC" else number
        if HV is None or not self.low <= HV <= self.high:
            self.refuse(value)
        return rounded(HV)


@dataclass(frozen=True)
class VickersForce(Kind):
    """The test force of a Vickers hardness as its short name gives it: HV 0.5 is 0.5 kgf."""

    low: float
    high: float

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return f'the test force as "HV 0.5", from HV {self.low:g} to HV {self.high:g}'

    def __call__(self, value: object) -> float:
        """Read it in kgf."""
        match = _FORCE.fullmatch(value.strip()) if isinstance(value, str) else None
        if match is None or not self.low <= float(match[1]) <= self.high:
            self.refuse(value)
        return rounded(float(match[1]))


@dataclass(frozen=True)
class Rockwell(Kind):
    """A hardness in Rockwell C only."""

    low: float
    high: float

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return f'a hardness such as "36 HRC", from {self.low:g} to {self.high:g} HRC'

    def __call__(self, value: object) -> float:
        """Read it in HRC."""
        match = _HARDNESS.fullmatch(value.strip()) if isinstance(value, str) else None
        if match is None or match[2] != "HRC" or not self.low <= float(match[1]) <= self.high:
            self.refuse(value)
        return rounded(float(match[1]))
