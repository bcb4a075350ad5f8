"""Records to write on: a workspace with a clock that stands still, and one demo gear in it."""

from __future__ import annotations

import atexit
import shutil
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from gearcheck.basics.places import scenarios
from gearcheck.record.events import Person
from gearcheck.record.keeping import review_of
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.gear_file import read_gear_file, read_gear_text

AT = "2026-03-20T09:30:00Z"
FERN = Person(name="A. Fern", role="design")
HALE = Person(name="D. Hale", role="chair")
ROOT = "stress.root.drum.gear"
CASE_LEFT = "case.left.left"
PITCH = "accuracy.single.right"


class Desk:
    """A record at hand: each step goes on from the book before."""

    def __init__(self, workspace, book):
        self.workspace, self.book = workspace, book

    def do(self, step, *given, by=FERN, **named):
        """Take a step, and keep the book that it gives."""
        self.book = step(self.workspace, self.book, *given, by=by, **named)
        return self.book

    @property
    def whole(self):
        """The review of the revision that holds."""
        return review_of(self.workspace, self.book)

    def requirement(self, key):
        """One requirement of it."""
        return next(item for item in self.whole.requirements if item.key == key)


@cache
def folder_of(scenario):
    """The folder of a demo gear; the ship lift has its missing results, so that three things hold it up."""
    if scenario != "ship_lift":
        return scenarios() / scenario
    home = mkdtemp(prefix="gearcheck_tests_")
    atexit.register(shutil.rmtree, home, ignore_errors=True)
    folder = Path(home) / scenario
    shutil.copytree(scenarios() / scenario, folder)
    results = folder / "results.csv"
    lines = results.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("oxidation,")]
    assert len(kept) == len(lines) - 1
    laboratory = 'microscope 1,2026-02-26,"laboratory, N. Farrow",furnace load 3117,E'
    more = [f"oxidation,16,µm,2,,,{laboratory}", f"retained_austenite,18,%,3,,,{laboratory}"]
    results.write_text("\n".join([*kept, *more, ""]), encoding="utf-8")
    return folder


@cache
def gear(scenario):
    """A demo gear as read."""
    return read_gear_file(folder_of(scenario) / "gear.toml")


def edited(scenario, *changes):
    """A demo gear with words of its file replaced."""
    text = gear(scenario).source_text
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_gear_text(text, folder=folder_of(scenario))


def workspace_in(folder):
    """An empty workspace."""
    return Workspace(folder / "workspace.sqlite", now=lambda: AT)


def opened(folder, scenario="ship_lift"):
    """A record just opened."""
    workspace = workspace_in(folder)
    return Desk(workspace, open_record(workspace, gear(scenario), by=FERN))
