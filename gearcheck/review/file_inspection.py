"""Files of inspection evidence: hardness traverses, residual stresses, and tables with one result a row."""

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
from gearcheck.basics.numbers import Array, array
from gearcheck.hardening.traverse import traverse_case_depth
from gearcheck.materials.hardness import HV_from_HRC
from gearcheck.review.file_check import section_faults
from gearcheck.review.file_measured import ResultEntry
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_stress import StressFile, stress_file
from gearcheck.review.file_table import TableFile, folded, number, rows, table_file
from gearcheck.review.file_values import shown

TRAVERSE_COLUMNS = ["depth_mm", "hardness_hv"]
ROCKWELL_COLUMNS = ["depth_mm", "hardness_hrc"]
RESULT_COLUMNS = [
    "characteristic", "value", "unit", "uncertainty", "found", "conforms", "instrument", "date", "by",
    "applies_to", "revision",
]  # fmt: skip
_ROCKWELL = 70.0
"""Up to here a number is no Vickers hardness of a hardened steel, but may be one in Rockwell C."""
_WHICH_SCALE = "the scale: hardnesses in HV, or the column hardness_HRC for Rockwell C"
_RESULT: Place = ("evidence", "result", 0)
_WHETHER = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, kw_only=True)
class TraverseFile:
    """A file of a traverse with its depths in mm and its hardnesses in HV; `scale` is that of the file."""

    file: TableFile
    depth_mm: Array
    hardness_HV: Array
    scale: str


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
    stresses: tuple[StressFile, ...] = ()
    results: tuple[ReadResult, ...] = ()


def inspection_files(
    tables: Mapping[str, Any], folder: Path, lines: Mapping[Place, int]
) -> tuple[InspectionFiles, list[Fault]]:
    """Read all files of inspection evidence that a gear file names, whatever else is wrong with it.

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
    stresses: list[StressFile] = []
    results: list[ReadResult] = []
    for kind in ("traverse", "residual_stress", "results"):
        for name, field in named_files(tables, kind, lines):
            try:
                file = table_file(name, folder, field)
                if kind == "traverse":
                    traverses.append(_traverse(file))
                elif kind == "residual_stress":
                    stresses.append(stress_file(file))
                else:
                    results += _results(file)
            except InputError as error:
                faults += error.faults
    found = InspectionFiles(traverses=tuple(traverses), stresses=tuple(stresses), results=tuple(results))
    return found, faults


def named_files(
    tables: Mapping[str, Any], kind: str, lines: Mapping[Place, int]
) -> Iterator[tuple[str, str]]:
    """Yield the files that the entries of one kind of evidence name, each with its place in words."""
    evidence = tables.get("evidence")
    entries = evidence.get(kind) if isinstance(evidence, dict) else None
    for index, entry in enumerate(entries[:100] if isinstance(entries, list) else []):
        name = entry.get("file") if isinstance(entry, dict) else None
        if isinstance(name, str):  # what is no text is said where the sections are checked
            yield name, place_words(("evidence", kind, index, "file"), lines)


def _traverse(file: TableFile) -> TraverseFile:
    scale = _scale(file)
    columns = ROCKWELL_COLUMNS if scale == "HRC" else TRAVERSE_COLUMNS
    found: list[Fault] = []
    values: list[tuple[float, float]] = []
    for line, row in rows(file.body, file.name, columns):
        place = f"{file.name}, line {line}"
        if len(row) != 2:
            found.append(Fault(place, f"{len(row)} values", f"two values: depth_mm, hardness_{scale}"))
            continue
        depth, hardness = (number(cell) for cell in row)
        if not 0 <= depth <= 50:
            found.append(Fault(f"{place}, depth_mm", shown(row[0]), "a depth from 0 to 50 mm"))
        elif values and depth <= values[-1][0]:
            found.append(Fault(f"{place}, depth_mm", shown(row[0]), "depths that grow from row to row"))
        found += _hardness_faults(f"{place}, hardness_{scale}", scale, row[1], hardness)
        values.append((depth, hardness))
    if len(values) < 2 and not found:
        found.append(_too_few(file.name, scale, values))
    if found:
        raise InputError(_told(found, file.name, values))
    depth_mm, measured = np.array(values).T
    if scale == "HRC":
        measured = array(HV_from_HRC(hardness_HRC=measured).hardness_HV)
    return TraverseFile(file=file, depth_mm=depth_mm, hardness_HV=measured, scale=scale)


def _scale(file: TableFile) -> str:
    head = file.body.split("\n", maxsplit=1)[0].strip().lower()
    return "HRC" if head.rstrip().endswith("hardness_hrc") else "HV"


def _hardness_faults(place: str, scale: str, cell: str, hardness: float) -> Iterator[Fault]:
    if scale == "HRC":
        if not 20 <= hardness <= 68:
            why = "beyond it there is no Vickers hardness to it"
            yield Fault(place, shown(cell), "a hardness from 20 to 68 HRC, as far as ASTM E140 goes", why)
    elif 20 <= hardness <= _ROCKWELL:
        yield Fault(place, shown(cell), _WHICH_SCALE, "too soft for steel in HV, usual in HRC")
    elif not _ROCKWELL < hardness <= 1200:
        yield Fault(place, shown(cell), f"a hardness above {_ROCKWELL:g} and up to 1200 HV")


def _too_few(name: str, scale: str, values: list[tuple[float, float]]) -> Fault:
    """One indent alone says its own hardness, and no depth."""
    still = "".join(f"; it says {hardness:g} {scale} at {depth:g} mm alone" for depth, hardness in values)
    rows_given = f"{len(values)} row{'s' if len(values) != 1 else ''}"
    why = f"the depth is read between two indents{still}"
    return Fault(name, rows_given, "at least two depths with their hardness, from five on the course", why)


def _told(found: list[Fault], name: str, values: list[tuple[float, float]]) -> list[Fault]:
    """All faults; where every hardness may be Rockwell C one question instead, with what it would give."""
    doubts = [fault for fault in found if fault.needed == _WHICH_SCALE]
    if len(doubts) < max(len(values), 2) or len(doubts) < len(found):
        return folded(found, name)
    depth, hardness = np.array(values).T
    read = HV_from_HRC(hardness_HRC=hardness).hardness_HV
    case = traverse_case_depth(depth_mm=depth, hardness_HV=read, criterion_HV=550.0).case_depth_mm
    would = "no case depth at 550 HV" if case is None else f"a case depth of {case:.2f} mm at 550 HV"
    why = f"too soft for steel in HV; read as HRC it gives {would}"
    given = f"{hardness.min():g} to {hardness.max():g}"
    return [Fault(f"{name}, hardness_HV", given, _WHICH_SCALE, why)]


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
