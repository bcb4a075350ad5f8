"""Where the name of a falling line is written, so that no other line, rule or name runs through it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array

_NARROW_PX = 520  # the narrowest column; in a wider one the names only stand further apart
_LETTER_PX, _HALF_PX = 7.6, 9.0
_ABOVE_PX, _BELOW_PX = -11.0, 13.0
_PLACES = np.linspace(0.05, 1.0, 20)
_NAME, _RULE = 80.0, 4.0  # what it costs to cover a name, or to be crossed by a rule


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line in shares of the width, with its level in px below the top; without a label it only stands."""

    label: str
    across: Array
    level_px: Array


@dataclass(frozen=True, kw_only=True)
class Place:
    """A name that begins `at` a share of the width above its line, or ends there `below` it."""

    at: float
    below: bool


def placed(lines: Sequence[Line], rules: Sequence[float], taken: Sequence[Array] = ()) -> list[Place]:
    """Place the name of each line where it is crossed least.

    Parameters
    ----------
    lines : sequence of Line
        All that are drawn.
    rules : sequence of float
        Upright rules, in shares of the width.
    taken : sequence of ndarray
        Boxes of what is written already: left, right, top, bottom in px of the narrowest column.

    Returns
    -------
    list of Place
        One for each line; of one without a label it means nothing.
    """
    boxes, found = list(taken), []
    for line in lines:
        options = [(at, below) for at in _PLACES for below in (False, True)]
        tried = [_box(line, at, below) for at, below in options]
        costs = [_cost(box, lines, rules, boxes) for box in tried]
        best = int(np.argmin(costs)) if line.label else 0
        if line.label:
            boxes.append(tried[best])
        found.append(Place(at=float(options[best][0]), below=options[best][1]))
    return found


def written(label: str, at: float, level_px: float, *, ends: bool) -> Array:
    """The box of a name at a place: one that begins there, or `ends` there."""
    width = _LETTER_PX * len(label)
    left = at * _NARROW_PX - (width if ends else 0.0)
    return np.array([left, left + width, level_px - _HALF_PX, level_px + _HALF_PX])


def _box(line: Line, at: float, below: bool) -> Array:
    level = float(np.interp(at, line.across, line.level_px))
    return written(line.label, at, level + (_BELOW_PX if below else _ABOVE_PX), ends=below)


def _cost(box: Array, lines: Sequence[Line], rules: Sequence[float], boxes: Sequence[Array]) -> float:
    left, right, top, bottom = box
    if left < 2 or right > _NARROW_PX + 2:
        return np.inf
    across = np.arange(left, right, 4.0) / _NARROW_PX
    crossed = sum(
        int(np.sum((level > top) & (level < bottom)))
        for level in (np.interp(across, line.across, line.level_px) for line in lines)
    )
    ruled = sum(left - 3 < rule * _NARROW_PX < right + 3 for rule in rules)
    covered = sum(
        left < other[1] + 6 and right > other[0] - 6 and top < other[3] and bottom > other[2]
        for other in boxes
    )
    return float(crossed + _RULE * ruled + _NAME * covered)
