"""A signed report of the right structure around a demo gear: three invented signers, each with a key."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from types import SimpleNamespace

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from gearcheck.basics.places import scenarios
from gearcheck.record.book import ROLES
from gearcheck.record.events import Person
from gearcheck.record.keeping import evidence_files, review_of
from gearcheck.record.keys import SigningKey
from gearcheck.record.ledger import unconfirmed
from gearcheck.record.requests import Request
from gearcheck.record.same_numbers import answers_of
from gearcheck.record.sealed import document_digest, notebook_text, read_notebook, with_signatures
from gearcheck.record.signatures import sign
from gearcheck.record.signers import Signer
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.report.cells import literal
from gearcheck.review.as_json import as_plain
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import outcome

AT = "2026-03-02T09:30:00Z"
WHO = {"design": "A. Fern", "metallurgy": "B. Moss", "quality": "C. Reed"}
KEYS = {
    role: SigningKey(Ed25519PrivateKey.from_private_bytes(bytes([place]) * 32))
    for place, role in enumerate(ROLES, start=1)
}
SIGNERS = tuple(
    Signer(name=WHO[role], public_key=key.public_key, roles=(role,)) for role, key in KEYS.items()
)
CHART = '<svg xmlns="http://www.w3.org/2000/svg"><text>reserve 1.07</text></svg>'
SENTENCE = "The flank stands its duty with a reserve of 1.07."


@cache
def record(scenario="tunnel_fan"):
    """A record just opened: its book, its review, and the texts that a report carries."""
    with TemporaryDirectory(prefix="gearcheck_tests_", ignore_cleanup_errors=True) as folder:
        workspace = Workspace(Path(folder) / "workspace.sqlite", now=lambda: AT)
        read = read_gear_file(scenarios() / scenario / "gear.toml")
        book = open_record(workspace, read, by=Person(name="D. Hale", role="chair"))
        files = evidence_files(workspace, book.revision)
        return SimpleNamespace(
            book=book, whole=review_of(workspace, book), gear_file=read.source_text, evidence=files
        )


def inputs_source(gear_file, evidence, history):
    """The first code cell."""
    files = "".join(f"{name!r}: {literal(text)},\n" for name, text in evidence.items())
    events = "".join(f"{text!r},\n" for text in history)
    return f"# as read\nGEAR_FILE = {literal(gear_file)}\nEVIDENCE = {{\n{files}}}\nHISTORY = [\n{events}]"


@cache
def _unsigned_text(scenario):
    it = record(scenario)
    source = inputs_source(it.gear_file, it.evidence, [event.text for event in it.book.events])
    output = {"output_type": "display_data", "metadata": {}, "data": {"image/svg+xml": [CHART]}}
    cells = [
        {"cell_type": "markdown", "id": "head", "metadata": {}, "source": ["# Report\n", SENTENCE]},
        _code("inputs", source.splitlines(keepends=True)),
        _code("run", ["display(chapter(whole))"], output),
        {"cell_type": "markdown", "id": "signatures", "metadata": {}, "source": []},
    ]
    about = {
        "format": 1,
        "part_number": it.book.part_number,
        "drawing_revision": it.book.drawing_revision,
        "revision": 1,
        "stage": str(it.whole.record.part.stage),
        "roles": list(it.book.roles),
        "contents": {
            "inputs": it.whole.record.digest,
            "evidence": dict(it.book.revision.files),
            "results": json.loads(json.dumps(as_plain(it.whole))),
            "answers": answers_of(it.whole),
            "decisions": [],
            "versions": dict(it.whole.versions),
        },
    }
    notebook = {"nbformat": 4, "nbformat_minor": 5, "metadata": {"gearcheck": about}, "cells": cells}
    return notebook_text(with_signatures(notebook, ()))


def _code(name, source, *outputs):
    return {
        "cell_type": "code",
        "id": name,
        "metadata": {},
        "source": source,
        "execution_count": None,
        "outputs": list(outputs),
    }


def unsigned(scenario="tunnel_fan"):
    """A report that nobody has signed, new at each call."""
    return read_notebook(_unsigned_text(scenario).encode("utf-8"))


def report_of(book, notebook=None):
    """A light report that says it is that of a record."""
    made = unsigned() if notebook is None else notebook
    about = made["metadata"]["gearcheck"]
    about |= {"part_number": book.part_number, "drawing_revision": book.drawing_revision}
    about["revision"] = book.revision.revision
    return made


def request(notebook, role, **changes):
    """What the signer of a role is asked."""
    about = notebook["metadata"]["gearcheck"]
    said = {
        "part_number": about["part_number"],
        "drawing_revision": about["drawing_revision"],
        "title": record().book.title,
        "stage": about["stage"],
        "revision": str(about["revision"]),
        "digest": changes.get("digest") or document_digest(notebook),
        "role": role,
        "outcome": outcome(record().whole),
        "concessions": (),
        "unconfirmed": len(unconfirmed(record().whole, record().book)),
    }
    return Request(**{**said, **changes})


def signatures(notebook, roles=ROLES):
    """One signature for each of the roles."""
    digest = document_digest(notebook)
    asked = [(role, request(notebook, role, digest=digest)) for role in roles]
    return [sign(one, KEYS[role], name=WHO[role], at=AT) for role, one in asked]


def signed(roles=ROLES, scenario="tunnel_fan"):
    """A signed report, new at each call."""
    notebook = unsigned(scenario)
    return with_signatures(notebook, signatures(notebook, roles))


def real(scenario="tunnel_fan"):
    """A signed report as the package prints it, with all its charts."""
    from gearcheck.report.cells import notebook_report

    it = record(scenario)
    notebook = read_notebook(notebook_report(it.whole, it.book).encode("utf-8"))
    return with_signatures(notebook, signatures(notebook))


def data(notebook):
    """A notebook as a file."""
    return notebook_text(notebook).encode("utf-8")
