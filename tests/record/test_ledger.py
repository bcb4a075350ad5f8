"""What rests on memory is confirmed value by value, and confirmed anew where the program changed it."""

from dataclasses import replace

import pytest

from gearcheck.basics.methods import Status
from gearcheck.desk.panels.numbers import source
from gearcheck.record import ledger
from gearcheck.record.book import Confirmation
from gearcheck.record.closing import confirm
from gearcheck.record.ledger import confirmables, unconfirmed, with_confirmed
from gearcheck.report.sections import requirements
from gearcheck.requirements.types import CONFIRMED
from gearcheck.review.sources import resting_on
from tests.record.opened import AT, FERN, opened

SEEN = {"edition": "ISO 6336-3:2019", "clause": "clause 5", "date": "2026-03-19"}
METHOD = "method:iso6336_3.root_safety"


@pytest.fixture(scope="module")
def fan(tmp_path_factory):
    return opened(tmp_path_factory.mktemp("ledger"), "tunnel_fan")


def confirmed(book, items):
    """A book in which these are confirmed, as they stand."""
    about = {"number": 3, "by": FERN, "at": AT, "revision": 1}
    found = tuple(Confirmation(**about, **SEEN, what=item.what, content=item.content) for item in items)
    return replace(book, confirmations=found)


def test_all_that_was_not_seen_in_print_is_listed_once(fan):
    items = confirmables(fan.whole, fan.book)
    assert len({item.what for item in items}) == len(items) > 20
    assert all(item.status is not Status.PUBLISHED and item.confirmation is None for item in items)
    known = {
        f"{kind}:{one.key}": one
        for entry in resting_on(fan.whole)
        for kind, found in (("method", entry.methods), ("table", entry.tables))
        for one in found
    }
    weak = {
        what
        for what, one in known.items()
        if (one.status if what.startswith("method") else ledger.weakest(row["status"] for row in one.rows))
        is not Status.PUBLISHED
    }
    assert weak == {item.what for item in items}
    assert unconfirmed(fan.whole, fan.book) == items


def test_what_governs_a_requirement_is_listed_though_no_working_shows_it(fan):
    listed = {item.what for item in confirmables(fan.whole, fan.book)}
    weak = {f"method:{item.method}" for item in fan.whole.requirements if item.status != Status.PUBLISHED}
    assert weak <= listed
    assert "method:drawing.case_window" in listed


def test_the_mark_goes_where_method_and_tables_were_confirmed(fan):
    items = confirmables(fan.whole, fan.book)
    behind = {
        METHOD,
        *(f"table:{key}" for key in ("iso6336_3_limits", "iso6336_life")),
    }
    root = {item.key for item in fan.whole.requirements if item.method == "iso6336_3.root_safety"}
    assert root

    def marked(some):
        whole = with_confirmed(fan.whole, confirmed(fan.book, some))
        assert [replace(item, status="") for item in whole.requirements] == [
            replace(item, status="") for item in fan.whole.requirements
        ]
        return {item.key for item in whole.requirements if item.status == CONFIRMED}

    needed = {METHOD} | ledger._behind(fan.whole)["iso6336_3.root_safety"]
    assert behind <= needed
    assert marked([item for item in items if item.what == METHOD]) == set()
    assert marked([item for item in items if item.what in needed]) == root
    for left_out in needed & {item.what for item in items}:
        some = [item for item in items if item.what in needed and item.what != left_out]
        assert marked(some) == set(), left_out
    assert marked(items) == {item.key for item in fan.whole.requirements if item.status != Status.PUBLISHED}
    assert unconfirmed(fan.whole, confirmed(fan.book, items)) == ()


@pytest.mark.parametrize("part", ["methods", "tables"])
def test_a_changed_value_is_confirmed_anew(fan, monkeypatch, part):
    book = confirmed(fan.book, confirmables(fan.whole, fan.book))
    entries = list(resting_on(fan.whole))
    place = next(
        number
        for number, entry in enumerate(entries)
        if any(
            f"{part[:-1]}:{one.key}" in {item.what for item in confirmables(fan.whole, fan.book)}
            for one in getattr(entry, part)
        )
    )
    first, *rest = getattr(entries[place], part)
    if part == "methods":
        first = replace(first, departures=(*first.departures, "and another one"))
    else:
        row = dict(first.rows[0])
        name = next(key for key, value in row.items() if isinstance(value, float | int))
        first = replace(first, rows=({**row, name: row[name] + 1e-6}, *first.rows[1:]))
    entries[place] = replace(entries[place], **{part: (first, *rest)})
    monkeypatch.setattr(ledger, "resting_on", lambda whole: tuple(entries))
    assert {item.what for item in unconfirmed(fan.whole, book)} == {f"{part[:-1]}:{first.key}"}


def test_what_was_confirmed_carries_who_and_where(tmp_path):
    fan = opened(tmp_path, "tunnel_fan")
    before = fan.requirement("stress.root.wheel.gear").status
    needed = ledger._behind(fan.whole)["iso6336_3.root_safety"]
    items = [item.what for item in confirmables(fan.whole, fan.book) if item.what in needed]
    fan.do(confirm, fan.whole, items=[*items, items[0]], **SEEN)
    assert len(fan.book.confirmations) == len(items)
    found = {item.what: item.confirmation for item in confirmables(fan.whole, fan.book) if item.confirmation}
    assert set(found) == set(items)
    one = found[METHOD]
    assert (one.by, one.edition, one.clause, one.date, one.revision) == (FERN, *SEEN.values(), 1)
    assert before == "from memory"
    assert fan.requirement("stress.root.wheel.gear").status == CONFIRMED


def test_a_confirmed_requirement_carries_no_mark_on_the_page_or_in_print(fan):
    item = fan.requirement("stress.root.wheel.gear")
    assert "from memory" in source(item.cite, item.status)
    assert source(item.cite, CONFIRMED) == source(item.cite, Status.PUBLISHED)
    seen = with_confirmed(fan.whole, confirmed(fan.book, confirmables(fan.whole, fan.book)))
    for mark in ("(from memory)", "(common practice)"):
        assert mark in str(requirements(fan.whole).html)
        assert mark not in str(requirements(seen).html)


def test_the_metal_is_confirmed_only_with_the_limits_of_the_acceptance_documents(fan):
    items = confirmables(fan.whole, fan.book)
    listed = {item.what for item in items}
    tables = {f"table:{key}" for key in ("acceptance", "decision_rules", "order_rules", "characteristics")}
    assert {"method:inspection.metallurgy", "method:iso14253_1.decision", *tables} <= listed
    metal = {item.key for item in fan.whole.requirements if item.method == "inspection.metallurgy"}
    for missing, marked in (("table:acceptance", set()), ("table:decision_rules", metal)):
        some = [item for item in items if item.what != missing]
        whole = with_confirmed(fan.whole, confirmed(fan.book, some))
        assert {item.key for item in whole.requirements if item.status == CONFIRMED} & metal == marked
