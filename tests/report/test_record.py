"""What a report says of its record, and that what people wrote in it is only text."""

import dataclasses
import re

import pytest

from gearcheck.record.ledger import unconfirmed
from gearcheck.record.reading import book_of
from gearcheck.record.sealed import read_notebook
from gearcheck.report import minutes, record
from gearcheck.report.chapters import chapter, chapter_titles
from gearcheck.report.printed import printed
from tests.report.markup import Markup
from tests.report.told import DUE, EVIL, LONG

CHAPTERS = ("What changed", "Open points", "Dispositions", "Decisions", "Revisions of the record")


@pytest.fixture(scope="module")
def shown(released):
    """The text of each chapter, as it was handed out."""
    notebook = read_notebook(released["ipynb"].read_bytes())
    return {
        part.title: Markup("".join(text for kind, _, text in part.pieces if kind == "text/html"))
        for part in printed(notebook)
    }


@pytest.fixture(scope="module")
def written(told):
    """The book as it stood when it was put before the signers."""
    return book_of(told.book.events[: told.book.prepared.number - 1])


def test_the_chapters_of_a_record_stand_between_evidence_and_stations(told):
    plain, whole = chapter_titles(told.whole, None), chapter_titles(told.whole, told.book)
    first = whole.index("Drawing callouts") + 1
    assert whole[first : first + len(CHAPTERS)] == CHAPTERS
    assert plain[first] == "Geometry"
    assert [title for title in whole if title not in (*CHAPTERS, "Compared with the documents")] == list(
        plain
    )


@pytest.mark.parametrize(("title", "least"), list(zip(CHAPTERS, (2, 3, 0, 15, 3), strict=True)))
def test_what_people_wrote_is_only_text(shown, title, least):
    shown[title].check_harmless()
    assert shown[title].text.count(EVIL) >= least


def test_the_page_is_harmless_and_its_print_says_the_same(released, told):
    page = Markup(released["html"].read_text(encoding="utf-8"))
    page.check_harmless()
    assert page.text.count(EVIL) > 25
    assert told.book.prepared.digest in page.text
    assert "Missing: metallurgy." in page.text
    assert "A. Fern" in page.text


def test_what_changed_is_told_with_what_moved(shown, told):
    text = shown["What changed"].text
    revision = told.book.revision
    assert "Since the first revision of the record; none was signed yet:" in text
    assert f"Revision 2: {revision.reason}" in text
    assert all(change in text for change in revision.changes)
    assert revision.moved
    assert all(one["title"] in text for one in revision.moved)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"signed_revision": 1}, "Since revision 1 of the record, which was signed:"),
        ({"signed_revision": 2}, "Nothing changed since revision 2 of the record, which was signed."),
        ({"revisions": 1}, "This is the first revision of the record."),
    ],
    ids=["signed before", "signed now", "first"],
)
def test_it_says_since_when_it_changed(written, changes, sentence):
    if changes.get("revisions"):
        changes = {"revisions": written.revisions[:1]}
    assert sentence in record.changed(dataclasses.replace(written, **changes)).html


def test_a_revision_of_words_only_says_so(written):
    last = dataclasses.replace(written.revision, changes=(), moved=())
    found = record.changed(dataclasses.replace(written, revisions=(written.revisions[0], last))).html
    assert "No input changed; only the words of the gear file did." in found


def test_decisions_tell_who_why_and_how_far(shown, written):
    text = shown["Decisions"].text
    assert "A concession hides nothing" in text
    for item in written.concessions:
        assert f"{item.number}, {item.title}" in text
        assert item.reason in text
    assert f"Lot 7 {EVIL}." in text
    assert "A. Fern, design, on 2 March 2026" in text
    assert "on revision 1 of the record" in text
    assert shown["Decisions"].text.count("open") >= 3  # one question, two actions


def test_a_concession_that_no_longer_holds_says_why(told, written):
    gone = dataclasses.replace(told.whole, requirements=())
    assert record.decisions(told.whole, written).html.count('class="answer holds"') == len(
        written.concessions
    )
    found = record.decisions(gone, written).html
    assert found.count('class="answer stale"') == len(written.concessions)
    assert found.count("is no longer required") == len(written.concessions)


def test_every_revision_is_listed_with_its_digest(shown, written):
    text = shown["Revisions of the record"].text
    assert "It is signed by: design, metallurgy, quality." in text
    for item in written.revisions:
        assert item.digest[:12] in text
        assert item.digest[:13] not in text
        assert item.reason in text


def test_what_was_compared_and_what_nobody_compared(shown, told):
    text = shown["Compared with the documents"].text
    assert f"ISO {EVIL}, {EVIL}, on 2026-03-01" in text
    waiting = unconfirmed(told.whole, told.book)
    assert f"these {len(waiting)} values" in text
    assert all(item.title in text for item in waiting)


def test_the_agenda_has_what_blocks_first_and_the_days_in_their_order(told, written):
    text = Markup(minutes.agenda(told.whole, written).html).text
    assert text.index("Nothing blocks signing.") < text.index(LONG) < text.index("Open actions")
    days = [text.index(f"{day}, {EVIL}") for day in sorted(DUE)]
    assert days == sorted(days)
    assert "File it." not in text
    granted = dataclasses.replace(written, concessions=())
    html = minutes.agenda(told.whole, granted).html
    assert html.index("What blocks signing:") < html.index("<li>")
    assert html.count("lifts this.") == len(written.concessions)
    fails = Markup(html).text
    assert fails.index("fails by calculation") < fails.index("has stale evidence")


def test_an_agenda_with_nothing_on_it_says_so(told, written):
    bare = dataclasses.replace(written, questions=(), actions=())
    assert "No question and no action is open." in minutes.agenda(told.whole, bare).html


def test_the_minutes_tell_every_entry_once_day_by_day(told, written):
    html = minutes.minutes(told.whole, written).html
    lines = re.findall(r"<li>(.*?)</li>", html)
    assert len(lines) == len(written.events)
    days = re.findall(r"<h4>(\d+) March 2026</h4>", html)
    assert list(map(int, days)) == sorted({int(event.at[8:10]) for event in written.events})
    assert all(line.endswith((".", "?")) and "?." not in line and ".." not in line for line in lines)
    text = Markup(html).text
    assert f"confirmed values against ISO {EVIL}: 3 values, {EVIL}." in text
    assert f"For one lot {EVIL}. Limited to 12 {EVIL}." in text


def test_chapters_are_the_same_at_every_time(told, written):
    for title in CHAPTERS:
        assert chapter(told.whole, written, title) == chapter(told.whole, written, title)
