"""The record behind a sheet: who writes, and what happens when someone else wrote first."""

import getpass

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.desk.guard import Trouble
from gearcheck.desk.kept import Kept, login_name
from gearcheck.desk.page import Page
from gearcheck.desk.panels.others import others_html
from gearcheck.desk.panels.writer import Writer
from gearcheck.record.decisions import ask
from gearcheck.record.events import Person
from gearcheck.record.steps import adopt_draft
from gearcheck.record.workspace import StaleWrite
from tests.record.opened import FERN, opened

MOSS = Person(name="B. Moss", role="quality")


@pytest.fixture
def two(tmp_path):
    """One record on two sheets."""
    desk = opened(tmp_path, "tunnel_fan")
    return Kept(desk.workspace, desk.book, FERN), Kept(desk.workspace, desk.book, MOSS)


def asks(kept, text):
    kept.do(ask, about="", text=text)


def test_what_is_written_carries_who_wrote_it_and_the_sheet_follows(two):
    kept, _ = two
    seen = []
    kept.observe(lambda event: seen.append(event["new"].last), "book")
    asks(kept, "Which lot?")
    assert seen == [kept.book.last]
    assert str(kept.book.questions[0].by) == "A. Fern, design"


def test_a_second_writer_is_told_who_did_what_and_when_and_may_then_write(two):
    one, other = two
    asks(one, "Which lot?")
    with pytest.raises(
        StaleWrite, match=r"A\. Fern \(design\) asked question 3 on 20 March 2026 at 09:30 UTC"
    ):
        asks(other, "Which furnace?")
    assert [item.text for item in other.book.questions] == ["Which lot?"]
    asks(other, "Which furnace?")
    assert [item.text for item in other.book.questions] == ["Which lot?", "Which furnace?"]


def test_a_revision_that_no_page_shows_yet_is_told_of_and_not_taken_in_by_pressing_again(two):
    one, other = two
    one.do(adopt_draft, values={"torque": 1300.0}, reason="A little more.")
    for _ in range(2):
        with pytest.raises(StaleWrite, match="wrote revision 2"):
            asks(other, "Is this still so?")
        assert other.book.revision.revision == 1
        assert len(other.others) == 1
    assert other.refresh()
    asks(other, "Is this still so?")
    assert other.book.revision.revision == 2


def test_what_others_wrote_is_said_before_it_is_taken_in(two):
    one, other = two
    other.look()
    assert others_html(other) == ""
    assert not other.refresh()
    asks(one, "Which <lot>?")
    asks(one, "Which furnace?")
    other.look()
    said = others_html(other)
    assert said.count("<li>") == 2
    assert "A. Fern (design) asked question 4" in said
    assert other.book.questions == ()
    assert other.refresh()
    assert others_html(other) == ""
    assert len(other.book.questions) == 2


def test_a_look_costs_one_question_while_nobody_writes(two, monkeypatch):
    kept, _ = two

    def read(*_):
        raise AssertionError("read the whole record")

    monkeypatch.setattr(type(kept.workspace), "events", read)
    kept.look()


def test_a_refused_entry_writes_nothing(two):
    kept, _ = two
    before = kept.book
    with pytest.raises(InputError, match="question: missing"):
        asks(kept, " ")
    assert kept.book is before


def test_the_name_of_the_login_stands_where_nobody_said_who_writes(two, monkeypatch):
    monkeypatch.setattr(getpass, "getuser", lambda: "afern")
    kept = Kept(two[0].workspace, two[0].book)
    assert kept.person == Person(name="afern")

    def nobody():
        raise OSError("no such user")

    monkeypatch.setattr(getpass, "getuser", nobody)
    assert login_name() == ""


def test_who_writes_is_typed_once_and_kept_by_the_browser(two):
    kept, _ = two
    page, bar = Page(), Trouble()
    writer = Writer(kept, page, bar.say)
    writer.name.value, writer.role.value = " C. Reed ", "metallurgy"
    assert kept.person == Person(name="C. Reed", role="metallurgy")
    assert page.writer == {"name": "C. Reed", "role": "metallurgy"}
    later = Kept(kept.workspace, kept.book, MOSS)
    reopened = Page()
    shown = Writer(later, reopened, bar.say)
    reopened.writer = dict(page.writer)  # as the browser gives it back
    assert later.person == kept.person
    assert (shown.name.value, shown.role.value) == ("C. Reed", "metallurgy")
    assert bar.value == ""


def test_nobody_may_write_without_a_name(two):
    kept, _ = two
    kept.person = Person(name="")
    with pytest.raises(InputError, match="written by: missing"):
        asks(kept, "Which lot?")
