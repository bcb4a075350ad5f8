"""The hand sheets still give what the check values say, and share nothing with the package."""

import ast
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from tests.checks import checks
from tests.public import ROOT
from tests.sheets.iso6336_pair import CHECKS

SHEET = Path(__file__).with_name("iso6336_pair.py")
COMMAND = "python tests/sheets/iso6336_pair.py"
OF_THE_SHEET = {check.id: check for check in checks("stress") if check.command == COMMAND}


@pytest.fixture(scope="module")
def printed():
    done = subprocess.run(
        [sys.executable, *COMMAND.split()[1:]],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    lines = [line.split() for line in done.stdout.splitlines()]
    return {(check, symbol): numbers for check, symbol, *numbers in lines}


def as_printed(number, text):
    """A number of the sheet rounded to the digits of a check value."""
    return str(Decimal(number).quantize(Decimal(text)))


@pytest.mark.parametrize("name", OF_THE_SHEET)
def test_the_sheet_gives_the_check_values(name, printed):
    for symbol, expected in OF_THE_SHEET[name].expected.items():
        texts, numbers = list(np.ravel(expected)), printed[name, symbol]
        assert [as_printed(*both) for both in zip(numbers, texts, strict=True)] == texts, symbol


def test_every_part_of_the_sheet_is_a_check_with_the_same_inputs():
    assert CHECKS.keys() <= OF_THE_SHEET.keys()
    for name, (_, pair, member, cycles) in CHECKS.items():
        inputs = {"pair": pair, "member": member}
        if cycles:
            inputs["load_cycles"] = list(cycles) if isinstance(cycles, tuple) else cycles
        assert OF_THE_SHEET[name].inputs == inputs


def test_the_sheet_stands_alone():
    tree = ast.parse(SHEET.read_text(encoding="utf-8"))
    nodes = [node for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom)]
    assert [getattr(node, "module", None) for node in nodes] == ["math"]
