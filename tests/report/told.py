"""A record with everything that people write in it, hostile words wherever they write."""

from __future__ import annotations

from gearcheck.record import closing, decisions
from gearcheck.record.blocks import blocks
from gearcheck.record.events import Person
from gearcheck.record.keeping import review_of
from gearcheck.record.ledger import confirmables
from gearcheck.record.requests import read_request, request_text
from gearcheck.record.signatures import sign, signature_text
from gearcheck.record.steps import adopt_draft, open_record
from gearcheck.record.workspace import Workspace
from tests.record.signed import AT, KEYS, WHO

EVIL = '<img src=x onerror="alert(1)">\'&'
FERN = Person(name="A. Fern", role="design")
HALE = Person(name=f"D. Hale {EVIL}", role="chair")
LONG = "x" * 150
DUE = ("2026-05-02", "2026-04-01")


class Told:
    """A workspace with one record, and the book of it after each step."""

    def __init__(self, folder, record):
        days = iter(range(10_000))
        self.workspace = Workspace(
            folder / "workspace.sqlite", now=lambda: f"2026-03-{2 + next(days) // 8:02}T09:30:00Z"
        )
        self.book = open_record(self.workspace, record, by=HALE)

    def do(self, step, *given, by=HALE, **named):
        """Take a step, and go on from what it gives."""
        self.book = step(self.workspace, self.book, *given, by=by, **named)
        return self.book

    @property
    def whole(self):
        """The review of the revision that holds."""
        return review_of(self.workspace, self.book)

    def talk(self):
        """Two questions, one of them answered; two actions, one of them done; three values compared."""
        about = self.whole.requirements[0].key
        self.do(decisions.ask, by=FERN, about=about, text=f"Which lot {EVIL}?")
        self.do(decisions.answer, number=self.book.questions[-1].number, text=f"Lot 7 {EVIL}.")
        self.do(decisions.ask, about="", text=f"Who measured {LONG}")
        for day in DUE:
            self.do(decisions.set_action, about=about, text=f"Measure {day} {EVIL}", owner=EVIL, due=day)
        self.do(decisions.set_action, by=FERN, about="", text="File it.", owner="C. Reed", due="2026-03-01")
        self.do(decisions.finish, number=self.book.actions[-1].number, note=f"Filed {EVIL}")
        compared = [item.what for item in confirmables(self.whole, self.book)][:3]
        self.do(
            closing.confirm, self.whole, items=compared, edition=f"ISO {EVIL}", clause=EVIL, date="2026-03-01"
        )

    def adopt(self, wider=1.02):
        """A revision in which the evidence is stale."""
        width = self.whole.record.gear.tooth.face_width_mm
        self.do(adopt_draft, {"face_width": width * wider}, reason=f"A wider face {EVIL}")

    def concede_all(self):
        """Whatever blocks is conceded."""
        for one in blocks(self.whole, self.book):
            self.do(
                decisions.concede,
                self.whole,
                about=one.about,
                reason=f"For one lot {EVIL}",
                limit=f"12 {EVIL}",
            )

    def sign(self, role):
        """A signature comes back."""
        asked = read_request(request_text(self.book, role, self.whole))
        text = signature_text(sign(asked, KEYS[role], name=WHO[role], at=AT))
        self.do(closing.take_signature, text=text)
