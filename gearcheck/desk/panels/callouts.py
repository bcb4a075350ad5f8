"""The callouts of the drawing: what stands on it, what set it, and what happens if it is relaxed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.characteristic import serves_html
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.words import text
from gearcheck.review.callouts import Callout, callouts
from gearcheck.review.results import Review


class Callouts:
    """The panel: what relaxing each callout does is worked out beside the page once the record moved.

    Parameters
    ----------
    kept : Kept
        The record.
    say : Say
        Where trouble is told.
    """

    def __init__(self, kept: Kept, say: Say) -> None:
        self.kept, self._beside = kept, Beside(say)
        self._of = kept.whole()
        self._found = callouts(self._of)
        self.piece = Piece(lambda _: callouts_html(self._of, self._found), say)
        kept.observe(guarded(self._follow, say), "book")

    def _follow(self, _: Any = None) -> None:
        shown = self.kept.whole()
        if shown is not self._of:
            self._beside.start(lambda: (shown, callouts(shown)), self._taken)

    def _taken(self, result: Callable[[], tuple[Review, tuple[Callout, ...]]]) -> None:
        self._of, self._found = result()
        self.piece.refresh()
        self._follow()  # the record may have moved again meanwhile


def callouts_html(shown: Review, found: tuple[Callout, ...]) -> str:
    """Return every callout in the order of making.

    Parameters
    ----------
    shown : Review
        Of the revision that holds.
    found : tuple of Callout
        Of it.

    Returns
    -------
    str
        HTML.
    """
    return f'<div class="gc-callouts">{"".join(_callout(shown, item) for item in found)}</div>'


def _callout(shown: Review, item: Callout) -> str:
    stands = "".join(f"<p>{marked(line)}</p>" for line in item.lines)
    keys = tuple(one.key for one in item.set_by)
    set_by = f"<p>Set by {serves_html(shown, keys)}.</p>" if keys else ""
    step = f" <b>{text(item.step)}</b>: {marked('; '.join(item.effects))}." if item.step else ""
    return (
        f'<section class="gc-row gc-callout" data-key="{text(item.key)}"><div class="gc-main">'
        f'<h3>{text(item.title)}</h3>{stands}<p class="gc-relaxed">If relaxed: '
        f'{text(item.if_relaxed)}{step}</p></div><div class="gc-margin">{set_by}</div></section>'
    )
