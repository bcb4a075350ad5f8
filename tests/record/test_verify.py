import copy
import hashlib
import io
import json
import zipfile
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from gearcheck.basics.errors import InputError
from gearcheck.record.altered import UNSIGNED
from gearcheck.record.archive import copies, signature_files
from gearcheck.record.events import START, Entry, Kind, Person, sealed
from gearcheck.record.keys import SigningKey
from gearcheck.record.past import book_from
from gearcheck.record.sealed import document_digest, signatures_markdown, with_signatures
from gearcheck.record.signers import Signer
from gearcheck.record.verify import verify
from tests.record import signed as demo

OLD = Path(__file__).parent / "old"


def test_what_was_signed_with_the_first_format_still_holds():
    """Whatever later versions print: new words of the signatures must not call old files altered."""
    found = verify((OLD / "signed_1.json").read_bytes(), signers=demo.SIGNERS, with_numbers=False)
    assert (found.altered.ok, found.signed.ok) == (True, True)


def looked_at(notebook, **named):
    return verify(demo.data(notebook), **{"signers": demo.SIGNERS, "with_numbers": False, **named})


def cell(notebook, name):
    return next(item for item in notebook["cells"] if item["id"] == name)


def inputs(**changes):
    it = demo.record()
    said = {
        "gear_file": it.gear_file,
        "evidence": it.evidence,
        "history": [event.text for event in it.book.events],
    }
    return demo.inputs_source(**{**said, **changes})


def signed_with(source):
    """A report whose first code cell was written by a signer who means harm: all digests are right."""
    notebook = demo.unsigned()
    cell(notebook, "inputs")["source"] = source
    return with_signatures(notebook, demo.signatures(notebook))


def said(answer):
    return " ".join(answer.words)


def test_a_report_signed_by_known_keys_gives_the_same_numbers():
    found = looked_at(demo.signed(), with_numbers=True)
    assert (found.altered.ok, found.signed.ok, found.numbers.ok, found.exit_code) == (True, True, True, 0)
    assert "B. Moss as metallurgy" in said(found.signed)
    assert "clock of the signer's machine" in said(found.signed)
    assert "millionth" in said(found.numbers)


def test_an_unsigned_report_says_what_its_digest_is_worth():
    found = looked_at(demo.unsigned())
    assert found.altered.ok is None
    assert UNSIGNED in found.altered.words
    assert found.signed.ok is False
    assert "Nobody has signed." in found.signed.words
    assert found.exit_code == 4


def test_a_role_that_has_not_signed_is_named():
    found = looked_at(demo.signed(("design", "quality")))
    assert (found.altered.ok, found.signed.ok, found.exit_code) == (True, False, 4)
    assert "Not signed yet by: metallurgy." in found.signed.words


def test_an_unknown_key_shows_its_fingerprint():
    found = looked_at(demo.signed(), signers=demo.SIGNERS[:2])
    assert found.exit_code == 4
    assert "unknown key" in said(found.signed)
    assert "compare this fingerprint with the signer" in said(found.signed)


@pytest.mark.parametrize(
    ("changes", "words"),
    [({"roles": ("quality",)}, "lets this key sign as quality only"), ({"name": "E. Holt"}, "to E. Holt")],
)
def test_a_key_signs_for_its_owner_and_in_its_roles_only(changes, words):
    first = demo.SIGNERS[0]
    told = {"name": first.name, "public_key": first.public_key, "roles": first.roles, **changes}
    found = looked_at(demo.signed(), signers=(Signer(**told), *demo.SIGNERS[1:]))
    assert (found.altered.ok, found.signed.ok) == (True, False)
    assert words in said(found.signed)


def change_number(notebook):
    notebook["metadata"]["gearcheck"]["contents"]["results"]["requirements"][0]["reserve"] = 3.5


def change_sentence(notebook):
    cell(notebook, "head")["source"][1] = demo.SENTENCE.replace("1.07", "1.70")


def change_chart(notebook):
    cell(notebook, "run")["outputs"][0]["data"]["image/svg+xml"] = [demo.CHART.replace("1.07", "1.70")]


def change_code(notebook):
    cell(notebook, "run")["source"] = ["open('x', 'w')"]


def change_stage(notebook):
    notebook["metadata"]["gearcheck"]["stage"] = "release"


