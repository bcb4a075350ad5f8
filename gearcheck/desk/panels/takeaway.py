"""What people take away: the files of the record, written beside the workspace and offered to the browser."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.download import Downloads
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.panels.signing import files_folder
from gearcheck.desk.words import text
from gearcheck.record.steps import gear_files

AT_WORK = "The files are being written; it takes some seconds."


class TakeAway:
    """The panel: a button, the paths of what it wrote, and the files to save.

    Parameters
    ----------
    kept : Kept
        The record.
    """

    def __init__(self, kept: Kept) -> None:
        self.kept, self.trouble = kept, Trouble()
        say = self.trouble.say
        self._beside = Beside(say)
        self._paths: tuple[Path, ...] = ()
        self.said = Piece(lambda _: self._offer(), say)
        self.done = Piece(lambda _: self._done(), say)
        self.of_article = Piece(lambda _: self._of_article(), say)
        self.button = widgets.Button(description="Write the files")
        self.button.on_click(guarded(self._clicked, say))
        self.files = Downloads(say, "Files of the record")
        self.articles = Downloads(say, "First article report")
        self.inputs = Downloads(say, "Gear file and its evidence")
        self.signed = Downloads(say, "The report that was signed last")
        kept.observe(guarded(self._follow, say), "book")
        self._follow()

    def widget(self) -> widgets.Widget:
        """Return the panel."""
        title = widgets.HTML('<h2 id="files">Take away</h2>')
        control = widgets.HBox([self.button]).add_class("gc-control")
        inputs = widgets.HTML("<p>What the record rests on, as it was read:</p>")
        kept = [self.signed, self.of_article, self.articles]
        parts = [title, self.said, control, self.trouble, self.done, self.files, *kept, inputs, self.inputs]
        return widgets.VBox(parts)

    def _offer(self) -> str:
        folder = files_folder(self.kept)
        before = self.kept.book.signed_revision if not self.kept.book.is_signed else 0
        kept = (
            f" The report of revision {before}, which was signed, is still there to save." if before else ""
        )
        goes = f"Notebook, page, PDF and an archive of all of it go to {text(folder)}."
        return f"<p>{self._which()} {goes}{kept}</p>"

    def _of_article(self) -> str:
        if self.kept.whole().inspected is None:
            return ""
        return (
            "<p>First article report of what the record says now, by the revision of AS9102 that the order "
            "asks for: a workbook of the three forms, and Form 3 as a table.</p>"
        )

    def _done(self) -> str:
        if self._beside.at_work:
            return f'<p role="status">{text(AT_WORK)}</p>'
        if not self._paths:
            return ""
        folder = text(self._paths[0].parent)
        return f'<p role="status" id="written">Written to {folder}; to be saved here too:</p>'

    def _which(self) -> str:
        book = self.kept.book
        if book.is_signed:
            return "The report carries all signatures."
        if book.prepared is not None:
            return f"The report lies before the signers; {len(book.missing_roles)} have not signed yet."
        return "Nothing lies before the signers: the report of what the record says now is not signed."

    def _follow(self, _: Any = None) -> None:
        """What was written says what the record said then."""
        self._paths = ()
        self.files.offer({})
        self.said.refresh()
        self.done.refresh()
        self.of_article.refresh()
        files = gear_files(self.kept.workspace, self.kept.book)
        self.inputs.offer({name: partial(bytes, data) for name, data in files.items()})
        self.articles.offer(self._articles())
        self.signed.offer(self._signed_before())

    def _articles(self) -> dict[str, Callable[[], bytes]]:
        """The first article report in each revision; none where the gear file has no inspection plan."""
        from gearcheck.report.as9102 import FormRevision
        from gearcheck.report.first_article import ENDINGS, first_article, first_article_name

        whole, book = self.kept.whole(), self.kept.book
        if whole.inspected is None:
            return {}
        return {
            first_article_name(book, revision, ending): partial(first_article, whole, book, revision, ending)
            for revision in FormRevision
            for ending in ENDINGS
        }

    def _signed_before(self) -> dict[str, Callable[[], bytes]]:
        """The report that was signed last, where the record went on since."""
        from gearcheck.report.release import file_name, last_signed, signed_notebook

        then = None if self.kept.book.is_signed else last_signed(self.kept.book)
        if then is None:
            return {}
        return {f"{file_name(then)}.ipynb": partial(signed_notebook, self.kept.workspace, then)}

    def _clicked(self, _: Any) -> None:
        from gearcheck.report.release import export

        workspace, book, folder = self.kept.workspace, self.kept.book, files_folder(self.kept)
        self.button.disabled = True
        self._beside.start(lambda: export(workspace, book, folder), self._written)
        self.done.refresh()

    def _written(self, result: Callable[[], Any]) -> None:
        try:
            self._paths = tuple(result().paths)
            self.files.offer({path.name: path.read_bytes for path in self._paths})
        finally:
            self.button.disabled = False
            self.done.refresh()
