"""A piece of a sheet: HTML that changes in place, with folds that are filled when they are opened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from gearcheck.basics.errors import InputError
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
    form : callable, optional
        Called with the ``data-form`` of a form and what was typed into it. When it returns, the form is done
        and the folds that hold it close; what it raises stands beside the form, and what was typed stays.
    chosen : callable, optional
        Called with the ``data-form`` of a form that carries ``data-live``, and what stands in it, whenever a
        choice in it changed: what follows from the choice is then shown.
    """

    _esm = Path(__file__).parent / "piece.js"

    html = traitlets.Unicode("").tag(sync=True)

    def __init__(
        self,
        build: Callable[[Folds], str],
        say: Say,
        act: Callable[[str], None] | None = None,
        form: Callable[[str, Mapping[str, str]], None] | None = None,
        chosen: Callable[[str, Mapping[str, str]], None] | None = None,
    ) -> None:
        self.folds = Folds()
        self._build, self._act, self._form, self._chosen = build, act, form, chosen
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
            self.refresh()
        elif "form" in message and self._form is not None:
            self._take(message)
        elif "chosen" in message and self._chosen is not None:
            self._chosen(str(message["chosen"]), _values(message))
            self.refresh()

    def _take(self, message: Mapping[str, Any]) -> None:
        """Hand on what was typed, and tell the page what became of it."""
        name, values = str(message["form"]), _values(message)
        assert self._form is not None
        told: dict[str, Any] = {"refused": name, "why": []}  # a fault of the program stands in the bar
        try:
            self._form(name, values)
        except InputError as error:
            told["why"] = [str(fault) for fault in error.faults]
            self.refresh()
            if f'data-form="{text(name)}"' not in self.html:  # the form is gone: nothing stands beside it
                raise
        else:
            self.folds.opened -= {str(fold) for fold in message.get("folds", ())}
            told = {"taken": name}
        finally:
            self.send(told)
        self.refresh()


def _values(message: Mapping[str, Any]) -> dict[str, str]:
    given = message.get("values")
    return {str(key): str(value) for key, value in given.items()} if isinstance(given, dict) else {}
