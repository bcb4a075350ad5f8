"""The verify sheet without a browser: what goes in, and what is said of it."""

import re
from datetime import UTC, datetime

import pytest

from gearcheck.desk import verify as sheet_module
from gearcheck.desk.panels.verifying import Verifying, sentence
from gearcheck.desk.verify import VerifySheet
from gearcheck.record.answers import Answer
from gearcheck.record.keys import signer_entry
from gearcheck.record.verify import Verification
from tests.record.signed import KEYS, SIGNERS, data, real, signed

LIST = "\n".join(signer_entry(item.name, item.public_key) for item in SIGNERS).encode("utf-8")


def give(upload, name, content):
    upload.value = (
        {
            "name": name,
            "type": "",
            "size": len(content),
            "content": memoryview(content),
            "last_modified": datetime(2026, 3, 2, tzinfo=UTC),
        },
    )


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).strip()


@pytest.fixture
def panel():
    return Verifying()


def test_a_signed_report_with_a_list_of_signers_holds(panel):
    give(panel.signers, "list.toml", LIST)
    give(panel.file, "fan.ipynb", data(real()))
    assert panel.found.exit_code == 0
    html = panel.said.html
    assert "This file is as it was signed, by all who have to" in html
    assert html.count('class="gc-answer holds">yes') == 3
    assert "List of signers: A. Fern, B. Moss, C. Reed." in panel.listed.html
    assert "Signed by A. Fern as design, on 2 March 2026 at 09:30 UTC by the clock" in words(html)
    assert panel.trouble.value == ""


def test_without_a_list_the_fingerprints_are_to_be_compared_and_a_later_list_is_used(panel):
    from gearcheck.record.fingerprint import fingerprint

    give(panel.file, "fan.ipynb", data(real()))
    html = panel.said.html
    assert "Nothing in this file was altered, but signatures with known keys are missing." in html
    assert "every key is unknown" in html
    assert fingerprint(KEYS["design"].public_key) in html
    give(panel.signers, "list.toml", LIST)
    assert panel.found.exit_code == 0


def test_a_changed_sentence_is_said_first(panel):
    notebook = data(signed()).replace(b"with a reserve of 1.07", b"with a reserve of 1.70")
    give(panel.signers, "list.toml", LIST)
    give(panel.file, "fan.ipynb", notebook)
    assert panel.found.exit_code == 1
    assert "Do not rely on this file" in panel.said.html
    assert "gc-bad" in panel.said.html


def test_what_is_no_report_is_told_by_its_name_and_nothing_of_it_becomes_markup(panel):
    give(panel.file, "a <b>.ipynb", b'{"cells": [], "cells": []}')
    assert "This is no report that can be verified." in panel.said.html
    assert "a &lt;b&gt;.ipynb, notebook" in panel.trouble.value
    give(panel.file, "a <b>.ipynb", data(signed()).replace(b"A. Fern", b"A. <b>rn"))
    assert panel.trouble.value == ""
    assert "<b>" not in panel.said.html


def test_a_bad_list_of_signers_is_refused_and_the_one_before_stays(panel):
    give(panel.signers, "list.toml", LIST)
    give(panel.signers, "other.toml", b"[[signer]]\nname = 1\n")
    assert "signer[1].name" in panel.trouble.value
    assert "A. Fern" in panel.listed.html


def answers(altered, signed_by, numbers):
    made = {
        name: Answer(ok=ok, words=("Said.",))
        for name, ok in (("altered", altered), ("signed", signed_by), ("numbers", numbers))
    }
    return Verification(part_number="TF-118", drawing_revision="C", revision="1", digest="0" * 64, **made)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ((False, True, True), "Do not rely on this file"),
        ((None, True, None), "It cannot be said whether"),
        ((True, False, False), "signatures with known keys are missing"),
        ((True, True, False), "gets other numbers"),
        ((True, True, None), "cannot be said"),
        ((True, True, True), "its numbers come out the same"),
    ],
)
def test_one_sentence_says_the_worst(given, said):
    assert said in sentence(answers(*given))


def test_the_sheet_needs_no_workspace(monkeypatch, tmp_path):
    shown = []
    monkeypatch.setattr(sheet_module, "display", shown.append)
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(tmp_path / "none" / "workspace.sqlite"))
    sheet = VerifySheet("record=TF-118_C")
    sheet.show()
    assert len(shown) == 1
    assert sheet.panel.found is None
    assert sheet._page.query == "record=TF-118_C"
    assert not (tmp_path / "none").exists()
