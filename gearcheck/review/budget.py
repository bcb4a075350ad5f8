"""The tolerance budget: the coarsest class that the calculation carries, for each group of parameters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.grade import class_range
from gearcheck.accuracy.inputs import AccuracySpecification, Group
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.requirements.compare import reaches
from gearcheck.review.chain import agreed_class, calculate
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain, Line
from gearcheck.review.stations import lines
from gearcheck.review.words import lower_first

ALL = "all four"
GROUPS: tuple[str, ...] = (*(str(group) for group in Group), ALL)
_CONTRACT = "accuracy."  # what is agreed of the class itself is no answer of the calculation

_WHY_NOT: dict[str, str] = {
    Group.RUNOUT: "the ratings do not use it; the eccentricity that it limits bears on the transmission "
    "error once a turn and on the stock of a correction",
    Group.HELIX: "the face load factors are given, not worked out from a shaft, so no class shows in them",
}


@dataclass(frozen=True, kw_only=True)
class GroupBudget:
    """What the calculation asks of one group of tolerances, everything else held.

    Parameters
    ----------
    group : str
        Pitch, profile, helix, runout, or all four in one class.
    drawn : float
        The class drawn, of all four the coarsest.
    agreed : float or None
        The class agreed, of all four the finest; None where none is.
    classes : ndarray
        All classes of the edition, the finest first, shape (classes,).
    meets : ndarray of bool
        Whether each of them meets all that turns with it.
    coarsest : float or None
        The coarsest class that meets, with all between it and the class drawn; where the class drawn does
        not meet, the coarsest finer one that does. None where none does.
    first : tuple of str
        The titles of what does not meet at the next coarser class.
    has_value : bool
        Whether those have a value there at all.
    again : tuple of float
        Coarser classes that meet again.
    moved : tuple of str
        The keys of the requirements that move with the group.
    always : tuple of str
        The titles of what fails at every class: no class mends it.
    why : str
        Why no requirement moves with the group, where none does; empty where that is not known.
    confirmed : bool
        Whether a plain calculation at the coarsest and at the next class says the same.
    """

    group: str
    drawn: float
    agreed: float | None
    classes: Array
    meets: NDArray[np.bool_]
    coarsest: float | None
    first: tuple[str, ...]
    has_value: bool
    again: tuple[float, ...]
    moved: tuple[str, ...]
    always: tuple[str, ...]
    why: str
    confirmed: bool

    @property
    def next_class(self) -> float | None:
        """The class next to the coarsest that meets; None where that is the last, or none meets."""
        if self.coarsest is None or self.coarsest >= self.classes[-1]:
            return None
        return self.coarsest + 1

    @property
    def spare(self) -> float | None:
        """How many classes coarser than drawn the calculation carries; below 0 where it asks for finer."""
        return None if self.coarsest is None else self.coarsest - self.drawn


def tolerance_budget(record: Record) -> tuple[GroupBudget, ...]:
    """Find the coarsest class of each group of parameters that still meets every requirement.

    Each group of the gear is moved alone over all classes of its edition; the mates and the other groups
    keep theirs. The requirements on the class itself are left out: they are the contract.

    Parameters
    ----------
    record : Record
        Without arrays.

    Returns
    -------
    tuple of GroupBudget
        Pitch, profile, helix, runout, and all four in one class; empty without [gear.accuracy].
    """
    drawn = record.gear.accuracy
    if drawn is None:
        return ()
    classes = class_range(drawn.edition)
    size = classes.size * len(GROUPS)
    names = [f"{group}_class" for group in Group]
    moved: dict[str, Number] = {}
    for place, (name, group) in enumerate(zip(names, Group, strict=True)):
        values = np.full((len(GROUPS), classes.size), float(drawn.class_of(group)))
        values[place] = values[-1] = classes
        moved[name] = values.reshape(size, 1)
    chain = calculate(record)
    known = {line.key: line for line in lines(record, chain) if _counts(line)}
    changed = _drawn_as(record, moved)
    after = {line.key: line for line in lines(changed, calculate(changed)) if line.key in known}
    margins = {key: _margins(line, classes.size) for key, line in after.items()}
    return tuple(
        replace(
            _budget(record, group, classes, {key: value[place] for key, value in margins.items()}, known),
            why=_why(chain, group),
        )
        for place, group in enumerate(GROUPS)
    )


def _why(chain: Chain, group: str) -> str:
    rated = [mesh.factors for mesh in chain.meshes if mesh.factors is not None]
    if not rated or (group == Group.HELIX and any(one.face_load is not None for one in rated)):
        return ""
    return _WHY_NOT.get(group, "")


def budget_words(item: GroupBudget) -> str:
    """Say what was agreed, and what the calculation alone would carry.

    Parameters
    ----------
    item : GroupBudget
        One group.

    Returns
    -------
    str
        One or two sentences.
    """
    name = f"{item.group.capitalize()}{' in one class' if item.group == ALL else ''}"
    held = f"class {item.drawn:g} is drawn and none agreed"
    if item.agreed is not None:
        held = f"the class agreed holds it at {item.agreed:g}"
        held += "" if item.agreed == item.drawn else f", {item.drawn:g} is drawn"
    if not item.moved:
        why = f": {item.why}" if item.why else ""
        return f"{name}: {held}; no requirement that was calculated depends on it{why}."
    if item.coarsest is None:
        return f"{name}: {held}; no class meets what turns with it."
    if item.coarsest < item.drawn:
        carried = f"the calculation asks for {item.coarsest:g} or finer"
    elif item.next_class is None:
        carried = f"the calculation alone would carry {item.coarsest:g}, the coarsest there is"
    else:
        carried = f"the calculation alone would carry {item.coarsest:g}"
    return f"{name}: {held}; {carried}{_turn_words(item)}."


def _turn_words(item: GroupBudget) -> str:
    if item.next_class is None:
        return ""
    what = " and ".join(lower_first(title) for title in item.first)
    verb = ("fails" if len(item.first) == 1 else "fail") if item.has_value else "no longer has a value"
    again = f"; {', '.join(f'{one:g}' for one in item.again)} would meet again" if item.again else ""
    return f"; at {item.next_class:g} {what} {verb}{again}"


def _counts(line: Line) -> bool:
    margin = array(line.capacity) - array(line.demand)
    return not (line.reason or line.key.startswith(_CONTRACT) or np.isnan(margin).any())


def _drawn_as(record: Record, classes: Mapping[str, Number]) -> Record:
    assert record.gear.accuracy is not None
    moved: dict[str, Any] = dict(classes)
    return replace(record, gear=replace(record.gear, accuracy=replace(record.gear.accuracy, **moved)))


def _margins(line: Line, classes: int) -> Array:
    """Capacity less demand by group and class: 0 or more where it is reached, NaN where it has no value."""
    margin = array(line.capacity) - array(line.demand)
    met = reaches(line.capacity, line.demand)
    found = np.where(met, np.maximum(margin, 0.0), margin)
    return np.broadcast_to(np.ravel(found), (len(GROUPS) * classes,)).reshape(len(GROUPS), classes)


def _budget(
    record: Record, group: str, classes: Array, margins: Mapping[str, Array], known: Mapping[str, Line]
) -> GroupBudget:
    assert record.gear.accuracy is not None
    drawn = _class_of(record.gear.accuracy, group, max)
    moved = {key: margin for key, margin in margins.items() if _moves(margin)}
    turning = {key: margin for key, margin in moved.items() if (margin >= 0).any()}
    always = tuple(known[key].title for key, margin in margins.items() if not (margin >= 0).any())
    meets = np.array(
        [all(margin[place] >= 0 for margin in turning.values()) for place in range(classes.size)]
    )
    place = _coarsest(meets, int(np.searchsorted(classes, drawn)))
    after = None if place is None or place + 1 >= classes.size else place + 1
    fallen = [] if after is None else [key for key, margin in turning.items() if not margin[after] >= 0]
    agreed = agreed_class(record)
    coarsest = None if place is None else float(classes[place])
    return GroupBudget(
        group=group,
        drawn=drawn,
        agreed=None if agreed is None else _class_of(agreed, group, min),
        classes=classes,
        meets=meets,
        coarsest=coarsest,
        first=tuple(known[key].title for key in fallen),
        has_value=after is None or all(np.isfinite(turning[key][after]) for key in fallen),
        again=() if after is None else tuple(float(one) for one in classes[after:][meets[after:]]),
        moved=tuple(moved),
        always=always,
        why="",
        confirmed=coarsest is None or _confirmed(record, group, coarsest, tuple(turning), fallen),
    )


def _class_of(accuracy: AccuracySpecification, group: str, pick: Any) -> float:
    if group != ALL:
        return float(accuracy.class_of(group))
    return float(pick(float(accuracy.class_of(one)) for one in Group))


def _moves(margin: Array) -> bool:
    known = margin[~np.isnan(margin)]
    return 0 < known.size < margin.size or (
        known.size > 0 and bool(np.ptp(known) > 1e-12 * np.abs(known).max())
    )


def _coarsest(meets: NDArray[np.bool_], drawn: int) -> int | None:
    """The last class that meets in one row with the class drawn, or with the next finer one that meets."""
    finer = np.flatnonzero(meets[: drawn + 1])
    if not finer.size:
        return None
    fails = np.flatnonzero(~meets[finer[-1] :])
    return int(finer[-1] + fails[0] - 1) if fails.size else meets.size - 1


def _confirmed(
    record: Record, group: str, coarsest: float, turning: tuple[str, ...], fallen: list[str]
) -> bool:
    """Whether plain calculations say the same: all met at the coarsest, the same fallen one class further."""
    names = [f"{one}_class" for one in Group] if group == ALL else [f"{group}_class"]

    def missed(number: float) -> set[str]:
        plain = _drawn_as(record, dict.fromkeys(names, number))
        found = {line.key: line for line in lines(plain, calculate(plain))}
        return {key for key in turning if not reaches(found[key].capacity, found[key].demand)}

    return not missed(coarsest) and (not fallen or missed(coarsest + 1) == set(fallen))
