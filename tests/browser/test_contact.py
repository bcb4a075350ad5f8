"""The contact sheet as people use it: the map follows a slider, long work stops and keeps what is done."""

from __future__ import annotations

import re

from playwright.sync_api import expect

SHEET = "contact.ipynb"


def test_the_map_follows_the_torque_and_a_run_is_stopped_by_keyboard(desk, visit):
    page = visit(desk.sheet(SHEET))
    # map, patterns, cycle, orders, over torque, revolution, spectrum
    expect(page.locator(".gc-chart-now svg")).to_have_count(7)
    drawn = page.locator(".gc-chart").first
    expect(drawn).to_contain_text("largest 1")
    before = drawn.get_by_text("largest").first.text_content()

    slider = page.get_by_role("slider", name=re.compile("Torque"))
    slider.focus()
    slider.press("Home")
    expect(page).to_have_url(re.compile("torque="))
    expect(drawn.get_by_text(before)).to_have_count(0)
    expect(page.get_by_text("record 2.").first).to_be_visible()

    page.get_by_role("button", name="Make 1000 gears").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("progressbar", name="Make 1000 gears")).to_be_visible()
    expect(page.locator("#made ~ div")).to_contain_text("gears half have an error below")
    page.get_by_role("button", name="stop, and keep what is done").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text(re.compile(r"Stopped: \d+ of 1000 gears"))).to_be_visible()

    page.set_viewport_size({"width": 640, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= 640
