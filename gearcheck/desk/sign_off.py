"""The sign-off sheet: decisions, confirmations, signatures, history and files of one record."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qs, quote_plus

import ipywidgets as widgets
from IPython.display import display

from gearcheck.basics.errors import InputError
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.opening import kept_record
from gearcheck.desk.page import Page
from gearcheck.desk.panels import blocked, decisions, ledger
from gearcheck.desk.panels.history import History
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.signing import Signing
from gearcheck.desk.panels.takeaway import TakeAway
from gearcheck.desk.panels.writer import Writer
from gearcheck.desk.words import text
from gearcheck.record.blocks import Block, blocks
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.minutes import agenda, minutes
from gearcheck.requirements.types import Requirement

_MARGINS = {
    "decisions": (
        "A concession is a decision beside a requirement: the answer of the requirement stays what it is. "
        "It is granted in the review, and ends where its requirement moves.",
    ),
    "confirm": (
        "A confirmation holds for exactly what stands here: a value that a later version changes is to be "
        "confirmed anew.",
    ),
    "signing": (
        "What is signed is what is read: text, numbers, charts and inputs of the report are in its digest.",
        "Signatures stand beside the digest, so that a second one does not break the first.",
    ),
    "history": (
        "A revision is exact inputs with their evidence. Nothing that was written is ever taken away.",
    ),
    "files": CAUTIONS,
}


def open_sign_off(query: str = "") -> SignOff | RefusedSignOff:
    """Open the sign-off sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address, which names the record; else it is that of the gear file that the desk was
        opened with.

    Returns
    -------
    SignOff or RefusedSignOff
        The sheet; or one that says why there is none.
    """
    try:
        kept = kept_record(query)
    except InputError as error:
        return RefusedSignOff(error)
    # a draft of the review stays in the address for the way back
    named = f"record={quote_plus(kept.book.record)}"
    return SignOff(kept, query if parse_qs(query).get("record") else "&".join(filter(None, (named, query))))


class SignOff:
    """A sheet with its panels; each is shown once.

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
    def blocked(self) -> tuple[Block, ...]:
        """What blocks signing."""
        return blocks(self.kept.whole(), self.kept.book)

    @property
    def requirements(self) -> tuple[Requirement, ...]:
        """What the record answers."""
        return self.kept.whole().requirements

    def _following(self, build: Any, form: Any = None) -> Piece:
        piece = Piece(build, self._say, self._act, form)
        self.kept.observe(guarded(lambda _: piece.refresh(), self._say), ["book", "others"])
        return piece

    def _act(self, _: str) -> None:
        """The one thing to be clicked: what others wrote is taken in."""
        self.kept.refresh()

    def head(self) -> None:
        """Show what record it is, its outcome, and what blocks signing."""
        kept = self.kept
        part = self._following(lambda _: blocked.head_html(kept))
        said = self._following(lambda _: blocked.blocked_html(kept)).add_class("gc-main")
        note = self._following(lambda _: blocked.aside_html(kept))
        aside = widgets.VBox([note, Writer(kept, self._page, self._say)]).add_class("gc-margin")
        row = widgets.Box([said, aside]).add_class("gc-row")
        _display(part, self._trouble, row, self._page, live=True)

    def decisions(self) -> None:
        """Show the agenda, what was decided, and the minutes."""
        kept = self.kept
        title = widgets.HTML('<h2 id="decisions">Decisions</h2>')
        decided = self._following(
            lambda folds: decisions.decisions_html(kept, folds),
            lambda key, values: decisions.decide(kept, key, values),
        )
        papers = self._following(lambda folds: _papers(kept, folds))
        _row("decisions", widgets.VBox([title, decided, papers]))

    def confirm(self) -> None:
        """Show the values from memory or practice, and the form that confirms them."""
        kept = self.kept
        _row(
            "confirm",
            self._following(
                lambda folds: ledger.ledger_html(kept, folds),
                lambda _, values: ledger.confirm_ticked(kept, values),
            ),
        )

    def signing(self) -> None:
        """Show who has to sign, who has, and the files that go out and come back."""
        _row("signing", Signing(self.kept, self._say).widget())

    def history(self) -> None:
        """Show the revisions, and what changed between any two."""
        _row("history", History(self.kept, self._say).widget())

    def files(self) -> None:
        """Show the files to take away."""
        _row("files", TakeAway(self.kept).widget())


class RefusedSignOff:
    """A sheet without a record that can be read: it says why, and shows nothing else."""

    def __init__(self, error: InputError) -> None:
        self._faults = tuple(str(fault) for fault in error.faults)
        self.blocked: tuple[Block, ...] = ()
        self.requirements: tuple[Requirement, ...] = ()

    def head(self) -> None:
        """Show what has to be mended."""
        trouble = Trouble()
        trouble.say("record", self._faults)
        _display(trouble, Page(), live=True)

    def decisions(self) -> None:
        """Show nothing."""

    confirm = signing = history = files = decisions


def _papers(kept: Kept, folds: Folds) -> str:
    """The two papers of a meeting; what is open on the page is what is printed."""
    whole, book = kept.whole(), kept.book
    return folds.fold("agenda", "agenda, to print", lambda: agenda(whole, book).html) + folds.fold(
        "minutes", "minutes, to print", lambda: minutes(whole, book).html
    )


def _row(key: str, main: widgets.Widget) -> None:
    margin = widgets.HTML("".join(f"<p>{text(line)}</p>" for line in _MARGINS[key])).add_class("gc-margin")
    _display(widgets.Box([main.add_class("gc-main"), margin]).add_class("gc-row").add_class("gc-part"))


def _display(*parts: widgets.Widget, live: bool = False) -> None:
    box = widgets.VBox(parts).add_class("gc-sheet")
    display(box.add_class("gc-live") if live else box)
