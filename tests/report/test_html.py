import re

from gearcheck.record.sealed import read_notebook
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.html import css_text, html_report
from gearcheck.report.printed import printed
from gearcheck.report.sections import symbols
from gearcheck.review.whole import outcome
from tests.report.conftest import HOSTILE
from tests.report.markup import Markup


def test_what_came_from_outside_is_only_text(exported):
    page = Markup(exported[1].read_text(encoding="utf-8"))
    page.check_harmless()
    assert page.text.count(HOSTILE) >= 4


def test_the_harm_would_be_seen():
    for harm in (HOSTILE, '<a href="http://x.example">x</a>', "<style>@import 'x'</style>"):
        try:
            Markup(f"<p>{harm}</p>").check_harmless()
        except AssertionError:
            continue
        raise AssertionError(harm)


def test_the_page_says_everything(exported, hostile):
    text = Markup(exported[1].read_text(encoding="utf-8")).text
    for sentence in (*CAUTIONS, outcome(hostile), hostile.record.digest, *hostile.versions.values()):
        assert sentence in text
    for item in hostile.requirements:
        assert item.title in text
        for finding in item.findings:
            assert finding.text in text
    for notice in hostile.notices:
        assert notice.text in text
    for step in hostile.workings:
        assert step.title in text
    assert all(item.head.sha256 in text for item in hostile.record.pitch)


def test_no_caret_and_no_underscore_is_left_in_the_workings(exported):
    page = exported[1].read_text(encoding="utf-8")
    lines = re.findall(r"<tr><td>[^<]*</td><td>(.*?)</td></tr>", page)
    assert len(lines) > 50
    assert not [line for line in lines if "^" in line]
    assert "<sub>" in page
    assert "<sup>" in page


def test_an_index_ends_before_a_raised_digit():
    assert symbols("d_b1²") == "d<sub>b1</sub>²"
    assert symbols("c′_th·β^0.25") == "c′<sub>th</sub>·β<sup>0.25</sup>"
    assert symbols("K_Hβ^N_F·x^(1/3)") == "K<sub>Hβ</sub><sup>N<sub>F</sub></sup>·x<sup>(1/3)</sup>"


def test_the_page_says_what_the_notebook_says_and_nothing_else(exported):
    notebook = read_notebook(exported[0].read_bytes())
    page = html_report(notebook)
    assert page == html_report(notebook) == exported[1].read_text(encoding="utf-8")
    for chapter in printed(notebook):
        assert chapter.title in page
        assert all(text in page for _, _, text in chapter.pieces)


def test_text_cannot_leave_a_string_of_the_style_sheet():
    assert set(css_text('"</style>;\n}')) <= set("0123456789abcdef\\ style")


def test_a_word_of_any_length_stays_inside_the_page(exported):
    style = exported[1].read_text(encoding="utf-8").partition("</style>")[0]
    assert re.search(r"^body \{[^}]*overflow-wrap: anywhere", style, re.MULTILINE)
