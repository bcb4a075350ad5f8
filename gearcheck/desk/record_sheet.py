"""What the sheets of a record share: how one is opened, its head, its rows, and one that says why not."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any
from urllib.parse import parse_qs, quote_plus

import ipywidgets as widgets
from IPython.display import display

from gearcheck.basics.errors import InputError
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.opening import kept_record
from gearcheck.desk.page import Page
from gearcheck.desk.panels import blocked
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.panels.writer import Writer
from gearcheck.desk.words import text
from gearcheck.requirements.types import Requirement


def opened_record(query: str) -> tuple[Kept, str]:
    """Open the record that an address names, else that of the gear file that the desk was opened with.

    Parameters
    ----------
    query : str
        The query of the address.

    Returns
    -------
    kept : Kept
        The record.
    query : str
        As the address keeps it: a draft of the review stays in it for the way back.

    Raises
    ------
    InputError
        If there is no such record, or it cannot be read.
    """
    kept = kept_record(query)
    if parse_qs(query).get("record"):
        return kept, query
    return kept, "&".join(filter(None, (f"record={quote_plus(kept.book.record)}", query)))


class RecordSheet:
    """A sheet of one record, with panels that follow what is written to it; each is shown once.

    Parameters
    ----------
    kept : Kept
        The record.
    query : str
        As the address keeps it.
    """

    def __init__(self, kept: Kept, query: str) -> None:
        self.kept = kept
        self._trouble, self._page = Trouble(), Page(query=query)
        self._say = self._trouble.say
        self._page.on_msg(guarded(lambda *_: kept.look(), self._say))

    @property
    def requirements(self) -> tuple[Requirement, ...]:
        """What the record answers."""
        return self.kept.whole().requirements

    def _following(self, build: Any, form: Any = None, chosen: Any = None) -> Piece:
        piece = Piece(build, self._say, self._act, form, chosen)
        self.kept.observe(guarded(lambda _: piece.refresh(), self._say), ["book", "others"])
        return piece

    def _act(self, act: str) -> None:
        """What others wrote is taken in: on a sheet with more to click, where that is what was clicked."""
        self.kept.refresh()

    def _show_head(self, part: Callable[[], str], said: Callable[[], str]) -> None:
        """The part line, what is said of the record first, and who writes in the margin."""
        kept = self.kept
        line = self._following(lambda _: part())
        main = self._following(lambda _: said()).add_class("gc-main")
        note = self._following(lambda _: blocked.aside_html(kept))
        aside = widgets.VBox([note, Writer(kept, self._page, self._say)]).add_class("gc-margin")
        row = widgets.Box([main, aside]).add_class("gc-row")
        show(line, self._trouble, row, self._page, live=True)


class RefusedRecordSheet:
    """A sheet without a record that can be read: it says why, and shows nothing else."""

    def __init__(self, error: InputError) -> None:
        self._faults = tuple(str(fault) for fault in error.faults)
        self.requirements: tuple[Requirement, ...] = ()

    def head(self) -> None:
        """Show what has to be mended."""
        trouble = Trouble()
        trouble.say("record", self._faults)
        show(trouble, Page(), live=True)

    def _nothing(self) -> None:
        """Show nothing."""


def show_row(main: widgets.Widget, margin: Iterable[str]) -> None:
    """Show a part of a sheet with sentences in its margin."""
    beside = widgets.HTML("".join(f"<p>{text(line)}</p>" for line in margin)).add_class("gc-margin")
    show(widgets.Box([main.add_class("gc-main"), beside]).add_class("gc-row").add_class("gc-part"))


def controls_row(sliders: Iterable[widgets.Widget]) -> widgets.Widget:
    """Return a row of sliders, two abreast where there is room."""
    controls = widgets.VBox(tuple(sliders)).add_class("gc-control").add_class("gc-control-two")
    beside = widgets.HTML().add_class("gc-margin")
    main = widgets.VBox([controls]).add_class("gc-main")
    return widgets.Box([main, beside]).add_class("gc-row").add_class("gc-moves")


def show(*parts: widgets.Widget, live: bool = False) -> None:
    """Show parts of a sheet one below the other; the first of a page is its `live` one."""
    box = widgets.VBox(parts).add_class("gc-sheet")
    display(box.add_class("gc-live") if live else box)
