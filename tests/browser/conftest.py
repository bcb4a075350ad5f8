"""The desk and a headless browser: what every test that looks at a page stands on."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.record.events import Person
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.gear_file import read_gear_file

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\S+token=\S+")


def pytest_collection_modifyitems(items):
    for item in items:
        if item.path.parent == Path(__file__).parent:
            item.add_marker(pytest.mark.browser)


@dataclass(frozen=True)
class Desk:
    """A running desk: the address that it announced, its process and its log."""

    address: str
    process: subprocess.Popen
    log: Path

    @property
    def origin(self) -> str:
        parts = urlsplit(self.address)
        return f"{parts.scheme}://{parts.netloc}"

    @property
    def token(self) -> str:
        return self.address.rsplit("token=", 1)[1]

    def sheet(self, name: str, query: str = "") -> str:
        more = f"&{query}" if query else ""
        return f"{self.origin}/voila/render/{name}?token={self.token}{more}"


@contextmanager
def running(command: list[str], log: Path, **environment: str) -> Iterator[Desk]:
    """Start a desk, wait for the address that it announces, and stop it by its own process."""
    with log.open("w", encoding="utf-8") as stream:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=stream,
            stderr=subprocess.STDOUT,
            env=os.environ | environment,
        )
    try:
        yield Desk(_announced(process, log), process, log)
    finally:
        process.terminate()
        try:
            process.wait(30)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait(10)


def _announced(process: subprocess.Popen, log: Path) -> str:
    until = time.monotonic() + 60
    while time.monotonic() < until and process.poll() is None:
        found = ADDRESS.search(log.read_text(encoding="utf-8"))
        if found:
            return found[0]
        time.sleep(0.05)
    pytest.fail(f"the desk announced no address:\n{log.read_text(encoding='utf-8')}")


@pytest.fixture(scope="package")
def desk_for(tmp_path_factory) -> Iterator[Callable[..., Desk]]:
    """Give the desk for a gear file, started once for all tests by the command that a user types.

    Its workspace holds the records of the other demos that are named, beside the one that the file begins.
    """
    folder = tmp_path_factory.mktemp("desks")
    opened: dict[Path, tuple[Desk, object]] = {}

    def start(file: Path, *others: str) -> Desk:
        if file not in opened:
            command = [sys.executable, "-m", "gearcheck", "open", "--no-browser", str(file)]
            own = folder / f"{len(opened)}.sqlite"
            for name in others:
                record = read_gear_file(scenarios() / name / "gear.toml")
                open_record(Workspace(own), record, by=Person(name="D. Hale"))
            manager = running(command, folder / f"{len(opened)}.log", GEARCHECK_WORKSPACE=str(own))
            opened[file] = (manager.__enter__(), manager)
        return opened[file][0]

    yield start
    for desk, _ in opened.values():
        desk.process.terminate()  # all at once: each waits some seconds for its kernels
    for _, manager in opened.values():
        manager.__exit__(None, None, None)


@pytest.fixture(scope="package")
def desk(desk_for) -> Desk:
    """One desk for many sheets: of the fan, with three more records that their addresses name.

    A test may write to the record of the lift; nobody else may rest on it.
    """
    return desk_for(scenarios() / "tunnel_fan" / "gear.toml", "ship_lift", "tram_bogie", "harvester")


@pytest.fixture(scope="package")
def lift(tmp_path_factory) -> Path:
    """A copy of the gear file of the lift: reports are written beside it, and a test writes into it."""
    copied = shutil.copytree(scenarios() / "ship_lift", tmp_path_factory.mktemp("gear") / "lift")
    return Path(copied) / "gear.toml"


@pytest.fixture(scope="package")
def lift_desk(desk_for, lift) -> Desk:
    """The desk of the lift, whose record stands already; nobody writes to it."""
    return desk_for(lift, "ship_lift")


def browser_path() -> str | None:
    """Return the browser of this machine: the variable CHROMIUM, or one on the path."""
    named = os.environ.get("CHROMIUM")
    if named:
        return named
    names = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge", "microsoft-edge")
    return next((found for found in map(shutil.which, names) if found), None)


@pytest.fixture(scope="package")
def browser():
    playwright = pytest.importorskip("playwright.sync_api", reason="the test extra is not installed")
    path = browser_path()
    if path is None:
        missing = "no browser: set CHROMIUM to one, or install chromium, Chrome or Edge"
        if os.environ.get("CI", "").lower() in ("1", "true"):
            pytest.fail(missing)
        pytest.skip(missing)
    with playwright.sync_playwright() as driver:
        playwright.expect.set_options(timeout=45_000)  # a busy machine is slow, not wrong
        browser = driver.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def visit(browser):
    """Give a function that opens an address in a fresh browser; no page may err or ask another machine.

    A test that provokes an error on purpose empties ``visit.errors`` itself.
    """
    with visiting(browser) as open_page:
        yield open_page


@contextmanager
def visiting(browser):
    """Do what ``visit`` does for as long as the caller wants."""
    contexts = []

    def open_page(address: str, *, width: int = 1280, height: int = 900, wait: str | None = ".gc-live"):
        context = browser.new_context(viewport={"width": width, "height": height})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(60_000)  # as above: two browsers may start at once
        origin = "{0.scheme}://{0.netloc}/".format(urlsplit(address))
        own = (origin, origin.replace("http", "ws", 1), "data:", "blob:")
        page.on("request", lambda asked: asked.url.startswith(own) or open_page.foreign.append(asked.url))
        page.on("websocket", lambda asked: asked.url.startswith(own) or open_page.foreign.append(asked.url))
        page.on("pageerror", lambda error: open_page.errors.append(str(error)))
        page.on("console", lambda line: line.type == "error" and open_page.errors.append(line.text))
        page.goto(address, wait_until="commit")
        if wait:
            page.wait_for_selector(wait)
        return page

    open_page.foreign, open_page.errors = [], []
    yield open_page
    for context in contexts:
        context.close()
    assert open_page.foreign == []
    assert open_page.errors == []
