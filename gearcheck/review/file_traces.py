"""Files of measured traces: the deviation of each point along the roll of a profile, or along the face."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.numbers import Array
from gearcheck.review.file_inspection import named_files
from gearcheck.review.file_places import Place
from gearcheck.review.file_sizes import size_faults
from gearcheck.review.file_table import TableFile, folded, number, rows, table_file
from gearcheck.review.file_values import shown

ALONG = {TraceKind.PROFILE: "roll_mm", TraceKind.HELIX: "face_mm"}
ACROSS = {TraceKind.PROFILE: "face_mm", TraceKind.HELIX: "roll_mm"}
LARGEST_PLACE_MM = 5000.0
FEWEST_POINTS = 30  # one to a cut-off of the filter; a handful of points says little of a flank
_COMMA = "write a decimal point, not a comma"

Trace = tuple[int, str, float]


_FILES = 32  # so many are remembered: a record is read again for each step


@dataclass(frozen=True, kw_only=True)
class TraceFile:
    """A file of traces, one a row of its arrays, teeth in their order, left flank first; NaN fills up."""

    file: TableFile
    tooth: NDArray[np.int64]
    flank: tuple[Flank, ...]
    across_mm: Array | None
    place_mm: Array
    deviation_um: Array


@dataclass
class _Reading:
    """What is read of one file."""

    kind: TraceKind
    name: str
    teeth: int | None
    columns: list[str]
    found: list[Fault] = field(default_factory=list)
    traces: dict[Trace, dict[float, float]] = field(default_factory=dict)


def trace_files(
    tables: Mapping[str, Any], folder: Path, lines: Mapping[Place, int]
) -> tuple[dict[TraceKind, list[TraceFile]], list[Fault]]:
    """Read all files of traces that a gear file names, whatever else is wrong with it.

    Parameters
    ----------
    tables : mapping
        What the TOML text holds.
    folder : Path
        The folder of the gear file; nothing outside it is read.
    lines : mapping of Place to int
        The line of each key.

    Returns
    -------
    files : dict of TraceKind to list of TraceFile
        In the order of the entries.
    faults : list of Fault
        With the line of the gear file or of the evidence file.
    """
    gear = tables.get("gear")
    teeth = gear.get("teeth") if isinstance(gear, dict) else None
    known = teeth if isinstance(teeth, int) and 5 <= teeth <= 1000 else None
    found: dict[TraceKind, list[TraceFile]] = {kind: [] for kind in TraceKind}
    faults: list[Fault] = []
    for kind in TraceKind:
        for name, place in named_files(tables, kind, lines):
            try:
                found[kind].append(trace_file(table_file(name, folder, place), kind, known))
            except InputError as error:
                faults += error.faults
    return found, faults


@lru_cache(maxsize=_FILES)
def trace_file(file: TableFile, kind: TraceKind, teeth: int | None) -> TraceFile:
    r"""Return the traces of a file.

    Parameters
    ----------
    file : TableFile
        Columns tooth, flank, roll_mm and deviation_um of profiles, or tooth, flank, face_mm and deviation_um
        of helices, in any order, between commas or semicolons, with decimal points; the other one of roll_mm
        and face_mm may say where each trace lies. An empty deviation is a point that is missing.
    kind : TraceKind
        Profile or helix.
    teeth : int or None
        Number of teeth of the gear; None where it is not known.

    Returns
    -------
    TraceFile
        The order of the rows does not matter.

    Raises
    ------
    InputError
        All that is wrong, by line; after three faults of a kind only their number.

    Examples
    --------
    >>> rows = "".join(f"1,left,{x},{x / 10}\n" for x in range(40))
    >>> file = TableFile(name="helix.csv", sha256="", text="tooth,flank,face_mm,deviation_um\n" + rows)
    >>> trace_file(file, TraceKind.HELIX, 23).deviation_um.shape
    (1, 40)
    """
    head = file.body.split("\n", maxsplit=1)[0].strip().lower()
    given = [cell.strip() for cell in head.split(";" if ";" in head else ",")]
    usual = ["tooth", "flank", ALONG[kind], "deviation_um"]
    allowed = (sorted(usual), sorted([*usual, ACROSS[kind]]))
    columns = given if sorted(given) in allowed else usual
    read = _Reading(kind=kind, name=file.name, teeth=teeth, columns=columns)
    for line, row in rows(file.body, file.name, columns):
        _take(read, row, f"{file.name}, line {line}")
    if not read.found:
        read.found += _of_traces(read)
    if read.found:
        raise InputError(folded(read.found, file.name))
    return _arranged(read, file)


def _take(read: _Reading, row: list[str], place: str) -> None:
    """Take one row, or note what is wrong with it."""
    if len(row) != len(read.columns):
        needed = f"{len(read.columns)} values: {', '.join(read.columns)}"
        why = "a decimal comma? write a decimal point" if len(row) > len(read.columns) else ""
        read.found.append(Fault(place, f"{len(row)} value{'s'[: len(row) > 1]}", needed, why))
        return
    cells = dict(zip(read.columns, row, strict=True))
    faults = [*_faults_of_names(read, cells, place), *_faults_of_numbers(read, cells, place)]
    read.found += faults
    if faults:
        return
    across = cells.get(ACROSS[read.kind])
    trace = (int(cells["tooth"]), cells["flank"].lower(), 0.0 if across is None else number(across))
    points = read.traces.setdefault(trace, {})
    at = number(cells[ALONG[read.kind]])
    if at in points:
        given = f"tooth {trace[0]}, {trace[1]} flank, {ALONG[read.kind]} {at:g} again"
        read.found.append(Fault(place, given, "one row for each point of a trace"))
    points[at] = number(cells["deviation_um"]) if cells["deviation_um"] else np.nan


def _faults_of_names(read: _Reading, cells: Mapping[str, str], place: str) -> Iterator[Fault]:
    tooth = int(cells["tooth"]) if re.fullmatch(r"[0-9]{1,4}", cells["tooth"]) else 0
    if not 1 <= tooth <= (read.teeth or 1000):
        needed = f"a tooth number from 1 to {read.teeth or 1000}"
        yield Fault(f"{place}, tooth", shown(cells["tooth"]), needed)
    if cells["flank"].lower() not in list(Flank):
        yield Fault(f"{place}, flank", shown(cells["flank"]), "left or right")


def _faults_of_numbers(read: _Reading, cells: Mapping[str, str], place: str) -> Iterator[Fault]:
    for name in (ALONG[read.kind], ACROSS[read.kind]):
        if name in cells and not -LARGEST_PLACE_MM <= number(cells[name]) <= LARGEST_PLACE_MM:
            why = _COMMA if "," in cells[name] else ""
            needed = f"a number of mm, at most {LARGEST_PLACE_MM:g}"
            yield Fault(f"{place}, {name}", shown(cells[name]), needed, why)
    given = cells["deviation_um"]
    if given and not np.isfinite(number(given)):
        why = _COMMA if "," in given else "leave it empty where a point is missing"
        yield Fault(f"{place}, deviation_um", shown(given), "a number of µm", why)


def _of_traces(read: _Reading) -> Iterator[Fault]:
    """What is wrong with whole traces, where each row is right."""
    if not read.traces:
        yield Fault(read.name, "no row", f"{FEWEST_POINTS} points or more of each trace")
    for (tooth, flank, _), points in read.traces.items():
        known = [value for value in points.values() if np.isfinite(value)]
        trace = f"{read.name}, tooth {tooth}, {flank} flank"
        if len(known) < FEWEST_POINTS:
            yield Fault(trace, f"{len(known)} points", f"{FEWEST_POINTS} points or more of each trace")
        elif min(known) == max(known):
            why = "a trace of one value is a probe that did not record, or a column that was not filled"
            yield Fault(trace, f"{len(known)} times {known[0]:g}", "the deviations as measured", why)
    for (tooth, flank, _), points in read.traces.items():
        yield from size_faults(f"{read.name}, tooth {tooth}, {flank} flank", [*points.values()])


def _arranged(read: _Reading, file: TableFile) -> TraceFile:
    order = sorted(read.traces)
    longest = max(len(points) for points in read.traces.values())
    place = np.full((len(order), longest), np.nan)
    deviation = place.copy()
    for at, trace in enumerate(order):
        points = sorted(read.traces[trace].items())
        place[at, : len(points)], deviation[at, : len(points)] = np.array(points).T
    has_across = ACROSS[read.kind] in read.columns
    return TraceFile(
        file=file,
        tooth=np.array([tooth for tooth, _, _ in order], dtype=np.int64),
        flank=tuple(Flank(flank) for _, flank, _ in order),
        across_mm=np.array([across for _, _, across in order]) if has_across else None,
        place_mm=place,
        deviation_um=deviation,
    )
