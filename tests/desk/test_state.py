"""The state of a sheet without a browser: set a trait, read a trait."""

import asyncio
import threading

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.desk import state as module
from gearcheck.desk.panels.numbers import settling
from gearcheck.desk.state import Sheet
from gearcheck.record.affected import aged_by_draft
from gearcheck.review.changes import changed, open_changes
from gearcheck.review.draft import draft_from_query
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations.contact import LATER
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def record():
    return read_gear_file(scenarios() / "ship_lift" / "gear.toml")


@pytest.fixture
def sheet(record):
    return Sheet(record)


def reserves(whole):
    return {item.key: item.reserve.factor for item in whole.requirements if item.reserve}


def test_without_a_draft_the_record_is_shown(sheet, record):
    assert sheet.shown is sheet.ghost
    assert (sheet.query, sheet.words) == ("", "")
    assert reserves(sheet.shown) == reserves(review(record))


@pytest.mark.parametrize("share", [slice(0, None, 6), pytest.param(slice(None), marks=pytest.mark.slow)])
def test_each_move_shows_what_a_full_review_of_the_changed_record_shows(sheet, record, share):
    for change in open_changes(record)[share]:
        low, _ = change.bounds(record)
        value = round((low + float(change.read(record))) / 2, change.digits)
        value = float(round(value)) if change.whole else value
        sheet.drop()
        sheet.move(change.key, value)
        cold = review(aged_by_draft(record, changed(record, {change.key: value})))
        assert sheet.shown.requirements == cold.requirements, change.key
        assert sheet.settled
        assert [item.required.depth_mm for item in sheet.shown.settled] == [
            item.required.depth_mm for item in cold.settled
        ]


def test_the_record_stays_and_is_the_ghost(sheet, record):
    before = reserves(sheet.ghost)
    sheet.move("torque", 14_000.0)
    assert sheet.record is record
    assert reserves(sheet.ghost) == before
    assert reserves(sheet.shown)["stress.root.drum.gear"] > before["stress.root.drum.gear"]
    assert sheet.words == "torque 15200 to 14000 N·m"


def test_the_draft_goes_through_the_address_and_back(sheet, record):
    sheet.move("torque", 14_000.0)
    sheet.move("class", 5.0)
    again = Sheet(record, sheet.query)
    assert again.draft == sheet.draft == {"torque": 14_000.0, "class": 5.0}
    assert again.shown.requirements == sheet.shown.requirements
    assert draft_from_query(sheet.query, record) == (sheet.draft, ())


def test_what_the_address_asks_in_vain_is_said(record):
    sheet = Sheet(record, "torque=nan&class=99&other=1")
    assert sheet.draft == {}
    assert len(sheet.refused) == 2


def test_an_input_moved_back_leaves_the_draft(sheet):
    sheet.move("torque", 14_000.0)
    sheet.move("torque", 15_200.0)
    assert sheet.draft == {}
    assert sheet.shown is sheet.ghost
    sheet.move("torque", 14_000.0)
    sheet.drop()
    assert sheet.query == ""
    assert sheet.shown is sheet.ghost


def test_one_move_is_told_once_with_everything_in_place(sheet):
    told = []
    sheet.observe(lambda event: told.append((event.name, sheet.query, sheet.shown is sheet.ghost)), "shown")

    async def move():
        sheet.move("torque", 14_000.0)

    asyncio.run(move())
    assert told == [("shown", "torque=14000", False)]


def test_the_slower_work_waits_until_the_slider_rests(sheet, monkeypatch):
    monkeypatch.setattr(module, "REST_S", 0.1)
    asked = []
    real = sheet._worked_out
    monkeypatch.setattr(
        sheet, "_worked_out", lambda draft, whole: asked.append(dict(draft)) or real(draft, whole)
    )

    async def journey():
        for torque in (15_000.0, 14_500.0, 14_000.0):
            sheet.move("torque", torque)
            await asyncio.sleep(0.02)
        assert not sheet.settled
        assert sheet.shown.settled == ()
        assert sheet.drawn.settled == sheet.ghost.settled  # in grey, until the new ones are there
        await asyncio.wait_for(settled(), 20)

    async def settled():
        while not sheet.settled:
            await asyncio.sleep(0.02)

    asyncio.run(journey())
    assert asked == [{"torque": 14_000.0}]
    cold = review(changed(sheet.record, {"torque": 14_000.0}))
    assert sheet.shown.settled[0].required.depth_mm == cold.settled[0].required.depth_mm


