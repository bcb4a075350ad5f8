"""The case-depth sheet as people use it: the picture follows a slider, a guess is answered, one column."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

SHEET = "case_depth.ipynb"
WRITTEN_OVER = """(number) => {
  const chart = document.querySelectorAll(".gc-chart")[number];
  const boxes = (one) => [one.textContent, one.getBoundingClientRect()];
  const words = new Map([...chart.querySelectorAll("svg text")].map(boxes));
  const all = [...words].filter(([, box]) => box.width > 0);
  const over = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 4;
  const later = (place, box) => all.slice(place + 1).filter(([, other]) => over(box, other));
  return all.flatMap(([one, box], place) => later(place, box).map(([two]) => [one, two]));
}"""
"""Words of a chart that are written over one another; a name on its ground of paper stands there twice."""


def test_a_slider_moves_the_picture_and_a_guess_is_answered(desk, visit):
    page = visit(desk.sheet(SHEET))
    expect(page.locator(".gc-outcome").first).to_contain_text("requirements")
    expect(page.locator(".gc-chart-now svg")).to_have_count(4)
    picture = page.locator(".gc-chart").nth(1)
    expect(picture).to_contain_text("550 HV: the case ends")
    expect(picture).to_contain_text("needed against yielding, safety included")
    drawn = re.compile(r"drawn, finished, least 0\.\d\d mm")
    expect(picture).to_contain_text(drawn)
    before = drawn.search(picture.text_content()).group()

    slider = page.get_by_role("slider", name=re.compile("Case depth, finished, least"))
    slider.focus()
    for _ in range(3):
        slider.press("ArrowRight")
    expect(picture).not_to_contain_text(before)
    expect(page).to_have_url(re.compile("case_depth="))
    expect(page.locator("#depths + table")).to_contain_text("governs")

    page.get_by_role("button", name="by about a tenth").click()
    expect(page.locator("[data-guessed]")).to_contain_text("needed against yielding")

    page.set_viewport_size({"width": 640, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= 640


@pytest.mark.slow
def test_no_name_is_written_over_another_on_any_screen_or_on_the_wall(desk, visit):
    page = visit(desk.sheet(SHEET))
    expect(page.locator(".gc-chart-now svg")).to_have_count(4)
    for present in (False, True):
        if present:
            page.keyboard.press("p")
            expect(page.get_by_role("slider", name=re.compile("Torque"))).to_be_hidden()
        for width in (1280, 1920):
            page.set_viewport_size({"width": width, "height": 1080})
            page.wait_for_timeout(1500)
            for number in range(3):
                assert page.evaluate(WRITTEN_OVER, number) == [], (present, width, number)
