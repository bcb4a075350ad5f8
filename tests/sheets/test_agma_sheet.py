"""The hand sheet by ANSI/AGMA 2101 still gives the check values, and shares nothing with the package."""

import ast
from pathlib import Path

import numpy as np
import pytest

from tests.checks import checks
from tests.sheets.agma_pair import PAIRS, worked

OF_THE_SHEET = {
    check.inputs["pair"]: check
    for check in checks("agma")
    if check.command == "python tests/sheets/agma_pair.py"
}


@pytest.mark.parametrize("name", PAIRS)
def test_the_sheet_gives_the_check_values(name):
    found, expected = worked(name), OF_THE_SHEET[name].expected
    assert found.keys() == expected.keys()
    for symbol, texts in expected.items():
        for number, text in zip(np.ravel(found[symbol]), np.ravel(texts), strict=True):
            assert f"{number:.{len(text.partition('.')[2])}f}" == text, symbol


def test_the_sheet_stands_alone():
    tree = ast.parse(Path(__file__).with_name("agma_pair.py").read_text(encoding="utf-8"))
    nodes = [node for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom)]
    assert [getattr(node, "module", None) for node in nodes] == ["math"]