def test_what_is_solved_does_not_wait_for_the_trades(sheet, monkeypatch):
    monkeypatch.setattr(module, "REST_S", 0.0)
    go_on, real = threading.Event(), sheet._worked_out
    monkeypatch.setattr(sheet, "_worked_out", lambda *given: go_on.wait(20) and real(*given))

    async def journey():
        sheet.move("torque", 14_000.0)
        assert settling(sheet)
        while not sheet.shown.settled:
            await asyncio.sleep(0.02)
        assert not settling(sheet)
        assert not sheet.settled
        assert sheet.slower is None
        go_on.set()
        while not sheet.settled:
            await asyncio.sleep(0.02)

    asyncio.run(asyncio.wait_for(journey(), 30))


def test_what_comes_too_late_is_not_shown(sheet, monkeypatch):
    monkeypatch.setattr(module, "REST_S", 0.0)
    go_on, real = threading.Event(), sheet._worked_out

    def slow(draft, whole):
        if draft == {"torque": 14_000.0}:
            go_on.wait(20)
        return real(draft, whole)

    monkeypatch.setattr(sheet, "_worked_out", slow)

    async def journey():
        sheet.move("torque", 14_000.0)
        await asyncio.sleep(0.05)
        sheet.move("torque", 16_000.0)
        go_on.set()
        while not sheet.settled:
            await asyncio.sleep(0.02)

    asyncio.run(asyncio.wait_for(journey(), 30))
    assert sheet.draft == {"torque": 16_000.0}
    cold = review(changed(sheet.record, {"torque": 16_000.0}))
    assert sheet.shown.requirements == cold.requirements
    assert set(sheet.slower.remedies) == {
        item.key for item in cold.requirements if item.by_calculation == "fails"
    }


def test_a_sheet_of_one_station_mends_its_own_trouble_and_weighs_no_trades(record):
    """Teeth of class 11 fail at three stations."""
    state = Sheet(record, "class=11", station="stress")
    state.settle()
    failing = {item.key: item.station for item in state.shown.requirements if item.by_calculation == "fails"}
    assert {*failing.values()} > {"stress"}
    assert set(state.slower.remedies) == {key for key, station in failing.items() if station == "stress"}
    assert state.slower.trades is None


def test_a_draft_that_was_worked_out_once_is_remembered(sheet, monkeypatch):
    sheet.move("torque", 14_000.0)
    found = sheet.slower
    sheet.drop()
    monkeypatch.setattr(module, "trade", None)  # would fail if it were asked again
    sheet.move("torque", 14_000.0)
    assert sheet.slower is found
    assert sheet.settled


def test_trouble_in_the_slower_work_is_handed_on(sheet, monkeypatch):
    monkeypatch.setattr(module, "REST_S", 0.0)
    told = []
    sheet.on_failure = told.append

    def fail(*_):
        raise RuntimeError("no room")

    monkeypatch.setattr(sheet, "_worked_out", fail)

    async def journey():
        sheet.move("torque", 14_000.0)
        while not told:
            await asyncio.sleep(0.01)

    asyncio.run(asyncio.wait_for(journey(), 10))
    assert str(told[0]) == "no room"
    assert not sheet.settled


def test_two_ways_to_move_the_same_do_not_stand_beside_one_another():
    state = Sheet(read_gear_file(scenarios() / "tram_bogie" / "gear.toml"))

    async def moved():
        """With a loop nothing rests, and the slower work is not waited for."""
        state.move("boost_time", 4.0)
        state.move("diffuse_time", 2.0)
        assert state.draft == {"boost_time": 4.0, "diffuse_time": 2.0}
        state.move("furnace_time", 8.0)
        assert state.draft == {"furnace_time": 8.0}
        state.move("diffuse_time", 2.0)
        assert state.draft == {"diffuse_time": 2.0}

    asyncio.run(moved())


def test_the_loaded_contact_follows_and_stands_greyed_until_then(monkeypatch):
    tram = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
    sheet = Sheet(tram)
    before = {item.key: item.reserve for item in sheet.shown.requirements if item.station == "contact"}
    monkeypatch.setattr(sheet, "rest", lambda: None)
    sheet.move("helix_crowning", 6.0)
    waiting = [item for item in sheet.shown.requirements if item.station == "contact"]
    assert {item.reason for item in waiting} == {LATER} and settling(sheet)
    assert sheet.shown.contact == () and sheet.drawn.contact == sheet.ghost.contact
    sheet.settle()
    cold = review(aged_by_draft(tram, changed(tram, {"helix_crowning": 6.0})))
    assert sheet.shown.requirements == cold.requirements
    after = {item.key: item.reserve for item in sheet.shown.requirements if item.station == "contact"}
    assert before.keys() == after.keys() and before != after
