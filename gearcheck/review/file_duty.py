"""The duty of a gear file: its spectrum from [[duty.bin]] or from a file of comma separated values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.review.file_loads import DIRECTIONS, LEAST_TIME_H, DutySection
from gearcheck.review.file_places import Place, place_words
from gearcheck.review.file_table import TableFile, folded, number, rows, table_file
from gearcheck.review.file_values import shown

COLUMNS = ["torque_nm", "speed_rpm", "time_h", "direction"]
MOST_BINS = 500
_LIMITS = {"torque_Nm": (0.0, 1e8), "speed_rpm": (1e-3, 1e6), "time_h": (LEAST_TIME_H, 1e8)}


@dataclass(frozen=True, kw_only=True)
class DutyFile:
    """A spectrum as read from its file."""

    file: TableFile
    bins: tuple[Bin, ...]


def duty_of(section: DutySection, read: DutyFile | None) -> Duty:
    """Return the duty that a gear file describes.

    Parameters
    ----------
    section : DutySection
        [duty], checked.
    read : DutyFile or None
        The spectrum, where the section names a file.

    Returns
    -------
    Duty
        In the units of the package.
    """
    if read is not None:
        bins, source, text = read.bins, read.file.name, read.file.text
    else:
        source = text = ""
        bins = tuple(
            Bin(torque_Nm=item.torque, speed_rpm=item.speed, hours=item.time, reverse=item.reverse)
            for item in section.bin
        )
    return Duty(
        bins=bins,
        below_knee=section.below_knee,
        peak_torque_Nm=section.peak_torque,
        starts=section.starts,
        torque_factor=section.torque_factor,
        speed_factor=section.speed_factor,
        source=source,
        source_text=text,
    )


def duty_file(
    tables: Mapping[str, Any], folder: Path, lines: Mapping[Place, int]
) -> tuple[DutyFile | None, list[Fault]]:
    """Read the spectrum that a gear file names, whatever else is wrong with it.

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
    file : DutyFile or None
        None where none is named, or where something is wrong with it.
    faults : list of Fault
        With the line of the gear file or of the spectrum.
    """
    duty = tables.get("duty")
    name = duty.get("file") if isinstance(duty, dict) else None
    try:
        if isinstance(name, str):
            file = table_file(name, folder, place_words(("duty", "file"), lines))
            return DutyFile(file=file, bins=duty_table(file.body, name)), []
        bins = duty.get("bin") if isinstance(duty, dict) else None
        if isinstance(bins, list) and not any(_hours(item) for item in bins):
            _no_time(place_words(("duty",), lines))
    except InputError as error:
        return None, list(error.faults)
    return None, []


def _hours(item: object) -> bool:
    """Whether a bin may have a time; what else is wrong with it is said where the sections are checked."""
    given = item.get("time") if isinstance(item, dict) else None
    return not (isinstance(given, str) and number(given.split(" ")[0]) == 0)


def _no_time(field: str) -> None:
    raise InputError([Fault(field, "no time in any bin", "a time above 0 h in one bin or more")])


def duty_table(text: str, name: str) -> tuple[Bin, ...]:
    r"""Return the bins of a spectrum from the text of its file.

    Parameters
    ----------
    text : str
        Columns torque_Nm, speed_rpm, time_h, direction, between commas or semicolons, with decimal points;
        the direction is forward or reverse.
    name : str
        The name of the file, for the error.

    Returns
    -------
    tuple of Bin
        In the order of the rows.

    Raises
    ------
    InputError
        All that is wrong, by line; after three faults of a kind only their number.

    Examples
    --------
    >>> text = "torque_Nm,speed_rpm,time_h,direction\n900,1480,20,forward\n400,1480,80,reverse\n"
    >>> [(item.torque_Nm, item.reverse) for item in duty_table(text, "duty.csv")]
    [(900.0, False), (400.0, True)]
    """
    found: list[Fault] = []
    bins: list[Bin] = []
    for line, row in rows(text, name, COLUMNS):
        _take(row, f"{name}, line {line}", bins, found)
    if not found and not sum(item.hours for item in bins) > 0:
        _no_time(name)
    if len(bins) > MOST_BINS:
        found.append(Fault(name, f"{len(bins)} bins", f"{MOST_BINS} bins or fewer"))
    if found:
        raise InputError(folded(found, name))
    return tuple(bins)


def _take(row: list[str], place: str, bins: list[Bin], found: list[Fault]) -> None:
    if len(row) != len(COLUMNS):
        why = "a decimal comma? write a decimal point" if len(row) > len(COLUMNS) else ""
        needed = "four values: torque_Nm, speed_rpm, time_h, direction"
        found.append(Fault(place, f"{len(row)} value{'s'[: len(row) > 1]}", needed, why))
        return
    before, values = len(found), []
    for cell, (field, (low, high)) in zip(row, _LIMITS.items(), strict=False):
        value = number(cell)
        values.append(value)
        idle = field == "time_h" and value == 0
        if not low <= value <= high and not idle:
            why = "write a decimal point, not a comma" if "," in cell else ""
            needed = f"a number from {low:g} to {high:g}{', or 0' if field == 'time_h' else ''}"
            found.append(Fault(f"{place}, {field}", shown(cell) if cell else "", needed, why))
    direction = row[3].lower()
    if direction not in DIRECTIONS:
        found.append(Fault(f"{place}, direction", shown(row[3]), "forward or reverse"))
    if len(found) == before:
        torque, speed, hours = values
        bins.append(Bin(torque_Nm=torque, speed_rpm=speed, hours=hours, reverse=direction == DIRECTIONS[1]))
