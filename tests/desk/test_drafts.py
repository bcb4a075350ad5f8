"""Drafts under a name: saved when a slider rests, never over what another moved, adopted with a reason."""

import asyncio
import html
import re

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk import record_sheet
from gearcheck.desk import sheet as module
from gearcheck.desk.drafts import Drafts
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.draft import draft_html, write_draft
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.sheet import open_sheet
from gearcheck.desk.state import Sheet
from gearcheck.record import decisions
from gearcheck.record.events import Person
from gearcheck.record.keeping import record_of
from gearcheck.record.workspace import StaleWrite, Workspace
from gearcheck.review.stations import NAMES
from tests.record.opened import FERN, HALE, ROOT, opened

MOSS = Person(name="B. Moss", role="quality")
EVIL = '<img src=x onerror="alert(1)">'


@pytest.fixture
def desk(tmp_path):
    return opened(tmp_path)


@pytest.fixture
def kept(desk):
    return Kept(desk.workspace, desk.book, FERN)


@pytest.fixture
def other(desk):
    return Kept(desk.workspace, desk.book, MOSS)


def values(drafts, name):
    return dict(drafts.saved()[name].values)


def words(page):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def folds(*opened_ones):
    found = Folds()
    found.opened.update(opened_ones)
    return found


def test_the_first_move_names_the_draft_and_each_later_one_is_saved_under_it(kept):
    drafts = Drafts(kept)
    drafts.save({"torque": 14_600.0})
    drafts.save({"torque": 14_400.0})
    assert drafts.name == "what-if 1"
    assert values(drafts, "what-if 1") == {"torque": 14_400.0}
    assert drafts.query({"torque": 14_400.0}) == f"record={kept.book.record}&draft=what-if+1&torque=14400"
    assert drafts.query({}) == f"record={kept.book.record}"


def test_a_draft_back_at_the_record_leaves_the_saved_one_and_the_next_gets_a_name_of_its_own(kept):
    drafts = Drafts(kept)
    drafts.save({"torque": 14_600.0})
    drafts.save({})
    drafts.save({"torque": 14_000.0})
    assert {name: values(drafts, name)["torque"] for name in drafts.saved()} == {
        "what-if 1": 14_600.0,
        "what-if 2": 14_000.0,
    }


def test_what_is_moved_as_a_saved_draft_is_that_draft(kept):
    Drafts(kept).save({"torque": 14_600.0})
    drafts = Drafts(kept)
    drafts.save({"torque": 14_600.0})
    assert drafts.name == "what-if 1"
    assert list(drafts.saved()) == ["what-if 1"]


def test_a_saved_draft_is_opened_by_its_name_alone(kept):
    Drafts(kept).save({"torque": 14_600.0})
    query = f"record={kept.book.record}&draft=what-if+1"
    assert Drafts(kept, query).opening_query(query) == f"{query}&torque=14600"
    moved = f"{query}&torque=14000"
    assert Drafts(kept, moved).opening_query(moved) == moved


def test_two_who_move_one_draft_are_told_and_both_keep_theirs(kept, other):
    one = Drafts(kept)
    one.save({"torque": 14_600.0})
    two = Drafts(other, f"record={kept.book.record}&draft=what-if+1")
    one.save({"torque": 14_400.0})
    with pytest.raises(StaleWrite, match=r"yours goes on as what-if 2 \(A. Fern, design moved it"):
        two.save({"torque": 14_000.0})
    assert two.name == "what-if 2"
    two.save({"torque": 13_800.0})
    assert values(one, "what-if 1") == {"torque": 14_400.0}
    assert values(one, "what-if 2") == {"torque": 13_800.0}


def test_an_older_address_does_not_write_over_what_the_draft_became_since(kept, other):
    one = Drafts(kept)
    one.save({"torque": 14_600.0})
    link = one.query({"torque": 14_600.0})
    one.save({"torque": 14_400.0})
    two = Drafts(other, link)
    with pytest.raises(StaleWrite, match="yours goes on as what-if 2"):
        two.save({"torque": 14_600.0})
    assert values(one, "what-if 1") == {"torque": 14_400.0}
    again = Drafts(other, one.query({"torque": 14_400.0}))  # a reload: what it shows is what is saved
    again.save({"torque": 14_200.0})
    assert values(one, "what-if 1") == {"torque": 14_200.0}


