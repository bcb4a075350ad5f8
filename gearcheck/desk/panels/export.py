"""The report of the record: a button, and the paths of what it wrote."""

from __future__ import annotations

import asyncio
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from gearcheck.basics.places import scenarios
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.state import Sheet, running_loop
from gearcheck.desk.words import text


def reports_folder(file: Path) -> Path:
    """Return where reports of a gear file go.

    Parameters
    ----------
    file : Path
        The gear file.

    Returns
    -------
    Path
        Beside the file; for a demo gear, which may lie in an installed package, in the user's home.
    """
    is_demo = file.resolve().is_relative_to(scenarios().resolve())
    return Path.home() / "gearcheck" / file.parent.name if is_demo else file.parent / "reports"


class ReportPanel:
    """The button and what came of it.

    Parameters
    ----------
    state : Sheet
        The state of the sheet; the report is that of its record, without the draft.
    file : Path
        The gear file.
    say : Say
        Where trouble is told.
    """

    def __init__(self, state: Sheet, file: Path, say: Say) -> None:
        self._state, self._folder = state, reports_folder(file)
        self._task: asyncio.Task[None] | None = None
        self.button = widgets.Button(description="Write the report")
        self.said = widgets.HTML(self._offer())
        self.button.on_click(guarded(self._clicked, say))
        self._told = guarded(self._tell, say)
        state.observe(guarded(self._redrafted, say), "draft")

    def _offer(self) -> str:
        draft = " The draft is not in it: a report says what the record says." if self._state.draft else ""
        return f"<p>Notebook and page go to {text(self._folder)}.{draft}</p>"

    def _redrafted(self, _: Any) -> None:
        if not self.button.disabled:
            self.said.value = self._offer()

    def _clicked(self, _: Any) -> None:
        self.button.disabled = True
        self.said.value = "<p>The report is being written; it takes some seconds.</p>"
        loop = running_loop()
        if loop is None:
            self._finish(self._write)
        else:
            self._task = loop.create_task(self._beside())

    async def _beside(self) -> None:
        try:
            paths = await asyncio.to_thread(self._write)
        except Exception as error:  # noqa: BLE001 - the guard tells it
            self._finish(partial(_raise, error))
        else:
            self._finish(lambda: paths)

    def _write(self) -> tuple[Path, ...]:
        from gearcheck.report.notebook import export

        return export(self._state.record, self._folder).paths

    def _finish(self, result: Any) -> None:
        self.button.disabled = False
        self.said.value = self._offer()
        self._told(result)

    def _tell(self, result: Any) -> None:
        paths = "".join(f"<li>{text(path)}</li>" for path in result())
        self.said.value = f'<p>Written:</p><ul class="gc-list" id="written">{paths}</ul>'


def _raise(error: Exception) -> None:
    raise error
