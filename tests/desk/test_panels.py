"""What the panels say, as text, and that nothing from a file becomes markup."""

import dataclasses
import html
import re

import pytest

from gearcheck.basics.digits import MINUS, NO_BREAK
from gearcheck.basics.places import scenarios
from gearcheck.desk.panels import head, sources, trades
from gearcheck.desk.panels.controls import PLACES, controls, grid, sliders
from gearcheck.desk.panels.ladder import ladder_html
from gearcheck.desk.panels.needs import needs_html, tried
from gearcheck.desk.panels.numbers import marked, whole
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.sentences import argument_html, lead_html
from gearcheck.desk.panels.workings import workings_html
from gearcheck.desk.state import Sheet
from gearcheck.review.changes import CHANGES
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations import NAMES
from gearcheck.review.whole import outcome, review
from gearcheck.stress.inputs import Readings

EVIL = '<img src=x onerror="alert(1)">\'&'
TRADED = [change for change in CHANGES if change.traded]


def record_of(name):
    return read_gear_file(scenarios() / name / "gear.toml")


@pytest.fixture(scope="module")
def lift():
    sheet = Sheet(record_of("ship_lift"))
    sheet.settle()
    return sheet


def quiet(who, lines):
    assert not lines, lines


class AllOpen(Folds):
    """Every fold is open."""

    def __init__(self):
        super().__init__()
        self.opened = _Everything()


class _Everything(set):
    def __contains__(self, _):
        return True


def whole_page(sheet):
    folds = AllOpen()
    parts = [
        head.head_html(sheet.record.part, None, folds),
        head.outcome_html(sheet.shown),
        head.aside_html(sheet),
        head.draft_bar_html(sheet),
        ladder_html(sheet.shown, sheet.ghost, folds),
        trades.trades_html(sheet),
        sources.sources_html(sheet.shown, folds),
        sources.cautions_html(),
    ]
    for name in NAMES:
        parts += [lead_html(sheet, name), argument_html(sheet, name), needs_html(sheet, name, folds)]
        parts.append(workings_html(sheet.shown, name, folds))
    return "".join(parts)


def read(page):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


@pytest.mark.parametrize("name", ["tunnel_fan", "harvester", "ship_lift"])
def test_every_demo_gear_is_told_from_head_to_foot(name):
    sheet = Sheet(record_of(name))
    sheet.settle()
    page = whole_page(sheet)
    said = read(page)
    assert outcome(sheet.shown) in said
    for item in sheet.shown.requirements:
        assert html.escape(item.title) in page
    assert re.findall(r"\b(?:nan|None(?! of)|inf)\b", said) == []
    for tag in ("div", "section", "details", "table", "ul", "li", "p", "span", "button"):
        assert len(re.findall(f"<{tag}[ >]", page)) == page.count(f"</{tag}>"), tag


def test_text_of_a_file_is_never_markup():
    record = record_of("ship_lift")
    part = dataclasses.replace(record.part, number=EVIL, revision=EVIL, title=EVIL, note=EVIL)

    def told(item):
        return dataclasses.replace(
            item,
            head=dataclasses.replace(
                item.head, applies_to=EVIL, by=EVIL, date=EVIL, revision=EVIL, source=EVIL, instrument=EVIL
            ),
        )

    evil = dataclasses.replace(
        record,
        part=part,
        required=dataclasses.replace(record.required, set_by=EVIL),
        meshes=tuple(dataclasses.replace(mesh, name=EVIL) for mesh in record.meshes),
        pitch=tuple(told(item) for item in record.pitch),
        case_depth=tuple(told(item) for item in record.case_depth),
        hardness=tuple(told(item) for item in record.hardness),
    )
    sheet = Sheet(evil)
    sheet.settle()
    page = whole_page(sheet)
    assert "<img" not in page
    assert "&lt;img" in page
    for _, value in re.findall(r'(data-key|data-fold|data-act|title)="([^"]*)"', page):
        assert "<" not in value


def test_what_fails_and_what_is_contradicted_is_said_in_the_head(lift):
    said = read(head.outcome_html(lift.shown))
    root = next(item for item in lift.shown.requirements if item.key == "stress.root.drum.gear")
    assert f"Fails: root stress, the gear against drum: {root.native.replace('_', ' ')}." in said
    assert "Contradicted: case after grinding, left flank: 1.55 mm left" in said
    assert "5 requirements block the release review." in said


