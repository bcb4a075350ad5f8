"""The review as plain text for a terminal: outcome, ladder of reserves, what blocks, notices."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from gearcheck.basics.digits import decimals_text
from gearcheck.basics.methods import Level, Method
from gearcheck.basics.tables import Table
from gearcheck.requirements.types import Calculation, Requirement, Scale
from gearcheck.review.results import Review
from gearcheck.review.sources import SourceEntry, row_statuses
from gearcheck.review.whole import blocking, blocking_words, outcome
from gearcheck.review.words import answers_text, evidence_word, reserve_rank, share_text

_STEP = 0.05  # of the torque reserve, one character of a bar
_LEFT, _RIGHT = 14, 20


def text_report(whole: Review) -> str:
    """Print a review for a terminal.

    Parameters
    ----------
    whole : Review
        Complete, or without the slower work.

    Returns
    -------
    str
        Lines of plain text.
    """
    part = whole.record.part
    lines = [
        f"{part.number}  {part.title}  revision {part.revision}, {part.stage} review",
        outcome(whole),
        *_ladder(whole.requirements),
        *_others(whole.requirements),
        *_blocking(whole),
        *_contradictions(whole.requirements),
        *_notices(whole),
    ]
    return "\n".join(lines) + "\n"


def _assessed(items: Iterable[Requirement], *scales: Scale) -> list[Requirement]:
    return [
        item for item in items if item.scale in scales and item.by_calculation is not Calculation.NOT_ASSESSED
    ]


def _ladder(items: Sequence[Requirement]) -> Iterator[str]:
    found = sorted(_assessed(items, Scale.TORQUE), key=_reserve)
    if not found:
        return
    width = max(len(item.title) for item in found)
    scale = f"{'0.5':>{_LEFT - 8}}{'1.0':>10}{'1.5':>10}{'2.0':>10}"
    yield from ("", f"{'Torque reserve, worst first':<{38 + width}}{scale}")
    for item in found:
        assert item.reserve is not None
        number = "" if item.reserve.words else decimals_text(item.reserve.factor, 2)
        drawn = f"{'':{_LEFT}}| {item.reserve.words}" if item.reserve.words else bar(_reserve(item))
        beside = f"  ({item.beside})" if item.beside else ""
        yield f"{_answers(item)}{item.title:<{width}}  {number:>5} {drawn}{beside}"


def _reserve(item: Requirement) -> float:
    rank = reserve_rank(item.reserve)
    assert rank is not None
    return rank


def _answers(item: Requirement) -> str:
    return f"{item.by_calculation:<14}{evidence_word(item):<16}"


def bar(factor: float) -> str:
    """Return the torque reserve as a bar that leaves the line of 1.0: ``#`` to the left, ``=`` to the right.

    Parameters
    ----------
    factor : float
        The reserve; beyond 0.3 and 2.0 the bar ends with an arrow.

    Returns
    -------
    str
        One character for 0.05.

    Examples
    --------
    >>> bar(1.2)
    '              |===='
    >>> bar(0.9)
    '            ##|'
    """
    steps = round((factor - 1.0) / _STEP)
    if steps <= 0:
        size = min(-steps, _LEFT)
        return (("<" + "#" * (size - 1)) if -steps > _LEFT else "#" * size).rjust(_LEFT) + "|"
    full = "=" * min(steps, _RIGHT)
    return " " * _LEFT + "|" + (full[:-1] + ">" if steps > _RIGHT else full)


def _others(items: Sequence[Requirement]) -> Iterator[str]:
    shares = _assessed(items, Scale.SHARE)
    if shares:
        yield from ("", "Share of the tolerance or limit used")
        for item in sorted(shares, key=lambda item: -(item.share or 0.0)):
            said = f"{share_text(item)}; {item.native}" if item.share is not None else item.native
            yield f"{_answers(item)}{item.title}: {said}"
    words = _assessed(items, Scale.WORDS)
    if words:
        yield from ("", "In words")
        yield from (f"{_answers(item)}{item.title}: {item.native}" for item in words)
    unknown = [item for item in items if item.by_calculation is Calculation.NOT_ASSESSED]
    if unknown:
        yield from ("", "Not assessed")
        yield from (f"{_answers(item)}{item.title}: {item.reason}" for item in unknown)


def _blocking(whole: Review) -> Iterator[str]:
    items = blocking(whole)
    said = blocking_words(whole)
    yield from ("", f"{said[:-1]}:" if items else said)
    yield from (f"  {item.title}: {answers_text(item)}" for item in items)


def _contradictions(items: Sequence[Requirement]) -> Iterator[str]:
    wrong = [finding for item in items for finding in item.findings if finding.contradicts]
    if wrong:
        yield from ("", "Contradicted by evidence:")
        yield from (f"  {item.text} ({item.source}, {item.applies_to}, {item.date})" for item in wrong)


def _notices(whole: Review) -> Iterator[str]:
    found = [item for item in whole.notices if item.level in (Level.STOP, Level.CAUTION)]
    if found:
        yield ""
        yield from (
            f"{item.level.capitalize()}: {item.text}"
            for item in sorted(found, key=lambda item: item.level is not Level.STOP)
        )


def sources_text(entries: Iterable[SourceEntry]) -> str:
    """Print the ledger of sources for a terminal.

    Parameters
    ----------
    entries : iterable of SourceEntry
        From `ledger` or `resting_on`.

    Returns
    -------
    str
        Lines of plain text.
    """
    lines = []
    for entry in entries:
        lines.append(f"{entry.cite} ({entry.weakest})")
        lines += [f"  method  {_placed(item)}; {item.status}" for item in entry.methods]
        for item in entry.tables:
            rows = ", ".join(f"{count} {status}" for status, count in row_statuses(item).items())
            lines.append(f"  table   {_placed(item)}; rows: {rows}")
    return "\n".join(lines) + "\n"


def _placed(item: Method | Table) -> str:
    """Its title, with the place in the document where one is known."""
    return f"{item.title}: {item.clause}" if item.clause else item.title
