"""Every test of a cited value must hold it, and the summary says how far the numbers are checked."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import settings

from tests import checks
from tests.public import calculations

# no test writes into the workspace of whoever runs it
_FOLDER = tempfile.mkdtemp(prefix="gearcheck_tests_")
atexit.register(shutil.rmtree, _FOLDER, ignore_errors=True)
os.environ["GEARCHECK_WORKSPACE"] = str(Path(_FOLDER) / "workspace.sqlite")

# a machine may ask Python to keep no compiled modules: each kernel and command that a test starts, over a
# hundred of them, would compile the whole package once more
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# how long an example takes is no property: a busy machine would fail what holds
settings.register_profile("untimed", deadline=None, max_examples=50)
settings.load_profile("untimed")


def pytest_collection_modifyitems(items):
    # what is longest begins first, so that the other process goes on beside it
    items.sort(key=_turn)


TOGETHER = ("tests/browser/", "tests/report/")
"""Folders in which what takes long is made once for all of their files: desk and browser, reports."""


def _turn(item):
    """What goes first: the folders that stay together, longest first, and the one long test."""
    first = (TOGETHER[0], "tests/test_house.py", *TOGETHER[1:])
    early = [place for place, start in enumerate(first) if item.nodeid.startswith(start)]
    return (*early, len(first))[0]


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """One file stays in one process, and one folder whose files share what takes long to make."""
    from xdist.scheduler import LoadFileScheduling

    class Scheduling(LoadFileScheduling):
        def _split_scope(self, nodeid):
            file = super()._split_scope(nodeid)
            return next((folder for folder in TOGETHER if file.startswith(folder)), file)

    return Scheduling(config, log) if config.getvalue("dist") == "loadfile" else None


def pytest_configure(config):
    if not hasattr(config, "workerinput"):
        config.pluginmanager.register(_FromWorkers())


def pytest_sessionfinish(session):
    output = getattr(session.config, "workeroutput", None)
    if output is not None:
        output["held"] = list(checks.held)


class _FromWorkers:
    """Gathers the check values that held in the processes that ran the tests."""

    @pytest.hookimpl(optionalhook=True)
    def pytest_testnodedown(self, node, error):
        known = {(check.file, check.id): check for check in checks.all_checks()}
        names = getattr(node, "workeroutput", {}).get("held", ())
        checks.held.update({tuple(name): known[tuple(name)] for name in names})


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item):
    result = yield
    callspec = getattr(item, "callspec", None)
    for value in callspec.params.values() if callspec else ():
        if isinstance(value, checks.Check) and (value.file, value.id) not in checks.held:
            raise AssertionError(f"{value}: the test never called holds")
    return result


def pytest_terminal_summary(terminalreporter):
    if not checks.held:
        return
    counted = Counter(check.kind for check in checks.held.values())
    kinds = ", ".join(f"{counted[kind]} {kind}" for kind in checks.KINDS if counted[kind])
    terminalreporter.write_sep("-", "check values")
    terminalreporter.write_line(f"{len(checks.held)} checks held: {kinds}.")
    for sentence in weak_sentences(checks.all_checks()):
        terminalreporter.write_line(sentence)


def weak_sentences(known):
    """One sentence for each public calculation that no independent or published value checks."""
    for calculation in calculations():
        outside = {check.kind for check in known if check.calculation == calculation} - {"frozen"}
        if not outside:
            yield f"{calculation} has no check."
        elif outside <= {"memory", "identity"}:
            kinds = " and ".join(sorted(outside))
            yield f"{calculation} has only checks from {kinds}: these are not called checked."