@pytest.mark.parametrize("change", [change_number, change_sentence, change_chart, change_code, change_stage])
@pytest.mark.parametrize("mends_digest", [False, True])
def test_a_change_is_seen_even_where_the_digest_is_mended(change, mends_digest):
    notebook = demo.signed()
    change(notebook)
    if mends_digest:
        notebook = with_signatures(notebook, notebook["metadata"]["gearcheck"]["signatures"])
    found = looked_at(notebook)
    assert (found.altered.ok, found.exit_code) == (False, 1)
    assert ("It was altered" in said(found.altered)) is not mends_digest
    assert "is over another document" in said(found.altered)


def test_a_removed_signature_is_seen_by_what_is_printed():
    notebook = demo.signed()
    notebook["metadata"]["gearcheck"]["signatures"].pop()
    found = looked_at(notebook)
    assert found.exit_code == 1
    assert "one was removed, added or changed" in said(found.altered)
    # who takes its line away too leaves a report that this role has not signed, and no more
    assert (
        looked_at(with_signatures(notebook, notebook["metadata"]["gearcheck"]["signatures"])).exit_code == 4
    )


def test_a_signature_from_another_record_is_of_no_use():
    other = demo.signed(scenario="harvester")["metadata"]["gearcheck"]["signatures"]
    found = looked_at(with_signatures(demo.unsigned(), other))
    assert (found.exit_code, found.signed.ok) == (1, False)
    assert "is over another document" in said(found.altered)


def test_a_signature_that_names_another_part_is_seen():
    notebook = demo.unsigned()
    wrong = demo.sign(
        demo.request(notebook, "design", part_number="XX-1"), demo.KEYS["design"], name="A. Fern", at=demo.AT
    )
    found = looked_at(with_signatures(notebook, [wrong]))
    assert "names another part" in said(found.altered)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("role", "quality", "does not hold"),
        ("name", "E. Holt", "does not hold"),
        ("signed_at", "2026-03-03T09:30:00Z", "does not hold"),
        ("signature", "00" * 64, "does not hold"),
        ("signature", "AB" * 64, "lower case"),
        ("public_key", "ff" * 32, "does not hold"),
        ("role", "", "no text"),
        ("role", 5, "no text"),
        ("signed_at", "yesterday", "time"),
        ("also", "x", "other fields"),
    ],
)
def test_a_changed_signature_is_seen(field, value, words):
    notebook = demo.unsigned()
    made = demo.signatures(notebook)
    notebook["metadata"]["gearcheck"]["signatures"] = [{**made[0], field: value}, *made[1:]]
    found = looked_at(notebook)
    assert found.exit_code == 1
    assert words in said(found.altered)


@pytest.mark.parametrize("odd", [None, 5, "x", [], {}])
def test_a_signature_that_is_none_is_said(odd):
    notebook = demo.signed()
    notebook["metadata"]["gearcheck"]["signatures"][0] = odd
    assert looked_at(notebook).exit_code == 1


HOSTILE = [
    "__import__('pathlib').Path({trap!r}).write_text('x')",
    "GEAR_FILE = open({trap!r}, 'w').name\nEVIDENCE = {{}}\nHISTORY = []",
    "GEAR_FILE = f'{{open({trap!r}, \"w\")}}'\nEVIDENCE = {{}}\nHISTORY = []",
    "GEAR_FILE = ''\nEVIDENCE = {{}}\nHISTORY = []\nopen({trap!r}, 'w')",
    "GEAR_FILE = ''\nEVIDENCE = {{**{{}}}}\nHISTORY = []",
    "GEAR_FILE = EVIDENCE = HISTORY = ''",
    "GEAR_FILE: str = ''\nEVIDENCE = {{}}\nHISTORY = []",
    "EVIDENCE = {{}}\nGEAR_FILE = ''\nHISTORY = []",
    "GEAR_FILE = ''\nEVIDENCE = {{'a': '', 'a': 'b'}}\nHISTORY = []",
    "GEAR_FILE = ''\nEVIDENCE = {{'../a': ''}}\nHISTORY = []",
    "GEAR_FILE = ''\nEVIDENCE = {{'/a': ''}}\nHISTORY = []",
    "GEAR_FILE = ''\nEVIDENCE = {{'a': '', 'a/b': ''}}\nHISTORY = []",
    "GEAR_FILE = ''\nEVIDENCE = {{'a\\0': ''}}\nHISTORY = []",
    "GEAR_FILE = ''\nEVIDENCE = {{}}\nHISTORY = [[]]",
    "GEAR_FILE = ''\nEVIDENCE = {{}}\nHISTORY = {{}}",
    "GEAR_FILE = '\\ud800'\nEVIDENCE = {{}}\nHISTORY = []",
    "GEAR_FILE = '\\d'\nEVIDENCE = {{}}\nHISTORY = []",
    "GEAR_FILE = b''\nEVIDENCE = {{}}\nHISTORY = []",
    "GEAR_FILE = " + "[" * 50_000,
    "GEAR_FILE = " + "-" * 50_000 + "1",
    "GEAR_FILE = " + "(" * 500,
    "GEAR_FILE = '''",
    "\0",
    "",
]


