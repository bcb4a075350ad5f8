"""Numbers as they are printed: significant digits, a minus sign that is one, and no break before a unit."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.numbers import Number, array

NO_BREAK = "\u00a0"
THIN = "\u202f"
MINUS = "\u2212"
NO_VALUE = "no value"
_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_SMALLEST, _LARGEST = 1e-4, 1e7
_THOUSANDS_FROM = 10_000
_NOISE = 1e-12


def number_text(value: float | None, digits: int = 4) -> str:
    """Return one number as text.

    A number above the digits asked for keeps its whole part; below 0.0001 and from ten million on it is
    written with a power of ten. Zeros at the end stand only where the number was rounded.

    Parameters
    ----------
    value : float or None
        The number; None and NaN have no value.
    digits : int
        Significant digits.

    Returns
    -------
    str
        Plain Unicode, with ``−`` for minus and thin spaces between thousands.

    Examples
    --------
    >>> number_text(32.0), number_text(1.50003), number_text(2.22e9)
    ('32', '1.500', '2.22·10⁹')
    """
    if value is None or np.isnan(value):
        return NO_VALUE
    sign = MINUS if value < 0 else ""
    size = abs(value)
    if np.isinf(size):
        return f"{sign}∞"
    if size == 0:
        return "0"
    if _SMALLEST <= size < _LARGEST:
        return sign + _fixed(size, digits)
    mantissa, _, power = f"{size:.{digits - 1}e}".partition("e")
    return f"{sign}{_trimmed(mantissa, size / 10.0 ** int(power))}·10{str(int(power)).translate(_RAISED)}"


def _fixed(size: float, digits: int) -> str:
    decimals = max(digits - 1 - int(np.floor(np.log10(size))), 0)
    whole, dot, fraction = _trimmed(f"{size:.{decimals}f}", size).partition(".")
    if int(whole) >= _THOUSANDS_FROM:
        whole = f"{int(whole):,}".replace(",", THIN)
    return whole + dot + fraction


def _trimmed(text: str, size: float) -> str:
    """Drop the zeros at the end where nothing was rounded, float noise apart."""
    exact = abs(float(text) - size) <= _NOISE * size
    return text.rstrip("0").rstrip(".") if exact and "." in text else text


def with_unit(text: str, unit: str) -> str:
    """Return a printed number with its unit; the unit never stands on the next line.

    Parameters
    ----------
    text : str
        The number as text.
    unit : str
        ``mm``, ``MPa``, ``°``; empty for a pure number.

    Returns
    -------
    str
        The text alone where there is no unit or no value.

    Examples
    --------
    >>> with_unit("20", "°")
    '20°'
    """
    if not unit or text == NO_VALUE:
        return text
    return f"{text}{unit}" if unit == "°" else f"{text}{NO_BREAK}{unit}"


def value_text(value: Number, unit: str = "", digits: int = 4) -> str:
    """Return a value with its unit: a number, or the range and count of an array.

    Parameters
    ----------
    value : float, array or None
        Any number of the package.
    unit : str
        Its unit.
    digits : int
        Significant digits.

    Returns
    -------
    str
        An array as ``0.7 to 1.2 mm (41 values)``.

    Examples
    --------
    >>> value_text([0.7, 1.2], "mm").replace(NO_BREAK, " ")
    '0.7 to 1.2 mm (2 values)'
    """
    values = array(value)
    if values.size == 1:
        return with_unit(number_text(values.item(), digits), unit)
    known = values[~np.isnan(values)]
    if known.size == 0:
        return NO_VALUE
    low, high = number_text(known.min(), digits), number_text(known.max(), digits)
    count = f"{values.size} values" if known.size == values.size else f"{known.size} of {values.size} values"
    return f"{with_unit(low if low == high else f'{low} to {high}', unit)} ({count})"


def decimals_text(value: float | None, decimals: int, unit: str = "") -> str:
    """Return a number with a fixed count of decimals, for columns that are read downwards.

    Parameters
    ----------
    value : float or None
        The number.
    decimals : int
        Digits behind the point.
    unit : str
        Its unit.

    Returns
    -------
    str
        Plain Unicode.

    Examples
    --------
    >>> decimals_text(-0.996, 2)
    '−1.00'
    """
    if value is None or np.isnan(value):
        return NO_VALUE
    text = f"{abs(value):.{decimals}f}"
    return with_unit((MINUS if value < 0 and float(text) else "") + text, unit)
