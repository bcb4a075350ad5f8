"""The page round every sheet, on throw-away workbooks: first words, draft, keys, trouble, a lost kernel."""

from __future__ import annotations

import os
import signal
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import psutil
import pytest
from playwright.sync_api import expect

from . import trial
from .conftest import running, visiting


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    folder = tmp_path_factory.mktemp("trial")
    trial.write_books(folder)
    command = [sys.executable, str(folder / "trial.py"), str(folder)]
    path = os.pathsep.join(filter(None, [str(folder), os.environ.get("PYTHONPATH")]))
    with running(command, folder / "desk.log", PYTHONPATH=path) as desk:
        yield desk


@pytest.fixture(scope="module")
def shown(desk, browser):
    """One page for the tests that leave it as others need it."""
    with visiting(browser) as visit:
        yield visit(desk.sheet("review.ipynb"))


def slider(page):
    return page.get_by_role("slider")


def test_first_words_stand_before_the_kernel_has_answered(desk, visit):
    start = time.monotonic()
    page = visit(desk.sheet("slow.ipynb"), wait=".gc-first .gc-outcome")
    assert time.monotonic() - start < 4  # the kernel sleeps for four
    expect(page.locator(".gc-first .gc-outcome")).to_have_text("2 of 9 requirements fail <by> calculation.")
    assert page.locator(".gc-live").count() == 0
    expect(page.locator(".gc-live .gc-outcome")).to_have_text("torque 1.00")
    expect(page.locator(".gc-first")).to_have_count(0)


def test_a_sheet_that_fails_keeps_the_first_words_and_says_so(desk, visit):
    page = visit(desk.sheet("broken.ipynb", "record=SL-040_E"), wait=".gc-first")
    # the first words are those of the gear file, and no word on a record that the address names
    expect(page.locator(".gc-first")).to_have_text("The sheet follows in a moment.")
    expect(page.locator("body")).to_contain_text("There was an error when executing cell")
    expect(page.locator(".gc-first")).to_be_visible()
    expect(page.get_by_role("alert")).to_contain_text("The calculation behind this page did not start")
    expect(page.get_by_role("alert").get_by_role("link", name="Try again")).to_be_visible()
    assert "--" not in page.locator("#rendered_cells").inner_text()  # no option of another command
    assert "told to nobody" not in page.content()


def test_the_draft_lives_in_the_address(desk, visit):
    page = visit(desk.sheet("review.ipynb", "torque=1.10"))
    expect(page.locator(".gc-live .gc-outcome")).to_have_text("torque 1.10")
    expect(page.locator("#query")).to_have_text("torque=1.10")
    page.wait_for_function("location.search === '?torque=1.10'")  # and the token is gone
    slider(page).focus()
    slider(page).press("ArrowRight")
    page.wait_for_function("location.search === '?torque=1.11'")
    page.reload(wait_until="commit")
    expect(page.locator(".gc-live .gc-outcome")).to_have_text("torque 1.11")
    page.locator("#link").click()
    page.wait_for_url("**/stress.ipynb?torque=1.11")
    expect(page.locator(".gc-live .gc-outcome")).to_have_text("torque 1.11")


def test_a_chart_changes_in_place_and_follows_its_column(shown):
    page = shown
    drawing = page.locator(".gc-chart-now svg")
    expect(drawing).to_contain_text("factor 1.00")
    assert Path(page.locator("#file").inner_text()).is_absolute()  # the gear file reached the kernel
    page.evaluate(
        """() => {
          document.querySelector(".gc-chart-now svg").seen = true;
          const look = () => {
            const now = document.querySelector(".gc-chart-now svg");
            if (!now || now.getBoundingClientRect().height < 50) window.blanks = (window.blanks ?? 0) + 1;
            requestAnimationFrame(look);
          };
          look();
        }"""
    )
    slider(page).focus()
    for _ in range(5):
        slider(page).press("ArrowRight")
    expect(drawing).to_contain_text("factor 1.05")
    assert page.evaluate("document.querySelector('.gc-chart-now svg').seen")  # only its rows were exchanged
    page.get_by_role("button", name="Title").click()
    expect(drawing).to_contain_text("second title")
    assert not page.evaluate("document.querySelector('.gc-chart-now svg').seen")
    assert page.evaluate("window.blanks ?? 0") == 0
    wide = drawing.bounding_box()["width"]
    page.set_viewport_size({"width": 700, "height": 900})
    page.wait_for_function(
        f"document.querySelector('.gc-chart-now svg').getBoundingClientRect().width < {wide - 50}"
    )
    assert page.locator(".gc-chart-now").get_attribute("aria-label") == "a straight line"
    page.set_viewport_size({"width": 1280, "height": 900})


def test_keys_jump_to_trouble_and_clear_the_wall(shown):
    page = shown
    expect(slider(page)).to_be_visible()
    for key, place in (("n", "one"), ("n", "two"), ("n", "one"), ("Shift+N", "two")):
        page.keyboard.press(key)
        assert page.evaluate("document.activeElement.id") == place
    small = page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)")
    page.keyboard.press("p")
    expect(slider(page)).to_be_hidden()
    assert page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)") > 1.15 * small
    page.keyboard.press("p")
    page.get_by_label("Name").focus()
    page.keyboard.type("pn")
    expect(slider(page)).to_be_visible()
    assert page.get_by_label("Name").input_value() == "pn"
    page.get_by_label("Name").fill("")
    page.get_by_label("Name").press("Tab")


