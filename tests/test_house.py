"""The house rules that a reviewer would otherwise have to look for."""

import ast
import json
import re
import shutil
import subprocess
import sys

import pytest

from tests.public import PACKAGE, ROOT, module_name, room_files

TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "gearcheck", "workbooks", "tests", "scenarios"}
SOURCES = sorted(PACKAGE.rglob("*.py"))
ASIDE = ("print", "warnings.warn", "open", "input")
SERVED = [file for ending in ("html", "j2", "js", "css") for file in sorted(PACKAGE.rglob(f"*.{ending}"))]


def tree(file):
    return ast.parse(file.read_text(encoding="utf-8"))


def relative(file):
    return file.relative_to(ROOT).as_posix()


def run(*command):
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False
    )


def test_no_file_is_over_400_lines():
    texts = {relative(file): file.read_text(encoding="utf-8") for file in SOURCES + SERVED}
    lengths = {file: len(text.splitlines()) for file, text in texts.items()}
    assert not {file: length for file, length in lengths.items() if length > 400}


def long_bodies(file):
    for node in ast.walk(tree(file)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) and len(node.body) > 1 else node.body
            length = body[-1].end_lineno - body[0].lineno + 1
            if length > 40:
                yield f"{relative(file)}: {node.name} has {length} lines"


def test_no_function_body_is_over_40_lines():
    assert not [fault for file in SOURCES for fault in long_bodies(file)]


def side_effects(file):
    for node in ast.walk(tree(file)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) in ASIDE:
            yield f"line {node.lineno}: {ast.unparse(node.func)}"
        if isinstance(node, ast.ExceptHandler) and (
            node.type is None or ast.unparse(node.type) in ("Exception", "BaseException")
        ):
            yield f"line {node.lineno}: catches everything"
        if isinstance(node, ast.Global):
            yield f"line {node.lineno}: global"


@pytest.mark.parametrize("file", room_files(), ids=module_name)
def test_a_calculation_room_only_calculates(file):
    assert not list(side_effects(file))


def test_side_effects_are_seen(tmp_path):
    file = tmp_path / "room.py"
    file.write_text("try:\n    print(1)\nexcept:\n    warnings.warn('x')\n", encoding="utf-8")
    assert len(list(side_effects(file))) == 3


@pytest.mark.parametrize("command", ["check", "format --check"])
def test_ruff(command):
    done = run("-m", "ruff", *command.split(), "--no-cache", "gearcheck", "tests")
    assert done.returncode == 0, done.stdout


def test_mypy_strict():
    done = run("-m", "mypy")
    assert done.returncode == 0, done.stdout


def test_the_top_level_is_as_it_should_be():
    git = shutil.which("git")
    if git is None or not (ROOT / ".git").exists():
        pytest.skip("not a git checkout: nothing says which files are tracked")
    files = subprocess.run(
        [git, "ls-files"], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True
    ).stdout.splitlines()
    assert {file.partition("/")[0] for file in files if not file.startswith(".")} == TOP


def test_workbooks_are_short_and_hold_no_outputs():
    books = sorted((ROOT / "workbooks").rglob("*.ipynb"))
    assert books
    for book in books:
        cells = json.loads(book.read_text(encoding="utf-8"))["cells"]
        code = [cell for cell in cells if cell["cell_type"] == "code"]
        assert not [cell for cell in code if cell["outputs"] or cell["execution_count"]], book.name
        assert len(code) <= 12, book.name
        assert all(len("".join(cell["source"]).splitlines()) <= 6 for cell in code), book.name


@pytest.mark.parametrize("file", SERVED, ids=relative)
def test_what_is_served_needs_no_network(file):
    text = file.read_text(encoding="utf-8").replace("http://www.w3.org/", "")
    assert not re.findall(r"https?://\S*|(?:src|href)=[\"']//\S*|@import\s+\S*", text)


def test_importing_the_package_is_light():
    code = (
        "import sys, gearcheck; print({m.split('.')[0] for m in sys.modules} & {'scipy', 'pandas', 'altair'})"
    )
    done = run("-c", code)
    assert done.stdout.strip() == "set()", done.stdout + done.stderr


@pytest.mark.parametrize("room", ["figures.theme", "desk.server"])
def test_no_start_builds_grammars_that_nothing_uses(room):
    code = (
        f"import sys, gearcheck.{room}; from importlib.util import find_spec; "
        "print('jsonschema' in sys.modules, 'rfc3987_syntax' in sys.modules); find_spec('rfc3987_syntax')"
    )
    done = run("-c", code)
    assert done.stdout.split() == ["True", "False"], done.stdout + done.stderr
    assert done.returncode == 0, done.stderr
