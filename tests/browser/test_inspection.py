"""The inspection sheet as people use it: a traverse is typed in, contradicts, and gets its disposition."""

from __future__ import annotations

import re

from playwright.sync_api import expect

SHEET = "inspection.ipynb"
RIGHT = "case.left.right"
SOFT = "0.10 705\n0.50 640\n0.90 560\n1.20 530\n1.60 440"


def row(page, key):
    return page.locator(f".gc-char[data-key='{key}']")


def test_a_traverse_that_contradicts_gets_its_disposition(desk, visit, tmp_path):
    page = visit(desk.sheet(SHEET, "record=SL-040_E"))
    page.get_by_label("Written by").fill("M. Teal")
    page.get_by_label("in the role").fill("quality")
    expect(page.locator(".gc-outcome").first).to_contain_text("2 are contradicted by evidence")

    before = page.locator(".gc-due").count()

    # by the keyboard alone: from the matrix into the route, where the characteristic has opened
    mark = page.locator(".gc-matrix tr[data-key='case.left.right'] .gc-mark").last
    mark.focus()
    mark.press("Enter")
    expect(row(page, RIGHT)).to_be_focused()
    wanted = page.locator(f"form[data-form='traverse:{RIGHT}']")
    expect(wanted.get_by_label("Measured by")).to_have_value("M. Teal")
    wanted.get_by_label("Depth in mm and hardness").fill(SOFT)
    wanted.get_by_label("Uncertainty").fill("0.03")
    wanted.get_by_label("Applies to").fill("serial number 0007")
    wanted.get_by_role("button", name="Enter the traverse").click()
    expect(wanted.get_by_role("alert")).to_contain_text("Instrument: missing; needed: 1 to 200 characters")
    expect(wanted.get_by_label("Depth in mm and hardness")).to_have_value(SOFT)
    wanted.get_by_label("Instrument").fill("tester 2")
    wanted.get_by_label("Instrument").press("Control+Enter")
    expect(page.locator(".gc-outcome").first).to_contain_text("4 are contradicted by evidence")
    expect(row(page, RIGHT).locator("summary").first).to_contain_text("contradicted")
    expect(page.locator(".gc-due")).to_have_count(before + 1)

    # what a rework makes stale is shown before it is written, and then is stale
    due = page.locator(".gc-due", has_text="Case left after grinding, right flank: disposition due")
    due.get_by_label("Verdict").select_option("rework")
    due.get_by_label("Reason").fill("The furnace load was too short.")
    due.get_by_label("First operation").select_option("carburise")
    due.get_by_label("Last operation").select_option("grind")
    expect(due.locator(".gc-follows")).to_contain_text("Surface hardness of the finished flank")
    expect(due.get_by_label("Reason")).to_have_value("The furnace load was too short.")
    due.get_by_role("button", name="Write the disposition").click()
    expect(due).to_have_count(0)
    expect(row(page, "hardness.surface")).to_contain_text("stale")
    expect(page.locator(".gc-decided").first).to_contain_text("Case left after grinding, right flank: rework")

    # the files of the first article say what holds now
    with page.expect_download() as waiting:
        page.get_by_role("button", name=re.compile(r"save .*_r3_first-article_C\.csv")).click()
    saved = tmp_path / "first.csv"
    waiting.value.save_as(saved)
    assert "Case left after grinding" in saved.read_text(encoding="utf-8-sig")

    # one column, and nothing to be scrolled sideways
    page.set_viewport_size({"width": 640, "height": 900})
    row(page, "hardness.core").locator("summary").first.click()
    expect(page.locator("form[data-form='result:hardness.core']")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 640
