"""The table of what was tried many times: one row for each trial, the last run in place of the one before."""

from __future__ import annotations

import platform
import subprocess
from datetime import UTC, datetime
from pathlib import Path

FILE = Path(__file__).with_name("results.md")
HEAD = "| what | tries | outcome | commit | date | machine | command |"
RULE = "| --- | --- | --- | --- | --- | --- | --- |"
COMMAND = "python -m pytest -n 0 -m slow tests/record"
_BY = "Written by the slow tests of this folder and of tests/inspection, tests/meshing and tests/fatigue."
_TOP = f"# What was tried many times\n\n{_BY}\n\n{HEAD}\n{RULE}\n"


def write_row(what: str, count: int, outcome: str, command: str = COMMAND) -> None:
    """Write what came of a trial.

    Parameters
    ----------
    what : str
        What was tried.
    count : int
        How many times.
    outcome : str
        What came of it.
    command : str
        What runs it.
    """
    machine = f"{platform.system()} {platform.machine()}, Python {platform.python_version()}"
    cells = (what, str(count), outcome, _commit(), f"{datetime.now(UTC):%Y-%m-%d}", machine, command)
    row = f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"
    text = FILE.read_text(encoding="utf-8") if FILE.exists() else _TOP
    kept = [line for line in text.splitlines() if not line.startswith(f"| {what} |")]
    FILE.write_text("\n".join([*kept, row]) + "\n", encoding="utf-8", newline="\n")


def _commit() -> str:
    done = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"],
        cwd=FILE.parent,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    return done.stdout.strip() or "unknown"
