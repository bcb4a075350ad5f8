"""The page's side of a piece, without a kernel: what is typed stays whatever changes around it."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from gearcheck.desk.panels import piece as module
from gearcheck.desk.panels.entries import entry, form, lines

SCRIPT = (Path(module.__file__).parent / "piece.js").read_text(encoding="utf-8")
ORIGIN = "http://sheet.invalid/review.ipynb?record=A"

MODEL = """async (script) => {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const { default: piece } = await import(url);
  const heard = {};
  window.sent = [];
  window.model = {
    html: "",
    get: () => model.html,
    on: (name, call) => (heard[name] = call),
    off: () => {},
    send: (message) => sent.push(message),
  };
  window.say = (message) => heard["msg:custom"](message);
  window.show = (html) => {
    model.html = html;
    heard["change:html"]();
  };
  piece.render({ model, el: document.querySelector("main") });
}"""


def fold(key, inside):
    return f'<details class="gc-fold" data-fold="{key}" open><summary>{key}</summary>{inside}</details>'


ASK = fold("ask", form("ask:a", lines("text", "Question") + entry("owner", "Who"), "Ask"))


@pytest.fixture
def page(browser):
    context = browser.new_context()
    context.route("**", lambda route: route.fulfill(content_type="text/html", body="<main></main>"))
    page = context.new_page()
    errors = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(ORIGIN)
    page.evaluate(MODEL, SCRIPT)
    yield page
    context.close()
    assert errors == []


def show(page, html):
    page.evaluate("(html) => show(html)", html)


def sent(page):
    return [message for message in page.evaluate("sent") if "form" in message]


def test_what_is_typed_keeps_its_focus_whatever_changes_around_it(page):
    show(page, f"<div><p>fails</p>{ASK}</div>")
    page.get_by_label("Question").type("Which lo")
    others = (
        f"<div><p>fails</p><p>Question 3: of another</p>{ASK}</div>",
        f"<div><p>meets</p>{fold('fix', 'What would fix it')}<p>Question 3</p>{ASK}</div>",
        f"<div><p>meets</p>{ASK}</div>",
    )
    for other in others:
        show(page, other)
        expect(page.get_by_label("Question")).to_have_value("Which lo")
        expect(page.get_by_label("Question")).to_be_focused()
    page.keyboard.type("t?")
    expect(page.get_by_label("Question")).to_have_value("Which lot?")


def test_what_is_typed_outlives_a_closed_fold_and_a_page_opened_anew(page):
    show(page, ASK)
    page.get_by_label("Question").fill("Which lot?")
    show(page, "<p>closed</p>")
    show(page, ASK)
    expect(page.get_by_label("Question")).to_have_value("Which lot?")
    page.reload()
    page.evaluate(MODEL, SCRIPT)
    show(page, ASK)
    expect(page.get_by_label("Question")).to_have_value("Which lot?")
    page.evaluate("say({ taken: 'ask:a' })")
    show(page, "<p>closed</p>")
    show(page, ASK)
    expect(page.get_by_label("Question")).to_have_value("")


def test_a_form_is_sent_once_by_the_keys_that_one_expects(page):
    show(page, ASK)
    page.get_by_label("Question").fill("Which lot?")
    page.get_by_label("Question").press("Enter")  # a new line
    page.get_by_label("Who").fill("B. Moss")
    assert sent(page) == []
    page.get_by_label("Who").press("Enter")
    page.get_by_role("button", name="Ask").click()  # before the answer came
    asked = {"form": "ask:a", "values": {"text": "Which lot?\n", "owner": "B. Moss"}, "folds": ["ask"]}
    first = sent(page)
    first[0]["values"]["text"] = first[0]["values"]["text"].replace("\r\n", "\n")
    assert first == [asked]
    page.evaluate("say({ refused: 'ask:a', why: ['question: given x; needed: <b>y</b>'] })")
    page.get_by_label("Question").press("Control+Enter")
    assert len(sent(page)) == 2


def test_a_refusal_stands_beside_the_form_until_it_is_mended(page):
    show(page, ASK)
    page.get_by_label("Question").fill("?")
    page.get_by_role("button", name="Ask").click()
    page.evaluate("say({ refused: 'ask:a', why: ['question: needed: <b>y</b>'] })")
    show(page, f"<p>something else</p>{ASK}")
    expect(page.get_by_role("alert")).to_have_text("question: needed: <b>y</b>")
    expect(page.get_by_label("Question")).to_have_value("?")
    page.evaluate("say({ refused: 'ask:b', why: ['of another form'] })")
    expect(page.get_by_role("alert")).to_have_count(1)
    page.evaluate("say({ taken: 'ask:a' })")
    expect(page.get_by_role("alert")).to_have_count(0)


def test_a_refusal_names_the_line_as_the_form_does(page):
    show(page, ASK)
    page.evaluate(
        "say({ refused: 'ask:a', why: ['text: missing; needed: a text in quotes, 1 to 200 letters'] })"
    )
    expect(page.get_by_role("alert")).to_have_text("Question: missing; needed: 1 to 200 letters")


def test_the_fold_of_a_form_that_is_done_closes_and_keeps_the_keyboard(page):
    show(page, ASK)
    page.get_by_label("Who").focus()
    page.evaluate("say({ taken: 'ask:a' })")
    expect(page.locator("details")).not_to_have_attribute("open", "")
    expect(page.locator("summary")).to_be_focused()
