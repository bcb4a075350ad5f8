"""The print to be filed: every page named, nothing past the margin, no letter lost."""

import copy
import re
import zlib

import pytest

from gearcheck.record.sealed import notebook_text, read_notebook
from gearcheck.report import pdf
from gearcheck.report.letters import EXPLAINED
from gearcheck.report.pdf import pdf_report
from gearcheck.report.printed import printed, running_title
from gearcheck.report.tree import text_of, tree, width_of, words_of
from tests.record.signed import unsigned


@pytest.fixture(scope="module")
def notebook(released):
    return read_notebook(released["ipynb"].read_bytes())


@pytest.fixture(scope="module")
def content(notebook, tmp_path_factory):
    return pdf._content(notebook, tmp_path_factory.mktemp("content"))


def tables(nodes):
    for node in nodes:
        if node["tag"] == "table":
            yield node
        else:
            yield from tables(node.get("inside", []))


def pages(data):
    """How many pages a PDF has: its objects may be packed."""
    packed = [
        zlib.decompressobj().decompress(part)
        for part in re.findall(rb"stream\r?\n(x[\x01\x5e\x9c\xda].*?)endstream", data, re.DOTALL)
    ]
    return sum(len(re.findall(rb"/Type\s*/Page\b", part)) for part in [data, *packed])


def small(text):
    """A report of one cell with this in it."""
    notebook = copy.deepcopy(unsigned())
    notebook["cells"][2]["outputs"] = [
        {"output_type": "display_data", "metadata": {}, "data": {"text/html": [text]}}
    ]
    return notebook


def test_the_print_is_a_pdf_and_the_same_at_every_time(released, notebook):
    data = released["pdf"].read_bytes()
    assert data.startswith(b"%PDF-")
    assert data == pdf_report(notebook)
    assert 20 <= pages(data) <= 75  # traces, sizes and classes take their share
    assert b"CreationDate" not in data


def test_it_prints_what_the_notebook_shows_and_the_signatures(content, notebook, told):
    shown = [chapter["title"] for chapter in content["chapters"]]
    assert shown == [chapter.title for chapter in printed(notebook)]
    assert shown[-1] == "Signatures"
    last = "".join(map(text_of, [*tables_text(content["chapters"][-1]["inside"])]))
    assert "A. Fern" in last
    assert content["running"] == running_title(notebook)
    for part in ("SL-040", "drawing revision E", "revision 2 of the record", told.book.prepared.digest[:12]):
        assert part in content["running"]


def tables_text(nodes):
    for table in tables(nodes):
        for row in table["head"] + table["body"]:
            yield from row


def test_every_drawing_is_there_and_none_wider_than_the_page(content, notebook):
    drawn = [node for chapter in content["chapters"] for node in chapter["inside"] if node["tag"] == "figure"]
    kept = [kind for chapter in printed(notebook) for kind, _, _ in chapter.pieces if kind == "image/svg+xml"]
    assert len(drawn) == len(kept) > 8
    assert all(0.2 < node["width"] <= 1.0 and node["words"] for node in drawn)
    assert len({node["file"] for node in drawn}) == len(drawn)


def test_no_table_is_wider_than_the_page_and_every_column_holds_its_longest_word(content):
    found = [table for chapter in content["chapters"] for table in tables(chapter["inside"])]
    assert len(found) > 40
    for table in found:
        total = pdf._PAGE / table["size"]
        fixed = sum(column.get("em", 0.0) for column in table["columns"])
        shares = sum(column.get("share", 0.0) for column in table["columns"])
        assert fixed < total
        for place, column in enumerate(table["columns"]):
            width = column["em"] if "em" in column else (total - fixed) * column["share"] / shares
            rows = [row for row in table["head"] + table["body"] if place < len(row)]
            longest = max((width_of(word) for row in rows for word in words_of(row[place])), default=0)
            assert width >= 0.5 * longest, (table["columns"], place, longest)


@pytest.mark.parametrize("count", [1, 2, 4, 6, 8])
def test_columns_of_any_texts_fit(count):
    cells = "".join(f"<td>{'x' * 10 ** (place % 4)} y z</td>" for place in range(count))
    long = f"<table><tbody><tr>{cells}</tr></tbody></table>"
    (table,) = [pdf._laid_out(node) for node in tree(long)]
    assert len(table["columns"]) == count
    assert sum(column.get("em", 0.0) for column in table["columns"]) < pdf._PAGE / table["size"]
    assert all(width > 0 for column in table["columns"] for width in column.values())


def test_a_cell_that_no_page_holds_goes_on_on_the_next():
    row = "<tr><td>a</td><td>b</td><td>{}</td></tr>"
    one, many = (f"<table><tbody>{row.format('word ' * count)}</tbody></table>" for count in (700, 7000))
    (table,) = [pdf._laid_out(node) for node in tree(one)]
    assert [cell["long"] for cell in table["body"][0]] == [False, False, True]
    assert pages(pdf_report(small(many))) >= pages(pdf_report(small(one))) + 4


def test_what_leads_to_something_stays_with_it():
    assert [pdf._laid_out(node)["name"] for node in tree("<p>Open questions:</p><p>None.</p>")] == [
        "leads",
        "",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "#panic() $x$ *b* _i_ @a <b> \\ // /* [",
        '#read("/etc/passwd") #import "x"',
        "x" * 5000,
        "",
        "a\u202eb \u200b \ufeff",
        "= heading\n- list\n+ list",
    ],
    ids=range(6),
)
def test_what_people_wrote_is_data_and_never_markup(text):
    from markupsafe import escape

    said = escape(text)
    made = pdf_report(small(f"<p>{said}</p><table><tbody><tr><td>{said}</td><td>b</td></tr></tbody></table>"))
    assert pages(made) >= 1


def test_letters_without_type_are_numbers_and_the_print_says_so(tmp_path):
    content = pdf._content(small("<p>齿轮 σ</p>"), tmp_path)
    first, last = content["chapters"][0]["inside"], content["chapters"][-1]["inside"]
    assert text_of(first[0]) == "[U+9F7F][U+8F6E] σ"
    assert text_of(last[-1]) == EXPLAINED
    plain = pdf._content(small("<p>σ</p>"), tmp_path)
    assert text_of(plain["chapters"][-1]["inside"][-1]) != EXPLAINED


def test_the_notebook_it_was_printed_from_is_not_touched(notebook, released):
    assert notebook_text(notebook).encode("utf-8") == released["ipynb"].read_bytes()