@pytest.mark.parametrize("number", range(len(HOSTILE)))
def test_hostile_code_is_text_and_altered(number, tmp_path):
    trap = tmp_path / "trap.txt"
    found = looked_at(signed_with(HOSTILE[number].format(trap=str(trap))), with_numbers=True)
    assert (found.altered.ok, found.numbers.ok, found.exit_code) == (False, None, 1)
    assert "first code cell" in said(found.altered) or "EVIDENCE" in said(found.altered)
    assert not list(tmp_path.iterdir())


def test_code_in_other_cells_is_never_run(tmp_path):
    notebook, trap = demo.unsigned(), tmp_path / "trap.txt"
    cell(notebook, "run")["source"] = f"import pathlib; pathlib.Path({str(trap)!r}).write_text('x')"
    found = looked_at(with_signatures(notebook, demo.signatures(notebook)))
    assert found.altered.ok
    assert not trap.exists()


def chain(*entries):
    texts, before = [], START
    for number, (kind, body) in enumerate(entries, start=1):
        entry = Entry(kind=kind, by=Person(name="A. Fern"), body=body)
        event = sealed(entry, record="TF-118_C", number=number, at=demo.AT, before=before)
        texts.append(event.text)
        before = event.hash
    return texts


def real(kind):
    return next(dict(event.body) for event in demo.record().book.events if event.kind is kind)


OPENED, REVISED = real(Kind.OPENED), real(Kind.REVISED)


@pytest.mark.parametrize(
    "history",
    [
        ["x"],
        ['{"a":1}'],
        ["[" * 100_000],
        [json.dumps(json.loads(demo.record().book.events[0].text))],
        [demo.record().book.events[1].text],
        [event.text for event in demo.record().book.events[:1]],
        [event.text for event in demo.record().book.events[::-1]],
        chain((Kind.OPENED, {}), (Kind.REVISED, REVISED)),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, {**REVISED, "files": ["a"]})),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, {**REVISED, "evidence": [{"key": {}}]})),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, {**REVISED, "inputs": "00" * 32})),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, {**REVISED, "digest": "00" * 32})),
        chain((Kind.OPENED, {**OPENED, "part_number": "XX-1"}), (Kind.REVISED, REVISED)),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, REVISED), (Kind.REVISED, {**REVISED, "revision": 2})),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, REVISED), (Kind.ROLES_SET, {"roles": ["quality"]})),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, REVISED), (Kind.ROLES_SET, {"roles": [{}]})),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, REVISED), (Kind.CONFIRMED, {"items": [5]})),
        chain((Kind.OPENED, OPENED), (Kind.REVISED, REVISED), (Kind.ANSWERED, {"to": 1})),
    ],
    ids=range(18),
)
def test_a_history_that_does_not_fit_is_altered(history):
    found = looked_at(signed_with(inputs(history=history)))
    assert (found.altered.ok, found.exit_code) == (False, 1)
    assert "istory" in said(found.altered) or "ntr" in said(found.altered) or "roles" in said(found.altered)


def test_other_evidence_or_another_gear_file_does_not_fit_the_history():
    assert "gear file" in said(looked_at(signed_with(inputs(gear_file="x = 1"))).altered)
    more = {**demo.record().evidence, "more.csv": "1"}
    assert "evidence" in said(looked_at(signed_with(inputs(evidence=more))).altered)


@pytest.mark.parametrize("text", ["", "x = [", "[" * 100_000, "a = 1e999999", '[part]\nnumber = "\\u0000"'])
def test_hostile_gear_text_is_told_in_words(text):
    gone = {**REVISED, "inputs": hashlib.sha256(text.encode()).hexdigest(), "files": {}, "evidence": []}
    history = chain((Kind.OPENED, OPENED), (Kind.REVISED, gone))
    notebook = demo.unsigned()
    notebook["metadata"]["gearcheck"]["contents"]["evidence"] = {}
    cell(notebook, "inputs")["source"] = inputs(gear_file=text, evidence={}, history=history)
    found = looked_at(with_signatures(notebook, demo.signatures(notebook)), with_numbers=True)
    assert (found.altered.ok, found.signed.ok, found.numbers.ok, found.exit_code) == (None, True, None, 5)
    assert "This version cannot read the inputs" in said(found.numbers)


