"""Works out a printed line again: the numbers as they stand on paper, each with the half digit it was rounded by."""

import re
from math import acos, asin, atan, cos, exp, log, log10, pi, radians, sin, sqrt, tan

RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
NUMBER = re.compile(r"\d[\d\u202f]*(?:\.\d+)?(?:·10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?°?")
NAMES = {
    "sin": sin,
    "cos": cos,
    "tan": tan,
    "asin": asin,
    "acos": acos,
    "atan": atan,
    "inv": lambda angle: tan(angle) - angle,
    "min": min,
    "max": max,
    "abs": abs,
    "exp": exp,
    "ln": log,
    "log10": log10,
    "sqrt": sqrt,
    "pi": pi,
}


def number(printed):
    """The value of a printed number, an angle in radians, and half of its last digit.

    Fewer than three digits are shown only where nothing was rounded.
    """
    mantissa, _, power = printed.rstrip("°").replace("\u202f", "").replace("−", "-").partition("·10")
    power = power.translate(RAISED) or "0"
    decimals = len(mantissa.partition(".")[2])
    scale = radians(1) if printed.endswith("°") else 1.0
    rounded = len(mantissa.replace(".", "").lstrip("-0")) >= 3
    half = 0.5 * 10.0 ** (int(power) - decimals) * scale if rounded else 0.0
    return float(f"{mantissa}e{power}") * scale, half


def worked_out(expression, numbers, symbols):
    """The value of a printed line, worked out from its numbers, and how far rounding may have moved it.

    What stands between the symbols has to stand in the numbers too; only what took the place of a symbol is rounded.
    """
    pieces = re.split(symbols.pattern, expression)
    places = r"\(?(−?" + NUMBER.pattern + r")\)?"
    match = re.fullmatch(places.join(re.escape(piece) for piece in pieces), numbers)
    assert match, f"{numbers} is not {expression}"
    found = [number(printed) for printed in match.groups()]
    count = iter(range(len(found)))
    code = re.sub(symbols.pattern, lambda _: f"n[{next(count)}]", expression)
    for sign, python in (
        ("^", "**"),
        ("²", "**2"),
        ("³", "**3"),
        ("√", "sqrt"),
        ("π", "pi"),
        ("·", "*"),
        ("−", "-"),
    ):
        code = code.replace(sign, python)
    values = [value for value, _ in found]

    def value_of(moved):
        return eval(code, {"__builtins__": {}}, {**NAMES, "n": moved})

    value = value_of(values)
    slack = 0.0
    for place, (_, half) in enumerate(found):
        ends = [
            value_of([*values[:place], values[place] + end, *values[place + 1 :]]) for end in (half, -half)
        ]
        slack += max(abs(end - value) for end in ends)
    return value, slack
