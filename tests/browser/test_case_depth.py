"""The case-depth sheet as people use it: the picture follows a slider, a guess is answered, one column."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from gearcheck.basics.places import scenarios

SHEET = "case_depth.ipynb"


@pytest.fixture(scope="module")
def desk(desk_for):
    return desk_for(scenarios() / "tunnel_fan" / "gear.toml")


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
