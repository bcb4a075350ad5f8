"""The answers that a verification gives: whether it holds, and plain sentences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Answer:
    """One answer.

    Parameters
    ----------
    ok : bool or None
        Whether it holds; None where it cannot be said.
    words : tuple of str
        Why, in sentences.
    """

    ok: bool | None
    words: tuple[str, ...]


def answer(faults: Sequence[str], unknown: Sequence[str], *, well: str) -> Answer:
    """Return what faults and open points make of an answer.

    Parameters
    ----------
    faults, unknown : sequence of str
        What does not hold, and what cannot be said.
    well : str
        What is said where there is neither.

    Returns
    -------
    Answer
        Faults first.
    """
    if faults:
        return Answer(ok=False, words=tuple(dict.fromkeys((*faults, *unknown))))
    if unknown:
        return Answer(ok=None, words=tuple(unknown))
    return Answer(ok=True, words=(well,))
