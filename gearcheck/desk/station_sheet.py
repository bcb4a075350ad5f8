"""What the sheets of one station share: its outcome, its margins, its requirements in full, its guesses."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

import ipywidgets as widgets

from gearcheck.desk.draft_sheet import DraftSheet
from gearcheck.desk.guard import guarded
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels import blocked
from gearcheck.desk.panels.guesses import Guesses
from gearcheck.desk.panels.head import KEYS, trouble_html
from gearcheck.desk.panels.ladder import ladder_html
from gearcheck.desk.panels.needs import needs_html, tried
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.sentences import ASKS
from gearcheck.desk.record_sheet import show, show_row
from gearcheck.desk.words import text
from gearcheck.figures.ladder import wants_a_look
from gearcheck.report.sections import station_sentence
from gearcheck.requirements.types import Requirement
from gearcheck.review.guesses import Question

NEEDS = "needs"


class MeshPanel(Protocol):
    """A panel of the mesh that is shown."""

    widget: widgets.DOMWidget

    @property
    def MARGIN(self) -> tuple[str, ...]:  # noqa: N802 - a constant of each panel
        """What stands beside it."""

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""


class StationSheet(DraftSheet):
    """A sheet of one station, with the sliders of a draft; takes what `DraftSheet` takes."""

    SHEET = ""
    """The file of the sheet."""
    STATION = ""
    """The station, by its name; as `FOOT` too."""
    PLACES: tuple[tuple[str, str], ...] = ()
    """Anchor and title of each part."""
    QUESTIONS: tuple[Question, ...] = ()
    """What is asked at the end."""

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        self._needs: Piece | None = None

    def head(self) -> None:
        """Show the part line, the outcome of the station, and the draft."""
        self._show_head(lambda _: self._line(), self._outcome, *self._own_draft())

    def _line(self) -> str:
        part, kept = self.state.record.part, self.kept
        if kept is not None:
            return blocked.head_html(kept, self.SHEET, self.PLACES, KEYS)
        links = "".join(f'<a href="#{key}">{label}</a>' for key, label in self.PLACES)
        return (
            f'<header class="gc-head"><p><b>{text(part.number)}</b>{text(part.title)}</p>'
            f'<nav aria-label="Places on this sheet">{links}</nav>{KEYS}</header>'
        )

    def _outcome(self) -> str:
        said = station_sentence(self.state.shown, self.STATION)
        trouble = trouble_html(self.state.shown, self._here())
        return f'<p class="gc-outcome" role="status">{text(said)}</p><p>{ASKS[self.STATION]}</p>{trouble}'

    def _here(self) -> list[Requirement]:
        return [item for item in self.requirements if item.station == self.STATION]

    def margins(self) -> None:
        """Show the ladder of this station, and its requirements."""
        state = self.state
        ladder = self._following(
            lambda folds: ladder_html(state.shown, state.ghost, folds, self._conceded(), self.STATION)
        )
        self._needs = self._following(self._in_full)
        if any(wants_a_look(item) for item in self._here()):
            self._open_needs()
        show(widgets.HTML('<span id="margins"></span>'), ladder, self._needs)

    def _in_full(self, folds: Folds) -> str:
        return folds.fold(
            NEEDS, "The requirements in full", lambda: needs_html(self.state, self.STATION, folds)
        )

    def _open_needs(self) -> None:
        if self._needs is not None:
            self._needs.folds.opened.add(NEEDS)
            self._needs.refresh()

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind == "open":
            self._open_needs()
        elif kind == "try":
            self.state.move_all(dict(tried(one) for one in what.split("&")))
        else:
            super()._act(act)

    def guesses(self) -> None:
        """Ask three questions: guess first, then see what the calculation says of this gear."""
        panel = Guesses(self.state, self._say, self.QUESTIONS)
        show_row(panel.piece, panel.MARGIN)
        self.state.observe(guarded(lambda _: panel.piece.refresh(), self._say), "shown")


class MeshSheet(StationSheet):
    """A sheet of one station that shows one mesh at a time; takes what `StationSheet` takes."""

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        self.mesh = 0
        self._of_mesh: list[Callable[[], None]] = []

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind != "mesh":
            super()._act(act)
            return
        self.mesh = int(what)
        for follow in self._of_mesh:
            follow()

    def _others(self) -> str:
        """A button for each mesh that is not shown."""
        return "".join(
            f' <button type="button" class="gc-do" data-act="mesh:{place}">against {text(mesh.name)}</button>'
            for place, mesh in enumerate(self.state.shown.chain.meshes)
            if place != self.mesh
        )

    def _row_of_mesh(self, panel: MeshPanel) -> None:
        """A row that follows the mesh that is shown."""
        self._of_mesh.append(panel.follow)
        show_row(panel.widget, panel.MARGIN)
