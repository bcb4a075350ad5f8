"""A record that people write to on the shared screen, and two who write at once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from gearcheck.basics.places import scenarios

SHEET = "review.ipynb"


@pytest.fixture(scope="module")
def desk(desk_for, tmp_path_factory):
    copied = shutil.copytree(scenarios() / "ship_lift", tmp_path_factory.mktemp("gear") / "lift")
    return desk_for(Path(copied) / "gear.toml")


def need(page, title):
    return page.locator(".gc-need", has_text=title).first


def open_form(page, title, kind):
    row = need(page, title)
    row.locator("details[data-fold^='beside:'] > summary").click()
    row.locator(f"details[data-fold^='{kind}:'] > summary").click()
    return row.locator("form")


@pytest.mark.slow
def test_two_at_once_and_a_draft_that_becomes_a_revision(desk, visit):
    one = visit(desk.sheet(SHEET))
    two = visit(desk.sheet(SHEET))
    for page, name, role in ((one, "A. Fern", "design"), (two, "B. Moss", "quality")):
        page.get_by_label("Written by").fill(name)
        page.get_by_label("in the role").fill(role)

    # both begin to write beside the same number; the second is told who was first, and keeps what was typed
    asked = open_form(one, "Root stress, the gear against drum", "ask")
    granted = open_form(two, "Root stress, the gear against drum", "concede")
    granted.get_by_label("Why the departure is accepted").fill("The lift runs at half load.")
    asked.get_by_label("Question").fill("Which load was agreed?")
    asked.get_by_role("button", name="Ask").click()
    row = need(one, "Root stress, the gear against drum")
    expect(row).to_contain_text("Question 3: Which load was agreed?")
    expect(row.locator("form")).to_have_count(0)
    granted.get_by_label("How far it reaches").fill("serial number 0007")
    granted.get_by_role("button", name="Grant the concession").click()
    refused = granted.get_by_role("alert")
    expect(refused).to_contain_text("A. Fern (design) asked question 3")
    expect(granted.get_by_label("Why the departure is accepted")).to_have_value("The lift runs at half load.")
    granted.get_by_role("button", name="Grant the concession").click()
    expect(need(two, "Root stress, the gear against drum")).to_contain_text("Concession 4 holds")
    expect(two.locator(".gc-outcome").first).to_contain_text("1 of 41 requirements fails")
    expect(two.locator(".gc-ladder")).to_contain_text("conceded")
    expect(one.locator(".gc-others")).to_contain_text("B. Moss (quality) granted concession 4")
    one.close()

    # a draft is adopted with a reason; the concession no longer fits, and the sheet says what changed
    handle = two.locator(".widget-slider", has_text="Torque").get_by_role("slider")
    handle.focus()
    for _ in range(3):
        handle.press("ArrowLeft")
    two.wait_for_function("location.search === '?record=SL-040_E&draft=what-if+1&torque=14600'")
    two.locator("details[data-fold='adopt'] > summary").click()
    adopts = two.locator("form[data-form=adopt]")
    expect(two.locator("details[data-fold='adopt']")).to_contain_text("Concession 4: Root stress")
    adopts.get_by_role("button", name="Adopt the draft").click()
    expect(adopts.get_by_role("alert")).to_contain_text("Why it becomes the next revision: ")
    adopts.get_by_label("Why it becomes the next revision").fill("Load agreed with the lock.")
    adopts.get_by_role("button", name="Adopt the draft").click()
    expect(two.locator("#since")).to_contain_text("Revision 2: Load agreed with the lock.")
    expect(two.locator("#since")).to_contain_text("torque: 15200")
    expect(two.get_by_label("Written by")).to_have_value("B. Moss")
    expect(need(two, "Root stress, the gear against drum")).to_contain_text("Concession 4 stale")
    expect(two.locator(".gc-differs")).to_contain_text("says what revision 1 of the record says")
    assert two.url.endswith("?record=SL-040_E")
