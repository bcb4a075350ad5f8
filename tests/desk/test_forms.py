"""Forms in a piece: what is sent, what is refused, and what closes."""

import pytest

from gearcheck.basics.errors import Fault, InputError
from gearcheck.desk.guard import Trouble
from gearcheck.desk.panels.entries import choice, entry, form, lines
from gearcheck.desk.panels.piece import Piece

EVIL = '"><script>alert(1)</script>'


class Sheet:
    """A piece with one form in a fold; what is typed is taken unless `refuse` says why not."""

    def __init__(self, monkeypatch):
        self.bar, self.taken, self.sent = Trouble(), [], []
        self.refuse, self.shows = None, True
        self.piece = Piece(self._build, self.bar.say, form=self._form)
        monkeypatch.setattr(self.piece, "send", self.sent.append)
        self.hear({"fold": "ask", "open": True})

    def _build(self, folds):
        return (
            folds.fold("ask", "a question", lambda: form("ask:a", lines("text", "Question"), "Ask"))
            * self.shows
        )

    def _form(self, name, values):
        self.taken.append((name, dict(values)))
        if self.refuse is not None:
            raise self.refuse

    def hear(self, message):
        self.piece._handle_custom_msg(message, [])

    def submit(self, **values):
        self.hear({"form": "ask:a", "values": values, "folds": ["ask"]})


@pytest.fixture
def sheet(monkeypatch):
    return Sheet(monkeypatch)


def test_what_was_typed_arrives_and_the_form_closes(sheet):
    assert "<form" in sheet.piece.html
    sheet.submit(text="Which lot?")
    assert sheet.taken == [("ask:a", {"text": "Which lot?"})]
    assert sheet.sent == [{"taken": "ask:a"}]
    assert "<form" not in sheet.piece.html
    assert sheet.bar.value == ""


def test_what_is_refused_is_told_beside_the_form_which_stays(sheet):
    sheet.refuse = InputError([Fault("question", "", "a question"), Fault("owner", "", "a name")])
    sheet.submit(text="")
    assert sheet.sent == [
        {
            "refused": "ask:a",
            "why": ["question: missing; needed: a question", "owner: missing; needed: a name"],
        }
    ]
    assert "<form" in sheet.piece.html
    assert sheet.bar.value == ""  # said once, where it was typed
    sheet.refuse = None
    sheet.submit(text="Which lot?")
    assert sheet.sent[-1] == {"taken": "ask:a"}


def test_a_refusal_is_told_in_the_bar_where_the_form_is_gone(sheet):
    sheet.refuse, sheet.shows = InputError([Fault("question", "7", "one that is open")]), False
    sheet.submit(text="Lot 7.")
    assert "question: given 7" in sheet.bar.value


def test_a_fault_of_the_program_lets_the_form_be_sent_again(sheet):
    sheet.refuse = RuntimeError("no room")
    sheet.submit(text="Which lot?")
    assert "RuntimeError (no room)" in sheet.bar.value
    assert sheet.sent == [{"refused": "ask:a", "why": []}]
    assert "<form" in sheet.piece.html


@pytest.mark.parametrize("values", [None, [], "text"])
def test_a_form_that_comes_without_values_is_taken_as_empty(sheet, values):
    sheet.hear({"form": "ask:a", "values": values})
    assert sheet.taken == [("ask:a", {})]


def test_a_piece_without_forms_hears_none():
    bar = Trouble()
    piece = Piece(lambda _: "<p>as it is</p>", bar.say)
    piece._handle_custom_msg({"form": "ask:a", "values": {}}, [])
    piece._handle_custom_msg({"act": "drop"}, [])
    piece._handle_custom_msg("text", [])
    assert bar.value == ""


def test_a_click_is_followed_by_what_the_piece_then_says():
    said = ["before"]
    piece = Piece(lambda _: said[0], Trouble().say, lambda act: said.__setitem__(0, act))
    piece._handle_custom_msg({"act": "after"}, [])
    assert piece.html == "after"


def test_what_follows_from_a_choice_is_shown_before_it_is_sent():
    seen = {}
    piece = Piece(lambda _: str(seen), Trouble().say, form=lambda *_: None, chosen=seen.__setitem__)
    piece._handle_custom_msg({"chosen": "dispose:a", "values": {"verdict": "reject"}}, [])
    assert "reject" in piece.html
    assert "data-live" in form("dispose:a", "", "Write it", live=True)
    assert "data-live" not in form("ask:a", "", "Ask")


def test_nothing_in_a_form_becomes_markup():
    built = form(
        EVIL,
        entry(EVIL, EVIL, hint=EVIL, value=EVIL)
        + lines(EVIL, EVIL, hint=EVIL)
        + choice(EVIL, EVIL, [(EVIL, EVIL)]),
        EVIL,
    )
    assert "<script" not in built
    assert built.count("<label>") == built.count("</label>") == 3  # a label around each line
