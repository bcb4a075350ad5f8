"""Work of some seconds beside the page: in a thread, so that the page still answers."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial
from typing import Any

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.state import running_loop


class Beside:
    """One piece of work at a time.

    Parameters
    ----------
    say : Say
        Where trouble is told.
    """

    def __init__(self, say: Say) -> None:
        self.at_work = False
        self._task: asyncio.Task[None] | None = None
        self._told = guarded(_tell, say)

    def start(self, work: Callable[[], Any], then: Callable[[Callable[[], Any]], None]) -> None:
        """Begin; while other work is under way, nothing.

        Parameters
        ----------
        work : callable
            Runs in a thread; at once where no event loop runs. It touches no widget.
        then : callable
            Called on the page's own thread with a function that gives the result, or raises what went wrong.
        """
        loop = running_loop()
        if loop is None:
            self._told(work, then)
        elif not self.at_work:
            self.at_work = True
            self._task = loop.create_task(self._beside(work, then))

    async def _beside(self, work: Callable[[], Any], then: Callable[[Callable[[], Any]], None]) -> None:
        try:
            result = partial(_given, await asyncio.to_thread(work))
        except Exception as error:  # noqa: BLE001 - the guard tells it
            result = partial(_raise, error)
        self.at_work = False
        self._told(result, then)


def _tell(result: Callable[[], Any], then: Callable[[Callable[[], Any]], None]) -> None:
    then(result)


def _given(found: Any) -> Any:
    return found


def _raise(error: Exception) -> Any:
    raise error
