"""Values are confirmed, roles named, a report put before the signers, signatures taken in for each role."""

import hashlib
import json
from dataclasses import replace

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.book import ROLES
from gearcheck.record.closing import confirm, prepare, require_roles, take_signature
from gearcheck.record.decisions import ask, concede
from gearcheck.record.events import Person
from gearcheck.record.ledger import confirmables, unconfirmed
from gearcheck.record.requests import read_request, request_text
from gearcheck.record.sealed import document_digest
from gearcheck.record.signatures import sign, signature_text
from gearcheck.record.steps import adopt_draft
from gearcheck.record.workspace import StaleWrite
from tests.record import signed as demo
from tests.record.opened import AT, CASE_LEFT, FERN, HALE, PITCH, ROOT, opened

SEEN = {"edition": "ISO 6336-3:2019", "clause": "clause 5", "date": "2026-03-19"}
METHOD = "method:iso6336_3.root_safety"
REPORT = demo.data(demo.unsigned())
DIGEST = document_digest(demo.unsigned())


@pytest.fixture
def fan(tmp_path):
    return opened(tmp_path, "tunnel_fan")


@pytest.fixture
def prepared(fan):
    fan.do(prepare, fan.whole, notebook=REPORT)
    return fan


def refused(desk, step, *given, by=FERN, **named):
    """The fields that a refusal names; nothing may have been written."""
    with pytest.raises(InputError) as error:
        step(desk.workspace, desk.book, *given, by=by, **named)
    assert desk.workspace.last(desk.book.record) == desk.book.last
    return [fault.field for fault in error.value.faults]


def signature(desk, role, /, *, key=None, **changes):
    """A signature file as it comes back."""
    request = read_request(request_text(desk.book, role, desk.whole))
    made = sign(replace(request, **changes), key or demo.KEYS[role], name=demo.WHO[role], at=AT)
    return signature_text(made)


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"items": []}, ["values"]),
        ({"items": ["method:none"]}, ["value"]),
        ({"items": [METHOD, "table:none", "none"]}, ["value", "value"]),
        ({"edition": ""}, ["edition"]),
        ({"clause": "\n"}, ["clause"]),
        ({"date": "19.03.2026"}, ["day"]),
        ({"date": "2026-03-22"}, ["day"]),  # still to come, by the clock of the workspace
        ({"by": Person(name="")}, ["written by"]),
        ({"items": [], "edition": "", "clause": "", "date": ""}, ["values", "edition", "clause", "day"]),
    ],
    ids=range(9),
)
def test_what_confirms_nothing_is_refused(fan, change, fields):
    assert refused(fan, confirm, fan.whole, **{"items": [METHOD], **SEEN, **change}) == fields


def test_a_value_is_confirmed_once(fan):
    fan.do(confirm, fan.whole, items=[METHOD], **SEEN)
    assert refused(fan, confirm, fan.whole, items=[METHOD], **SEEN) == ["value"]
    every = [item.what for item in unconfirmed(fan.whole, fan.book)]
    fan.do(confirm, fan.whole, items=every, **SEEN, by=HALE)  # many at once
    assert unconfirmed(fan.whole, fan.book) == ()
    assert len(confirmables(fan.whole, fan.book)) == len(every) + 1


@pytest.mark.parametrize(
    ("roles", "fields"),
    [
        ([], ["roles"]),
        (["design", "Design"], ["roles"]),
        (["design", " "], ["role"]),
        (["design\nquality"], ["role"]),
        ([str(number) for number in range(11)], ["roles"]),
    ],
    ids=range(5),
)
def test_roles_that_cannot_sign_are_refused(fan, roles, fields):
    assert refused(fan, require_roles, roles=roles) == fields


def test_roles_replace_those_before(fan):
    assert fan.book.roles == ROLES
    fan.do(require_roles, roles=[" design ", "customer"], by=HALE)
    assert fan.book.roles == ("design", "customer") == fan.book.missing_roles
    fan.do(require_roles, roles=[f"role {number}" for number in range(10)])
    assert len(fan.book.roles) == 10


def test_a_report_is_kept_as_it_was_and_says_what_is_signed(fan):
    fan.do(confirm, fan.whole, items=[METHOD], **SEEN)
    fan.do(prepare, fan.whole, notebook=REPORT, by=HALE)
    ready = fan.book.prepared
    assert (ready.digest, ready.report) == (DIGEST, hashlib.sha256(REPORT).hexdigest())
    assert (ready.roles, ready.by, ready.revision) == (ROLES, HALE, 1)
    assert ready.unconfirmed == len(unconfirmed(fan.whole, fan.book)) > 0
    assert fan.workspace.content(ready.report) == REPORT
    assert not fan.book.is_signed


def test_the_same_report_is_not_put_before_the_signers_twice(prepared):
    prepared.do(take_signature, text=signature(prepared, "design"))
    assert refused(prepared, prepare, prepared.whole, notebook=REPORT) == ["report"]
    assert len(prepared.book.signatures) == 1
    other = demo.unsigned()
    other["cells"][0]["source"] = ["# Another report\n"]
    prepared.do(prepare, prepared.whole, notebook=demo.data(other))
    assert prepared.book.signatures == ()


def test_nothing_that_blocks_is_put_before_the_signers(tmp_path):
    lift = opened(tmp_path)
    assert refused(lift, prepare, lift.whole, notebook=REPORT) == ["signing"] * 3
    assert refused(lift, prepare, lift.whole, notebook=REPORT, by=Person(name=""))[0] == "written by"


