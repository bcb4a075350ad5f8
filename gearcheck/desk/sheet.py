"""The review sheet: opens a record, holds the state, and gives a workbook its panels one by one."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as widgets
from IPython.display import display

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.charts import VegaBundle, vega_bundle
from gearcheck.desk.drafts import Drafts
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.opening import DEMO, Opened, opened
from gearcheck.desk.page import Page
from gearcheck.desk.panels import draft, head, since, sources, trades
from gearcheck.desk.panels.differs import differs_html, take_file
from gearcheck.desk.panels.ladder import ladder_html
from gearcheck.desk.panels.others import others_html
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.panels.station import Station
from gearcheck.desk.panels.writer import Writer
from gearcheck.desk.record_sheet import RefusedRecordSheet, show
from gearcheck.desk.state import Sheet
from gearcheck.figures.ladder import wants_a_look
from gearcheck.figures.stations import drawings
from gearcheck.record.ledger import with_confirmed
from gearcheck.record.standing import conceded
from gearcheck.requirements.types import Requirement
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.results import Review
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


class OpenSheet:
    """A sheet with its panels; each is shown once.

    Parameters
    ----------
    found : Opened
        What there is to show.
    query : str
        The query of the address.
    """

    def __init__(self, found: Opened, query: str = "") -> None:
        self.found, self.kept = found, found.kept
        self.drafts = None if self.kept is None else Drafts(self.kept, query)
        opening = query if self.drafts is None else self.drafts.opening_query(query)
        self.state = state = Sheet(found.record, opening, self._marked)
        self._trouble, self._page = Trouble(), Page(query=self._query)
        self._say = self._trouble.say
        self._say("draft in the address", state.refused)
        self._say("workspace", found.trouble)
        self._stations = {name: self._station(name) for name in NAMES}
        state.on_failure = guarded(_failed, self._say)
        state.observe(self._worked, "settled")
        state.observe(guarded(self._rested, self._say), "rested")
        state.observe(guarded(self._address, self._say), "draft")
        # What is worked out while a page is still being put together would not reach all of it.
        self._seen = False
        self._page.on_msg(guarded(self._heard, self._say))

    def _station(self, name: str) -> Station:
        return Station(self.state, name, self._say, opened=self._opened(name), kept=self.kept)

    def _marked(self, whole: Review) -> Review:
        return whole if self.kept is None else with_confirmed(whole, self.kept.book)

    @property
    def _query(self) -> str:
        return self.state.query if self.drafts is None else self.drafts.query(self.state.draft)

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
        if self.kept is not None:
            self.kept.look()

    def _address(self, _: Any) -> None:
        self._page.query = self._query

    def _rested(self, _: Any) -> None:
        """A slider rests: the draft is saved, and the address names it."""
        if self.drafts is not None:
            try:
                self.drafts.save(self.state.draft)
            finally:
                self._page.query = self._query

    def _worked(self, event: Any) -> None:
        """Slower work that is done takes the trouble of an earlier one away."""
        if event["new"]:
            self.state.on_failure(None)

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind == "open":
            self._stations[what].open()
        elif kind == "drop":
            if self.drafts is not None:
                self.drafts.drop()
            self.state.drop()
        elif kind == "take-in" and self.kept is not None:
            before = self.kept.book.revision.revision
            self.kept.refresh()
            if self.kept.book.revision.revision != before:
                self._go(self._query)

    def _draft_act(self, act: str) -> None:
        """Open or forget a saved draft."""
        kind, _, name = act.partition(":")
        assert self.drafts is not None
        if kind == "forget":
            self.drafts.drop(name)
        elif kind == "take":
            self._go(self.drafts.query(self.drafts.take(name)))

    def _draft_form(self, key: str, values: Mapping[str, str]) -> None:
        assert self.drafts is not None
        draft.write_draft(self.state, self.drafts, key, values)
        if key == "adopt":
            self._go(self.drafts.query({}))
        else:
            self.state.rested += 1  # all that names the draft follows

    def _file_form(self, key: str, values: Mapping[str, str]) -> None:
        assert self.kept is not None
        assert self.found.other is not None
        name = take_file(self.kept, self.found.other, key, values)
        self._go(f"record={name}")

    def _go(self, query: str) -> None:
        """Open another address of this sheet."""
        self._page.query = query
        self._page.reload()

    def _following(
        self, build: Any, *, on: tuple[str, ...] = ("shown", "settled"), form: Any = None
    ) -> Piece:
        piece = Piece(build, self._say, self._act, form)
        refresh = guarded(lambda _: piece.refresh(), self._say)
        self.state.observe(refresh, list(on))
        if self.kept is not None:
            self.kept.observe(refresh, ["book", "others"])
        return piece

    def head(self) -> None:
        """Show the part line, the outcome, the draft, and what changed since the last review."""
        state, kept = self.state, self.kept
        part = self._following(lambda folds: head.head_html(state.record.part, kept, folds), on=())
        said = self._following(lambda _: head.outcome_html(state.shown, self._conceded()))
        foot = self._following(lambda _: head.draft_bar_html(state))
        main = [said, *self._of_record()]
        row = widgets.Box([widgets.VBox(main).add_class("gc-main"), self._aside()]).add_class("gc-row")
        show(part, self._trouble, row, foot, self._page, VegaBundle(), live=True)

    def _conceded(self) -> frozenset[str]:
        return frozenset() if self.kept is None else conceded(self.state.shown, self.kept.book)

    def _of_record(self) -> list[widgets.Widget]:
        """What a later review begins with: a file that differs, and what changed since the last one."""
        kept, other, drafts = self.kept, self.found.other, self.drafts
        if kept is None or drafts is None:
            return []
        moved = Piece(
            lambda folds: draft.draft_html(self.state, drafts, folds),
            self._say,
            self._draft_act,
            self._draft_form,
        )
        # it asks the workspace: that waits until a slider rests
        self.state.observe(guarded(lambda _: moved.refresh(), self._say), "rested")
        found: list[widgets.Widget] = [moved, self._following(lambda _: others_html(kept), on=())]
        if other is not None:
            bar = partial(differs_html, kept, other, self.found.file)
            found.append(Piece(bar, self._say, form=self._file_form))
        return [*found, self._following(lambda folds: since.since_html(kept, folds), on=())]

    def _aside(self) -> widgets.Widget:
        """The margin: the note or the draft, and who writes."""
        on = ("shown", "settled", "rested")
        aside = self._following(lambda _: head.aside_html(self.state, self.drafts), on=on)
        if self.kept is None:
            return aside.add_class("gc-margin")
        return widgets.VBox([aside, Writer(self.kept, self._page, self._say)]).add_class("gc-margin")

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


def _failed(error: Exception | None) -> None:
    if error is not None:
        raise error


class RefusedSheet(RefusedRecordSheet):
    """A sheet without a record or gear file that can be read: it says why, and shows nothing else."""

    def station(self, _: str) -> None:
        """Show nothing."""

    ladder = trades = sources = report = RefusedRecordSheet._nothing
