"""The first article report on the command line."""

import shutil

import pytest

from gearcheck import cli
from gearcheck.basics.places import scenarios
from gearcheck.record.events import Person
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.report.first_article import first_article
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review

DEMO = scenarios() / "ship_lift" / "gear.toml"


@pytest.fixture
def run(capsys):
    def ran(*arguments):
        code = cli.main(["export", *(str(item) for item in arguments)])
        out, err = capsys.readouterr()
        return code, out, err

    return ran


@pytest.mark.parametrize(("name", "revision"), [("a.xlsx", "B"), ("a.csv", "C"), ("A.XLSX", "C")])
def test_the_report_of_a_gear_file_is_written_once_and_never_over_something_else(
    run, tmp_path, name, revision
):
    file = tmp_path / "new" / name
    assert run(DEMO, "--to", file, "--as9102", revision) == (0, f"{file}\n", "")
    made = first_article(review(read_gear_file(DEMO)), None, revision, file.suffix.lower().lstrip("."))
    assert file.read_bytes() == made
    assert run(DEMO, "--to", file, "--as9102", revision)[0] == 0
    file.write_bytes(b"mine")
    code, out, err = run(DEMO, "--to", file, "--as9102", revision)
    assert (code, out, file.read_bytes()) == (cli.BAD_INPUT, "", b"mine")
    assert "not overwritten" in err


def test_the_report_of_a_record_names_it(run, tmp_path):
    workspace = Workspace(tmp_path / "gears.sqlite", now=lambda: "2026-03-02T09:30:00Z")
    book = open_record(workspace, read_gear_file(DEMO), by=Person(name="D. Hale", role="chair"))
    where = ("--workspace", workspace.path)
    file = tmp_path / "a.csv"
    assert run(book.record, "--to", file, "--as9102", "B", *where)[0] == 0
    assert "disposition due" in file.read_text(encoding="utf-8-sig")
    code, _, err = run(book.record, "--to", tmp_path / "b.csv", "--as9102", "B", "--signed", *where)
    assert (code, "a record that all have signed once" in err) == (cli.BAD_INPUT, True)
    code, _, err = run(book.record, "--to", tmp_path / "b.csv", "--as9102", "B", "--input", *where)
    assert (code, "the input is more than one file" in err) == (cli.BAD_INPUT, True)
    assert not (tmp_path / "b.csv").exists()


def test_no_revision_is_taken_for_granted_and_none_goes_into_a_folder(run, tmp_path):
    code, _, err = run(DEMO, "--to", tmp_path / "a.xlsx")
    assert (code, "the revision of AS9102 that the order asks for: B or C" in err) == (cli.BAD_INPUT, True)
    code, _, err = run(DEMO, "--to", tmp_path, "--as9102", "B")
    assert (code, "a file that ends in .xlsx" in err) == (cli.BAD_INPUT, True)
    with pytest.raises(SystemExit) as end:
        run(DEMO, "--to", tmp_path / "a.xlsx", "--as9102", "D")
    assert end.value.code == cli.BAD_INPUT
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("name", ["a.html", "a.pdf", "a.IPYNB"])
def test_a_file_of_the_report_is_no_folder(run, tmp_path, name):
    code, _, err = run(DEMO, "--to", tmp_path / name)
    assert (code, "the report is written there in every format" in err) == (cli.BAD_INPUT, True)
    assert not list(tmp_path.iterdir())


def test_a_gear_file_without_a_plan_says_what_is_missing(run, tmp_path):
    shutil.copytree(DEMO.parent, tmp_path / "gear")
    file = tmp_path / "gear" / "gear.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text[: text.index("[inspection]")], encoding="utf-8")
    code, _, err = run(file, "--to", tmp_path / "a.csv", "--as9102", "B")
    assert (code, "a section [inspection] in the gear file" in err) == (cli.BAD_INPUT, True)
    assert not (tmp_path / "a.csv").exists()
