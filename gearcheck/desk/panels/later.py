"""Work of a second or two for each draft that comes to rest, beside the page; what was found once is kept."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import traitlets

from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.state import KEPT, Sheet
from gearcheck.review.inputs import Record

Draft = tuple[tuple[str, float], ...]


class Later(traitlets.HasTraits):
    """What follows a draft at rest.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    say : Say
        Where trouble is told.
    work : callable
        Works it out for a record.

    Attributes
    ----------
    found : object or None
        What was last worked out; None before the first time.
    waits : bool
        Whether that is still of another draft.
    """

    found = traitlets.Any(None)
    waits = traitlets.Bool(True)

    def __init__(self, state: Sheet, say: Say, work: Callable[[Record], Any]) -> None:
        super().__init__()
        self._state, self._beside, self._work = state, Beside(say), work
        self._known: dict[Draft, Any] = {}
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
            self._beside.start(partial(self._work, self._state.drafted), partial(self._take, draft))

    def _take(self, draft: Draft, result: Callable[[], Any]) -> None:
        found = result()
        while len(self._known) >= KEPT:
            self._known.pop(next(iter(self._known)))
        self._known[draft] = found
        if draft == self._draft():
            self._moved(None)
        else:  # it moved meanwhile: what stands now is worked out next
            self._rested(None)


def waiting_html(later: Later, build: Callable[[Any], str]) -> str:
    """Return what was worked out, in grey while it is still that of another draft."""
    if later.found is None:
        return '<p class="gc-settling">Being worked out</p>'
    waits = ' class="gc-settling"' if later.waits else ""
    return f"<div{waits}>{build(later.found)}</div>"
