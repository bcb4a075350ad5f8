"""A form as comma separated values that a spreadsheet program opens right, and runs nothing of."""

from __future__ import annotations

import csv
import io
import re

from gearcheck.basics.digits import MINUS
from gearcheck.report.forms import Form

_LONGEST = 16_000  # letters; a cell holds 32 767, and counts rare ones twice
_CUT = " … (cut off here)"
_STARTS_FORMULA = re.compile(r'(?:^|(?<=[,;\t|"\'\n]))(\s*)(?=[=+\-@＝＋－＠])')
_NUMBER_OR_DAY = re.compile(r"0\d+|\d{12,}|\d+[eE.,:/\- ]+\d[\d.,:/\- ]*")
_PLAIN = re.compile(rf"[{MINUS}-]?\d{{1,9}}(\.\d{{1,6}})?")
_BLANKS = str.maketrans({"\u00a0": " ", "\u202f": " "})


def csv_table(form: Form) -> bytes:
    """Return a form as comma separated values.

    Parameters
    ----------
    form : Form
        One of rows.

    Returns
    -------
    bytes
        UTF-8 with its mark: cautions and remarks in the first line, then headings, then the rows, each with
        what stands above them. What a spreadsheet program would run begins with an apostrophe.
    """
    made = io.StringIO()
    writer = csv.writer(made, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow([harmless(f"{form.title}. {form.caution} {' '.join(form.remarks)}")])
    writer.writerow([harmless(one) for one in (*(name for name, _ in form.head), *form.headings)])
    for cells in form.rows:
        head = [harmless(entry) for _, entry in form.head]
        writer.writerow([*head, *map(_cell, (name in form.numbers for name in form.headings), cells)])
    return made.getvalue().encode("utf-8-sig")


def _cell(is_number: bool, text: str) -> str:
    known = number_of(text) if is_number else None
    return harmless(text) if known is None else text.replace(MINUS, "-")


def number_of(text: str) -> float | None:
    """Return the number that a text holds; None where it holds more or other than digits.

    Parameters
    ----------
    text : str
        As printed.

    Returns
    -------
    float or None
        Also of a text with a proper minus sign.

    Examples
    --------
    >>> number_of("\N{MINUS SIGN}1.5"), number_of("not stated")
    (-1.5, None)
    """
    return float(text.replace(MINUS, "-")) if _PLAIN.fullmatch(text) else None


def harmless(text: str) -> str:
    """Return text on one line that no spreadsheet program runs, whatever it takes for the end of a field.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str
        With an apostrophe before what would begin a formula, or become another number, or a day.

    Examples
    --------
    >>> harmless('=1+1'), harmless('a; -2 mm'), harmless('0007')
    ("'=1+1", "a; '-2 mm", "'0007")
    """
    line = " ".join(shown(text).split())
    return f"'{line}" if _NUMBER_OR_DAY.fullmatch(line) else _STARTS_FORMULA.sub(r"\1'", line)


def shown(text: str) -> str:
    r"""Return text that every spreadsheet program takes: no control letters, no more than a cell holds.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str
        What was cut off is said to be.

    Examples
    --------
    >>> shown("a\x00b")
    'a b'
    """
    kept = text.translate(_BLANKS)
    kept = "".join(letter if letter.isprintable() or letter == "\n" else " " for letter in kept)
    return kept if len(kept) <= _LONGEST else kept[:_LONGEST] + _CUT
