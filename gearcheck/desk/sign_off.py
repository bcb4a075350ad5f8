"""The sign-off sheet: decisions, confirmations, signatures, history and files of one record."""

from __future__ import annotations

import ipywidgets as widgets

from gearcheck.basics.errors import InputError
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels import blocked, decisions, ledger
from gearcheck.desk.panels.history import History
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.panels.signing import Signing
from gearcheck.desk.panels.takeaway import TakeAway
from gearcheck.desk.record_sheet import RecordSheet, RefusedRecordSheet, opened_record, show_row
from gearcheck.record.blocks import Block, blocks
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.minutes import agenda, minutes

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
        return SignOff(*opened_record(query))
    except InputError as error:
        return RefusedSignOff(error)


class SignOff(RecordSheet):
    """The sheet on the way to signatures."""

    @property
    def blocked(self) -> tuple[Block, ...]:
        """What blocks signing."""
        return blocks(self.kept.whole(), self.kept.book)

    def head(self) -> None:
        """Show what record it is, its outcome, and what blocks signing."""
        kept = self.kept
        self._show_head(lambda: blocked.head_html(kept), lambda: blocked.blocked_html(kept))

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


class RefusedSignOff(RefusedRecordSheet):
    """The same without a record that can be read."""

    blocked: tuple[Block, ...] = ()
    decisions = confirm = signing = history = files = RefusedRecordSheet._nothing


def _papers(kept: Kept, folds: Folds) -> str:
    """The two papers of a meeting; what is open on the page is what is printed."""
    whole, book = kept.whole(), kept.book
    return folds.fold("agenda", "agenda, to print", lambda: agenda(whole, book).html) + folds.fold(
        "minutes", "minutes, to print", lambda: minutes(whole, book).html
    )


def _row(key: str, main: widgets.Widget) -> None:
    show_row(main, _MARGINS[key])