def test_both_answers_stand_in_a_row_and_are_never_mixed(lift):
    page = needs_html(lift, "case depth", Folds())
    row = re.search(r'data-key="case.left.left".*?(?=<div class="gc-row|</section>)', page, re.DOTALL)[0]
    assert 'class="gc-answer meets"' in row
    assert 'class="gc-answer contradicted"' in row
    assert "N. Farrow" in row
    assert "2026-02-26" in read(row)


def test_what_wants_a_look_can_be_jumped_to(lift):
    page = "".join(needs_html(lift, name, Folds()) for name in NAMES)
    marked_rows = re.findall(r'data-key="([^"]+)" data-trouble', page)
    measured = ["case.left.left", "accuracy.single.right", "quality.retained_austenite", "quality.oxidation"]
    assert marked_rows == ["stress.root.drum.gear", *measured]


def test_every_link_of_the_ladder_leads_to_a_row(lift):
    page = ladder_html(lift.shown, lift.ghost, AllOpen())
    rows = "".join(needs_html(lift, name, Folds()) for name in NAMES)
    links = re.findall(r'href="#([^"]+)"', page)
    assert len(links) == len(lift.shown.requirements)
    assert set(links) == set(re.findall(r'id="([^"]+)"', rows))


def test_a_remedy_can_be_tried(lift):
    page = needs_html(lift, "stress", AllOpen())
    act = re.search(r'data-act="try:(torque=[^"]+)"', page)[1]
    sheet = Sheet(lift.record)
    sheet.move(*tried(act))
    item = next(item for item in sheet.shown.requirements if item.key == "stress.root.drum.gear")
    assert item.by_calculation == "meets"
    assert sheet.words in read(head.draft_bar_html(sheet))
    assert "none fails; record: 1 fails" in read(head.draft_bar_html(sheet))


def test_without_a_draft_there_is_no_line_for_one(lift):
    assert head.draft_bar_html(lift) == ""


def test_a_moved_margin_shows_the_record_beside_it():
    sheet = Sheet(record_of("tunnel_fan"), "torque=1400")
    page = ladder_html(sheet.shown, sheet.ghost, Folds())
    assert page.count("gc-ghost") == 5
    for item in sheet.ghost.requirements:
        if item.reserve is not None:
            assert f"record {item.reserve.factor:.2f}" in page


def test_numbers_that_wait_say_so():
    sheet = Sheet(record_of("ship_lift"), "torque=16000")
    assert not sheet.settled
    assert 'class="gc-settling"' in argument_html(sheet, "case depth")
    assert "gc-settling" in trades.trades_html(sheet)
    assert "gc-settling" in needs_html(sheet, "stress", AllOpen())
    assert read(head.draft_bar_html(sheet)).count("slower numbers follow") == 1
    sheet.settle()
    assert "gc-settling" not in whole_page(sheet)


def test_workings_are_made_only_when_they_are_opened(lift):
    folds = Folds()
    closed = workings_html(lift.shown, "stress", folds)
    folds.opened |= {"workings", "work:Load cycles, drum"}
    opened = workings_html(lift.shown, "stress", folds)
    assert len(closed) < 200
    assert "60·n·L_h·k" not in closed
    assert "N L = 60·n·L h ·k" in read(opened)


def test_the_ledger_names_what_was_not_seen_in_print(lift):
    said = read(sources.sources_html(lift.shown, AllOpen()))
    assert "ISO 6336-2:2019" in said
    assert "from memory" in said
    assert "Life factor at 10¹⁰ load cycles 0.85" in said


def test_the_trade_table_has_a_column_for_each_input_and_a_row_for_each_margin_that_moves(lift):
    page = trades.trades_html(lift)
    reserves, shares = page.split("<table")[1:]
    for table in (reserves, shares):
        heads = re.findall(r'<th scope="col" class="num">([^<]+)', table)
        assert len(heads) == len(TRADED)
        assert read(heads[0]) == "Torque 15200 to 15960 N·m"
        for row in re.findall(r"<tr><th scope=.row.*?</tr>", table):
            cells = re.findall(r"<td[^>]*>([^<]*)", row)
            assert len(cells) == len(TRADED)
            assert set(cells) != {"·"}
    torque = re.search(r"Root stress, the gear against drum</th><td class=.num.>([^<]+)", reserves)[1]
    assert torque == f"{MINUS}0.05"
    assert "Accuracy class" not in re.findall(r'<th scope="row">([^<]+)', shares)
    assert "both flanks" in shares
    assert "No step moves any of the other margins." in page


