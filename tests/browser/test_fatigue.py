"""The fatigue sheet as people use it: the curve follows a slider by keyboard, long work stops."""

from __future__ import annotations

import re

from playwright.sync_api import expect

SHEET, RECORD = "fatigue.ipynb", "record=FH-77_B"


def test_the_curve_follows_the_confidence_and_the_bootstrap_is_stopped_by_keyboard(desk, visit):
    page = visit(desk.sheet(SHEET, RECORD))
    expect(page.locator("#curve ~ p").first).to_contain_text("with 90\u00a0% confidence")
    # the curve, residuals, probability plot, the load it bears, shares of the scatter
    expect(page.locator(".gc-chart-now svg")).to_have_count(5)
    drawn = page.locator(".gc-chart").first
    expect(drawn).to_contain_text("the gear: 99 %, with 90 % confidence".replace(" %", "\u00a0%"))

    slider = page.get_by_role("slider", name=re.compile("Confidence"))
    slider.focus()
    slider.press("ArrowRight")
    expect(drawn).to_contain_text("with 95\u00a0% confidence")
    # the bar of the scatter follows too, its rows exchanged in the chart that stands
    scatter = page.get_by_role("slider", name=re.compile("Scatter, times"))
    shares = page.locator(".gc-chart").nth(4)
    said = shares.get_attribute("aria-label") or shares.inner_text()
    before = int(shares.get_attribute("data-drawn") or 0)
    scatter.focus()
    for _ in range(4):
        scatter.press("ArrowRight")
    expect(shares).not_to_have_attribute("data-drawn", str(before))
    expect(shares).to_contain_text("material")
    assert shares.inner_text() != said
    scatter.focus()
    for _ in range(4):
        scatter.press("ArrowLeft")
    expect(page.locator("#curve ~ p").first).to_contain_text("(record ")
    page.get_by_role("button", name="back to what the record asks").press("Enter")
    expect(page.locator("#curve ~ p").first).to_contain_text("with 90\u00a0% confidence")

    page.get_by_role("button", name=re.compile("Draw other specimens")).press("Enter")
    page.get_by_role("button", name="stop, and keep what is done").press("Enter")
    expect(page.get_by_text(re.compile(r"Stopped: \d+ of 1000 draws"))).to_be_visible()

    page.set_viewport_size({"width": 640, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= 640
