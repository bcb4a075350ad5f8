"""A signed notebook, verified and run again by a program that was installed anew from the package alone."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.record.closing import take_signature
from gearcheck.record.events import Person
from gearcheck.record.keeping import review_of
from gearcheck.record.keys import signer_entry
from gearcheck.record.requests import read_request, request_text
from gearcheck.record.signatures import sign, signature_text
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.report.release import prepare, signed_notebook
from gearcheck.review.gear_file import read_gear_file
from tests.public import ROOT
from tests.record.results import write_row
from tests.record.signed import AT, KEYS, SIGNERS, WHO

CHAIR = Person(name="D. Hale", role="chair")

RUN_AGAIN = """
import sys
import nbformat
from pathlib import Path
from nbclient import NotebookClient
import gearcheck
assert not Path(gearcheck.__file__).is_relative_to(sys.argv[3]), gearcheck.__file__
notebook = nbformat.read(sys.argv[1], as_version=4)
for cell in notebook.cells:
    if cell.cell_type == "code":
        cell.outputs, cell.execution_count = [], None
NotebookClient(notebook, kernel_name="python3", record_timing=False).execute()
nbformat.write(notebook, sys.argv[2])
"""


def signed(folder: Path) -> Path:
    """A demo gear's record with all its signatures, as its notebook."""
    workspace = Workspace(folder / "workspace.sqlite", now=lambda: AT)
    book = open_record(workspace, read_gear_file(scenarios() / "tunnel_fan" / "gear.toml"), by=CHAIR)
    book = prepare(workspace, book, by=CHAIR)
    whole = review_of(workspace, book)
    for role in book.roles:
        request = read_request(request_text(book, role, whole))
        made = sign(request, KEYS[role], name=WHO[role], at=AT)
        book = take_signature(workspace, book, by=CHAIR, text=signature_text(made))
    file = folder / "signed.ipynb"
    file.write_bytes(signed_notebook(workspace, book))
    return file


def installed(folder: Path) -> Path:
    """The Python of a fresh environment with the package alone, not from the checkout."""
    venv.create(folder, with_pip=True)
    python = folder / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
    subprocess.run([python, "-m", "pip", "install", "-q", str(ROOT)], cwd=folder, check=True)
    return python


def outputs(file: Path) -> list[object]:
    cells = json.loads(file.read_text(encoding="utf-8"))["cells"]
    return [cell["outputs"] for cell in cells if cell["cell_type"] == "code"]


@pytest.mark.slow
def test_a_program_installed_anew_verifies_and_runs_a_signed_notebook(tmp_path):
    file = signed(tmp_path)
    bad = tmp_path / "bad.ipynb"
    text = file.read_text(encoding="utf-8")
    assert "None of 33" in text
    bad.write_text(text.replace("None of 33", "All of 33", 1), encoding="utf-8")
    signers = tmp_path / "signers.toml"
    entries = (signer_entry(item.name, item.public_key) for item in SIGNERS)
    signers.write_text("\n".join(entries), encoding="utf-8")

    python = installed(tmp_path / "fresh")
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}

    def run(*arguments: object) -> int:
        command = [python, *map(str, arguments)]
        return subprocess.run(command, cwd=tmp_path, env=clean, check=False).returncode

    codes = [run("-m", "gearcheck", "verify", one, "--signers", signers) for one in (file, bad)]
    assert codes == [0, 1]
    script = tmp_path / "again.py"
    script.write_text(RUN_AGAIN, encoding="utf-8")
    assert run(script, file, tmp_path / "again.ipynb", ROOT) == 0
    assert outputs(tmp_path / "again.ipynb") == outputs(file)
    outcome = "exit codes 0 and 1; run again, every output the same"
    write_row("a signed notebook in a fresh environment, and a changed copy of it", 2, outcome)
