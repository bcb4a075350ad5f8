"""The difference between two revisions: inputs that changed, and every margin that moved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from gearcheck.basics.digits import decimals_text
from gearcheck.record.affected import said_of
from gearcheck.requirements.types import Calculation, Evidence, Requirement
from gearcheck.review.carried import KINDS, evidence_key
from gearcheck.review.inputs import Record
from gearcheck.review.leaves import alike, leaf_of, leaves
from gearcheck.review.results import Review, Settled
from gearcheck.review.words import evidence_word, reserve_rank, reserve_text, share_text

_SAME = 1e-9
_SEEN = 0.005  # below it a change would be printed as none
KIND_NAMES = {"pitch": "measured pitch", "case_depth": "measured case depth", "hardness": "measured hardness"}


@dataclass(frozen=True, kw_only=True)
class InputChange:
    """One input that changed: its place in the gear file, its label, and both values in words."""

    place: str
    label: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.label}: {self.before} to {self.after}"


@dataclass(frozen=True, kw_only=True)
class Moved:
    """A requirement that moved; `by` says by how much, `worse` whether it lost."""

    key: str
    title: str
    before: str
    after: str
    by: str
    worse: bool

    def __str__(self) -> str:
        by = f" ({self.by})" if self.by else ""
        return f"{self.title}: {self.before}; now {self.after}{by}"


@dataclass(frozen=True, kw_only=True)
class Difference:
    """What changed from one revision to another.

    Parameters
    ----------
    inputs : tuple of InputChange
        In the order of the gear file; evidence last.
    moved : tuple of Moved
        What got worse first.
    """

    inputs: tuple[InputChange, ...]
    moved: tuple[Moved, ...]


def difference(before: Review, after: Review) -> Difference:
    """Compare two reviews of one part.

    Parameters
    ----------
    before, after : Review
        Complete.

    Returns
    -------
    Difference
        Empty in both parts where they say the same.
    """
    moved = [*_moved(before, after), *_solved(before, after)]
    return Difference(
        inputs=input_changes(before.record, after.record),
        moved=tuple(sorted(moved, key=lambda item: not item.worse)),
    )


def input_changes(before: Record, after: Record) -> tuple[InputChange, ...]:
    """Return the inputs that changed, evidence that came or went among them.

    Parameters
    ----------
    before, after : Record
        As read.

    Returns
    -------
    tuple of InputChange
        What follows from other inputs is not said twice.
    """
    old, new = leaves(before), leaves(after)
    found = []
    for place in dict.fromkeys([*old, *new]):
        leaf, was, now = leaf_of(place), old.get(place), new.get(place)
        follows = not leaf.key and before.gear.case is not None and after.gear.case is not None
        if not alike(was, now) and not follows:
            words = (said_of(was, leaf), said_of(now, leaf))
            key = _key_words(leaf.key)
            found.append(InputChange(place=key, label=leaf.label, before=words[0], after=words[1]))
    return (*found, *_evidence(before, after))


def _key_words(key: tuple[str | int, ...]) -> str:
    words = ""
    for step in key:
        words += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return words.lstrip(".")


def _evidence(before: Record, after: Record) -> Iterator[InputChange]:
    for kind in KINDS:
        old = {evidence_key(item): item for item in getattr(before, kind)}
        new = {evidence_key(item): item for item in getattr(after, kind)}
        gone = [_named(old[key]) for key in old if key not in new]
        come = [_named(new[key]) for key in new if key not in old]
        for name in dict.fromkeys([*gone, *come]):
            if name in gone and name in come:
                was, now = name, "other entries under the same name and date"
            else:
                was, now = (name, "nothing") if name in gone else ("nothing", name)
            yield InputChange(place=f"evidence.{kind}", label=KIND_NAMES[kind], before=was, after=now)


def _named(item: Any) -> str:
    return f"{item.head.source}, {item.head.applies_to}, {item.head.date}"


def _moved(before: Review, after: Review) -> Iterator[Moved]:
    old = {item.key: item for item in before.requirements}
    new = {item.key: item for item in after.requirements}
    for key in dict.fromkeys([*old, *new]):
        was, now = old.get(key), new.get(key)
        if was is None or now is None:
            there = was or now
            assert there is not None
            said = ", ".join(part for part in _stands(there) if part)
            words = ("not required", said) if was is None else (said, "not required")
            trouble = now is not None and now.troubled
            yield Moved(key=key, title=there.title, before=words[0], after=words[1], by="", worse=trouble)
        elif _differs(was, now):
            by, worse = _by(was, now)
            words = _both(was, now)
            yield Moved(key=key, title=now.title, before=words[0], after=words[1], by=by, worse=worse)


def _both(was: Requirement, now: Requirement) -> tuple[str, str]:
    """How it stood and how it stands: what both say alike is left out."""
    pairs = [pair for pair in zip(_stands(was), _stands(now), strict=True) if pair[0] != pair[1]]
    if not pairs:
        pairs = [(_finer(was), _finer(now))]
    before, after = (", ".join(part for part in parts if part) for parts in zip(*pairs, strict=True))
    return before or "nothing", after or "nothing"


def _finer(item: Requirement) -> str:
    """A margin to more digits than a sheet prints, where two would read alike."""
    if item.reserve is not None and item.reserve.factor is not None:
        return f"torque reserve {item.reserve.factor:.5f}"
    if item.demand is not None and item.capacity is not None:
        return f"{item.demand:.7g} of {item.capacity:.7g} {item.unit}"
    return "other evidence"


def _stands(item: Requirement) -> tuple[str, ...]:
    """How a requirement stands, in words: answers, native margin, reserve or share."""
    reserve = reserve_text(item.reserve)
    evidence = evidence_word(item)
    return (
        f"{item.by_calculation} by calculation",
        f"{evidence} by evidence" if evidence and item.by_evidence is not Evidence.NOT_NEEDED_YET else "",
        item.native or item.reason,
        f"torque reserve {reserve}" if reserve else share_text(item),
    )


def _differs(was: Requirement, now: Requirement) -> bool:
    return _numbers_differ(_numbers(was), _numbers(now)) or _words(was) != _words(now)


def _words(item: Requirement) -> tuple[Any, ...]:
    found = tuple((one.text, one.stale, one.ok) for one in item.findings)
    return item.by_calculation, item.by_evidence, item.reason, item.unit, item.cite, found


def _numbers(item: Requirement) -> tuple[float | None, ...]:
    return item.demand, item.capacity, item.share, item.reserve.factor if item.reserve else None


def _numbers_differ(one: tuple[float | None, ...], other: tuple[float | None, ...]) -> bool:
    pairs = zip(one, other, strict=True)
    return any(
        (a is None) != (b is None)
        or (a is not None and b is not None and abs(a - b) > _SAME * max(abs(a), abs(b)))
        for a, b in pairs
    )


_CALCULATED = (Calculation.MEETS, Calculation.NOT_ASSESSED, Calculation.FAILS)
_SHOWN = (Evidence.SHOWN, Evidence.NOT_NEEDED_YET, Evidence.OPEN, Evidence.STALE, Evidence.CONTRADICTED)


def _by(was: Requirement, now: Requirement) -> tuple[str, bool]:
    """By how much it moved, and whether it lost: by its answers first, then by its margin."""
    words, lost = _margin(was, now)
    for order, name in ((_CALCULATED, "by_calculation"), (_SHOWN, "by_evidence")):
        places = [order.index(getattr(item, name)) for item in (was, now)]
        if places[0] != places[1]:
            return words, places[1] > places[0]
    return words, lost


def _margin(was: Requirement, now: Requirement) -> tuple[str, bool]:
    first, second = reserve_rank(was.reserve), reserve_rank(now.reserve)
    if first is not None and second is not None:
        if was.reserve and now.reserve and was.reserve.factor and now.reserve.factor:
            change = 100 * (now.reserve.factor / was.reserve.factor - 1)
            return (f"{_signed(change, 2)} % of torque" if abs(change) > _SEEN else ""), change < -_SAME
        return "", second < first
    if was.share is not None and now.share is not None:
        change = 100 * (now.share - was.share)
        return (f"{_signed(change, 1)} points of its limit" if abs(change) > _SEEN else ""), change > _SAME
    if None not in (was.demand, was.capacity, now.demand, now.capacity):
        clear = [item.capacity - item.demand for item in (was, now)]  # type: ignore[operator]
        return f"{_signed(clear[1] - clear[0], 3)} {now.unit} of margin".replace("  ", " "), clear[1] < clear[
            0
        ]
    return "", now.demand is None and was.demand is not None


def _signed(value: float, decimals: int) -> str:
    text = decimals_text(value, decimals)
    return text if value < 0 else f"+{text}"


def _solved(before: Review, after: Review) -> Iterator[Moved]:
    """The solved case depth stands beside the requirements; that it moved is said too."""
    old = {item.mesh: item for item in before.settled}
    for now in after.settled:
        was = old.get(now.mesh)
        depths = (_depth(was), _depth(now))
        if was is None or not alike(*depths):
            words = tuple(decimals_text(depth, 3, "mm") if depth else "no value" for depth in depths)
            by = f"{_signed(depths[1] - depths[0], 3)} mm" if depths[0] and depths[1] else ""
            yield Moved(
                key=f"solved.{now.mesh}",
                title=f"Case depth solved against yielding, {now.mesh}",
                before=words[0],
                after=words[1],
                by=by,
                worse=bool(depths[0] and depths[1] and depths[1] > depths[0]),
            )


def _depth(item: Settled | None) -> float | None:
    if item is None or item.required is None or item.required.depth_mm is None:
        return None
    return float(item.required.depth_mm)
