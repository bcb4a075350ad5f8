"""Files of fatigue tests: one test a row, each with its load, its cycles, and whether the specimen failed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from gearcheck.basics.errors import Fault, InputError
from gearcheck.review.fatigue_inputs import LoadKind, SpecimenTable
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_table import TableFile, folded, number, rows, table_file
from gearcheck.review.file_values import shown

LOADS = {
    "stress_mpa": (LoadKind.STRESS, 1.0, "stress_MPa", 10.0, 10_000.0),
    "torque_nm": (LoadKind.TORQUE, 1.0, "torque_Nm", 1e-3, 1e8),
    "force_n": (LoadKind.FORCE, 1.0, "force_N", 1.0, 1e8),
    "force_kn": (LoadKind.FORCE, 1000.0, "force_kN", 1e-3, 1e5),
}
"""The columns of a load: its kind, what it is multiplied by, how it is written, its limits."""
NEEDED = ("specimen", "cycles", "failed")
OPTIONAL = ("gear", "tooth", "batch", "stress_ratio", "mode", "reason", "sound_cycles", "retest_of")
MOST_TESTS = 5000
_FURTHEST = 20.0
"""Loads of one file lie nearer together than by this factor: beyond it they are not in one unit."""
_FEWEST_CYCLES = 1000.0
_WHETHER = {"yes": True, "true": True, "no": False, "false": False}
_COMMA = "write a decimal point, not a comma"
_LONGEST = 60


@dataclass
class _Reading:
    """What is read of one file: its columns, the one of the load, faults and sound rows."""

    name: str
    columns: list[str]
    load: str
    found: list[Fault] = field(default_factory=list)
    tests: list[dict[str, Any]] = field(default_factory=list)
    places: list[str] = field(default_factory=list)


def specimen_files(
    tables: Mapping[str, Any], folder: Path, lines: Mapping[Place, int]
) -> tuple[list[SpecimenTable], list[Fault]]:
    """Read all files of fatigue tests that a gear file names, whatever else is wrong with it.

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
    files : list of SpecimenTable
        In the order of the entries; fewer where one could not be read.
    faults : list of Fault
        With the line of the gear file or of the file of tests.
    """
    fatigue = tables.get("fatigue")
    entries = fatigue.get("tests") if isinstance(fatigue, dict) else None
    files: list[SpecimenTable] = []
    faults: list[Fault] = []
    for index, entry in enumerate(entries[:10] if isinstance(entries, list) else []):
        name = entry.get("file") if isinstance(entry, dict) else None
        if isinstance(name, str):  # what is no text is said where the sections are checked
            try:
                place = place_words(("fatigue", "tests", index, "file"), lines)
                files.append(specimen_table(table_file(name, folder, place)))
            except InputError as error:
                faults += error.faults
    return files, faults


def specimen_table(file: TableFile) -> SpecimenTable:
    r"""Return the tests of a file.

    Parameters
    ----------
    file : TableFile
        Columns specimen, cycles, failed, and one of stress_MPa, torque_Nm, force_N and force_kN, in any
        order, between commas or semicolons, with decimal points; gear, tooth, batch, stress_ratio, mode,
        reason, sound_cycles and retest_of where they are known. A specimen that did not fail needs a reason.

    Returns
    -------
    SpecimenTable
        In the order of the rows.

    Raises
    ------
    InputError
        All that is wrong, by line; after three faults of a kind only their number.

    Examples
    --------
    >>> text = "specimen,stress_MPa,cycles,failed,reason\nA,900,1e5,yes,\nB,800,6e6,no,run-out life\n"
    >>> found = specimen_table(TableFile(name="tests.csv", sha256="", text=text))
    >>> found.load.tolist(), found.failed.tolist()
    ([900.0, 800.0], [True, False])
    """
    columns, load = _columns(file)
    read = _Reading(name=file.name, columns=columns, load=load)
    for line, row in rows(file.body, file.name, columns):
        _take(read, row, f"{file.name}, line {line}")
    if not read.found:
        read.found += [*_of_all(read), *_of_tests_again(read)]
    if read.found:
        raise InputError(folded(read.found, file.name))
    return _table(read, file)


def _columns(file: TableFile) -> tuple[list[str], str]:
    """The columns of a file in their order, and that of the load."""
    head = file.body.split("\n", maxsplit=1)[0].strip().lower()
    given = [cell.strip() for cell in head.split(";" if ";" in head else ",")]
    loads = [name for name in given if name in LOADS]
    written = ", ".join(LOADS[name][2] for name in LOADS)
    place = f"{file.name}, line 1"
    if len(loads) != 1:
        several = " and ".join(LOADS[name][2] for name in loads)
        raise InputError([Fault(place, several, f"exactly one column of a load: {written}")])
    known = (*NEEDED, *OPTIONAL, *loads)
    odd = [name for name in given if name not in known]
    missing = [name for name in NEEDED if name not in given]
    if odd or missing or len(set(given)) != len(given):
        needed = (
            f"the columns {', '.join(NEEDED)}, one of {written}, and where known {', '.join(OPTIONAL)}, "
            "each once"
        )
        why = f"missing: {', '.join(missing)}" if missing else ""
        raise InputError([Fault(place, shown(head) if head else "", needed, why)])
    return given, loads[0]


def _take(read: _Reading, row: list[str], place: str) -> None:
    """Take one row, or note what is wrong with it."""
    if len(row) != len(read.columns):
        why = "a decimal comma? write a decimal point" if len(row) > len(read.columns) else ""
        needed = f"{len(read.columns)} values: {', '.join(read.columns)}"
        read.found.append(Fault(place, f"{len(row)} value{'s'[: len(row) > 1]}", needed, why))
        return
    cells = dict(zip(read.columns, row, strict=True))
    faults = [*_of_numbers(read, cells, place), *_of_words(cells, place)]
    read.found += faults
    if faults:
        return
    kept: dict[str, Any] = {name: cells.get(name, "") for name in ("specimen", *OPTIONAL)}
    kept |= {
        "load": number(cells[read.load]) * LOADS[read.load][1],
        "cycles": number(cells["cycles"]),
        "failed": _WHETHER[cells["failed"].lower()],
    }
    read.tests.append(kept)
    read.places.append(place)


def _of_numbers(read: _Reading, cells: Mapping[str, str], place: str) -> Iterator[Fault]:
    _, _, written, low, high = LOADS[read.load]
    unit = {"MPa": "MPa", "Nm": "N·m"}.get(written.split("_")[1], written.split("_")[1])
    spans = [
        (read.load, written, low, high, f"a number of {unit}, from {low:g} to {high:g}", True),
        ("cycles", "cycles", 1.0, 1e13, "cycles above 0, from 1 to 1e13", True),
        ("stress_ratio", "stress_ratio", -20.0, 0.99, "a ratio from -20 to 0.99, or nothing", False),
        ("sound_cycles", "sound_cycles", 0.0, 1e13, "cycles of 0 or more, or nothing", False),
    ]
    for name, shown_name, least, most, needed, must in spans:
        cell = cells.get(name, "")
        if (must or cell) and not least <= number(cell) <= most:
            yield Fault(f"{place}, {shown_name}", shown(cell) if cell else "", needed, _COMMA * ("," in cell))
    sound = cells.get("sound_cycles", "")
    if sound and not number(sound) < number(cells["cycles"]):
        needed = f"fewer than the {cells['cycles']} cycles at which it was found failed"
        yield Fault(f"{place}, sound_cycles", shown(sound), needed)


def _of_words(cells: Mapping[str, str], place: str) -> Iterator[Fault]:
    for name in ("specimen", "gear", "tooth", "batch", "mode", "reason", "retest_of"):
        cell = cells.get(name, "")
        longest = _LONGEST * (5 if name == "reason" else 1)
        if len(cell) > longest or not cell.isprintable():
            yield Fault(f"{place}, {name}", shown(cell), f"a text of at most {longest} characters")
    if not cells["specimen"]:
        yield Fault(f"{place}, specimen", "", "the name of the specimen")
    failed = _WHETHER.get(cells["failed"].lower())
    if failed is None:
        yield Fault(f"{place}, failed", shown(cells["failed"]) if cells["failed"] else "", "yes or no")
    if failed is False and not cells.get("reason"):
        needed = "why a specimen that did not fail was taken out, such as run-out life reached"
        yield Fault(f"{place}, reason", "", needed, "what was stopped says less than what ran its time")
    if failed is False and cells.get("sound_cycles"):
        yield Fault(f"{place}, sound_cycles", shown(cells["sound_cycles"]), "nothing: it did not fail")


def _of_all(read: _Reading) -> Iterator[Fault]:
    """What is wrong with the tests together, where each row is right."""
    if not read.tests:
        yield Fault(read.name, "no row", "one test or more")
        return
    if len(read.tests) > MOST_TESTS:
        yield Fault(read.name, f"{len(read.tests)} tests", f"{MOST_TESTS} tests or fewer")
    loads = [test["load"] / LOADS[read.load][1] for test in read.tests]
    if max(loads) > _FURTHEST * min(loads):
        given, why = f"loads from {min(loads):g} to {max(loads):g}", "two units in one column?"
        written = LOADS[read.load][2]
        yield Fault(f"{read.name}, {written}", given, f"loads within a factor of {_FURTHEST:g}", why)
    if max(test["cycles"] for test in read.tests) < _FEWEST_CYCLES:
        most = max(test["cycles"] for test in read.tests)
        why = "are they in thousands or millions?"
        yield Fault(f"{read.name}, cycles", f"at most {most:g}", "single cycles of a fatigue test", why)
    names: set[str] = set()
    for test, place in zip(read.tests, read.places, strict=True):
        if test["specimen"] in names:
            needed = "another name for each test; a test again names the first one in the column retest_of"
            yield Fault(f"{place}, specimen", f"{shown(test['specimen'])} again", needed)
        names.add(test["specimen"])


def _of_tests_again(read: _Reading) -> Iterator[Fault]:
    """A test again follows a run-out of the same file at a lower load."""
    by_name = {test["specimen"]: test for test in read.tests}
    for test, place in zip(read.tests, read.places, strict=True):
        first = by_name.get(test["retest_of"])
        if not test["retest_of"]:
            continue
        if first is None or first is test:
            yield Fault(f"{place}, retest_of", shown(test["retest_of"]), "another specimen of this file")
        elif first["failed"] or first["load"] >= test["load"]:
            words = "failed" if first["failed"] else f"ran at {first['load']:g}"
            needed = "a specimen that stayed sound at a lower load"
            yield Fault(f"{place}, retest_of", f"{shown(test['retest_of'])}, which {words}", needed)


def _table(read: _Reading, file: TableFile) -> SpecimenTable:
    def words(name: str) -> tuple[str, ...]:
        return tuple(test[name] for test in read.tests)

    def numbers(name: str) -> Any:
        return np.array([number(cell) if cell else np.nan for cell in words(name)])

    sound = numbers("sound_cycles")
    return SpecimenTable(
        specimen=words("specimen"),
        gear=words("gear"),
        tooth=words("tooth"),
        batch=words("batch"),
        load_kind=LOADS[read.load][0],
        load=np.array([test["load"] for test in read.tests]),
        stress_ratio=numbers("stress_ratio"),
        cycles=np.array([test["cycles"] for test in read.tests]),
        failed=np.array([test["failed"] for test in read.tests]),
        sound_cycles=sound if np.isfinite(sound).any() else None,
        mode=words("mode"),
        reason=words("reason"),
        retest_of=words("retest_of"),
        source=file.name,
        sha256=file.sha256,
        source_text=file.text,
    )
