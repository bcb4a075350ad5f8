import json
from dataclasses import asdict, replace

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.book import Prepared
from gearcheck.record.events import Person
from gearcheck.record.requests import read_request, request_text
from gearcheck.record.sealed import document_digest
from gearcheck.record.signatures import read_signature, sign, signature_faults, signature_text
from gearcheck.review.whole import outcome
from tests.record import signed as demo


def prepared_book():
    about = {"number": 3, "by": Person(name="D. Hale"), "at": demo.AT, "revision": 1}
    prepared = Prepared(
        **about, digest="ab" * 32, report="cd" * 32, roles=("design", "quality"), unconfirmed=4
    )
    return replace(demo.record().book, prepared=prepared)


def test_a_request_says_what_is_signed():
    request = read_request(request_text(prepared_book(), "quality", demo.record().whole))
    assert (request.digest, request.role, request.unconfirmed) == ("ab" * 32, "quality", 4)
    assert request.outcome == outcome(demo.record().whole)
    assert (request.part_number, request.drawing_revision, request.revision) == ("TF-118", "C", "1")


def test_there_is_no_request_without_a_report_or_to_another_role():
    with pytest.raises(InputError, match="before the signers"):
        request_text(demo.record().book, "design", demo.record().whole)
    with pytest.raises(InputError, match="design, quality"):
        request_text(prepared_book(), "metallurgy", demo.record().whole)


GOOD = json.loads(request_text(prepared_book(), "quality", demo.record().whole))


@pytest.mark.parametrize(
    "content",
    [
        [],
        {**GOOD, "format": "other"},
        {**GOOD, "more": 1},
        {name: value for name, value in GOOD.items() if name != "digest"},
        {**GOOD, "digest": "AB" * 32},
        {**GOOD, "digest": 5},
        {**GOOD, "role": ""},
        {**GOOD, "role": "a\nb"},
        {**GOOD, "part_number": " "},
        {**GOOD, "title": 5},
        {**GOOD, "stage": "sold"},
        {**GOOD, "concessions": "none"},
        {**GOOD, "concessions": [5]},
        {**GOOD, "unconfirmed": -1},
        {**GOOD, "unconfirmed": True},
        {**GOOD, "outcome": "x" * 300_000},
    ],
    ids=range(16),
)
def test_what_is_no_request_is_said(content):
    with pytest.raises(InputError, match="request"):
        read_request(json.dumps(content))


def test_a_signature_holds_for_its_document_only():
    notebook = demo.unsigned()
    request = demo.request(notebook, "design")
    made = sign(request, demo.KEYS["design"], name="A. Fern", at=demo.AT)
    assert read_signature(signature_text(made)) == made
    assert read_signature(signature_text(made).encode()) == made
    assert signature_faults(made, digest=document_digest(notebook)) == ()
    assert "another document" in signature_faults(made, digest="00" * 32)[0]


def test_every_field_of_a_signature_is_signed():
    notebook = demo.unsigned()
    made = sign(demo.request(notebook, "design"), demo.KEYS["design"], name="A. Fern", at=demo.AT)
    for name, value in made.items():
        if name != "format":
            other = value.replace(value[0], "7" if value[0] != "7" else "8", 1)
            assert signature_faults({**made, name: other}, digest=made["digest"]), name
    assert signature_faults({**made, "format": "gearcheck signature 2"}, digest=made["digest"])


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"format": "gearcheck signature 1"}', "[" * 50_000, '"\ud800"', "x" * 30_000]
)
def test_what_is_no_signature_file_is_said(text):
    with pytest.raises(InputError, match="signature file"):
        read_signature(text)


def test_a_signer_has_a_name():
    with pytest.raises(InputError, match="name"):
        sign(demo.request(demo.unsigned(), "design"), demo.KEYS["design"], name=" ", at=demo.AT)


def test_a_request_holds_nothing_secret():
    assert set(GOOD) - {"format"} == set(asdict(read_request(json.dumps(GOOD))))
