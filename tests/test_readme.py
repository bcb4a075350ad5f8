"""What the README shows has to work as it stands."""

import re

import pytest

from gearcheck import _HOMES
from gearcheck.report.cautions import CAUTIONS
from tests.public import PACKAGE, ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)


def test_the_example_runs_and_prints_what_stands_below_it(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    (code,), (printed,) = blocks("python"), blocks("text")
    exec(compile(code, "README.md", "exec"), {})
    assert capsys.readouterr().out == printed


def test_the_table_names_every_public_function():
    named = set(re.findall(r"`(\w+)`", README.partition("| function | gives |")[2].partition("\n\n")[0]))
    functions = {name for name in _HOMES if name[0].islower()} | {"review"}
    assert named == functions


def named_files(name):
    """The targets of links to files, and the paths in code marks; a path with a placeholder names no file."""
    text = re.sub(r"```.*?```", "", (ROOT / name).read_text(encoding="utf-8"), flags=re.DOTALL)
    links = [link for link in re.findall(r"\]\(([^)\s]+)\)", text) if not re.match(r"\w+:|#", link)]
    return links + re.findall(r"`(\.?[\w-]+(?:/[\w.-]*)+)`", text)


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_every_file_that_is_named_exists(name):
    found = named_files(name)
    assert len(found) > 2
    assert not [file for file in found if not (ROOT / file).exists() and not (PACKAGE / file).exists()]


def test_the_fatigue_sheet_is_told_with_a_demo_gear_that_has_tests():
    """A sheet that is empty for the demo gear of the first command has to say which one fills it."""
    (told,) = re.findall(r"^The fatigue sheet (?:.+\n)+", README, re.MULTILINE)
    (file,) = re.findall(r"`gearcheck open (.+)`", told)
    assert "[[fatigue.tests]]" in (ROOT / file).read_text(encoding="utf-8")


def test_the_cautions_stand_in_it():
    flat = " ".join(README.split())
    assert all(sentence in flat for sentence in CAUTIONS)


def test_the_two_commands_start_from_nothing_on_both_systems():
    commands = blocks("sh")
    assert len(commands) == 2
    windows = re.findall(r"On Windows: `(.*)`", README)
    for command, other in zip(commands, windows, strict=True):
        assert command.startswith("python3 -m venv .venv && ")
        as_windows = command.strip().replace("python3", "py").replace(".venv/bin/", ".venv\\Scripts\\")
        assert as_windows == other
