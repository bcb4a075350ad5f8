"""The report of a record: what it carries, how it is put before the signers, and what is handed out."""

import ast
import hashlib
import io
import json
import zipfile

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.names import markdown_text
from gearcheck.record.archive import SUMS, notebook_in
from gearcheck.record.blocks import blocks
from gearcheck.record.decisions import ask
from gearcheck.record.events import Kind
from gearcheck.record.inside import about_record
from gearcheck.record.sealed import document_digest, joined, read_notebook
from gearcheck.record.verify import verify
from gearcheck.report import release
from gearcheck.report.cells import carried, history, notebook_report
from tests.record.signed import SIGNERS
from tests.report.told import Told


@pytest.fixture(scope="module")
def signed(released):
    return read_notebook(released["ipynb"].read_bytes())


@pytest.fixture(scope="module")
def values(signed):
    source = next(joined(cell["source"]) for cell in signed["cells"] if cell["cell_type"] == "code")
    return {line.targets[0].id: ast.literal_eval(line.value) for line in ast.parse(source).body}


def test_it_carries_all_that_was_written_up_to_where_it_was_put_before_the_signers(values, told):
    kinds = [event.kind for event in told.book.events]
    before = kinds.index(Kind.PREPARED)
    assert kinds[before:] == [Kind.PREPARED, Kind.SIGNED, Kind.SIGNED]
    assert values["HISTORY"] == [event.text for event in told.book.events[:before]]
    assert values["GEAR_FILE"].encode("utf-8") == told.workspace.content(told.book.revision.inputs)
    hashes = {
        name: hashlib.sha256(text.encode("utf-8")).hexdigest() for name, text in values["EVIDENCE"].items()
    }
    assert hashes == dict(told.book.revision.files)


def test_what_it_carries_gives_the_review_with_what_is_stale_and_what_was_compared(values, told):
    whole, book = carried(values["GEAR_FILE"], values["EVIDENCE"], values["HISTORY"])
    assert [
        (item.key, item.by_calculation, item.by_evidence, item.status) for item in whole.requirements
    ] == [(item.key, item.by_calculation, item.by_evidence, item.status) for item in told.whole.requirements]
    assert {str(item.by_evidence) for item in whole.requirements} >= {"stale"}
    assert book.concessions == told.book.concessions
    assert book.confirmations == told.book.confirmations


def test_the_same_record_gives_the_same_bytes_and_signing_changes_none_of_the_digest(signed, told):
    again = notebook_report(told.whole, told.book).encode("utf-8")
    assert again == told.workspace.content(told.book.prepared.report)
    assert document_digest(read_notebook(again)) == document_digest(signed) == told.book.prepared.digest
    assert again != release.signed_notebook(told.workspace, told.book)


def test_it_says_in_its_metadata_what_is_signed(signed, told):
    about = about_record(signed)
    assert (about["format"], about["stage"], about["roles"]) == (1, "release", list(told.book.roles))
    assert (about["part_number"], about["drawing_revision"], about["revision"]) == ("SL-040", "E", 2)
    contents = about["contents"]
    assert contents["inputs"] == told.whole.record.digest
    assert [item["key"] for item in contents["answers"]] == [item.key for item in told.whole.requirements]
    kinds = [item["kind"] for item in contents["decisions"]]
    counts = {kind: kinds.count(kind) for kind in ("concession", "question", "action")}
    assert counts == {"concession": len(told.book.concessions), "question": 2, "action": 3}
    assert [item["role"] for item in about["signatures"]] == ["design", "quality"]


def test_the_last_cell_tells_of_the_signatures(signed):
    last = signed["cells"][-1]
    assert (last["id"], last["cell_type"]) == ("signatures", "markdown")
    assert f"| design | {markdown_text('A. Fern')} |" in joined(last["source"])
    assert "Missing: metallurgy." in joined(last["source"])
    assert len({cell["id"] for cell in signed["cells"]}) == len(signed["cells"])


