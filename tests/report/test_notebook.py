import ast
import subprocess
import sys
from dataclasses import replace

import nbformat
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.names import file_stem, markdown_text
from gearcheck.desk.kernel import OwnSpecs
from gearcheck.report import notebook as report
from gearcheck.report.cells import carried, literal
from gearcheck.report.chapters import chapter, chapter_titles
from gearcheck.report.notebook import Exported, export
from gearcheck.review.carried import carried_record
from tests.report.conftest import HOSTILE
from tests.report.markup import Markup


@pytest.fixture(scope="module")
def book(exported):
    return nbformat.read(exported[0], as_version=4)


def carried_values(book):
    """What the first code cell carries, read and not run."""
    carrying = next(cell for cell in book.cells if cell.cell_type == "code")
    return {line.targets[0].id: ast.literal_eval(line.value) for line in ast.parse(carrying.source).body}


def html_outputs(book):
    outputs = [output for cell in book.cells if cell.cell_type == "code" for output in cell.outputs]
    assert outputs
    return [output.data["text/html"] for output in outputs if "text/html" in output.data]


def test_the_notebook_is_valid_executed_and_bare_of_machine_and_clock(book, exported):
    nbformat.validate(book)
    code = [cell for cell in book.cells if cell.cell_type == "code"]
    assert [cell.execution_count for cell in code] == list(range(1, len(code) + 1))
    assert not [cell for cell in code if "execution" in cell.metadata]
    assert book.metadata.language_info == {"name": "python"}
    text = exported[0].read_text(encoding="utf-8")
    assert "application/vnd.jupyter.widget" not in text
    assert sys.prefix not in text


def test_what_came_from_outside_is_only_text(book):
    pieces = [Markup(html) for html in html_outputs(book)]
    for piece in pieces:
        piece.check_harmless()
    assert sum(piece.text.count(HOSTILE) for piece in pieces) >= 4
    for cell in book.cells:
        if cell.cell_type == "markdown":
            Markup(cell.source).check_harmless()


def test_the_cells_are_thin(book):
    code = [cell for cell in book.cells if cell.cell_type == "code"]
    carrying, *others = code
    assert carrying.metadata.jupyter.source_hidden
    assert all(len(cell.source.splitlines()) <= 6 for cell in others)


def test_it_runs_again_alone_and_holds_to_the_letter(released, tmp_path):
    """The outputs of a report are those that running it gives: strictly, in a fresh kernel, elsewhere."""
    again = tmp_path / "again.ipynb"
    again.write_bytes(released["ipynb"].read_bytes())
    plain = ("-n", "0", "-q", "-p", "no:cacheprovider", "--rootdir", str(tmp_path))
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--nbval", *plain, str(again)],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stdout[-3000:]
    cells = [cell for cell in nbformat.read(again, as_version=4).cells if cell.cell_type == "code"]
    assert f"{len(cells)} passed" in done.stdout


def test_a_plain_gear_file_is_no_record_and_gives_the_same_pieces_again(book, exported):
    values = carried_values(book)
    assert values["HISTORY"] == []
    whole, none = carried(values["GEAR_FILE"], values["EVIDENCE"], values["HISTORY"])
    assert none is None
    pieces = [piece for title in chapter_titles(whole, None) for piece in chapter(whole, None, title)]
    outputs = [output.data for cell in book.cells[2:] for output in cell.get("outputs", [])]
    assert [dict(data) for data in outputs] == [piece.bundle for piece in pieces]
    about = book.metadata.gearcheck
    assert (about.revision, about.roles, about.signatures) == (0, [], [])
    assert about.contents.inputs == whole.record.digest
    page = exported[1].read_text(encoding="utf-8")
    assert "This is the report of a gear file, not of a record" in page
    assert "Nobody has signed." in page


