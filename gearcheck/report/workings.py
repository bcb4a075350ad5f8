"""Workings: each term of a result as symbol = expression = numbers = value, from its metadata alone."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, fields

from gearcheck.basics.digits import MINUS, NO_VALUE, number_text, value_text, with_unit
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, Term, terms

FUNCTIONS = ("asin", "acos", "atan", "sin", "cos", "tan", "inv", "min", "max", "abs", "exp", "ln", "log10")
# letters, digits, underscore and prime; a raised 2 or 3 is an operator
_PART_OF_NAME = r"[^\W²³¹⁰⁴-⁹⁻]|[′']"


@dataclass(frozen=True, kw_only=True)
class WorkingLine:
    """One line of the workings.

    Parameters
    ----------
    name : str
        The field of the result.
    label : str
        What it is, in the trade's words.
    symbol : str
        The symbol of the standard.
    expression : str
        The formula in symbols; empty for what was given and where a rule in words stands.
    numbers : str
        The formula with each symbol replaced by its value; empty where one is an array or has no value.
    words : str
        The rule in words, where it is a choice between branches.
    value : str
        The value with its unit.
    """

    name: str
    label: str
    symbol: str
    expression: str
    numbers: str
    words: str
    value: str

    @property
    def given(self) -> bool:
        """Whether it was given, not worked out."""
        return not self.expression and not self.words

    @property
    def text(self) -> str:
        """The whole line."""
        chain = " = ".join(part for part in (self.symbol, self.expression, self.numbers, self.value) if part)
        return f"{chain} ({self.words})" if self.words else chain


def working_lines(result: Result) -> tuple[WorkingLine, ...]:
    """Print the workings of one result.

    Parameters
    ----------
    result : Result
        Any result of the package.

    Returns
    -------
    tuple of WorkingLine
        One for each term, in the order in which they are worked out.

    Examples
    --------
    >>> from gearcheck.duty.cycles import load_cycles
    >>> cycles = load_cycles(speed_rpm=1480, life_h=9000, contacts_per_revolution=1)
    >>> print(working_lines(cycles)[-1].text)
    N_L = 60·n·L_h·k = 60·1480·9000·1 = 7.992·10⁸
    """
    found = tuple(terms(result))
    values = {item.symbol: (item, value) for _, item, value in found}
    return tuple(
        WorkingLine(
            name=name,
            label=item.label,
            symbol=item.symbol,
            expression=item.formula.replace("-", MINUS),
            numbers=numbers_text(item.formula.replace("-", MINUS), values),
            words=item.words.replace(" - ", f" {MINUS} "),
            value=value_text(value, item.unit, item.digits),
        )
        for name, item, value in found
    )


def numbers_text(expression: str, values: Mapping[str, tuple[Term, Number]]) -> str:
    """Replace each symbol of an expression by its value.

    Parameters
    ----------
    expression : str
        In the symbols of one result.
    values : mapping of str to Term and Number
        By symbol.

    Returns
    -------
    str
        Empty where a symbol stands for an array or has no value.
    """
    if not expression or not values:
        return ""
    symbols = symbol_pattern(values)
    used = [values[symbol] for symbol in symbols.findall(expression)]
    if any(array(value).ndim or value_text(value) == NO_VALUE for _, value in used):
        return ""
    text = symbols.sub(lambda match: _standing_in(*values[match[0]], expression[match.end() :]), expression)
    return "" if text == expression else text


def symbol_pattern(symbols: Mapping[str, object]) -> re.Pattern[str]:
    """Match the symbols of one result in a formula: the longest first, whole names only, never a function."""
    longest_first = sorted(symbols, key=len, reverse=True)
    names = "|".join(re.escape(symbol) for symbol in longest_first)
    functions = "|".join(FUNCTIONS)
    return re.compile(f"(?<!{_one_of()})(?!(?:{functions})\\()(?:{names})(?!{_one_of()})")


def _one_of() -> str:
    return f"(?:{_PART_OF_NAME})"


def _standing_in(item: Term, value: Number, rest: str) -> str:
    """A value in the place of its symbol, in brackets where the formula would read it otherwise."""
    number = number_text(float(value), item.digits)
    text = with_unit(number, item.unit) if item.unit == "°" else number
    raised_angle = text != number and rest.startswith(("^", "²", "³"))
    return f"({text})" if raised_angle or number.startswith(MINUS) or "·" in number else text


def results_within(title: str, result: Result, elsewhere: Collection[Result]) -> Iterator[tuple[str, Result]]:
    """Yield a result and those that it carries, unless they are shown elsewhere.

    Parameters
    ----------
    title : str
        Of the result itself; the carried ones have the title of their method behind it.
    result : Result
        Where to begin.
    elsewhere : collection of Result
        Results that have their own place.

    Yields
    ------
    title, result : tuple of str and Result
        The carried ones first, since the result rests on them.
    """
    for item in fields(result):
        carried = getattr(result, item.name)
        if isinstance(carried, Result) and not any(carried is other for other in elsewhere):
            yield from results_within(f"{carried.method.title} for: {title}", carried, elsewhere)
    yield title, result
