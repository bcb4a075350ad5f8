"""A review on the shared screen, driven as its chair would drive it."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path

import psutil
import pytest
from playwright.sync_api import expect

from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.remedies import remedies
from gearcheck.review.results import Review
from gearcheck.review.whole import outcome, review

from .conftest import running, visiting

SHEET = "review.ipynb"
ROOT = "stress.root.drum.gear"


@pytest.fixture(scope="module")
def gear(lift) -> Path:
    return lift


@pytest.fixture(scope="module")
def desk(lift_desk):
    return lift_desk


@pytest.fixture(scope="module")
def cold(gear) -> Callable[..., Review]:
    """Review the gear file anew in this process, with a draft in it."""
    record = read_gear_file(gear)
    return lambda **draft: review(changed(record, draft))


def reserve(whole: Review, key: str) -> str:
    return f"{next(item for item in whole.requirements if item.key == key).reserve.factor:.2f}"


def point(whole: Review) -> str:
    """What the chart of the contact stress says of the gear."""
    flank = whole.chain.meshes[0].gear.flank
    return f"gear {flank.stress_MPa:.0f} of {flank.permissible_stress_MPa:.0f}"


@pytest.fixture
def page(desk, visit):
    return visit(desk.sheet(SHEET))


@pytest.fixture(scope="module")
def shown(desk, browser):
    """One page for the tests that look around, or put back what they move."""
    with visiting(browser) as visit:
        yield visit(desk.sheet(SHEET))


def slider(page, label):
    return page.locator(".widget-slider", has_text=label).get_by_role("slider")


def rung(page, title):
    return page.locator(".gc-ladder .gc-row", has_text=title).first


def put_back(page):
    page.get_by_role("button", name="drop the draft").click()
    expect(page.locator(".gc-foot")).to_have_count(0)


def moved(page, label, key, presses):
    handle = slider(page, label)
    handle.focus()
    for _ in range(presses):
        handle.press(key)


def test_key_n_goes_from_trouble_to_trouble_and_p_clears_the_wall(shown):
    expect(shown.locator(".gc-need[data-trouble]")).to_have_count(5)
    seen = []
    for _ in range(6):
        shown.keyboard.press("n")
        seen.append(shown.evaluate("document.activeElement.querySelector('b')?.textContent"))
    assert seen == [
        "Root stress, the gear against drum",
        "Case left after grinding, left flank",
        "Single pitch, right flank",
        "Retained austenite",
        "Oxidation of the grain boundaries",
        "Root stress, the gear against drum",
    ]
    shown.keyboard.press("p")
    expect(slider(shown, "Torque")).to_be_hidden()
    expect(shown.locator(".gc-outcome").last).to_be_visible()
    shown.keyboard.press("p")
    expect(slider(shown, "Torque")).to_be_visible()


def test_the_outcome_the_ladder_and_what_is_in_trouble_stand_first(shown, cold):
    expect(shown.locator(".gc-live .gc-outcome")).to_have_text(outcome(cold()))
    first = shown.locator(".gc-ladder .gc-row:not(.gc-ladder-head)").first
    expect(first).to_contain_text("Root stress, the gear against drum")
    expect(first.locator(".gc-answer")).to_have_text(["fails", "shown"])
    expect(first.locator(".gc-margin")).to_contain_text("ISO 6336-3:2019")
    expect(first.locator(".gc-memory")).to_have_text("from memory")
    expect(shown.locator(".gc-said")).to_contain_text("1.55 mm left where 1.60 mm is specified")
    # what markdown the workbook has for readers of the notebook is not said twice
    assert shown.locator(".jp-MarkdownCell:visible").count() == 0


def test_a_slider_moves_every_margin_and_the_record_stays_as_a_ghost(shown, cold):
    page = shown
    before, after = cold(), cold(torque=14_200.0)
    root = rung(page, "Root stress, the gear against drum")
    expect(root.locator(".gc-value")).to_have_text(reserve(before, ROOT))
    assert page.locator(".gc-ghost").count() == 0
    drawn = page.locator(".gc-chart-now svg").first
    expect(drawn).to_contain_text(point(before))
    moved(page, "Torque", "ArrowLeft", 5)
    expect(page.locator(".gc-foot")).to_contain_text("torque 15200 to 14200 N·m")
    expect(root.locator(".gc-value")).to_have_text(f"{reserve(after, ROOT)}record {reserve(before, ROOT)}")
    expect(root.locator(".gc-answer")).to_have_text(["meets", "shown"])
    expect(page.locator(".gc-ghost")).to_have_count(5)
    expect(drawn).to_contain_text(point(after))
    expect(page.locator(".gc-live .gc-outcome")).to_have_text(outcome(after))
    expect(page.locator(".gc-settling")).to_have_count(0)
    put_back(page)
    expect(root.locator(".gc-value")).to_have_text(reserve(before, ROOT))
    expect(page.locator(".gc-ghost")).to_have_count(0)
    expect(page.locator(".widget-slider", has_text="Torque").locator(".widget-readout")).to_have_text("15200")
    page.wait_for_function("location.search === '?record=SL-040_E'")


def test_the_page_agrees_with_a_cold_review(desk, visit, cold):
    page = visit(desk.sheet(SHEET, "torque=16000&class=7"))
    whole = cold(torque=16_000.0, **{"class": 7.0})
    expect(page.locator(".gc-settling")).to_have_count(0)
    for item in whole.requirements:
        if item.reserve is not None and item.reserve.factor is not None:
            expect(rung(page, item.title).locator(".gc-value")).to_contain_text(f"{item.reserve.factor:.2f}")
    solved = f"solved against yielding {whole.settled[0].required.depth_mm:.2f} mm"
    expect(page.locator(".gc-chart-now svg", has_text="solved against yielding")).to_contain_text(solved)


@pytest.mark.slow
def test_a_draft_survives_reload_links_and_the_way_back(page):
    moved(page, "Torque", "ArrowLeft", 3)
    page.wait_for_function("location.search.endsWith('&torque=14600')")
    page.get_by_role("navigation").get_by_role("link", name="Geometry").click()
    expect(page.locator(".gc-chart-now svg", has_text="involute from")).to_be_visible()
    saved = r"/^\?record=SL-040_E&draft=what-if\+\d&torque=14600$/"  # it has a name once it is saved
    page.wait_for_function(f"location.hash === '#geometry' && {saved}.test(location.search)")
    page.reload(wait_until="commit")
    expect(page.locator(".gc-live")).to_be_visible()
    expect(page.locator(".gc-foot")).to_contain_text("torque 15200 to 14600 N·m")
    page.goto("about:blank")
    page.go_back(wait_until="commit")
    expect(page.locator(".gc-foot")).to_contain_text("torque 15200 to 14600 N·m")
    expect(page.locator(".widget-slider", has_text="Torque").locator(".widget-readout")).to_have_text("14600")


def test_a_working_opens_in_place_and_stays_open_while_numbers_move(shown):
    page = shown
    sheet = page.locator("details[data-fold='work:Load factors, the gear with drum']")
    # of the stations that are open the stress station alone has tens of them
    stress = page.locator("details[data-fold='workings']").filter(
        has_text=re.compile(r"Workings, [1-9]\d sheets")
    )
    stress.locator("summary").locator("visible=true").first.click()
    sheet.locator("summary").click()
    line = sheet.locator("tr", has_text="Tangential force at the reference circle")
    expect(line).to_contain_text("2000·T1/d1 = 2000·15\u202f200/191.9")
    moved(page, "Torque", "ArrowLeft", 1)
    expect(line).to_contain_text("2000·15\u202f000/191.9")
    put_back(page)


def test_what_would_fix_it_can_be_tried(shown, gear, cold):
    page = shown
    torque = next(one for one in remedies(read_gear_file(gear), ROOT) if one.change.key == "torque").after
    expect(page.locator(".gc-settling")).to_have_count(0)  # what comes later redraws the fold
    fold = page.locator(f"details[data-fold='fix:{ROOT}']")
    fold.locator("summary").click()
    expect(fold).to_contain_text(f"Torque 15200 to {torque:.0f} N·m")
    fold.locator("li", has_text="Torque").get_by_role("button", name="try it").click()
    expect(page.locator(".gc-live .gc-outcome")).to_have_text(outcome(cold(torque=torque)))
    expect(page.locator(".gc-foot")).to_contain_text(f"torque 15200 to {torque:.0f} N·m")
    put_back(page)


def test_a_rung_leads_to_the_place_where_it_is_read_in_full(shown):
    shown.locator("details[data-fold='rest:geometry'] summary").click()
    shown.locator(".gc-list").get_by_role("link", name="Root form clearance, drum").click()
    row = shown.locator(".gc-need", has_text="Root form clearance, drum")
    expect(row).to_be_focused()


@pytest.mark.slow
def test_a_kernel_that_died_before_anyone_came_costs_no_more_than_a_second_try(desk, visit, cold):
    visit(desk.sheet(SHEET)).context.close()
    waiting = [
        child
        for child in psutil.Process(desk.process.pid).children(recursive=True)
        if any("ipykernel" in word for word in child.cmdline())
    ]
    assert waiting
    for kernel in waiting:
        kernel.kill()
    page = visit(desk.sheet(SHEET), wait=None)
    expect(page.locator(".gc-live .gc-outcome")).to_have_text(outcome(cold()), timeout=60_000)
    assert page.locator(".gc-unstarted").count() == 0
    visit.errors.clear()  # the browser tells of the kernel that is not found


CROSSING = """() => {
  const crossed = [];
  const end = (one) => one.getBoundingClientRect().right;
  for (const main of document.querySelectorAll(".gc-main"))
    for (const one of main.querySelectorAll(".gc-value, .gc-native, .gc-table, .gc-reason p"))
      if (one.offsetParent && end(one) > end(main) + 1) crossed.push(one.textContent);
  for (const one of document.querySelectorAll(".gc-rung .gc-answers")) {
    const words = [...one.querySelectorAll(".gc-answer")].map(end);
    const next = one.nextElementSibling.getBoundingClientRect().left;
    if (Math.max(...words) > next) crossed.push(one.textContent);
  }
  return crossed;
}"""


def test_nothing_crosses_the_margin_rule_on_any_screen_or_on_the_wall(shown):
    expect(shown.locator(".gc-trades")).to_be_visible()
    for present in (False, True):
        if present:
            shown.keyboard.press("p")
            expect(slider(shown, "Torque")).to_be_hidden()
        for width in (1280, 1920, 640):
            shown.set_viewport_size({"width": width, "height": 900})
            shown.wait_for_timeout(200)
            assert shown.evaluate(CROSSING) == [], (present, width)
    shown.keyboard.press("p")
    shown.set_viewport_size({"width": 1280, "height": 900})


def test_a_closed_station_in_trouble_is_not_passed_over(shown):
    stress = shown.locator(".gc-station#stress")
    stress.get_by_role("button", name="close").click()
    expect(stress.get_by_role("button", name="open")).to_have_attribute("aria-expanded", "false")
    expect(slider(shown, "Torque")).to_be_hidden()
    shown.keyboard.press("n")
    expect(stress).to_be_focused()
    stress.get_by_role("button", name="open").click()
    expect(slider(shown, "Torque")).to_be_visible()


def test_a_gear_file_that_cannot_be_read_is_told_on_the_page(gear, desk, visit):
    text = gear.read_text(encoding="utf-8")
    try:
        gear.write_text(text.replace("teeth = 19", "teeth = 2"), encoding="utf-8")
        page = visit(desk.sheet(SHEET))
        expect(page.locator(".gc-status").get_by_role("alert")).to_contain_text("gear.teeth, line")
        assert page.locator(".gc-ladder").count() == 0
    finally:
        gear.write_text(text, encoding="utf-8")


@pytest.mark.slow
@pytest.mark.parametrize("width", [640, 1920])
def test_the_sheet_fits_its_window(desk, visit, width):
    page = visit(desk.sheet(SHEET, "torque=14000"), width=width)
    expect(page.locator(".gc-chart-now svg").first).to_be_visible()
    expect(page.locator(".gc-settling")).to_have_count(0)
    wide, seen = page.evaluate(
        "[document.scrollingElement.scrollWidth, document.scrollingElement.clientWidth]"
    )
    assert wide <= seen
    small = page.evaluate(
        """() => [...document.querySelectorAll('.gc-chart-now svg text')]
             .filter((one) => one.textContent && parseFloat(getComputedStyle(one).fontSize) < 13.9).length"""
    )
    assert small == 0


def test_every_control_has_a_name_and_every_chart_a_sentence(shown):
    expect(shown.locator(".gc-chart-now").first).to_be_visible()
    for chart in shown.locator(".gc-chart-now:visible").all():
        assert len(chart.get_attribute("aria-label")) > 40
    for control in shown.locator("button:visible, a[href]:visible, summary:visible").all():
        assert control.inner_text().strip()


@pytest.mark.slow
def test_a_lost_kernel_is_said_over_the_numbers(tmp_path, gear, visit):
    command = [sys.executable, "-m", "gearcheck", "open", "--no-browser", str(gear)]
    own = str(tmp_path / "workspace.sqlite")
    with running(command, tmp_path / "desk.log", GEARCHECK_WORKSPACE=own) as desk:
        page = visit(desk.sheet(SHEET, "torque=14000"))
        expect(page.locator(".gc-foot")).to_contain_text("14000")
        for kernel in psutil.Process(desk.process.pid).children(recursive=True):
            kernel.kill()
        said = "The calculation behind this page has stopped"
        expect(page.locator(".gc-watch")).to_contain_text(said)
        assert "torque=14000" in page.url
        page.close()
        visit.errors.clear()  # the browser tells of the closed socket and of the kernel that is not found
