"""Cited check values: read from ``tests/values``, compared to the printed digit, and shown to bite."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

VALUES = Path(__file__).parent / "values"
KINDS = ("published", "independent", "identity", "memory", "practice", "frozen")
NO_VALUE = "no value"
REQUIRED = ("id", "calculation", "inputs", "expected", "kind", "source")
OPTIONAL = ("tolerance", "why", "place", "command", "note")

held: dict[tuple[str, str], Check] = {}
"""The checks that held in this run, by file and id."""
used: set[tuple[str, str]] = set()
"""The file and calculation of the checks that a test asked for."""


@dataclass(frozen=True)
class Check:
    """One cited value: what goes in, what must come out as printed, and who says so."""

    file: str
    id: str
    calculation: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    kind: str
    source: str
    tolerance: dict[str, Any] = field(default_factory=dict)
    why: str = ""
    place: str = ""
    command: str = ""
    note: str = ""

    def __str__(self) -> str:
        return self.id


def faults(file: str, entries: list[dict[str, Any]]) -> Iterator[str]:
    """Say what is wrong with the entries of one file."""
    seen = set()
    for entry in entries:
        name = f"{file}.toml, {entry.get('id', 'entry without id')}"
        for key in REQUIRED:
            if key not in entry or entry[key] == "":
                yield f"{name}: {key} is missing"
        for key in entry.keys() - {*REQUIRED, *OPTIONAL}:
            yield f"{name}: {key} is not a key of a check"
        if entry.get("kind") not in KINDS:
            yield f"{name}: kind {entry.get('kind')!r} is none of {', '.join(KINDS)}"
        if entry.get("id") in seen:
            yield f"{name}: the id stands twice"
        seen.add(entry.get("id"))
        if entry.get("kind") == "published" and not entry.get("place"):
            yield f"{name}: a published value needs its place"
        yield from _faults_of_numbers(name, entry)


def _faults_of_numbers(name: str, entry: dict[str, Any]) -> Iterator[str]:
    expected, tolerance = entry.get("expected", {}), entry.get("tolerance", {})
    if not expected:
        yield f"{name}: nothing is expected"
    for key, printed in expected.items():
        if not all(isinstance(text, str) for text in np.ravel(np.array(printed, dtype=object))):
            yield f"{name}: {key} is no printed text"
    for key in tolerance.keys() & expected.keys():
        if np.shape(tolerance[key]) not in ((), np.shape(expected[key])):
            yield f"{name}: {key} needs one tolerance, or one for each value"
    for key in tolerance.keys() - expected.keys():
        yield f"{name}: a tolerance for {key}, which is not expected"
    if tolerance and not entry.get("why"):
        yield f"{name}: a tolerance needs why"


@cache
def checks(file: str) -> tuple[Check, ...]:
    """Read one file of values; a faulty entry ends the run."""
    head = tomllib.loads((VALUES / f"{file}.toml").read_text(encoding="utf-8"))
    found = list(faults(file, head["check"]))
    if head.keys() != {"check"}:
        found.append(f"{file}.toml: only [[check]] is known, not {sorted(head)}")
    if found:
        raise ValueError("\n".join(found))
    return tuple(Check(file=file, **entry) for entry in head["check"])


def all_checks() -> tuple[Check, ...]:
    """Read every file of values."""
    return tuple(check for file in sorted(VALUES.glob("*.toml")) for check in checks(file.stem))


def cases(file: str, calculation: str) -> list[Check]:
    """Return the checks of one calculation, ``module:callable``; there must be one."""
    found = [check for check in checks(file) if check.calculation == calculation]
    if not found:
        raise ValueError(f"{file}.toml has no check of {calculation}")
    used.add((file, calculation))
    return found


def digit(printed: str) -> float:
    """Return one unit of the last printed digit."""
    exponent = Decimal(printed).as_tuple().exponent
    return float(Decimal(1).scaleb(int(exponent)))


def is_number(printed: str) -> bool:
    """Whether a printed text is a finite number."""
    try:
        return Decimal(printed).is_finite()
    except InvalidOperation:
        return False


def agrees(computed: Any, expected: float, tolerance: float) -> bool:
    """Whether a computed number lies within the tolerance; NaN never does."""
    rounding = 1e-12 * abs(expected) if tolerance else 0.0
    return bool(abs(float(computed) - expected) <= tolerance + rounding)


def holds(check: Check, **computed: Any) -> None:
    """Assert that every expected quantity agrees and that the comparison bites; then record the check."""
    if computed.keys() != check.expected.keys():
        raise AssertionError(f"{check}: expected {sorted(check.expected)}, computed {sorted(computed)}")
    for name, printed in check.expected.items():
        texts, values = np.array(printed, dtype=object), np.array(computed[name], dtype=object)
        if texts.shape != values.shape:
            raise AssertionError(f"{check}: {name} has shape {values.shape}, expected {texts.shape}")
        given = np.broadcast_to(np.array(check.tolerance.get(name), dtype=object), texts.shape)
        for text, value, tolerance in zip(texts.flat, values.flat, given.flat, strict=True):
            _compare(f"{check}: {name}", text, value, tolerance)
    held[check.file, check.id] = check


def _compare(name: str, text: str, value: Any, given: float | None) -> None:
    if not is_number(text):
        _compare_words(name, text, value)
        return
    expected = float(text)
    tolerance = digit(text) / 2 if given is None else given
    if value is None or not agrees(value, expected, tolerance):
        raise AssertionError(f"{name} = {value}, expected {text} ± {tolerance:g}")
    step = 10 * tolerance if tolerance else digit(text)
    for moved in (expected - step, expected + step):
        if agrees(value, moved, tolerance):
            raise AssertionError(f"{name}: the check does not bite, {value} also agrees with {moved}")


def _compare_words(name: str, text: str, value: Any) -> None:
    missing = value is None or (isinstance(value, float) and np.isnan(value))
    found = NO_VALUE if missing else str(value)
    if found != text:
        raise AssertionError(f"{name} is {found}, expected {text}")
