"""The files of the first article: a table and comma separated values, by the revision of its field list."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import ipywidgets as widgets

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.download import Downloads
from gearcheck.report.as9102 import FormRevision


class FirstArticle:
    """The panel: two files to save for each revision of the field list.

    Parameters
    ----------
    kept : Kept
        The record.
    say : Say
        Where trouble is told.
    """

    def __init__(self, kept: Kept, say: Say) -> None:
        self.kept = kept
        self.files = {one: Downloads(say, f"AS9102 revision {one}") for one in FormRevision}
        kept.observe(guarded(self._follow, say), "book")
        self._follow()

    def widget(self) -> widgets.Widget:
        """Return the panel."""
        said = widgets.HTML(
            "<p>The characteristics of this plan with what was measured, in the fields of AS9102: a number "
            "stands where a number is due. Whoever asks for the report says which revision holds.</p>"
        )
        parts = [
            one
            for name, files in self.files.items()
            for one in (widgets.HTML(f"<h3>AS9102 revision {name}</h3>"), files)
        ]
        return widgets.VBox([said, *parts])

    def _follow(self, _: Any = None) -> None:
        for name, files in self.files.items():
            files.offer(self._offered(name))

    def _offered(self, revision: str) -> dict[str, Callable[[], bytes]]:
        from gearcheck.report.first_article import ENDINGS, first_article_name

        book = self.kept.book
        return {
            first_article_name(book, revision, ending): partial(self._written, revision, ending)
            for ending in ENDINGS
        }

    def _written(self, revision: str, ending: str) -> bytes:
        from gearcheck.report.first_article import first_article

        return first_article(self.kept.whole(), self.kept.book, revision, ending)
