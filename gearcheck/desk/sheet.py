"""The review sheet: opens a record, holds the state, and gives a workbook its panels one by one."""

from __future__ import annotations

from pathlib import Path

import ipywidgets as widgets
from IPython.display import display

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.charts import vega_bundle
from gearcheck.desk.draft_sheet import DraftSheet
from gearcheck.desk.opening import DEMO, Opened, opened
from gearcheck.desk.panels import head, sources, trades
from gearcheck.desk.panels.ladder import ladder_html
from gearcheck.desk.panels.station import Station
from gearcheck.desk.record_sheet import RefusedRecordSheet, show
from gearcheck.desk.state import Sheet
from gearcheck.figures.ladder import wants_a_look
from gearcheck.figures.stations import drawings
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations import NAMES


def warm_up() -> None:
    """Do once, before anyone comes, what every sheet needs: tables read, layouts made, code in memory."""
    vega_bundle()
    whole = Sheet(read_gear_file(scenarios() / DEMO / "gear.toml")).shown
    for name in NAMES:
        drawings(whole, whole, name)


def open_sheet(query: str = "", file: Path | None = None) -> OpenSheet | RefusedSheet:
    """Open the review sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address: the record, and a draft of it.
    file : Path, optional
        Another gear file than the desk was opened with.

    Returns
    -------
    OpenSheet or RefusedSheet
        The sheet; or one that says what is wrong, where neither record nor gear file can be read.
    """
    try:
        return OpenSheet(opened(query, file), query)
    except InputError as error:
        return RefusedSheet(error)


class OpenSheet(DraftSheet):
    """The review sheet with its panels; takes what `DraftSheet` takes."""

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        self._stations = {name: self._station(name) for name in NAMES}

    def _station(self, name: str) -> Station:
        return Station(self.state, name, self._say, opened=self._opened(name), kept=self.kept)

    def _opened(self, name: str) -> bool:
        items = [item for item in self.state.shown.requirements if item.station == name]
        return name == "stress" or any(wants_a_look(item) for item in items)

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind == "open":
            self._stations[what].open()
        else:
            super()._act(act)

    def head(self) -> None:
        """Show the part line, the outcome, the draft, and what changed since the last review."""
        state, kept = self.state, self.kept
        self._show_head(
            lambda folds: head.head_html(state.record.part, kept, folds),
            lambda: head.outcome_html(state.shown, self._conceded()),
            *self._own_draft(),
            *self._since(),
        )

    def ladder(self) -> None:
        """Show the ladder of torque reserves."""
        state = self.state
        show(self._following(lambda folds: ladder_html(state.shown, state.ghost, folds, self._conceded())))

    def station(self, name: str) -> None:
        """Show one station: geometry, stress, case depth or accuracy."""
        display(self._stations[name].widget)

    def trades(self) -> None:
        """Show what one realistic step of each input does to every margin."""
        title = widgets.HTML('<h2 id="trades">What trades against what</h2>')
        table = self._following(lambda _: trades.trades_html(self.state))
        main = widgets.VBox([title, table]).add_class("gc-main")
        why = widgets.HTML(trades.together_html(self.state))
        show(widgets.Box([main, why.add_class("gc-margin")]).add_class("gc-row"))

    def sources(self) -> None:
        """Show methods, readings and sources."""
        main = self._following(lambda folds: sources.sources_html(self.state.shown, folds))
        margin = widgets.HTML(sources.cautions_html()).add_class("gc-margin")
        show(widgets.Box([main.add_class("gc-main"), margin]).add_class("gc-row"))

    def report(self) -> None:
        """Show where the report and its signatures are."""
        main = widgets.HTML(head.report_html(self.kept, self.found.file)).add_class("gc-main")
        show(widgets.Box([main, widgets.HTML().add_class("gc-margin")]).add_class("gc-row"))


class RefusedSheet(RefusedRecordSheet):
    """A sheet without a record or gear file that can be read: it says why, and shows nothing else."""

    def station(self, _: str) -> None:
        """Show nothing."""

    ladder = trades = sources = report = RefusedRecordSheet._nothing
