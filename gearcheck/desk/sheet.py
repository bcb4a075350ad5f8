"""The review sheet: reads the gear file, holds the state, and gives a workbook its panels one by one."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import ipywidgets as widgets
from IPython.display import display

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.charts import VegaBundle, vega_bundle
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.page import Page
from gearcheck.desk.panels import head, sources, trades
from gearcheck.desk.panels.export import ReportPanel
from gearcheck.desk.panels.ladder import ladder_html
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.panels.station import Station
from gearcheck.desk.state import Sheet
from gearcheck.figures.ladder import wants_a_look
from gearcheck.figures.stations import drawings
from gearcheck.requirements.types import Requirement
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.results import Review
from gearcheck.review.stations import NAMES

DEMO = "tunnel_fan"


def gear_file() -> Path:
    """Return the gear file that the desk was opened with; a demo gear where there is none."""
    given = os.environ.get("GEARCHECK_FILE")
    return Path(given) if given else scenarios() / DEMO / "gear.toml"


def warm_up() -> None:
    """Do once, before anyone comes, what every sheet needs: tables read, layouts made, code in memory."""
    vega_bundle()
    whole = Sheet(read_gear_file(scenarios() / DEMO / "gear.toml")).shown
    for name in NAMES:
        drawings(whole, whole, name)


def open_sheet(query: str = "", file: Path | None = None) -> OpenSheet | RefusedSheet:
    """Open the review sheet of a gear file.

    Parameters
    ----------
    query : str
        The query of the address, with the draft in it.
    file : Path, optional
        Another file than the desk was opened with.

    Returns
    -------
    OpenSheet or RefusedSheet
        The sheet; or one that says what is wrong with the file, where it cannot be read.
    """
    file = file or gear_file()
    try:
        record = read_gear_file(file)
    except InputError as error:
        return RefusedSheet(error)
    return OpenSheet(Sheet(record, query), file)


class OpenSheet:
    """A sheet with its panels; each is shown once.

    Parameters
    ----------
    state : Sheet
        The state.
    file : Path
        The gear file.
    """

    def __init__(self, state: Sheet, file: Path) -> None:
        self.state, self._file = state, file
        self._trouble, self._page = Trouble(), Page(query=state.query)
        self._say = self._trouble.say
        self._say("draft in the address", state.refused)
        self._stations = {name: Station(state, name, self._say, opened=self._opened(name)) for name in NAMES}
        state.on_failure = guarded(_failed, self._say)
        state.observe(self._worked, "settled")
        state.observe(guarded(self._address, self._say), "draft")
        # What is worked out while a page is still being put together would not reach all of it.
        self._seen = False
        self._page.on_msg(guarded(self._heard, self._say))

    @property
    def requirements(self) -> tuple[Requirement, ...]:
        """What the sheet answers, as drafted."""
        shown: Review = self.state.shown
        return shown.requirements

    def _opened(self, name: str) -> bool:
        items = [item for item in self.state.shown.requirements if item.station == name]
        return name == "stress" or any(wants_a_look(item) for item in items)

    def _heard(self, *_: Any) -> None:
        """The first word of a page that stands: now the slower work may begin."""
        if not self._seen:
            self._seen = True
            self.state.rest()

    def _address(self, _: Any) -> None:
        self._page.query = self.state.query

    def _worked(self, event: Any) -> None:
        """Slower work that is done takes the trouble of an earlier one away."""
        if event["new"]:
            self.state.on_failure(None)

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind == "open":
            self._stations[what].open()
        elif kind == "drop":
            self.state.drop()

    def _following(self, build: Any, *, on: tuple[str, ...] = ("shown", "settled")) -> Piece:
        piece = Piece(build, self._say, self._act)
        self.state.observe(guarded(lambda _: piece.refresh(), self._say), list(on))
        return piece

    def head(self) -> None:
        """Show the part line, the outcome and the draft."""
        part = Piece(lambda _: head.head_html(self.state.record.part), self._say, self._act)
        said = self._following(lambda _: head.outcome_html(self.state.shown)).add_class("gc-main")
        aside = self._following(lambda _: head.aside_html(self.state)).add_class("gc-margin")
        foot = self._following(lambda _: head.draft_bar_html(self.state))
        row = widgets.Box([said, aside]).add_class("gc-row")
        _display(part, self._trouble, row, foot, self._page, VegaBundle(), live=True)

    def ladder(self) -> None:
        """Show the ladder of torque reserves."""
        state = self.state
        _display(self._following(lambda folds: ladder_html(state.shown, state.ghost, folds)))

    def station(self, name: str) -> None:
        """Show one station: geometry, stress, case depth or accuracy."""
        display(self._stations[name].widget)

    def trades(self) -> None:
        """Show what one realistic step of each input does to every margin."""
        title = widgets.HTML('<h2 id="trades">What trades against what</h2>')
        table = self._following(lambda _: trades.trades_html(self.state))
        main = widgets.VBox([title, table]).add_class("gc-main")
        why = widgets.HTML(trades.together_html(self.state))
        _display(widgets.Box([main, why.add_class("gc-margin")]).add_class("gc-row"))

    def sources(self) -> None:
        """Show methods, readings and sources."""
        main = self._following(lambda folds: sources.sources_html(self.state.shown, folds))
        margin = widgets.HTML(sources.cautions_html()).add_class("gc-margin")
        _display(widgets.Box([main.add_class("gc-main"), margin]).add_class("gc-row"))

    def report(self) -> None:
        """Show the button that writes the report."""
        panel = ReportPanel(self.state, self._file, self._say)
        title = widgets.HTML('<h2 id="report">Report</h2>')
        control = widgets.HBox([panel.button]).add_class("gc-control")
        main = widgets.VBox([title, panel.said, control]).add_class("gc-main")
        _display(widgets.Box([main, widgets.HTML().add_class("gc-margin")]).add_class("gc-row"))


def _failed(error: Exception | None) -> None:
    if error is not None:
        raise error


class RefusedSheet:
    """A sheet whose gear file cannot be read: it says why, and shows nothing else."""

    def __init__(self, error: InputError) -> None:
        self._faults = tuple(str(fault) for fault in error.faults)
        self.requirements: tuple[Requirement, ...] = ()

    def head(self) -> None:
        """Show what has to be mended."""
        trouble = Trouble()
        trouble.say("gear file", self._faults)
        _display(trouble, Page(), live=True)

    def station(self, _: str) -> None:
        """Show nothing."""

    def ladder(self) -> None:
        """Show nothing."""

    trades = sources = report = ladder


def _display(*parts: widgets.Widget, live: bool = False) -> None:
    box = widgets.VBox(parts).add_class("gc-sheet")
    display(box.add_class("gc-live") if live else box)
