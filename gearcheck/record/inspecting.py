"""What is entered at an inspection: evidence, and characteristics added or struck; each is a new revision.

Entries go to the end of the gear file, so that its comments and its order stay.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import Any

import tomlkit

from gearcheck.basics.errors import Fault, Faults, InputError
from gearcheck.record import checks
from gearcheck.record.book import Book
from gearcheck.record.events import Person
from gearcheck.record.keeping import record_of
from gearcheck.record.steps import adopt_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.carried import carried_record
from gearcheck.review.file_inspection import ROCKWELL_COLUMNS, TRAVERSE_COLUMNS
from gearcheck.review.file_stress import STRESS_COLUMNS
from gearcheck.review.inputs import Record
from gearcheck.review.rewrite import evidence_texts

Values = Mapping[str, Any]
"""What was typed, by the keys of the gear file; what is empty or None is not given."""

_MOST_LINES = 2000
_TYPED = re.compile(r"(traverse|residual_stress|results)_\d+\.csv, line (\d+)(.*)")


def add_result(workspace: Workspace, book: Book, *, by: Person, values: Values) -> Book:
    """Enter one result of a characteristic.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    by : Person
        Who enters it.
    values : mapping
        The keys of ``[[evidence.result]]``; dates as text, ``conforms`` as yes or no.

    Returns
    -------
    Book
        With one more revision.

    Raises
    ------
    InputError
        What is missing, each fault with the name of its key; then nothing is written.
    """
    given = _given(values)
    reason = f"result entered: {given.get('characteristic', '')}"
    return _append(workspace, book, by, "evidence.result", given, reason)


def add_traverse(
    workspace: Workspace, book: Book, *, by: Person, values: Values, points: str, scale: str = "HV"
) -> Book:
    """Enter a hardness traverse; `points` has a depth in mm and a hardness in `scale`, HV or HRC, a line.

    Takes else what `add_result` takes, with the keys of ``[[evidence.traverse]]`` but ``file``.
    """
    columns = ROCKWELL_COLUMNS if scale == "HRC" else TRAVERSE_COLUMNS
    given, text = _given(values), _table(columns, points, "a hardness", "0.10 705")
    reason = f"traverse entered: {_where(given)}"
    return _with_file(workspace, book, by, "evidence.traverse", given, ("traverse", text), reason)


def add_residual_stress(workspace: Workspace, book: Book, *, by: Person, values: Values, points: str) -> Book:
    """Enter a residual stress; `points` has a depth in mm and a stress in MPa on each line.

    Takes else what `add_result` takes, with the keys of ``[[evidence.residual_stress]]`` but ``file``.
    """
    plain = points.replace("\u2212", "-")  # a minus as it is printed
    given, text = _given(values), _table(STRESS_COLUMNS, plain, "a stress in MPa", "0.10 -260")
    file, reason = ("residual_stress", text), f"residual stress entered: {_where(given)}"
    return _with_file(workspace, book, by, "evidence.residual_stress", given, file, reason)


def add_results_file(workspace: Workspace, book: Book, *, by: Person, text: str) -> Book:
    """Enter a table with one result a row, its columns as ``[[evidence.results]]`` reads them."""
    return _with_file(
        workspace, book, by, "evidence.results", {}, ("results", text), "table of results entered"
    )


def add_characteristic(workspace: Workspace, book: Book, *, by: Person, values: Values) -> Book:
    """Add a characteristic or change one; takes the keys of ``[[inspection.characteristic]]``."""
    given = {**_given(values), "by": str(by)}
    reason = f"characteristic {given.get('key', '')}: {given.get('reason', '')}"
    return _append(workspace, book, by, "inspection.characteristic", given, reason)


def strike(workspace: Workspace, book: Book, *, by: Person, characteristic: str, reason: str) -> Book:
    """Strike a characteristic from the plan; what it was inspected for may stay uncovered then."""
    given = _given({"characteristic": characteristic, "reason": reason}) | {"by": str(by)}
    return _append(workspace, book, by, "inspection.strike", given, f"struck: {characteristic}, {reason}")


def _given(values: Values) -> dict[str, Any]:
    """What was typed as the gear file holds it: dates, yes and no, ratios as they are read."""
    found: dict[str, Any] = {}
    for key, value in values.items():
        typed = value.strip() if isinstance(value, str) else value
        if typed in ("", None):
            continue
        found[key] = _typed(key, typed)
    return found


def _typed(key: str, value: Any) -> Any:
    if key == "date" and isinstance(value, str):
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            return value
    if key in ("conforms", "leave_out", "of_sample", "layer_removal_corrected") and isinstance(value, str):
        return {"yes": True, "no": False}.get(value.lower(), value)
    if key in ("value", "uncertainty", "least", "most") and isinstance(value, str):
        try:
            return float(value)  # a bare number: a ratio, or a unit that is missing and asked for
        except ValueError:
            return value
    return value


def _where(given: Values) -> str:
    return " ".join(str(given.get(key, "")) for key in ("place", "flank")).strip()


def _table(columns: list[str], points: str, what: str, such: str) -> str:
    return "\n".join([",".join(columns), *_point_lines(points, what, such), ""])


def _point_lines(points: str, what: str, such: str) -> list[str]:
    """Two numbers on each line, between a comma, a semicolon, a tab or blanks."""
    lines = [line for line in points.replace(";", " ").replace("\t", " ").splitlines() if line.strip()]
    if len(lines) > _MOST_LINES:
        needed = f"at most {_MOST_LINES} lines"
        raise InputError([Fault("points", f"{len(lines)} lines", needed)])
    cells = [line.replace(",", " ").split() for line in lines]
    wrong = next((line for line, row in zip(lines, cells, strict=True) if len(row) != 2), None)
    if wrong is not None:
        needed = f"a depth in mm and {what} on each line, with decimal points: {such}"
        raise InputError([Fault("points", wrong.strip()[:60], needed)])
    return [",".join(row) for row in cells]


def _append(
    workspace: Workspace, book: Book, by: Person, section: str, given: Mapping[str, Any], reason: str
) -> Book:
    now = record_of(workspace, book)
    return _adopt(workspace, book, by, now, (section, given), evidence_texts(now), reason)


def _with_file(
    workspace: Workspace,
    book: Book,
    by: Person,
    section: str,
    given: Mapping[str, Any],
    file: tuple[str, str],
    reason: str,
) -> Book:
    now = record_of(workspace, book)
    texts, (stem, text) = evidence_texts(now), file
    name = next(name for number in range(1, 10_000) if (name := f"{stem}_{number}.csv") not in texts)
    return _adopt(workspace, book, by, now, (section, {"file": name, **given}), {**texts, name: text}, reason)


def _adopt(
    workspace: Workspace,
    book: Book,
    by: Person,
    now: Record,
    entry: tuple[str, Mapping[str, Any]],
    texts: Mapping[str, str],
    reason: str,
) -> Book:
    faults = Faults()
    checks.person(by, faults)
    faults.check()
    section, given = entry
    text = f"{now.source_text.rstrip()}\n\n{_entry_text(section, given)}"
    try:
        record = carried_record(text, texts)
    except InputError as error:
        raise InputError([_plain(fault) for fault in error.faults]) from None
    return adopt_record(workspace, book, record, by=by, reason=reason[:2000], source="inspection")


def _entry_text(section: str, given: Mapping[str, Any]) -> str:
    lines = [f"{key} = {tomlkit.item(value).as_string()}" for key, value in given.items()]
    return "\n".join([f"[[{section}]]", *lines, ""])


def _plain(fault: Fault) -> Fault:
    """A fault as whoever typed it reads it: the name of the key, not the place in the file."""
    typed = _TYPED.fullmatch(fault.field)
    if typed:
        line = int(typed[2]) - (typed[1] != "results")  # its head was not typed
        return Fault(f"line {line}{typed[3]}", fault.given, fault.needed, fault.why)
    field = fault.field.partition(", line")
    tail = field[2].partition(", ")[2]
    name = tail or field[0].rpartition("].")[2] or field[0]
    return Fault(name.strip() or fault.field, fault.given, fault.needed, fault.why)
