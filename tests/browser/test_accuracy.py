"""The accuracy sheet as people use it: measured flanks are drawn, the class slider moves what it is worth."""

from __future__ import annotations

import re

from playwright.sync_api import expect

SHEET = "accuracy.ipynb"


def test_flanks_are_drawn_and_the_class_slider_moves_what_a_class_is_worth(lift_desk, visit):
    page = visit(lift_desk.sheet(SHEET))
    expect(page.locator(".gc-outcome")).to_contain_text("contradicted")
    expect(page.locator("#measured ~ table")).to_contain_text("Helix slope")
    # two flanks of profile and of helix, four of pitch, once around, factors, reserves, unloaded
    expect(page.locator(".gc-chart-now svg")).to_have_count(12)
    expect(page.locator(".gc-chart").first).to_contain_text("19.0 µm allowed, class 6")

    page.get_by_text("What each class allows").click()
    expect(page.locator(".gc-allowed")).to_be_visible()

    budget = page.locator("#worth ~ div table")
    expect(budget).to_contain_text("All four")
    slider = page.get_by_role("slider", name=re.compile("Accuracy class"))
    slider.focus()
    slider.press("ArrowRight")
    expect(page).to_have_url(re.compile("class=7"))
    expect(page.get_by_text("One class coarser, 8 instead of 7")).to_be_visible()
    expect(page.locator("#measured ~ table").first).to_contain_text("49.0")

    page.get_by_role("button", name="cumulative pitch").click()
    expect(page.locator("[data-guessed]")).to_contain_text("twice the offset")

    page.set_viewport_size({"width": 640, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= 640
