"""The difference between two revisions: inputs that changed, and every margin that moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from gearcheck.basics.digits import decimals_text
from gearcheck.record.affected import both_of
from gearcheck.requirements.types import Calculation, Evidence, Requirement
from gearcheck.review.inputs import KINDS, Record
from gearcheck.review.leaves import Place, alike, leaf_of, leaves
from gearcheck.review.results import Review, Settled
from gearcheck.review.words import evidence_word, reserve_rank, reserve_text, share_text

_SAME = 1e-9
KIND_NAMES = {
    "pitch": "measured pitch",
    "profile": "profile traces",
    "helix": "helix traces",
    "case_depth": "measured case depth",
    "hardness": "measured hardness",
    "traverse": "hardness traverse",
    "residual_stress": "measured residual stress",
    "result": "inspection result",
}


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
        if not alike(was, now) and not (_follows(place, old) and _follows(place, new)):
            words = both_of(was, now, leaf)
            key = _key_words(leaf.key or _stock_key(place))
            found.append(InputChange(place=key, label=leaf.label, before=words[0], after=words[1]))
    return (*found, *_evidence(before, after))


def _follows(place: Place, given: Mapping[Place, Any]) -> bool:
    """Whether the stock of both flanks is said by that of each: only a gear with a case has these."""
    return not leaf_of(place).key and _each_flank(place) in given


def _each_flank(place: Place) -> Place:
    return (*place[:-2], "case", "left_stock_min_mm")


def _stock_key(place: Place) -> Place:
    return leaf_of(_each_flank(place)).key[:-2]


def _key_words(key: tuple[str | int, ...]) -> str:
    words = ""
    for step in key:
        words += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return words.lstrip(".")


def _evidence(before: Record, after: Record) -> Iterator[InputChange]:
    for kind in KINDS:
        old = {item.head.key: item for item in getattr(before, kind)}
        new = {item.head.key: item for item in getattr(after, kind)}
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
        finer = zip(_finer(was), _finer(now), strict=False)
        pairs = [next((pair for pair in finer if pair[0] != pair[1]), (was.sentence, now.sentence))]
    before, after = (", ".join(part for part in parts if part) for parts in zip(*pairs, strict=True))
    return before or "nothing", after or "nothing"


def _finer(item: Requirement) -> Iterator[str]:
    """What else is said of a requirement, where two would read alike: margins to more and more digits."""
    yield " ".join(f"{one.text} {one.why_stale}".strip() for one in item.findings) or "no evidence"
    for digits in (6, 9, 12):
        factor = item.reserve.factor if item.reserve else None
        yield "" if factor is None else f"torque reserve {factor:.{digits}g}"
        numbers = [f"{value:.{digits}g}" for value in (item.demand, item.capacity) if value is not None]
        yield f"{' of '.join(numbers)} {item.unit}".rstrip()
        measured = [f"{one.value:.{digits}g} of {one.limit:.{digits}g}" for one in item.findings]
        yield f"{', '.join(measured)} {item.unit} measured"
    yield item.cite


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
    numbers = zip(_numbers(was), _numbers(now), strict=False)  # a finding more or less is in the words
    return _words(was) != _words(now) or not all(alike(one, other) for one, other in numbers)


def _words(item: Requirement) -> tuple[Any, ...]:
    found = tuple((one.text, one.stale, one.ok) for one in item.findings)
    said = (item.native, item.reason, item.unit, item.cite, item.sentence)
    return item.by_calculation, item.by_evidence, said, found


def _numbers(item: Requirement) -> tuple[float | None, ...]:
    measured = [number for one in item.findings for number in (one.value, one.limit)]
    return item.demand, item.capacity, item.share, item.reserve.factor if item.reserve else None, *measured


_CALCULATED = (Calculation.MEETS, Calculation.NOT_ASSESSED, Calculation.FAILS)
_SHOWN = (Evidence.SHOWN, Evidence.NOT_NEEDED_YET, Evidence.OPEN, Evidence.STALE, Evidence.CONTRADICTED)
_LOST = 3  # stale is no better news than contradicted: what was found is only hidden


def _by(was: Requirement, now: Requirement) -> tuple[str, bool]:
    """By how much it moved, and whether it lost: in either answer, or by its margin where both stand."""
    words, lost = _margin(was, now)
    calculated = [_CALCULATED.index(item.by_calculation) for item in (was, now)]
    shown = [min(_SHOWN.index(item.by_evidence), _LOST) for item in (was, now)]
    if calculated[0] == calculated[1] and shown[0] == shown[1]:
        return words, lost
    return words, calculated[1] > calculated[0] or shown[1] > shown[0]


def _margin(was: Requirement, now: Requirement) -> tuple[str, bool]:
    first, second = reserve_rank(was.reserve), reserve_rank(now.reserve)
    if first is not None and second is not None:
        if was.reserve and now.reserve and was.reserve.factor and now.reserve.factor:
            change = 100 * (now.reserve.factor / was.reserve.factor - 1)
            return _signed(change, 2, " % of torque"), change < -_SAME
        return "", second < first
    if was.share is not None and now.share is not None:
        change = 100 * (now.share - was.share)
        return _signed(change, 1, " points of its limit"), change > _SAME
    if None not in (was.demand, was.capacity, now.demand, now.capacity):
        clear = [item.capacity - item.demand for item in (was, now)]  # type: ignore[operator]
        unit = f" {now.unit}" if now.unit else ""
        return _signed(clear[1] - clear[0], 3, f"{unit} of margin"), clear[1] < clear[0]
    return "", now.demand is None and was.demand is not None


def _signed(value: float, decimals: int, of: str) -> str:
    """A change with its sign; empty where it would be printed as none."""
    text = decimals_text(value, decimals)
    if not float(f"{value:.{decimals}f}"):
        return ""
    return f"{text if value < 0 else f'+{text}'}{of}"


def _solved(before: Review, after: Review) -> Iterator[Moved]:
    """The solved case depth stands beside the requirements; that it moved is said too."""
    old, new = ({item.mesh: item for item in whole.settled} for whole in (before, after))
    for mesh in dict.fromkeys([*old, *new]):
        was, now = _depth(old.get(mesh)), _depth(new.get(mesh))
        if not alike(was, now):
            words = [
                (decimals_text(was, digits, "mm"), decimals_text(now, digits, "mm")) for digits in (3, 6, 12)
            ]
            pair = next((pair for pair in words if pair[0] != pair[1]), words[-1])
            by = "" if was is None or now is None else _signed(now - was, 3, " mm")
            yield Moved(
                key=f"solved.{mesh}",
                title=f"Case depth solved against yielding, {mesh}",
                before=pair[0],
                after=pair[1],
                by=by,
                worse=now is None or (was is not None and now > was),
            )


def _depth(item: Settled | None) -> float | None:
    if item is None or item.required is None or item.required.depth_mm is None:
        return None
    return float(item.required.depth_mm)
