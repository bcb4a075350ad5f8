"""What the README shows has to work as it stands."""

import re

from gearcheck import _HOMES
from gearcheck.report.cautions import CAUTIONS
from tests.public import ROOT

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
