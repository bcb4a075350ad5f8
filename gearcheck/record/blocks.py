"""What stands between a record and its signatures, in plain sentences."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.basics.errors import Faults
from gearcheck.record.book import Book
from gearcheck.record.dispositions import due
from gearcheck.record.standing import State, conceded, state_of, why_moved
from gearcheck.requirements.types import Calculation, Evidence, Requirement
from gearcheck.review.inspected import waits_for
from gearcheck.review.results import Review
from gearcheck.review.whole import blocking
from gearcheck.review.words import lower_first


@dataclass(frozen=True, kw_only=True)
class Block:
    """One thing that blocks; `about` is the key of the requirement or characteristic, empty for neither."""

    about: str
    text: str

    def __str__(self) -> str:
        return self.text


def blocks(whole: Review, book: Book) -> tuple[Block, ...]:
    """Say what blocks signing.

    Parameters
    ----------
    whole : Review
        Of the revision that holds.
    book : Book
        Of the record.

    Returns
    -------
    tuple of Block
        What fails first; none where the report may be put before the signers.
    """
    # what is conceded for one part says nothing of another that contradicts it too
    elsewhere = {one.key for item in due(whole, book) for one in item.requirements}
    granted = conceded(whole, book) - elsewhere
    items = [item for item in blocking(whole) if item.key not in granted]
    items.sort(key=_how_bad)
    found = [Block(about=item.key, text=_sentence(item, whole, book)) for item in items]
    if not book.roles:
        found.append(Block(about="", text="Nobody is named to sign: set the roles that have to."))
    return tuple(found)


def _how_bad(item: Requirement) -> tuple[int, int]:
    """What fails first, then what is not known, contradicted, stale, open."""
    calculated = (Calculation.FAILS, Calculation.NOT_ASSESSED, Calculation.MEETS)
    shown = (Evidence.CONTRADICTED, Evidence.STALE, Evidence.OPEN, Evidence.SHOWN, Evidence.NOT_NEEDED_YET)
    return calculated.index(item.by_calculation), shown.index(item.by_evidence)


def add_blocks(faults: Faults, whole: Review, book: Book) -> None:
    """Note what blocks signing as faults; takes besides what `blocks` takes."""
    for one in blocks(whole, book):
        faults.add("signing", "a record with an open point", "none", one.text)


def _sentence(item: Requirement, whole: Review, book: Book) -> str:
    said = f"{item.title} {_what(item, whole).rstrip('.')}."
    stale = [one for one in book.concessions if one.about == item.key and state_of(one, whole) is State.STALE]
    if stale:
        said += f" Concession {stale[-1].number} no longer covers it: {why_moved(stale[-1], whole)}."
    return f"{said} {_lifts(item)}"


def _what(item: Requirement, whole: Review) -> str:
    if item.by_calculation is Calculation.FAILS:
        return f"fails by calculation: {item.native}"
    if item.by_calculation is Calculation.NOT_ASSESSED:
        return f"is not assessed: {item.reason}"
    if item.by_evidence is Evidence.CONTRADICTED:
        wrong = "; ".join(one.text.rstrip(".") for one in item.findings if one.contradicts)
        return f"is contradicted by evidence: {lower_first(wrong)}"
    if item.by_evidence is Evidence.STALE:
        why = "; ".join(dict.fromkeys(one.why_stale for one in item.findings if one.stale))
        return f"has stale evidence: {why}"
    return f"is open by evidence: {waits_for(whole.inspected, item)}"


def _lifts(item: Requirement) -> str:
    if item.by_calculation is Calculation.MEETS:
        return "Evidence that shows it, or a concession, lifts this."
    if item.by_calculation is Calculation.NOT_ASSESSED:
        return "The missing input, or a concession, lifts this."
    return "A change that meets it, or a concession, lifts this."


def open_points(book: Book) -> str:
    """Say how many questions and actions are open; they do not block.

    Parameters
    ----------
    book : Book
        Of the record.

    Returns
    -------
    str
        A sentence.
    """
    counts = (
        (sum(item.answered is None for item in book.questions), "question"),
        (sum(item.done is None for item in book.actions), "action"),
    )
    said = [f"{count} {word}{'s'[: count != 1]}" for count, word in counts if count]
    if not said:
        return "No question and no action is open."
    only = counts[0][0] + counts[1][0] == 1
    return f"{' and '.join(said)} {'is' if only else 'are'} open; that does not block signing."
