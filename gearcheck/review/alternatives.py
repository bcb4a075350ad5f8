"""The same gear by the other reading of each clause and by the other edition: what it does to each margin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from enum import StrEnum

import numpy as np

from gearcheck.basics.numbers import array, plain
from gearcheck.basics.tables import table
from gearcheck.duty.damage import DamageSum
from gearcheck.review.agma import agma_beside
from gearcheck.review.chain import calculate
from gearcheck.review.inputs import Methods, Record
from gearcheck.review.reserves import reserve_factors
from gearcheck.review.stations import calculated
from gearcheck.stress.inputs import PRIMARY, StressEdition

EDITION = "edition"
SAME = 5e-5
"""A relative change of a margin that is none: what is printed does not move."""


@dataclass(frozen=True, kw_only=True)
class Effect:
    """What another reading does to one margin: capacity over demand, or a safety of the rating beside.

    The margin of a life under a duty is its torque reserve: a damage sum, in its high power of torque, would
    stand beside safeties like a stranger.
    """

    key: str
    title: str
    now: float
    other: float

    @property
    def change(self) -> float:
        """Relative change of the margin."""
        return self.other / self.now - 1


@dataclass(frozen=True, kw_only=True)
class Alternative:
    """One clause by another reading.

    Parameters
    ----------
    name : str
        The key in [methods.readings]; ``edition`` for the edition of the rating.
    clause, about : str
        Which clause it is, and how it can be read.
    used, other : str
        The reading that the record follows, and this one.
    primary : bool
        Whether the record follows the primary reading.
    effects : tuple of Effect
        The margins that it moves, the most first; empty where this gear does not feel it.
    """

    name: str
    clause: str
    about: str
    used: str
    other: str
    primary: bool
    effects: tuple[Effect, ...]


def alternatives(record: Record) -> tuple[Alternative, ...]:
    """Work the record out by every other reading of every clause.

    Parameters
    ----------
    record : Record
        Without arrays; without methods there is nothing to read another way.

    Returns
    -------
    tuple of Alternative
        In the order of the table of readings, the edition last.
    """
    if record.methods is None:
        return ()
    now = _margins(record)
    return tuple(_alternative(record, *case, now) for case in _cases(record.methods))


def _cases(methods: Methods) -> Iterator[tuple[str, str, str, StrEnum, StrEnum, bool, Methods]]:
    used = {item.name: getattr(methods.readings, item.name) for item in fields(methods.readings)}
    for row in table("readings").rows:
        name = row["name"]
        here = used[name]
        for option in type(here):
            if option is not here:
                other = replace(methods, readings=replace(methods.readings, **{name: option}))
                primary = here is getattr(PRIMARY, name)
                yield name, row["clause"], row["about"], here, option, primary, other
    for edition in StressEdition:
        if edition is not methods.stress:
            about = (
                "the whole rating by another edition; a class has to come from the tolerances that go with it"
            )
            other = replace(methods, stress=edition)
            newest = methods.stress is next(iter(StressEdition))
            yield EDITION, "Edition of the rating", about, methods.stress, edition, newest, other


def _alternative(
    record: Record,
    name: str,
    clause: str,
    about: str,
    used: StrEnum,
    other: StrEnum,
    primary: bool,
    methods: Methods,
    now: dict[str, tuple[str, float]],
) -> Alternative:
    then = _margins(replace(record, methods=methods))
    both = [(key, title, value, then[key][1]) for key, (title, value) in now.items() if key in then]
    moved = [
        Effect(key=key, title=title, now=value, other=changed)
        for key, title, value, changed in both
        if abs(changed / value - 1) > SAME
    ]
    moved.sort(key=lambda effect: -abs(effect.change))
    return Alternative(
        name=name,
        clause=clause,
        about=about,
        used=str(used),
        other=str(other),
        primary=primary,
        effects=tuple(moved),
    )


def _margins(record: Record) -> dict[str, tuple[str, float]]:
    """The title and the margin of each requirement that can be assessed, and of AGMA beside it."""
    found, chain = {}, calculate(record)
    known = tuple(calculated(record, chain))
    lives = tuple(line for line in known if line.method is DamageSum.method and not line.reason)
    for key, factor in reserve_factors(record, lives, chain).items():
        if np.isfinite(factor):
            title = next(line.title for line in lives if line.key == key)
            found[key] = title, float(factor)
    for line in known:
        if line.method is DamageSum.method:
            continue
        demand, capacity = plain(line.demand), plain(line.capacity)
        if not line.reason and demand is not None and capacity is not None and demand > 0 and capacity > 0:
            found[line.key] = line.title, float(array(capacity) / array(demand))
    for beside in agma_beside(record, chain):
        for row in beside.rows:
            if row.symbols[1] in ("S_H", "S_F") and row.agma is not None:
                title = f"{row.title}, ANSI/AGMA 2101"
                found[f"agma.{beside.mesh}.{row.title}"] = title, float(row.agma)
    return found
