"""The only unit conversion: a value with its unit as text becomes a number in the package's unit."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from gearcheck.basics.errors import Fault, InputError

_EXAMPLES = {
    "mm": '"32 mm" or "1.26 in"',
    "µm": '"12 µm"',
    "°": '"20 deg"',
    "N·m": '"850 N·m"',
    "1/min": '"1480 rpm"',
    "h": '"25000 h"',
    "HV": '"700 HV" or "60 HRC"',
    "mm²/s": '"220 mm²/s"',
    "1/in": '"6 1/in"',
}
_PINT_NAMES = {"N·m": "N*m", "1/min": "rpm", "°": "degree", "mm²/s": "mm**2/s"}


@cache
def _registry() -> Any:
    import pint  # heavy: loaded at the first conversion only

    return pint.UnitRegistry(cache_folder=None)


def quantity(text: object, unit: str, field: str) -> float:
    """Return a value written with its unit as a number in `unit`.

    Parameters
    ----------
    text : object
        What stands in the file: a string such as ``"1.26 in"``.
    unit : str
        The unit of the package: mm, µm, °, N·m, 1/min, h, mm²/s, 1/in.
    field : str
        Its place in the file, for the error.

    Returns
    -------
    float
        In `unit`; finite.

    Raises
    ------
    InputError
        A bare number, no number, an unknown unit, a unit of another dimension, NaN or infinity.

    Examples
    --------
    >>> round(quantity("1.26 in", "mm", "face_width"), 3)
    32.004
    """
    example = _EXAMPLES.get(unit, f'a text such as "1 {unit}"')
    needed = f"a number with its unit, such as {example}"
    if isinstance(text, int | float) and not isinstance(text, bool):
        raise InputError([Fault(field, str(text), needed, "a bare number has no unit")])
    if not isinstance(text, str):
        raise InputError([Fault(field, repr(text)[:60], needed)])
    number, _, given_unit = text.strip().partition(" ")
    try:
        value = float(number)
    except ValueError:
        why = "write a decimal point, not a comma" if "," in number else ""
        raise InputError([Fault(field, f'"{text[:40]}"', needed, why)]) from None
    if not given_unit.strip() or not math.isfinite(value):
        raise InputError([Fault(field, f'"{text[:40]}"', needed)])
    return _converted(value, given_unit.strip(), unit, Fault(field, f'"{text[:40]}"', needed))


def _converted(value: float, given_unit: str, unit: str, fault: Fault) -> float:
    registry = _registry()
    import pint

    text = given_unit.replace("·", "*").replace("²", "**2").replace("°", "degree").replace("μ", "µ")
    if len(text) > 20:
        raise InputError([fault])
    try:
        result = float(registry.Quantity(value, text).to(_PINT_NAMES.get(unit, unit)).magnitude)
    except (pint.PintError, ValueError, TypeError, AttributeError, ArithmeticError, RecursionError) as error:
        raise InputError([Fault(fault.field, fault.given, fault.needed, _reason(error))]) from None
    if not math.isfinite(result):
        raise InputError([fault])
    return result


def _reason(error: Exception) -> str:
    return str(error).split("\n", maxsplit=1)[0][:120]