@pytest.mark.parametrize("notebook", [b"", b"{}", b"[]", b'{"a": 1, "a": 2}', b"\xff"], ids=range(5))
def test_what_is_no_notebook_is_not_prepared(fan, notebook):
    assert refused(fan, prepare, fan.whole, notebook=notebook)


def test_the_record_is_signed_when_every_role_has_signed(prepared):
    assert prepared.book.missing_roles == ROLES
    for role in reversed(ROLES):
        assert not prepared.book.is_signed
        assert prepared.book.signed_revision == 0
        prepared.do(take_signature, text=signature(prepared, role), by=HALE)
    assert prepared.book.is_signed
    assert prepared.book.missing_roles == ()
    assert prepared.book.signed_revision == 1
    assert [item.signature["role"] for item in prepared.book.signatures] == list(reversed(ROLES))
    # what is written now is not in what they signed
    prepared.do(ask, about="", text="Who files this?")
    assert not prepared.book.is_signed
    assert (prepared.book.prepared, prepared.book.signatures) == (None, ())
    assert prepared.book.signed_revision == 1


def test_a_role_signs_once_and_a_key_for_one_role(prepared):
    text = signature(prepared, "design")
    prepared.do(take_signature, text=text.encode("utf-8"))
    assert refused(prepared, take_signature, text=text) == ["role", "key"]
    second = signature(prepared, "quality", key=demo.KEYS["design"])
    assert refused(prepared, take_signature, text=second) == ["key"]
    again = signature(prepared, "design", key=demo.KEYS["quality"])
    assert refused(prepared, take_signature, text=again) == ["role"]
    assert len(prepared.book.signatures) == 1


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"digest": "ab" * 32}, "signature", "over another document: its digest is abababababab"),
        ({"role": "sales"}, "role", "a role that has not signed yet: design, metallurgy, quality"),
        ({"role": "Design"}, "role", "a role that has not signed yet"),
        ({"part_number": "TF-119"}, "signature", "needed: TF-118, C, 1"),
        ({"drawing_revision": "D"}, "signature", "needed: TF-118, C, 1"),
        ({"revision": "2"}, "signature", "given TF-118, C, 2; needed: TF-118, C, 1"),
    ],
    ids=range(6),
)
def test_a_signature_of_something_else_is_refused(prepared, changes, field, said):
    text = signature(prepared, "design", **changes)
    with pytest.raises(InputError, match=said):
        take_signature(prepared.workspace, prepared.book, by=HALE, text=text)
    assert refused(prepared, take_signature, text=text) == [field]


@pytest.mark.parametrize("name", ["name", "role", "revision", "signed_at", "part_number"])
def test_a_signature_changed_on_its_way_is_refused(prepared, name):
    said = json.loads(signature(prepared, "design"))
    said[name] = "2026-03-21T09:30:00Z" if name == "signed_at" else "quality"
    with pytest.raises(InputError, match="was changed after it was signed"):
        take_signature(prepared.workspace, prepared.book, by=HALE, text=json.dumps(said))


@pytest.mark.parametrize("text", ["", "{}", "[]", "signed: yes", b"\xff\xfe", "x" * 30_000], ids=range(6))
def test_what_is_no_signature_is_refused(prepared, text):
    assert refused(prepared, take_signature, text=text) == ["signature file"]


def test_a_signature_of_an_older_report_says_what_to_do(prepared):
    late = signature(prepared, "design")
    prepared.do(ask, about="", text="Which lot?")
    with pytest.raises(
        InputError, match=r"the record went on since, .* prepare it, and ask the signers again"
    ):
        take_signature(prepared.workspace, prepared.book, by=HALE, text=late)
    other = demo.unsigned()
    other["cells"][0]["source"] = ["# The report with the question\n"]
    prepared.do(prepare, prepared.whole, notebook=demo.data(other))
    with pytest.raises(InputError, match=f"over another document: its digest is {DIGEST[:12]}"):
        take_signature(prepared.workspace, prepared.book, by=HALE, text=late)


def test_who_saw_an_older_state_closes_nothing(prepared):
    text, seen = signature(prepared, "design"), prepared.book
    prepared.do(ask, about="", text="Which lot?", by=HALE)
    other = demo.unsigned()
    other["cells"][0]["source"] = ["# Another report\n"]
    tries = [
        (confirm, (prepared.whole,), {"items": [METHOD], **SEEN}),
        (require_roles, (), {"roles": ["design"]}),
        (prepare, (prepared.whole,), {"notebook": demo.data(other)}),
        (take_signature, (), {"text": text}),
    ]
    for step, given, named in tries:
        with pytest.raises(StaleWrite, match=r"Hale \(chair\) asked question"):
            step(prepared.workspace, seen, *given, by=FERN, **named)
    assert prepared.workspace.book("TF-118_C") == prepared.book


def test_a_signer_is_asked_for_the_concessions_that_hold(tmp_path):
    lift = opened(tmp_path)
    grant = {"reason": "agreed with the owner", "limit": "serial number 0007"}
    lift.do(concede, lift.whole, about=ROOT, **grant)
    lift.do(adopt_draft, {"torque": 14600.0}, reason="the trough is lighter")
    for key in (ROOT, CASE_LEFT, PITCH):
        lift.do(concede, lift.whole, about=key, **grant)
    lift.do(prepare, lift.whole, notebook=demo.data(demo.report_of(lift.book)))
    asked = read_request(request_text(lift.book, "design", lift.whole)).concessions
    assert [words.partition(",")[0] for words in asked] == ["5", "6", "7"]
    assert [item.number for item in lift.book.concessions] == [3, 5, 6, 7]
