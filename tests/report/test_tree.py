import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markupsafe import escape

from gearcheck.report.letters import in_numbers, missing_letters
from gearcheck.report.tree import text_of, tree, width_of, words_of
from tests.report.markup import Markup

LONGEST = 18


def inside(html):
    (node,) = tree(html)
    return node


def test_marks_stand_where_they_stood():
    node = inside("<p>S<sub>F</sub> is <b>2 &lt; <small>3</small></b>.</p>")
    assert [item["tag"] for item in node["inside"]] == ["text", "sub", "text", "b", "text"]
    assert text_of(node) == "SF is 2 < 3."


def test_blanks_are_those_of_a_browser():
    assert text_of(inside("<p>a\n  b\t<b>c</b> d\u00a0e</p>")) == "a b c d\u00a0e"
    assert [node["tag"] for node in tree("<p>a</p>\n\n<p>b</p>\n")] == ["p", "p"]


def test_lines_of_a_file_stay():
    assert text_of(inside("<pre>a = 1\n    b = 2\n\tc = 3\n</pre>")) == "a = 1\n    b = 2\n    c = 3\n"


def test_a_break_parts_words():
    assert words_of(inside("<p>one<br>two</p>")) == ["one", "two"]


def test_the_name_of_a_piece_is_kept():
    node = inside('<section class="workings"><table><tbody><tr><td>a</td></tr></tbody></table></section>')
    assert node["name"] == "workings"
    assert node["inside"][0]["tag"] == "table"


@pytest.mark.parametrize("tag", ["script", "a", "img", "ol", "svg", "h5", "em"])
def test_a_tag_that_would_be_lost_in_print_is_a_fault(tag):
    with pytest.raises(ValueError, match=f"<{tag}> is not printed"):
        tree(f"<p>a <{tag}>b</{tag}></p>")


@given(st.text(st.characters(exclude_categories=["C", "Z"]) | st.sampled_from(" \n\t"), min_size=1))
def test_every_letter_is_printed_and_no_word_is_too_long(text):
    node = inside(f"<p>{escape(text)}</p>")
    assert text_of(node).split() == re.sub(r"[ \n\t]+", " ", text).split()
    assert all(width_of(word) <= LONGEST for word in words_of(node))


def test_a_long_word_breaks_where_a_reader_would_break_it():
    assert words_of(inside("<p>evidence.hardness[1]</p>")) == ["evidence.", "hardness[1]"]
    assert words_of(inside("<p>1371·193.1·sin(21.15°)/66000</p>")) == [
        "1371·",
        "193.1·",
        "sin(21.15°)/",
        "66000",
    ]
    assert words_of(inside(f"<p>{'W' * 20}</p>")) == ["W" * 9, "W" * 9, "WW"]
    assert words_of(inside(f"<pre>{'x' * 300}</pre>"))[0] == "x" * 98
    assert words_of(inside(f"<pre>{'x' * 80}</pre>")) == ["x" * 80]


def test_every_piece_of_a_report_can_be_printed(released):
    """What no template writes is found by the pieces of a whole record, each with all its text."""
    from gearcheck.record.sealed import read_notebook
    from gearcheck.report.printed import printed

    pieces = [
        text
        for chapter in printed(read_notebook(released["ipynb"].read_bytes()))
        for kind, _, text in chapter.pieces
        if kind == "text/html"
    ]
    assert len(pieces) > 15
    for text in pieces:
        shown = "".join(text_of(node) for node in tree(text))
        assert "".join(shown.split()) == "".join(Markup(text).text.split())


def test_letters_without_type_are_named():
    assert not missing_letters("Größe Şule Привет Ωσ_H0 ≤ ≥ − · √2 ⁻³ µm ′ ° ± → “a” — …")
    missing = missing_letters("a齿b😀ß")
    assert missing == {"齿", "😀"}
    assert in_numbers("a齿b😀ß", missing) == "a[U+9F7F]b[U+1F600]ß"
