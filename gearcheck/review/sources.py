"""The ledger: every source with the methods and tables that rest on it, found in the package itself."""

from __future__ import annotations

import ast
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from types import ModuleType

from gearcheck.basics.methods import Method, Status, citation
from gearcheck.basics.results import Result
from gearcheck.basics.tables import Table, table, table_keys
from gearcheck.inspection.acceptance import METALLURGY
from gearcheck.inspection.decide import DECISION
from gearcheck.review.results import Review
from gearcheck.review.stations import lines
from gearcheck.review.stations.inspection import PLAN

ROOMS = (
    "duty",
    "materials",
    "gear",
    "contact",
    "stress",
    "hardening",
    "accuracy",
    "meshing",
    "fatigue",
    "inspection",
    "review.stations",
)
_HOMES = {
    METALLURGY.key: "gearcheck.inspection.acceptance",
    PLAN.key: "gearcheck.inspection.coverage",
    DECISION.key: "gearcheck.inspection.decide",
}
"""Methods that no result carries, and the module that reads their tables."""
_WEAKER = tuple(Status)


@dataclass(frozen=True, kw_only=True)
class SourceEntry:
    """One document in one edition, and what rests on it.

    Parameters
    ----------
    source, edition : str
        The document and its year.
    methods : tuple of Method
        Calculations built after it.
    tables : tuple of Table
        Tables taken from it.
    """

    source: str
    edition: str
    methods: tuple[Method, ...]
    tables: tuple[Table, ...]

    @property
    def cite(self) -> str:
        """The document as it is printed."""
        return citation(self.source, self.edition)

    @property
    def statuses(self) -> Mapping[Status, int]:
        """How many methods and table rows have each status, the best known first."""
        rows = (row["status"] for item in self.tables for row in item.rows)
        return _counted((*(method.status for method in self.methods), *rows))

    @property
    def weakest(self) -> Status:
        """The weakest status of anything that rests on it."""
        return weakest(self.statuses)


def row_statuses(item: Table) -> Mapping[Status, int]:
    """Return how many rows of a table have each status, the best known first."""
    return _counted(row["status"] for row in item.rows)


def _counted(statuses: Iterable[Status]) -> Mapping[Status, int]:
    counts = Counter(statuses)
    return {status: counts[status] for status in Status if counts[status]}


def weakest(statuses: Iterable[Status]) -> Status:
    """Return the weakest of some statuses: published, then from memory, then common practice.

    Parameters
    ----------
    statuses : iterable of Status
        At least one.

    Returns
    -------
    Status
        What the whole may claim.

    Examples
    --------
    >>> str(weakest([Status.PUBLISHED, Status.FROM_MEMORY]))
    'from memory'
    """
    return max(statuses, key=_WEAKER.index)


def ledger() -> tuple[SourceEntry, ...]:
    """Return every source of the package with all that rests on it.

    Returns
    -------
    tuple of SourceEntry
        Sorted by document and edition.
    """
    methods = {
        value.key: value
        for module in _modules()
        for value in vars(module).values()
        if isinstance(value, Method)
    }
    return _entries(methods.values(), (table(key) for key in table_keys()))


def resting_on(whole: Review) -> tuple[SourceEntry, ...]:
    """Return the sources that one review rests on.

    Parameters
    ----------
    whole : Review
        Complete.

    Returns
    -------
    tuple of SourceEntry
        With those methods and tables only that its workings use, or that govern a requirement.
    """
    results = [found for result in all_results(whole) for found in _with_carried(result)]
    used = {line.method.key: line.method for line in lines(whole.record, whole.chain)}
    used |= {result.method.key: result.method for result in results}
    if whole.inspected is not None:  # what was measured is held against its limit by it
        used[DECISION.key] = DECISION
    keys = {key for result in results for key in tables_behind(result)}
    keys |= {key for method in used for key in tables_of(method)}
    return _entries(used.values(), (table(key) for key in sorted(keys)))


def tables_behind(result: Result) -> frozenset[str]:
    """Return the keys of the tables that a result may rest on."""
    return _tables_behind(type(result).__module__)


def tables_of(method: str) -> frozenset[str]:
    """Return the keys of the tables that a method rests on by itself; none where its results tell them."""
    return _tables_behind(_HOMES[method]) if method in _HOMES else frozenset()


def all_results(whole: Review) -> tuple[Result, ...]:
    """Return the results that a review shows: its workings, the evaluated evidence among them."""
    return tuple(step.result for step in whole.workings)


def _with_carried(result: Result) -> Iterator[Result]:
    yield result
    for item in fields(result):
        value = getattr(result, item.name)
        if isinstance(value, Result):
            yield from _with_carried(value)


def _entries(methods: Iterable[Method], tables: Iterable[Table]) -> tuple[SourceEntry, ...]:
    by_source: dict[tuple[str, str], tuple[list[Method], list[Table]]] = {}
    for method in methods:
        by_source.setdefault((method.source, method.edition), ([], []))[0].append(method)
    for item in tables:
        by_source.setdefault((item.source, item.edition), ([], []))[1].append(item)
    return tuple(
        SourceEntry(
            source=source,
            edition=edition,
            methods=tuple(sorted(found[0], key=lambda method: method.key)),
            tables=tuple(sorted(found[1], key=lambda item: item.key)),
        )
        for (source, edition), found in sorted(by_source.items())
    )


def _modules() -> Iterator[ModuleType]:
    for room in ROOMS:
        package = import_module(f"gearcheck.{room}")
        yield package
        for item in walk_packages(package.__path__, f"{package.__name__}."):
            yield import_module(item.name)


@cache
def _text(name: str) -> str:
    file = sys.modules[name].__file__
    return "" if file is None else Path(file).read_text(encoding="utf-8")


@cache
def _tables_behind(name: str, seen: frozenset[str] = frozenset()) -> frozenset[str]:
    """The tables that a module reads, itself or through the functions that it imports."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(_text(name))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "table":
            found |= {str(value.value) for value in node.args if isinstance(value, ast.Constant)}
        elif isinstance(node, ast.ImportFrom) and _calculates(node) and node.module not in {*seen, name}:
            assert node.module is not None
            found |= _tables_behind(node.module, seen | {name})
    return frozenset(found)


def _calculates(node: ast.ImportFrom) -> bool:
    """Whether functions of a calculation room are imported; a type alone brings no table with it."""
    home = (node.module or "").partition(".")[2]
    in_room = any(home.startswith(f"{room}.") for room in ROOMS)
    return in_room and any(name.name.islower() for name in node.names)