@pytest.mark.parametrize("name", ["", "%20", "a%0Ab", "x" * 201])
def test_what_is_no_name_in_an_address_names_nothing(kept, name):
    drafts = Drafts(kept, f"record={kept.book.record}&draft={name}")
    drafts.save({"torque": 14_600.0})
    assert list(drafts.saved()) == ["what-if 1"]


def test_a_draft_takes_another_name_and_leaves_the_first(kept):
    drafts = Drafts(kept)
    drafts.save({"torque": 14_600.0})
    drafts.rename("half load", {"torque": 14_600.0})
    assert list(drafts.saved()) == ["half load"]
    drafts.save({"torque": 14_000.0})
    assert values(drafts, "half load") == {"torque": 14_000.0}
    for wrong, needed in (("", "a name, on one line"), ("half load", "a name that no other draft has")):
        with pytest.raises(InputError, match=needed):
            drafts.rename(wrong, {"torque": 14_000.0})


def test_a_draft_that_was_dropped_meanwhile_is_told(kept, other):
    Drafts(other).save({"torque": 14_600.0})
    drafts = Drafts(kept)
    drafts.drop("what-if 1")
    with pytest.raises(InputError, match="it was dropped meanwhile"):
        drafts.take("what-if 1")


# the panel


def test_saved_drafts_are_listed_with_who_and_when_and_as_text(kept):
    Drafts(kept).save({"torque": 14_600.0})
    Drafts(kept).rename(EVIL, {"face_width": 70.0})
    state = Sheet(record_of(kept.workspace, kept.book))
    page = draft_html(state, Drafts(kept), folds("saved"))
    assert "2 saved drafts" in words(page)
    assert (
        "torque 15200 to 14600 N·m. A. Fern, design, on 20 March 2026 at 09:30 UTC, on revision 1"
        in words(page)
    )
    assert "<img" not in page


def test_adopting_says_what_it_changes_and_which_concession_it_takes_away(desk):
    granted = {"about": ROOT, "reason": "The lift runs at half load.", "limit": "serial number 0007"}
    book = decisions.concede(desk.workspace, desk.book, desk.whole, by=HALE, **granted)
    kept = Kept(desk.workspace, book, FERN)
    state, drafts = Sheet(record_of(kept.workspace, kept.book)), Drafts(kept)
    state.move("torque", 14_000.0)
    drafts.save(state.draft)
    said = words(draft_html(state, drafts, folds("adopt")))
    assert "Adopt the draft as revision 2 of the record" in said
    assert "15200" in said
    assert "No longer holds then: Concession 3: Root stress" in said
    with pytest.raises(InputError, match="reason: missing"):
        write_draft(state, drafts, "adopt", {"reason": ""})
    write_draft(state, drafts, "adopt", {"reason": "Load agreed with the lock."})
    again = Sheet(record_of(kept.workspace, kept.book))
    again.move("torque", 13_000.0)
    assert "Concession" not in draft_html(again, drafts, folds("adopt"))  # it is stale already
    assert kept.book.revision.reason == "Load agreed with the lock."
    assert str(kept.book.revision.by) == "A. Fern, design"
    assert drafts.saved() == {}


def test_a_draft_that_was_dropped_meanwhile_is_not_adopted(kept):
    state = Sheet(record_of(kept.workspace, kept.book))
    with pytest.raises(InputError, match="it was dropped meanwhile"):
        write_draft(state, Drafts(kept), "adopt", {"reason": "Load agreed."})


# on the sheet


@pytest.fixture
def sheet(desk, monkeypatch):
    shown = []
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(desk.workspace.path))
    for where in (module, record_sheet):
        monkeypatch.setattr(where, "display", shown.append)
    found = open_sheet(f"record={desk.book.record}", scenarios() / "ship_lift" / "gear.toml")
    for show in (found.head, found.ladder, found.trades, found.sources, found.report):
        show()
    for name in NAMES:
        found.station(name)
    found.pieces = [piece for part in shown for piece in _pieces(part)]
    return found


def _pieces(widget):
    if isinstance(widget, Piece):
        yield widget
    for child in getattr(widget, "children", ()):
        yield from _pieces(child)


def _with(sheet, text):
    return next(piece for piece in sheet.pieces if text in piece.html)


def test_a_slider_that_rests_saves_the_draft_and_the_address_names_it(sheet):
    sheet.state.move("torque", 14_600.0)
    assert sheet._page.query == "record=SL-040_E&draft=what-if+1&torque=14600"
    sheet.state.move("torque", 14_400.0)
    sheet.state.move("torque", 14_600.0)  # worked out before: it is saved all the same
    assert values(sheet.drafts, "what-if 1") == {"torque": 14_600.0}
    assert "Adopt the draft" in _with(sheet, "gc-drafts").html
    assert "<b>Draft what-if 1:</b>" in _with(sheet, 'class="gc-draft"').html


