"""Evidence files beside a gear file: measured pitch as comma separated values."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.numbers import Array
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_sizes import running_sum_faults, size_faults
from gearcheck.review.file_table import folded, number, rows, table_file
from gearcheck.review.file_values import shown

COLUMNS = ["tooth", "flank", "deviation_um"]
FLANKS = ("left", "right")
LARGEST_READ_UM = 10_000.0


@dataclass(frozen=True, kw_only=True)
class PitchFile:
    """One file of measured pitch: its hash, its text, and the deviation of each tooth, in µm."""

    sha256: str
    text: str
    left_um: Array
    right_um: Array


def pitch_files(
    tables: Mapping[str, Any], folder: Path, lines: Mapping[Place, int]
) -> tuple[list[PitchFile], list[Fault]]:
    """Read all files of measured pitch that a gear file names, whatever else is wrong with it.

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
    files : list of PitchFile
        In the order of the entries.
    faults : list of Fault
        With the line of the gear file or of the evidence file.
    """
    gear, evidence = tables.get("gear"), tables.get("evidence")
    teeth = gear.get("teeth") if isinstance(gear, dict) else None
    known = teeth if isinstance(teeth, int) and 5 <= teeth <= 1000 else None
    entries = evidence.get("pitch") if isinstance(evidence, dict) else None
    files: list[PitchFile] = []
    faults: list[Fault] = []
    for index, entry in enumerate(entries[:100] if isinstance(entries, list) else []):
        name = entry.get("file") if isinstance(entry, dict) else None
        if not isinstance(name, str):
            continue  # said where the sections are checked
        try:
            field = place_words(("evidence", "pitch", index, "file"), lines)
            files.append(_pitch_file(name, folder, field, known))
        except InputError as error:
            faults += error.faults
    return files, faults


def _pitch_file(name: str, folder: Path, field: str, teeth: int | None) -> PitchFile:
    file = table_file(name, folder, field)
    by_flank = pitch_table(file.body, name, teeth)
    return PitchFile(
        sha256=file.sha256,
        text=file.text,
        left_um=by_flank["left"],
        right_um=by_flank["right"],
    )


def pitch_table(text: str, name: str, teeth: int | None) -> dict[str, Array]:
    r"""Return the deviation of each single pitch from the text of an evidence file.

    Parameters
    ----------
    text : str
        Columns tooth, flank and deviation_um, between commas or semicolons, with decimal points.
    name : str
        The name of the file, for the error.
    teeth : int or None
        Number of teeth of the gear; None where it is not known, then the largest tooth counts.

    Returns
    -------
    dict of str to ndarray
        ``left`` and ``right``, shape (teeth,), in µm.

    Raises
    ------
    InputError
        All that is wrong, by line; after three faults of a kind only their number.

    Examples
    --------
    >>> text = "tooth,flank,deviation_um\n2,left,-1.5\n1,left,2\n1,right,0\n2,right,0.5\n"
    >>> pitch_table(text, "pitch.csv", 2)["left"].tolist()
    [2.0, -1.5]
    """
    found: list[Fault] = []
    values: dict[tuple[str, int], float] = {}
    for line, row in rows(text, name, COLUMNS):
        _take(row, f"{name}, line {line}", teeth, values, found)
    count = teeth or max((tooth for _, tooth in values), default=0)
    if not found:
        found += [*_gaps(values, count, name), *_sizes(values, name)]
    if found:
        raise InputError(folded(found, name))
    return {flank: np.array([values[flank, tooth] for tooth in range(1, count + 1)]) for flank in FLANKS}


def _take(
    row: list[str],
    place: str,
    teeth: int | None,
    values: dict[tuple[str, int], float],
    found: list[Fault],
) -> None:
    """Take one row into `values`, or note what is wrong with it."""
    if len(row) != 3:
        needed, why = "three values: tooth, flank, deviation_um", ""
        if len(row) == 4:
            why = "a decimal comma? write a decimal point"
        found.append(Fault(place, f"{len(row)} value{'s'[: len(row) > 1]}", needed, why))
        return
    before = len(found)
    tooth = int(row[0]) if re.fullmatch(r"[0-9]{1,4}", row[0]) else 0
    flank = row[1].lower()
    if not 1 <= tooth <= (teeth or 1000):
        found.append(Fault(f"{place}, tooth", shown(row[0]), f"a tooth number from 1 to {teeth or 1000}"))
    if flank not in FLANKS:
        found.append(Fault(f"{place}, flank", shown(row[1]), "left or right"))
    value = number(row[2])
    if not abs(value) <= LARGEST_READ_UM:
        why = "write a decimal point, not a comma" if "," in row[2] else _in_nm(value)
        needed = f"a number of µm, at most {LARGEST_READ_UM:g} either way"
        found.append(Fault(f"{place}, deviation_um", shown(row[2]) if row[2] else "", needed, why))
    if len(found) == before and (flank, tooth) in values:
        found.append(Fault(place, f"{flank} flank, tooth {tooth} again", "one row a tooth and flank"))
    elif len(found) == before:
        values[flank, tooth] = value


def _in_nm(value: float) -> str:
    return "no flank is off by that: are they in nm?" if np.isfinite(value) else ""


def _sizes(values: Mapping[tuple[str, int], float], name: str) -> Iterator[Fault]:
    """Deviations of another unit or kind, and a flank that was not recorded."""
    for flank in FLANKS:
        own = [values[key] for key in sorted(values) if key[0] == flank]
        if own and min(own) == max(own):
            why = "a flank of one value is a probe that did not record, or a column that was not filled"
            given = f"{len(own)} times {own[0]:g}"
            yield Fault(f"{name}, {flank} flank", given, "the deviations as measured", why)
        unit = list(size_faults(f"{name}, {flank} flank", own))
        yield from unit or running_sum_faults(f"{name}, {flank} flank", own)


def _gaps(values: Mapping[tuple[str, int], float], count: int, name: str) -> Iterator[Fault]:
    for flank in FLANKS:
        lacking = [tooth for tooth in range(1, count + 1) if (flank, tooth) not in values]
        if lacking or not count:
            some = ", ".join(map(str, lacking[:10])) + (" ..." if len(lacking) > 10 else "")
            given = f"{count - len(lacking)} of {count} teeth" if count else ""
            why = f"missing: {some}" if lacking else ""
            yield Fault(f"{name}, {flank} flank", given, "a row for every tooth of the gear", why)
