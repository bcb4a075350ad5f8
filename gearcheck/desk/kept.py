"""The record behind a sheet: what the workspace keeps of it, and who writes to it."""

from __future__ import annotations

import getpass
from collections.abc import Callable
from typing import Any

import traitlets

from gearcheck.record.book import Book
from gearcheck.record.events import Kind, Person
from gearcheck.record.keeping import review_of
from gearcheck.record.words import event_words
from gearcheck.record.workspace import StaleWrite, Workspace
from gearcheck.review.results import Review


class Kept(traitlets.HasTraits):
    """One record as a sheet knows it.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        As it was read.
    person : Person, optional
        Who writes; the name of the login where nobody said it.

    Attributes
    ----------
    others : tuple of str
        What others wrote meanwhile and the page does not show yet.
    """

    book = traitlets.Instance(Book)
    person = traitlets.Instance(Person)
    others = traitlets.Tuple()

    def __init__(self, workspace: Workspace, book: Book, person: Person | None = None) -> None:
        self.workspace = workspace
        self._known: tuple[Book, dict[int | None, Review]] = (book, {})
        super().__init__(book=book, person=person or Person(name=login_name()))

    def do(self, step: Callable[..., Book], **given: Any) -> None:
        """Write to the record.

        Parameters
        ----------
        step : callable
            Takes workspace, book and `by`, and gives the book with what was written.
        **given
            What else it takes.

        Raises
        ------
        StaleWrite
            If someone else wrote in the meantime: the book is read anew first, so the page shows what. A new
            revision is only told of: its numbers stand on no page yet.
        InputError
            What is missing; then nothing is written.

        Notes
        -----
        What others wrote is refused against as long as it was not taken in: a page that followed by itself
        would let people decide on what they have not read.
        """
        try:
            book = step(self.workspace, self.book, by=self.person, **given)
        except StaleWrite as error:
            if any(one.kind is Kind.REVISED for one in error.events):
                self.look()
            else:
                self.refresh()
            raise
        with self.hold_trait_notifications():
            self.book, self.others = book, ()

    def look(self) -> None:
        """Look whether someone else wrote, and say who did what; the book stays as it was read."""
        seen = self.book.last
        if self.workspace.last(self.book.record) == seen + len(self.others):
            return
        book = self.workspace.book(self.book.record)
        self.others = tuple(event_words(item) for item in book.events[seen:])

    def refresh(self) -> bool:
        """Take in what others wrote; whether anyone did."""
        seen = self.book.last
        if self.workspace.last(self.book.record) == seen:
            return False
        book = self.workspace.book(self.book.record)
        with self.hold_trait_notifications():
            self.book, self.others = book, ()
        return True

    def whole(self, revision: int | None = None) -> Review:
        """Return the review of one revision, that which holds where none is named.

        It is remembered: a slider that moves has its numbers read many times, and the file none.
        """
        if self._known[0] is not self.book:
            self._known = (self.book, {})
        known = self._known[1]
        if revision not in known:
            known[revision] = review_of(self.workspace, self.book, revision)
        return known[revision]


def login_name() -> str:
    """Return the name under which this machine knows who is at it; empty where it knows none."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""
