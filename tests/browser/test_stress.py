"""The stress sheet as people use it: a slider beside its number, a guess, one column, a link."""

from __future__ import annotations

import re

from playwright.sync_api import expect

SHEET = "stress.ipynb"


def test_a_slider_moves_the_chain_and_the_margins_and_a_guess_is_answered(desk, visit):
    page = visit(desk.sheet(SHEET))
    expect(page.locator(".gc-outcome").first).to_contain_text("with a torque reserve of 1.41")
    safety = page.locator("#chain-flank-limit .gc-link").last
    expect(safety).to_contain_text("SH = 1.295")
    charts = page.locator(".gc-chart-now svg")
    expect(charts).to_have_count(4)  # two along the path, two of what fails first

    # by the keyboard alone: the number beside the slider follows, that of the record stays
    slider = page.get_by_role("slider", name=re.compile("Torque T"))
    slider.focus()
    for _ in range(5):
        slider.press("ArrowRight")
    force = page.locator("#chain-forces .gc-link").first
    expect(force).to_contain_text("1390 N·m on the pinion")
    expect(force).to_contain_text("record")
    expect(page.locator(".gc-foot")).to_contain_text("flank stress, the gear against wheel 1.3")
    expect(page).to_have_url(re.compile("torque=1390"))
    expect(page.locator(".gc-readings").first).to_contain_text("Life factor at 1e10")

    page.get_by_role("button", name="at full speed").click()
    expect(page.locator("[data-guessed]")).to_contain_text("It is as you guessed.")
    page.locator("[data-guessed]").get_by_role("button", name="put it on the sheet").nth(1).click()
    expect(page).to_have_url(re.compile("class=8"))
    expect(page.locator(".gc-foot")).to_contain_text("accuracy class 6 to 8")

    # one column, without scrolling sideways
    page.set_viewport_size({"width": 640, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= 640
    page.set_viewport_size({"width": 1280, "height": 900})

    # a link to another sheet takes the draft along
    page.get_by_role("link", name="Review", exact=True).click()
    expect(page.locator(".gc-foot")).to_contain_text("accuracy class 6 to 8")
