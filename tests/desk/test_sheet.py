"""The sheet as a workbook uses it, and the workbooks themselves."""

import ast
import json
from pathlib import Path

import pytest

from gearcheck.basics.places import scenarios, workbooks
from gearcheck.desk import record_sheet
from gearcheck.desk import sheet as module
from gearcheck.desk.opening import gear_file
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.sheet import OpenSheet, RefusedSheet, open_sheet
from gearcheck.review.stations import NAMES

FAN = scenarios() / "tunnel_fan" / "gear.toml"
BOOKS = sorted(workbooks().glob("*.ipynb"))


@pytest.fixture(autouse=True)
def workspace(tmp_path, monkeypatch):
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(tmp_path / "workspace.sqlite"))


@pytest.fixture
def shown(monkeypatch):
    found = []
    for where in (module, record_sheet):
        monkeypatch.setattr(where, "display", found.append)
    return found


def test_the_gear_file_is_the_one_that_the_desk_was_opened_with(monkeypatch):
    monkeypatch.setenv("GEARCHECK_FILE", "mine.toml")
    assert gear_file() == Path("mine.toml")
    monkeypatch.delenv("GEARCHECK_FILE")
    assert gear_file() == FAN


def test_a_sheet_shows_all_its_panels_and_keeps_the_address(shown):
    sheet = open_sheet("torque=1400", FAN)
    sheet.head()
    sheet.ladder()
    for name in NAMES:
        sheet.station(name)
    sheet.trades()
    sheet.sources()
    sheet.report()
    assert len(shown) == 5 + len(NAMES)
    assert len(sheet.requirements) == 37
    assert sheet._page.query == "record=TF-118_C&torque=1400"
    sheet.state.drop()
    assert sheet._page.query == "record=TF-118_C"
    assert sheet._trouble.value == ""


def test_the_slower_work_begins_when_the_page_stands(shown):
    sheet = open_sheet("torque=1400", FAN)
    assert sheet.state.slower is None
    sheet._page._handle_custom_msg({"beat": 1}, [])
    assert sheet.state.settled
    found = sheet.state.slower
    sheet._page._handle_custom_msg({"beat": 2}, [])
    assert sheet.state.slower is found


def pieces_of(widget):
    if isinstance(widget, Piece):
        yield widget
    for child in getattr(widget, "children", ()):
        yield from pieces_of(child)


def test_the_trouble_of_each_piece_is_told_whatever_the_others_do(shown):
    sheet = open_sheet("", FAN)
    for show in (sheet.head, sheet.ladder, sheet.trades, sheet.sources):
        show()
    for name in NAMES:
        sheet.station(name)
        sheet._act(f"open:{name}")
    pieces = [piece for part in shown for piece in pieces_of(part)][1:]  # the part line follows nothing
    pieces = [piece for piece in pieces if piece._form is None and "gc-others" not in piece.html]

    def fail(_):
        raise RuntimeError("no room")

    for piece in pieces:
        build, piece._build = piece._build, fail
        sheet.state.move("torque", 1400.0)
        assert "RuntimeError (no room)" in sheet._trouble.value, piece.html[:80]
        piece._build = build
        sheet.state.drop()
        assert sheet._trouble.value == "", piece.html[:80]


def test_trouble_of_the_slower_work_goes_when_it_is_done(shown):
    sheet = open_sheet("", FAN)
    sheet.state.on_failure(RuntimeError("no room"))
    assert "RuntimeError (no room)" in sheet._trouble.value
    sheet.state.move("torque", 1400.0)
    assert sheet._trouble.value == ""


def test_what_the_address_asks_in_vain_is_told(shown):
    sheet = open_sheet("class=99", FAN)
    assert "Accuracy class: given 99" in sheet._trouble.value


def test_a_file_that_cannot_be_read_is_told_on_the_sheet(tmp_path, shown):
    file = tmp_path / "gear.toml"
    file.write_text(FAN.read_text(encoding="utf-8").replace("teeth = 23", "teeth = 2"), encoding="utf-8")
    sheet = open_sheet("", file)
    assert isinstance(sheet, RefusedSheet)
    sheet.head()
    sheet.ladder()
    sheet.station("stress")
    sheet.report()
    assert len(shown) == 1
    assert "teeth" in shown[0].children[0].value
    assert sheet.requirements == ()


def test_a_closed_station_draws_nothing_until_it_is_opened():
    sheet = open_sheet("", FAN)
    assert isinstance(sheet, OpenSheet)
    stress, geometry = sheet._stations["stress"], sheet._stations["geometry"]
    assert all(chart.spec for chart in stress.charts.values())
    assert not any(chart.spec for chart in geometry.charts.values())
    sheet._act("open:geometry")
    assert all(chart.spec for chart in geometry.charts.values())
    assert geometry.body.layout.display is None
    geometry._act("toggle:")
    assert geometry.body.layout.display == "none"


def test_a_move_changes_the_rows_of_a_chart_and_nothing_else():
    sheet = open_sheet("", FAN)
    charts = sheet._stations["stress"].charts
    before = {title: chart.spec for title, chart in charts.items()}
    sheet.state.move("torque", 1400.0)
    for title, chart in charts.items():
        assert chart.spec["datasets"] != before[title]["datasets"]
        assert {**chart.spec, "datasets": 0} == {**before[title], "datasets": 0}


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.stem)
def test_a_workbook_is_thin_and_holds_no_output(book):
    cells = json.loads(book.read_text(encoding="utf-8"))["cells"]
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    assert 0 < len(code) <= 12
    for cell in code:
        source = "".join(cell["source"])
        assert cell["outputs"] == []
        assert cell["execution_count"] is None
        assert len(source.splitlines()) <= 6
        arithmetic = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.BinOp)]
        assert not arithmetic
    assert code[-1]["metadata"].get("tags") == ["check"]
    assert "assert" in "".join(code[-1]["source"])
