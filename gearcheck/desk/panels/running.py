"""Work of many parts, on request: it tells how far it is, can be stopped, and keeps what is done."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import running_loop
from gearcheck.desk.words import text

_EVERY_S = 0.25  # shown no more often than this
_A_MINUTE = 90  # from so many seconds on, what is left is told in minutes
PATIENCE_S = 120.0
"""A page that was not heard of for so long is gone; one in the background speaks once a minute."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """What a run has so far: so much done of so much, and what was found."""

    done: int
    of: int
    found: Any


class Running:
    """A run with its button, its progress and its stop.

    Parameters
    ----------
    begin : callable
        Gives the parts one after the other; called at each start. They are worked out in a thread and touch
        no widget.
    show : callable
        Called on the page's own thread with what was found so far.
    say : Say
        Where trouble is told.
    start : str
        What the button says.
    counted : str
        What is counted, such as ``gears``.
    heard : callable, optional
        How many seconds ago the page was heard of.
    """

    def __init__(
        self,
        begin: Callable[[], Iterator[Part]],
        show: Callable[[Any], None],
        say: Say,
        *,
        start: str,
        counted: str,
        heard: Callable[[], float] = lambda: 0.0,
    ) -> None:
        self._begin, self._show, self._heard = begin, show, heard
        self._start, self._counted = start, counted
        self._parts: Iterator[Part] | None = None
        self._last: Part | None = None
        self._began = self._shown = 0.0
        self._stopped = self._came_to_end = False
        self._failure: Exception | None = None
        self._task: asyncio.Task[None] | None = None
        self._advance = guarded(self._take, say)
        self.widget = Piece(self._html, say, self._act)

    @property
    def at_work(self) -> bool:
        """Whether it runs."""
        return self._parts is not None

    def start(self) -> None:
        """Begin anew; to the end at once where no event loop runs. While it runs, nothing."""
        if self.at_work:
            return
        self._parts, self._last, self._failure = self._begin(), None, None
        self._stopped = self._came_to_end = False
        self._began, self._shown = time.monotonic(), 0.0
        loop = running_loop()
        if loop is None:
            for part in self._parts:
                self._last = part
            self._parts, self._came_to_end = None, True
            self._take()
        else:
            self._task = loop.create_task(self._run(self._parts))

    def stop(self) -> None:
        """Stop after the part that is under way, and keep what is done."""
        self._stopped = self.at_work
        self.widget.refresh()

    async def _run(self, parts: Iterator[Part]) -> None:
        """One part at a time, so that between two of them the page is heard."""
        try:
            while not self._stopped and self._heard() < PATIENCE_S:
                part = await asyncio.to_thread(next, parts, None)
                if part is None:
                    self._came_to_end = True
                    break
                self._last = part
                if time.monotonic() - self._shown > _EVERY_S:
                    self._advance()
        except Exception as error:  # noqa: BLE001 - the guard tells it
            self._failure = error
        self._parts = None
        self._advance()

    def _take(self) -> None:
        self._shown = time.monotonic()
        self.widget.refresh()
        if self._last is not None:
            self._show(self._last.found)
        if self._failure is not None:
            raise self._failure

    def _act(self, act: str) -> None:
        (self.start if act == "start" else self.stop)()

    def _html(self, _: Folds) -> str:
        last = self._last
        if self.at_work:
            done, of = (last.done, last.of) if last else (0, 1)
            stop = '<button type="button" class="gc-do" data-act="stop">stop, and keep what is done</button>'
            bar = f'<progress max="{of}" value="{done}" aria-label="{text(self._start)}"></progress>'
            return f'<p class="gc-running">{bar} <span>{self._told(last)}</span> {stop}</p>'
        word = self._start if last is None else f"{self._start}, anew"
        button = f'<button type="button" class="gc-do" data-act="start">{text(word)}</button>'
        return f'<p class="gc-running">{button} <span role="status">{self._ended(last)}</span></p>'

    def _ended(self, last: Part | None) -> str:
        if last is None:
            return ""
        if self._came_to_end:
            return f"Done: {last.done} {text(self._counted)}."
        how = "Failed" if self._failure else "Stopped"
        return f"{how}: {last.done} of {last.of} {text(self._counted)}."

    def _told(self, last: Part | None) -> str:
        if last is None or not last.done:
            return "beginning"
        left = (time.monotonic() - self._began) / last.done * (last.of - last.done)
        return f"{last.done} of {last.of} {text(self._counted)}, {left_words(left)} left"


def left_words(seconds: float) -> str:
    """Return a time that is left, as far as one can know it.

    Parameters
    ----------
    seconds : float
        0 or more.

    Returns
    -------
    str
        In seconds, or minutes where it is long.

    Examples
    --------
    >>> left_words(40.2), left_words(170.0)
    ('40 s', '3 min')
    """
    return f"{seconds:.0f} s" if seconds < _A_MINUTE else f"{seconds / 60:.0f} min"