def test_other_numbers_are_listed_and_versions_named():
    notebook = demo.unsigned()
    results = notebook["metadata"]["gearcheck"]["contents"]["results"]
    results["versions"]["numpy"] = "0.9"
    results["requirements"][0]["title"] = "Another title"
    for item in results["workings"]:
        for term in item["terms"]:
            term["label"] = "x"
    results["requirements"][0]["native"] = 9
    found = looked_at(with_signatures(notebook, demo.signatures(notebook)), with_numbers=True)
    assert (found.altered.ok, found.signed.ok, found.numbers.ok, found.exit_code) == (True, True, False, 5)
    assert "Another title as stated" in said(found.numbers)
    assert "numpy 0.9" in said(found.numbers)
    assert "more differ" in said(found.numbers)
    assert len(found.numbers.words) == 22


def test_a_last_digit_is_no_other_number():
    notebook = demo.unsigned()
    results = notebook["metadata"]["gearcheck"]["contents"]["results"]
    term = next(
        term for item in results["workings"] for term in item["terms"] if isinstance(term["value"], float)
    )
    term["value"] *= 1 + 1e-8
    found = looked_at(with_signatures(notebook, demo.signatures(notebook)), with_numbers=True)
    assert found.exit_code == 0


TEXT = demo.data(demo.signed())


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"PK",
        b"PK\x03\x04" + b"x" * 100,
        b"{}",
        b"[]",
        b"\xff\xfe",
        b"\xef\xbb\xbf" + TEXT,
        b"[" * 200_000,
        b'{"a":' * 50_000,
        TEXT[:-200],
        TEXT + TEXT,
        TEXT.replace(b'"nbformat": 4', b'"nbformat": NaN'),
        TEXT.replace(b'"nbformat": 4', b'"nbformat": 1e400'),
        TEXT.replace(b'"nbformat": 4', b'"nbformat": ' + b"9" * 5000),
        TEXT.replace(b'"nbformat": 4', b'"nbformat": 4, "nbformat": 4'),
        TEXT.replace(b'"nbformat": 4', b'"nbformat": 4, "x": 9007199254740993'),
        TEXT.replace(b'"nbformat": 4', b'"nbformat": 4, "x": "\\ud800"'),
        TEXT.replace(b'"nbformat": 4', b'"nbformat": 4, "x": ' + b"[" * 150 + b"]" * 150),
        TEXT.replace(b'"id": "signatures"', b'"id": "signature"'),
        TEXT.replace(b'"gearcheck": {', b'"other": {'),
        TEXT.replace(b'"roles": [', b'"rolls": ['),
    ],
    ids=range(21),
)
def test_what_is_no_report_cannot_be_read(data):
    with pytest.raises(InputError) as caught:
        verify(data, with_numbers=False)
    assert caught.value.faults[0].needed


def archived(files, *, sums=True, mangle=None):
    listed = "".join(f"{hashlib.sha256(data).hexdigest()}  {name}\n" for name, data in files.items())
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in {**files, **(mangle or {})}.items():
            archive.writestr(name, data)
        if sums:
            archive.writestr("SHA256SUMS", listed)
    return buffer.getvalue()


IT = demo.record()
GOOD = {
    "TF-118_C.ipynb": TEXT,
    "TF-118_C.html": b"<p>print</p>",
    **copies(IT.gear_file, IT.evidence, [event.text for event in IT.book.events]),
    **signature_files(demo.signed()["metadata"]["gearcheck"]["signatures"]),
}


@pytest.mark.parametrize("name", ["gear.toml", "history.jsonl", "signatures/1-design.json"])
def test_a_file_beside_the_notebook_cannot_be_exchanged(name):
    """Also where the list of fingerprints is written anew."""
    for files in ({**GOOD, name: b"other"}, {key: data for key, data in GOOD.items() if key != name}):
        found = verify(archived(files), signers=demo.SIGNERS, with_numbers=False)
        assert found.exit_code == 1
        assert name in said(found.altered)
    more = verify(archived({**GOOD, "evidence/new.csv": b""}), signers=demo.SIGNERS, with_numbers=False)
    assert "evidence/new.csv is no file of this report" in said(more.altered)


def test_a_signature_that_nobody_asked_for_is_not_what_was_required():
    notebook = demo.unsigned()
    stranger = SigningKey(Ed25519PrivateKey.from_private_bytes(bytes([9]) * 32))
    for role in ("airworthiness", "design"):
        more = demo.sign(demo.request(notebook, role), stranger, name="N. Body", at=demo.AT)
        found = looked_at(with_signatures(notebook, [*demo.signatures(notebook), more]))
        assert found.exit_code == 4
        assert "unknown key" in said(found.signed)


