"""What would fix a failing requirement: the smallest change of each input that meets it, and its cost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.numbers import Array
from gearcheck.requirements.compare import reaches
from gearcheck.requirements.types import Calculation, Requirement
from gearcheck.review.chain import calculate
from gearcheck.review.change import Change
from gearcheck.review.changes import changed, mending_changes
from gearcheck.review.contact import mesh_contacts
from gearcheck.review.contact_changes import CONTACT
from gearcheck.review.fatigue import fatigue_lives
from gearcheck.review.inputs import ContactPressure, Record
from gearcheck.review.judge import judged
from gearcheck.review.stations import lines
from gearcheck.review.stations.contact import LATER
from gearcheck.review.stations.contact import lines as contact_lines
from gearcheck.review.stations.fatigue import KEYS as FATIGUE
from gearcheck.review.stations.fatigue import lines as fatigue_lines


@dataclass(frozen=True, kw_only=True)
class _Search:
    """How many values are looked at over the reach, and how often how many between the last two."""

    points: int = 121
    cuts: int = 33
    rounds: int = 5


_BROADCAST, _ONE_BY_ONE = _Search(), _Search(points=25, cuts=7, rounds=3)


def _search(record: Record, key: str) -> _Search:
    """Loaded contact and tests of specimens are worked out on their own for each value."""
    methods = record.methods
    rests = methods is not None and methods.contact_pressure is ContactPressure.LOADED_CONTACT
    slow = key.startswith((CONTACT, FATIGUE)) or (rests and key.startswith("case."))
    return _ONE_BY_ONE if slow else _BROADCAST


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """The smallest change of one input that meets a requirement with everything else held.

    Parameters
    ----------
    change : Change
        The input.
    before, after : float
        Its value in the record, and the nearest that meets the requirement; None where none does in reach.
    reach : tuple of float
        The values looked at.
    costs : tuple of str
        What else moves the wrong way: requirements that then fail, reserves that fall.
    """

    change: Change
    before: float
    after: float | None
    reach: tuple[float, float]
    costs: tuple[str, ...] = ()


def remedies(record: Record, key: str) -> tuple[Remedy, ...]:
    """Find what would fix one requirement.

    Parameters
    ----------
    record : Record
        The record, without arrays.
    key : str
        The requirement.

    Returns
    -------
    tuple of Remedy
        One for each input that may change, those that help first.
    """
    now = judged(record)
    found = [_remedy(record, key, change, now) for change in mending_changes(record, key)]
    return tuple(sorted(found, key=lambda remedy: remedy.after is None))


def _remedy(record: Record, key: str, change: Change, now: tuple[Requirement, ...]) -> Remedy:
    before = float(change.read(record))
    reach = change.bounds(record)
    after = _nearest(record, key, change, before, reach)
    costs = () if after is None else costs_of(now, judged(changed(record, {change.key: after})), key)
    return Remedy(change=change, before=before, after=after, reach=reach, costs=costs)


def _meets(
    record: Record, key: str, change: Change, values: Array
) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Say for each value of one input whether the requirement is met; a stop does not meet it."""
    if key.startswith(CONTACT):
        return _meets_in_contact(record, key, change, values)
    if key.startswith(FATIGUE):
        return np.array([_meets_by_tests(record, key, change, float(one)) for one in values], dtype=np.bool_)
    moved = changed(record, {change.key: values})
    line = next(line for line in lines(moved, calculate(moved)) if line.key == key)
    return np.broadcast_to(reaches(line.capacity, line.demand), values.shape)


def _meets_in_contact(
    record: Record, key: str, change: Change, values: Array
) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """The same on the loaded contact; none of its changes moves the teeth."""
    chain = calculate(record)

    def meets(value: float) -> bool:
        moved = changed(record, {change.key: value})
        found = replace(chain, contact=mesh_contacts(moved, chain, with_reserves=False))
        line = next(line for line in contact_lines(moved, found) if line.key == key)
        return not line.reason and bool(reaches(line.capacity, line.demand))

    return np.array([meets(float(value)) for value in values], dtype=np.bool_)


def _meets_by_tests(record: Record, key: str, change: Change, value: float) -> bool:
    """The same by the tests of specimens; a change may move all that the part bears."""
    moved = changed(record, {change.key: value})
    chain = calculate(moved)
    found = replace(chain, fatigue=fatigue_lives(moved, chain, with_reserves=False))
    line = next(line for line in fatigue_lines(moved, found) if line.key == key)
    return not line.reason and bool(reaches(line.capacity, line.demand))


def _nearest(
    record: Record, key: str, change: Change, before: float, reach: tuple[float, float]
) -> float | None:
    low, high = reach
    count = round(high - low) + 1 if change.whole else _search(record, key).points
    values = np.linspace(low, high, count)
    good = _meets(record, key, change, values)
    if not good.any():
        return None
    distance = np.where(good, np.abs(values - before), np.inf)
    best = float(values[np.argmin(distance)])
    return best if change.whole else _refined(record, key, change, before, best, (high - low) / (count - 1))


def _refined(record: Record, key: str, change: Change, before: float, good: float, step: float) -> float:
    """Narrow down towards the record's value, then round to a value that is shown and still meets."""
    bad = good - np.sign(good - before) * min(step, abs(good - before))
    search = _search(record, key)
    for _ in range(search.rounds):
        trial = np.linspace(bad, good, search.cuts)
        # the last is good: the good ones without a gap up to it begin behind the last bad one
        last_bad = np.flatnonzero(~_meets(record, key, change, trial))[-1:]
        start = int(last_bad[0]) if last_bad.size else 0
        bad, good = float(trial[start]), float(trial[start + 1])
    scale = 10.0**change.digits
    rounded = (np.ceil if good > before else np.floor)(good * scale) / scale
    return float(rounded) if _meets(record, key, change, np.array([rounded]))[0] else good


def costs_of(now: tuple[Requirement, ...], then: tuple[Requirement, ...], key: str) -> tuple[str, ...]:
    """Name what newly fails, and the three margins that shrink most.

    Parameters
    ----------
    now, then : tuple of Requirement
        Before and after a change, of the same requirements.
    key : str
        A requirement whose own margin is not told; empty where all are.

    Returns
    -------
    tuple of str
        In words, what fails first.
    """
    broken: list[str] = []
    shrunk: list[tuple[float, str]] = []
    for old, new in zip(now, then, strict=True):
        if new.reason == LATER:  # slower work is no loss
            continue
        if old.by_calculation is Calculation.MEETS and new.by_calculation is not Calculation.MEETS:
            broken.append(f"{new.title} then {new.by_calculation}")
        elif new.key != key:
            shrunk.extend(_shrunk(old, new))
    return (*broken, *(text for _, text in sorted(shrunk)[:3]))


def _shrunk(old: Requirement, new: Requirement) -> Iterator[tuple[float, str]]:
    """Yield how far a margin shrinks, where it shows at the digits read."""
    if old.reserve and new.reserve and old.reserve.factor and new.reserve.factor:
        before, after = old.reserve.factor, new.reserve.factor
        if round(after, 2) < round(before, 2):
            yield after - before, f"{new.title}: reserve {before:.2f} to {after:.2f}"
    elif old.share is not None and new.share is not None and round(100 * new.share) > round(100 * old.share):
        used = f"{100 * old.share:.0f} % to {100 * new.share:.0f} % of its tolerance"
        yield old.share - new.share, f"{new.title}: {used}"
