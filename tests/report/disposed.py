"""A record of the demo gear with formulas wherever people write, and what becomes of its contradictions."""

from __future__ import annotations

import re
import shutil

from gearcheck.basics.places import scenarios
from gearcheck.record.dispositions import dispose, due
from gearcheck.record.events import Person
from gearcheck.record.keeping import review_of
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.gear_file import read_gear_file

FORMULA = "=cmd|' /C calc'!A1"
EVIL = '<img src=x onerror="alert(1)">'
TEAL = Person(name=f"M. Teal {EVIL}", role="quality")


def disposed_record(folder):
    """The review and the book after each verdict, by its name, and the workspace under "workspace"."""
    shutil.copytree(scenarios() / "ship_lift", folder / "gear")
    file, results = folder / "gear" / "gear.toml", folder / "gear" / "results.csv"
    text = file.read_text(encoding="utf-8")
    text = re.sub(r'(?m)^(title = )"Ship-lift.*"$', rf'\1"{FORMULA}"', text)
    text = re.sub(r'(?m)^(title = )"Thread of.*"$', r'\1"@SUM(1+1)"', text)
    text = re.sub(r'(?m)^(reason) = ".*"$', rf"\1 = '{EVIL}'", text)
    file.write_text(re.sub(r'(?m)^(by|instrument) = ".*"$', rf'\1 = "{FORMULA}"', text), encoding="utf-8")
    rows = results.read_text(encoding="utf-8").replace("no indication", "-2+3").replace("chart 3117", "+1")
    results.write_text(rows, encoding="utf-8")
    workspace = Workspace(folder / "workspace.sqlite", now=lambda: "2026-03-10T09:30:00Z")
    book = open_record(workspace, read_gear_file(file), by=TEAL)
    found = {"workspace": workspace, "open": (review_of(workspace, book), book)}
    for name, more in (
        ("conceded", {"verdict": "concession", "limit": "serial number 0007"}),
        ("reworked", {"verdict": "rework", "first": "final", "last": "final"}),
    ):
        whole, book = next(reversed(found.values()))
        about = due(whole, book)[0].key
        book = dispose(workspace, book, whole, by=TEAL, about=about, reason=f"Agreed {EVIL}", **more)
        found[name] = review_of(workspace, book), book
    return found
