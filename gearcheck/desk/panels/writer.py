"""Who writes: a name and a role, asked for once and kept by the browser."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.page import Page
from gearcheck.record.events import Person


class Writer(widgets.VBox):
    """Two lines to type in: everything that this browser writes carries them.

    Parameters
    ----------
    kept : Kept
        The record that is written to.
    page : Page
        That keeps name and role in the browser.
    say : Say
        Where trouble is told.
    """

    def __init__(self, kept: Kept, page: Page, say: Say) -> None:
        self._kept, self._page = kept, page
        self.name = widgets.Text(description="Written by", value=kept.person.name)
        self.role = widgets.Text(description="in the role", value=kept.person.role, placeholder="design")
        super().__init__([self.name, self.role])
        self.add_class("gc-control").add_class("gc-writer")
        for line in (self.name, self.role):
            line.observe(guarded(self._typed, say), "value")
        page.observe(guarded(self._known, say), "writer")

    def _typed(self, _: Any) -> None:
        person = Person(name=self.name.value.strip(), role=self.role.value.strip())
        self._kept.person = person
        self._page.writer = {"name": person.name, "role": person.role}

    def _known(self, _: Any) -> None:
        """The browser knows who writes."""
        known = {key: str(self._page.writer.get(key, ""))[:200] for key in ("name", "role")}
        if known["name"]:
            self.name.value, self.role.value = known["name"], known["role"]