def test_a_new_name_of_the_draft_stands_everywhere_at_once(sheet):
    sheet.state.move("torque", 14_600.0)
    panel = _with(sheet, "gc-drafts")
    panel._handle_custom_msg({"form": "rename", "values": {"name": "half load"}}, [])
    assert sheet._page.query == "record=SL-040_E&draft=half+load&torque=14600"
    assert "<b>Draft half load:</b>" in _with(sheet, 'class="gc-draft"').html


def test_nothing_of_the_workspace_is_touched_while_a_slider_moves(sheet, monkeypatch):
    touched = []
    sheet.kept.person = HALE
    needs = _with(sheet, f"beside:{ROOT}")
    for fold in (f"beside:{ROOT}", f"concede:{ROOT}"):
        needs._handle_custom_msg({"fold": fold, "open": True}, [])
    typed = {"reason": "The lift runs at half load.", "limit": "serial number 0007"}
    needs._handle_custom_msg({"form": f"concede:{ROOT}", "values": typed}, [])
    assert "Concession 3" in needs.html

    async def moving():
        for torque in (15_000.0, 14_800.0, 14_600.0):
            sheet.state.move("torque", torque)

    with monkeypatch.context() as patch:
        for name in ("_reading", "_writing"):
            patch.setattr(Workspace, name, lambda _, name=name: touched.append(name) or 1 / 0)
        asyncio.run(moving())
    assert sheet._trouble.value == ""
    assert touched == []
    sheet.state.settle()
    assert values(sheet.drafts, "what-if 1") == {"torque": 14_600.0}


def test_a_saved_draft_that_is_dropped_leaves_the_list_at_once(sheet):
    sheet.state.move("torque", 14_600.0)
    sheet.state.move("torque", 15_200.0)
    panel = _with(sheet, "One saved draft")
    panel._handle_custom_msg({"fold": "saved", "open": True}, [])
    assert "drop it" in panel.html
    panel._handle_custom_msg({"act": "forget:what-if 1"}, [])
    assert panel.html == ""
    assert sheet.drafts.saved() == {}


def test_what_stands_beside_a_number_is_written_where_it_is_read(sheet):
    needs = _with(sheet, f"beside:{ROOT}")
    needs._handle_custom_msg({"fold": f"beside:{ROOT}", "open": True}, [])
    needs._handle_custom_msg({"fold": f"ask:{ROOT}", "open": True}, [])
    sent = {"form": f"ask:{ROOT}", "values": {"text": f"Which load? {EVIL}"}, "folds": [f"ask:{ROOT}"]}
    needs._handle_custom_msg(sent, [])
    assert "Question 3: Which load? &lt;img" in needs.html
    assert "<form" not in needs.html
    assert "<img" not in needs.html


def test_a_concession_shows_on_the_sheet_and_hides_no_answer(sheet):
    sheet.kept.person = HALE
    needs, outcome = _with(sheet, f"beside:{ROOT}"), _with(sheet, "gc-outcome")
    before = re.search(r'<p class="gc-outcome"[^>]*>[^<]*', outcome.html)[0]
    for fold in (f"beside:{ROOT}", f"concede:{ROOT}"):
        needs._handle_custom_msg({"fold": fold, "open": True}, [])
    typed = {"reason": "The lift runs at half load.", "limit": "serial number 0007"}
    needs._handle_custom_msg({"form": f"concede:{ROOT}", "values": typed}, [])
    assert before in outcome.html
    assert "A concession covers one of them; that hides no answer." in outcome.html
    assert "conceded" in _with(sheet, "gc-ladder").html
    assert "Limited to: serial number 0007." in words(needs.html)


def test_only_what_is_in_trouble_offers_a_concession(sheet):
    met = next(item.key for item in sheet.requirements if item.station == "stress" and not item.troubled)
    needs = _with(sheet, f"beside:{ROOT}")
    for key in (ROOT, met):
        needs._handle_custom_msg({"fold": f"beside:{key}", "open": True}, [])
    assert f'data-fold="concede:{ROOT}"' in needs.html
    assert f'data-fold="ask:{met}"' in needs.html
    assert f'data-fold="concede:{met}"' not in needs.html