def test_a_lost_kernel_is_noticed_within_five_seconds(desk, visit):
    page = visit(desk.sheet("review.ipynb"))
    bar = page.locator(".gc-watch")
    page.wait_for_timeout(2500)
    expect(bar).to_be_hidden()
    lost = time.monotonic()
    os.kill(int(page.locator("#pid").inner_text()), getattr(signal, "SIGKILL", signal.SIGTERM))
    expect(bar).to_contain_text("The calculation behind this page has stopped", timeout=8000)
    assert time.monotonic() - lost < 5
    assert page.locator("body.gc-lost").count() == 1
    slider(page).focus()
    slider(page).press("ArrowRight")
    page.wait_for_timeout(1500)
    expect(bar).to_be_visible()
    visit.errors.clear()  # the browser tells of the closed socket and of the kernel that is not found


@pytest.mark.slow
def test_a_kernel_at_work_is_not_called_lost(desk, visit):
    page = visit(desk.sheet("review.ipynb"))
    page.get_by_role("button", name="Work").click()
    bar = page.locator(".gc-watch")
    expect(bar).to_contain_text("still at work", timeout=6000)
    assert page.locator("body.gc-lost").count() == 0
    expect(bar).to_be_hidden(timeout=12000)


@pytest.mark.slow
def test_a_kernel_that_is_slow_to_answer_is_not_called_lost(desk, visit):
    page = visit(desk.sheet("review.ipynb"))
    page.wait_for_timeout(1500)
    kernel = psutil.Process(int(page.locator("#pid").inner_text()))
    kernel.suspend()
    bar = page.locator(".gc-watch")
    expect(bar).to_contain_text("slow to answer", timeout=8000)
    assert page.locator("body.gc-lost").count() == 0
    kernel.resume()
    expect(bar).to_be_hidden(timeout=8000)


def test_one_column_on_a_narrow_page_and_no_sideways_scroll(shown):
    page = shown
    expect(page.locator(".gc-chart-now svg")).to_be_visible()
    for width in (1920, 1280, 640):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_timeout(300)
        wide, seen = page.evaluate(
            "[document.scrollingElement.scrollWidth, document.scrollingElement.clientWidth]"
        )
        assert wide <= seen == width
        assert (
            page.evaluate("parseFloat(getComputedStyle(document.querySelector('.gc-main p')).fontSize)") >= 18
        )
        main, margin = (
            page.locator(f".gc-row > {part}").bounding_box() for part in (".gc-main", ".gc-margin")
        )
        if width == 640:
            assert margin["y"] >= main["y"] + main["height"] - 1
        else:
            assert margin["x"] >= main["x"] + main["width"] - 1
            assert margin["width"] < main["width"] / 2
    page.set_viewport_size({"width": 1280, "height": 900})


def test_every_control_has_a_name_and_a_visible_focus(shown):
    page = shown
    page.get_by_role("slider", name="Torque factor").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("slider", name="Torque factor")).to_be_focused()
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    assert page.locator(".widget-slider [title='null']").count() == 0


def test_trouble_in_a_handler_is_seen_in_plain_text(shown):
    page = shown
    bar = page.locator(".gc-sheet").get_by_role("alert")
    expect(bar).to_have_count(0)
    page.get_by_role("button", name="Fault").click()
    expect(bar).to_contain_text("RuntimeError (the <b>cause</b>)")
    page.get_by_role("button", name="Entry").click()
    expect(bar).to_contain_text("name: missing; needed: right")
    expect(bar).to_contain_text("teeth: given 2; needed: 5 or more")
    page.get_by_label("Name").fill("right")
    page.get_by_label("Name").press("Tab")
    page.get_by_role("button", name="Entry").click()
    expect(bar).not_to_contain_text("teeth")
    expect(bar).to_contain_text("RuntimeError")


def test_leaving_a_page_ends_its_kernel(desk, visit):
    page = visit(desk.sheet("review.ipynb"))
    expect(slider(page)).to_be_visible()
    kernel = page.evaluate("JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId")
    page.goto(desk.sheet("stress.ipynb"), wait_until="commit")
    page.wait_for_selector(".gc-live")
    status = page.evaluate(f"fetch('/api/kernels/{kernel}').then((reply) => reply.status)")
    assert status == 404
    visit.errors.clear()  # the 404 that was asked for


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/voila/render/review.ipynb", 302),
        ("/", 302),
        ("/voila/api/contents/", 403),
        ("/voila/files/review.ipynb", 403),
        ("/api/kernels", 404),
    ],
)
def test_without_the_token_there_is_nothing(desk, path, status):
    with pytest.raises(urllib.error.HTTPError) as answer:
        urllib.request.build_opener(_Stay).open(f"{desk.origin}{path}")
    with answer.value:
        assert answer.value.code == status
        assert answer.value.headers.get("Location", "/login").startswith("/login")


def test_even_with_the_token_no_file_is_given_out(desk):
    with pytest.raises(urllib.error.HTTPError) as answer:
        urllib.request.urlopen(f"{desk.origin}/voila/files/review.ipynb?token={desk.token}")
    with answer.value:
        assert answer.value.code == 403


class _Stay(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_: object) -> None:
        return None


def test_the_page_may_ask_nobody_else(desk):
    with urllib.request.urlopen(desk.sheet("broken.ipynb")) as answer:
        policy = answer.headers["Content-Security-Policy"]
        page = answer.read().decode("utf-8")
    assert "default-src 'self'" in policy
    assert "frame-ancestors 'none'" in policy
    assert 'src="http' not in page
    assert 'href="http' not in page