def test_it_carries_the_exact_record(book, hostile_record):
    values = carried_values(book)
    record = carried_record(values["GEAR_FILE"], values["EVIDENCE"])
    assert record.digest == hostile_record.digest
    assert record.source_text == hostile_record.source_text
    assert [item.head.sha256 for item in record.pitch] == [item.head.sha256 for item in hostile_record.pitch]


@given(st.text())
def test_any_text_is_carried_as_it_is(text):
    assert ast.literal_eval(literal(text)) == text


@pytest.mark.parametrize("text", ['"', '"""', '\\"', "a\r\nb", "\ufeff", "\\", '""""', "\\\n", "é\u2028"])
def test_awkward_texts_are_carried_as_they_are(text):
    assert ast.literal_eval(literal(text)) == text


def test_evidence_is_not_written_outside(tmp_path, hostile_record):
    outside = tmp_path / "outside.csv"
    with pytest.raises(InputError):
        carried_record(hostile_record.source_text, {str(outside): "x", "../../outside.csv": "x"})
    assert not outside.exists()


def test_markdown_shows_text_as_it_is():
    assert markdown_text("a*b_[c](d)") == "a\\*b\\_\\[c\\]\\(d\\)"
    assert markdown_text("<script>\n$x$ &amp;") == "&lt;script\\> \\$x\\$ &amp;amp;"


def test_the_kernel_is_this_python_whatever_is_installed(tmp_path, monkeypatch):
    decoy = tmp_path / "kernels" / "python3"
    decoy.mkdir(parents=True)
    (decoy / "kernel.json").write_text('{"argv": ["false"], "display_name": "x", "language": "python"}')
    monkeypatch.setenv("JUPYTER_PATH", str(tmp_path))
    assert OwnSpecs().get_kernel_spec("python3").argv[0] == sys.executable


@pytest.mark.parametrize(
    ("text", "stem"),
    [
        ("TF-118_C", "TF-118_C"),
        ("../../etc/passwd", "etc-passwd"),
        ("a/b\\c:d", "a-b-c-d"),
        ("...", "report"),
        ("", "report"),
        ("CON_A", "CON_A"),
        ("con", "report-con"),
        ("lpt1.x", "report-lpt1.x"),
        ("Größe 5", "Gr-e-5"),
        ("-rf", "rf"),
        ("x" * 300, "x" * 100),
    ],
)
def test_a_file_name_is_safe_everywhere(text, stem):
    assert file_stem(text) == stem


@given(st.text())
def test_no_part_number_leaves_the_folder(text):
    stem = file_stem(text)
    assert stem
    assert set(stem) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_.-")
    assert stem[0] not in ".-"
    assert not stem.endswith((".", "-"))


@pytest.fixture
def quick(monkeypatch):
    """Short texts in place of the prints: only the writing is looked at."""
    monkeypatch.setattr(report, "notebook_report", lambda whole: f"notebook {whole.record.part.revision}")
    monkeypatch.setattr(
        report, "prints", lambda data, stem: {f"{stem}.ipynb": data, f"{stem}.html": b"page of " + data}
    )


def test_an_export_is_written_once_and_never_over_something_else(quick, tmp_path, hostile_record):
    folder = tmp_path / "new" / "folder"
    written = export(hostile_record, folder)
    assert isinstance(written, Exported)
    assert [path.name for path in written.paths] == ["SL-040_E.ipynb", "SL-040_E.html"]
    assert export(hostile_record, folder) == written
    assert sorted(folder.iterdir()) == sorted(written.paths)
    written.paths[1].write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="other content"):
        export(hostile_record, folder)
    assert written.paths[1].read_text(encoding="utf-8") == "mine"
    revised = replace(hostile_record, part=replace(hostile_record.part, revision="F"))
    with pytest.raises(InputError, match=r"x\.ipynb"):
        export(hostile_record, tmp_path, name="x")
        export(revised, tmp_path, name="x")


def test_a_folder_that_is_none_is_said(quick, tmp_path, hostile_record):
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="a folder that can be written to"):
        export(hostile_record, tmp_path / "file")
