"""What a text of a gear file may be: a name, a sentence, one of a few choices, a date."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.materials.inputs import Treatment
from gearcheck.materials.steels import known_steel
from gearcheck.review.file_values import Kind, shown

_NO_TEXT = ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")  # control, direction marks, halves of characters, separators


def close_name(word: object, names: list[str]) -> str:
    """Return ``did you mean "x"?`` where a name comes near, else nothing."""
    near = get_close_matches(str(word)[:60].lower(), [name.lower() for name in names], n=1, cutoff=0.6)
    return next((f'did you mean "{name}"?' for name in names if [name.lower()] == near), "")


@dataclass(frozen=True)
class Choice(Kind):
    """One of a few names, of a second list too where there is one."""

    options: type[StrEnum]
    others: type[StrEnum] | None = None

    @property
    def _names(self) -> list[str]:
        return [*self.options, *(self.others or ())]

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return "one of " + ", ".join(f'"{name}"' for name in self._names)

    def __call__(self, value: object) -> Any:
        """Read it."""
        names = self._names
        if not isinstance(value, str) or value not in names:
            self.refuse(value, close_name(value, names) if isinstance(value, str) else "")
        options = self.options if value in list(self.options) else self.others
        return options(value) if options is not None else None


@dataclass(frozen=True)
class Only(Kind):
    """The only value that is accepted, written out so that nobody has to guess it."""

    value: str | int
    why: str

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return shown(self.value)

    def __call__(self, value: object) -> str | int:
        """Read it."""
        if type(value) is not type(self.value) or value != self.value:
            self.refuse(value, self.why)
        return self.value


@dataclass(frozen=True)
class Words(Kind):
    """A text on one line."""

    longest: int
    several_lines: bool = False
    pattern: str = ""
    pattern_words: str = ""

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        least = 0 if self.several_lines else 1
        return f"a text in quotes, {least} to {self.longest} characters{self.pattern_words}"

    def __call__(self, value: object) -> str:
        """Read it; blanks at both ends do not count."""
        if not isinstance(value, str):
            self.refuse(value)
        text = value.replace("\r\n", "\n").strip()
        if len(text) > self.longest or (not text and not self.several_lines):
            self.refuse(value)
        body = text.replace("\n", " ").replace("\t", " ") if self.several_lines else text
        odd = next((letter for letter in body if unicodedata.category(letter) in _NO_TEXT), "")
        if odd:
            self.refuse(value, f"the character U+{ord(odd):04X} cannot be read in print")
        if self.pattern and not re.fullmatch(self.pattern, text):
            self.refuse(value)
        return text


class YesNo(Kind):
    """Yes or no."""

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return "true or false, without quotes"

    def __call__(self, value: object) -> bool:
        """Read it."""
        if not isinstance(value, bool):
            self.refuse(value)
        return value


@dataclass(frozen=True)
class Each(Kind):
    """A list of texts, of a few names where these are given."""

    each: Words
    names: tuple[str, ...] = ()

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        of = f" of {', '.join(self.names)}" if self.names else ""
        return f"a list of texts in quotes{of}"

    def __call__(self, value: object) -> tuple[str, ...]:
        """Read all of them."""
        if not isinstance(value, list) or len(value) > 100:
            self.refuse(value)
        found = tuple(self.each(item) for item in value)
        wrong = next((item for item in found if self.names and item not in self.names), None)
        if wrong is not None:
            self.refuse(wrong, close_name(wrong, list(self.names)))
        return found


class Day(Kind):
    """A date."""

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        return "a date without quotes, such as 2026-03-02"

    def __call__(self, value: object) -> str:
        """Read it as ISO 8601."""
        if not isinstance(value, dt.date) or isinstance(value, dt.datetime):
            self.refuse(value)
        return value.isoformat()


@dataclass(frozen=True)
class SteelName(Kind):
    """A name of the table of steels, of those for carburising or of all."""

    carburising: bool = True

    @property
    def needed(self) -> str:
        """What is needed, in words."""
        which = "a carburising steel" if self.carburising else "a steel"
        return f'the name of {which}, such as "18CrNiMo7-6"'

    def __call__(self, value: object) -> str:
        """Read it as its standard writes it."""
        if not isinstance(value, str):
            self.refuse(value)
        try:
            treatment = Treatment.CASE_CARBURISED if self.carburising else None
            return known_steel(value[:60], treatment=treatment)
        except InputError as error:
            fault = error.faults[0]
            raise InputError([Fault("", shown(value), fault.needed)]) from None
