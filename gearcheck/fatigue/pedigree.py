"""Pedigree of the specimens: in what they differ from the part, and what answers each difference."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.inputs import Aspect, Difference, Transfer
from gearcheck.fatigue.transfers import FURTHER_BACK

PEDIGREE = Method(
    key="pedigree",
    title="Pedigree of the specimens",
    source="comparison of specimen and part",
    edition="",
    clause="",
    status=Status.COMMON_PRACTICE,
    implements=(
        "each difference is answered by a named transfer, by a reason, or stays open and counts",
        "stress ratios that are known stand for what is told of them",
    ),
    leaves_out=("whether a reason is a good one: that is for whoever signs",),
)


class State(StrEnum):
    """What stands behind one line of a pedigree."""

    ALIKE = "alike"
    TRANSFERRED = "answered by a transfer"
    REASONED = "answered by a reason"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True)
class PedigreeLine:
    """One line as it stands.

    Parameters
    ----------
    what : Aspect
        What is compared.
    specimen, part : str
        How it is of each; empty where nothing was said.
    state : State
        What stands behind it.
    answer : str
        Names of the transfers, or the reason; empty where it is alike or open.
    """

    what: Aspect
    specimen: str
    part: str
    state: State
    answer: str


@dataclass(frozen=True, kw_only=True)
class Pedigree(Result):
    """Specimen against part; a caution for each line that is open."""

    method: ClassVar[Method] = PEDIGREE
    lines: tuple[PedigreeLine, ...]
    count: Number = term("Lines", "n")
    alike: Number = term("Alike", "n_a", words="specimen and part are told in the same words")
    transferred: Number = term("Answered by a transfer", "n_t", words="its name stands beside it")
    reasoned: Number = term("Answered by a reason", "n_r", words="the reason stands beside it")
    open: Number = term("Open", "n_o", "", "n - n_a - n_t - n_r")


def pedigree(
    *,
    differences: Sequence[Difference],
    transfers: Sequence[Transfer],
    test_ratio: float | None = None,
    part_ratio: float | None = None,
) -> Pedigree:
    """Return the pedigree of the specimens, with what stays open.

    n = alike + answered by a transfer + answered by a reason + open

    Parameters
    ----------
    differences : sequence of Difference
        One for each aspect at most; an aspect that nobody speaks of is open.
    transfers : sequence of Transfer
        All that the strength goes through.
    test_ratio, part_ratio : float or None
        R_t and R_p, where both are known: they stand in their line for what is told. No reason answers
        for a part that is bent further back than its specimens by more than 0.1.

    Returns
    -------
    Pedigree
        One line for each aspect, in their order.

    Raises
    ------
    InputError
        Two differences of one aspect.

    Notes
    -----
    Source: common practice.
    Valid for: specimens that are all alike; where they are not, one pedigree for each kind.
    Departures: none.
    Checked: PEDIGREE-COUNT.

    Examples
    --------
    >>> told = [Difference(what=Aspect.CASE, specimen="0.8 mm", part="0.9 mm", reason="within 0.1 mm")]
    >>> found = pedigree(differences=told, transfers=[])
    >>> found.reasoned, found.open
    (1.0, 11.0)
    """
    faults = Faults()
    told: dict[Aspect, Difference] = {}
    for one in differences:
        faults.need(one.what not in told, f"differences, {one.what}", "twice", "one line for each aspect")
        told[one.what] = one
    faults.check()
    said = told.get(Aspect.STRESS_RATIO)
    if test_ratio is not None and part_ratio is not None:
        told[Aspect.STRESS_RATIO] = _of_ratios(said, test_ratio, part_ratio)
    lines = tuple(_line(what, told.get(what), transfers) for what in Aspect)
    states = Counter(line.state for line in lines)
    return Pedigree(
        lines=lines,
        count=len(lines),
        alike=states[State.ALIKE],
        transferred=states[State.TRANSFERRED],
        reasoned=states[State.REASONED],
        open=states[State.OPEN],
        notices=(
            *_open(lines),
            *_unneeded(lines, transfers),
            *_told_otherwise(said, told.get(Aspect.STRESS_RATIO)),
        ),
    )


def _of_ratios(said: Difference | None, test_ratio: float, part_ratio: float) -> Difference:
    """The line of the stress ratio as it is, whatever is told of it."""
    reasoned = said is not None and part_ratio >= test_ratio - FURTHER_BACK
    return Difference(
        what=Aspect.STRESS_RATIO,
        specimen=number_text(test_ratio, 3),
        part=number_text(part_ratio, 3),
        reason=said.reason if said is not None and reasoned else "",
    )


def _told_otherwise(said: Difference | None, known: Difference | None) -> tuple[Notice, ...]:
    """A caution where somebody called stress ratios alike that are not."""
    if said is None or known is None or _alike(known) or not _alike(said):
        return ()
    text = (
        f"The stress ratio is told to be {said.specimen.strip()} of specimen and part; it is "
        f"{known.specimen} in the tests and {known.part} in the gear."
    )
    return (Notice(Level.CAUTION, f"{PEDIGREE.key}.told_otherwise", text),)


def _alike(told: Difference) -> bool:
    specimen, part = told.specimen.strip(), told.part.strip()
    return bool(specimen) and specimen.casefold() == part.casefold()


def _line(what: Aspect, told: Difference | None, transfers: Sequence[Transfer]) -> PedigreeLine:
    specimen, part = (told.specimen.strip(), told.part.strip()) if told else ("", "")
    answer = " and ".join(transfer.name for transfer in transfers if what in transfer.covers)
    state = State.TRANSFERRED if answer else State.OPEN
    if told and _alike(told):
        state, answer = State.ALIKE, ""
    elif not answer and told and told.reason.strip():
        state, answer = State.REASONED, told.reason.strip()
    return PedigreeLine(what=what, specimen=specimen, part=part, state=state, answer=answer)


def _open(lines: Sequence[PedigreeLine]) -> tuple[Notice, ...]:
    said = []
    for line in lines:
        if line.state is State.OPEN:
            told = f"specimen {line.specimen or 'not told'}, part {line.part or 'not told'}"
            text = f"Open between specimen and part: {line.what} ({told}); nothing answers for it."
            said.append(Notice(Level.CAUTION, f"{PEDIGREE.key}.open", text))
    return tuple(said)


def _unneeded(lines: Sequence[PedigreeLine], transfers: Sequence[Transfer]) -> tuple[Notice, ...]:
    """A caution for each transfer that stands for nothing but what is alike."""
    alike = {line.what for line in lines if line.state is State.ALIKE}
    return tuple(
        Notice(
            Level.CAUTION,
            f"{PEDIGREE.key}.unneeded",
            f"{transfer.name} covers {' and '.join(transfer.covers)}, in which specimen and part are alike.",
        )
        for transfer in transfers
        if transfer.covers and set(transfer.covers) <= alike
    )
