"""Work of a second for the tests that are shown, beside the page: done anew where what it rests on moved."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import partial
from typing import Any

import traitlets

from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_view import FatigueView

Job = tuple[Hashable, Callable[[], Any]]


class FatigueLater(traitlets.HasTraits):
    """What follows the tests that are shown, and what is asked of them.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    say : Say
        Where trouble is told.
    job : callable
        Gives what the work rests on, and the work, which touches no widget; None where there is none.

    Attributes
    ----------
    found : object or None
        What was last worked out; None where there is none, or before the first time.
    waits : bool
        Whether that is still of what was asked before.
    """

    found = traitlets.Any(None)
    waits = traitlets.Bool(True)

    def __init__(self, view: FatigueView, say: Say, job: Callable[[], Job | None]) -> None:
        super().__init__()
        self._job, self._beside = job, Beside(say)
        self._of: Hashable = None
        view.observe(guarded(lambda _: self._moved(), say), ["moved", "refits"])
        self._moved()

    def _moved(self) -> None:
        job = self._job()
        if job is None:
            with self.hold_trait_notifications():
                self._of, self.found, self.waits = None, None, False
            return
        key, work = job
        self.waits = key != self._of
        if self.waits:
            self._beside.start(work, partial(self._take, key))

    def _take(self, key: Hashable, result: Callable[[], Any]) -> None:
        self._of = key  # what fails is told once, not at each move
        found = result()
        with self.hold_trait_notifications():
            self.found, self.waits = found, False
        self._moved()  # it may have moved meanwhile
