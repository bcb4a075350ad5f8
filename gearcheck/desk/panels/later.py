"""Work of a second or two for each draft that comes to rest, beside the page; what was found once is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import traitlets

from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.state import KEPT, Sheet
from gearcheck.review.agma import AgmaBeside, agma_beside
from gearcheck.review.alternatives import Alternative, alternatives
from gearcheck.review.chain import calculate
from gearcheck.review.failure_map import Against, FailureMap, failure_map
from gearcheck.review.inputs import Record
from gearcheck.review.shift_advice import ShiftAdvice, shift_advice

Draft = tuple[tuple[str, float], ...]


@dataclass(frozen=True, kw_only=True)
class Found:
    """What was worked out for one draft.

    Parameters
    ----------
    readings : tuple of Alternative
        The other reading of each clause.
    maps : tuple of FailureMap
        Over speed, and over life.
    advice : tuple of ShiftAdvice
        The balance of shifts.
    agma : tuple of AgmaBeside
        Each mesh by the other standard.
    now : tuple of float or None
        Speed and life of the gear itself.
    """

    readings: tuple[Alternative, ...]
    maps: tuple[FailureMap, ...]
    advice: tuple[ShiftAdvice, ...]
    agma: tuple[AgmaBeside, ...]
    now: tuple[float | None, ...]


def found_for(record: Record) -> Found:
    """Work out all of it for one record."""
    life = None if record.required is None else float(record.required.life_h)
    return Found(
        readings=alternatives(record),
        maps=tuple(failure_map(record, against) for against in Against),
        advice=shift_advice(record),
        agma=agma_beside(record, calculate(record)),
        now=(float(record.meshes[0].speed_rpm), life),
    )


class Later(traitlets.HasTraits):
    """What follows a draft at rest.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    say : Say
        Where trouble is told.

    Attributes
    ----------
    found : Found or None
        What was last worked out; None before the first time.
    waits : bool
        Whether that is still of another draft.
    """

    found = traitlets.Instance(Found, allow_none=True, default_value=None)
    waits = traitlets.Bool(True)

    def __init__(self, state: Sheet, say: Say) -> None:
        super().__init__()
        self._state, self._beside = state, Beside(say)
        self._known: dict[Draft, Found] = {}
        state.observe(guarded(self._moved, say), "draft")
        state.observe(guarded(self._rested, say), "rested")

    def _draft(self) -> Draft:
        return tuple(sorted(self._state.draft.items()))

    def _moved(self, _: Any) -> None:
        known = self._known.get(self._draft())
        with self.hold_trait_notifications():
            self.found, self.waits = known or self.found, known is None

    def _rested(self, _: Any) -> None:
        draft = self._draft()
        if draft in self._known:
            self._moved(None)
        else:
            self._beside.start(partial(found_for, self._state.drafted), partial(self._take, draft))

    def _take(self, draft: Draft, result: Callable[[], Found]) -> None:
        found = result()
        while len(self._known) >= KEPT:
            self._known.pop(next(iter(self._known)))
        self._known[draft] = found
        if draft == self._draft():
            self._moved(None)
        else:  # it moved meanwhile: what stands now is worked out next
            self._rested(None)
