"""The heat-treatment sheet as people use it: the prediction follows a slider at rest, one column."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

SHEET = "heat_treat.ipynb"
RECORD = "record=TB-207_A"


def test_more_time_in_the_furnace_is_predicted_and_a_guess_is_answered(desk, visit):
    page = visit(desk.sheet(SHEET, RECORD))
    expect(page.locator(".gc-chart-now svg")).to_have_count(6)
    carbon = page.locator(".gc-chart").nth(1)
    depth = re.compile(r"case depth by carbon \d\.\d\d mm")
    expect(carbon).to_contain_text(depth)
    before = depth.search(carbon.text_content()).group()

    slider = page.get_by_role("slider", name=re.compile("Time of the boost"))
    slider.focus()
    for _ in range(4):
        slider.press("ArrowRight")
    expect(page).to_have_url(re.compile("boost_time="))
    expect(carbon).not_to_contain_text(before)
    expect(page.locator("#window ~ table").first).to_contain_text("under 0.80")

    page.get_by_role("button", name="by about a quarter").click()
    expect(page.locator("[data-guessed]")).to_contain_text("The case grows by")

    page.set_viewport_size({"width": 640, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= 640


@pytest.mark.slow
def test_the_times_that_bring_the_case_wanted_can_be_tried(desk, visit):
    page = visit(desk.sheet(SHEET, f"{RECORD}&boost_time=3.9"))
    carbon = page.locator(".gc-chart").nth(1)
    page.get_by_role("button", name="try both").click()
    expect(page).to_have_url(re.compile("diffuse_time="))
    expect(carbon).to_contain_text("case depth by carbon 1.10 mm")
    expect(page.get_by_text("so long they are here")).to_be_visible()
