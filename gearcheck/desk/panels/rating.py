"""The rating as a chain: each step a sentence with its number and formula, and its source in the margin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields

import numpy as np

from gearcheck.basics.digits import NO_VALUE
from gearcheck.basics.numbers import array
from gearcheck.basics.results import Result
from gearcheck.desk.panels.numbers import marked, notices, source
from gearcheck.desk.panels.rating_steps import Group, Step
from gearcheck.desk.words import text
from gearcheck.report.workings import WorkingLine, working_lines
from gearcheck.review.results import MemberChain, MeshChain

_ONE = 5e-4  # a factor closer to 1 is 1 in the digits shown

Lines = Mapping[str, WorkingLine]
"""The lines of one result by the name of their field."""


class Chained:
    """The results of one mesh by the names under which the steps ask for them; both gears where they differ.

    Parameters
    ----------
    mesh : MeshChain
        As drafted, or as it stands in the record.
    """

    def __init__(self, mesh: MeshChain) -> None:
        self.mesh = mesh
        self._lines: dict[int, Lines] = {}

    def members(self) -> tuple[tuple[str, MemberChain], ...]:
        """The gear under review and its mate, with their names."""
        return ("gear", self.mesh.gear), (self.mesh.name, self.mesh.mate)

    def result(self, name: str, member: MemberChain) -> Result | None:
        """The result of that name: of the gear where it has one, else of the mesh, or a part of it."""
        home, _, part = name.partition(".")
        if not home:
            return None
        if home == "contact":  # a gear has a flank too: its safety
            found: object = self.mesh.flank
        else:
            found = getattr(member if home in _OF_A_GEAR else self.mesh, home, None)
        if part and found is not None:
            found = getattr(found, part, None)
        return found if isinstance(found, Result) else None

    def line(self, step: Step, member: MemberChain) -> WorkingLine | None:
        """The line of a step for one gear; None where a section or a term is missing."""
        result = self.result(step.result, member)
        if result is None:
            return None
        if id(result) not in self._lines:
            self._lines[id(result)] = {line.name: line for line in working_lines(result)}
        return self._lines[id(result)].get(_field(step, member))

    def is_one(self, step: Step, member: MemberChain) -> bool:
        """Whether the number of a step is 1 for a gear, or there is none."""
        result = self.result(step.result, member)
        value = None if result is None else getattr(result, _field(step, member), None)
        return value is None or bool(np.all(np.abs(array(value) - 1) < _ONE))

    def words(self, step: Step, member: MemberChain) -> str:
        """The sentence of a step with the numbers that it names."""
        result = self.result(step.result, member)
        if result is None or "{" not in step.sentence:
            return step.sentence
        self.line(step, member)  # so that the lines are there
        # a sentence says rpm, as do the inputs
        known = {name: line.value.replace("1/min", "rpm") for name, line in self._lines[id(result)].items()}
        return step.sentence.format_map({**known, "gear": "the gear", "mate": self.mesh.name})


_OF_A_GEAR = frozenset(item.name for item in fields(MemberChain))


def _field(step: Step, member: MemberChain) -> str:
    return step.term.replace("{member}", str(member.member))


def group_html(group: Group, now: Chained, record: Chained) -> str:
    """Return one group of steps.

    Parameters
    ----------
    group : Group
        Which.
    now, record : Chained
        As drafted, and as it stands in the record; the same where there is no draft.

    Returns
    -------
    str
        HTML: its heading, and a row for each step.
    """
    mesh = now.mesh
    rows = "".join(_rows(group, now, record))
    if not rows and group.optional:
        return ""
    if not rows:
        why = mesh.missing or getattr(mesh.gear, group.reason, "") or "a stop leaves no value"
        rows = _row(f"<p>{marked(f'Not worked out: {why}.')}</p>", "", "")
    return (
        f'<section class="gc-chain" id="{group.key}"><div class="gc-row"><div class="gc-main">'
        f'<h3>{text(group.title)}</h3></div><div class="gc-margin"></div></div>{rows}</section>'
    )


def _rows(group: Group, now: Chained, record: Chained) -> Iterator[str]:
    last = ""
    for step in group.steps:
        found = _step_html(step, now, record)
        if found is None:
            continue
        main, number, result = found
        cited = source(result.method.cite, result.method.status)
        margin = "" if cited == last else cited + notices(result.notices)
        last = cited
        yield _row(main, number, margin)


def _step_html(step: Step, now: Chained, record: Chained) -> tuple[str, str, Result] | None:
    gear = now.mesh.gear
    result, line = now.result(step.result, gear), now.line(step, gear)
    if result is None or line is None or now.result(step.unless, gear) is not None:
        return None
    if line.given and line.value == NO_VALUE:
        return None
    if step.quiet and all(now.is_one(step, member) for _, member in now.members()):
        return None
    said = f"<p>{marked(now.words(step, gear))}</p>"
    if not line.given:
        said += f'<p class="gc-formula">{marked(_formula(line))}</p>'
    elif step.note:
        said += f'<p class="gc-formula">{marked(f"{line.symbol}: {step.note}")}</p>'
    return said, _numbers(step, now, record), result


def _formula(line: WorkingLine) -> str:
    """The formula with its numbers, or the rule in words; its value stands beside it."""
    if not line.expression:
        return f"{line.symbol}: {line.words}"
    return " = ".join(part for part in (line.symbol, line.expression, line.numbers) if part)


def _numbers(step: Step, now: Chained, record: Chained) -> str:
    """The number of a step: one, or one for each gear, each with that of the record where it moved."""
    pairs = list(zip(now.members(), record.members(), strict=True))
    if step.shared:
        pairs = pairs[:1]
    return "".join(
        _number(now.line(step, member), record.line(step, before), "" if step.shared else name)
        for (name, member), (_, before) in pairs
    )


def _number(line: WorkingLine | None, before: WorkingLine | None, name: str) -> str:
    if line is None:
        return ""
    was = "" if before is None or before.value == line.value else f"<i>record {text(before.value)}</i>"
    whose = f"<small>{text(name)}</small> " if name else ""
    return f"<p>{whose}<span>{marked(line.symbol)} = <b>{text(line.value)}</b></span>{was}</p>"


def _row(main: str, number: str, margin: str) -> str:
    return (
        f'<div class="gc-row gc-link"><div class="gc-main"><div class="gc-told-step">{main}</div>'
        f'<div class="gc-figures">{number}</div></div><div class="gc-margin">{margin}</div></div>'
    )


def tightest(mesh: MeshChain) -> float:
    """The least safety of a mesh over what is agreed for it; infinite where none is known."""
    known = [
        float(array(result.safety) / array(result.required_safety))
        for member in (mesh.gear, mesh.mate)
        for result in (member.flank, member.root_safety)
        if result is not None and result.safety is not None
    ]
    return min(known, default=float("inf"))
