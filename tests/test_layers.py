"""Rooms import only what lies below them, and the calculation rooms next to nothing."""

import ast

import pytest
from importlinter.cli import lint_imports

from tests.public import PACKAGE, ROOT, module_name, room_files

STANDARD = {
    "__future__",
    "collections",
    "dataclasses",
    "difflib",
    "enum",
    "functools",
    "itertools",
    "math",
    "typing",
}
ALLOWED = STANDARD | {"numpy", "scipy", "gearcheck"}


def test_the_contracts_of_the_house_hold(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    # it would silence every logger that is there already, for the tests that follow in this process
    monkeypatch.setattr("importlinter.cli.logging_config.dictConfig", lambda _: None)
    status = lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True, no_logo=True)
    assert status == 0, capsys.readouterr().out


def test_every_room_stands_in_the_contracts():
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    rooms = sorted(file.parent.name for file in PACKAGE.glob("*/__init__.py"))
    assert not [room for room in rooms if f"gearcheck.{room}" not in text]


def imported(file):
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file.name}: imports say where from in full"
            yield node.module.partition(".")[0]


@pytest.mark.parametrize("file", room_files(), ids=module_name)
def test_a_calculation_room_reads_no_file_no_clock_and_no_chance(file):
    assert not set(imported(file)) - ALLOWED