def test_what_was_handed_out_verifies(released):
    for name in ("ipynb", "zip"):
        found = verify(released[name].read_bytes(), signers=SIGNERS)
        assert (found.altered.ok, found.numbers.ok) == (True, True), found
        assert "metallurgy" in " ".join(found.signed.words)


def test_the_archive_holds_everything_with_its_fingerprint(released, told):
    data = released["zip"].read_bytes()
    notebook, faults, _ = notebook_in(data)
    assert (notebook, faults) == (released["ipynb"].read_bytes(), ())
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        files = {name: packed.read(name) for name in packed.namelist()}
        assert {item.date_time for item in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert list(files) == sorted(files)
    lines = dict(reversed(line.split("  ", 1)) for line in files.pop(SUMS).decode().splitlines())
    assert lines == {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}
    prints = {released[name].name: released[name].read_bytes() for name in ("ipynb", "html", "pdf")}
    assert {name: files.pop(name) for name in prints} == prints
    # a table of measured values stays as it came, byte for byte: nothing is written for a spreadsheet to run
    for name, sha in told.book.revision.files.items():
        assert hashlib.sha256(files.pop(f"evidence/{name}")).hexdigest() == sha
    assert files.pop("gear.toml") == told.workspace.content(told.book.revision.inputs)
    events = [event.text for event in history(told.book)]
    assert files.pop("history.jsonl").decode().splitlines() == events
    assert [json.loads(files[name])["role"] for name in sorted(files)] == ["design", "quality"]
    assert sorted(files) == ["signatures/1-design.json", "signatures/2-quality.json"]


def test_the_same_export_stays_and_more_signatures_make_other_files(told, released, tmp_path, monkeypatch):
    stem = f"SL-040_E_r2_signed-2-of-3_{told.book.prepared.digest[:8]}"
    assert {path.stem for path in released.values()} == {stem}
    assert release.file_name(told.book).startswith(stem)
    monkeypatch.setattr(release, "prints", lambda data, stem: {f"{stem}.ipynb": data})  # the rest is known
    first = release.export(told.workspace, told.book, tmp_path)
    assert release.export(told.workspace, told.book, tmp_path) == first
    fewer = told.workspace.book(told.book.record)
    fewer = type(fewer)(**{**fewer.__dict__, "signatures": fewer.signatures[:1]})
    second = release.export(told.workspace, fewer, tmp_path)
    assert not set(first.paths) & set(second.paths)
    first.paths[0].write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="other content"):
        release.export(told.workspace, told.book, tmp_path)
    assert first.paths[0].read_text(encoding="utf-8") == "mine"


def test_evidence_of_any_name_has_a_plain_name_in_the_archive(told, monkeypatch):
    names = ["a/b.csv", "größe.csv", "=cmd().csv", "x" * 200, "CON:.csv", "..", "a\nb", "a/../b.csv"]
    monkeypatch.setattr(release, "evidence_files", lambda *_: dict.fromkeys(names, "1"))
    monkeypatch.setattr(release, "prints", lambda data, stem: {f"{stem}.ipynb": data})
    kept = release._kept(told.workspace, told.book)
    inside = [name for name in kept if name.startswith("evidence/")]
    assert len(inside) == len(names)
    assert "evidence/a/b.csv" in inside
    assert not [name for name in inside if ".." in name or not name.isascii() or len(name) > 200]
    _, faults, _ = notebook_in(release.archive({"x.ipynb": b"{}", **kept}))
    assert not faults


def test_what_blocks_is_said_and_nothing_is_put_before_the_signers(hostile_record, tmp_path):
    record = Told(tmp_path, hostile_record)
    found = blocks(record.whole, record.book)
    assert found
    with pytest.raises(InputError) as error:
        record.do(release.prepare)
    assert [fault.why for fault in error.value.faults] == [one.text for one in found]
    assert record.workspace.book(record.book.record) == record.book
    assert record.book.prepared is None
    assert release.file_name(record.book) == f"SL-040_E_r1_unsigned_{record.book.last}"
    record.do(ask, about="", text="What now?")
    assert release.file_name(record.book).endswith(f"_unsigned_{record.book.last}")
