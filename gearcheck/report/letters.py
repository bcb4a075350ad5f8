"""Letters that the type of a print lacks: they are written as numbers, never as an empty box."""

from __future__ import annotations

import json
import tempfile
from functools import cache
from pathlib import Path

import typst

_DATED = '#set document(date: datetime(year: 2000, month: 1, day: 1))\n#json("letters.json")'

EXPLAINED = (
    "Letters that this print has no type for are written as their numbers in Unicode, such as [U+9F7F]; "
    "the notebook has them."
)


def missing_letters(text: str) -> frozenset[str]:
    """Return the letters of a text that could not be printed.

    Parameters
    ----------
    text : str
        Any.

    Returns
    -------
    frozenset of str
        Empty for all European languages and for all signs of a calculation.

    Examples
    --------
    >>> missing_letters("σ ≥ 5 µm, 齿")
    frozenset({'齿'})
    """
    letters = frozenset(letter for letter in text if not letter.isascii())
    if _all_there("".join(sorted(letters))):
        return frozenset()
    return frozenset(letter for letter in letters if not _all_there(letter))


def in_numbers(text: str, missing: frozenset[str]) -> str:
    """Return a text with the missing letters as numbers, such as ``[U+9F7F]``."""
    return text.translate({ord(letter): f"[U+{ord(letter):04X}]" for letter in missing})


@cache
def _all_there(letters: str) -> bool:
    with tempfile.TemporaryDirectory(prefix="gearcheck_", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        (folder / "letters.typ").write_text(_DATED, encoding="utf-8")
        (folder / "letters.json").write_text(json.dumps(letters), encoding="utf-8")
        try:  # the standard for documents that are kept forbids boxes in place of letters
            typst.compile(
                str(folder / "letters.typ"), root=name, ignore_system_fonts=True, pdf_standards=["a-2b"]
            )
        except typst.TypstError as error:
            if "could not be displayed" in str(error):
                return False
            raise
    return True
