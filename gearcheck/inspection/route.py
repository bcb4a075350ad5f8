"""The process route: operations in their order, each with what it changes, can spoil and can do to people."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from gearcheck.basics.methods import Status
from gearcheck.basics.tables import Table, table


class RouteName(StrEnum):
    """The routes that a gear file can begin from; of one's own, every operation stands in the gear file."""

    INDUSTRIAL = "industrial"
    AEROSPACE = "aerospace documents"
    OWN = "own"


_TABLES = {RouteName.INDUSTRIAL: "route_industrial", RouteName.AEROSPACE: "route_aerospace"}

PROPERTIES = (
    "material", "dimension", "stock", "root", "mask", "case", "structure", "hardness", "core", "surface",
    "stress", "soundness", "marking",
)  # fmt: skip
"""What an operation can change or spoil."""


@dataclass(frozen=True, kw_only=True)
class Operation:
    """One operation of a route.

    Parameters
    ----------
    key : str
        By which rules speak of it: ``grind``.
    number : int
        Its place in the route.
    title : str
        In the trade's words.
    changes, spoils : tuple of str
        What it changes on purpose, and what it can spoil; of `PROPERTIES`.
    caution : str
        How it can hurt someone; empty where it hardly can.
    document : str
        What governs it.
    status : Status
        How well that is known.
    temperature_C, hours : float or None
        Of a treatment.
    of_sample : bool
        Whether it is done to a sample of the gears alone.
    reason : str
        Why it differs from the route that it comes from; empty where it does not.
    """

    key: str
    number: int
    title: str
    changes: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()
    caution: str = ""
    document: str = ""
    status: Status = Status.COMMON_PRACTICE
    temperature_C: float | None = None
    hours: float | None = None
    of_sample: bool = False
    reason: str = ""

    def __str__(self) -> str:
        return f"{self.number} {self.title}"


@dataclass(frozen=True, kw_only=True)
class OperationEdit:
    """What a gear file says of one operation: a new one, other values, another place, or that it is left out.

    What is None stays as the route has it; `reason` says why.
    """

    key: str
    reason: str
    leave_out: bool = False
    number: int | None = None
    title: str | None = None
    changes: tuple[str, ...] | None = None
    spoils: tuple[str, ...] | None = None
    caution: str | None = None
    document: str | None = None
    temperature_C: float | None = None
    hours: float | None = None
    of_sample: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Route:
    """Operations in the order of their numbers; `title` and `note` say where the route comes from."""

    name: RouteName
    title: str
    note: str
    operations: tuple[Operation, ...]
    left_out: tuple[OperationEdit, ...] = ()

    def find(self, key: str) -> Operation | None:
        """Return the operation of a key; None where the route has none."""
        return next((item for item in self.operations if item.key == key), None)

    def first(self, keys: tuple[str, ...]) -> Operation | None:
        """Return the earliest operation in the route that has one of the keys."""
        return next((item for item in self.operations if item.key in keys), None)

    def preferred(self, keys: tuple[str, ...]) -> Operation | None:
        """Return the operation of the first of the keys that the route has."""
        return next((found for key in keys if (found := self.find(key)) is not None), None)


def route(name: RouteName, edits: tuple[OperationEdit, ...] = ()) -> Route:
    """Return a route of the program with the edits of a gear file.

    Parameters
    ----------
    name : RouteName
        Where to begin.
    edits : tuple of OperationEdit
        In any order; a key that the route does not have is a new operation.

    Returns
    -------
    Route
        In the order of the numbers; operations of one number keep the order in which they were written.

    Examples
    --------
    >>> [str(item) for item in route(RouteName.INDUSTRIAL).operations][-2:]
    ['150 Magnetic particle test', '160 Final inspection, marking, preserving']
    """
    source = None if name is RouteName.OWN else table(_TABLES[name])
    operations = {} if source is None else {item.key: item for item in _read(source)}
    for edit in edits:
        if edit.leave_out:
            operations.pop(edit.key, None)
        else:
            operations[edit.key] = _edited(operations.get(edit.key), edit)
    return Route(
        name=name,
        title="Process route of the gear file" if source is None else source.title,
        note="" if source is None else source.note,
        operations=tuple(sorted(operations.values(), key=lambda item: item.number)),
        left_out=tuple(edit for edit in edits if edit.leave_out),
    )


def _read(source: Table) -> Iterator[Operation]:
    for row in source.rows:
        yield Operation(
            key=row["name"],
            number=row["number"],
            title=row["title"],
            changes=tuple(row["changes"]),
            spoils=tuple(row["spoils"]),
            caution=row["caution"],
            document=row["document"],
            status=row["status"],
            temperature_C=row.get("temperature_C"),
            hours=row.get("hours"),
            of_sample=row.get("of_sample", False),
        )


def _edited(before: Operation | None, edit: OperationEdit) -> Operation:
    """A new operation has a number and a title: the reader of the gear file sees to that."""
    if before is None:
        before = Operation(key=edit.key, number=edit.number or 0, title=edit.title or edit.key)
    names = (
        "number", "title", "changes", "spoils", "caution", "document", "temperature_C", "hours", "of_sample",
    )  # fmt: skip
    given = {name: value for name in names if (value := getattr(edit, name)) is not None}
    return replace(before, **given, status=Status.COMMON_PRACTICE, reason=edit.reason)
