"""Results that keep every step: each term has its symbol, unit and the formula as text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields
from functools import cache
from typing import Any, ClassVar

from gearcheck.basics.methods import Level, Method, Notice
from gearcheck.basics.numbers import Number, plain


@dataclass(frozen=True, slots=True)
class Term:
    """How one term of a result is written.

    Parameters
    ----------
    label : str
        Its name in the trade's words.
    symbol : str
        The symbol of the standard, plain Unicode: ``σ_H0``, ``Z_ε``.
    unit : str
        ``mm``, ``MPa``, ``°``; empty for a pure number.
    formula : str
        Its expression in the symbols of the same result; empty for what was given.
    words : str
        The rule in words, where it is a choice between branches and no single expression.
    digits : int
        Significant digits to show.
    """

    label: str
    symbol: str
    unit: str = ""
    formula: str = ""
    words: str = ""
    digits: int = 4


def term(
    label: str, symbol: str, unit: str = "", formula: str = "", *, words: str = "", digits: int = 4
) -> Any:
    """Declare a field of a result; without `formula` and `words` it is something given.

    The formula is written in the symbols of the same result, in ASCII operators with ``·``, ``√(...)``,
    ``^``, ``²``, ``³``, ``π``, and the functions sin, cos, tan, asin, acos, atan, inv, min, max, abs, exp,
    ln, log10. A symbol whose unit is ``°`` stands for its angle. The tests work out every formula with the
    values of the result and compare, so a formula that says something else than the code is found.
    """
    return field(metadata={"term": Term(label, symbol, unit, formula, words, digits)})


@dataclass(frozen=True, kw_only=True)
class Result:
    """Base of every result: a 0-d array is shown as a float, NaN as None; notices go with it."""

    method: ClassVar[Method]
    notices: tuple[Notice, ...] = ()

    def __post_init__(self) -> None:
        kind: Any = type(self)
        for name, _ in _terms_of(kind):
            object.__setattr__(self, name, plain(getattr(self, name)))

    @property
    def stops(self) -> tuple[Notice, ...]:
        """The notices that leave it without a value."""
        return tuple(notice for notice in self.notices if notice.level is Level.STOP)


def terms(result: Result) -> Iterator[tuple[str, Term, Number]]:
    """Yield the fields of a result that are terms.

    Parameters
    ----------
    result : Result
        Any result of the package.

    Yields
    ------
    name, term, value : tuple of str, Term and Number
        In the order in which they are worked out.
    """
    kind: Any = type(result)
    for name, known in _terms_of(kind):
        yield name, known, getattr(result, name)


@cache
def _terms_of(kind: Any) -> tuple[tuple[str, Term], ...]:
    """The terms of a class in their order: looked up once, for a live pass makes thousands of results."""
    return tuple((item.name, item.metadata["term"]) for item in fields(kind) if "term" in item.metadata)
