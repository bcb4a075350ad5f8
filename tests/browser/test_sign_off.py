"""A record on its way from the sheet to a signed notebook that holds, as people would take it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import expect

from gearcheck.basics.places import scenarios
from gearcheck.cli import main
from gearcheck.record.keys import new_key, read_key, signer_file
from gearcheck.record.requests import read_request
from gearcheck.record.signatures import sign, signature_text
from gearcheck.record.workspace import utc_now

from .conftest import running

SECRET = "a long passphrase"
WHO = {"design": "A. Fern", "metallurgy": "B. Moss", "quality": "C. Reed"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("signed off")


@pytest.fixture(scope="module")
def desk(folder):
    gear = scenarios() / "tunnel_fan" / "gear.toml"
    command = [sys.executable, "-m", "gearcheck", "open", "--no-browser", str(gear)]
    with running([*command, "--workspace", str(folder / "workspace.sqlite")], folder / "desk.log") as desk:
        yield desk


def gearcheck(*arguments: str, typed: str = "") -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "-m", "gearcheck", *arguments],
        input=typed,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def saved(page, name: str, folder: Path) -> Path:
    """Save a file that the page offers, as the browser does."""
    with page.expect_download() as waiting:
        page.get_by_role("button", name=name).click()
    path = folder / waiting.value.suggested_filename
    waiting.value.save_as(path)
    return path


def given(page, button: str, *files: Path) -> None:
    with page.expect_file_chooser() as waiting:
        page.get_by_role("button", name=button).click()
    waiting.value.set_files(files)


def signed_by_command(request: Path, report: Path, key: Path) -> Path:
    made = gearcheck("key", "new", str(key), "--name", WHO["design"], typed=SECRET + "\n")
    assert made.returncode == 0, made.stderr
    target = request.with_suffix(".signed")
    asked = ["sign", str(request), "--report", str(report), "--key", str(key), "--to", str(target)]
    done = gearcheck(*asked, typed=SECRET + "\n")
    assert done.returncode == 0, done.stderr
    assert "To be signed in the role: design" in done.stdout
    return target


def signed_here(role: str, request: Path, key: Path) -> Path:
    new_key(key, name=WHO[role], passphrase=SECRET)
    made = sign(read_request(request.read_bytes()), read_key(key, SECRET), name=WHO[role], at=utc_now())
    target = request.with_suffix(".signed")
    target.write_text(signature_text(made), encoding="utf-8")
    return target


def changed(notebook: Path, name: str, old: str, new: str) -> Path:
    text = notebook.read_text(encoding="utf-8")
    assert old in text
    copy = notebook.with_name(name)
    copy.write_text(text.replace(old, new, 1), encoding="utf-8")
    return copy


def a_chart(notebook: Path) -> str:
    """The first bar or line of a chart in the report."""
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    drawn = [
        line
        for cell in cells
        for output in cell.get("outputs", ())
        for line in output.get("data", {}).get("image/svg+xml", ())
        if "<path" in line and ' d="M' in line
    ]
    assert drawn
    place = drawn[0].index(' d="M')
    return json.dumps(drawn[0][place : place + 30], ensure_ascii=False)[1:-1]


def test_a_record_in_trouble_says_what_blocks_and_leads_there(lift_desk, visit):
    page = visit(lift_desk.sheet("sign_off.ipynb", "record=SL-040_E"))
    expect(page.locator("#blocked")).to_have_text("5 points block signing:")
    expect(page.get_by_role("button", name="Prepare the report for signing")).to_be_disabled()
    page.locator(".gc-blocks li", has_text="Root stress").get_by_role("link", name="in the review").click()
    expect(page.locator(".gc-need", has_text="Root stress, the gear against drum")).to_be_focused()
    assert "record=SL-040_E" in page.url


@pytest.mark.slow
def test_from_the_sheet_to_a_signed_notebook_that_holds(desk, visit, folder, capsys):
    page = visit(desk.sheet("sign_off.ipynb"))
    expect(page.locator("#blocked")).to_have_text("Nothing blocks signing.")
    page.get_by_label("Written by").fill("D. Hale")

    # a value is compared with its document
    confirm = page.locator("form[data-form=confirm]")
    count = re.match(r"(\d+) of \1 methods", page.locator("#unconfirmed").inner_text()).groups()
    confirm.get_by_label("Mesh stiffness", exact=False).first.check()
    confirm.get_by_role("button", name="Confirm").click()
    expect(confirm.get_by_role("alert")).to_contain_text("Document and edition: missing")
    confirm.get_by_label("Document and edition").fill("ISO 6336-1:2019")
    confirm.get_by_label("Clause, table or page").fill("clause 9")
    confirm.get_by_label("Day on which it was compared").fill("2026-03-02")
    confirm.get_by_role("button", name="Confirm").click()
    expect(page.locator("#unconfirmed")).to_contain_text(f"{int(count[0]) - 1} of {count[0]} methods")
    expect(page.locator("#rendered_cells")).to_contain_text("D. Hale, on")

    # the report is prepared, and a request goes to each role
    page.get_by_role("button", name="Prepare the report for signing").click()
    expect(page.locator("#digest")).to_be_visible(timeout=90_000)
    digest = page.locator("#digest").inner_text()
    report = saved(page, "to-sign.ipynb", folder)
    requests = {role: saved(page, f"{role}.request.json", folder) for role in WHO}
    signatures = [signed_by_command(requests["design"], report, folder / "design.key")]
    signatures += [signed_here(role, requests[role], folder / f"{role}.key") for role in list(WHO)[1:]]

    # the signatures come back, with one file among them that is none
    given(page, "Take in signature files", *signatures, report)
    expect(page.get_by_role("alert").filter(has_text="to-sign.ipynb")).to_be_visible()
    expect(page.locator("#signed tbody tr")).to_have_count(3)
    expect(page.locator("#rendered_cells")).to_contain_text("All have signed revision 1 of the record.")

    # the signed notebook is taken away, and holds
    page.get_by_role("button", name="Write the files").click()
    expect(page.locator("#written")).to_contain_text(str(folder / "TF-118_C"), timeout=60_000)
    notebook = saved(page, f"_signed_{digest[:8]}.ipynb", folder)
    signers = folder / "signers.toml"
    entries = (signer_file(folder / f"{role}.key").read_text(encoding="utf-8") for role in WHO)
    signers.write_text("\n".join(entries), encoding="utf-8")
    held = gearcheck("verify", str(notebook), "--signers", str(signers))
    assert held.returncode == 0, held.stdout
    assert digest in held.stdout

    # a changed number, a changed sentence and a changed chart do not
    drawn = a_chart(notebook)
    copies = (
        changed(notebook, "number.ipynb", "teeth = 23", "teeth = 24"),
        changed(notebook, "sentence.ipynb", "None of 37 requirements", "All of 37 requirements"),
        changed(notebook, "chart.ipynb", drawn, drawn.replace("M", "M1", 1)),
    )
    for copy in copies:
        assert main(["verify", str(copy), "--signers", str(signers)]) == 1
        assert "Not altered: no" in capsys.readouterr().out

    # the same without a command line
    page.get_by_role("link", name="Verify").click()
    page.wait_for_url("**/verify.ipynb?record=TF-118_C")
    given(page, "List of signers", signers)
    expect(page.locator("#rendered_cells")).to_contain_text("A. Fern, B. Moss, C. Reed")
    given(page, "Signed notebook or archive", notebook)
    expect(page.locator("#verified")).to_have_text(
        "This file is as it was signed, by all who have to, and its numbers come out the same."
    )
    given(page, "Signed notebook or archive", copies[1])
    expect(page.locator("#verified")).to_contain_text("Do not rely on this file")
