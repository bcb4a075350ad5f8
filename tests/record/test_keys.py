import os
import stat
import traceback

import pytest
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, generate_private_key
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)

from gearcheck.basics.errors import InputError
from gearcheck.record.fingerprint import fingerprint
from gearcheck.record.keys import new_key, read_key, signer_file
from gearcheck.record.signers import read_signers

SECRET = "pine needles, wet"


@pytest.fixture
def path(tmp_path):
    new_key(tmp_path / "fern.key", name='A. "Fern"', passphrase=SECRET)
    return tmp_path / "fern.key"


def raw(path):
    return load_pem_private_key(path.read_bytes(), password=SECRET.encode()).private_bytes_raw()


def test_a_key_is_read_again_and_beside_it_lies_the_entry_of_its_signer(path):
    key = read_key(path, SECRET)
    (signer,) = read_signers(signer_file(path).read_bytes())
    assert (signer.name, signer.public_key, signer.roles) == ('A. "Fern"', key.public_key, ())
    assert fingerprint(key.public_key) in signer_file(path).read_text(encoding="utf-8")
    groups = fingerprint(key.public_key).split(" ")
    assert [len(group) for group in groups] == [4] * 16


@pytest.mark.skipif(os.name == "nt", reason="Windows has other rights")
def test_only_the_owner_may_read_a_key(path):
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


@pytest.mark.parametrize("taken", ["fern.key", "fern.key.signer.toml"])
def test_nothing_is_overwritten(taken, tmp_path):
    (tmp_path / taken).write_bytes(b"before")
    with pytest.raises(InputError, match="nothing is overwritten"):
        new_key(tmp_path / "fern.key", name="A. Fern", passphrase=SECRET)
    assert [file.read_bytes() for file in tmp_path.iterdir()] == [b"before"]


@pytest.mark.parametrize("passphrase", ["", "short", "       "])
def test_a_short_passphrase_is_refused(passphrase, tmp_path):
    with pytest.raises(InputError, match="at least 8 characters"):
        new_key(tmp_path / "fern.key", name="A. Fern", passphrase=passphrase)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("name", ["", " ", "a\nb", "x" * 201])
def test_a_name_is_one_line(name, tmp_path):
    with pytest.raises(InputError, match="name"):
        new_key(tmp_path / "fern.key", name=name, passphrase=SECRET)


def test_accents_are_the_same_however_a_system_writes_them(tmp_path):
    made = new_key(tmp_path / "a.key", name="A. Fern", passphrase="caf\u00e9 au lait")
    assert read_key(tmp_path / "a.key", "cafe\u0301 au lait").public_key == made.public_key


def refused(path, passphrase):
    with pytest.raises(InputError) as caught:
        read_key(path, passphrase)
    return caught


@pytest.mark.parametrize("passphrase", ["open sesame, please", "\udc80 broken letter", "x" * 5000])
def test_a_wrong_passphrase_is_said_and_never_repeated(passphrase, path):
    caught = refused(path, passphrase)
    assert "that of this key" in str(caught.value)
    told = "".join(traceback.format_exception(caught.value)) + repr(vars(caught.value))
    assert passphrase not in told


def test_an_empty_passphrase_is_asked_for(path):
    assert "passphrase" in str(refused(path, "").value)


@pytest.mark.parametrize("kind", ["none", "text", "open", "other", "cut"])
def test_what_is_no_key_is_said(kind, path, tmp_path):
    file = tmp_path / "other.key"
    key = generate_private_key(SECP256R1()) if kind == "other" else Ed25519PrivateKey.generate()
    lock = NoEncryption() if kind == "open" else BestAvailableEncryption(SECRET.encode())
    pem = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, lock)
    if kind != "none":
        file.write_bytes({"text": b"key", "cut": pem[:100]}.get(kind, pem))
    caught = refused(file, SECRET)
    assert SECRET not in "".join(traceback.format_exception(caught.value))


def test_a_key_never_shows_its_secret(path):
    key, secret = read_key(path, SECRET), raw(path)
    printed = f"{key!r} {key} {vars(key)}"
    assert key.public_key[:4] not in ("",)
    assert fingerprint(key.public_key) in repr(key)
    for told in (printed, signer_file(path).read_text(encoding="utf-8"), key.signature(b"x")):
        assert secret.hex() not in told
        assert str(secret) not in told
        assert SECRET not in told
    assert secret not in path.read_bytes()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "signer"),
        ("x = [", "TOML"),
        ("[[signer]]\nname = 'A'\n", "public_key"),
        ("[[signer]]\nname = ''\npublic_key = '" + "0" * 64 + "'", "name"),
        ("[[signer]]\nname = 'A'\npublic_key = '" + "AB" * 32 + "'", "hexadecimal"),
        ("[[signer]]\nname = 'A'\npublic_key = '" + "0" * 64 + "'\nroles = 'quality'", "roles"),
        ("[[signer]]\nname = 'A'\npublic_key = '" + "0" * 64 + "'\nfingerprint = '0000'", "fingerprint"),
        (("[[signer]]\nname = 'A'\npublic_key = '" + "0" * 64 + "'\n") * 2, "once"),
        ("[" * 100_000, "signer"),
    ],
    ids=range(9),
)
def test_a_list_of_signers_is_read_strictly(text, words):
    with pytest.raises(InputError, match=words):
        read_signers(text.encode())