def test_what_moves_along_with_an_input_is_said_beside_it(lift):
    said = read(trades.together_html(lift))
    remedies = read(needs_html(lift, "stress", AllOpen()))
    for change in TRADED:
        assert f"{change.label}: {change.goes_with}." in said
    assert f"({next(one for one in CHANGES if one.key == 'face_width').goes_with})" in remedies
    assert "all else held" not in said + remedies
    notes = [one.value for one in controls(lift, "geometry", quiet)[1::2]]
    assert len(notes) == 1
    assert "the mates give back the shift" in notes[0]


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.key)
@pytest.mark.parametrize("name", ["tram_bogie", "tunnel_fan", "ship_lift"])
def test_a_slider_can_stand_at_the_value_of_the_record(change, name):
    record = record_of(name)
    if change.read(record) is None:
        # it knows its oil, its furnace and its grind, and not the size of its teeth
        assert name != "tram_bogie" or change.key == "thickness"
        return
    value = float(change.read(record))
    low, high, step = grid(change, value, *change.bounds(record))
    least, most = change.bounds(record)
    assert least - 1e-9 <= low <= value <= high <= most + 1e-9
    steps = (value - low) / step
    assert steps == pytest.approx(round(steps), abs=1e-6)
    assert (high - low) / step <= 130


def test_each_input_has_its_slider_at_one_station_and_moves_the_draft():
    sheet = Sheet(record_of("tunnel_fan"))
    found = {name: sliders(sheet, name, quiet) for name in NAMES}
    placed = {change.key for change in sheet.changes} & {*PLACES}
    assert sum(len(some) for some in found.values()) == len(placed) == len(TRADED)
    assert {key for key in PLACES if key not in placed} == {"relief_start", "helix_crowning", "misalignment"}
    torque = found["stress"][0]
    assert "record 1290" in torque.description
    torque.value = 1400.0
    assert sheet.draft == {"torque": 1400.0}
    sheet.drop()
    assert torque.value == 1290.0
    rough = torque.step
    sheet.move("torque", 1333.0)  # between two steps: the browser must not round it
    assert torque.value == 1333.0
    assert torque.step == 1.0
    sheet.drop()
    assert torque.step == rough > 1.0


def test_a_piece_follows_its_folds_and_tells_trouble():
    acts, told = [], []

    def act(what):
        if what == "break":
            raise RuntimeError("no room")
        acts.append(what)

    piece = Piece(
        lambda folds: folds.fold("a", "more", lambda: "inside"), lambda who, lines: told.append(lines), act
    )
    assert "inside" not in piece.html
    piece._handle_custom_msg({"fold": "a", "open": True}, [])
    assert "inside" in piece.html
    piece._handle_custom_msg({"fold": "a", "open": False}, [])
    assert "inside" not in piece.html
    piece._handle_custom_msg({"act": "drop"}, [])
    piece._handle_custom_msg("nonsense", [])
    assert acts == ["drop"]
    assert not any(told)
    piece._handle_custom_msg({"act": "break"}, [])
    assert "RuntimeError (no room)" in told[-1][0]


def test_symbols_and_standards_are_written_as_the_trade_does():
    assert marked("σ_H < 2") == "σ<sub>H</sub> &lt; 2"
    assert whole("ISO 6336-2:2019") == 'ISO <span class="gc-whole">6336-2:2019</span>'


@pytest.mark.parametrize("words", ["1.60 mm", "13.0 µm of", "660 HV asked", "24 rpm.", "class 6", "tooth 12"])
def test_a_number_keeps_its_unit_beside_it(words):
    number, rest = words.split(" ", 1)
    assert marked(words) == f"{number}{NO_BREAK}{rest}"
    assert marked("1 mmol") == "1 mmol"


def test_every_clause_that_can_be_read_two_ways_has_words_of_the_trade():
    assert set(sources.CLAUSES) == {item.name for item in dataclasses.fields(Readings)}


def test_what_is_agreed_of_the_contact_stands_with_what_is_required():
    page = sources.sources_html(review(record_of("tram_bogie"), with_settled=False), Folds())
    assert "transmission error ≤" in page and "from the ends of the face" in page
    assert "contact pressure of the load sharing" in page
