"""The only unit conversion: a value with its unit as text becomes a number in the package's unit."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from typing import Any

from gearcheck.basics.errors import Fault, InputError, shown

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
_LENGTHS = ("mm", "cm", "m", "µm", "um", "in", "inch")
_SPELLINGS = {
    "mm": _LENGTHS,
    "µm": _LENGTHS,
    "°": ("°", "deg", "degree", "rad"),
    "N·m": ("N·m", "Nm", "N*m", "N m", "kN·m", "kNm", "lbf·ft", "lbf*ft", "lbf·in", "lbf*in"),
    "1/min": ("rpm", "1/min"),
    "h": ("h", "min", "s"),
    "mm²/s": ("mm²/s", "mm^2/s", "mm2/s", "cSt"),
    "1/in": ("1/in", "1/mm"),
    "J/mm³": ("J/mm³", "J/mm^3", "J/mm3"),
    "g/(m²·h)": ("g/(m²·h)", "g/(m2·h)", "g/(m^2*h)"),
}
# A bare 1/min would count radians in pint, a speed of a gear counts revolutions.
_PINT_NAMES = {
    "°": "degree",
    "deg": "degree",
    "in": "inch",
    "um": "µm",
    "Nm": "N*m",
    "N m": "N*m",
    "kNm": "kN*m",
    "1/min": "rpm",
    "mm²/s": "mm**2/s",
    "mm^2/s": "mm**2/s",
    "mm2/s": "mm**2/s",
    "J/mm³": "J/mm**3",
    "J/mm^3": "J/mm**3",
    "J/mm3": "J/mm**3",
    "g/(m²·h)": "g/(m**2*h)",
    "g/(m2·h)": "g/(m**2*h)",
    "g/(m^2*h)": "g/(m**2*h)",
}
_NUMBER = re.compile(r"([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*")


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
        The unit of the package: mm, µm, °, N·m, 1/min, h, mm²/s, 1/in; another one is read as it is written.
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
    example = _EXAMPLES.get(unit, f'"1 {unit}"')
    needed = f"a number with its unit, such as {example}"
    if isinstance(text, int | float) and not isinstance(text, bool):
        raise InputError([Fault(field, shown(text), needed, "a bare number has no unit")])
    if not isinstance(text, str):
        raise InputError([Fault(field, shown(text), needed)])
    fault = Fault(field, f'"{text[:40]}"', needed)
    number = _NUMBER.match(text.strip())
    if number is None:
        raise InputError([fault])
    value, given_unit = float(number[1]), text.strip()[number.end() :].replace("μ", "µ")
    if given_unit.startswith(","):
        raise InputError([replace(fault, why="write a decimal point, not a comma")])
    known = _SPELLINGS.get(unit, (unit,))
    if given_unit not in known:
        raise InputError([replace(fault, why=f"known here are {', '.join(known)}")])
    result = _converted(value, given_unit, unit)
    if not math.isfinite(result):
        raise InputError([fault])
    return result


def _converted(value: float, given_unit: str, unit: str) -> float:
    if given_unit == unit:  # also units that no conversion knows: HV, mm A
        return value
    source, target = (_PINT_NAMES.get(name, name).replace("·", "*") for name in (given_unit, unit))
    if source == target:  # the same unit in other words: a gear file without foreign units loads no registry
        return value
    return float(_registry().Quantity(value, source).to(target).magnitude)
