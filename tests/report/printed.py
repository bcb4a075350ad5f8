"""Works out a printed line again from the numbers on paper, and says how far rounding may have moved it."""

import re
from math import radians

from tests.formula import worked_out

RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
NUMBER = re.compile(r"−?\d[\d\u202f]*(?:\.\d+)?(?:·10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?°?")


def number(printed):
    """The value of a printed number, an angle in radians, and half of its last digit.

    Fewer than three digits are shown only where nothing was rounded.
    """
    plain = printed.rstrip("°").replace("\u202f", "").replace("−", "-")
    mantissa, _, power = plain.partition("·10")
    power = power.translate(RAISED) or "0"
    decimals = len(mantissa.partition(".")[2])
    scale = radians(1) if printed.endswith("°") else 1.0
    rounded = len(mantissa.replace(".", "").lstrip("-0")) >= 3
    half = 0.5 * 10.0 ** (int(power) - decimals) * scale if rounded else 0.0
    return float(f"{mantissa}e{power}") * scale, half


def worked_out_as_printed(expression, numbers, symbols):
    """The value of a printed line, and how far rounding may have moved it.

    What stands between the symbols has to stand in the numbers too: only a symbol's place is rounded.
    """
    pieces = symbols.split(expression)
    match = re.fullmatch(rf"\(?({NUMBER.pattern})\)?".join(map(re.escape, pieces)), numbers)
    assert match, f"{numbers} is not {expression}"
    found = dict(zip(symbols.findall(expression), map(number, match.groups()), strict=True))
    values = {symbol: value for symbol, (value, _) in found.items()}
    value = float(worked_out(expression, values))
    slack = 0.0
    for symbol, (middle, half) in found.items():
        ends = [worked_out(expression, {**values, symbol: middle + end}) for end in (half, -half)]
        slack += max(abs(float(end) - value) for end in ends)
    return value, slack
