"""Files of measured residual stress: depths with the stress there, compression negative."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.numbers import Array
from gearcheck.review.file_table import TableFile, folded, number, rows
from gearcheck.review.file_values import shown

STRESS_COLUMNS = ["depth_mm", "stress_mpa"]
DEEPEST_MM = 10.0
"""Deeper no layer is taken off a tooth to measure below it; it may be a depth in µm."""
LARGEST_MPA = 3000.0
"""A residual stress above it would be above the strength of the hardest case."""
_SMALL_MPA = 3.0
_UNIT = "stresses in MPa, compression negative"
_COMMA = "a decimal comma? write a decimal point"


@dataclass(frozen=True, kw_only=True)
class StressFile:
    """A file of measured residual stress with its depths in mm and its stresses in MPa."""

    file: TableFile
    depth_mm: Array
    stress_MPa: Array


def stress_file(file: TableFile) -> StressFile:
    r"""Return the points of a file of measured residual stress.

    Parameters
    ----------
    file : TableFile
        With the columns ``depth_mm,stress_MPa``, between commas or semicolons, with decimal points.

    Returns
    -------
    StressFile
        At least two points, their depths rising.

    Raises
    ------
    InputError
        All that is wrong, by line; after three faults of a kind only their number.

    Examples
    --------
    >>> text = "depth_mm,stress_MPa\n0,-420\n0.05,-310\n"
    >>> stress_file(TableFile(name="stress.csv", sha256="", text=text)).stress_MPa.tolist()
    [-420.0, -310.0]
    """
    found: list[Fault] = []
    values: list[tuple[float, float]] = []
    for line, row in rows(file.body, file.name, STRESS_COLUMNS):
        place = f"{file.name}, line {line}"
        if len(row) != 2:
            why = _COMMA if len(row) in (3, 4) else ""
            given = f"{len(row)} value{'s'[: len(row) > 1]}"
            found.append(Fault(place, given, "two values: depth_mm, stress_MPa", why))
            continue
        depth, stress = (number(cell) for cell in row)
        found += _depth_faults(f"{place}, depth_mm", row[0], depth, values)
        found += _stress_faults(f"{place}, stress_MPa", row[1], stress)
        values.append((depth, stress))
    found = found or list(_of_all(file.name, values))
    if found:
        raise InputError(folded(found, file.name))
    depth_mm, stress_MPa = np.array(values).T
    return StressFile(file=file, depth_mm=depth_mm, stress_MPa=stress_MPa)


def _depth_faults(place: str, cell: str, depth: float, before: list[tuple[float, float]]) -> Iterator[Fault]:
    if not 0 <= depth <= DEEPEST_MM:
        why = "a depth in µm? the column is in mm" if depth > DEEPEST_MM else _why(cell)
        yield Fault(place, _given(cell), f"a depth from 0 to {DEEPEST_MM:g} mm", why)
    elif before and depth <= before[-1][0]:
        yield Fault(place, _given(cell), "depths that grow from row to row")


def _stress_faults(place: str, cell: str, stress: float) -> Iterator[Fault]:
    if not abs(stress) <= LARGEST_MPA:
        why = "in kPa or Pa? no steel holds more" if abs(stress) > LARGEST_MPA else _why(cell)
        yield Fault(place, _given(cell), f"{_UNIT}, at most {LARGEST_MPA:g} either way", why)


def _why(cell: str) -> str:
    """Why a cell that holds no number holds none; empty where it holds one."""
    if "," in cell:
        return _COMMA
    return "" if cell else "a row without it is a gap: leave the row out"


def _given(cell: str) -> str:
    return shown(cell) if cell else ""


def _of_all(name: str, values: list[tuple[float, float]]) -> Iterator[Fault]:
    """What only all points together show."""
    if len(values) < 2:
        given = f"{len(values)} row{'s' if len(values) != 1 else ''}"
        why = "a stress alone is that of its depth: nothing stands between two points"
        yield Fault(name, given, "at least two depths with the stress there", why)
        return
    largest = max(abs(stress) for _, stress in values)
    if 0 < largest <= _SMALL_MPA:
        why = "in GPa? a case holds hundreds of MPa"
        yield Fault(f"{name}, stress_MPa", f"at most {largest:g}", _UNIT, why)
