"""Works out the formula text of a term with the values of its own result; it knows nothing of the code."""

from __future__ import annotations

import re
from functools import reduce
from typing import Any

import numpy as np

from gearcheck.basics.results import Result, terms

_NAME = r"[^\W\d²³¹⁰⁴-⁹](?:[^\W²³¹⁰⁴-⁹]|['′])*"
_TOKEN = re.compile(
    rf"\s*(?:(?P<number>\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)|(?P<name>{_NAME})|(?P<sign>[-+·*/^²³√()−,]))"
)
_SIGNS = {"·": "*", "−": "-", "^": "**", "²": "**2", "³": "**3", "√": "sqrt"}
_FUNCTIONS = {
    "sin": np.sin,
    "cos": np.cos,
    "tan": np.tan,
    "asin": np.arcsin,
    "acos": np.arccos,
    "atan": np.arctan,
    "inv": lambda angle: np.tan(angle) - angle,
    "min": lambda *values: reduce(np.minimum, values),
    "max": lambda *values: reduce(np.maximum, values),
    "abs": np.abs,
    "exp": np.exp,
    "ln": np.log,
    "log10": np.log10,
}


def python_text(formula: str, symbols: set[str]) -> str:
    """Translate a formula to Python, each symbol as ``v["symbol"]``; anything unknown is an error."""
    pieces, place = [], 0
    formula = formula.strip()
    while place < len(formula):
        match = _TOKEN.match(formula, place)
        if match is None:
            raise ValueError(f"{formula}: {formula[place:]!r} cannot be read")
        number, name, sign = match["number"], match["name"], match["sign"]
        if number:
            pieces.append(f"{float(number)!r}")
        elif sign:
            pieces.append(_SIGNS.get(sign, sign))
        elif name in symbols:
            pieces.append(f"v[{name!r}]")
        elif name == "π":
            pieces.append("pi")
        elif name in _FUNCTIONS:
            pieces.append(name)
        else:
            raise ValueError(f"{formula}: {name} is no symbol of this result")
        place = match.end()
    return " ".join(pieces)


def worked_out(formula: str, values: dict[str, Any]) -> Any:
    """Work out a formula; angles in radians."""
    text = python_text(formula, set(values))
    known = {**_FUNCTIONS, "sqrt": np.sqrt, "pi": np.pi, "v": values, "__builtins__": {}}
    with np.errstate(invalid="ignore", divide="ignore"):
        return eval(text, known)


def values_by_symbol(result: Result) -> dict[str, Any]:
    """The values of a result by symbol, angles in radians; without those that have no value."""
    return {
        item.symbol: np.radians(value) if item.unit == "°" else value
        for _, item, value in terms(result)
        if value is not None
    }


def disagreements(result: Result) -> tuple[list[str], set[str]]:
    """Say where formula and value differ, and which fields were compared."""
    known = {item.symbol for _, item, _ in terms(result)}
    values, wrong, compared = values_by_symbol(result), [], set()
    for name, item, value in terms(result):
        if not item.formula:
            continue
        text, place = python_text(item.formula, known), f"{type(result).__name__}.{name}"
        if value is None:
            continue
        if any(f"v[{symbol!r}]" in text for symbol in known - values.keys()):
            wrong.append(f"{place}: a value where {item.formula} has none")
            continue
        found = worked_out(item.formula, values)
        found = np.degrees(found) if item.unit == "°" else found
        compared.add(name)
        if not _same(found, value):
            wrong.append(f"{place}: {item.symbol} = {item.formula} gives {found}, not {value}")
    return wrong, compared


def _same(found: Any, value: Any) -> bool:
    """Whether both agree wherever there is a value."""
    found, value = np.broadcast_arrays(np.asarray(found, float), np.asarray(value, float))
    there = ~np.isnan(value)
    return bool(np.allclose(found[there], value[there], rtol=1e-9, atol=1e-12))
