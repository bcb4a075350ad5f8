"""One station: its sentence always, and on request in place its charts, requirements and workings."""

from __future__ import annotations

from functools import partial
from typing import Any, cast

import ipywidgets as widgets

from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.beside import write_beside
from gearcheck.desk.panels.controls import controls
from gearcheck.desk.panels.needs import needs_html, tried
from gearcheck.desk.panels.numbers import notices
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.sentences import argument_html, lead_html
from gearcheck.desk.panels.workings import workings_html
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.figures.ladder import wants_a_look
from gearcheck.figures.stations import Column, Named, drawings

STEP = "duty.step"
"""The key of the notices that say at which step of a duty a result is worked out."""


class Station:
    """One station of a sheet.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    name : str
        Its name.
    say : Say
        Where trouble is told.
    opened : bool
        Whether it is open at first.
    kept : Kept, optional
        The record that decisions beside its requirements are written to.
    """

    def __init__(self, state: Sheet, name: str, say: Say, *, opened: bool, kept: Kept | None = None) -> None:
        self.state, self.name, self.opened = state, name, opened
        self.head = Piece(self._head, say, self._act).add_class("gc-main")
        self.argument = Piece(self._argument, say)
        writes = None if kept is None else partial(write_beside, kept)
        self.needs = Piece(lambda folds: needs_html(state, name, folds, kept), say, self._act, writes)
        self.works = Piece(lambda folds: workings_html(state.shown, name, folds), say)
        self.notes = Piece(self._notes, say).add_class("gc-margin")
        self.charts = {item.title: SharedChart() for item in drawings(state.ghost, state.ghost, name)}
        self.body = widgets.VBox(self._body(say)).add_class("gc-body")
        self.widget = widgets.VBox([_row(self.head, _margin()), self.body]).add_class("gc-sheet")
        self._show()
        state.observe(guarded(self._moved, say), ["shown", "settled"])
        if kept is not None:
            kept.observe(guarded(lambda _: self.needs.refresh(), say), "book")

    def _body(self, say: Say) -> list[widgets.Widget]:
        moving = controls(self.state, self.name, say)
        argument: list[widgets.Widget] = [self.argument]
        if moving:
            argument.append(widgets.VBox(moving).add_class("gc-control"))
        main = widgets.VBox([*argument, *self._chart_places()]).add_class("gc-main")
        return [_row(main, self.notes), self.needs, self.works]

    def _chart_places(self) -> list[widgets.Widget]:
        """Drawings over the whole width under one another; left and right ones beside each other."""
        places: list[widgets.Widget] = []
        sides: dict[Column, list[SharedChart]] = {Column.LEFT: [], Column.RIGHT: []}
        for item in self._drawings():
            if item.column is Column.WHOLE:
                places.append(self.charts[item.title])
            else:
                sides[item.column].append(self.charts[item.title])
        if sides[Column.LEFT]:
            columns = [widgets.VBox(charts).add_class("gc-column") for charts in sides.values()]
            places.append(widgets.Box(columns).add_class("gc-pair"))
        return places

    def _drawings(self) -> tuple[Named, ...]:
        return drawings(self.state.drawn, self.state.ghost, self.name)

    def open(self) -> None:
        """Open it, where it is closed."""
        if not self.opened:
            self._toggle()

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind == "toggle":
            self._toggle()
        elif kind == "try":
            self.state.move_all(dict(tried(one) for one in what.split("&")))

    def _toggle(self) -> None:
        self.opened = not self.opened
        self._show()

    def _show(self) -> None:
        self.body.layout.display = None if self.opened else "none"
        self._moved(None)

    def _moved(self, _: Any) -> None:
        """Follow the state; a closed station has nothing to follow but its sentence."""
        self.head.refresh()
        if not self.opened:
            return
        for piece in (self.argument, self.needs, self.works, self.notes):
            piece.refresh()
        for item in self._drawings():
            chart = self.charts[item.title]
            words = item.title if item.drawing is None else f"{item.title}. {item.drawing.words}."
            chart.show(cast(Any, item.drawing), words=words)

    def _head(self, _: Folds) -> str:
        key = self.name.replace(" ", "-")
        items = [item for item in self.state.shown.requirements if item.station == self.name]
        trouble = " data-trouble" if not self.opened and any(wants_a_look(item) for item in items) else ""
        button = f'<button type="button" class="gc-do" data-act="toggle" aria-expanded="{_yes(self.opened)}">'
        label = "close" if self.opened else "open"
        return (
            f'<section class="gc-station" id="{key}"{trouble}><h2>{self.name.capitalize()}</h2>'
            f"{button}{label}</button>{lead_html(self.state, self.name)}</section>"
        )

    def _argument(self, _: Folds) -> str:
        return argument_html(self.state, self.name)

    def _notes(self, _: Folds) -> str:
        shown = self.state.shown
        steps = [step.result for step in shown.workings if step.station == self.name]
        # the sentences say which step of a duty decides, and for what
        every = (notice for result in steps for notice in result.notices)
        found = dict.fromkeys(notice for notice in every if notice.key != STEP)
        return f"{_evidence(self.state, self.name)}{notices(found)}{self._grey()}"

    def _grey(self) -> str:
        return "<p>Grey in the drawings: the record.</p>" if self.state.draft else ""


def _evidence(state: Sheet, station: str) -> str:
    if station != "accuracy":
        return ""
    return "".join(
        f"<p>{text(item.head.source)}: {text(item.head.applies_to)}, {text(item.head.by)}, "
        f"{text(item.head.date)}, {text(item.head.instrument)}</p>"
        for item in state.shown.record.pitch
    )


def _margin() -> widgets.Widget:
    return widgets.HTML().add_class("gc-margin")


def _row(main: widgets.Widget, margin: widgets.Widget) -> widgets.Widget:
    return widgets.Box([main, margin]).add_class("gc-row")


def _yes(value: bool) -> str:
    return "true" if value else "false"
