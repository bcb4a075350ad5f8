"""Files of inspection evidence: hardness traverses, and tables with one result a row."""

from __future__ import annotations

import contextlib
import datetime as dt
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.numbers import Array
from gearcheck.review.file_check import section_faults
from gearcheck.review.file_model import ResultEntry
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_table import TableFile, folded, number, rows, table_file
from gearcheck.review.file_values import shown

TRAVERSE_COLUMNS = ["depth_mm", "hardness_hv"]
RESULT_COLUMNS = [
    "characteristic", "value", "unit", "uncertainty", "found", "conforms", "instrument", "date", "by",
    "applies_to", "revision",
]  # fmt: skip
_RESULT: Place = ("evidence", "result", 0)
_WHETHER = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, kw_only=True)
class TraverseFile:
    """A file of a traverse with its depths in mm and its hardnesses in HV."""

    file: TableFile
    depth_mm: Array
    hardness_HV: Array


@dataclass(frozen=True, kw_only=True)
class ReadResult:
    """A result as it stands in the gear file or in a row of a file, and where."""

    entry: ResultEntry
    source: str
    field: str
    file: TableFile | None = None


@dataclass(frozen=True, kw_only=True)
class InspectionFiles:
    """What stands in the files that the inspection evidence names."""

    traverses: tuple[TraverseFile, ...] = ()
    results: tuple[ReadResult, ...] = ()


def inspection_files(
    tables: Mapping[str, Any], folder: Path, lines: Mapping[Place, int]
) -> tuple[InspectionFiles, list[Fault]]:
    """Read all files of traverses and results that a gear file names, whatever else is wrong with it.

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
    files : InspectionFiles
        In the order of the entries.
    faults : list of Fault
        With the line of the gear file or of the evidence file.
    """
    faults: list[Fault] = []
    traverses: list[TraverseFile] = []
    results: list[ReadResult] = []
    for kind in ("traverse", "results"):
        for name, field in _named_files(tables, kind, lines):
            try:
                file = table_file(name, folder, field)
                if kind == "traverse":
                    traverses.append(_traverse(file))
                else:
                    results += _results(file)
            except InputError as error:
                faults += error.faults
    return InspectionFiles(traverses=tuple(traverses), results=tuple(results)), faults


def _named_files(
    tables: Mapping[str, Any], kind: str, lines: Mapping[Place, int]
) -> Iterator[tuple[str, str]]:
    evidence = tables.get("evidence")
    entries = evidence.get(kind) if isinstance(evidence, dict) else None
    for index, entry in enumerate(entries[:100] if isinstance(entries, list) else []):
        name = entry.get("file") if isinstance(entry, dict) else None
        if isinstance(name, str):  # what is no text is said where the sections are checked
            yield name, place_words(("evidence", kind, index, "file"), lines)


def _traverse(file: TableFile) -> TraverseFile:
    found: list[Fault] = []
    values: list[tuple[float, float]] = []
    for line, row in rows(file.body, file.name, TRAVERSE_COLUMNS):
        place = f"{file.name}, line {line}"
        if len(row) != 2:
            found.append(Fault(place, f"{len(row)} values", "two values: depth_mm, hardness_HV"))
            continue
        depth, hardness = (number(cell) for cell in row)
        if not 0 <= depth <= 50:
            found.append(Fault(f"{place}, depth_mm", shown(row[0]), "a depth from 0 to 50 mm"))
        elif values and depth <= values[-1][0]:
            found.append(Fault(f"{place}, depth_mm", shown(row[0]), "depths that grow from row to row"))
        if not 50 <= hardness <= 1200:
            found.append(Fault(f"{place}, hardness_HV", shown(row[1]), "a hardness from 50 to 1200 HV"))
        values.append((depth, hardness))
    if len(values) < 2 and not found:
        found.append(Fault(file.name, f"{len(values)} rows", "at least two depths with their hardness"))
    if found:
        raise InputError(folded(found, file.name))
    depth_mm, hardness_HV = np.array(values).T
    return TraverseFile(file=file, depth_mm=depth_mm, hardness_HV=hardness_HV)


def _results(file: TableFile) -> list[ReadResult]:
    found: list[Fault] = []
    results: list[ReadResult] = []
    for line, row in rows(file.body, file.name, RESULT_COLUMNS):
        place = f"{file.name}, line {line}"
        if len(row) != len(RESULT_COLUMNS):
            needed = f"{len(RESULT_COLUMNS)} values: {', '.join(RESULT_COLUMNS)}"
            found.append(Fault(place, f"{len(row)} values", needed))
            continue
        data = _row_data(dict(zip(RESULT_COLUMNS, row, strict=True)))
        faults = section_faults(ResultEntry, data, _RESULT)
        for where, fault in faults:
            key = next((str(part) for part in where[len(_RESULT) :]), "")
            found.append(Fault(f"{place}, {key}".rstrip(", "), fault.given, fault.needed, fault.why))
        if not faults:
            entry = ResultEntry.model_validate(data)
            results.append(ReadResult(entry=entry, source=file.name, field=place, file=file))
    if found:
        raise InputError(folded(found, file.name))
    return results


def _row_data(cells: dict[str, str]) -> dict[str, Any]:
    """A row as the section that it stands for; what is empty is not given."""
    unit = cells.pop("unit")
    data: dict[str, Any] = {name: cell for name, cell in cells.items() if cell}
    for name in ("value", "uncertainty"):
        if name in data:
            plain = number(data[name])
            if unit and unit != "1":
                data[name] = f"{data[name]} {unit}"
            elif math.isfinite(plain):
                data[name] = plain
    if "conforms" in data:
        data["conforms"] = _WHETHER.get(data["conforms"].lower(), data["conforms"])
    if "date" in data:
        with contextlib.suppress(ValueError):  # what is no date is said where the section is checked
            data["date"] = dt.date.fromisoformat(data["date"])
    return data