def test_one_signer_does_not_stand_for_all():
    notebook = demo.unsigned()
    key = demo.KEYS["design"]
    made = [demo.sign(demo.request(notebook, role), key, name="A. Fern", at=demo.AT) for role in demo.ROLES]
    one = Signer(name="A. Fern", public_key=key.public_key)
    found = verify(demo.data(with_signatures(notebook, made)), signers=[one], with_numbers=False)
    assert found.exit_code == 4
    assert "One signer signed as design and as metallurgy and as quality." in said(found.signed)


def test_a_history_does_not_invent_signatures():
    book = demo.record().book
    by = Person(name="N. Body")
    more = list(book.events)
    signature = {"role": "design", "name": "N. Body"}
    for kind, body in (
        (Kind.PREPARED, {"digest": "ab" * 32, "report": "cd" * 32, "roles": ["design"], "unconfirmed": 0}),
        (Kind.SIGNED, {"signature": signature}),
    ):
        entry = Entry(kind=kind, by=by, body=body)
        last = more[-1]
        more.append(sealed(entry, record=book.record, number=last.number + 1, at=demo.AT, before=last.hash))
    _, faults = book_from([event.text for event in more])
    assert faults == ("Entry 4 of the history tells of a signature that does not hold.",)


def test_an_archive_is_verified_file_by_file():
    found = verify(archived(GOOD), signers=demo.SIGNERS, with_numbers=False)
    assert (found.altered.ok, found.signed.ok) == (True, True)
    assert "anyone could write that list anew" in said(found.altered)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (archived(GOOD, mangle={"TF-118_C.html": b"x"}), "TF-118_C.html was altered"),
        (archived(GOOD, mangle={"more.txt": b"x"}), "more.txt is in the archive, but not listed"),
        (archived(GOOD, sums=False), "no list of fingerprints"),
        (archived(GOOD, sums=False, mangle={"SHA256SUMS": b"\xff"}), "cannot be read"),
        (archived(GOOD, sums=False, mangle={"SHA256SUMS": b"0" * 64 + b"  gone.pdf"}), "but missing"),
    ],
    ids=range(5),
)
def test_an_archive_that_was_altered_says_where(data, words):
    found = verify(data, signers=demo.SIGNERS, with_numbers=False)
    assert found.exit_code == 1
    assert words in said(found.altered)


@pytest.mark.parametrize(
    "files",
    [
        {"../TF-118_C.ipynb": TEXT},
        {"/TF-118_C.ipynb": TEXT},
        {"C:\\TF-118_C.ipynb": TEXT},
        {"a/../../TF-118_C.ipynb": TEXT},
        {"TF-118_C.ipynb": TEXT, "other.ipynb": TEXT},
        {"TF-118_C.html": b""},
        {f"{number}.txt": b"" for number in range(120)},
        {"TF-118_C.ipynb": b" " * (65 * 2**20)},
    ],
    ids=range(8),
)
def test_an_archive_with_tricks_cannot_be_read(files):
    with pytest.raises(InputError):
        verify(archived(files), with_numbers=False)


def test_a_size_that_lies_is_found_out(monkeypatch):
    data = bytearray(archived({"TF-118_C.ipynb": TEXT}))
    size = len(TEXT).to_bytes(4, "little")
    data = bytes(data).replace(size, (1000).to_bytes(4, "little"))
    with pytest.raises(InputError):
        verify(data, with_numbers=False)


def test_signatures_are_printed_as_they_are_and_nothing_in_them_is_markup():
    notebook = demo.unsigned()
    digest = document_digest(notebook)
    made = demo.sign(demo.request(notebook, "design"), demo.KEYS["design"], name="<b>*A*|[x](y)", at=demo.AT)
    about = {**notebook["metadata"]["gearcheck"], "signatures": [made]}
    text = signatures_markdown(about)
    assert "<b>" not in text
    assert "\\*A\\*\\|\\[x\\]\\(y\\)" in text
    assert "Missing: metallurgy, quality." in text
    assert "on 2 March 2026 at 09\\:30 UTC" in text
    assert "Nobody has signed." in signatures_markdown({**about, "signatures": []})
    again = copy.deepcopy(notebook)
    assert document_digest(with_signatures(again, [made])) == digest
    assert again == notebook


def test_the_report_that_the_package_prints_holds():
    found = verify(demo.data(demo.real()), signers=demo.SIGNERS)
    assert (found.altered.words, found.numbers.ok, found.exit_code) == (
        ("It was not altered since it was signed.",),
        True,
        0,
    )
