"""A piece of a sheet: HTML that changes in place, with folds that are filled when they are opened."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.words import text


class Folds:
    """Which folds of a piece the reader has opened."""

    def __init__(self) -> None:
        self.opened: set[str] = set()

    def fold(self, key: str, summary: str, body: Callable[[], str]) -> str:
        """Return a part that opens in place.

        Parameters
        ----------
        key : str
            Unique in its piece.
        summary : str
            HTML that always shows.
        body : callable
            Makes the HTML that shows when it is open; not called before.

        Returns
        -------
        str
            HTML.
        """
        is_open = key in self.opened
        inside = body() if is_open else ""
        return (
            f'<details class="gc-fold" data-fold="{text(key)}"{" open" if is_open else ""}>'
            f"<summary>{summary}</summary>{inside}</details>"
        )


class Piece(anywidget.AnyWidget):
    """HTML from a function of the state; refreshed, the page changes only what is new.

    Parameters
    ----------
    build : callable
        Takes the folds and returns HTML in which everything from a file is escaped.
    say : Say
        Where trouble is told.
    act : callable, optional
        Called with the ``data-act`` of what was clicked.
    """

    _esm = Path(__file__).parent / "piece.js"

    html = traitlets.Unicode("").tag(sync=True)

    def __init__(
        self, build: Callable[[Folds], str], say: Say, act: Callable[[str], None] | None = None
    ) -> None:
        self.folds = Folds()
        self._build, self._act = build, act
        super().__init__(html=build(self.folds))
        self.on_msg(guarded(self._hear, say))

    def refresh(self) -> None:
        """Build it again."""
        self.html = self._build(self.folds)

    def _hear(self, _: Any, message: Any, __: Any) -> None:
        if not isinstance(message, dict):
            return
        if "fold" in message:
            change = self.folds.opened.add if message.get("open") else self.folds.opened.discard
            change(str(message["fold"]))
            self.refresh()
        elif "act" in message and self._act is not None:
            self._act(str(message["act"]))
