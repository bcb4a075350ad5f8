"""JSON as strictly as a signature needs it: what two readers could understand differently is refused."""

from __future__ import annotations

import json
from collections.abc import Iterator
from math import isfinite
from typing import Any

import rfc8785

from gearcheck.basics.errors import Fault, InputError, shown

DEEPEST = 100
LARGEST_INTEGER = 2**53 - 1  # beyond it, readers of JSON disagree


def canonical(content: Any) -> bytes:
    """Return plain data as canonical JSON (RFC 8785).

    Parameters
    ----------
    content : Any
        As `strict_json` returns it.

    Returns
    -------
    bytes
        The same for the same content.

    Raises
    ------
    InputError
        If it has no canonical form.
    """
    try:
        return rfc8785.dumps(content)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError, RecursionError) as error:
        raise InputError([Fault("content", "", "what JSON can carry", type(error).__name__)]) from None


def strict_json(data: bytes | str, *, what: str, largest: int) -> Any:
    """Read JSON without duplicate names, numbers without bounds, half letters or deep nesting.

    Parameters
    ----------
    data : bytes or str
        The file; bytes are UTF-8.
    what : str
        What it is, for the message.
    largest : int
        The most bytes to read.

    Returns
    -------
    Any
        Plain data.

    Raises
    ------
    InputError
        If it is anything else.

    Examples
    --------
    >>> strict_json(b'{"a": 1, "a": 2}', what="it", largest=99)
    Traceback (most recent call last):
    gearcheck.basics.errors.InputError: it: given something else; needed: one file of JSON text
    (the name "a" stands twice)
    """
    needed = "one file of JSON text"
    if isinstance(data, str):
        data = data.encode("utf-8", "surrogatepass")
    if len(data) > largest:
        raise InputError([Fault(what, f"{len(data)} bytes", f"at most {largest} bytes")])
    try:
        content = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=_once,
            parse_constant=_refused,
            parse_int=_whole,
            parse_float=_finite,
        )
        for text in _texts(content):
            text.encode("utf-8")
    except RecursionError:
        raise InputError([Fault(what, "something else", needed, "it is nested too deeply")]) from None
    except UnicodeError:
        raise InputError(
            [Fault(what, "something else", f"{needed} in UTF-8", "a letter is broken")]
        ) from None
    except ValueError as error:
        raise InputError([Fault(what, "something else", needed, str(error))]) from None
    return content


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise ValueError(f'the name "{shown(name)}" stands twice')
        found[name] = value
    return found


def _refused(text: str) -> Any:
    raise ValueError(f"{text} is no number of JSON")


def _whole(text: str) -> int:
    if len(text) > 17 or abs(int(text)) > LARGEST_INTEGER:
        raise ValueError(f"{shown(text)} is too large a whole number")
    return int(text)


def _finite(text: str) -> float:
    value = float(text)
    if not isfinite(value):
        raise ValueError(f"{shown(text)} is too large a number")
    return value


def _texts(content: Any) -> Iterator[str]:
    """Every text in it; without recursion, for how deep it is shows only here."""
    level, depth = [content], 0
    while level:
        below: list[Any] = []
        for item in level:
            if isinstance(item, str):
                yield item
            elif isinstance(item, dict):
                yield from item
                below += item.values()
            elif isinstance(item, list):
                below += item
        level, depth = below, depth + 1
        if depth > DEEPEST:
            raise RecursionError
