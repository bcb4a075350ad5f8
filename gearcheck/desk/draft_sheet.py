"""What the sheets of a draft share: record, state, saved drafts, the address, the head, what follows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

import ipywidgets as widgets

from gearcheck.desk.charts import VegaBundle
from gearcheck.desk.drafts import Drafts
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.opening import Opened
from gearcheck.desk.page import Page
from gearcheck.desk.panels import draft, head, since
from gearcheck.desk.panels.differs import differs_html, take_file
from gearcheck.desk.panels.others import others_html
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.writer import Writer
from gearcheck.desk.record_sheet import show
from gearcheck.desk.state import Sheet
from gearcheck.record.ledger import with_confirmed
from gearcheck.record.standing import conceded
from gearcheck.requirements.types import Requirement
from gearcheck.review.results import Review


class DraftSheet:
    """A sheet whose sliders move a draft; each panel is shown once.

    Parameters
    ----------
    found : Opened
        What there is to show.
    query : str
        The query of the address.
    """

    FOOT = ""
    """The station that is shown, its margins at the foot; none where all are: then it says how many fail."""

    def __init__(self, found: Opened, query: str = "") -> None:
        self.found, self.kept = found, found.kept
        self.drafts = None if self.kept is None else Drafts(self.kept, query)
        opening = query if self.drafts is None else self.drafts.opening_query(query)
        self.state = state = Sheet(found.record, opening, self._marked, self.FOOT)
        self._trouble, self._page = Trouble(), Page(query=self._query)
        self._say = self._trouble.say
        self._say("draft in the address", state.refused)
        self._say("workspace", found.trouble)
        state.on_failure = guarded(_failed, self._say)
        state.observe(self._worked, "settled")
        state.observe(guarded(self._rested, self._say), "rested")
        state.observe(guarded(self._address, self._say), "draft")
        # What is worked out while a page is still being put together would not reach all of it.
        self._seen = False
        self._page.on_msg(guarded(self._heard, self._say))

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
        """What every sheet of a draft can be asked to do."""
        if act == "drop":
            if self.drafts is not None:
                self.drafts.drop()
            self.state.drop()
        elif act == "take-in" and self.kept is not None:
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

    def _show_head(
        self, line: Callable[[Folds], str], said: Callable[[], str], *more: widgets.Widget
    ) -> None:
        """The part line, the outcome with what follows it, the margin, and the draft at the foot."""
        part = self._following(line, on=())
        outcome = self._following(lambda _: said())
        foot = self._following(lambda _: head.draft_bar_html(self.state, self.FOOT))
        main = widgets.VBox([outcome, *more]).add_class("gc-main")
        row = widgets.Box([main, self._aside()]).add_class("gc-row")
        show(part, self._trouble, row, foot, self._page, VegaBundle(), live=True)

    def _conceded(self) -> frozenset[str]:
        return frozenset() if self.kept is None else conceded(self.state.shown, self.kept.book)

    def _own_draft(self) -> list[widgets.Widget]:
        """What may be done with the draft; nothing without a workspace."""
        drafts = self.drafts
        if drafts is None:
            return []
        moved = Piece(
            lambda folds: draft.draft_html(self.state, drafts, folds),
            self._say,
            self._draft_act,
            self._draft_form,
        )
        # it asks the workspace: that waits until a slider rests
        self.state.observe(guarded(lambda _: moved.refresh(), self._say), "rested")
        return [moved]

    def _since(self) -> list[widgets.Widget]:
        """What a later review begins with: a file that differs, and what changed since the last one."""
        kept, other = self.kept, self.found.other
        if kept is None:
            return []
        found: list[widgets.Widget] = [self._following(lambda _: others_html(kept), on=())]
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


def _failed(error: Exception | None) -> None:
    if error is not None:
        raise error
